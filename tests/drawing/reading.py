"""Reading sheets back: their elements with all transforms applied, in mm of paper."""

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass

Matrix = tuple[float, float, float, float, float, float]
Point = tuple[float, float]
SVG = "{http://www.w3.org/2000/svg}"
STILL: Matrix = (1, 0, 0, 1, 0, 0)


@dataclass(frozen=True)
class Seen:
    """One element: its tag, ink, points on paper, words and the size of its lettering."""

    tag: str
    ink: str
    points: tuple[Point, ...]
    words: str
    size_mm: float
    stroke_mm: float
    element: ET.Element
    inside: tuple[str, ...]


def parse(svg: str) -> ET.Element:
    return ET.fromstring(svg.encode())


def times(a: Matrix, b: Matrix) -> Matrix:
    return (
        a[0] * b[0] + a[2] * b[1],
        a[1] * b[0] + a[3] * b[1],
        a[0] * b[2] + a[2] * b[3],
        a[1] * b[2] + a[3] * b[3],
        a[0] * b[4] + a[2] * b[5] + a[4],
        a[1] * b[4] + a[3] * b[5] + a[5],
    )


def matrix(text: str) -> Matrix:
    result = STILL
    for name, inner in re.findall(r"(\w+)\(([^)]*)\)", text):
        n = [float(word) for word in re.split(r"[ ,]+", inner.strip())]
        if name == "translate":
            result = times(result, (1, 0, 0, 1, n[0], n[1]))
        elif name == "scale":
            result = times(result, (n[0], 0, 0, n[0], 0, 0))
        else:
            assert name == "rotate", name
            c, s = math.cos(math.radians(n[0])), math.sin(math.radians(n[0]))
            x, y = (n[1], n[2]) if len(n) == 3 else (0.0, 0.0)
            turn = (c, s, -s, c, x - c * x + s * y, y - s * x - c * y)
            result = times(result, turn)
    return result


def numbers(text: str) -> list[float]:
    return [float(word) for word in re.findall(r"-?\d+(?:\.\d+)?", text)]


def own_points(element: ET.Element) -> list[Point]:
    tag = element.tag.removeprefix(SVG)

    def get(name: str) -> float:
        return float(element.get(name, "0"))

    if tag == "line":
        return [(get("x1"), get("y1")), (get("x2"), get("y2"))]
    if tag in ("polygon", "polyline"):
        n = numbers(element.get("points", ""))
        return list(zip(n[::2], n[1::2], strict=True))
    if tag == "circle":
        x, y, r = get("cx"), get("cy"), get("r")
        return [(x - r, y), (x + r, y), (x, y - r), (x, y + r)]
    if tag == "text":
        return [(get("x"), get("y"))]
    if tag == "path":
        steps = re.findall(r"([MLAZ])([^MLAZ]*)", element.get("d", ""))
        points = [numbers(inner)[-2:] for name, inner in steps if name != "Z"]
        return [(x, y) for x, y in points]
    return []


def seen(element: ET.Element, at: Matrix = STILL, inside: tuple[str, ...] = ()) -> Iterator[Seen]:
    here = times(at, matrix(element.get("transform", "")))
    scale = math.hypot(here[0], here[1])
    ink = element.get("data-ink", "")
    points = tuple(
        (here[0] * x + here[2] * y + here[4], here[1] * x + here[3] * y + here[5])
        for x, y in own_points(element)
    )
    if points:
        yield Seen(
            element.tag.removeprefix(SVG),
            ink,
            points,
            element.text or "",
            float(element.get("font-size", "0")) * scale,
            float(element.get("stroke-width", "0")) * scale,
            element,
            inside,
        )
    for child in element:
        yield from seen(child, here, (*inside, ink) if ink else inside)
