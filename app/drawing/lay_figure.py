"""The pictures of one piece to lay: its cut with the tape distances, and its place in the floor."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from shapely.ops import polylabel

from app.drawing.medium import region
from app.drawing.primitives import Circle, Item, Line, Point, Polygon, Text
from app.drawing.svg import fragment
from app.scene.build import Scene
from app.takeoff.floor_layout import Laid, Mat
from app.takeoff.lay_steps import LayStep, Notch, Straight, lay_frame
from app.units import Units, format_short

_LETTERS = 13.0
"""How many letters of its lettering are as wide as the blank: large enough for a phone."""
_FLOOR_LETTERS = 26.0
_NUMBER = 1.4
"""What is free round the middle of a piece, in letters, where its number stands clear of rings."""
_RIM = 1.9
"""Room round the blank for what the tape says, in letters."""


def cut_picture(step: LayStep, units: Units, label: str) -> str:
    """Return what a piece is cut from, with its cuts numbered, as an `<svg>` named by `label`."""
    wide, high = step.blank_mm
    em = max(wide, high) / _LETTERS
    rim = em * _RIM
    items: list[Item] = [Polygon(((0, 0), (wide, 0), (wide, high), (0, high)), "stock")]
    items.append(region(step.piece, "stock-cut"))
    for number, cut in enumerate(step.straight, start=1):
        items += _straight(cut, number, em, units)
    for notch in step.notches:
        items += _notch(step, notch, em)
    at = polylabel(step.piece, em / 4)
    if at.distance(step.piece.boundary) > em * _NUMBER:
        # a piece too narrow for its number has it over the page alone
        items.append(Text((at.x, at.y + em * 0.5), str(step.mat.number), "lay-piece"))
    box = f"{-rim:.0f} {-rim:.0f} {wide + 2 * rim:.0f} {high + 2 * rim:.0f}"
    return _svg(items, box, "lay-cutting", em, label)


def _straight(cut: Straight, number: int, em: float, units: Units) -> Iterator[Item]:
    (ax, ay), (bx, by) = cut.ends
    x0, y0, x1, y1 = cut.box
    edges: dict[str, tuple[Point, Point]] = {
        "left": ((x0, y0), (x0, y1)),
        "right": ((x1, y0), (x1, y1)),
        "top": ((x0, y0), (x1, y0)),
        "bottom": ((x0, y1), (x1, y1)),
    }
    yield Line(*edges[cut.measured], "lay-hook")
    yield Line((ax, ay), (bx, by), "lay-knife")
    first, second = (format_short(mm, units) for mm in (cut.first_mm, cut.second_mm))
    upright = cut.measured in ("left", "right")
    if upright:
        yield Text((ax, ay - em * 0.35), first, "lay-tape")
        yield Text((bx, by + em * 1.05), second, "lay-tape")
    else:
        yield Text((ax - em * 0.3, ay + em * 0.36), first, "lay-tape", "end")
        yield Text((bx + em * 0.3, by + em * 0.36), second, "lay-tape", "start")
    # a third of the way, where no piece has its number
    at = (ax + (bx - ax) * 0.3, ay + (by - ay) * 0.3)
    yield Circle(at, em * 0.62, "lay-ring")
    yield Text((at[0], at[1] + em * 0.36), str(number), "lay-step")


def _notch(step: LayStep, notch: Notch, em: float) -> Iterator[Item]:
    x0, y0, _, _ = step.piece.bounds
    spots = [(x + x0, y + y0) for x, y in notch.spots]
    lines = [*pairwise(spots)]
    if notch.slit is not None:
        (ax, ay), (bx, by) = notch.slit
        lines.append(((ax + x0, ay + y0), (bx + x0, by + y0)))
    for a, b in lines:
        yield Line(a, b, "lay-knife")
    for spot in spots:
        yield Circle(spot, em * 0.16, "lay-mark")


def place_picture(scene: Scene, laid: Laid, mat: Mat, wall: str, label: str) -> str:
    """Return the floor with the start wall on top and one piece picked out, as an `<svg>`."""
    frame, _ = lay_frame(scene, laid)
    room = frame.into(scene.room.free)
    x0, y0, x1, y1 = room.bounds
    em = max(x1 - x0, y1 - y0) / _FLOOR_LETTERS
    items: list[Item] = [region(room, "lay-room")]
    names: list[Item] = []
    for one in laid.mats:
        shape = frame.into(one.polygon)
        now = one.number == mat.number
        ink = "lay-now" if now else "lay-lies" if one.down else "lay-waits"
        items.append(region(shape, f"lay {ink}"))
        at = shape.representative_point()
        names.append(
            Text((at.x, at.y + em * 0.36), str(one.number), "lay-named" if now else "lay-number")
        )
    items += names
    items.append(Text(((x0 + x1) / 2, y0 - em * 0.5), wall, "lay-wall"))
    box = f"{x0 - em:.0f} {y0 - 1.8 * em:.0f} {x1 - x0 + 2 * em:.0f} {y1 - y0 + 2.8 * em:.0f}"
    return _svg(items, box, "lay-place", em, label)


def _svg(items: list[Item], box: str, name: str, em: float, label: str) -> str:
    return fragment(
        items,
        {
            "class": name,
            "viewBox": box,
            "font-size": f"{em:.0f}",
            "role": "img",
            "aria-label": label,
        },
        digits=1,
    )
