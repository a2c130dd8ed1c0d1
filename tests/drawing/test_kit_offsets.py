"""Chained offsets: every station is tied to walls or others both ways, and every figure is true."""

import pytest
from shapely import get_parts
from shapely.affinity import scale
from shapely.geometry import LineString, Point
from shapely.ops import unary_union

from app.drawing.figure import crowd_of
from app.drawing.kit_offsets import Stretch, kit_offsets, stretches
from app.drawing.lettering import text_boxes
from app.drawing.medium import Medium
from app.drawing.primitives import Text
from app.scene.build import Scene, build_scene
from app.units import Units, parse_length_mm
from tests.builders import make_plan, make_room, place
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample, sheet


def free_between(scene: Scene, one: Stretch) -> float:
    """What is free round the middle of a stretch, found by walking along its line in steps."""
    room = scene.room.free
    solid = [p.footprint for p in scene.order if p.piece.id == p.root and p.kit.bar is None]
    solid += [polygon for _, polygon in scene.room.columns]
    middle = (one.low_mm + one.high_mm) / 2

    def clear(along: float) -> bool:
        point = Point(one.at(along))
        return bool(room.covers(point)) and not any(shape.covers(point) for shape in solid)

    ends = []
    for way in (-1, 1):
        near, far = 0.0, 20_000.0
        step = near
        while step < far and clear(middle + way * step):
            step += 1.0
        ends.append(step)
    return sum(ends)


@pytest.mark.parametrize("key", ["single-garage", "upstairs-room"])
def test_every_figure_is_what_is_free_there(key: str) -> None:
    scene = sample(key).scene
    some = stretches(scene, 140)
    assert some
    for one in some:
        # outlines that are no rectangles are measured to the foremost of their side
        assert free_between(scene, one) >= one.long_mm - 2
        ends = LineString([one.at(one.low_mm), one.at(one.high_mm)])
        for name in {one.before, one.after} - {""}:
            x0, y0, x1, y1 = scene.placed[name].footprint.bounds
            sides = (x0, x1) if one.across else (y0, y1)
            assert min(abs(s - e) for s in sides for e in (one.low_mm, one.high_mm)) < 1e-6
        assert scene.room.free.buffer(1).covers(ends)


def test_what_stands_square_is_tied_along_and_across() -> None:
    scene = sample("double-garage").scene
    some = stretches(scene)
    for across in (True, False):
        tied = {name for one in some if one.across is across for name in (one.before, one.after)}
        for placed in scene.order:
            if placed.piece.id == placed.root and placed.kit.fixing not in ("wall",):
                assert placed.kit.bar is not None or placed.piece.id in tied, placed.name


def test_worked_by_hand() -> None:
    # a tree 600 x 600 whose middle is 1,000 from the left and 800 from the back of 4,000 x 3,000
    scene = build_scene(make_plan(place("plate-tree", 1000, 800), room=make_room(4000, 3000)))
    found = {(one.across, one.before == ""): one.long_mm for one in stretches(scene)}
    assert found == {
        (True, True): pytest.approx(700), (True, False): pytest.approx(2700),
        (False, True): pytest.approx(500), (False, False): pytest.approx(1900),
    }  # fmt: skip


def test_what_is_askew_and_walls_askew_are_measured_to_by_nothing() -> None:
    turned = place("plate-tree", 2000, 1500, 30)
    scene = build_scene(make_plan(turned, room=make_room(4000, 3000)))
    assert stretches(scene) == []


@pytest.mark.parametrize(
    ("key", "units"), [("double-garage", "metric"), ("single-garage", "feet"), ("basement", "feet")]
)
def test_every_figure_on_the_paper_is_asked_of_the_room_again(key: str, units: Units) -> None:
    of = sample(key, units)
    scene = of.scene
    # what a line through the room meets: walls and columns, and what stands on the floor there,
    # which is measured to the foremost of its side
    solid = [
        p.footprint.envelope for p in scene.order if p.piece.id == p.root and p.kit.bar is None
    ]
    taken = unary_union([*solid, *(polygon for _, polygon in scene.room.columns)])
    open_floor = scene.room.free.difference(taken)
    told = 0
    for svg in sheet(of, "plan").inside:
        layer = next((e for e in parse(svg).iter() if e.get("data-ink") == "layer-offsets"), None)
        if layer is None:
            continue
        things = list(seen(layer))
        lines = [LineString(t.points) for t in things if t.ink == "offset"]
        figures = [t for t in things if t.ink == "offset-figure"]
        assert len(lines) == len(figures) > 5
        for figure in figures:
            printed = parse_length_mm(figure.words if units == "feet" else f"{figure.words} mm")
            # the line that it stands by: the nearest of those that are so long
            at = Point(figure.points[0])
            so_long = [line for line in lines if abs(line.length - printed) <= 1]
            near = min(so_long, key=at.distance)
            # by the line, or at the end of a leader
            assert near.distance(at) < 6 * figure.size_mm
            # all along it nothing stands, and right past both its ends something does
            assert near.intersection(open_floor.buffer(3)).length == pytest.approx(near.length)
            longer = scale(near, 1 + 60 / near.length, 1 + 60 / near.length)
            for end in get_parts(longer.difference(near.buffer(4, cap_style="flat"))):
                assert end.difference(open_floor).length > 0, figure.words
            lines.remove(near)
            told += 1
    assert told > 5


@pytest.mark.parametrize("gap_mm", [20, 40, 90])
def test_a_gap_shorter_than_its_figure_is_told_and_none_stands_in_a_wall(gap_mm: int) -> None:
    # a tree 600 wide so far from the left wall, and one so far beside it
    at = (300 + gap_mm, 900 + 2 * gap_mm)
    trees = [place("plate-tree", x, 800, piece_id=f"tree-{x}") for x in at]
    scene = build_scene(make_plan(*trees, room=make_room(4000, 3000)))
    figures, room = list[Text](), scene.room.free
    medium, left = Medium(125.0, "metric", True), list[Stretch]()
    drawn = kit_offsets(scene, crowd_of(scene, medium), medium, left)
    # no figure stands on the trees, where it is not read: what finds no room goes to the words
    trees_there = unary_union([placed.footprint for placed in scene.order])
    for group in drawn[1:]:
        figures += [item for item in group.children if isinstance(item, Text)]
        assert all(room.covers(box) for box in text_boxes(group, medium.em_mm * 0.9))
        assert all(
            box.intersection(trees_there).area < 1 for box in text_boxes(group, medium.em_mm * 0.9)
        )
    words = sorted(one.words for one in figures)
    told = [one for one in left if round(one.long_mm) == gap_mm]
    assert words.count(str(gap_mm)) >= 1
    assert words.count(str(gap_mm)) + len(told) == 2
    assert {str(4000 - 1200 - 2 * gap_mm), "500", "1900"} <= set(words)


@pytest.mark.parametrize("key", ["basement", "double-garage", "upstairs-room"])
def test_no_distance_runs_along_an_edge_where_another_line_tells_as_much(key: str) -> None:
    # 2 mm of paper at 1:25 are 50: a line nearer to a column or beam seems to be of that
    scene = sample(key).scene
    outlines = [p.footprint for p in scene.order if p.piece.id == p.root and p.kit.bar is None]
    outlines += [polygon for _, polygon in (*scene.room.columns, *scene.room.low)]

    def beside(some: list[Stretch]) -> int:
        count = 0
        for one in some:
            a, b = one.at(one.low_mm), one.at(one.high_mm)
            near = LineString([a, b]).buffer(50, cap_style="flat")
            for outline in outlines:
                for part in get_parts(near.intersection(outline.boundary)):
                    x0, y0, x1, y1 = part.bounds
                    count += (x1 - x0 if one.across else y1 - y0) > 100
        return count

    assert beside(stretches(scene, 140)) <= beside(stretches(scene))
    if key == "basement":
        # below the column of the middle, not 20 mm under it
        (long,) = [one for one in stretches(scene, 140) if round(one.long_mm) == 5500]
        ((_, column),) = scene.room.columns
        assert column.distance(LineString([long.at(long.low_mm), long.at(long.high_mm)])) > 56
