"""Failing alone: what catches the bar, where a helper stands, what tips."""

import pytest

from app.checks.alone import catch_heights
from app.checks.open_floor import card
from app.checks.run import run
from app.model.kit import Piece
from app.model.people import Person
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import found, make_person, make_plan, place, severities, turned_plan
from tests.checks.hanging import but
from tests.layouts import good_layout


def bench_station(*, x: float = 2500, y: float = 2500, rack: str = "mid-rack") -> list[Piece]:
    """A rack, its bar on the inside hooks and a flat bench, head towards the back wall."""
    return [
        but(place(rack, x, y, piece_id="rack"), bolted=True),
        place("bar-20", x, y + 513, piece_id="bar", carried_by="rack"),
        place("flat-bench", x, y, piece_id="bench", carried_by="rack"),
    ]


def who(movement: str, alone: bool, wish: str, *never: str) -> Person:
    """A person with one wish, and what they never do."""
    return make_person(
        alone=alone,
        want=(movement,) * (wish == "want"),
        nice=(movement,) * (wish == "nice"),
        no=(*never, *(movement,) * (wish == "no")),
    )


def without_catches(*, alone: bool, y: float = 2500, wish: str = "want") -> Plan:
    rack, bar, bench = bench_station(y=y)
    person = who("bench-press", alone, wish, "squat")
    return make_plan(but(rack, catches=False), bar, bench, people=(person,))


def stands(*, alone: bool, bumper: bool, y: float = 2500, wish: str = "want") -> Plan:
    bar = place("bar-20", 2500, y, piece_id="bar", carried_by="stands")
    return make_plan(
        place("squat-stands", 2500, y, piece_id="stands"),
        but(bar, bumper_plates=bumper),
        people=(who("squat", alone, wish),),
    )


def test_nothing_to_say_with_catches() -> None:
    plan = make_plan(*bench_station(), people=(make_person(want=("bench-press", "squat")),))
    assert found(plan, "no-catches") == []


def test_pressing_alone_without_catches_is_a_stop_and_says_the_height() -> None:
    (snag,) = found(without_catches(alone=True), "no-catches")
    assert snag.severity == "stop"
    # bench of 440: 440 + 150 = 590, 440 + 200 = 640
    assert "590 to 640" in snag.sentence
    assert snag.key == "no-catches|rack||bench-press|"
    assert snag.source_keys == (
        *("catch.above-pad-least-mm", "catch.above-pad-most-mm"),
        *("spotter.width-mm", "spotter.depth-mm"),
    )
    (squat,) = found(stands(alone=True, bumper=False), "no-catches")
    assert squat.source_keys == ("catch.drop-floor-mm",)


@pytest.mark.parametrize("angle", [0, 31])
@pytest.mark.parametrize(
    # pads of 440 ask for 590 to 640, of 420 for 570 to 620, of 460 for 610 to 660; settings of 300,
    # 350 ... 600, 650; of a pad of 120, for 270 to 320, the lowest will do
    ("pad", "setting", "least", "most"),
    [
        *((440, 600, 590, 640), (420, 600, 570, 620), (450, 600, 600, 650), (451, 650, 601, 651)),
        (120, 300, 270, 320),
    ],
)
def test_catches_that_are_there_are_told_their_height(
    pad: float, setting: int, least: int, most: int, angle: float
) -> None:
    rack, bar, bench = bench_station()
    person = make_person(want=("bench-press",))
    plan = make_plan(rack, bar, but(bench, height_mm=pad), people=(person,))
    (snag,) = found(turned_plan(plan, angle), "catch-setting")
    assert snag.severity == "note"
    assert f"at {setting} mm, between {least} and {most}" in snag.sentence
    assert "empty bar" in snag.sentence
    (one,) = card(build_scene(plan))
    (line,) = (line for line in one.lines if line.movement == "bench-press")
    assert f"set the catches of the mid rack at {setting} mm" in line.sentence


def test_catches_fitted_to_a_bench_are_told_their_height_and_others_nothing() -> None:
    plan = make_plan(
        but(place("upright-bench", piece_id="bench"), catches=True),
        place("bar-20", 2500, 2145, piece_id="bar", carried_by="bench"),
        people=(make_person(want=("bench-press",)),),
    )
    (snag,) = found(plan, "catch-setting")
    assert "between 590 and 640 mm" in snag.sentence
    assert found(without_catches(alone=True), "catch-setting") == []
    rack, bar, bench = bench_station()
    nobody = make_plan(rack, bar, bench, people=(make_person(no=("bench-press",)),))
    assert found(nobody, "catch-setting") == []
    assert found(make_plan(rack, bar, bench), "catch-setting") == []


def test_who_never_presses_keeps_the_height_of_the_catches_from_nobody() -> None:
    never = make_person(no=("bench-press",))
    wants = make_person(person_id="two", want=("bench-press",))
    for people in ((never, wants), (wants, never)):
        assert len(found(make_plan(*bench_station(), people=people), "catch-setting")) == 1
    # an empty bench in the open has no catches, a rack without a bench nothing to lie on
    assert found(make_plan(place("flat-bench"), people=(wants,)), "catch-setting") == []
    rack, bar, _ = bench_station()
    assert found(make_plan(rack, bar, people=(wants,)), "catch-setting") == []


def test_of_two_benches_in_a_rack_the_higher_one_is_caught_for() -> None:
    rack, bar, bench = bench_station()
    other = place("flat-bench", 2500, 2400, piece_id="other", carried_by="rack")
    for pads in ((440, 470), (470, 440)):
        low, high = (but(one, height_mm=pad) for one, pad in zip((bench, other), pads, strict=True))
        heights = catch_heights(build_scene(make_plan(rack, bar, low, high)), "rack")
        assert heights is not None
        # 150 to 200 above the pad
        assert (heights.pad_mm, heights.least_mm, heights.most_mm) == (470, 620, 670)


def test_a_helper_with_his_place_makes_it_a_care() -> None:
    assert severities(without_catches(alone=False), "no-catches") == ["care"]


# the bench of 1220 has its head at y - 610; the helper wants 900 behind it
@pytest.mark.parametrize(("y", "severity"), [(1510, "care"), (1508, "stop"), (1310, "stop")])
def test_the_helpers_place_to_the_wall(y: float, severity: str) -> None:
    (snag,) = found(without_catches(alone=False, y=y), "no-catches")
    assert snag.severity == severity
    if severity == "stop":
        assert "the back wall is there" in snag.sentence


@pytest.mark.parametrize("side", [-1, 1])
@pytest.mark.parametrize(
    # 600 x 900 behind the head, which lies at 1890: a thing of 100 x 100 beside it and at its end
    ("aside", "y", "severity"),
    [(351, 1500, "care"), (348, 1500, "stop"), (0, 938, "care"), (0, 942, "stop")],
)
def test_what_stands_in_the_helpers_place(aside: float, y: float, severity: str, side: int) -> None:
    plan = without_catches(alone=False)
    thing = place("other-thing", 2500 + side * aside, y, width=100, depth=100, height=900)
    beside = make_plan(*plan.pieces, thing, people=plan.people)
    (snag,) = found(beside, "no-catches")
    assert snag.severity == severity
    assert ("the other thing stands there" in snag.sentence) is (severity == "stop")


def test_a_helper_steps_over_a_mat_and_stands_under_a_panel() -> None:
    # 50 are stepped over, 2030 pass over heads
    plan = without_catches(alone=False)
    low = place("other-thing", 2500, 1500, width=500, depth=500, height=49)
    high = place("radiant-panel", 2500, 1500, width=500, depth=500, height=2061)
    for thing in (low, high):
        assert severities(make_plan(*plan.pieces, thing, people=plan.people), "no-catches") == [
            "care"
        ]


@pytest.mark.parametrize(("wish", "expected"), [("nice", ["care"]), ("no", [])])
def test_what_is_only_nice_is_milder_and_what_nobody_does_is_silent(
    wish: str, expected: list[str]
) -> None:
    assert severities(without_catches(alone=True, wish=wish), "no-catches") == expected


def test_a_row_without_catches_can_be_given_some() -> None:
    plan = make_plan(
        place("upright-bench", piece_id="bench"),
        place("bar-20", 2500, 2145, piece_id="bar", carried_by="bench"),
        people=(make_person(want=("bench-press",)),),
    )
    assert severities(plan, "no-catches") == ["stop"]
    bench, bar = (p for p in sorted(plan.pieces, key=lambda p: p.id != "bench"))
    fitted = make_plan(but(bench, catches=True), bar, people=plan.people)
    assert severities(fitted, "no-catches") == []


@pytest.mark.parametrize(
    ("alone", "bumper", "severity"),
    [(True, False, "stop"), (True, True, "care"), (False, False, "care")],
)
def test_squatting_without_catches(alone: bool, bumper: bool, severity: str) -> None:
    assert severities(stands(alone=alone, bumper=bumper), "no-catches") == [severity]


def test_floor_to_drop_the_bar_just_enough_and_just_not() -> None:
    # stands 1200 deep: the squat is 300 before their front edge, 1200 about it reach 1500 off the
    # middle; the room is 5000 deep
    assert severities(stands(alone=True, bumper=True, y=3500), "no-catches") == ["care"]
    assert severities(stands(alone=True, bumper=True, y=3502), "no-catches") == ["stop"]


def test_another_place_with_catches_makes_it_milder() -> None:
    bench = place("upright-bench", 1200, 1200, piece_id="other")
    bar = place("bar-20", 1200, 845, piece_id="other-bar", carried_by="other")
    person = make_person(want=("bench-press",))
    plan = make_plan(*bench_station(x=3300, y=3500), bench, bar, people=(person,))
    assert severities(plan, "no-catches") == ["care"]


@pytest.mark.parametrize(
    ("rack", "setting"), [("mid-rack", 600), ("half-rack", 600), ("guided-bar", 600)]
)
def test_catch_heights(rack: str, setting: float) -> None:
    plan = make_plan(place(rack, piece_id="rack"), place("flat-bench", carried_by="rack"))
    heights = catch_heights(build_scene(plan), "rack")
    assert heights is not None
    assert (heights.pad_mm, heights.least_mm, heights.most_mm) == (440, 590, 640)
    assert heights.setting_mm == setting  # 300 + 6 x 50, 400 + 4 x 50, 400 + 2 x 100


def test_of_two_benches_in_a_rack_the_higher_one_sets_the_catches() -> None:
    plan = make_plan(
        place("mid-rack", piece_id="rack"),
        place("flat-bench", piece_id="low", height=400, carried_by="rack"),
        place("flat-bench", piece_id="high", carried_by="rack"),
    )
    heights = catch_heights(build_scene(plan), "rack")
    assert heights is not None
    # 440 + 150 and 440 + 200: catches for the bench of 400 would be 50 nearer to the higher pad
    assert (heights.pad_mm, heights.least_mm, heights.most_mm) == (440, 590, 640)


def test_catch_heights_without_bench() -> None:
    assert catch_heights(build_scene(make_plan(place("mid-rack", piece_id="r"))), "r") is None


@pytest.mark.parametrize(
    ("kit", "fields", "expected"),
    [
        ("mid-rack", {}, ["care"]),  # 85 kg
        ("mid-rack", {"bolted": True}, []),
        ("mid-rack", {"mass_kg": 100}, []),  # exactly on both limits: 1250 deep, 100 kg
        ("mid-rack", {"mass_kg": 99}, ["care"]),
        ("full-rack", {}, []),  # 110 kg, 1250 deep
        ("full-rack", {"depth_mm": 1200}, []),
        ("full-rack", {"depth_mm": 1198}, ["care"]),
        ("squat-stands", {}, ["care"]),
        ("pull-up-tower", {}, ["care"]),
        ("dip-station", {}, ["care"]),
        ("guided-bar", {}, []),
        ("upright-bench", {}, []),
        ("folding-wall-rack", {}, []),  # hangs on the wall: a matter of its fixings
    ],
)
def test_what_tips(kit: str, fields: dict[str, object], expected: list[str]) -> None:
    assert severities(make_plan(but(place(kit), **fields)), "tips") == expected


def test_a_tower_that_nobody_uses_does_not_matter() -> None:
    person = make_person(no=("pull-up", "dip"))
    assert severities(make_plan(place("pull-up-tower"), people=(person,)), "tips") == []


def test_empty_room() -> None:
    plan = make_plan(people=(make_person(want=("squat", "bench-press")),))
    assert found(plan, "no-catches") == []
    assert found(plan, "tips") == []


def test_a_dragged_rack_is_judged_as_one_built_there() -> None:
    plan = without_catches(alone=False)
    scene = build_scene(plan)
    run(scene)
    near = without_catches(alone=False, y=1310)
    moved = scene.moved({piece.id: piece.pose for piece in near.pieces})
    assert [(s.key, s.severity, s.sentence, s.where) for s in run(moved)] == [
        (s.key, s.severity, s.sentence, s.where) for s in run(build_scene(near))
    ]


def test_the_good_layout_fails_nobody() -> None:
    assert found(good_layout(), "no-catches") == []


@pytest.mark.parametrize("first", [1200, 3800])
def test_a_bench_whose_catches_nobody_can_set_hides_no_other(first: float) -> None:
    # stands without catches beside a rack with them: the rack is told its height
    def station(rack: str, x: float) -> list[Piece]:
        pieces = bench_station(x=x, rack=rack)
        return [
            piece.model_copy(
                update={
                    "id": f"{piece.id}-{rack}",
                    "carried_by": piece.carried_by and f"{piece.carried_by}-{rack}",
                }
            )
            for piece in pieces
        ]

    stands = station("squat-stands", first)
    plan = make_plan(*stands, *station("mid-rack", 5000 - first), people=[make_person(1750)])
    rack = station("mid-rack", 0)[0].id
    assert [snag.pieces for snag in found(plan, "catch-setting")] == [(rack,)]


@pytest.mark.parametrize(
    ("plan", "words"),
    [
        (
            without_catches(alone=True),
            "Bench press: nothing catches the bar if 1.75 m fails alone. Fit catches at 590 to "
            "640 mm, or do not press here alone.",
        ),
        (
            without_catches(alone=False),
            "Bench press: nothing catches the bar: a helper at the head each time. Fit catches at "
            "590 to 640 mm to do without.",
        ),
        (
            without_catches(alone=False, y=1508),
            "Bench press: nothing catches the bar and the helper's place of 600 x 900 mm behind "
            "the head is not free: the back wall is there. Fit catches at 590 to 640 mm.",
        ),
        (
            stands(alone=True, bumper=True),
            "Squat: nothing catches the bar: drop it on the 1200 mm of free floor.",
        ),
        (
            stands(alone=True, bumper=False),
            "Squat: nothing catches the bar if 1.75 m fails alone. Fit catches, or use rubber "
            "plates and keep 1200 mm of floor to drop it: these plates are not marked as rubber.",
        ),
        (
            stands(alone=False, bumper=False),
            "Squat: nothing catches the bar: a helper at each end each time, or fit catches.",
        ),
    ],
)
def test_what_is_to_be_done_where_nothing_catches(plan: Plan, words: str) -> None:
    assert [snag.sentence for snag in found(plan, "no-catches")] == [words]


def test_of_two_who_lift_the_one_in_danger_is_named() -> None:
    # who trains alone is stopped, who has a helper is warned
    rack, bar, bench = bench_station()
    tall = make_person(1900, person_id="tall", alone=True, want=("bench-press",), no=("squat",))
    short = make_person(1600, person_id="short", alone=False, want=("bench-press",), no=("squat",))
    for people in ((tall, short), (short, tall)):
        (snag,) = found(make_plan(but(rack, catches=False), bar, bench, people=people), "no-cat")
        assert snag.severity == "stop"
        assert "if 1.90 m fails alone" in snag.sentence


@pytest.mark.parametrize(
    ("kit", "fields", "measured", "words"),
    [
        # 100 kg and 1200 deep (common practice, no source): what is light is told so first
        ("mid-rack", {"mass_kg": 99}, (99, 100, "kg"), "Mid rack is not bolted down and only "
            "99 kg: it can tip. Bolt it down, or store plates on its rear pegs."),
        ("full-rack", {"depth_mm": 1198}, (1198, 1200, "mm"), "Full rack is not bolted down and "
            "only 1198 mm deep: it can tip. Bolt it down, or store plates on its rear pegs."),
        # stands have no pegs behind
        ("squat-stands", {}, (45, 100, "kg"), "Squat stands are not bolted down and only 45 kg: "
            "they can tip. Bolt them down."),
        ("mid-rack", {"mass_kg": 99, "depth_mm": 1000}, (99, 100, "kg"), "Mid rack is not bolted "
            "down and only 99 kg: it can tip. Bolt it down, or store plates on its rear pegs."),
    ],
)  # fmt: skip
def test_why_it_tips(
    kit: str, fields: dict[str, object], measured: tuple[float, float, str], words: str
) -> None:
    (snag,) = found(make_plan(but(place(kit), **fields)), "tips")
    assert (snag.measured, snag.required, snag.unit) == measured
    assert snag.sentence == words


def test_who_uses_what_tips_counts_and_nobody_else() -> None:
    never = make_person(no=("pull-up", "dip"))
    hangs = make_person(person_id="two", no=("dip",))
    for people in ((never, hangs), (hangs, never)):
        assert severities(make_plan(place("pull-up-tower"), people=people), "tips") == ["care"]
