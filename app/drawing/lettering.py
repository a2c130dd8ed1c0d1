"""How wide a line of lettering is, roughly, and how to make words fit their place.

The widths are those of a wide sans (DejaVu Sans, rounded up), so that the narrower fonts of other
systems keep inside the same place.
"""

from __future__ import annotations

import unicodedata

_WIDTHS = {
    0.28: "'ijl",
    0.30: "IJ",
    0.32: " ,.·",
    0.34: "/:;\\|",
    0.36: "f",
    0.38: "-",
    0.40: "()[]t",
    0.42: "!r",
    0.46: '"',
    0.50: "*_`–°",
    0.54: "?sz",
    0.56: "Lc",
    0.58: "Fk",
    0.60: "vxy",
    0.62: "PTYaeo",
    0.64: "$0123456789ESbdghnpqu{}",
    0.66: "K",
    0.70: "ABCRVXZ",
    0.74: "U",
    0.76: "HN",
    0.78: "&DG",
    0.80: "OQ",
    0.82: "w",
    0.84: "#+<=>^~×",
    0.88: "M",
    0.96: "%",
    0.98: "m",
    1.00: "@W—…½¼¾",
}
_WIDTH_OF_SIGN = {sign: width for width, signs in _WIDTHS.items() for sign in signs}
_BOLD = 1.15


def width_of(words: str, size: float, *, bold: bool = False) -> float:
    """Return the width of a line of lettering in the unit of its size (the font size)."""
    total = 0.0
    for sign in words:
        known = _WIDTH_OF_SIGN.get(sign)
        if known is not None:
            total += known
        elif not unicodedata.combining(sign):
            # letters of other scripts, the widest of each kind
            wide = unicodedata.east_asian_width(sign) in "WF"
            total += 0.7 if sign.islower() else 1.05 if wide else 0.9
    return total * size * (_BOLD if bold else 1.0)


def shorten(words: str, size: float, room: float, *, bold: bool = False) -> str:
    """Cut a line with an ellipsis so that it is at most `room` wide."""
    if width_of(words, size, bold=bold) <= room:
        return words
    head = words
    while head and width_of(head.rstrip() + "…", size, bold=bold) > room:
        head = head[:-1]
    return head.rstrip() + "…" if head.strip() else ""


def wrap(words: str, size: float, room: float, most: int | None = None) -> tuple[str, ...]:
    """Break words into lines at most `room` wide; the last of `most` lines ends in an ellipsis.

    A word wider than the line is broken where it must be.
    """
    lines: list[str] = []
    line = ""
    for word in words.split():
        longer = f"{line} {word}" if line else word
        if width_of(longer, size) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        line = word
        while len(line) > 1 and width_of(line, size) > room:
            cut = len(line) - 1
            while cut > 1 and width_of(line[:cut], size) > room:
                cut -= 1
            lines.append(line[:cut])
            line = line[cut:]
    if line:
        lines.append(line)
    if most is not None and len(lines) > most:
        rest = " ".join(lines[most - 1 :])
        return (*lines[: most - 1], shorten(rest, size, room)) if most > 0 else ()
    return tuple(lines)
