"""Where switch, fuse box and the supply of a light strip are drawn, and that the key has them."""

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator

import pytest

from app.drawing.sheets.power import power_sheet
from app.drawing.sheets.power_marks import BOARD, SUPPLY, SWITCH, power_points, switch_at
from app.model.room import Opening
from app.scene.build import Scene, build_scene
from app.takeoff.quantities import take_off
from app.usecases.sheet_subjects import Subjects
from tests.builders import make_plan, make_room, place
from tests.drawing.reading import STILL, Matrix, matrix, parse, seen, times
from tests.drawing.sheets.judged import sample, sheet
from tests.takeoff.making import scene_of


def garage(offset_mm: float, hinge: str) -> Scene:
    door = Opening.model_validate(
        {"id": "d", "wall": "back", "kind": "hinged", "offset_mm": offset_mm, "width_mm": 838,
         "height_mm": 1981, "hinge": hinge}
    )  # fmt: skip
    box = place("consumer-unit", 3500, 2900, 180, piece_id="box")
    return build_scene(make_plan(box, room=make_room(4000, 3000, openings=[door])))


@pytest.mark.parametrize(
    ("offset", "hinge", "x"),
    [
        # the back wall runs from left to right as one faces it: the handle is away from the hinge
        (1000, "left", 1000 + 838 + 150),
        (1000, "right", 1000 - 150),
        # no wall is left beside the handle: the other side of the door
        (50, "right", 50 + 838 + 150),
        (3100, "left", 3100 - 150),
    ],
)
def test_the_switch_is_beside_the_handle_of_the_way_out(
    offset: float, hinge: str, x: float
) -> None:
    at = switch_at(garage(offset, hinge))
    assert at is not None
    assert at == pytest.approx((x, 0))


def test_a_room_without_a_door_has_no_switch() -> None:
    assert switch_at(build_scene(make_plan(room=make_room(4000, 3000, openings=[])))) is None


def test_fuse_box_and_switch_are_drawn_and_keyed() -> None:
    scene = garage(1000, "left")
    (svg, *_) = power_sheet(scene, take_off(scene)).inside
    drawn = [one.get("data-power", "") for one in parse(svg).iter() if one.get("data-power")]
    assert len(drawn) == 2
    assert set(drawn) == {"board", "switch"}
    words = " ".join(t.words for t in seen(parse(svg)))
    assert SWITCH in words
    assert BOARD in words
    assert SUPPLY not in words


def drawn_supplies(of: Subjects) -> list[tuple[float, float]]:
    """Where the squares of supplies stand in the room, in mm, read back from the paper."""
    found = []
    for svg in sheet(of, "power").inside:
        root = parse(svg)
        (denominator,) = {
            int(t) for one in seen(root) for t in re.findall(r"^1:(\d+) on", one.words)
        }
        corners = {one.words: one.points[0] for one in seen(root) if re.match(r"C\d$", one.words)}
        assert "C1" in corners
        floor = next(one for one in seen(root) if "floor" in one.ink.split() and one.points)
        x0, y0 = (min(p[i] for p in floor.points) for i in (0, 1))
        left, top, _, _ = of.scene.room.free.bounds
        for group in root.iter():
            if group.get("data-power") != "supply":
                continue
            parents = next(p for p in placed_groups(root) if p[0] is group)
            ring = next(one for one in seen(group, parents[1]) if one.tag == "polygon")
            x, y = (sum(p[i] for p in ring.points) / len(ring.points) for i in (0, 1))
            found.append((left + (x - x0) * denominator, top + (y - y0) * denominator))
    return found


def placed_groups(root: ET.Element, at: Matrix = STILL) -> Iterator[tuple[ET.Element, Matrix]]:
    """Every element with the transform that it stands under."""
    for child in root:
        yield child, at
        yield from placed_groups(child, times(at, matrix(child.get("transform", ""))))


@pytest.mark.parametrize("key", ["double-garage", "basement"])
def test_the_supply_is_drawn_where_the_list_says_that_it_lies(key: str) -> None:
    of = sample(key)
    (said,) = [
        one for one in take_off(of.scene).says if "its supply lies beside the socket on" in one
    ]
    match = re.search(r"beside the socket on the (\w+) wall, ([\d.]+) m from", said)
    assert match
    # by arithmetic of the plan file alone: along the wall from its corner, by what the list prints
    room = of.scene.plan.room
    names = ("back", "right", "front", "left")
    wall = names.index(match[1])
    corners = room.corners
    (ax, ay), (bx, by) = corners[wall], corners[(wall + 1) % len(corners)]
    share = float(match[2]) * 1000 / math.dist((ax, ay), (bx, by))
    told = ax + (bx - ax) * share, ay + (by - ay) * share
    (at,) = drawn_supplies(of)
    # beside it: a hand's breadth on paper at the most
    assert math.dist(at, told) < 250
    # and the sheet says in words what the list says
    words = " ".join(t.words for svg in sheet(of, "power").inside for t in seen(parse(svg)))
    assert said.split(": ", 1)[1].split(", where")[0] in words


def test_without_a_socket_that_can_be_reached_no_supply_is_drawn() -> None:
    strip = {"id": "s", "wall": "back", "points": ((500, 2200), (3000, 2200))}
    scene = scene_of(room=make_room(4000, 3000), strips=[strip])
    assert any("no place of its supply is told" in one for one in take_off(scene).says)
    assert not [kind for kind, _ in power_points(scene, 100.0) if kind == "supply"]
