"""A squat before the posts of a rack, out of the reach of its catches: both sides of each limit.

Practice: a squat without catches, alone, is a stop, but for rubber plates and 1200 of floor to drop
the bar (care); under a crossmember H + shoe 25 + 25 is a care, H alone a stop.
"""

import pytest

from app.arrange.ways_out import ways_out
from app.checks.before_posts import before_posts
from app.checks.run import run
from app.checks.snag import Snag
from app.checks.squat_catches import catches_set
from app.model.kit import Piece
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import (
    found,
    low_thing,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
)
from tests.checks.hanging import but

OUTER_MM, INNER_MM = 1437, 1288


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(
    ("rubber", "alone", "from_mm", "severity"),
    [
        # the floor to drop the bar on reaches from 600 before where one squats to 600 behind
        (True, True, 2700, "care"),
        (True, True, 2698, "stop"),
        (False, True, 3500, "stop"),
        # as on stands: a helper at each end each time
        (False, False, 3500, "care"),
    ],
)
def test_before_the_posts_nothing_catches_the_bar_of_who_is_alone(
    rubber: bool, alone: bool, from_mm: float, severity: str, turn: float
) -> None:
    """Alone without catches: a stop but for rubber plates and 1200 of floor (practice)."""
    bar = place("bar-20", 2500, OUTER_MM, carried_by="mid-rack", plate=450)
    tall = make_person(1980, want=("squat",))
    plan = make_plan(
        place("mid-rack", 2500, 775, bolted=True),
        bar.model_copy(update={"bumper_plates": rubber}),
        place("other-thing", 2500, from_mm + 250, width=500, depth=500, height=900),
        people=(tall.model_copy(update={"trains_alone": alone}),),
    )
    found = list(before_posts(build_scene(turned_plan(plan, turn))))
    assert [snag.severity for snag in found] == [severity]
    for snag in found:
        assert ("rubber plates" in snag.sentence) == (severity == "stop")


def test_who_squats_before_the_posts_is_offered_a_taller_rack() -> None:
    """In a rack of 2140 the crossmember is at 2065, over 1980 and shoes."""
    plan = make_plan(
        place("mid-rack", 2500, 775, bolted=True),
        place("bar-20", 2500, OUTER_MM, carried_by="mid-rack", plate=450),
        people=(make_person(1980, want=("squat",)),),
    )
    scene = build_scene(plan)
    (snag,) = (s for s in run(scene) if s.code == "squat-before-posts")
    said = ways_out(scene, [snag]).remedies[snag.key].sentence
    assert said.startswith("Take the full rack instead, 2140 mm high")


UNDERSIDE_MM = 2030 - 75
"""The underside of a mid rack's crossmember: practice has a stop for who is taller than that."""


def squatting(stature_mm: float) -> Plan:
    """Somebody at a mid rack, its posts ending at 1400 and its bar on the hooks before them."""
    return make_plan(
        place("mid-rack", 2500, 775, bolted=True),
        place("bar-20", 2500, OUTER_MM, carried_by="mid-rack", plate=450),
        people=(make_person(stature_mm, want=("squat",)),),
    )


def said_before(plan: Plan) -> list[str]:
    scene = build_scene(plan)
    return [s.severity for s in before_posts(scene) if s.code == "squat-before-posts"]


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(("over", "grave"), [(2.0, ["stop"]), (0.0, ["care"])])
def test_who_does_not_fit_between_the_posts_has_no_catches_and_is_stopped(
    turn: float, over: float, grave: list[str]
) -> None:
    # practice: squat without catches, alone: stop
    plan = turned_plan(squatting(UNDERSIDE_MM + over), turn)
    assert said_before(plan) == grave


WITH_MARGIN_MM = UNDERSIDE_MM - 50
"""Who is no taller has 25 of shoe and 25 of air under it: practice."""


def station(kit: str, x: float, front: float = 625 + 37, plate: float = 450) -> list[Piece]:
    """A rack so wide a way off, and its bar so far before its middle."""
    return [
        place(kit, x, 775, piece_id=kit, bolted=True),
        place("bar-20", x, 775 + front, piece_id=f"bar-{kit}", carried_by=kit, plate=plate),
    ]


def at_racks(
    stature: float, *kits: str, rubber: bool = False, alone: bool = True, wish: str = "want"
) -> Plan:
    """Somebody who squats, and racks with their bars on the hooks before the posts."""
    wishes = {said: ("squat",) * (said == wish) for said in ("want", "nice", "no")}
    who = make_person(
        stature, alone=alone, want=wishes["want"], nice=wishes["nice"], no=wishes["no"]
    )
    pieces = [piece for i, kit in enumerate(kits) for piece in station(kit, 1500 + 3000 * i)]
    bars = [but(p, bumper_plates=rubber) if p.type == "bar-20" else p for p in pieces]
    return make_plan(*bars, room=make_room(8000, 6000, 2600), people=(who,))


def told(plan: Plan, code: str = "squat-before-posts") -> list[Snag]:
    return found(plan, code)


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize("rubber", [True, False])
@pytest.mark.parametrize("alone", [True, False])
@pytest.mark.parametrize(
    ("over", "wish", "said"),
    [(0.0, "want", []), (2.0, "want", ["care"]), (2.0, "nice", ["note"]), (2.0, "no", [])],
)
def test_who_stands_up_between_the_posts_without_the_margin_has_the_choice(
    over: float, wish: str, said: list[str], alone: bool, rubber: bool, turn: float
) -> None:
    plan = at_racks(WITH_MARGIN_MM + over, "mid-rack", rubber=rubber, alone=alone, wish=wish)
    turned = turned_plan(plan, turn)
    assert [snag.severity for snag in told(turned)] == said
    # it is told in the one row, and in the other where there is none
    notes = told(turned, "catch-setting")
    assert [snag.severity for snag in notes] == (["note"] if wish == "want" and not said else [])


@pytest.mark.parametrize(
    ("rubber", "tail"), [(False, "."), (True, " but the 1200 mm of free floor.")]
)
def test_the_choice_is_told_with_the_height_of_the_catches(rubber: bool, tail: str) -> None:
    # 0.489 x 1920 - 50 = 888.9; settings at 850, 900
    (snag,) = told(at_racks(1920, "mid-rack", rubber=rubber))
    assert snag.sentence == (
        "1.92 m has 35 mm over the head between the posts of the mid rack; allow 50. Squat there "
        "with the bar on the hooks inside and the catches at 850 mm, or take a taller rack: before "
        f"the posts nothing catches the bar{tail}"
    )


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(
    ("other", "stature", "said"),
    [
        # under 2065 of a full rack there is the margin, too
        ("full-rack", UNDERSIDE_MM + 2, []),
        ("full-rack", 2065 - 50, []),
        # without the margin there the lack of catches here is the milder for it
        ("full-rack", 2065 - 48, ["care"]),
        ("full-rack", 2067, ["stop"]),
        ("short-rack", UNDERSIDE_MM + 2, ["stop"]),
    ],
)
def test_another_rack_that_catches_counts_for_who_fits_it(
    other: str, stature: float, said: list[str], turn: float
) -> None:
    plan = turned_plan(at_racks(stature, "mid-rack", other), turn)
    assert [snag.severity for snag in told(plan)][:1] == said


@pytest.mark.parametrize("rubber", [True, False])
def test_stands_beside_a_rack_too_low_for_somebody_are_all_there_is(rubber: bool) -> None:
    tall, fits = UNDERSIDE_MM + 2, WITH_MARGIN_MM
    for stature, said in (
        (tall, ["care" if rubber else "stop"]),
        (fits, ["note" if rubber else "care"]),
    ):
        plan = at_racks(stature, "squat-stands", "mid-rack", rubber=rubber)
        bare = [
            but(piece, pose=piece.pose.model_copy(update={"y_mm": 775.0 + 74.0}))
            if piece.id == "bar-squat-stands"
            else piece
            for piece in plan.pieces
        ]
        plan = make_plan(*bare, room=plan.room, people=plan.people)
        assert [snag.severity for snag in told(plan, "no-catches")] == said


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(
    ("bottom", "said"), [(1798, ["stop"]), (1800, ["care"]), (1848, ["care"]), (1850, [])]
)
def test_under_a_duct_the_rack_is_to_be_moved_and_no_other_bought(
    bottom: float, said: list[str], turn: float
) -> None:
    # 1800 and 50 over the head: practice
    duct = low_thing(rectangle(2200, 600, 2800, 950), bottom, "duct")
    plan = make_plan(
        *station("mid-rack", 2500),
        room=make_room(5000, 5000, 2600, low_things=(duct,)),
        people=(make_person(1800, want=("squat",)),),
    )
    scene = build_scene(turned_plan(plan, turn))
    snags = list(before_posts(scene))
    assert [snag.severity for snag in snags] == said
    for snag in snags:
        assert snag.code == "squat-before-posts-here"
        assert "under the beam" in snag.sentence
        assert "ove the rack" in snag.sentence
        assert "taller" not in snag.sentence
        assert "rack" in ways_out(scene, [snag]).remedies[snag.key].sentence


@pytest.mark.parametrize("over", [0.0, 2.0])
def test_with_the_bar_inside_nobody_squats_before_the_posts(over: float) -> None:
    plan = make_plan(
        *station("mid-rack", 2500, 625 - 112), people=(make_person(1905 + over, want=("squat",)),)
    )
    assert told(plan) == []
    severe = [s.severity for s in found(plan, "headroom") if s.movement == "squat"]
    assert severe == (["care"] if over else [])


def test_nobody_is_told_how_to_set_catches_that_he_squats_before() -> None:
    fits, too_tall = squatting(WITH_MARGIN_MM), squatting(UNDERSIDE_MM + 2)
    assert ["squats" in s.sentence for s in catches_set(build_scene(fits))] == [True]
    assert not list(catches_set(build_scene(too_tall)))
