"""Where no layout is found: a small set that was not found together, and what would free it."""

import pytest

from app.arranging.failure import Trials, not_together, unavoidable, ways_to_a_layout
from app.arranging.problem import Problem, Task
from app.budget import Budget
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.model.room import Opening
from tests.builders import low_thing, make_person, make_plan, make_room, place, with_poses

STEPS = 6


def box(key: str, width: float = 1000, depth: float = 1500) -> Piece:
    return place("other-thing", piece_id=key, width=width, depth=depth, height=500)


def crowd(*more: Piece) -> Problem:
    """Three boxes, of which the room holds two."""
    return Problem(
        Task(make_plan(box("b0"), box("b1"), box("b2"), *more, room=make_room(2000, 1500)))
    )


def test_none_of_a_set_can_be_spared_and_without_any_one_there_is_a_layout() -> None:
    trials = Trials(crowd(), Budget(500), STEPS)
    together = not_together(trials)
    assert set(together) == {"b0", "b1", "b2"}
    assert not trials.found()
    for root in together:
        assert trials.found({root})


def test_what_has_nothing_to_do_with_it_is_not_in_the_set() -> None:
    # a mirror hangs on a wall whatever stands there
    problem = crowd(place("mirror", 1000, 15, piece_id="mirror"))
    assert set(not_together(Trials(problem, Budget(2000), STEPS))) == {"b0", "b1", "b2"}


def test_a_budget_that_ends_proves_nothing_and_says_nothing() -> None:
    assert not_together(Trials(crowd(), Budget(2), STEPS)) == ()
    assert list(ways_to_a_layout(crowd().task, Budget(0), STEPS)) == []


def told(plan: Plan) -> list[str]:
    return [way.sentence for way in ways_to_a_layout(Task(plan), Budget(400), STEPS)]


def test_what_was_not_found_together_is_told_once() -> None:
    assert told(crowd().plan) == [
        "Not found together: three other things. Without any one of these a layout was found."
    ]


@pytest.mark.parametrize(
    ("extra", "said"),
    [
        # a sixth of the floor beside two boxes: three are too many, a fourth is two too many
        (0, "Not found together: three other things. Without any one of these a layout was found."),
        (
            1,
            "Not found together: three other things. With one of these left out the rest was not "
            "found together either.",
        ),
    ],
)
def test_without_one_of_a_set_all_the_rest_is_tried(extra: int, said: str) -> None:
    problem = crowd(*(box(f"more-{i}") for i in range(extra)))
    first = next(iter(ways_to_a_layout(problem.task, Budget(2000), STEPS)))
    assert first.sentence == said


def test_what_alone_would_free_the_rest_is_named_alone() -> None:
    # the chest takes the floor of two boxes: without it both stand, without one of them none does
    chest = place(
        "other-thing", piece_id="chest", width=1900, depth=1400, height=500, label="Chest"
    )
    plan = make_plan(box("b0"), box("b1"), chest, room=make_room(2000, 1500))
    assert told(plan) == [
        "Not found together: chest and other thing. Without the chest a layout was found."
    ]


def test_a_change_that_brings_a_stop_which_no_layout_mends_helps_nobody() -> None:
    # nobody of 1.90 m skips under 1900, wherever in the room: on this plan that counts nowhere,
    # but a change after which it were so would not be told
    plan = make_plan(
        place("skipping-space", 2000, 2000),
        room=make_room(4000, 5000, 1900),
        people=[make_person(1900, want=("skip",))],
    )
    problem = Problem(Task(plan))
    assert {kind[2] for kind, _ in unavoidable(problem)} == {"skip"}
    assert Trials(problem, Budget(20), STEPS).found()
    assert not Trials(problem, Budget(20), STEPS, frozenset()).found()


def test_where_it_was_only_bad_luck_nothing_is_blamed() -> None:
    # two boxes of the three: they fit
    plan = make_plan(box("b0"), box("b1"), room=make_room(2000, 1500))
    (said,) = told(plan)
    assert said.startswith("Looked for from another beginning, a layout was found")


def test_a_lower_rack_frees_a_low_room() -> None:
    # the mid rack is 2030 high, the short one 1830
    plan = make_plan(
        place("mid-rack", 2000, 1500, piece_id="rack"),
        place("bar-20", 2000, 2013, carried_by="rack"),
        room=make_room(4000, 3500, 1950),
    )
    assert "With the short rack, 1830 mm high, a layout was found." in told(plan)


def test_a_door_that_opens_outwards_frees_the_floor_behind_it() -> None:
    # 600 stay free before the door, whose leaf of 800 comes in
    door = Opening(
        id="door", wall="front", kind="hinged", offset_mm=600, width_mm=800, height_mm=2000
    )
    plan = make_plan(box("b0", 2000, 1400), room=make_room(2000, 2000, openings=[door]))
    assert "With the door opening outwards a layout was found." in told(plan)


def test_doing_without_a_movement_frees_a_room_whose_high_part_is_taken() -> None:
    # a beam hangs at 1800 over all but the right metre and a half, where a chest stays
    beam = low_thing([(0, 0), (1500, 0), (1500, 2500), (0, 2500)], 1800)
    chest = place(
        "other-thing", 2250, 1250, piece_id="chest", width=1490, depth=2490, height=500, stays=True
    )
    jumper = make_person(1750, want=("skip",))
    plan = make_plan(
        chest,
        place("skipping-space", 750, 1250, piece_id="rope"),
        room=make_room(3000, 2500, 2500, low_things=[beam]),
        people=(jumper,),
    )
    (said,) = told(plan)
    assert said == "If 1.75 m does without this, a layout was found: skipping."


def test_where_few_may_move_more_are_tried_first() -> None:
    # both boxes stand half in a wall: one move cannot mend both
    rows = [box("b0", 600, 600), box("b1", 600, 600)]
    plan = with_poses(
        make_plan(*rows, room=make_room(3000, 3000)),
        {"b0": Pose(x_mm=0, y_mm=1500), "b1": Pose(x_mm=3000, y_mm=1500)},
    )
    task = Task(plan, moves_at_most=1)
    assert not Trials(Problem(task), Budget(100), STEPS).found()
    ways = [way.sentence for way in ways_to_a_layout(task, Budget(200), STEPS)]
    assert ways == ["With 2 pieces moving a layout was found."]
