"""Strip: segments, feeds, supply, cable, profiles nested in stock; faults named."""

from typing import Any

import pytest

from app.takeoff.line import TakeOff
from tests.builders import make_room
from tests.takeoff.making import counted

ROOM = make_room(6000, 4000, 2400)


def run(*points: tuple[float, float], run_id: str = "one", **fields: Any) -> dict[str, Any]:
    return {"id": run_id, "wall": "back", "points": points, **fields}


def found(*runs: dict[str, Any]) -> TakeOff:
    return counted(room=ROOM, strips=runs)


def test_every_leg_is_cut_to_whole_segments() -> None:
    # 1870 at 50 mm is 1850; 940 round the corner is 900
    line = found(run((0, 2000), (1870, 2000), (1870, 1060))).line("strip.strip-12v-60")
    assert line.net == pytest.approx(1.85 + 0.90)


def test_a_strip_shorter_than_a_metre_is_one() -> None:
    # 370 at 50 mm is 350; 14.4 W/m of it want 6.3 W
    took = found(run((0, 2000), (370, 2000)))
    assert took.line("strip.strip-12v-60").net == pytest.approx(0.35)
    assert took.problems == ()
    assert {step.label: step.value for step in took.line("strip.supply-12v").working}[
        "rating at least"
    ] == pytest.approx(0.35 * 14.4 * 1.25)


def test_the_supply_has_its_headroom() -> None:
    # 8.2 m x 14.4 W/m = 118.08 W asks for 147.6 W: the next is 150 (1.2 x would be 141.7)
    runs = (run((0, 2000), (4100, 2000)), run((0, 1000), (4100, 1000), run_id="two"))
    line = found(*runs).line("strip.supply-12v")
    assert line.bought[0].key == "supply-150w"
    assert {step.label: step.value for step in line.working}["rating at least"] == pytest.approx(
        147.6
    )


def test_more_than_the_largest_supply_is_two() -> None:
    runs = [run((0, 100 * i), (5000, 100 * i), run_id=f"r{i}") for i in range(5)]
    # 25 m x 14.4 = 360 W asks for 450: 320 and 150
    line = found(*runs).line("strip.supply-12v")
    assert [pack.key for pack in line.bought] == ["supply-320w", "supply-150w"]


def test_a_long_run_is_fed_in_the_middle_and_two_voltages_need_two_supplies() -> None:
    twelve = run((0, 2000), (6000, 2000))
    other = run((0, 1000), (6000, 1000), run_id="two", strip="strip-24v-60")
    took = found(twelve, other)
    # one end feeds 5.16 m at 12 V: 6 m are fed at 3.00; 24 V reaches 10 m from its start
    assert any(
        s.startswith("Light strip 1 on the back wall: 6.00 m") and "feed it 3.00 m along" in s
        for s in took.says
    )
    assert any(
        s.startswith("Light strip 2 on the back wall: 6.00 m") and "feed it at its start" in s
        for s in took.says
    )
    assert {"strip.supply-12v", "strip.supply-24v"} <= {line.key for line in took.lines}


def test_cable_runs_to_each_feed_and_a_corner_takes_two_connectors() -> None:
    # 6 m at 12 V are fed in their middle: 2 m to the start and 3 m along; the other at its start
    long = run((0, 2000), (6000, 2000), cable_mm=2000)
    bent = run((0, 1000), (1000, 1000), (1000, 400), run_id="two", cable_mm=1500)
    took = found(long, bent)
    cables = [line for line in took.lines if line.key.startswith("strip.cable-")]
    assert sum(line.net for line in cables) == pytest.approx(2 + 3 + 1.5)
    # a connector a feed, two at the corner
    assert took.line("strip.connectors").net == 2 + 2


def test_cables_name_the_tables_they_are_chosen_by_and_what_is_counted_does_not() -> None:
    bent = run((0, 2000), (3000, 2000), (3000, 1400), cable_mm=100)
    rates = {line.key: line.rate for line in found(bent).lines if line.key.startswith("strip.")}
    (cable,) = (rate for key, rate in rates.items() if key.startswith("strip.cable-"))
    assert cable == "BS 7671 Tables 4F3A and 4F3B, as a wholesaler repeats them"
    assert rates["strip.connectors"] == "counted"
    assert rates["strip.fuse-5"] == "counted"


def test_profiles_are_nested_with_the_least_stock() -> None:
    # four legs of 1200 and four of 790 with a kerf of 3: each 2 m length gives one of both
    runs = [run((0, 2000), (1200, 2000), run_id=f"a{i}") for i in range(4)]
    runs += [run((0, 1000), (790, 1000), run_id=f"b{i}") for i in range(4)]
    line = found(*runs).line("strip.profile-surface-2000")
    assert line.bought[0].count == 4
    assert line.notes == ("4 lengths: no plan needs less.",)
    assert line.net + line.waste == pytest.approx(8.0)


def test_a_leg_longer_than_the_stock_is_jointed() -> None:
    # 5 m out of 2 m lengths: 2 + 2 + 1
    assert (
        found(run((0, 2000), (5000, 2000))).line("strip.profile-surface-2000").bought[0].count == 3
    )


def test_clips_are_bought_in_bags() -> None:
    # one at each end and every 500 between (common practice, no source): 5 + 5 + 3 on 2, 2 and 1 m
    line = found(run((0, 2000), (5000, 2000))).line("strip.clips-profile-surface-2000")
    assert (line.net, [(pack.size, pack.count) for pack in line.bought]) == (13, [(10, 2)])


def test_one_profile_is_one_line_cut_with_the_wider_kerf() -> None:
    # two of 999 and a cut of 1 make 1999 of a length of 2000; with a cut of 3 they do not fit
    two = run((0, 9), (999, 9), run_id="two", kerf_mm=1)
    one = found(run((0, 9), (999, 9), kerf_mm=1), two)
    took = found(run((0, 9), (999, 9)), two)
    lines = [line for line in took.lines if line.item.startswith("Surface profile")]
    assert [line.key for line in lines] == ["strip.profile-surface-2000"]
    assert (one.line(lines[0].key).bought[0].count, lines[0].bought[0].count) == (1, 2)


def test_thirty_lamps_a_metre_show_as_dots_and_sixty_do_not() -> None:
    few = found(run((0, 2000), (2000, 2000), strip="strip-12v-30"))
    many = found(run((0, 2000), (2000, 2000)))
    assert any("show as dots" in said for said in few.says)
    assert not any("show as dots" in said for said in many.says)


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"kerf_mm": -3}, "light strip 1 on the back wall: a kerf of -3 mm is less than nothing"),
        ({"stock_mm": 0}, "light strip 1 on the back wall: a profile of 0 mm cannot be cut"),
        ({"strip": "rope"}, "light strip 1 on the back wall: there is no strip 'rope'"),
        ({"wall": "attic"}, "the light strip: its wall is not in the room"),
        ({"profile": "gold"}, "light strip 1 on the back wall: there is no profile 'gold'"),
        (
            {"points": ((0, 0), (30, 0))},
            "light strip 1 on the back wall: its legs are shorter than one segment",
        ),
        (
            {"cable_mm": 90_000},
            "light strip 1 on the back wall: no cable in the table carries 2.4 A over 90.0 m",
        ),
    ],
)
def test_a_fault_is_named_and_the_rest_is_counted(fields: dict[str, Any], says: str) -> None:
    bad = {**run((0, 2000), (2000, 2000), run_id="bad"), **fields}
    took = found(bad, run((0, 1000), (1500, 1000), run_id="good"))
    assert any(problem.startswith(says) for problem in took.problems)
    # of two on one wall the good one is the second; alone on it, it has no number
    good = "the light strip" if "wall" in fields else "light strip 2"
    assert f"{good} on the back wall" in took.line("strip.strip-12v-60").where


@pytest.mark.parametrize(("length", "metres"), [(2000, 1.0), (6000, 4.0)])
def test_cable_reaches_from_the_supply_to_where_the_strip_is_fed(
    length: float, metres: float
) -> None:
    # 1 m to the start; 6 m at 12 V are fed at 3.00 m (above), so 3 m along the strip as well
    took = found(run((0, 2000), (length, 2000), cable_mm=1000))
    (line,) = [line for line in took.lines if line.key.startswith("strip.cable-")]
    assert line.net == pytest.approx(metres, abs=0.01)


def cable_of(length: float, cable_mm: float, **fields: Any) -> tuple[str, str]:
    """The cross-section bought for one run on the back wall, and what is said of its guard."""
    took = found(run((0, 2000), (length, 2000), cable_mm=cable_mm, **fields))
    (line,) = [line for line in took.lines if line.key.startswith("strip.cable-")]
    return line.item.split()[-2], line.notes[0]


def test_the_current_of_five_metres_does_not_go_onto_the_thinnest_cable() -> None:
    # 4.9 m x 14.4 W / 12 V = 5.88 A: 0.5 mm2 carries 3 A, 0.75 mm2 6 A and 3 % last 0.98 m
    # and no fuse is made between 5.88 and 6 A: 1 mm2 carries 10 A and loses 46 mV/A/m, so 1.33 m
    assert cable_of(4900, 100)[0] == "1.0"
    assert cable_of(4900, 1330)[0] == "1.0"
    assert cable_of(4900, 1340)[0] == "1.25"


def test_each_feed_has_its_fuse_or_the_limit_of_its_supply() -> None:
    # 51.84 W ask for 64.8: the supply of 100 W gives 8.3 A, more than the 6 A of the cable
    note = cable_of(3600, 100)[1]
    assert (
        "fuse the feed at the supply with 5 A: its cable carries 6.0 A and it draws 4.3 A" in note
    )
    # 1 m x 1.2 A/m: the supply of 30 W gives 2.5 A, less than the 3 A of 0.5 mm2
    note = cable_of(1000, 100)[1]
    assert "needs no fuse of its own: the supply gives at most 2.5 A" in note


def test_a_fuse_for_each_feed_that_wants_one_is_bought() -> None:
    # 8.3 A from the supply, 6 A in the cable, which draws 4.3: one fuse of 5 A; 2.5 A in 3 A: none
    line = found(run((0, 2000), (3600, 2000), cable_mm=100)).line("strip.fuse-5")
    assert (line.net, line.unit) == (1, "pc")
    took = found(run((0, 2000), (1000, 2000), cable_mm=100))
    assert not [line for line in took.lines if line.key.startswith("strip.fuse")]


def test_more_feeds_are_tried_before_it_is_said_that_no_cable_does() -> None:
    # 12 m away, 4.9 m, 5.88 A: 6 mm2 from the start loses 2 x 12 x 0.00382 x 5.88 = 0.54 V of the
    # 0.36; at both ends 2.94 A go 16.9 m: 0.38 V; twice the one in the middle: 12 + 3.675 m, 0.352
    took = found(run((0, 2000), (4900, 2000), cable_mm=12_000))
    assert not took.problems
    assert any("feed it 1.23 and 3.68 m along" in said for said in took.says), took.says
    # 6 m away both ends do: 10.9 m x 2.94 A x 0.012 = 0.385 with 4 mm2, with 6 mm2 0.245 V; from
    # the start 6 mm2 does already: 2 x 6 x 0.00382 x 5.88 = 0.27 V
    took = found(run((0, 2000), (4900, 2000), cable_mm=6_000))
    assert any("feed it at its start" in said for said in took.says)
    # 40 m away nothing does: 1.47 A in each of two go 43.7 m: 1.47 x 43.7 x 0.00764 = 0.49 V
    took = found(run((0, 2000), (4900, 2000), cable_mm=40_000))
    assert any("no cable in the table carries 5.9 A over 40.0 m" in p for p in took.problems)


def test_two_cables_share_what_no_single_one_takes_and_each_has_its_fuse() -> None:
    # 20 m away one of 6 mm2 loses 2.94 A x 24.9 m x 0.00764 = 0.56 V of the 0.36 to the far end;
    # two share it: 1.47 A and 0.28 V, while 4 mm2 still loses 1.47 x 24.9 x 0.012 = 0.44 V
    took = found(run((0, 2000), (4900, 2000), cable_mm=20_000))
    assert not took.problems
    line = took.line("strip.cable-6-0")
    assert line.net == pytest.approx(2 * (20.0 + 24.9))
    said = " ".join(took.says)
    assert "lead two to each feed side by side, alike and equally long, and fuse each" in said
    assert "each cable draws 1.5 A" in said
    (fuses,) = [one for one in took.lines if one.key.startswith("strip.fuse")]
    assert fuses.net == 4


def test_heat_in_a_profile_is_a_caution_and_without_one_none() -> None:
    closed = found(run((0, 2000), (2000, 2000)))
    bare = found(run((0, 2000), (2000, 2000), profile=None))
    assert any("closed profile run hot" in said for said in closed.says)
    assert not any("closed profile" in said for said in bare.says)


def test_three_runs_of_two_voltages_step_by_step() -> None:
    # 14.4 W/m: 4 m at 12 V draw 57.6 W and 4.8 A, at 24 V 2.4 A; 4.9 m 70.56 W and 5.88 A.
    # Supplies by 0.8 of their rating: 128.16 W want 160.2, so 240; 57.6 want 72, so 100.
    corner = ((0, 2000), (3020, 2000), (3020, 1000))
    took = found(
        {**run(run_id="s"), "points": corner},
        {**run(run_id="t"), "points": corner, "wall": "front", "strip": "strip-24v-60"},
        {**run((0, 2000), (4900, 2000), run_id="u"), "wall": "left", "cable_mm": 500},
    )
    nets = {line.key: round(line.net, 2) for line in took.lines if line.part == "strip"}
    assert nets == {
        # 3020 is cut to 3000; 3.02 + 1 + 3.02 + 1 + 4.9 of profile
        "strip.strip-12v-60": 8.9,
        "strip.strip-24v-60": 4.0,
        "strip.profile-surface-2000": 12.94,
        # two at each of five legs; clips at both ends of each piece and every 500
        "strip.end-caps-profile-surface": 10,
        "strip.clips-profile-surface": 37,
        "strip.supply-12v": 1,
        "strip.supply-24v": 1,
        # three metres each, half a metre for the third
        "strip.cable-2-5": 3.0,
        "strip.cable-0-5": 3.0,
        "strip.cable-1-0": 0.5,
        "strip.fuse-3": 1,
        "strip.fuse-10": 1,
        # three feeds and two at each of two corners
        "strip.connectors": 7,
    }
    assert took.line("strip.supply-12v").item == "Supply 12 V, 240 W"
    assert took.line("strip.supply-24v").item == "Supply 24 V, 100 W"
    working = {
        key: [(step.label.split(": ")[-1], round(step.value, 3)) for step in line.working]
        for key in ("strip.supply-12v", "strip.cable-2-5", "strip.strip-24v-60")
        for line in [took.line(key)]
    }
    back, left = "the light strip on the back wall", "the light strip on the left wall"
    assert working["strip.supply-12v"] == [
        *((back, 57.6), (left, 70.56), ("together", 128.16)),
        *(("load at most this share", 0.8), ("rating at least", 160.2)),
    ]
    # 19 mV x 4.8 A x 3 m
    assert working["strip.cable-2-5"] == [
        *(("in each cable", 4.8), ("the cable carries", 25), ("lost in it", 0.274)),
    ]
    front = "the light strip on the front wall"
    assert working["strip.strip-24v-60"] == [
        *((f"{front}, leg 1", 3020), ("cut to whole segments", 3000)),
        *((f"{front}, leg 2", 1000), ("cut to whole segments", 1000), ("pieces", 2)),
    ]
    # 0.06 ohm/m: half of 0.06 x 4 x 4.8; 240 W at 12 V give 20 A, less than 2.5 mm2 carry
    said = " ".join(took.says)
    assert "4.00 m, 58 W, 4.8 A; feed it at its start; its far end loses 0.58 V of 12." in said
    assert "4.00 m, 58 W, 2.4 A; feed it at its start; its far end loses 0.29 V of 24." in said
    assert "4.90 m, 71 W, 5.9 A; feed it at its start; its far end loses 0.86 V of 12." in said
    assert "the supply gives at most 20.0 A and the cable carries 25.0 A" in said
    # 30 g a metre of strip, 200 g a metre of the eight lengths of profile
    assert took.line("strip.strip-12v-60").mass_kg == pytest.approx(8.9 * 0.03)
    assert took.line("strip.profile-surface-2000").mass_kg == pytest.approx(16 * 0.2)


def test_more_than_the_largest_supply_takes_several() -> None:
    wall = ((0, 2000), (5000, 2000), (5000, 1000), (0, 1000), (0, 300), (5000, 300))
    runs = [{**run(run_id=f"r{i}"), "points": wall, "strip": "strip-24v-60", "cable_mm": 100,
        "wall": name} for i, name in enumerate(("back", "front"))]  # fmt: skip
    line = found(*runs).line("strip.supply-24v")
    # 5 + 1 + 5 + 0.7 + 5 m twice: 33.4 m, 480.96 W, 601.2 wanted
    assert line.item == "Supply 24 V, 2 × 320 W"
    assert line.net == 2
    assert [(pack.key, pack.count) for pack in line.bought] == [("supply-320w", 2)]


def test_a_cable_that_carries_less_than_the_supply_gives_has_a_fuse() -> None:
    # five of 3 m draw 5 x 43.2 = 216 W of a supply of 320 W, 26.7 A. Each draws 3.6 A: 0.75 mm2
    # carries 6 A and loses 3.6 x 2 x 0.031 x 0.5 = 0.11 V, 0.5 mm2 carries 3 A (BS 7671, tables
    # 4F3A and 4F3B)
    runs = [run((0, 100 + i), (3000, 100 + i), run_id=f"r{i}", cable_mm=500) for i in range(5)]
    took = found(*runs)
    cable, fuse = took.line("strip.cable-0-75"), took.line("strip.fuse-5")
    assert (cable.net, fuse.net) == (2.5, 5)
    steps = {step.label.split(": ")[-1]: round(step.value, 3) for step in cable.working}
    assert steps == {"in each cable": 3.6, "the cable carries": 6, "lost in it": 0.112}
    assert [step.value for step in fuse.working] == [1] * 5
    assert cable.notes[0].endswith("with 5 A: its cable carries 6.0 A and it draws 3.6 A.")
    # alone it hangs on a supply of 60 W, 5 A
    assert [line.key for line in found(runs[0]).lines if "fuse" in line.key] == []


def test_a_feed_lies_in_one_length_of_cable() -> None:
    # 15 m do not come out of two rings of 10 m, though these hold 20 m
    one = found(run((0, 2000), (1000, 2000), cable_mm=15_000))
    (cable,) = [line for line in one.lines if line.key.startswith("strip.cable-")]
    assert (cable.net, [(pack.size, pack.count) for pack in cable.bought]) == (15, [(25, 1)])
    assert not any("Cut it into" in note for note in cable.notes)
    # three of 7 m: a ring of 10 m each, 36.00, or one of 25 m for 27.00
    runs = [run((0, 1000 + i), (500, 1000 + i), run_id=f"r{i}", cable_mm=7000) for i in range(3)]
    (cable,) = [line for line in found(*runs).lines if line.key.startswith("strip.cable-")]
    assert [(pack.size, pack.count) for pack in cable.bought] == [(25, 1)]
    assert cable.notes[-1] == "Cut it into 3 of 7.0 m: no feed is joined on its way."


def test_what_no_connector_takes_ends_in_a_terminal() -> None:
    # connectors for strip take 2.5 mm2 at the most; common practice, no source
    thin = found(run((0, 2000), (1000, 2000), cable_mm=1000))
    assert not any("terminal" in line.key for line in thin.lines)
    assert thin.line("strip.connectors").notes == ()
    thick = found(run((0, 2000), (4900, 2000), cable_mm=12_000))
    sizes = {line.key for line in thick.lines if line.key.startswith("strip.cable-")}
    (terminal,) = [line for line in thick.lines if "terminal" in line.key]
    assert {terminal.key.replace("terminal", "cable")} == sizes
    assert float(terminal.key.removeprefix("strip.terminal-").replace("-", ".")) > 2.5
    # one for each feed
    assert terminal.net == thick.line("strip.connectors").net
    assert (
        "A connector takes one cable of 2.5 mm² at the most"
        in (thick.line("strip.connectors").notes[0])
    )


def test_a_run_too_far_off_for_any_cable_hides_no_other() -> None:
    for first in ("a", "z"):
        far = run((0, 2000), (2000, 2000), run_id=first, cable_mm=90_000)
        near = run((0, 1000), (1500, 1000), run_id="m", cable_mm=1500)
        cables = [line for line in found(far, near).lines if line.key.startswith("strip.cable-")]
        assert [line.net for line in cables] == [1.5]


@pytest.mark.parametrize(("air_c", "fuse"), [(30, 5), (31, 5), (35, 5), (36, 4), (40, 4)])
def test_in_warm_air_a_cable_carries_less(air_c: float, fuse: int) -> None:
    # 6 A x 0.91 and x 0.82 (BS 7671, table 4F3A): 5.46 and 4.92, and no fuse is larger
    warm = ROOM.model_copy(
        update={"climate": ROOM.climate.model_copy(update={"outside_c": float(air_c)})}
    )
    runs = [run((0, 100 + i), (3000, 100 + i), run_id=f"r{i}", cable_mm=500) for i in range(5)]
    keys = [line.key for line in counted(room=warm, strips=runs).lines]
    assert [key for key in keys if "fuse" in key] == [f"strip.fuse-{fuse}"]


def test_what_no_cable_carries_is_told_to_come_nearer_or_to_be_of_24_volts() -> None:
    # 40 m away nothing does at 12 V (worked above). At 24 V 12.8 m draw 7.68 A: a quarter of that
    # over 100 m of 6 mm2 loses 1.92 x 100 x 0.00764 = 1.5 V of the 0.72
    (twelve,) = found(run((0, 2000), (4900, 2000), cable_mm=40_000)).problems
    assert twelve.endswith("bring the supply nearer or use 24 V")
    path = ((0, 2000), (5900, 2000), (5900, 1000), (0, 1000))
    far = run(*path, cable_mm=100_000, strip="strip-24v-60")
    (most,) = found(far).problems
    assert most.endswith("nor do two side by side; bring the supply nearer")


def test_a_connector_for_each_feed_and_two_for_each_corner() -> None:
    straight = found(run((0, 2000), (2000, 2000))).line("strip.connectors")
    assert straight.net == 1
    bent = found(run((0, 2000), (2000, 2000), (2000, 1000), (1000, 1000))).line("strip.connectors")
    assert bent.net == 1 + 2 * 2
    assert [(step.label, step.value) for step in bent.working] == [("feeds", 1), ("corners", 2)]


def test_many_supplies_of_one_size_are_told_by_their_count() -> None:
    # 14.4 W a metre at 80 %: 120 m draw 1728 W and want 2160 W: six of 320 W and one of 240
    runs = [run((0, 1000), (40_000, 1000), run_id=f"r{i}") for i in range(3)]
    (line,) = (one for one in found(*runs).lines if one.key.startswith("strip.supply"))
    assert line.item == "Supply 12 V, 6 × 320 W + 240 W"
    assert line.net == 7


def test_a_fuse_is_never_smaller_than_what_the_strip_draws() -> None:
    # 2.0 m x 1.2 A/m = 2.4 A: at 35 C 0.5 mm2 carries 3 x 0.91 = 2.73 A, and no fuse is made in
    # between (ISO 8820-3: 2, 3, 5 A); 0.75 mm2 carries 5.46 A, more than the supply of 60 W gives
    warm = ROOM.model_copy(update={"climate": ROOM.climate.model_copy(update={"outside_c": 35.0})})
    took = counted(room=warm, strips=[run((0, 2000), (2000, 2000), cable_mm=1000)])
    assert took.line("strip.cable-0-75").net == 1
    assert "the supply gives at most 5.0 A and the cable carries 5.5 A" in " ".join(took.says)
    assert [line.key for line in took.lines if "fuse" in line.key] == []


def test_above_the_table_it_is_the_heat_that_is_named() -> None:
    hot = ROOM.model_copy(update={"climate": ROOM.climate.model_copy(update={"outside_c": 41.0})})
    took = counted(room=hot, strips=[run((0, 2000), (1200, 2000), cable_mm=500)])
    (problem,) = took.problems
    assert "the air is 41" in problem
    assert "24 V" not in problem
    assert "nearer" not in problem


def test_of_strip_and_supplies_nothing_is_lost() -> None:
    took = found(run((0, 2000), (3000, 2000), cable_mm=100))
    lost = {line.key: line.waste for line in took.lines if line.key.startswith("strip.")}
    assert {key: waste for key, waste in lost.items() if waste} == {
        "strip.profile-surface-2000": pytest.approx(1.0)
    }
    assert {"strip.strip-12v-60", "strip.supply-12v", "strip.connectors"} <= lost.keys()
