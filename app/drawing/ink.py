"""How inks look on paper: line widths of one series, capitals of 2.5 mm and more, ink on white.

Line widths are those of ISO 128-2 (0.13 to 0.7 mm, each about the root of two of the last), heights
of capitals those of ISO 3098-1 (2.5, 3.5, 5 mm). Only the flags have colours, and their shapes tell
them apart without. All is in mm of paper, however large the figure is that an ink stands in.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TypeAlias

from app.drawing.face import CAPITAL

INK = "#111111"
GREY = "#555555"
PALE = "#8a8a8a"
WHITE = "#ffffff"
STOP, CARE, NOTE = "#b3261e", "#e0a526", "#4d6470"
CHALK = "#2f6f9f"
FITS = "#2c6e49"

WIDTHS_MM = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7)
HAIR_MM, FINE_MM, THIN_MM, MIDDLE_MM, CUT_MM, FRAME_MM = WIDTHS_MM
CAPITALS_MM = (2.5, 3.5, 5.0, 7.0)
_SMALL, _VALUE, _TITLE, _COVER = (height / CAPITAL for height in CAPITALS_MM)
LETTER_MM = _SMALL
"""The size of the font whose capitals are 2.5 mm high: no lettering of a sheet is smaller."""
SMALL_MM = _SMALL


@dataclass(frozen=True, slots=True)
class Style:
    """How one ink looks: colours as #rrggbb or none, all lengths in mm of paper.

    Of what an ink does not say (None) the ink named before it in the same words holds. `halo` is
    the width of a white edge behind lettering.
    """

    fill: str | None = None
    stroke: str | None = None
    width_mm: float | None = None
    dash: tuple[float, ...] | None = None
    size_mm: float | None = None
    bold: bool | None = None
    halo_mm: float | None = None

    def over(self, other: Style) -> Style:
        """Return this style where it says something, else the other."""
        given = {
            name: value
            for name in self.__dataclass_fields__
            if (value := getattr(self, name)) is not None
        }
        return replace(other, **given)


Look: TypeAlias = Mapping[str, Style]
"""How each ink looks on paper, by ink word."""


def line(width_mm: float, colour: str = INK, dash: tuple[float, ...] | None = None) -> Style:
    """Return the style of an outline without a fill."""
    return Style("none", colour, width_mm, dash)


def filled(colour: str, width_mm: float | None = None, stroke: str = INK) -> Style:
    """Return the style of a filled area, with an edge where a width is given."""
    return Style(colour, "none" if width_mm is None else stroke, width_mm)


def letters(
    size_mm: float = SMALL_MM, colour: str = INK, bold: bool = False, halo_mm: float | None = None
) -> Style:
    """Return the style of lettering of a size of the font."""
    return Style(colour, size_mm=size_mm, bold=bold or None, halo_mm=halo_mm)


LOOK: dict[str, Style] = {
    # the room
    "floor": line(HAIR_MM, "none"),
    "wall": line(CUT_MM),
    "column-ground": filled(WHITE),
    "hatch-line": line(HAIR_MM, GREY),
    "space-ground": filled("#edf1f3"),
    "leaf": line(MIDDLE_MM),
    "swing": line(HAIR_MM, GREY),
    "overhead": line(FINE_MM, dash=(2.4, 1.2)),
    "low": line(THIN_MM, dash=(4, 0.9, 0.6, 0.9)),
    "joist": line(HAIR_MM, GREY, dash=(0.8, 1.6)),
    "socket": filled(WHITE, THIN_MM),
    "socket-pin": line(THIN_MM),
    # kit
    "thing": filled(WHITE, THIN_MM),
    "dark": filled(INK, HAIR_MM),
    "thin": line(HAIR_MM),
    "over": line(FINE_MM, dash=(1.4, 0.9)),
    "pad": filled("#efefef", THIN_MM),
    "mat": line(FINE_MM, dash=(1.8, 1)),
    "stay-ground": filled(WHITE),
    "stay-edge": line(THIN_MM),
    "space": line(HAIR_MM, PALE, dash=(1, 1)),
    "pale": line(HAIR_MM, "#b4b4b4"),
    "faint": line(HAIR_MM, PALE),
    # figures and marks
    "dim": line(HAIR_MM),
    "tick": line(MIDDLE_MM),
    "dimt": letters(halo_mm=0.9),
    "tiny": letters(halo_mm=0.9),
    "offset": line(HAIR_MM, CHALK),
    "offset-lead": line(HAIR_MM, CHALK),
    "mark-lead": line(HAIR_MM, CHALK),
    "offset-tick": line(FINE_MM, CHALK),
    "offset-figure": letters(colour=CHALK, halo_mm=0.9),
    "balloon": filled(WHITE, FINE_MM),
    "level-leader": line(HAIR_MM),
    "level-tip": Style(INK, WHITE, HAIR_MM),
    "leader": line(HAIR_MM),
    "leader-dot": filled(INK),
    "numeral": letters(),
    "pole": line(THIN_MM),
    "pole-foot": filled(INK),
    "flag-stop": filled(STOP, FINE_MM),
    "flag-care": filled(CARE, FINE_MM),
    "flag-note": filled(NOTE, FINE_MM),
    "on-stop": letters(SMALL_MM, WHITE, True),
    "on-care": letters(SMALL_MM, INK, True),
    "on-note": letters(SMALL_MM, WHITE, True),
    # the picture: each look from above, on the side turned left, on the side turned right
    "picture-floor": filled("#ffffff"),
    "picture-floor-left": filled("#ffffff"),
    "picture-floor-right": filled("#ffffff"),
    "picture-way-floor": filled("#f1f1ed"),
    "picture-wall": filled("#cbc3b2"),
    "picture-wall-left": filled("#e9e3d6"),
    "picture-wall-right": filled("#f4f0e6"),
    "picture-iron": filled("#5b6b75"),
    "picture-iron-left": filled("#2c3a43"),
    "picture-iron-right": filled("#3b4a54"),
    "picture-dark": filled("#37434b"),
    "picture-dark-left": filled("#1d262c"),
    "picture-dark-right": filled("#28333a"),
    "picture-machine": filled("#eeebe3"),
    "picture-machine-left": filled("#cdc7ba"),
    "picture-machine-right": filled("#dfdacf"),
    "picture-pad": filled("#8fa5b2"),
    "picture-pad-left": filled("#6d8594"),
    "picture-pad-right": filled("#7e95a3"),
    "picture-thing": filled("#e3d8bf"),
    "picture-thing-left": filled("#c2b391"),
    "picture-thing-right": filled("#d3c6a8"),
    "picture-gap": filled("#7d745f"),
    "picture-box": filled("#e9e1cf"),
    "picture-house": filled("#eef2f3"),
    "picture-house-left": filled("#d3dcdf"),
    "picture-house-right": filled("#e0e7e9"),
    "picture-stay": filled("#f1eee6"),
    "picture-stay-left": filled("#d6d1c5"),
    "picture-stay-right": filled("#e4e0d6"),
    "picture-mat": filled("#d9e4ea"),
    "picture-mat-left": filled("#d9e4ea"),
    "picture-mat-right": filled("#d9e4ea"),
    "picture-person": filled("#a9c4d6"),
    "picture-person-far": filled("#86a6bb"),
    "picture-too-high": filled(STOP),
    "picture-over": filled("#d9867f"),
    "picture-over-left": filled(STOP),
    "picture-over-right": filled("#c75a52"),
    "picture-line": line(HAIR_MM),
    "picture-net": line(HAIR_MM, "#d0d0d0"),
    "picture-ghost": line(HAIR_MM, GREY, dash=(2, 1.2)),
    "picture-joist": line(HAIR_MM, "#b4b4b4"),
    "picture-leader": line(HAIR_MM),
    "picture-leader-loud": line(FINE_MM, STOP),
    "picture-name": letters(bold=True, halo_mm=0.9),
    "picture-letter": letters(bold=True),
    "picture-way": letters(halo_mm=0.9),
    "picture-loud": letters(colour=STOP, bold=True, halo_mm=0.9),
    # the sheet
    "page": filled(WHITE),
    "frame": line(FRAME_MM),
    "centring": line(FRAME_MM),
    "edge": line(CUT_MM),
    "rule": line(THIN_MM),
    "hair": line(HAIR_MM, "#9a9a9a"),
    "key-ring": filled(WHITE, FINE_MM),
    "head": letters(bold=True),
    "label": letters(colour=GREY),
    "value": letters(),
    "value-strong": letters(_VALUE, bold=True),
    "title": letters(_VALUE, bold=True),
    "cover-title": letters(_COVER, bold=True),
    "row": letters(),
    "row-small": letters(),
    # the works
    "works-band": filled("#f3f1ec"),
    "works-rule": line(HAIR_MM, "#c9c4b8"),
    "works-done": filled("#a9b0b0"),
    "works-decides": filled(INK),
    "works-waits": filled(WHITE, THIN_MM),
    "works-tail": line(THIN_MM, dash=(0.3, 0.9)),
    "works-dry": filled("#d3dfe6", HAIR_MM, "#a8bcc8"),
    "works-trade": filled(CARE, FINE_MM),
    "works-parcel": filled("#f6ebc4", FINE_MM),
    "works-today": line(MIDDLE_MM, CHALK, dash=(1.6, 1.2)),
    "works-goal": line(MIDDLE_MM, FITS),
    "works-today-flag": filled(CHALK),
    "works-goal-flag": filled(FITS),
    "works-on-flag": letters(SMALL_MM, WHITE, True),
    "works-tick": line(MIDDLE_MM, FITS),
    "works-way": line(MIDDLE_MM, FITS),
    "works-wet": filled("#d3dfe6", THIN_MM, CHALK),
    "size": letters(colour=GREY),
    "small": letters(),
    "small-bold": letters(bold=True),
    "key-numeral": letters(),
    "zone": letters(colour=GREY),
    "measure": line(THIN_MM),
    "bar-dark": filled(INK, FINE_MM),
    "bar-light": filled(WHITE, FINE_MM),
    "caution": letters(bold=True),
    # what is cut through and what is seen behind it, in sections and on walls
    "cut-face": filled("#f1ece0"),
    "cut": line(CUT_MM),
    "covering": filled("#d8d2c4", THIN_MM),
    "seen": filled(WHITE, FINE_MM, GREY),
    "beyond": line(FINE_MM, dash=(2.4, 1.2)),
    "before": line(FINE_MM, dash=(4, 0.8, 0.5, 0.8, 0.5, 0.8)),
    "joist-end": filled("#f1ece0", THIN_MM),
    "joist-side": line(FINE_MM, dash=(2.4, 1.2)),
    "person": filled("#c3ccd2", HAIR_MM, "#8f9aa2"),
    "person-far": filled("#d7dde1"),
    "person-pale": filled("#eceff1", HAIR_MM, "#8f9aa2"),
    "person-over": filled(STOP),
    "person-letter": letters(bold=True),
    "missing-edge": line(THIN_MM, STOP, dash=(1.6, 1.0)),
    "stuck": line(THIN_MM, STOP),
    "short-edge": line(THIN_MM, "#8a5d00", dash=(1.6, 1.0)),
    "wall-face": filled("#fcfaf5"),
    "opening": filled(WHITE, MIDDLE_MM),
    "column-front": filled("#f1ece0", MIDDLE_MM),
    "picture-area": line(FINE_MM, CHALK, dash=(1.6, 1.0)),
    "room-mini": filled(WHITE, FINE_MM),
    "tight-mini": Style("#f6e6bf", "#8a5d00", HAIR_MM),
    "fits-mini": Style("#d0e4d6", FITS, FINE_MM),
    "edge-ring": line(MIDDLE_MM),
    "cut-line": line(MIDDLE_MM, dash=(5, 1.2, 0.8, 1.2)),
    "cut-end": line(CUT_MM),
    "cut-letter": letters(bold=True, halo_mm=0.9),
    "part-line": line(CUT_MM, dash=(8, 1.5, 1, 1.5, 1, 1.5)),
    "part": filled(WHITE, FINE_MM),
    "part-here": filled("#d3dfe6", FINE_MM),
    "missing": filled("#f0c9c5"),
    "short": filled("#f6e6bf"),
    "figure-ground": filled(WHITE),
    "dimt-stop": letters(colour=STOP, bold=True, halo_mm=0.9),
    "dimt-care": letters(colour="#8a5d00", bold=True, halo_mm=0.9),
    "dimt-ok": letters(colour=FITS, bold=True, halo_mm=0.9),
    "chalk": line(THIN_MM, CHALK),
    "chalk-dash": line(FINE_MM, CHALK, dash=(1.6, 1.0)),
    "chalk-mark": letters(colour=CHALK, bold=True, halo_mm=0.9),
    "cable": line(FINE_MM, CHALK, dash=(2.4, 1.2)),
    "lamp": filled("#f4e3a8", THIN_MM),
    "lit": line(MIDDLE_MM, "#a87f00"),
    "lit-behind": line(MIDDLE_MM, "#a87f00", dash=(1.6, 1.2)),
    "contour": line(THIN_MM, "#6a5a3a"),
    "band-0": filled("#f3d3cf"), "band-1": filled("#f8e6d2"), "band-2": filled("#fbf3dc"),
    "band-3": filled("#eef3e6"), "band-4": filled("#dfece0"), "band-5": filled("#d0e4d6"),
    "region": line(MIDDLE_MM, FITS),
    "region-tight": line(MIDDLE_MM, "#8a5d00", dash=(2.4, 1.2)),
    "wash": filled("#eef2f0"),
    "mirror": filled("#e3edf2", THIN_MM),
    "paint": filled("#f7f1e3"),
    "fixing": line(MIDDLE_MM, STOP),
    # floors as they are laid and cut
    "lay": filled(WHITE, THIN_MM),
    "lay-hatch": line(HAIR_MM, "#9a9a9a"),
    "lay-ramp": filled("#e6e6e6", HAIR_MM),
    "lay-narrow": Style(width_mm=CUT_MM),
    "lay-number": letters(bold=True, halo_mm=0.8),
    "stay-name": letters(halo_mm=0.8),
    "start-mark": filled(WHITE, THIN_MM),
    "start-letter": letters(bold=True),
    "stock": filled("#e6e6e6", THIN_MM),
    "stock-cut": filled(WHITE),
    "stock-off": filled("#e6e6e6"),
    "stock-edge": line(THIN_MM),
    "stock-notch": line(FINE_MM, dash=(1.2, 0.7)),
    "knife": line(THIN_MM),
    "match-line": line(FINE_MM, GREY, dash=(4, 1.2, 0.6, 1.2)),
    "stock-number": letters(bold=True, halo_mm=0.6),
    # lists that leave room for larger lettering
    "capitals-3.5": Style(size_mm=_VALUE),
}  # fmt: skip

LARGER = ("capitals-3.5",)
"""The inks that letter a short list larger: the size of a title block's values, never over that of
its titles."""

LOOK |= {
    f"list-{name}": LOOK[name]
    for name in ("flag-stop", "flag-care", "flag-note", "on-stop", "on-care", "on-note")
}


def size_of(ink: str) -> float:
    """Return the size of an ink's lettering in mm of paper. Raises KeyError for an ink without."""
    size = LOOK[ink].size_mm
    if size is None:
        raise KeyError(ink)
    return size


def is_bold(ink: str) -> bool:
    """Return whether an ink's lettering is bold."""
    return bool(LOOK[ink].bold)
