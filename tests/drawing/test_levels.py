"""Every height that is lettered is true at the tip of its mark: reckoned anew from the plan."""

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon

from app.checks.run import run
from app.drawing.desk import desk_figure
from app.drawing.paper import PAPERS
from app.drawing.plan_sheet import plan_sheet
from app.drawing.section import headroom_section
from app.drawing.section_bay import snag_bay
from app.drawing.section_cut import clear_at, overhead, swept
from app.drawing.walk_figure import WalkDrawing, walk_figure
from app.model.base import json_of
from app.model.kit import Pose
from app.model.room import Floor, Joists, LowThing, Plane
from app.model.versions import load
from app.scene.build import Scene, build_scene
from app.units import Units, parse_length_mm
from tests.builders import make_person, make_plan, make_room, rectangle
from tests.drawing.reading import SVG, numbers, parse
from tests.thinned import drawn, one_of

SAMPLES = sorted((Path(__file__).parents[2] / "sample_rooms").glob("*.json"))
# half of what the last figure of a length tells (1 mm, 1/16 inch), and the digits of the drawing
CLOSE_MM: dict[Units, float] = {"metric": 0.6, "feet": 25.4 / 32 + 0.1}
LETTERED = re.compile(r"(-?\d[\d '\"/]*)$")
Data = Mapping[str, Any]


def sample(path: Path, units: Units) -> Scene:
    plan = load(path.read_text(encoding="utf-8"))
    return build_scene(plan.model_copy(update={"units": units}))


def levels(root: ET.Element) -> Iterator[tuple[str, float, float]]:
    """Words and tip of each mark, in mm of the room: nothing inside a figure is moved."""
    for group in root.iter(f"{SVG}g"):
        if "level" in (group.get("class"), group.get("data-ink")):
            (words,) = [e.text or "" for e in group.iter(f"{SVG}text")]
            (ring,) = [e.get("points", "") for e in group.iter(f"{SVG}polygon")]
            x, y = numbers(ring)[:2]
            yield words, x, y


def over(planes: list[Data], x: float, y: float) -> list[float]:
    """The heights of the planes over a point, as the document defines them."""
    return [
        p["height_mm"]
        + p["rise_x"] * (x - p["at"][0]) / 1000
        + p["rise_y"] * (y - p["at"][1]) / 1000
        for p in planes
        if not p["outline"] or Polygon(p["outline"]).distance(Point(x, y)) == 0
    ]


def truth(scene: Scene, words: str, x: float, y: float) -> list[float]:
    """What may be lettered at a point under the name that is lettered there."""
    room: Data = json_of(scene.plan.room)
    floor = over(room["floor"]["planes"], x, y)
    if words.startswith("Step"):
        return [max(floor)]
    if words.startswith("Garage door when open"):
        hung = [h for opening in scene.room.openings for h in opening.when_open]
        return [h.bottom_mm for h in hung if h.polygon.distance(Point(x, y)) < 0.1]
    if not words.startswith(("Ceiling", "Under joists")):
        things = [t for t in room["low_things"] if Polygon(t["outline"]).distance(Point(x, y)) < 1]
        return [t["bottom_mm"] for t in things if words.startswith(t["label"])]
    ceiling = min(over(room["ceiling"]["planes"], x, y))
    if words.startswith("Under joists"):
        joists = room["ceiling"]["joists"]
        turn = math.radians(joists["direction_deg"])
        across = np.array([-math.sin(turn), math.cos(turn)])
        least = float((shapely.get_coordinates(scene.room.free) @ across).min())
        off = (float(np.array([x, y]) @ across) - least - joists["first_mm"]) % joists["spacing_mm"]
        middle = min(off, joists["spacing_mm"] - off)
        assert middle <= joists["width_mm"] / 2 + 0.5, "no joist is at the tip"
        ceiling -= joists["depth_mm"]
    return [ceiling - one for one in floor]


def assert_true(scene: Scene, svg: str) -> list[str]:
    """Every mark of a drawing says what is true at its tip; gives the words of all."""
    every = []
    for words, x, y in levels(parse(svg)):
        match = LETTERED.search(words)
        assert match is not None
        lettered = parse_length_mm(match[1], scene.plan.units)
        # at the edge of a part, what is true just beside it may be meant
        beside = [(x + dx, y + dy) for dx in (-0.3, 0, 0.3) for dy in (-0.3, 0, 0.3)]
        inside = [at for at in beside if scene.room.free.distance(Point(at)) < 0.01]
        true = [height for at in inside for height in truth(scene, words, *at)]
        close = CLOSE_MM[scene.plan.units]
        assert any(abs(lettered - height) <= close for height in true), (words, x, y, true)
        assert scene.room.free.distance(Point(x, y)) < 0.1, (words, x, y)
        every.append(words)
    return every


@pytest.mark.parametrize("units", ["metric", "feet"])
@pytest.mark.parametrize("paper", one_of(2, PAPERS))
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_heights_on_sheets_are_true_where_their_marks_point(
    path: Path, paper: str, units: Units
) -> None:
    scene = sample(path, units)
    assert assert_true(scene, plan_sheet(scene, run(scene), paper=paper).svg)


@pytest.mark.parametrize("units", ["metric", "feet"])
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_heights_on_the_desk_are_true_where_their_marks_point(path: Path, units: Units) -> None:
    scene = sample(path, units)
    assert assert_true(scene, desk_figure(scene).svg) == assert_true(
        scene, desk_figure(scene, False).svg
    )


def test_a_slope_is_marked_at_its_ends_and_a_ridge_once() -> None:
    # 2000 at both sides, 2400 in the middle of 4 m
    one = Plane(id="a", height_mm=2000, rise_x=200, outline=rectangle(0, 0, 2000, 3000))
    two = Plane(
        id="b", height_mm=2000, at=(4000, 0), rise_x=-200, outline=rectangle(2000, 0, 4000, 3000)
    )
    scene = build_scene(make_plan(room=make_room(4000, 3000, planes=(one, two))))
    words = assert_true(scene, desk_figure(scene).svg)
    assert sorted(words) == ["Ceiling, highest 2400", *["Ceiling, lowest 2000"] * 2]


def test_a_level_ceiling_over_a_floor_that_falls_is_two_heights() -> None:
    # 20 mm a metre over 5 m: 100 mm more at the door
    falling = Floor(planes=(Plane(id="floor", height_mm=0, rise_y=-20),))
    room = make_room(3000, 5000, 2300).model_copy(update={"floor": falling})
    scene = build_scene(make_plan(room=room))
    words = assert_true(scene, desk_figure(scene).svg)
    assert words == ["Ceiling, lowest 2300", "Ceiling, highest 2400"]


def test_a_part_that_another_hides_from_below_is_not_lettered_there() -> None:
    # the board at 2100 covers the left half, the ceiling above it is met nowhere there
    board = Plane(id="b", height_mm=2100, outline=rectangle(0, 0, 2000, 3000))
    planes = (Plane(id="a", height_mm=2400), board)
    scene = build_scene(make_plan(room=make_room(4000, 3000, planes=planes)))
    assert sorted(assert_true(scene, desk_figure(scene).svg)) == ["Ceiling 2100", "Ceiling 2400"]


@st.composite
def rooms(draw: st.DrawFn) -> Scene:
    """A turned room: two slopes one over the other, a floor that falls with a step, a beam."""
    turn = math.radians(draw(st.floats(0, 360)))
    c, s = math.cos(turn), math.sin(turn)

    def put(*corners: tuple[float, float]) -> tuple[tuple[float, float], ...]:
        return tuple((round(x * c - y * s, 2), round(x * s + y * c, 2)) for x, y in corners)

    rise = st.integers(-150, 150)
    planes = [
        Plane(id="a", height_mm=2400, rise_x=draw(rise), rise_y=draw(rise)),
        Plane(
            id="b",
            height_mm=draw(st.integers(2000, 2500)),
            rise_x=draw(rise),
            rise_y=draw(rise),
            outline=put(*rectangle(0, 0, draw(st.integers(500, 4000)), 3000)),
        ),
    ]
    joists = None
    if draw(st.booleans()):
        joists = Joists(
            direction_deg=draw(st.integers(0, 179)),
            spacing_mm=400,
            width_mm=45,
            depth_mm=100,
            first_mm=200,
        )
    beam = LowThing(
        id="t",
        kind="beam",
        label="Beam",
        bottom_mm=1800,
        outline=put(*rectangle(1000, 0, 1100, 3000)),
    )
    room = make_room(
        corners=put(*rectangle(0, 0, 4000, 3000)), planes=planes, joists=joists, low_things=[beam]
    )
    floor = Floor(
        planes=(
            Plane(id="floor", height_mm=0, rise_x=draw(st.integers(-20, 20))),
            Plane(id="s", height_mm=150, outline=put(*rectangle(3000, 0, 4000, 1000))),
        )
    )
    return build_scene(make_plan(room=room.model_copy(update={"floor": floor})))


@given(scene=rooms())
@drawn(8, 40)
def test_law_marks_are_true_in_any_room(scene: Scene) -> None:
    words = assert_true(scene, desk_figure(scene).svg)
    assert {word.split(maxsplit=1)[0] for word in words} >= {"Step", "Beam"}


def test_the_clear_height_of_a_section_is_pointed_at_where_it_is() -> None:
    as_drawn = sample(next(path for path in SAMPLES if path.stem == "upstairs-room"), "metric")
    at = as_drawn.placed["step-1"].at
    # 210 nearer to the wall the head comes under the rafters at the back edge of the step
    scene = as_drawn.moved({"step-1": Pose(x_mm=at[0], y_mm=at[1] - 210)})
    (snag,) = [s for s in run(scene) if s.movement == "step-up" and s.code == "headroom"]
    bay = snag_bay(scene, snag)
    assert bay is not None
    low, high = swept(bay)
    x = clear_at(bay, overhead(scene, bay, low, high))
    assert x is not None
    y = bay.at[1] + bay.facing[1] * x
    # the slope of the sample: 1450 at the back wall, 900 more for each metre
    assert 1450 + 0.9 * y == pytest.approx(1801, abs=1)
    root = parse(headroom_section(scene, snag))
    (tip,) = [e for e in root.iter(f"{SVG}polygon") if e.get("class") == "level-tip"]
    assert numbers(tip.get("points", ""))[:2] == pytest.approx([x, -1801], abs=1)


def test_a_level_ceiling_is_pointed_at_over_the_middle() -> None:
    person = make_person(1900, want=("standing-press",))
    scene = build_scene(make_plan(room=make_room(height=2300), people=(person,)))
    snag = next(s for s in run(scene) if s.movement == "standing-press")
    bay = snag_bay(scene, snag)
    assert bay is not None
    assert clear_at(bay, overhead(scene, bay, *swept(bay))) == 0


def test_words_away_from_a_taped_height_are_led_to_it() -> None:
    # five heights within 200 mm of one another: their words cannot all stand beside
    places = tuple(((2000.0 + 50 * i, 1500.0), 2400.0 + i) for i in range(5))
    corners = rectangle(0, 0, 4000, 3000)
    drawn = WalkDrawing(corners, True, (4000.0, 3000.0, 4000.0, 3000.0), heights=places)
    root = parse(walk_figure(drawn, "metric"))
    lines = [e for e in root.iter(f"{SVG}line") if e.get("class") == "walk-cross"]
    leaders = lines[2 * len(places) :]
    assert leaders
    ends = np.array([[float(e.get(k, "")) for k in ("x1", "y1")] for e in leaders])
    at = np.array([place for place, _ in places])
    # each leader starts at the end of an arm: 0.4 of the lettering from its own place
    gaps = np.hypot(*(ends[:, None] - at[None]).transpose(2, 0, 1))
    assert np.abs(gaps - 0.4 * 4000 / 23).min(axis=1).max() < 2


def test_an_empty_room_has_its_height() -> None:
    scene = build_scene(make_plan(room=make_room(height=2345)))
    assert assert_true(scene, desk_figure(scene).svg) == ["Ceiling 2345"]
