"""The one writer of SVG: primitives in, text out. Only this file knows svgwrite."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from collections.abc import Iterable, Mapping
from typing import Any

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

Look = Mapping[str, Mapping[str, str]]
"""How each ink looks on a medium: SVG presentation attributes by ink word."""


class _Writer:
    """Turns primitives into svgwrite elements.

    Without a look the inks become classes for a style sheet of the page. With one they become
    presentation attributes, so the file stands alone, and `data-ink` keeps the word.
    """

    def __init__(self, look: Look | None, digits: int) -> None:
        self._look = look
        self._digits = digits
        # fetched with the first drawing: its tables take longer to read than the first page needs
        import svgwrite.container

        self._dwg = svgwrite.Drawing(debug=False)
        self.container: Any = svgwrite.container

    def element(self, item: Item) -> Any:
        dwg = self._dwg
        match item:
            case Line():
                made = dwg.line(self._at(item.start), self._at(item.end))
            case Polyline():
                made = dwg.polyline([self._at(p) for p in item.points])
            case Polygon():
                made = dwg.polygon([self._at(p) for p in item.points])
                self._fill(made, item.fill)
            case Region():
                made = dwg.path(" ".join(self._ring(ring) for ring in item.rings))
                made.attribs["fill-rule"] = "evenodd"
                self._fill(made, item.fill)
            case Strokes():
                made = dwg.path("".join(f"M{self._xy(a)}L{self._xy(b)}" for a, b in item.lines))
            case Circle():
                made = dwg.circle(self._at(item.centre), self.number(item.radius))
                self._fill(made, item.fill)
            case Arc():
                radius = self.number(item.radius)
                made = dwg.path(
                    f"M{self._xy(item.start)}A{radius},{radius} 0 0 {int(item.clockwise)} "
                    f"{self._xy(item.end)}"
                )
            case Text():
                made = dwg.text(printable(item.words), self._at(item.at))
                if item.anchor != "start":
                    made.attribs["text-anchor"] = item.anchor
                if item.turn_deg:
                    made.attribs["transform"] = (
                        f"rotate({self.number(item.turn_deg)} {self._xy(item.at, ' ')})"
                    )
            case Group():
                made = dwg.g()
                steps = self._transform(item)
                if steps:
                    made.attribs["transform"] = steps
                for child in item.children:
                    made.add(self.element(child))
        self._ink(made, item.ink)
        for name, value in getattr(item, "data", ()):
            made.attribs[f"data-{name}"] = printable(value)
        return made

    def pattern(self, pattern: Pattern) -> Any:
        tile = self.number(pattern.tile)
        made = self.container.Group(debug=False)
        made.elementname = "pattern"
        made.attribs.update(
            {"id": pattern.name, "width": tile, "height": tile, "patternUnits": "userSpaceOnUse"}
        )
        if pattern.turn_deg:
            made.attribs["patternTransform"] = f"rotate({self.number(pattern.turn_deg)})"
        ground = self._dwg.rect((0, 0), (tile, tile))
        self._ink(ground, f"{pattern.name}-ground")
        made.add(ground)
        for start, end in pattern.lines:
            made.add(self.element(Line(start, end, pattern.ink)))
        return made

    def number(self, value: float) -> str:
        """Write a number with no more digits than the drawing needs."""
        if not math.isfinite(value):
            raise ValueError(f"{value} cannot be drawn")
        text = f"{value:.{self._digits}f}"
        if "." in text:
            text = text.rstrip("0").rstrip(".")
        return "0" if text == "-0" else text

    def _at(self, point: Point) -> tuple[str, str]:
        return self.number(point[0]), self.number(point[1])

    def _xy(self, point: Point, comma: str = ",") -> str:
        return comma.join(self._at(point))

    def _ring(self, ring: Iterable[Point]) -> str:
        return "M" + "L".join(self._xy(p) for p in ring) + "Z"

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
        for word in ink.split():
            made.attribs.update(self._look.get(word, {}))


def printable(words: str) -> str:
    """Leave out what an XML file cannot hold: control signs and lone halves of surrogate pairs."""
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
    return ET.tostring(_Writer(None, digits).element(item).get_xml(), encoding="unicode")


def document(
    items: Iterable[Item],
    attributes: Mapping[str, str],
    look: Look,
    *,
    title: str,
    digits: int = 4,
) -> str:
    """Write a whole SVG file that stands alone; inks become presentation attributes."""
    writer = _Writer(look, digits)
    root = _root(items, {"version": "1.1", **attributes}, (), writer, title)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + _text(root) + "\n"


def _root(
    items: Iterable[Item],
    attributes: Mapping[str, str],
    patterns: Iterable[Pattern],
    writer: _Writer,
    title: str = "",
) -> Any:
    root = writer.container.Group(debug=False)
    root.elementname = "svg"
    root.attribs.update({"xmlns": "http://www.w3.org/2000/svg", **attributes})
    if title:
        root.set_desc(title=printable(title))
    made = [writer.pattern(pattern) for pattern in patterns]
    if made:
        definitions = writer.container.Defs(debug=False)
        for pattern in made:
            definitions.add(pattern)
        root.add(definitions)
    for item in items:
        root.add(writer.element(item))
    return root


def _text(root: Any) -> str:
    return ET.tostring(root.get_xml(), encoding="unicode")
