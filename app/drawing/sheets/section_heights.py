"""The heights that decide beside a person of a section, each where it is true.

What is clear is dimensioned under the thing that hangs lowest, which is what was judged. Where that
hangs behind the cut its level is dashed, before the cut dashed with two dots (ISO 128-2, from
memory): so what is missing or spare is always the difference of the two heights beside it. Red is
only what a movement takes of ceiling and beams.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon as Area
from shapely.geometry.base import BaseGeometry

from app.drawing.hatching import hatch
from app.drawing.lettering import text_boxes, width_of
from app.drawing.lowest import Lowest, core_of, cores_of, lowest_in, lowest_over
from app.drawing.medium import Medium, region
from app.drawing.placing import Crowd, Spot
from app.drawing.primitives import Group, Item, Line, Point, Polygon, Text
from app.drawing.section_bay import Bay
from app.drawing.section_words import bar_part
from app.drawing.sheets.cutting_plane import Cut, hung
from app.drawing.sheets.upright import level_line, upright
from app.drawing.too_high import HATCH_DEG, HATCH_EM
from app.scene.build import Scene
from app.scene.overhead import lower_part
from app.units import format_short

GROUND_EM = 0.12
"""What the white under lettering reaches past it: less than it keeps off its dimension line."""
_LABEL_EM = 1.5
"""What words need between two levels, in sizes of the lettering."""
_BESIDE_EM = 1.6
"""How far beside a body a dimension line stands, in sizes of the lettering."""
_OFF_WALL_EM = 1.3
"""How far off the face of a wall a dimension line stands that is true at it."""
_AFTER_EM, _BEFORE_EM = 0.74, 0.71
"""How far the middle of a figure is off the line that it stands after, or before."""
_OTHER_SIDE_COST = 0.15
"""How much more a figure may hide, in lengths of its own, before it changes sides."""
_SLIVER_MM2 = 100.0
_LEVEL = 1e-6
"""What rises less along a cut, mm by mm, is level on it."""
KIT = "kit"


@dataclass(frozen=True, slots=True)
class Shown:
    """The clear height of a bay as a cut shows it.

    `s` is where along the cut it is true; `away_mm` how far behind the cut that is (negative:
    before it), None where it is on the cut itself.
    """

    clear_mm: float
    s: float
    at: Point
    slopes: bool
    away_mm: float | None
    kind: str


def shown_of(bay: Bay, cut: Cut) -> Shown:
    """Return where a cut shows the clear height that was judged."""
    core = core_of(bay)
    s = cut.flat(shapely.get_coordinates(core))[:, 0]
    along = shapely.LineString([cut.place(float(s.min())), cut.place(float(s.max()))])
    judged = lowest_over(bay)
    if judged is None:
        # what hangs over it is kit: a rack's own crossmember is over whoever stands in it
        return Shown(bay.clear_mm, _s(cut, bay.at), bay.at, False, None, KIT)
    on_it = lowest_in(bay.overhead, along, bay.clear_mm, bay.at)
    # joists are seen behind the cut: what they leave is read off there too
    found: Lowest | None = on_it or (judged if judged.kind == "joist" else None)
    if found is None:
        away = float(cut.flat(np.array([judged.at]))[0][1])
        return Shown(bay.clear_mm, _s(cut, judged.at), judged.at, False, away, judged.kind)
    (b, c), (x, y) = found.rises, cut.along
    slopes = abs(b * x + c * y) > _LEVEL
    return Shown(bay.clear_mm, _s(cut, found.at), found.at, slopes, None, found.kind)


def _s(cut: Cut, at: Point) -> float:
    return float(cut.flat(np.array([at]))[0][0])


def heights(
    scene: Scene,
    cut: Cut,
    bay: Bay,
    ends: tuple[float, float],
    levels: tuple[float, float],
    medium: Medium,
    crowd: Crowd,
) -> Group:
    """Draw what is clear and what is taken beside a body, the difference marked.

    `ends` are the left and right of the body; `levels` the floor there and the upper edge of the
    ceiling as it is drawn. Figures along a line stand on the side of it where they hide least of
    what `crowd` knows.
    """
    (base, lid), (x0, x1) = levels, ends
    em, units = medium.em_mm, scene.plan.units
    shown = shown_of(bay, cut)
    tone = "stop" if bay.hits else "care" if bay.short else "ok"
    takes = bay.demand.least_mm if bay.hits else bay.demand.need_mm
    middle = (x0 + x1) / 2
    left, right = x0 - em * _BESIDE_EM, x1 + em * _BESIDE_EM
    here = _off_walls(scene, cut, shown.s, middle, em) if shown.slopes else left
    inner = here < middle if shown.slopes else False
    # the two figures stand on either side of the body, however far off the one is true
    there = left if here > middle and shown.slopes else right
    items: list[Item] = []
    over: BaseGeometry = shapely.Polygon()
    if tone != "ok" and shown.away_mm is not None:
        over = _taken_beyond(cut, bay, base, takes)
    elif tone != "ok":
        over = taken_on(scene, cut, bay, base, takes)
    if not over.is_empty:
        if tone == "stop":
            # hatched as what else is too high: its outline alone is lost on a plate
            red = shapely.transform(over, lambda xy: xy * (1, -1))
            items.append(hatch(red, em * HATCH_EM, HATCH_DEG, "stuck"))
        items.append(_down(over, "missing-edge" if tone == "stop" else "short-edge"))
    elif shown.kind == KIT and tone != "ok":
        ring = shapely.box(x0, base + shown.clear_mm, x1, base + takes)
        items.append(_down(ring, "missing-edge" if tone == "stop" else "short-edge"))
    low, high = sorted((shown.clear_mm, takes))
    if shown.slopes:
        in_from = here + (em * 5.0 if here < middle else -em * 5.0)
        told = shown.s, here, in_from
        items += level_line(min(told), max(told), base + shown.clear_mm)
    else:
        in_from = middle
        reach = (min(left - em * 0.5, shown.s), max(right + em * 0.5, shown.s))
        items += level_line(*reach, base + shown.clear_mm, _level_ink(shown))
    spare = tone == "ok" and high - low > em * _LABEL_EM
    if spare or shown.slopes:
        # as far as the place where it is compared with what is clear
        ends_at = (in_from, here, there)
        items += level_line(min(ends_at) - em * 0.5, max(ends_at) + em * 0.5, base + takes)
    if spare:
        # what is spare, from the one level to the other: its words break the line
        at = (in_from + here) / 2 if shown.slopes else in_from
        items += _span(at, base + low, base + high, em)
    clear = f"{format_short(shown.clear_mm, units)} clear"
    where = f"{clear}{_where(shown)}"
    clear = where if width_of(where, em) + em <= bay.clear_mm else clear
    need = f"{format_short(takes, units)} {'least' if bay.hits else 'need'}"
    if part := bar_part(bay):
        need += f" of the {part}"
    # in a hall on small paper figures are longer than a room is high: then the list has them alone
    if max(width_of(clear, em), width_of(need, em)) + em <= bay.clear_mm:
        tops = base + shown.clear_mm, base + takes
        for x, top, words, after in (
            (here, tops[0], clear, inner), (there, tops[1], need, there > middle),
        ):  # fmt: skip
            after = _freer(crowd, x, (base + top) / 2, words, em, after=after)
            items += on_ground(upright(x, base, top, words, em, after=after), em)
    gap = format_short(abs(bay.clear_mm - takes), units)
    words = {"stop": f"{gap} missing", "care": f"{gap} short", "ok": f"{gap} spare"}[tone]
    at_x, foot = middle, _label_foot(base + low, base + high, lid, spare, em)
    if not over.is_empty:
        at_x = over.centroid.x
        foot = max(foot, over.bounds[3] + em * 0.4)
        if shown.away_mm is None:
            # what is cut there is hatched: words stand over all of it
            foot = max(foot, lid + em * 0.4)
        foot = lid + em * 0.4 if foot < lid < foot + em * 2.0 else foot
        if shown.slopes:
            # outside over the low end of the roof: inside the words would hide body or roof
            half = width_of(words, em, bold=True) / 2 + em * 0.8
            at_x = over.bounds[2] - half if inner else over.bounds[0] + half
            foot = base + high + em * 1.2
    elif spare and shown.slopes:
        at_x = (in_from + here) / 2
    elif not spare and shown.kind not in ("ceiling", KIT):
        # what hangs there is drawn: words over it would hide it
        foot = lid + em * 0.4
    label = Text((at_x, -foot), words, f"dimt dimt-{tone}")
    items += on_ground([label], em)
    data: tuple[tuple[str, str], ...] = (
        ("movement", bay.movement.key),
        ("person", bay.person.id),
        ("clear", f"{shown.clear_mm:.2f}"),
        ("takes", f"{takes:.2f}"),
        ("x", f"{shown.at[0]:.2f}"),
        ("y", f"{shown.at[1]:.2f}"),
        ("of", KIT if shown.kind == KIT else "room"),
    )
    return Group(tuple(items), "heights", data)


def _off_walls(scene: Scene, cut: Cut, s: float, middle: float, em: float) -> float:
    """Return where a height is drawn that is true at s: beside the face of a wall, not upon it."""
    faces = [end for span in cut.spans(scene.room.free) for end in span]
    if min(abs(s - face) for face in faces) >= em * _OFF_WALL_EM:
        return s
    return s + math.copysign(em * _OFF_WALL_EM, middle - s)


def _freer(crowd: Crowd, x: float, z: float, words: str, em: float, *, after: bool) -> bool:
    """Return whether the figure of a height stands after its line: `after`, unless that hides more.

    White is under it: over the post of a rack or the face of a wall it would read as a gap in it.
    """
    sides = {True: x + em * _AFTER_EM, False: x - em * _BEFORE_EM}
    spots = [Spot((sides[after], -z), 0.0), Spot((sides[not after], -z), _OTHER_SIDE_COST)]
    at = crowd.place(em, width_of(words, em) + em * GROUND_EM * 2, spots)
    return at[0] > x


def _where(shown: Shown) -> str:
    """Say where a clear height is true that is not on the cut."""
    if shown.away_mm is None:
        return ""
    return " behind the cut" if shown.away_mm > 0 else " before the cut"


def _level_ink(shown: Shown) -> str:
    if shown.away_mm is None:
        return "level-leader"
    return "beyond" if shown.away_mm > 0 else "before"


def _down(area: BaseGeometry, ink: str) -> Item:
    return region(shapely.transform(area, lambda xy: xy * (1, -1)), ink)


def _taken_beyond(cut: Cut, bay: Bay, base: float, takes: float) -> BaseGeometry:
    """Return what a movement takes of what hangs lower before or behind the cut, as one sees it."""
    low = [
        cut.flat(shapely.get_coordinates(met))[:, 0]
        for item in bay.overhead.items
        if not (met := lower_part(item, takes).intersection(core_of(bay))).is_empty
    ]
    if not low:
        return shapely.Polygon()
    s = np.concatenate(low)
    return shapely.box(float(s.min()), base + bay.clear_mm, float(s.max()), base + takes)


def taken_on(scene: Scene, cut: Cut, bay: Bay, base: float, takes: float) -> BaseGeometry:
    """Return what a movement takes of what hangs over it, as the cut shows it."""
    every = [_taken_over(core, scene, cut, bay, base, takes) for core in cores_of(bay)]
    return shapely.union_all(every)


def _taken_over(
    core: BaseGeometry, scene: Scene, cut: Cut, bay: Bay, base: float, takes: float
) -> BaseGeometry:
    """Return what one part of it takes, over its floor `core`."""
    s = cut.flat(shapely.get_coordinates(core))[:, 0]
    zone = shapely.box(float(s.min()), base, float(s.max()), base + takes)
    solids = [
        Area([*run, (run[-1][0], base + takes + 1), (run[0][0], base + takes + 1)])
        for item, run in hung(scene, cut, bay.overhead)
        if item.kind != "joist" and max(z for _, z in run) < base + takes
    ]
    slopes: list[BaseGeometry] = [
        Area([(a, za), (b, zb), (b, max(zb, base + takes + 1)), (a, max(za, base + takes + 1))])
        for item, ((a, za), (b, zb)) in hung(scene, cut, bay.overhead)
        if item.kind != "joist" and min(za, zb) < base + takes <= max(za, zb)
    ]
    for item in bay.overhead.items:
        met = item.polygon.intersection(core) if item.kind == "joist" else shapely.Polygon()
        if not met.is_empty:
            # joists are seen behind the cut, all along what they meet of the movement
            xy = shapely.get_coordinates(met)
            at, under = cut.flat(xy)[:, 0], base + item.heights(met)
            ends = [(float(p), float(z)) for p, z in zip(at, under, strict=True)]
            top = [(p, max(z, base + takes + 1)) for p, z in ends]
            slopes.append(shapely.MultiPoint([*ends, *top]).convex_hull)
    whole = shapely.union_all([one.buffer(0) for one in (*solids, *slopes)])
    parts = shapely.get_parts(whole.intersection(zone))
    return shapely.union_all(
        [part for part in parts if part.geom_type == "Polygon" and part.area > _SLIVER_MM2]
    )


def _span(x: float, low: float, high: float, em: float) -> list[Item]:
    """Draw an upright dimension line with its ticks."""
    slant = em * 0.3
    ticks = [Line((x - slant, -z + slant), (x + slant, -z - slant), "tick") for z in (low, high)]
    return [Line((x, -low), (x, -high), "dim"), *ticks]


def on_ground(items: Sequence[Item], em: float) -> list[Item]:
    """Put white under lettering, so that no line of the kit behind runs between its letters."""
    grounds: list[Item] = []
    for item in items:
        for box in text_boxes(item, em):
            x0, y0, x1, y1 = box.buffer(em * GROUND_EM, join_style="mitre").bounds
            ring = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
            grounds.append(Polygon(ring, "figure-ground"))
    return [*grounds, *items]


def _label_foot(low: float, high: float, lid: float, free: bool, em: float) -> float:
    """Return the height on which the words for a difference stand, clear of the ceiling.

    They stand in what is spare where they find room there, else over it; what would come into the
    ceiling as it is drawn stands over that.
    """
    if free:
        return (low + high) / 2 - em * 0.36
    over = high + em * 0.4
    return lid + em * 0.4 if high < lid < over + em * 2.0 or low < lid <= high else over
