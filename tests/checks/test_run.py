"""The gathering of snags, row by row: which follow from another one, their order, what is asked."""

from collections.abc import Iterator
from typing import Any

import pytest

from app.checks.clash import clashes
from app.checks.missing_kit import missing_kit
from app.checks.one_fault import each_fault_once
from app.checks.run import (
    asked_once,
    in_few_words,
    in_order,
    judged_as,
    judged_but_for_wishes,
    judged_by,
    run,
    run_places,
)
from app.checks.snag import Snag
from app.model.plan import Override
from app.scene.build import Scene, build_scene
from tests.builders import make_person, make_plan, make_room, place


def row(**fields: Any) -> Snag:
    """A thing b that leaves 300 of 600 before a piece a, unless told otherwise."""
    given: dict[str, Any] = {
        "code": "room-front",
        "severity": "stop",
        "template": "",
        "space": "front",
        "pieces": ("a", "b"),
        "against": "b",
        "measured": 300.0,
        "required": 600.0,
    }
    return Snag(**(given | fields))


def plain(code: str, *pieces: str, **fields: Any) -> Snag:
    """A row that is about no working space."""
    given: dict[str, Any] = {"code": code, "severity": "stop", "template": "", "pieces": pieces}
    return Snag(**(given | fields))


def left(*snags: Snag) -> list[Snag]:
    """What is left of some rows; in another order the same are."""
    rows = list(each_fault_once(snags))
    assert list(each_fault_once(snags[::-1])) == rows[::-1]
    return rows


@pytest.mark.parametrize(
    ("fields", "goes"),
    [
        # no more measured and no less asked for: the stop says all of it
        ({"required": 500}, True),
        ({"measured": 301}, True),
        ({"measured": 299, "required": 599}, False),
        ({"measured": 0, "required": 599}, False),
        ({"measured": 301, "required": 601}, False),
        ({"required": 500, "severity": "stop"}, True),
        # of another space, of another piece, without a figure
        ({"required": 500, "space": "side"}, False),
        ({"required": 500, "pieces": ("d", "c")}, False),
        ({"required": None}, False),
        ({"measured": None}, False),
    ],
)
def test_of_one_space_the_row_that_asks_for_more_is_enough(
    fields: dict[str, Any], goes: bool
) -> None:
    stop = row()
    other = row(**{"severity": "care", "pieces": ("a", "c"), "against": "c"} | fields)
    assert left(stop, other) == ([stop] if goes else [stop, other])
    # a care says nothing of another row
    care = row(severity="care")
    assert left(care, other) == [care, other]
    # nor does one without a figure
    vague = row(measured=None)
    assert left(vague, other) == [vague, other]


FLANKED = {"flanked": True, "space": "side", "code": "room-side"}
TOUCHING = {"measured": 0, "space": "side", "code": "room-side"}


@pytest.mark.parametrize(
    ("one", "other", "goes"),
    [
        # what stands before the piece stands beside the strip before it as well
        ({}, FLANKED, True),
        ({"severity": "care"}, FLANKED, False),
        ({}, FLANKED | {"severity": "care"}, True),
        ({}, FLANKED | {"against": "c"}, False),
        ({}, FLANKED | {"pieces": ("d", "b")}, False),
        ({}, FLANKED | {"against": None}, False),
        ({"against": None}, FLANKED | {"against": None}, False),
        # what neither flanks nor touches is a fault of its own, nearer by 1 mm it touches
        ({}, {"space": "side", "severity": "care"}, False),
        ({"measured": 0}, TOUCHING | {"severity": "care"}, True),
        ({"measured": 1}, TOUCHING | {"measured": 1, "required": 599}, True),
        ({"measured": 2}, TOUCHING | {"measured": 2, "required": 599}, False),
        # only one of the two touches, or flanks: the worse is left
        ({}, TOUCHING, False),
        ({"required": 1000}, TOUCHING, False),
        ({}, TOUCHING | {"severity": "care"}, True),
        ({"flanked": True}, TOUCHING | {"severity": "care"}, True),
        # of two alike the one that misses more, then the first by its code
        (FLANKED | {"space": "back"}, FLANKED | {"required": 599}, True),
        (FLANKED | {"space": "back", "severity": "stop"}, FLANKED | {"severity": "care"}, True),
        ({"measured": 0}, TOUCHING, True),
        ({"measured": 0, "code": "z"}, TOUCHING | {"required": 599}, True),
    ],
)
def test_of_one_thing_beside_a_piece_one_row_tells(
    one: dict[str, Any], other: dict[str, Any], goes: bool
) -> None:
    first, second = row(**one), row(**other)
    assert left(first, second) == ([first] if goes else [first, second])


def test_a_row_without_a_figure_says_nothing_of_what_flanks() -> None:
    vague, other = row(required=None), row(**FLANKED)
    assert left(vague, other) == [vague, other]


@pytest.mark.parametrize(
    ("fields", "goes"),
    [
        ({}, True),
        ({"measured": 300}, True),
        ({"required": 601}, False),
        ({"measured": 299}, False),
        ({"all_round": False}, False),
        ({"against": "c", "pieces": ("a", "c")}, False),
    ],
)
def test_too_near_on_one_side_is_too_near_all_round(fields: dict[str, Any], goes: bool) -> None:
    side = row(severity="care")
    given: dict[str, Any] = {
        "space": "ring",
        "severity": "care",
        "measured": 400,
        "all_round": True,
    }
    ring = row(**given | fields)
    assert left(side, ring) == ([side] if goes else [side, ring])


BACK = {"pieces": ("b", "a"), "against": "a", "space": "back", "code": "room-back"}


@pytest.mark.parametrize(
    ("one", "other", "goes"),
    [
        # the piece opposite asks for 200 more of the same gap, to the millimetre
        ({}, {"required": 800}, True),
        ({}, {"required": 800, "measured": 301}, True),
        ({}, {"required": 800, "measured": 302}, False),
        ({}, {"required": 800, "measured": 298}, False),
        ({"measured": 1.9}, {"required": 800, "measured": 0}, False),
        ({"measured": 0}, {"required": 800, "measured": 1.9}, False),
        ({}, {"required": 800, "measured": 302, "all_round": True}, True),
        ({"all_round": True}, {"required": 800, "measured": 302}, True),
        # milder, beside one of them, another gap
        ({}, {"required": 800, "severity": "care"}, False),
        ({}, {"required": 800, "flanked": True}, False),
        ({"flanked": True}, {"required": 800}, False),
        ({}, {"required": 800, "against": "the back wall"}, False),
        ({"against": None}, {"required": 800}, False),
        ({}, {"required": 800, "pieces": ("b", "c", "a")}, False),
        ({"pieces": ("a", "c", "b")}, {"required": 800, "pieces": ("b", "c", "a")}, False),
        # of as much the later kind, whatever the pieces are called
        ({"code": "room-before"}, {"code": "room-round"}, True),
        # left and right are no kinds: of those the later piece tells
        ({"code": "room-right"}, {"code": "room-left"}, True),
        ({"code": "room-left"}, {"code": "room-right"}, True),
    ],
)
def test_two_pieces_have_one_gap_between_them(
    one: dict[str, Any], other: dict[str, Any], goes: bool
) -> None:
    first, second = row(**one), row(**BACK | other)
    assert left(first, second) == ([second] if goes else [first, second])


def test_of_one_gap_the_piece_that_misses_more_tells() -> None:
    # asked for alike, but the one finds less of it than the other
    for near, far in ((300, 301), (0, 0.5)):
        first, second = row(measured=near), row(**BACK | {"measured": far})
        assert left(first, second) == [first]


@pytest.mark.parametrize("goes", [True, False])
def test_a_stop_with_nothing_free_says_more_than_a_care_with_a_little(goes: bool) -> None:
    stop = row(measured=0 if goes else 0.5)
    care = row(severity="care", measured=0.5 if goes else 0, pieces=("a", "c"), against="c")
    assert left(stop, care) == ([stop] if goes else [stop, care])


@pytest.mark.parametrize(
    ("fields", "goes"),
    [
        ({"measured": 0}, True),
        ({"measured": 5, "against": "the back wall"}, True),
        ({"measured": 5}, False),
        ({"measured": 0, "pieces": ("a", "b")}, False),
        ({"measured": 0, "pieces": ("c",)}, False),
        ({"measured": 0, "space": None}, False),
    ],
)
def test_what_stands_in_a_wall_is_told_once(fields: dict[str, Any], goes: bool) -> None:
    outside = plain("outside", "a", against="the back wall")
    other = row(**{"pieces": ("a",), "against": "the left wall"} | fields)
    assert left(outside, other) == ([outside] if goes else [outside, other])
    elsewhere = plain("high", "a", against="the back wall")
    assert left(elsewhere, other) == [elsewhere, other]


@pytest.mark.parametrize(
    ("fields", "goes"),
    [
        ({}, True),
        ({"pieces": ("a", "b", "c")}, True),
        ({"pieces": ("a", "b", "d")}, False),
        ({"pieces": ("a",)}, False),
        ({"measured": 1}, False),
        ({"measured": None}, False),
    ],
)
def test_where_two_things_cross_no_room_is_left_between_them(
    fields: dict[str, Any], goes: bool
) -> None:
    clashes = [plain("clash", "b", "a"), plain("clash", "a", "c")]
    other = row(**{"measured": 0} | fields)
    assert left(*clashes, other) == (clashes if goes else [*clashes, other])
    near = [plain("near", "b", "a"), plain("near", "a", "c")]
    assert left(*near, other) == [*near, other]


@pytest.mark.parametrize(
    ("fields", "goes"),
    [
        ({}, True),
        ({"measured": 0}, True),
        ({"measured": 300}, False),
        ({"pieces": ("c",)}, False),
        ({"code": "narrow-way"}, False),
    ],
)
def test_behind_a_door_that_cannot_open_there_is_no_way(fields: dict[str, Any], goes: bool) -> None:
    door = plain("door", "b", shuts_door=True)
    given: dict[str, Any] = {"code": "no-way", "severity": "stop", "template": "", "pieces": ("b",)}
    other = Snag(**(given | fields))
    assert left(door, other) == ([door] if goes else [door, other])
    slow = plain("door", "b")
    assert left(slow, other) == [slow, other]


@pytest.mark.parametrize(
    ("pieces", "blocked", "goes"),
    [
        (("tap", "b"), True, True),
        (("tap",), True, True),
        (("tap", "c"), True, False),
        (("b",), True, False),
        (("tap", "b"), False, False),
    ],
)
def test_what_stands_before_a_shut_off_bars_the_way_to_it(
    pieces: tuple[str, ...], blocked: bool, goes: bool
) -> None:
    before = plain("shut-off-depth", "tap", "b", to_reach=True)
    way = plain("shut-off-way", *pieces, blocked=blocked)
    assert left(before, way) == ([before] if goes else [before, way])
    # a way to what is no piece is a row of its own beside a shut-off
    no_place = plain("way", blocked=True)
    assert left(before, no_place) == [before, no_place]
    assert left(plain("deep", "tap", "b"), way)[1:] == [way]


def test_worst_first_then_by_code_and_by_what_it_is_about() -> None:
    rows = [
        plain("b", "x"),
        plain("b", "y"),
        plain("c", "a"),
        plain("a", "x", severity="care"),
        plain("a", "a", severity="note"),
    ]
    assert in_order(reversed(rows)) == tuple(rows)


def test_what_is_to_be_found_out_is_one_note() -> None:
    def ask(question: str, *keys: str) -> Snag:
        return plain(
            f"ask-{question}", severity="note", question=True, template="{}",
            values=(question,), source_keys=keys,
        )  # fmt: skip

    door, care = plain("door", "d"), plain("air", severity="care")
    assert list(asked_once((door, care))) == [door, care]
    asked = (ask("how thick", "one", "two"), door, ask("how old", "two", "three"), care)
    first, second, note = asked_once((*asked, ask("how thick", "one", "two")))
    assert (first, second) == (door, care)
    assert note.sentence == "Still to find out: how thick; how old."
    assert note.lines("metric") == ("How thick.", "How old.")
    assert (note.code, note.severity, note.unit) == ("find-out", "note", None)
    assert (note.source_keys, note.question) == (("one", "two", "three"), False)


def test_what_is_worth_knowing_of_the_room_is_one_note() -> None:
    def note(name: str, *keys: str, **fields: Any) -> Snag:
        given: dict[str, Any] = {"severity": "note", "background": True, "names": (name,)}
        return plain(
            name, **given | fields, template=f"{name} runs.", source_keys=keys,
            working=((name, 1.0),),
        )  # fmt: skip

    air, light, door = note("air", "one"), note("light", "one", "two"), plain("door", "d")
    # one alone stays as it is, and so do cares and notes that are no background
    assert in_few_words((air, door)) == (air, door)
    care, other = note("damp", severity="care"), note("way", background=False)
    assert in_few_words((air, care, other)) == (air, care, other)
    *rest, one = in_few_words((air, care, light, door, other))
    assert rest == [care, door, other]
    assert one.sentence == "Air: air runs. Light: light runs."
    assert one.lines("metric") == ("Air: air runs.", "Light: light runs.")
    assert (one.code, one.severity, one.unit) == ("worth-knowing", "note", None)
    assert one.source_keys == ("one", "two")
    assert one.working == (("air", 1.0), ("light", 1.0))


def test_a_check_is_asked_once_of_a_scene() -> None:
    asked: list[Scene] = []

    def check(scene: Scene) -> Iterator[Snag]:
        asked.append(scene)
        yield plain("one")

    def later(scene: Scene) -> Iterator[Snag]:
        asked.append(scene)
        yield plain("two")

    scene, other = build_scene(make_plan()), build_scene(make_plan())
    for _ in range(2):
        assert judged_by((check, later), scene) == (plain("one"), plain("two"))
    assert asked == [scene, scene]
    assert judged_by((later,), scene) == (plain("two"),)
    # what was said of one stands for the other, and what the other is asked for it as well
    judged_as(other, scene)
    assert judged_by((check,), other) == (plain("one"),)
    assert asked == [scene, scene]
    fresh = build_scene(make_plan())
    assert judged_by((later, check), fresh) == (plain("two"), plain("one"))
    assert asked == [scene, scene, fresh, fresh]


BAG = place("standing-bag", 2500, 2500)
BOXES = [place("jump-box", x, 1700, piece_id=f"box-{x}") for x in (2000, 3000)]


def codes(snags: tuple[Snag, ...]) -> list[str]:
    return [snag.code for snag in snags]


def test_ways_are_left_out_while_something_is_dragged_and_notes_where_cares_count() -> None:
    scene = build_scene(make_plan(BAG, *BOXES))
    # the boxes stand before the bag: 374 of the 1200 to jump from, and three stations in turn
    jump = ["room-to-jump-from"] * 2
    assert codes(run(scene)) == [*jump, "find-out", "no-way-out", "shared-in-turn"]
    assert codes(run(scene, full=False)) == [*jump, "find-out"]
    assert codes(run(scene, weighed=True)) == [*jump, "find-out", "no-way-out"]
    assert codes(run_places(scene)) == jump


def test_the_values_of_the_plan_are_in_force() -> None:
    narrow = make_plan(place("running-machine", 2500, 2500), room=make_room(5000, 5000))
    own = Override(id="running.behind.recommended-mm", value=1500, reason="its manual")
    wider = narrow.model_copy(update={"overrides": (own,)})
    for plan, places in ((narrow, ["room-behind-the-belt"]), (wider, [])):
        scene = build_scene(plan)
        assert codes(run_places(scene)) == places
        assert ("room-behind-the-belt" in codes(run(scene))) is bool(places)


def test_what_asks_for_no_wishes_stands_where_nothing_else_differs() -> None:
    person = make_person(1900, want=["bench-press"])
    pieces = place("flat-bench"), place("flat-bench", 2600, piece_id="b")
    plan = make_plan(*pieces, people=[person])
    before, after = build_scene(plan), build_scene(plan)
    # of a scene that nobody has judged nothing stands
    judged_but_for_wishes(after, before)
    clash, wish = judged_by([clashes], before), judged_by([missing_kit], before)
    assert clash
    assert wish
    judged_but_for_wishes(after, before)
    assert judged_by([clashes], after) is not clash
    assert all(one is two for one, two in zip(judged_by([clashes], after), clash, strict=True))
    # what hangs on wishes is asked anew
    anew = judged_by([missing_kit], after)
    assert anew == wish
    assert not any(one is two for one, two in zip(anew, wish, strict=True))


@pytest.mark.parametrize(
    ("inside", "fields", "goes"),
    [
        ({}, {}, True),
        ({}, {"measured": 1}, True),
        ({}, {"measured": 2}, False),
        ({}, {"severity": "care"}, True),
        # what is milder says less
        ({"severity": "care"}, {}, False),
        ({"severity": "note"}, {"severity": "care"}, False),
        ({"severity": "care"}, {"severity": "care"}, True),
        ({}, {"pieces": ("a", "c"), "against": "c"}, False),
        ({"space": None}, {}, False),
    ],
)
def test_what_is_in_the_one_of_two_things_is_right_up_against_it(
    inside: dict[str, Any], fields: dict[str, Any], goes: bool
) -> None:
    within = row(**{"code": "room-floor", "space": "area", "measured": None} | inside)
    given = {"pieces": ("b", "a"), "against": "a", "space": "back", "measured": 0}
    touching = row(**given | fields)
    assert left(within, touching) == ([within] if goes else [within, touching])
