"""At a wall a thing turns its back to it: every kit type, at every wall, also one that leans.

The script that the hand uses is run by node, once for all; places are in mm, y to the front.
"""

import json
import math
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from app.library.kit import kit_types
from app.web.pages.plans import _kit_row

BACKING = Path("static/js/model/backing.js")
GEOMETRY = Path("static/js/model/geometry.js")
# four metres by three; the left wall leans by 300 in its 3000
CORNERS = [(0, 0), (4000, 0), (4000, 3000), (300, 3000)]
ROOM = {"walls": [{"x_mm": x, "y_mm": y, "lining_mm": 0} for x, y in CORNERS]}
# each beside one wall: at the back, on the right, at the front, on the left
BESIDE = [(2000, 450), (3550, 1500), (2000, 2550), (700, 1500)]
CORNER = (200, 150)
MIDDLE = (2000, 1500)
ASKED = ("bar", "for_wall", "front_mm", "back_mm", "front_alone")
NOWHERE_MM = 0.5
"""Half a millimetre into a wall is still outside it: the core of the judge is drawn in by that."""

needs_node = pytest.mark.skipif(shutil.which("node") is None, reason="there is no node")


def run(cases: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return for each case its pose, how far it is off walls, where its front looks."""
    script = f"""
import {{ backed }} from '{BACKING.resolve().as_uri()}';
import {{ corners, faces }} from '{GEOMETRY.resolve().as_uri()}';
const [room, cases] = {json.dumps([ROOM, cases])};
const walls = faces(room);
const off = (wall, p) => (p.x - wall.a.x) * wall.nx + (p.y - wall.a.y) * wall.ny;
console.log(JSON.stringify(cases.map(({{ pose, size, row, fresh }}) => {{
    const now = backed(pose, size, walls, row, fresh);
    const points = corners(now, size);
    const a = (now.angle_deg * Math.PI) / 180;
    return {{
        now,
        out: Math.min(...walls.flatMap((wall) => points.map((p) => off(wall, p)))),
        back: Math.min(...walls.map((wall) =>
            Math.max(off(wall, points[0]), off(wall, points[1])))),
        // how squarely the front looks at each wall: 1 is straight at it
        at: walls.map((wall) => -(-Math.sin(a) * wall.nx + Math.cos(a) * wall.ny)),
    }};
}})));
"""
    done = subprocess.run(
        ["node", "--input-type=module", "-"],
        input=script,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    answers: list[dict[str, Any]] = json.loads(done.stdout)
    return answers


def case(key: str, at: tuple[float, float], angle: float = 0, fresh: bool = True) -> dict[str, Any]:
    kit = kit_types()[key]
    return {
        "key": key,
        "pose": {"x_mm": at[0], "y_mm": at[1], "angle_deg": angle},
        "size": {"width": kit.width_mm, "depth": kit.depth_mm},
        "row": {name: row for name, row in _kit_row(kit).items() if name in ASKED},
        "fresh": fresh,
    }


@needs_node
def test_what_is_worked_at_from_before_it_never_looks_at_the_wall_it_is_dropped_near() -> None:
    asks = [
        key
        for key, kit in kit_types().items()
        if (row := _kit_row(kit))["front_mm"] > row["back_mm"] and kit.bar is None
    ]
    assert len(asks) > 40
    cases = [case(key, at, angle) for key in asks for at in BESIDE for angle in (0, 90, 180)]
    for one, answer in zip(cases, run(cases), strict=True):
        wall = BESIDE.index((one["pose"]["x_mm"], one["pose"]["y_mm"]))
        assert answer["at"][wall] == pytest.approx(-1), one["key"]


@needs_node
def test_wall_kit_goes_up_to_a_wall_from_anywhere_and_through_none() -> None:
    made_for_it = [key for key, kit in kit_types().items() if kit.for_wall]
    places = [*BESIDE, CORNER, MIDDLE]
    cases = [
        case(key, at, 30, fresh) for key in made_for_it for at in places for fresh in (True, False)
    ]
    for one, answer in zip(cases, run(cases), strict=True):
        assert answer["back"] == pytest.approx(0, abs=0.02), one["key"]
        if one["size"]["width"] < 2000:
            assert answer["out"] > -NOWHERE_MM, (one["key"], answer)


@needs_node
def test_what_a_hand_has_turned_itself_is_left_unless_its_front_looks_at_the_wall() -> None:
    # a running machine along the right wall, its belt runs off to the front: so it may stay
    along, facing = run(
        [
            case("running-machine", (3400, 1500), 0, fresh=False),
            case("running-machine", (3000, 1500), 270, fresh=False),
        ]
    )
    assert along["now"] == {"x_mm": 3400, "y_mm": 1500, "angle_deg": 0}
    assert facing["now"]["angle_deg"] == 90
    assert math.isclose(facing["at"][1], -1)


@needs_node
def test_in_the_middle_of_the_room_nothing_turns_but_what_is_made_for_a_wall() -> None:
    free, walled = run([case("mid-rack", MIDDLE, 45), case("mirror", MIDDLE, 45)])
    assert free["now"]["angle_deg"] == 45
    assert walled["back"] == pytest.approx(0, abs=0.02)
