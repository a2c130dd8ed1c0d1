"""The trade between ways to lay one floor: pieces, least strip, knife and money side by side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from app.errors import PlanError
from app.model.base import json_of
from app.model.flooring import FloorLaying
from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.floor import Layout, floor_layout
from app.takeoff.floor_layout import Laid, Mat
from app.takeoff.floor_search import SOUGHT, search_ways
from app.takeoff.floor_shapes import inner_of, slits_of
from app.takeoff.floor_site import is_sawn, least_strip, piece_lies
from app.takeoff.floor_ways import Way
from app.units import Units
from app.wording import length_words

_BEST = "the best way"
_BY_HAND = "as chosen by hand"


@dataclass(frozen=True, slots=True, eq=False)
class Choice:
    """One way to lay a floor beside others. Lengths in mm, the price in minor units of the plan.

    `laying` is the floor as the plan holds it once this way is chosen, and the figures are those
    of it laid out in full. `knife_mm` is the length of all edges that are cut, `narrow` counts
    pieces narrower than a strip should be.
    """

    name: str
    laying: FloorLaying
    pieces: int
    narrow: int
    least_mm: float
    knife_mm: float
    price_minor: int | None
    chosen: bool


def trade(scene: Scene, laying: FloorLaying) -> tuple[Choice, ...]:
    """Return the ways worth a look, the best one first; the one that is laid now among them.

    Empty where nothing can be laid, and where it is being laid already.
    """
    choices: list[Choice] = []
    if laying.laid:
        # What lies can be laid no other way.
        return ()
    for name, way in _named(scene, laying):
        now = way == laying
        try:
            layout = floor_layout(scene, way, compare=False)
        except PlanError:
            # A way that cannot be laid is no choice.
            continue
        choice = _choice(name, way, layout, now)
        alike = next(
            (i for i, one in enumerate(choices) if _figures(one) == _figures(choice)), None
        )
        if alike is None:
            choices.append(choice)
        elif now:
            # The same by every figure: one of them is enough, and the one that is laid it is.
            choices[alike] = _choice(choices[alike].name, way, layout, True)
    return tuple(choices)


def order_words(laying: FloorLaying, units: Units) -> str:
    """Say in which order the figures decide which way is the best one."""
    strip = length_words(least_strip(laying), units)
    some = "metres of roll" if laying.sold_by_metre else f"{laying.kind}s"
    joints, cut = "", "sawing" if is_sawn(laying) else "knife"
    if laying.joints is None and laying.kind == "mat":
        joints = (
            "staggered joints before straight ones, even where those take less knife, because "
            "loose mats hold together so, but straight ones where whole mats need no cut; then "
        )
    elif laying.joints is None and laying.kind == "roll":
        joints = "lengths without a joint across them, because it shows; then "
    return (
        f"The best one has no strip narrower than {strip} where that can be, then the fewest "
        f"{some}; then {joints}the fewest cuts and the least {cut}. A strip that is wide enough "
        "is made no wider at the price of a cut."
    )


def least_mm(laid: Laid) -> float:
    """Return the narrower side of the narrowest piece."""
    return min(min(mat.size_mm) for mat in laid.mats)


def knife_mm(laid: Laid) -> float:
    """Return the length of all edges of pieces that are cut, notches and slits with them."""
    size = piece_lies(laid.laying, laid.start.along)
    return sum(_cut_mm(mat, size) for mat in laid.mats if mat.cut)


def longest_cut_mm(laid: Laid) -> float:
    """Return the length of the longest straight edge that is cut: what a straightedge lies along.

    Nought where nothing is cut.
    """
    along_mm, across_mm = piece_lies(laid.laying, laid.start.along)
    edges = [0.0]
    for along, across in (mat.size_mm for mat in laid.mats if mat.cut):
        edges += [across] * (along < along_mm - TOLERANCE_MM / 2)
        edges += [along] * (across < across_mm - TOLERANCE_MM / 2)
    return max(edges)


def _cut_mm(mat: Mat, size: tuple[float, float]) -> float:
    along, across = mat.size_mm
    knife = across if along < size[0] - TOLERANCE_MM / 2 else 0.0
    knife += along if across < size[1] - TOLERANCE_MM / 2 else 0.0
    if mat.notched:
        knife += inner_of(mat.outline, mat.outline.bounds)
        knife += sum(slit.length for slit in slits_of(mat.outline))
    return knife


def _named(scene: Scene, laying: FloorLaying) -> Iterator[tuple[str, FloorLaying]]:
    free = _with(laying, **dict.fromkeys(SOUGHT))
    yield _BEST, free
    searched = search_ways(scene, free)
    ways = [] if searched is None else [(name, _so(free, way)) for name, way in searched.others]
    yield from ways
    if laying not in (free, *(way for _, way in ways)):
        yield _BY_HAND, laying


def _so(laying: FloorLaying, way: Way) -> FloorLaying:
    start = way.start
    return _with(
        laying,
        start_wall=start.wall,
        start_end="right" if start.from_right else "left",
        along=start.along,
        joints=start.joints,
        stagger=start.stagger if start.joints == "staggered" else None,
        first_mm=way.first_mm,
        first_row_mm=way.first_row_mm,
    )


def _with(laying: FloorLaying, **fields: object) -> FloorLaying:
    return FloorLaying.model_validate({**json_of(laying), **fields})


def _choice(name: str, laying: FloorLaying, layout: Layout, chosen: bool) -> Choice:
    laid = layout.laid
    return Choice(
        name,
        laying,
        layout.to_buy,
        laid.narrow_mats,
        least_mm(laid),
        knife_mm(laid),
        layout.price_minor,
        chosen,
    )


def _figures(one: Choice) -> tuple[object, ...]:
    return one.pieces, one.narrow, round(one.least_mm), round(one.knife_mm, -2)
