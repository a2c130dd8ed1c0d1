"""The one writer of SVG: primitives in, text out. Only this file knows svgwrite.

A file that stands alone carries its font, so that it is lettered as the PDF is.
"""

from __future__ import annotations

import base64
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterable, Mapping
from functools import cache
from math import ceil, log10
from typing import Any

import numpy as np

from app.drawing.face import FAMILY, font_file, printed
from app.drawing.ink import SMALL_MM, WHITE, Look, Style
from app.drawing.primitives import (
    Arc,
    Circle,
    Group,
    Item,
    Line,
    Pattern,
    Point,
    Polygon,
    Polyline,
    Region,
    Strokes,
    Text,
)

FEW_STROKES = 60
"""So many strokes are written one by one: to make a table of them takes longer."""
_MARKS = re.compile('[&<>"\\r\\n\\t]').search
"""Finds what cannot stand as it is in an attribute."""


class _Writer:
    """Turns primitives into svgwrite elements.

    Without a look the inks become classes for a style sheet of the page. With one they become
    presentation attributes, so the file stands alone, and `data-ink` keeps the word.
    """

    def __init__(self, look: Look | None, digits: int) -> None:
        self._look = look
        self._attributes: dict[tuple[str, float], dict[str, str]] = {}
        self._numbers_at: dict[int, dict[float, str]] = {}
        self._scaled(1.0, digits)
        # fetched with the first drawing: its tables take longer to read than the first page needs
        import svgwrite.container

        self._dwg = svgwrite.Drawing(debug=False)
        self.container: Any = svgwrite.container
        self._base: Any = svgwrite.base.BaseElement

    def made(self, name: str, **attributes: str) -> Any:
        """Return a plain element: those with methods of their own take twice as long to make."""
        made = self._base(factory=self._dwg)
        made.elementname = name
        made.attribs = attributes
        made.text = ""
        return made

    def element(self, item: Item) -> Any:
        match item:
            case Line():
                (x1, y1), (x2, y2) = self._at(item.start), self._at(item.end)
                made = self.made("line", x1=x1, x2=x2, y1=y1, y2=y2)
            case Polyline():
                made = self.made("polyline", points=self._points(item.points))
            case Polygon():
                made = self.made("polygon", points=self._points(item.points))
                self._fill(made, item.fill)
            case Region():
                made = self.made("path", d=" ".join(self._ring(ring) for ring in item.rings))
                made.attribs["fill-rule"] = "evenodd"
                self._fill(made, item.fill)
            case Strokes():
                made = self.made("path", d=self._strokes(item))
            case Circle():
                cx, cy = self._at(item.centre)
                made = self.made("circle", cx=cx, cy=cy, r=self.number(item.radius))
                self._fill(made, item.fill)
            case Arc():
                radius = self.number(item.radius)
                made = self.made(
                    "path",
                    d=f"M{self._xy(item.start)}A{radius},{radius} 0 0 {int(item.clockwise)} "
                    f"{self._xy(item.end)}",
                )
            case Text():
                words = item.words if self._look is None else printed(item.words)
                x, y = self._at(item.at)
                made = self.made("text", x=x, y=y)
                made.text = printable(words)
                if item.anchor != "start":
                    made.attribs["text-anchor"] = item.anchor
                if item.turn_deg:
                    made.attribs["transform"] = (
                        f"rotate({self.number(item.turn_deg)} {self._xy(item.at, ' ')})"
                    )
            case Group():
                made = self.made("g")
                steps = self._transform(item)
                if steps:
                    made.attribs["transform"] = steps
                # a group's own ink counts outside its scale
                around, digits = self._scale, self._digits
                if item.scale != 1:
                    # at 1:100 the last two digits are finer than any outside
                    fewer = min(0, ceil(log10(item.scale)))
                    self._scaled(around * item.scale, max(0, digits + fewer))
                for child in item.children:
                    made.add(self.element(child))
                self._scaled(around, digits)
        self._ink(made, item.ink)
        for name, value in getattr(item, "data", ()):
            made.attribs[f"data-{name}"] = printable(value)
        return made

    def pattern(self, pattern: Pattern) -> Any:
        tile = self.number(pattern.tile)
        made = self.made("pattern")
        made.attribs.update(
            {"id": pattern.name, "width": tile, "height": tile, "patternUnits": "userSpaceOnUse"}
        )
        if pattern.turn_deg:
            made.attribs["patternTransform"] = f"rotate({self.number(pattern.turn_deg)})"
        ground = self.made("rect", x="0", y="0", width=tile, height=tile)
        self._ink(ground, f"{pattern.name}-ground")
        made.add(ground)
        for start, end in pattern.lines:
            made.add(self.element(Line(start, end, pattern.ink)))
        return made

    def _scaled(self, scale: float, digits: int) -> None:
        self._scale, self._digits, self._form = scale, digits, f"%.{digits}f"
        self._numbers = self._numbers_at.setdefault(digits, {})

    def number(self, value: float) -> str:
        """Write a number with no more digits than the drawing needs."""
        return self._numbers.get(value) or self._written(value)

    def _written(self, value: float) -> str:
        """Write a number that is not known yet: most of a picture's thousands are new."""
        written = self._form % value
        if written[-1] in "fn":
            raise ValueError(f"{value} cannot be drawn")
        # whole ones without a point, and a nought without a minus
        if self._digits and written[-1] == "0":
            written = written.rstrip("0").rstrip(".")
        self._numbers[value] = written = "0" if written == "-0" else written
        return written

    def _at(self, point: Point) -> tuple[str, str]:
        return self.number(point[0]), self.number(point[1])

    def _xy(self, point: Point, comma: str = ",") -> str:
        return f"{self.number(point[0])}{comma}{self.number(point[1])}"

    def _strokes(self, item: Strokes) -> str:
        """Write many lines as one path: of very many all numbers are rounded at one go."""
        if len(item.lines) <= FEW_STROKES:
            # most ends are corners of what is drawn already
            known, write = self._numbers.get, self._written
            runs = [
                f"M{known(a) or write(a)},{known(b) or write(b)}"
                f"L{known(c) or write(c)},{known(d) or write(d)}"
                for (a, b), (c, d) in item.lines
            ]
            return "".join(runs)
        ends = np.array(item.lines, dtype=np.float64).reshape(-1, 4)
        if not np.isfinite(ends).all():
            raise ValueError("a stroke without an end cannot be drawn")
        # a nought is added so that none is written with a minus
        rounded = (np.round(ends, self._digits) + 0.0).tolist()
        return "".join([f"M{a:.15g},{b:.15g}L{c:.15g},{d:.15g}" for a, b, c, d in rounded])

    def _points(self, points: Iterable[Point]) -> str:
        known, write = self._numbers.get, self._written
        return " ".join([f"{known(x) or write(x)},{known(y) or write(y)}" for x, y in points])

    def _ring(self, ring: Iterable[Point]) -> str:
        # most corners are those of another ring too
        known, write = self._numbers.get, self._written
        corners = [f"{known(x) or write(x)},{known(y) or write(y)}" for x, y in ring]
        return f"M{'L'.join(corners)}Z"

    def _transform(self, group: Group) -> str:
        steps = []
        if group.move is not None:
            steps.append(f"translate({self._xy(group.move, ' ')})")
        if group.turn_deg:
            steps.append(f"rotate({self.number(group.turn_deg)})")
        if group.scale != 1:
            # the scale is not rounded like a length: over 12 m of room it would show
            steps.append(f"scale({group.scale:.12g})")
        return " ".join(steps)

    def _fill(self, made: Any, pattern: str) -> None:
        if pattern and self._look is None:
            made.attribs["fill"] = f"url(#{pattern})"

    def _ink(self, made: Any, ink: str) -> None:
        if not ink:
            return
        if self._look is None:
            made.attribs["class"] = ink
            return
        made.attribs["data-ink"] = ink
        key = (ink, self._scale)
        if key not in self._attributes:
            style = style_of(self._look, ink)
            self._attributes[key] = {} if style is None else _attributes(style, 1 / self._scale)
        made.attribs.update(self._attributes[key])


def style_of(look: Look, ink: str) -> Style | None:
    """Return how the words of an ink look together, the last of them first; None if unknown."""
    style = None
    for word in ink.split():
        if word in look:
            style = look[word] if style is None else look[word].over(style)
    return style


def lettering_mm(look: Look, ink: str) -> float:
    """Return the size of the words of an ink in mm of paper; that of small words if it has none."""
    style = style_of(look, ink)
    return style.size_mm if style is not None and style.size_mm else SMALL_MM


def _attributes(style: Style, factor: float) -> dict[str, str]:
    """Return a style as presentation attributes, its lengths in units of 1/factor mm of paper."""
    given: dict[str, str] = {}
    for name, words in (("fill", style.fill), ("stroke", style.stroke)):
        if words is not None:
            given[name] = words
    if style.width_mm is not None:
        given["stroke-width"] = _number(style.width_mm * factor)
    if style.dash:
        given["stroke-dasharray"] = " ".join(_number(each * factor) for each in style.dash)
    if style.size_mm is not None:
        given["font-size"] = _number(style.size_mm * factor)
    if style.bold:
        given["font-weight"] = "700"
    if style.halo_mm is not None:
        given |= {
            "stroke": WHITE,
            "stroke-width": _number(style.halo_mm * factor),
            "stroke-linejoin": "round",
            "paint-order": "stroke",
        }
    return given


def _number(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".")


@cache
def faces_css(url: str = "") -> str:
    """Return the rules that name the font of the sheets: the files themselves, or by `url`."""
    rules = []
    for bold, weight in ((False, 400), (True, 700)):
        file = font_file(bold)
        where = f"{url}{file.name}"
        if not url:
            where = f"data:font/woff;base64,{base64.b64encode(file.read_bytes()).decode()}"
        rules.append(
            f'@font-face{{font-family:"{FAMILY}";font-weight:{weight};'
            f'src:url({where}) format("woff")}}'
        )
    return "".join(rules)


def printable(words: str) -> str:
    """Leave out what an XML file cannot hold: control signs and lone halves of surrogate pairs."""
    if words.isprintable():
        return words
    return "".join(
        sign
        for sign in words
        if sign in "\t\n\r"
        or "\u0020" <= sign <= "\ud7ff"
        or "\ue000" <= sign <= "\ufffd"
        or sign > "\uffff"
    )


def fragment(
    items: Iterable[Item],
    attributes: Mapping[str, str],
    patterns: Iterable[Pattern] = (),
    *,
    digits: int = 2,
) -> str:
    """Write an `<svg>` element to stand inside a page; inks become classes."""
    return _text(_root(items, attributes, patterns, _Writer(None, digits)))


def part(item: Item, *, digits: int = 2) -> str:
    """Write one element to be laid into an `<svg>` that is there already; inks become classes."""
    return _text(_Writer(None, digits).element(item))


def document(
    items: Iterable[Item],
    attributes: Mapping[str, str],
    look: Look,
    *,
    title: str,
    digits: int = 4,
    alone: bool = True,
) -> str:
    """Write a whole SVG file; inks become presentation attributes.

    One that is to stand `alone` carries its font, one to lie in a page leaves that to the page.
    """
    writer = _Writer(look, digits)
    root = _root(items, {"version": "1.1", **attributes}, (), writer, title, alone)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + _text(root) + "\n"


def _root(
    items: Iterable[Item],
    attributes: Mapping[str, str],
    patterns: Iterable[Pattern],
    writer: _Writer,
    title: str = "",
    alone: bool = False,
) -> Any:
    root = writer.made("svg", xmlns="http://www.w3.org/2000/svg", **attributes)
    if title:
        named = writer.made("title")
        named.text = printable(title)
        root.add(named)
    made = [writer.pattern(pattern) for pattern in patterns]
    if made:
        definitions = writer.made("defs")
        for pattern in made:
            definitions.add(pattern)
        root.add(definitions)
    if alone:
        styles = writer.container.Style(faces_css(), debug=False)
        root.add(styles)
    for item in items:
        root.add(writer.element(item))
    return root


def _text(root: Any) -> str:
    parts: list[str] = []
    _serialised(root, parts)
    return "".join(parts)


def _serialised(element: Any, parts: list[str]) -> None:
    """Write an element as `ET.tostring` does what its `get_xml` gives.

    That one looks every name of every element up twice, which is a third of writing a sheet, and
    builds all elements a second time before.
    """
    name = element.elementname
    if name == "style":
        # what stands in it is no words but rules, marked as such
        parts.append(ET.tostring(element.get_xml(), encoding="unicode"))
        return
    parts.append(f"<{name}")
    parts += [
        f' {key}="{_quoted(value)}"' for key, value in sorted(element.attribs.items()) if value
    ]
    words, children = element.text, element.elements
    if not words and not children:
        parts.append(" />")
        return
    parts.append(f">{_escaped(words) if words else ''}")
    for child in children:
        _serialised(child, parts)
    parts.append(f"</{name}>")


def _escaped(words: str) -> str:
    if "&" in words or "<" in words or ">" in words:
        return words.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return words


def _quoted(words: str) -> str:
    if _MARKS(words) is None:
        return words
    words = _escaped(words)
    for sign, written in (('"', "&quot;"), ("\r", "&#13;"), ("\n", "&#10;"), ("\t", "&#09;")):
        if sign in words:
            words = words.replace(sign, written)
    return words
