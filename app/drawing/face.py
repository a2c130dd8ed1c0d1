"""The face of the sheets: how wide its signs are, and what is printed where it lacks one.

The two files of the font lie with the pages; SVG and PDF are set with the same ones. Only the
tables that tell widths are read here, so that a drawing needs no font library.
"""

from __future__ import annotations

import struct
import unicodedata
import zlib
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

from app.resources import folder

FAMILY = "Elbowroom Lettering"
CAPITAL = 1462 / 2048
"""The height of a capital in sizes of the font: its own figure (OS/2 table, sCapHeight)."""

WORDS_AT_MOST = 4096
"""Lines of words that are remembered as printed: those of a whole set of sheets."""

_GLUE = frozenset(("Mn", "Me", "Cf", "Cc", "Cs", "Co", "Cn"))
"""Kinds of signs that are dropped where the font lacks them: marks, joiners, controls, no signs."""
_LEAD = struct.Struct(">4sIIHHIHHIIIII")
_ENTRY = struct.Struct(">4sIIII")


@dataclass(frozen=True)
class Face:
    """One weight of the font: the width of each sign it has, in sizes of the font."""

    widths: dict[str, float]

    def __contains__(self, sign: str) -> bool:
        return sign in self.widths

    def width(self, words: str) -> float:
        """Return the width of words as they are printed, in sizes of the font."""
        widths = self.widths
        return sum([widths[sign] for sign in printed(words)])


def font_file(bold: bool) -> Path:
    """Return where the file of a weight lies."""
    return folder("static") / "fonts" / f"lettering-{'bold' if bold else 'regular'}.woff"


@cache
def face(bold: bool = False) -> Face:
    """Return a weight of the font; read once."""
    tables = _tables(font_file(bold).read_bytes())
    (per_em,) = struct.unpack_from(">H", tables["head"], 18)
    (count,) = struct.unpack_from(">H", tables["hhea"], 34)
    advances = struct.unpack_from(f">{count * 2}H", tables["hmtx"])[::2]
    last = count - 1
    glyphs = _glyphs(tables["cmap"])
    return Face({chr(code): advances[min(g, last)] / per_em for code, g in glyphs.items()})


@lru_cache(WORDS_AT_MOST)
def printed(words: str) -> str:
    """Return words as the font can print them: what it lacks by its Unicode name in brackets.

    Marks and joiners that it lacks are left out, for they belong to a sign that is named.
    """
    known = face().widths
    if all(sign in known for sign in words):
        return words
    signs = []
    for sign in unicodedata.normalize("NFC", words):
        if sign in known:
            signs.append(sign)
        elif sign.isspace():
            signs.append(" ")
        elif unicodedata.category(sign) not in _GLUE:
            signs.append(f"[{unicodedata.name(sign, f'U+{ord(sign):04X}').lower()}]")
    return "".join(signs)


def _tables(data: bytes) -> dict[str, bytes]:
    """Unpack the tables of a WOFF file (W3C, WOFF File Format 1.0, sections 3 to 5)."""
    count = _LEAD.unpack_from(data)[3]
    tables = {}
    for i in range(count):
        tag, offset, packed, size, _ = _ENTRY.unpack_from(data, _LEAD.size + i * _ENTRY.size)
        raw = data[offset : offset + packed]
        tables[tag.decode("latin-1")] = zlib.decompress(raw) if packed < size else raw
    return tables


def _glyphs(cmap: bytes) -> dict[int, int]:
    """Return the glyph of each code point: the table's subtable of format 4 or 12 (OpenType)."""
    (count,) = struct.unpack_from(">H", cmap, 2)
    glyphs: dict[int, int] = {}
    for i in range(count):
        (offset,) = struct.unpack_from(">I", cmap, 8 + i * 8)
        (form,) = struct.unpack_from(">H", cmap, offset)
        if form == 12:
            (groups,) = struct.unpack_from(">I", cmap, offset + 12)
            for j in range(groups):
                first, last, glyph = struct.unpack_from(">III", cmap, offset + 16 + j * 12)
                glyphs |= {code: glyph + code - first for code in range(first, last + 1)}
        elif form == 4:
            glyphs |= _format_4(cmap, offset)
    return glyphs


def _format_4(cmap: bytes, offset: int) -> dict[int, int]:
    (twice,) = struct.unpack_from(">H", cmap, offset + 6)
    count = twice // 2
    ends = struct.unpack_from(f">{count}H", cmap, offset + 14)
    starts = struct.unpack_from(f">{count}H", cmap, offset + 16 + twice)
    deltas = struct.unpack_from(f">{count}h", cmap, offset + 16 + 2 * twice)
    ranges_at = offset + 16 + 3 * twice
    ranges = struct.unpack_from(f">{count}H", cmap, ranges_at)
    glyphs = {}
    for i, (start, end, delta, into) in enumerate(zip(starts, ends, deltas, ranges, strict=True)):
        for code in range(start, end + 1):
            glyph = code
            if into:
                at = ranges_at + i * 2 + into + (code - start) * 2
                (glyph,) = struct.unpack_from(">H", cmap, at)
                if not glyph:
                    continue
            glyph = (glyph + delta) % 65536
            if glyph and code != 0xFFFF:
                glyphs[code] = glyph
    return glyphs
