"""Where a bar lies and whether it is long enough: common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.checks.bars import _too_short, rest_pose
from app.model.plan import Plan
from app.scene.bar_lengths import bar_of
from app.scene.build import build_scene
from tests.builders import found, make_plan, place, severities, turned_plan

TURNS = st.integers(0, 359_999).map(lambda thousandths: thousandths / 1000)
NOTHING, SHORT = "bar-rests-on-nothing", "bar-too-short-for-rack"
FRONT_OF_POSTS = 2500 + 625
HOOKS = FRONT_OF_POSTS + 37


def racked(dx: float = 0, dy: float = 0, turn: float = 0, bar: str = "bar-20") -> Plan:
    """A bar in a rack, off the line of the hooks by so much."""
    return make_plan(
        place("mid-rack", 2500, 2500),
        place(bar, 2500 + dx, HOOKS + dy, turn, piece_id="bar", carried_by="mid-rack"),
    )


@given(turn=TURNS)
def test_on_the_hooks_it_rests_at_any_angle(turn: float) -> None:
    assert found(turned_plan(racked(), turn), NOTHING) == []
    assert found(turned_plan(racked(dx=60, dy=70), turn), NOTHING) == []


@given(turn=TURNS)
def test_more_than_seventy_off_the_hooks_nothing_holds_it(turn: float) -> None:
    (snag,) = found(turned_plan(racked(dy=72), turn), NOTHING)
    assert snag.severity == "stop"
    assert snag.measured == pytest.approx(72, abs=1)
    assert snag.required == 70


def test_the_hooks_inside_the_posts_hold_it_too() -> None:
    assert found(racked(dy=-149), NOTHING) == []
    assert severities(racked(dy=-330), NOTHING) == ["stop"]


@pytest.mark.parametrize("angle", [0, 90, 37])
@pytest.mark.parametrize("side", [-1, 1])
def test_far_to_either_side_it_hangs_off(side: int, angle: float) -> None:
    # 60 to either side of the middle, and a millimetre is no matter
    assert found(turned_plan(racked(dx=side * 60.5), angle), NOTHING) == []
    assert severities(turned_plan(racked(dx=side * 62), angle), NOTHING) == ["stop"]
    (snag,) = found(turned_plan(racked(dx=side * 100), angle), NOTHING)
    assert snag.measured == 40 + 70


def test_a_little_turned_it_rests_and_more_turned_it_does_not() -> None:
    assert found(racked(turn=2), NOTHING) == []
    assert found(racked(turn=180), NOTHING) == []
    # 20 degrees off, 1100 from its middle to its end: 1100 x sin 20 = 376, beyond the 70 allowed
    (snag,) = found(racked(turn=20), NOTHING)
    assert (snag.severity, snag.measured) == ("stop", 376 + 70)


def test_alone_it_rests_on_nothing_unless_it_lies_on_the_floor() -> None:
    assert severities(make_plan(place("bar-20")), NOTHING) == ["stop"]
    assert found(make_plan(place("bar-20", on_floor=True)), NOTHING) == []


def test_what_has_no_hooks_does_not_hold_a_bar() -> None:
    plan = make_plan(place("plate-tree"), place("bar-20", carried_by="plate-tree"))
    (snag,) = found(plan, NOTHING)
    assert "no hooks" in snag.sentence


@pytest.mark.parametrize(
    ("outside", "expected"),
    [(1220, []), (1270, []), (1272, ["care"]), (1310, ["care"]), (1312, ["stop"])],
)
def test_the_shaft_is_forty_longer_than_the_rack_is_wide(
    outside: float, expected: list[str]
) -> None:
    # shaft of 1310: IWF Technical and Competition Rules and Regulations
    plan = make_plan(
        place("mid-rack", 2500, 2500, width=outside),
        place("bar-20", 2500, HOOKS, carried_by="mid-rack"),
    )
    assert severities(plan, SHORT) == expected


@pytest.mark.parametrize(
    ("bar", "length", "outside", "expected"),
    [
        # 840 to 890 between the sleeves of a bar of 1500: common practice, no source
        ("bar-20", 1500, 800, []),
        ("bar-20", 1500, 802, ["care"]),
        ("bar-20", 1500, 890, ["care"]),
        ("bar-20", 1500, 892, ["stop"]),
        ("bar-20", 1500, 1220, ["stop"]),
        ("short-bar", 1500, 1220, ["stop"]),
        # 1170 to 1320 of one of 1800, and no more than the 1310 of a long bar
        ("bar-20", 1800, 1130, []),
        ("bar-20", 1800, 1132, ["care"]),
        ("bar-20", 1800, 1220, ["care"]),
        ("bar-20", 1800, 1310, ["care"]),
        ("bar-20", 1800, 1312, ["stop"]),
        # both bars of the rules have a shaft of 1310
        ("bar-20", 2010, 1270, []),
        ("bar-20", 2199, 1270, []),
        ("short-bar", 1830, 1180, []),
    ],
)
@pytest.mark.parametrize("turn", [0, 23])
def test_a_bar_typed_shorter_than_its_type_has_a_shorter_shaft(
    bar: str, length: float, outside: float, expected: list[str], turn: float
) -> None:
    plan = make_plan(
        place("mid-rack", 2500, 2500, width=outside),
        place(bar, 2500, HOOKS, carried_by="mid-rack", width=length, piece_id="bar"),
    )
    assert severities(turned_plan(plan, turn), SHORT) == expected
    (typed,) = (one for one in build_scene(plan).order if one.piece.id == "bar")
    shape = bar_of(typed)
    assert shape is not None
    # sleeves and shaft are together as long as the bar is; one that is no shorter is its type
    assert length > 2190 or shape.shaft_mm + 2 * shape.sleeve_mm in (length, 1830)


def test_a_short_bar_falls_off_a_wide_rack() -> None:
    plan = make_plan(
        place("mid-rack", 2500, 2500, width=1240),
        place("short-bar", 2500, HOOKS, carried_by="mid-rack"),
    )
    (snag,) = found(plan, SHORT)
    assert (snag.severity, snag.measured, snag.required) == ("stop", 1220, 1240)


@pytest.mark.parametrize(
    ("angle", "at"),
    # hooks 37 before the posts, which end 625 before the middle
    [(0, (2000, 1662)), (90, (1338, 1000)), (180, (2000, 338)), (270, (2662, 1000))],
)
def test_where_a_bar_lies_on_the_hooks(angle: float, at: tuple[float, float]) -> None:
    scene = build_scene(make_plan(place("mid-rack", 2000, 1000, angle)))
    (host,) = scene.order
    x, y, turned = rest_pose(host, host.kit.rests[0])
    assert (x, y, turned) == pytest.approx((*at, angle))


def test_what_falls_off_is_a_stop_and_what_is_close_a_care() -> None:
    # a shaft of 1310 lies on posts that are 1220 apart outside: 40 over is asked for
    rack = place("mid-rack", 2500, 2500)
    for wide, severity, required in ((1300, "care", 1340), (1320, "stop", 1320)):
        broad = rack.model_copy(update={"width_mm": wide})
        bar = place("bar-20", 2500, HOOKS, piece_id="bar", carried_by="mid-rack")
        (snag,) = found(make_plan(broad, bar), SHORT)
        assert (snag.severity, snag.measured, snag.required) == (severity, 1310, required)
        assert snag.need == wide + 40
        assert ("falls off" in snag.sentence) is (severity == "stop")


def test_why_nothing_holds_a_bar() -> None:
    bar = place("bar-20", 2500, 3500)
    (alone,) = found(make_plan(bar), NOTHING)
    assert alone.sentence == (
        "Bar 20 kg: it needs a rack, stands or hooks, and none is in the plan yet: put one in, or "
        "let it lie on the floor."
    )
    (beside,) = found(make_plan(place("mid-rack", 1500, 1500), bar), NOTHING)
    assert beside.sentence == (
        "Bar 20 kg: it belongs to no rack or stand, so nothing holds it up here."
    )


def test_a_bar_that_is_too_short_is_told_with_both_widths() -> None:
    def said(wide: float) -> str:
        rack = place("mid-rack", 2500, 2500, width=wide)
        bar = place("bar-20", 2500, HOOKS, carried_by="mid-rack")
        (snag,) = found(make_plan(rack, bar), SHORT)
        return snag.sentence

    # a shaft of 1310 (IWF) and posts as far apart outside as the rack is wide
    assert said(1300) == (
        "This bar 20 kg is 1310 mm between its sleeves, the mid rack 1300 outside: too close."
    )
    assert said(1320).endswith("the mid rack 1320 outside: it falls off.")


def test_what_has_nothing_outside_its_rest_asks_for_no_length() -> None:
    plan = make_plan(
        place("mid-rack", 2500, 2500, width=3000),
        place("bar-20", 2500, HOOKS, piece_id="bar", carried_by="mid-rack"),
    )
    scene = build_scene(plan)
    bar, rack = scene.placed["bar"], scene.placed["mid-rack"]
    (hooks, *_) = rack.kit.rests
    for outside, expected in ((1220, ["stop"]), (1, ["stop"]), (0, [])):
        rest = hooks.model_copy(update={"outside_mm": outside})
        assert [snag.severity for snag in _too_short(bar, rack, rest)] == expected
