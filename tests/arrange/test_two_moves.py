"""What no single move mends: one thing goes out of the way, then the other into its room.

The room is our own invention: 2000 wide, a belt across which nothing can be turned, 575 mm behind
it and a heavy thing before it. 1000 are the least behind a belt (BS EN 957-6:2010).
"""

import pytest

from app.arrange.mend_all import mend_all
from app.arrange.remedy import Remedy, WaysOut
from app.arrange.ways_out import ways_out
from app.budget import Budget
from app.changes.commands import apply
from app.checks.run import run
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import column, make_plan, make_room, place

BEHIND = "room-behind-the-belt|runner|||"
DEEP, WIDE = 5200, 2000


def narrow(before: str = "chest-freezer", stays: bool = False, deep: float = DEEP) -> Plan:
    """Give the room, its belt 575 mm off the back wall and what stands before the belt."""
    return make_plan(
        place("running-machine", WIDE / 2, 1500, 180, piece_id="runner"),
        place(before, WIDE / 2, 3100, piece_id="in-front", stays=stays),
        room=make_room(WIDE, deep, 2500),
    )


def asked(plan: Plan, steps: int | None = None) -> WaysOut:
    scene = build_scene(plan)
    return ways_out(scene, run(scene), None if steps is None else Budget(steps))


def taken(plan: Plan, remedy: Remedy) -> Plan:
    for command in remedy.commands:
        plan = apply(plan, command)
    return plan


def test_what_is_in_the_way_is_moved_first() -> None:
    plan = narrow()
    remedy = asked(plan).remedies[BEHIND]
    first, then = remedy.plain.removeprefix("Move the ").removesuffix(".").split(", then the ")
    assert first.startswith("chest freezer ")
    assert then.startswith("running machine ")
    assert remedy.moved == {"runner", "in-front"}
    before, after = (run(build_scene(one)) for one in (plan, taken(plan, remedy)))
    assert [snag.key for snag in before if snag.severity == "stop"] == [BEHIND]
    assert not [snag for snag in after if snag.severity == "stop"]
    # what it costs is said: the freezer has less room than is usual before it
    (care,) = (snag for snag in after if snag.severity == "care")
    assert care.pieces[0] == "in-front"
    assert f"{care.measured} of {care.required} mm" in remedy.sentence
    # and it is one command: both or none
    assert len(remedy.commands) == 1


def test_either_of_both_moves_alone_would_be_no_help() -> None:
    plan = narrow()
    (command,) = asked(plan).remedies[BEHIND].commands
    poses = {piece.id: piece.pose for piece in apply(plan, command).pieces}
    for moved in poses:
        pieces = [
            piece.model_copy(update={"pose": poses[piece.id]}) if piece.id == moved else piece
            for piece in plan.pieces
        ]
        alone = run(build_scene(plan.model_copy(update={"pieces": tuple(pieces)})))
        assert [snag for snag in alone if snag.severity == "stop"]


SIDE = "room-beside-the-belt-right|runner|||"


def beside(stays: bool = False) -> Plan:
    """Give a belt 300 mm off a chimney breast and 500 off a freezer that has its back to a wall.

    500 are wanted on either side (ASTM F2115-12).
    """
    left, deep = 640, 4400
    right = left + 500 + 850 + 300
    breast = column([(right, 0), (right + 500, 0), (right + 500, deep), (right, deep)])
    return make_plan(
        place("running-machine", left + 500 + 425, 1125, piece_id="runner"),
        place("chest-freezer", left / 2, 2200, 270, piece_id="freezer", stays=stays),
        room=make_room(right + 500, deep, 2500, columns=[breast]),
    )


def test_a_care_of_room_is_mended_by_two_moves_where_these_cost_nothing() -> None:
    plan = beside()
    remedy = asked(plan).remedies[SIDE]
    assert remedy.moved == {"runner", "freezer"}
    assert remedy.clears
    assert remedy.sentence == remedy.plain
    assert SIDE in {one.key for one in run(build_scene(plan))}
    after = run(build_scene(taken(plan, remedy)))
    assert not [snag for snag in after if snag.severity != "note"]


def test_a_care_of_room_beside_what_stays_is_left_as_it_is() -> None:
    found = asked(beside(stays=True))
    assert SIDE not in found.remedies
    assert SIDE in found.tried


@pytest.mark.parametrize("plan", [narrow(stays=True), narrow(deep=4000)])
def test_what_stays_and_what_has_no_room_elsewhere_is_not_moved_out_of_the_way(plan: Plan) -> None:
    found = asked(plan)
    remedy = found.remedies.get(BEHIND)
    assert remedy is None or "in-front" not in remedy.moved
    if remedy is None:
        assert "two moves" in found.tried[BEHIND]


def test_mending_all_goes_on_from_both() -> None:
    mending = mend_all(narrow())
    # what the two moves cost the freezer is mended after them
    assert (mending.stops_left, mending.cares_left) == (0, 0)
    named = [step for step in mending.steps for thing in ("freezer", "machine") if thing in step]
    assert len(named) == len(mending.steps) == 2


def test_a_search_that_may_do_little_ends_before_and_says_so() -> None:
    whole = Budget(1_000_000)
    scene = build_scene(narrow())
    ways_out(scene, run(scene), whole)
    found = asked(narrow(), whole.spent // 2)
    assert BEHIND not in found.remedies or "in-front" not in found.remedies[BEHIND].moved
    assert whole.spent > 0
