"""The one writer of PDF: primitives in, true vectors and text out. Only this file knows fpdf.

Lines are written as the operators of the page (ISO 32000-1, 8.5 and 9.4) in points, y up, because
the library's own paths take a millisecond each and its dashes know two lengths only; pages, fonts
and what surrounds them are the library's.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, TypeAlias

from app.drawing.face import face, font_file, printed
from app.drawing.ink import WHITE, Look, Style
from app.drawing.primitives import (
    Arc,
    Circle,
    Group,
    Item,
    Line,
    Point,
    Polygon,
    Polyline,
    Region,
    Strokes,
    Text,
)
from app.drawing.svg import printable, style_of

if TYPE_CHECKING:
    from fpdf import FPDF

POINTS_A_MM = 72 / 25.4
_KAPPA = 4 / 3 * (math.sqrt(2) - 1)
"""How far the control points of a quarter circle stand from its ends, in radii."""
_RIGHT_TO_LEFT = frozenset(("R", "AL", "AN"))
_MIRRORED = dict(zip("()[]{}<>«»‹›≤≥", ")(][}{><»«›‹≥≤", strict=True))
"""What is drawn for a sign that opens to one side where writing runs from the right: those of the
font that have a counterpart (BidiMirroring.txt of the Unicode Character Database)."""
_FAMILY = "lettering"

Matrix: TypeAlias = tuple[float, float, float, float, float, float]
"""a, b, c, d, e, f: x' = ax + cy + e, y' = bx + dy + f."""


@dataclass(frozen=True, slots=True)
class PdfPage:
    """What stands on one page: primitives in mm of paper, its size in mm, how inks look."""

    items: Sequence[Item]
    width_mm: float
    height_mm: float
    look: Look
    title: str


def pdf_document(pages: Sequence[PdfPage], title: str, made: datetime | None = None) -> bytes:
    """Write pages as one PDF file, each of its own size; `made` is the date it carries."""
    from fpdf import FPDF, ViewerPreferences

    pdf = FPDF(unit="mm", format=(pages[0].width_mm, pages[0].height_mm))
    pdf.set_auto_page_break(False)
    pdf.set_margin(0)
    pdf.set_title(printable(title))
    pdf.set_creator("Elbowroom")
    pdf.set_creation_date(made or datetime(2000, 1, 1, tzinfo=UTC))
    # a print that is fitted to the page is not to scale
    pdf.viewer_preferences = ViewerPreferences(print_scaling="None")
    for bold in (False, True):
        pdf.add_font(_FAMILY, "B" if bold else "", str(font_file(bold)))
    for page in pages:
        pdf.add_page(format=(page.width_mm, page.height_mm))
        pdf.start_section(printable(printed(page.title)))
        for bold in (False, True):
            # a blank beside the page, so that the page lists the fonts among what it uses
            pdf.set_font(_FAMILY, "B" if bold else "", 10)
            pdf.text(-10, -10, " ")
        writer = _Writer(pdf, page)
        writer.ends_as_in_svg()
        writer.items(page.items)
    return bytes(pdf.output())


class _Writer:
    """Writes the primitives of one page."""

    def __init__(self, pdf: FPDF, page: PdfPage) -> None:
        self._pdf = pdf
        self._look = page.look
        k = POINTS_A_MM
        self._paper: Matrix = (k, 0, 0, -k, 0, page.height_mm * k)
        self._known: dict[str, Style | None] = {}

    def ends_as_in_svg(self) -> None:
        """End lines where they end and cut sharp corners short, as an SVG does.

        The library begins a page otherwise: lines reach half their width too far (square caps),
        and corners ten widths instead of four.
        """
        self._write("0 J 4 M")

    def items(self, items: Iterable[Item]) -> None:
        """Write items in their order."""
        for item in items:
            self._item(item, self._paper, POINTS_A_MM)

    def _item(self, item: Item, at: Matrix, scale: float) -> None:
        """Write one item through a matrix; `scale` is what a unit of it comes to in points."""
        if isinstance(item, Group):
            inner = _within(at, item)
            for child in item.children:
                self._item(child, inner, scale * item.scale)
            return
        style = self._style(item.ink)
        if style is None:
            return
        if isinstance(item, Text):
            self._text(item, at, style)
            return
        closed = isinstance(item, Polygon | Region | Circle)
        paint = self._ready(style, closed)
        if paint:
            even = "*" if isinstance(item, Region) and paint != "S" else ""
            self._write(f"{_path(item, at, scale)} {paint}{even}")

    def _style(self, ink: str) -> Style | None:
        if ink not in self._known:
            self._known[ink] = style_of(self._look, ink)
        return self._known[ink]

    def _ready(self, style: Style, closed: bool) -> str:
        """Set colours and line; give the operator that paints, empty where nothing is seen."""
        stroked = style.stroke not in (None, "none") and bool(style.width_mm)
        fills = closed and style.fill not in (None, "none")
        if stroked and style.stroke is not None and style.width_mm is not None:
            dash = " ".join(_n(each * POINTS_A_MM) for each in style.dash or ())
            width = _n(style.width_mm * POINTS_A_MM)
            self._write(f"{_colour(style.stroke)} RG {width} w [{dash}] 0 d")
        if fills and style.fill is not None:
            self._write(f"{_colour(style.fill)} rg")
        return {(True, True): "B", (True, False): "S", (False, True): "f"}.get((stroked, fills), "")

    def _text(self, item: Text, at: Matrix, style: Style) -> None:
        size = style.size_mm
        words = printable(printed(item.words))
        if size is None or not words.strip():
            return
        bold = bool(style.bold)
        wide = face(bold).width(item.words) * size
        back = {"start": 0.0, "middle": wide / 2, "end": wide}[item.anchor]
        turn = math.atan2(-at[1], at[0]) - math.radians(item.turn_deg)
        x, y = _to(at, item.at)
        c, s = math.cos(turn), math.sin(turn)
        back *= POINTS_A_MM
        pdf = self._pdf
        pdf.set_font(_FAMILY, "B" if bold else "", size * POINTS_A_MM)
        # the library encodes the words for the part of the font it will carry
        font = pdf.current_font
        assert font is not None
        shown = font.encode_text(_in_order(words))
        where = (
            f"{_n(c, 6)} {_n(s, 6)} {_n(-s, 6)} {_n(c, 6)} {_n(x - back * c)} {_n(y - back * s)} Tm"
        )
        name = f"/F{font.i} {_n(size * POINTS_A_MM)} Tf"
        behind = ""
        if style.halo_mm:
            halo = f"{_colour(WHITE)} RG {_n(style.halo_mm * POINTS_A_MM)} w [] 0 d 1 j"
            behind = f"/Span <</ActualText <FEFF>>> BDC {halo} 1 Tr {where} {shown} 0 j EMC "
        fill = _colour(style.fill or "#000000")
        self._write(f"BT {name} {behind}0 Tr {fill} rg {where} {shown} ET")

    def _write(self, operators: str) -> None:
        self._pdf._out(operators)


def _in_order(words: str) -> str:
    """Return words as they stand from left to right: PDF knows no writing from the right.

    A line runs from the left, as in the SVG, and what opens in it to the left in a part that runs
    from the right is drawn by its counterpart (rule L4 of the Unicode Standard Annex 9).
    """
    if not any(unicodedata.bidirectional(sign) in _RIGHT_TO_LEFT for sign in words):
        return words
    from fpdf.bidi import BidiParagraph
    from fpdf.enums import TextDirection

    signs = BidiParagraph(words, TextDirection.LTR).get_reordered_characters()
    return "".join(
        _MIRRORED.get(one.character, one.character) if one.embedding_level % 2 else one.character
        for one in signs
    )


def _path(item: Item, at: Matrix, scale: float) -> str:
    match item:
        case Line():
            return _run((item.start, item.end), at, False)
        case Polyline():
            return _run(item.points, at, False)
        case Polygon():
            return _run(item.points, at, True)
        case Region():
            return " ".join(_run(ring, at, True) for ring in item.rings)
        case Strokes():
            return " ".join(_run(line, at, False) for line in item.lines)
        case Circle():
            return _round(item, at)
        case Arc():
            return _arc(item, at)
    raise TypeError(f"{type(item).__name__} has no path")


def _run(points: Sequence[Point], at: Matrix, closed: bool) -> str:
    a, b, c, d, e, f = at
    steps = [
        f"{a * x + c * y + e:.3f} {b * x + d * y + f:.3f} {'l' if i else 'm'}"
        for i, (x, y) in enumerate(points)
    ]
    return " ".join(steps) + (" h" if closed else "")


def _round(item: Circle, at: Matrix) -> str:
    (x, y), r = item.centre, item.radius
    k = r * _KAPPA
    start = _pair(at, (x + r, y))
    quarters = (
        ((x + r, y + k), (x + k, y + r), (x, y + r)),
        ((x - k, y + r), (x - r, y + k), (x - r, y)),
        ((x - r, y - k), (x - k, y - r), (x, y - r)),
        ((x + k, y - r), (x + r, y - k), (x + r, y)),
    )
    curves = " ".join(" ".join(_pair(at, p) for p in quarter) + " c" for quarter in quarters)
    return f"{start} m {curves} h"


def _arc(item: Arc, at: Matrix) -> str:
    """Write an arc of at most half a turn as cubic curves, each of a quarter turn at most."""
    (x0, y0), (x1, y1), r = item.start, item.end, item.radius
    chord = math.dist(item.start, item.end)
    if chord == 0 or r == 0:
        return _run((item.start, item.end), at, False)
    rise = math.sqrt(max(0.0, r * r - chord * chord / 4))
    side = -1 if item.clockwise else 1
    # y runs down, so the middle of a clockwise arc lies to the right of its chord
    cx = (x0 + x1) / 2 + side * rise * (y1 - y0) / chord
    cy = (y0 + y1) / 2 - side * rise * (x1 - x0) / chord
    first, last = math.atan2(y0 - cy, x0 - cx), math.atan2(y1 - cy, x1 - cx)
    turn = last - first
    if item.clockwise and turn < 0:
        turn += 2 * math.pi
    elif not item.clockwise and turn > 0:
        turn -= 2 * math.pi
    count = max(1, math.ceil(abs(turn) / (math.pi / 2) - 1e-9))
    step = turn / count
    k = 4 / 3 * math.tan(step / 4) * r
    steps = [f"{_pair(at, item.start)} m"]
    for i in range(count):
        a, b = first + i * step, first + (i + 1) * step
        ax, ay = cx + r * math.cos(a), cy + r * math.sin(a)
        bx, by = cx + r * math.cos(b), cy + r * math.sin(b)
        p = (ax - k * math.sin(a), ay + k * math.cos(a))
        q = (bx + k * math.sin(b), by - k * math.cos(b))
        steps.append(f"{_pair(at, p)} {_pair(at, q)} {_pair(at, (bx, by))} c")
    return " ".join(steps)


def _within(at: Matrix, group: Group) -> Matrix:
    """Return the matrix inside a group: moved, then turned, then scaled."""
    a, b, c, d, e, f = at
    if group.move is not None:
        x, y = group.move
        e, f = a * x + c * y + e, b * x + d * y + f
    if group.turn_deg:
        cos, sin = math.cos(math.radians(group.turn_deg)), math.sin(math.radians(group.turn_deg))
        a, b, c, d = a * cos + c * sin, b * cos + d * sin, c * cos - a * sin, d * cos - b * sin
    k = group.scale
    return a * k, b * k, c * k, d * k, e, f


def _to(at: Matrix, point: Point) -> Point:
    a, b, c, d, e, f = at
    x, y = point
    return a * x + c * y + e, b * x + d * y + f


def _pair(at: Matrix, point: Point) -> str:
    x, y = _to(at, point)
    return f"{x:.3f} {y:.3f}"


def _colour(words: str) -> str:
    value = words.removeprefix("#")
    return " ".join(_n(int(value[i : i + 2], 16) / 255, 3) for i in (0, 2, 4))


def _n(value: float, digits: int = 3) -> str:
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
