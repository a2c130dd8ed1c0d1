"""A drop shares what was answered before it, and what else was changed shares nothing."""

from app.changes.commands import adds, apply, edits, moves
from app.checks.run import run
from app.model.kit import Pose
from app.scene.build import build_scene
from app.scene.drop import dropped
from tests.builders import make_person, make_plan, make_room, place

PLAN = make_plan(
    place("full-rack", 1500, 1500, piece_id="rack"),
    place("bar-20", 1500, 1600, piece_id="bar", carried_by="rack"),
    place("rower", 4500, 3000, piece_id="rower"),
    room=make_room(6000, 6000, 2300),
    people=[make_person(1880, want=["squat"])],
)
THERE = Pose(x_mm=4200, y_mm=4800, angle_deg=90)


def test_what_hangs_on_other_stations_is_not_asked_again() -> None:
    scene = build_scene(PLAN)
    asked: list[str] = []

    def ask(name: str) -> None:
        asked.append(name)

    run(scene)
    scene.memo(("asked", "rack"), lambda: ask("rack"))
    after = dropped(scene, apply(PLAN, moves(PLAN, {"rower": THERE})))
    assert after is not None
    after.memo(("asked", "rack"), lambda: ask("rack"))
    assert asked == ["rack"]
    assert after.plan.piece("rower").pose == THERE == after.placed["rower"].pose
    assert after.placed["rower"].piece is after.plan.piece("rower")
    assert run(after) == run(build_scene(after.plan))


def test_another_plan_than_one_of_other_poses_is_built_anew() -> None:
    scene = build_scene(PLAN)
    others = (
        adds([place("rower", 2000, 5000, piece_id="second")]),
        edits(PLAN, "rower", "a name", label="Mine"),
        edits(PLAN, "bar", "off the rack", carried_by=None),
    )
    for command in others:
        assert dropped(scene, apply(PLAN, command)) is None
    taller = make_plan(*PLAN.pieces, room=PLAN.room, people=[make_person(1900, want=["squat"])])
    assert dropped(scene, taller) is None
