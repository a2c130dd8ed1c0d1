"""What one verdict being better than another means, tried at its bounds."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from app.arrange.better import (
    FULL_SHARE,
    Weight,
    mends,
    outcome,
    place_of,
    weight_of,
    weights,
)
from app.arrange.trial import Trials
from app.budget import Budget
from app.checks.snag import SEVERITIES, Severity, Snag
from app.checks.spots import OPEN, SHUT
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place

STATIONS = {"rack": "rack", "bar": "rack", "bench": "rack", "bag": "bag"}


def snag(
    code: str = "room-beside",
    severity: Severity = "care",
    measured: float | None = 300,
    required: float | None = 600,
    need: float | None = None,
    pieces: tuple[str, ...] = ("bag",),
    person: str | None = None,
) -> Snag:
    return Snag(
        code=code,
        severity=severity,
        template="",
        pieces=pieces,
        person=person,
        measured=measured,
        required=required,
        need=need,
    )


def helps(before: tuple[Snag, ...], after: tuple[Snag, ...], about: Snag) -> bool:
    return mends(outcome(before, after, STATIONS), about, STATIONS)


def test_the_share_is_what_is_missing_of_what_was_missed() -> None:
    assert weight_of(snag(measured=300, required=600)) == Weight(1, 0.5)
    # the least is met: the recommended figure is the one that was missed
    care = snag(measured=2310, required=2220, need=2394)
    assert weight_of(care) == Weight(1, (2394 - 2310) / 2394)
    # more load than is carried: the part that is too much
    assert weight_of(snag(severity="stop", measured=4000, required=3000)) == Weight(2, 0.25)
    assert weight_of(snag(measured=None, required=None)).share == FULL_SHARE


def test_a_place_is_named_by_stations() -> None:
    one = snag("room-x", pieces=("bar", "bag"))
    other = snag("room-x", pieces=("rack", "bag"))
    assert place_of(one, STATIONS) == place_of(other, STATIONS)
    assert place_of(one, STATIONS) != place_of(snag("room-x", pieces=("bag",)), STATIONS)


def test_what_a_person_does_lives_with_person_and_movement() -> None:
    # of the open floor, of a rack got since, and of both with the garage door shut, as it stands
    bare = replace(snag("headroom", pieces=(), person="one"), movement="standing-press")
    in_rack = replace(bare, pieces=("rack",))
    shut = replace(in_rack, situation=SHUT)
    assert place_of(bare, STATIONS) == place_of(in_rack, STATIONS) == place_of(shut, STATIONS)
    others = (
        replace(bare, person="two"),
        replace(bare, movement="squat"),
        replace(bare, situation=OPEN),
        replace(bare, code="hang"),
    )
    for other in others:
        assert place_of(other, STATIONS) != place_of(bare, STATIONS)


def test_gone_or_milder_helps_and_unchanged_does_not() -> None:
    about = snag(measured=300)
    assert helps((about,), (), about)
    assert helps((about,), (snag(measured=400),), about)
    assert not helps((about,), (about,), about)
    # rounding is no gain: a millimetre of many
    assert not helps(
        (snag(measured=300, required=2000),), (snag(measured=301, required=2000),), about
    )


def test_a_stop_that_becomes_a_care_is_milder() -> None:
    about = snag(severity="stop", measured=100)
    assert helps((about,), (snag(measured=500),), about)


def test_no_stop_may_be_new_or_worse() -> None:
    about = snag(severity="stop", measured=0)
    other = snag("clash", "stop", measured=None, required=None, pieces=("rack",))
    assert not helps((about,), (other,), about)
    was = snag("room-y", "stop", measured=400, pieces=("rack",))
    assert helps((about, was), (was,), about)
    assert not helps((about, was), (snag("room-y", "stop", measured=300, pieces=("rack",)),), about)


def test_a_500_gap_is_not_traded_for_a_450_one_under_another_name() -> None:
    about = snag("way-narrow", measured=500, required=600)
    new = snag("room-between", measured=450, required=600, pieces=("rack",))
    lighter = snag("room-between", measured=550, required=600, pieces=("rack",))
    assert not helps((about,), (new,), about)
    assert helps((about,), (lighter,), about)
    assert outcome((about,), (lighter,), STATIONS).worse == (lighter,)


def test_what_is_anothers_does_not_stand_in_the_way() -> None:
    mine = snag("headroom", "stop", 2000, 2200, pieces=("rack",), person="a")
    theirs = snag("headroom", "stop", 2000, 2100, pieces=("rack",), person="b")
    assert helps((mine, theirs), (theirs,), mine)


SNAGS = st.builds(
    snag,
    code=st.sampled_from(["clash", "room-a", "headroom"]),
    severity=st.sampled_from(SEVERITIES),
    measured=st.one_of(st.none(), st.floats(0, 3000)),
    required=st.one_of(st.none(), st.floats(1, 3000)),
    pieces=st.sampled_from([("bag",), ("bar",), ("rack", "bag"), ()]),
    person=st.sampled_from([None, "a", "b"]),
)
VERDICTS = st.lists(SNAGS, max_size=6).map(tuple)


@given(VERDICTS)
def test_no_change_is_no_gain(verdict: tuple[Snag, ...]) -> None:
    same = outcome(verdict, verdict, STATIONS)
    assert (dict(same.cleared), same.worse, same.new_stop, same.is_better) == ({}, (), False, False)


@given(VERDICTS, VERDICTS)
def test_never_both_ways(one: tuple[Snag, ...], other: tuple[Snag, ...]) -> None:
    """If a change and its undoing were both better, a search could go round for ever.

    But for what is alike: a finding may be had for another of the same weight.
    """
    there, back = outcome(one, other, STATIONS), outcome(other, one, STATIONS)
    if there.is_better and back.is_better:
        assert not there.most_cleared.exceeds(back.most_cleared)
        assert not back.most_cleared.exceeds(there.most_cleared)


def test_deeper_into_a_wall_is_worse_though_none_of_it_is_allowed() -> None:
    """Nothing inside a wall is allowed, so no share tells 118 mm from 1,800 mm: the mm do."""
    end = snag("outside", "stop", measured=-118, required=0, pieces=("bar",))
    whole = snag("outside", "stop", measured=-1800, required=0, pieces=("rack",))
    press = snag("headroom", "stop", measured=2310, required=2509, pieces=("rack",), person="a")
    assert weight_of(whole).exceeds(weight_of(end))
    assert not weight_of(end).exceeds(weight_of(end))
    # both lie at one station, so it is one place: the change is a stop that got worse
    assert outcome((end, press), (whole,), STATIONS).new_stop
    assert not helps((end, press), (whole,), press)
    assert helps((end,), (snag("outside", "stop", -18, 0, pieces=("bar",)),), end)


def test_alike_things_that_want_the_same_floor_count_it_once() -> None:
    plan = make_plan(
        place("bike-stored", 1000, 300, piece_id="one"),
        place("bike-stored", 2800, 300, piece_id="two"),
        place("bike", 2800, 3500, piece_id="ridden"),
        place("workbench", 1900, 1900, piece_id="bench"),
        room=make_room(4000, 5000),
    )
    trials = Trials.of(build_scene(plan), (), Budget(10**6))
    about = snag("room-to-work", measured=700, required=800, pieces=("bench",))

    def narrower(owner: str, against: str = "bench") -> Snag:
        made = snag("room-to-lift-it-off", measured=850, required=900, pieces=(owner, against))
        return replace(made, space="to-lift-it-off", against=against)

    # 50 of 900 for 100 of 800 is a fair price, and not two of them
    both = (narrower("one"), narrower("two"))
    was = weights((about,), trials.stations)
    effect = trials.compared(was, both, about)
    assert effect is not None
    assert effect.worse == both[:1] or effect.worse == both[1:]
    # of another kind, or before another thing, it is another floor
    assert trials.compared(was, (narrower("one"), narrower("ridden")), about) is None
    assert trials.compared(was, (narrower("one"), narrower("two", "ridden")), about) is None
