"""Columns on plan and setting out: named, with their size, and placed by arithmetic of the plan."""

import re

import pytest
import shapely

from app.drawing.sheet import Sheet
from app.model.room import Room
from app.scene.build import build_scene
from tests.builders import column, make_plan, make_room, place, rectangle
from tests.drawing.boxes import lettered
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample, sheet, subjects
from tests.drawing.sheets.test_costs_sheet import words_of


def words(of: Sheet) -> list[str]:
    return [one for page in of.pages for one in words_of(page.items)]


@pytest.mark.parametrize("which", ["plan", "setting-out"])
def test_the_column_of_the_basement_is_named_with_its_size(which: str) -> None:
    of = sample("basement")
    (one,) = of.scene.plan.room.columns
    x0, y0, x1, y1 = shapely.Polygon(one.outline).bounds
    assert f"{one.label} {x1 - x0:.0f} × {y1 - y0:.0f}" in words(sheet(of, which))


def test_how_far_it_stands_from_two_walls_is_drawn_and_true_to_scale() -> None:
    of = sample("basement")
    (one,) = of.scene.plan.room.columns
    x0, y0, x1, _ = shapely.Polygon(one.outline).bounds
    walls = of.scene.plan.room.walls
    # the room is a rectangle from 0, 0 on; none of its walls has a lining
    assert all(wall.lining_mm == 0 for wall in walls)
    wide = max(wall.x_mm for wall in walls)
    drawn = sheet(of, "setting-out")
    (svg, *_) = drawn.inside
    root = parse(svg)
    (scale,) = {int(t) for s in seen(root) for t in re.findall(r"^1:(\d+) on", s.words)}
    told = [
        (float(group.get("data-column-off", "")), "".join(t.text or "" for t in group))
        for group in root.iter()
        if group.get("data-column-off")
    ]
    assert sorted(round(off) for off, _ in told) == sorted([round(y0), round(min(x0, wide - x1))])
    assert all(text == f"{off:.0f}" for off, text in told)
    lengths = [
        abs(complex(*s.points[0]) - complex(*s.points[1])) * scale
        for s in seen(root)
        if s.tag == "line" and s.ink == "dim"
    ]
    for off, _ in told:
        assert min(abs(length - off) for length in lengths) < 3


def with_breast() -> Room:
    """A breast of 1300 against the left wall, 900 from its end, 350 deep."""
    breast = column(rectangle(0, 900, 350, 2200)).model_copy(update={"label": "Chimney breast"})
    return make_room(3600, 3100, columns=[breast])


def test_a_breast_stands_in_the_chain_of_its_wall() -> None:
    plan = make_plan(place("jump-box", 2500, 1500), room=with_breast())
    of = subjects(plan)
    for which in ("plan", "setting-out"):
        drawn = words(sheet(of, which))
        assert "Chimney breast 350 × 1300" in drawn
        # by hand: 3100 = 900 + 1300 + 900
        assert drawn.count("900") >= 2
        assert "1300" in drawn
        boxes = [one for one in lettered(sheet(of, which).pages[0]) if "breast" in one.words]
        assert len(boxes) == 1
    # its place is in that chain: no distance is drawn besides
    assert not any("data-column-off" in svg for svg in sheet(of, "setting-out").inside)


def test_a_room_without_columns_names_none() -> None:
    of = subjects(make_plan(place("jump-box", 2500, 1500), room=make_room(3600, 3100)))
    assert not build_scene(of.plan).room.columns
    for which in ("plan", "setting-out"):
        assert not any("data-column" in svg for svg in sheet(of, which).inside)
