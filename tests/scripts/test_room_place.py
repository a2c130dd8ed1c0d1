"""A thing pressed on the drawing: the script says wall and distance, the form places it there.

Both count from a wall's left end, the script in the browser and the form in the program: what comes
is looked at in the scene. The room is out of square and walked either way.
"""

import json
import shutil
import subprocess
from pathlib import Path

import pytest
import shapely

from app.forms.room_edits_things import things_that_stay
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_room
from tests.forms.test_room_edits import after

PLACE = Path("static/js/pages/room-place.js")
CORNERS = ((0, 0), (5000, 200), (5200, 4100), (-150, 3900))
FREEZER = {"wide": 950, "deep": 640, "hung": False}
"""The usual chest freezer of the library."""


def placed(plan: Plan, at: tuple[float, float], size: object, others: object = ()) -> dict:  # type: ignore[type-arg]
    node = shutil.which("node")
    if node is None:
        pytest.skip("node is not on this machine: .ci/run puts it there")
    room = plan.room
    given = (at, room.corners, [wall.id for wall in room.walls], room.clockwise, size, others)
    script = (
        f"import {{ placeAt }} from {json.dumps(PLACE.resolve().as_uri())};"
        f"console.log(JSON.stringify(placeAt(...{json.dumps(given)})));"
    )
    done = subprocess.run(
        [node, "--no-warnings", "--input-type=module", "-e", script],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    found: dict[str, object] = json.loads(done.stdout)
    return found


@pytest.mark.parametrize("clockwise", [True, False])
@pytest.mark.parametrize(
    ("at", "away"),
    [
        ((2500, 300), 0),  # near the back wall
        ((4900, 1500), 0),
        ((1200, 3700), 0),
        ((100, 2000), 0),
        ((60, 100), 0),  # in a corner it is pushed along until it is within its wall
        ((2400, 2000), None),  # far from every wall it stands where it was pressed
    ],
)
def test_what_is_pressed_stands_where_the_form_puts_it(
    clockwise: bool, at: tuple[float, float], away: float | None
) -> None:
    corners = CORNERS if clockwise else (CORNERS[0], *reversed(CORNERS[1:]))
    plan = Plan(name="Garage", room=make_room(corners=corners))
    place = placed(plan, at, FREEZER)
    fields = {"wall": place["wall"], "along": f"{place['along']} mm", "away": f"{place['away']} mm"}
    done = after(plan, "add-found", kind="chest-freezer", **fields)
    (piece,) = things_that_stay(done)
    stands = build_scene(done).placed[piece.id].footprint.minimum_rotated_rectangle
    ghost = shapely.Polygon(place["outline"])
    assert ghost.area == pytest.approx(950 * 640)
    assert ghost.symmetric_difference(stands).area < 950 * 640 / 100
    room = shapely.Polygon(corners)
    assert ghost.difference(room.buffer(1)).area == pytest.approx(0, abs=1)
    if away is None:
        assert shapely.Point(at).distance(ghost.centroid) < 15
    else:
        assert place["away"] == away
    if at != (60, 100):
        assert ghost.centroid.distance(shapely.Point(at)) < 640


@pytest.mark.parametrize("clockwise", [True, False])
def test_it_gives_way_to_what_stands_there_already(clockwise: bool) -> None:
    corners = CORNERS if clockwise else (CORNERS[0], *reversed(CORNERS[1:]))
    plan = Plan(name="Garage", room=make_room(corners=corners))
    first = placed(plan, (2500, 300), FREEZER)
    second = placed(plan, (2600, 300), FREEZER, [first["outline"]])
    assert second["wall"] == first["wall"]
    one, other = (shapely.Polygon(each["outline"]) for each in (first, second))
    assert one.intersection(other).area == pytest.approx(0, abs=1)
    # no farther than it has to: a step of 10 mm, twice rounded
    assert one.distance(other) <= 20
    # along a wall that is full it stands where it was pressed
    everywhere = [[[-1000, -1000], [7000, -1000], [7000, 6000], [-1000, 6000]]]
    assert placed(plan, (2500, 300), FREEZER, everywhere)["along"] == first["along"]


def test_what_hangs_comes_to_its_wall_wherever_it_is_pressed() -> None:
    plan = Plan(name="Garage", room=make_room(corners=CORNERS))
    assert placed(plan, (2400, 1900), {"wide": 450, "deep": 350, "hung": True})["away"] == 0
