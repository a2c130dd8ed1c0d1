"""What goes together: racks, bars, plates, benches, holes, catches."""

import pytest

from app.checks.between_posts import inside_mm
from app.checks.goes_together import plates_kg
from app.model.kit import Piece
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import found, judge, make_person, make_plan, make_room, place, severities
from tests.checks.hanging import but
from tests.layouts import good_layout

CODES = ("incomplete", "bench-too-wide", "catch-height", "sleeve-full", "plate-hole")


def codes(plan: Plan) -> list[tuple[str, str]]:
    return [(s.code, s.severity) for s in judge(plan) if s.code in CODES]


def test_the_good_layout_lacks_nothing() -> None:
    assert codes(good_layout()) == []


def test_an_empty_room_lacks_nothing() -> None:
    assert codes(make_plan()) == []


def test_a_rack_needs_a_bar_and_plates() -> None:
    (snag,) = found(make_plan(place("mid-rack"), place("plate-tree", 600, 600)), "incomplete")
    assert snag.severity == "care"
    assert snag.sentence == "This mid rack has no bar: squat and press need one."
    (snag,) = found(make_plan(place("mid-rack")), "incomplete")
    assert snag.sentence == "This mid rack has no bar and no plates: squat and press need them."


def test_a_bar_that_lies_elsewhere_will_do() -> None:
    bar = but(place("bar-20", 2500, 4500), plate_mm=450, on_floor=True)
    assert codes(make_plan(place("mid-rack"), bar)) == []


def test_only_plates_missing_is_a_note() -> None:
    plan = make_plan(place("mid-rack", piece_id="r"), place("bar-20", 2500, 3013, carried_by="r"))
    assert codes(plan) == [("incomplete", "note")]


def test_bench_press_wanted_without_a_bench() -> None:
    pieces = (
        place("mid-rack", piece_id="r"),
        place("bar-20", 2500, 3013, carried_by="r", plate=450),
    )
    person = make_person(want=("bench-press",))
    plan = make_plan(*pieces, people=(person,))
    (snag,) = found(plan, "incomplete")
    assert snag.sentence == "This mid rack has no bench in it: bench press needs one."
    bench = place("flat-bench", carried_by="r")
    assert codes(make_plan(*pieces, bench, people=(person,))) == []


def test_a_rack_for_pull_ups_alone_needs_no_bar() -> None:
    moves = ("squat", "bench-press", "seated-press", "standing-press", "kneeling-press")
    plan = make_plan(place("mid-rack"), people=(make_person(want=("pull-up",), no=moves),))
    assert codes(plan) == []


def test_width_between_the_posts() -> None:
    placed = build_scene(make_plan(place("mid-rack"))).placed["mid-rack"]
    assert inside_mm(placed) == 1070  # 1220 less two posts of 75
    placed = build_scene(make_plan(place("flat-bench"))).placed["flat-bench"]
    assert inside_mm(placed) is None


@pytest.mark.parametrize(("width", "expected"), [(1070, []), (1072, ["stop"])])
def test_a_bench_between_the_posts(width: float, expected: list[str]) -> None:
    plan = make_plan(
        place("mid-rack", piece_id="r"),
        place("bar-20", 2500, 3013, carried_by="r", plate=450),
        place("flat-bench", carried_by="r", width=width),
    )
    # its feet are in the posts: that is the one fault, told with the widths of both
    assert severities(plan, "bench-too-wide") == []
    assert severities(plan, "clash") == expected
    for snag in found(plan, "clash"):
        assert snag.sentence == (
            "Flat bench is 1072 mm wide, between the posts of the mid rack there are 1070."
        )


@pytest.mark.parametrize(("height", "expected"), [(440, []), (250, []), (90, ["care"])])
def test_a_bench_and_the_settings_of_the_catches(height: float, expected: list[str]) -> None:
    # catches of 300 and more in steps of 50: a pad at 250 wants 400 to 450, one at 90 240 to 290
    plan = make_plan(
        place("mid-rack", piece_id="r"),
        place("bar-20", 2500, 3013, carried_by="r", plate=450),
        place("flat-bench", carried_by="r", height=height),
    )
    assert severities(plan, "catch-height") == expected


@pytest.mark.parametrize(
    ("bar", "plates", "said"),
    [
        ("bar-20", "rubber-plates", None),
        ("thin-bar", "thin-plates", None),
        # holes of 50 on a sleeve of 25 or 30, and the other way round
        ("thin-bar", "rubber-plates", "they hang loose"),
        ("bar-20", "thin-plates", "they do not go on"),
    ],
)
def test_hole_and_sleeve(bar: str, plates: str, said: str | None) -> None:
    plan = make_plan(place(bar, on_floor=True), place(plates, 600, 600))
    assert severities(plan, "plate-hole") == ([] if said is None else ["care"])
    for snag in found(plan, "plate-hole"):
        assert said is not None
        assert snag.sentence.endswith(f": {said}.")
        assert (snag.measured or 0) > (snag.required or 0) or "not go on" in said
        hole, sleeve = (50, 26) if bar == "thin-bar" else (30, 50)
        assert snag.sentence.startswith(f"{snag.names[0]}: the hole is {hole} mm, the sleeve of ")
        assert (snag.measured, snag.required) == (hole, sleeve)
        assert snag.pieces == (plates, bar)


def test_plates_whose_hole_is_not_known_are_asked_for() -> None:
    plan = make_plan(place("bar-20", on_floor=True), place("iron-plates", 600, 600))
    (snag,) = found(plan, "find-out")
    assert "whether the hole of the stack of iron plates is 50" in snag.sentence


@pytest.mark.parametrize(("mass", "expected"), [(200, []), (240, ["note"])])
def test_plates_on_a_sleeve(mass: float, expected: list[str]) -> None:
    # a sleeve of 305 takes 5 of 60; 200 kg are 5 a side, 240 kg are 6
    plan = make_plan(
        place("squat-stands", piece_id="s"),
        place("short-bar", 2500, 2500, carried_by="s"),
        but(place("rubber-plates", 600, 600), mass_kg=mass),
    )
    assert severities(plan, "sleeve-full") == expected


def test_one_snag_a_station() -> None:
    plan = make_plan(
        place("mid-rack", piece_id="r"), place("flat-bench", carried_by="r", width=1200, height=90)
    )
    assert len(codes(plan)) == 1


@pytest.mark.parametrize(("play", "said"), [(4, []), (3.9, ["they hang loose"])])
def test_a_hole_may_have_as_much_play_as_is_published(play: float, said: list[str]) -> None:
    # thin plates have a hole of 30, the sleeve of a thin bar is 26
    plan = make_plan(place("thin-bar", on_floor=True), place("thin-plates", 600, 600))
    value = {"id": "plate.hole-play-mm", "value": play, "reason": "measured"}
    tight = Plan.model_validate({**plan.model_dump(), "overrides": [value]})
    assert [snag.sentence.split(": ")[-1] for snag in found(tight, "plate-hole")] == [
        f"{words}." for words in said
    ]


@pytest.mark.parametrize("first", ["bar-20", "thin-bar"])
def test_plates_go_on_one_bar_of_two(first: str) -> None:
    other = {"bar-20": "thin-bar", "thin-bar": "bar-20"}[first]
    bars = place(first, 2500, 2500, on_floor=True), place(other, 2500, 3500, on_floor=True)
    for plates in ("rubber-plates", "thin-plates"):
        assert found(make_plan(*bars, place(plates, 600, 600)), "plate-hole") == []
    # where the hole is not known both sleeves are asked about
    (snag,) = found(make_plan(*bars, place("iron-plates", 600, 600)), "find-out")
    assert "is 26 mm or 50 mm, as the sleeves are" in snag.sentence


@pytest.mark.parametrize("wish", ["want", "nice"])
@pytest.mark.parametrize("other", ["want", "nice", "no"])
def test_a_bench_is_missed_where_anybody_wants_to_press_on_one(wish: str, other: str) -> None:
    pieces = (
        place("mid-rack", piece_id="r"),
        place("bar-20", 2500, 3013, carried_by="r", plate=450),
    )
    people = [
        make_person(person_id=name, **{word: ("bench-press",)})  # type: ignore[arg-type]
        for name, word in (("one", wish), ("two", other))
    ]
    expected = [("incomplete", "care")] if "want" in (wish, other) else []
    assert codes(make_plan(*pieces, people=people)) == expected
    assert codes(make_plan(*pieces, people=people[::-1])) == expected


def test_a_bench_is_missed_in_no_rack_where_another_one_has_it() -> None:
    person = make_person(want=("bench-press",))
    one = (
        place("mid-rack", 1500, 2500, piece_id="r"),
        place("bar-20", 1500, 3013, carried_by="r", plate=450),
    )
    other = (
        place("mid-rack", 4500, 2500, piece_id="s"),
        place("bar-20", 4500, 3013, carried_by="s", plate=450, piece_id="bar-s"),
        place("flat-bench", 4500, 2500, carried_by="s"),
    )
    room = make_room(7000, 5000)
    alone = found(make_plan(*one, room=room, people=(person,)), "incomplete")
    assert ["bench in it" in snag.sentence for snag in alone] == [True]
    assert found(make_plan(*one, *other, room=room, people=(person,)), "incomplete") == []
    # what holds a bar to squat under needs no bench
    stands = (
        place("squat-stands", piece_id="t"),
        place("bar-20", 2500, 2574, carried_by="t", plate=450),
    )
    assert found(make_plan(*stands, people=(person,)), "incomplete") == []


def test_only_plates_weigh_as_plates() -> None:
    def typed(kit: str, x: float, kg: float | None) -> Piece:
        return but(place(kit, x, 600), mass_kg=kg)

    pieces = typed("iron-plates", 600, 80), typed("rubber-plates", 1500, 40.5)
    assert plates_kg(build_scene(make_plan(*pieces, typed("bike", 3000, 55)))) == 120.5
    assert plates_kg(build_scene(make_plan(typed("iron-plates", 600, None)))) is None
    assert plates_kg(build_scene(make_plan(typed("bike", 3000, 55)))) is None
