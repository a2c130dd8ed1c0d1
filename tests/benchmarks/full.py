"""What a drop waits for: the full verdict under low things, joists and a track door; and a heap."""

import math
import resource
from collections.abc import Callable
from functools import partial
from itertools import count

from app.arrange.ways_out import remedies
from app.changes.commands import apply, moves
from app.checks.run import run
from app.model.kit import Pose
from app.model.plan import Plan
from app.model.room import Joists, Opening
from app.scene.build import Scene, build_scene
from app.scene.drop import dropped
from tests.benchmarks.crowd import DOOR, KIT, crowd
from tests.benchmarks.judge import ready
from tests.benchmarks.table import Row, fastest_ms
from tests.builders import low_thing, make_person, make_plan, make_room, place, rectangle

SIZES = (30, 100, 300, 1000)
DROP_TARGETS_MS = {30: 20, 100: 60, 300: 180}
"""What a household does not notice, on two quiet cores."""
MOVED = "p0008"
WAYS_OUT_OF = 30
HEAPED = 3000
STEEPEST = "1.3"
JOISTS = Joists(direction_deg=0, spacing_mm=400, width_mm=45, depth_mm=150, first_mm=200)
TRACKS = Opening(
    id="garage", wall="back", kind="tracks", offset_mm=500, width_mm=4270, height_mm=2130
)


def under_beams(pieces: int) -> Plan:
    """Give the hall of so many pieces with beams to stoop under, joists and a track door."""
    hall = crowd(pieces)
    side = max(wall.x_mm for wall in hall.room.walls)
    beams = [
        low_thing(rectangle(0, y, side, y + 100), 1800, f"beam-{y}")
        for y in range(1500, int(side), 3000)
    ]
    room = make_room(
        side, side, 2450, covering=20, openings=(DOOR, TRACKS), joists=JOISTS, low_things=beams
    )
    return make_plan(*hall.pieces, room=room, people=hall.people)


def heap(number: int) -> Plan:
    """Give so many pieces in one place."""
    pieces = (
        place(KIT[i % len(KIT)], 5000, 5000, 37 * i % 360, piece_id=f"p{i:04}")
        for i in range(number)
    )
    people = (make_person(1880, person_id="a", want=("squat",)), make_person(1640, person_id="b"))
    return make_plan(*pieces, room=make_room(10_000, 10_000), people=people)


def _dropped(plan: Plan) -> Callable[[], Scene]:
    """Give the scene of a plan once judged, with one piece dropped elsewhere, each time farther."""
    before = ready(plan)
    run(before)
    at = before.placed[MOVED].pose
    steps = count(1)

    def drop() -> Scene:
        there = Pose(x_mm=at.x_mm + 7 * next(steps), y_mm=at.y_mm, angle_deg=at.angle_deg)
        scene = dropped(before, apply(plan, moves(plan, {MOVED: there})))
        assert scene is not None
        return scene

    return drop


def _ways_out(scene: Scene) -> None:
    remedies(scene, run(scene))


def rows() -> list[Row]:
    """Give the full verdict by size beside the judge of a drag, its growth, ways out, a heap."""
    found: list[Row] = []
    taken: list[float] = []
    for pieces in SIZES:
        fresh = partial(ready, under_beams(pieces))
        # as often at each size: the first turn also makes the outlines of all that is turned anew
        ms, base = fastest_ms(fresh, (run, partial(run, full=False)), 2)
        taken.append(ms)
        found.append((f"full verdict under beams, {pieces} pieces", ms, base, ms / base, ""))
    for i in range(1, len(SIZES)):
        steep = math.log(taken[i] / taken[i - 1]) / math.log(SIZES[i] / SIZES[i - 1])
        name = f"full verdict under beams, {SIZES[i - 1]} to {SIZES[i]} pieces: exponent"
        found.append((name, taken[i], taken[i - 1], steep, STEEPEST))
    for pieces, target in DROP_TARGETS_MS.items():
        drop = _dropped(under_beams(pieces))
        ms, base = fastest_ms(drop, (run, partial(run, full=False)), 3)
        found.append((f"full verdict after a drop, {pieces} pieces", ms, base, ms / base, ""))
        found.append(("the same to its target", ms, target, ms / target, ""))
    fresh = partial(build_scene, crowd(WAYS_OUT_OF))
    ms, base = fastest_ms(fresh, (_ways_out, run), 1)
    found.append((f"ways out, {WAYS_OUT_OF} pieces, to the full verdict", ms, base, ms / base, ""))
    (ms,) = fastest_ms(partial(build_scene, heap(HEAPED)), (run,), 1)
    found.append((f"{HEAPED} pieces in one place", ms, 5000, ms / 5000, "1"))
    held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
    found.append((f"{HEAPED} pieces in one place, MB at most", held, 500, held / 500, "1"))
    return found
