"""The floor in parts, looked at by somebody who knows only what was promised and bare geometry.

Promised: while a part is worked on, all that stays stands on the rest, or is named with how much
of it has to stand outside; nothing stands in anything; a way of 600 mm from the work to a door
stays open and crosses nothing wet; no part is begun before the one before it is dry.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon
from shapely.affinity import rotate, translate

from app.model.base import json_of
from app.model.plan import Plan
from app.scene.build import build_scene
from app.works.report import as_json
from app.works.splitting import split
from tests.builders import make_plan, make_room
from tests.works.plans import of_sample, planned, sample, with_works

WAY_MM = 600  # kept between what is stored and the door: common practice, no source
ARM_MM = 450
"""From the edge of the way somebody works on the part: half a way and a little."""
HAIR_MM = 2
FIXED_AT_MOST = 0.1
"""What boiler, washing machine and the like take of a floor, as a share of it."""

Data = dict[str, Any]


def room_of(plan: Data) -> Polygon:
    return Polygon([(wall["x_mm"], wall["y_mm"]) for wall in plan["room"]["walls"]])


def doors_of(plan: Data) -> list[LineString]:
    """The openings one can leave by, as lines on the walls."""
    walls = plan["room"]["walls"]
    found = []
    for opening in plan["room"]["openings"]:
        if opening["kind"] == "window":
            continue
        i = next(i for i, wall in enumerate(walls) if wall["id"] == opening["wall"])
        here, there = walls[i], walls[(i + 1) % len(walls)]
        x, y = here["x_mm"], here["y_mm"]
        along = math.hypot(there["x_mm"] - x, there["y_mm"] - y)
        ux, uy = (there["x_mm"] - x) / along, (there["y_mm"] - y) / along
        a = opening["offset_mm"]
        b = a + opening["width_mm"]
        found.append(LineString([(x + ux * a, y + uy * a), (x + ux * b, y + uy * b)]))
    return found


def box_of(place: Mapping[str, Any]) -> Polygon:
    w, d = place["width_mm"] / 2, place["depth_mm"] / 2
    flat = shapely.box(-w, -d, w, d)
    turned = rotate(flat, place["angle_deg"], origin=(0, 0))
    return Polygon(translate(turned, place["x_mm"], place["y_mm"]).exterior)


def way_is_open(
    room: Polygon, wet: Polygon, boxes: Iterable[Polygon], doors: Iterable[LineString], wide: float
) -> bool:
    """Whether the middle of somebody so wide gets from a door to the edge of the work."""
    solid = shapely.union_all([wet, *boxes])
    # beyond each door there is room to come from
    outside = [door.buffer(wide, cap_style="flat") for door in doors]
    free = shapely.union_all([room, *outside]).difference(solid).buffer(-(wide / 2 - HAIR_MM))
    for part in shapely.get_parts(free):
        at_work = part.distance(wet) <= ARM_MM
        at_door = any(part.intersects(door) for door in doors)
        if at_work and at_door:
            return True
    return False


def faults(plan: Data, stages: list[Data], outside: set[str], ids: set[str]) -> list[str]:
    """Return what of the promise does not hold."""
    room, doors, found = room_of(plan), doors_of(plan), []
    areas = [Polygon(stage["area"]) for stage in stages]
    # beneath what is fixed to floor or wall nobody works
    fixed = any(piece["stays"] for piece in plan["pieces"])
    least = FIXED_AT_MOST if fixed else 0.001
    if abs(shapely.union_all(areas).area - room.area) > room.area * least:
        found.append("the parts are not the whole floor")
    if sum(area.area for area in areas) > room.area * 1.001:
        found.append("the parts overlap")
    for number, (stage, wet) in enumerate(zip(stages, areas, strict=True), start=1):
        boxes = {place["id"]: box_of(place) for place in stage["places"]}
        if set(boxes) | outside != ids or set(boxes) & outside:
            odd = sorted((ids - outside) ^ set(boxes))
            found.append(f"stage {number}: {odd} are not stored once")
        several = list(boxes.items())
        for i, (name, box) in enumerate(several):
            if not room.buffer(HAIR_MM).covers(box):
                found.append(f"stage {number}: {name} is not in the room")
            if box.intersection(wet).area > HAIR_MM * box.length:
                found.append(f"stage {number}: {name} stands on wet paint")
            for other, second in several[:i]:
                if box.intersection(second).area > HAIR_MM * box.length:
                    found.append(f"stage {number}: {name} stands in {other}")
        if stage["way_mm"] is None:
            continue
        if stage["way_mm"] < WAY_MM:
            found.append(f"stage {number}: a way of {stage['way_mm']}")
        if not way_is_open(room, wet, boxes.values(), doors, stage["way_mm"]):
            found.append(f"stage {number}: no way of {stage['way_mm']} to a door")
    return found


def told(plan: Plan) -> tuple[Data, list[Data], set[str], set[str], float]:
    """Return what the program says of a plan without dates: stages, what is left outside."""
    made = split(build_scene(plan))
    stages: list[Data] = [
        {
            "area": list(stage.area.exterior.coords),
            "way_mm": stage.way_mm,
            "places": [
                {
                    "id": one.id, "x_mm": one.x_mm, "y_mm": one.y_mm, "angle_deg": one.angle_deg,
                    "width_mm": one.width_mm, "depth_mm": one.depth_mm,
                }
                for one in stage.places
            ],
        }
        for stage in made.stages
    ]  # fmt: skip
    ids = {f"stored.{one.id}" for one in plan.works.stored if one.becomes == "stays"}
    there = {place["id"] for stage in stages for place in stage["places"]}
    return json_of(plan), stages, ids - there, ids, made.outside_m2


SAMPLES = ("double-garage", "single-garage", "basement", "upstairs-room")
CRATES = [
    {"id": "shelf", "width_mm": 1200, "depth_mm": 500, "height_mm": 1500},
    {"id": "bikes", "width_mm": 1700, "depth_mm": 600, "height_mm": 1100},
    {"id": "boxes", "width_mm": 900, "depth_mm": 700, "height_mm": 1200},
]


@pytest.mark.parametrize("key", SAMPLES)
def test_the_samples_keep_what_is_promised(key: str) -> None:
    plan = sample(key) if key == "double-garage" else with_works(sample(key), stored=CRATES)
    answer = of_sample(key) if key == "double-garage" else planned(plan)
    stages = as_json(answer)["stages"]
    assert len(stages) in (2, 3)
    there = {place["id"] for stage in stages for place in stage["places"]}
    stay = {f"stored.{one.id}" for one in plan.works.stored if one.becomes == "stays"}
    outside = stay - there
    assert faults(json_of(plan), stages, outside, there | stay) == []
    if outside:
        # the loft has no place high enough for the shelf beside each half
        said = next(one for one in answer.says if "do not fit" in one)
        assert all(one.removeprefix("stored.") in said for one in outside)
    for before, after in itertools.pairwise(stages):
        assert datetime.fromisoformat(before["to"]) <= datetime.fromisoformat(after["from"])


@st.composite
def rooms(draw: st.DrawFn) -> Plan:
    wide, deep = draw(st.integers(28, 70)) * 100, draw(st.integers(26, 70)) * 100
    openings = [
        {
            "id": f"door-{i}", "wall": wall, "kind": kind, "width_mm": 900, "height_mm": 2000,
            "offset_mm": draw(st.integers(0, (length - 900) // 100)) * 100,
        }
        for i, (wall, length, kind) in enumerate(
            draw(
                st.lists(
                    st.sampled_from(
                        [
                            (wall, length, kind)
                            for wall, length in (("back", wide), ("right", deep), ("left", deep))
                            for kind in ("hinged", "gap")
                        ]
                    ),
                    min_size=1, max_size=2, unique_by=lambda one: one[0],
                )
            )
        )
    ]  # fmt: skip
    data = make_room(wide, deep, 2500).model_dump()
    data["openings"] = openings
    plan = make_plan(room=type(make_room()).model_validate(data))
    sizes = draw(
        st.lists(st.tuples(st.integers(3, 16), st.integers(3, 12)), max_size=4, min_size=1)
    )
    stored = [
        {"id": f"b{i}", "width_mm": w * 100, "depth_mm": d * 100, "height_mm": 1200}
        for i, (w, d) in enumerate(sizes)
    ]
    return with_works(plan, stored=stored)


@settings(max_examples=12, deadline=None)
@given(rooms())
def test_rooms_of_any_size_keep_what_is_promised(plan: Plan) -> None:
    data, stages, outside, ids, outside_m2 = told(plan)
    area = {f"stored.{one.id}": one.width_mm * one.depth_mm / 1e6 for one in plan.works.stored}
    assert outside_m2 == pytest.approx(sum(area[one] for one in outside))
    if not stages:
        # then all of it is to stand outside, and that is said with how much
        assert outside == ids
        assert any("store them outside" in one for one in split(build_scene(plan)).says)
        return
    assert faults(data, stages, outside, ids) == []
    small = sum(area.values()) <= room_of(data).area / 1e6 * 0.08
    slim = all(max(one.width_mm, one.depth_mm) <= 1000 for one in plan.works.stored)
    if small and slim and min(room_of(data).bounds[2:]) >= 4000 and len(doors_of(data)) == 2:
        assert not outside, "a twelfth of a large floor finds room on the other half"


def test_the_look_of_its_own_sees_what_is_wrong() -> None:
    plan = json_of(sample("double-garage"))
    stages = as_json(of_sample("double-garage"))["stages"]
    ids = {place["id"] for place in stages[0]["places"]}
    wet = Polygon(stages[0]["area"]).centroid
    first = stages[0]["places"][0]

    def moved(**to: Any) -> list[str]:
        places = [{**first, **to}, *stages[0]["places"][1:]]
        return faults(plan, [{**stages[0], "places": places}, *stages[1:]], set(), ids)

    assert moved() == []
    assert any("wet paint" in one for one in moved(x_mm=wet.x, y_mm=wet.y))
    other = stages[0]["places"][1]
    assert any("stands in" in one for one in moved(x_mm=other["x_mm"], y_mm=other["y_mm"]))
    assert any("not in the room" in one for one in moved(x_mm=-500))
    # a fence round the edge of the work
    fence = {"width_mm": 5320, "depth_mm": 5180, "x_mm": 2660, "y_mm": 2590, "angle_deg": 0}
    assert any("no way" in one for one in moved(**fence))
    assert any("not stored once" in one for one in faults(plan, stages, set(), ids | {"x"}))
