"""Packs of plans in feet: no metric size stands bare, and a pack holds what its name says.

Sizes by definition: 1 ft = 0.3048 m, 1 yd = 0.9144 m and 1 lb = 0.45359237 kg (international yard
and pound agreement, 1959); 1 US gallon = 231 cubic inches = 3.785411784 L, a quart a quarter of it.
That the trade sells just these sizes is common practice, no source.
"""

from __future__ import annotations

import re

import pytest

from app.library.finishes import Pack, finishes
from app.model.base import json_of
from app.model.money import Money
from app.model.plan import Plan
from app.scene.build import build_scene
from app.takeoff.line import Bought, offers
from app.takeoff.quantities import take_off
from tests.builders import make_room
from tests.takeoff.making import counted, scene_of
from tests.works.test_closed_list import MADE

FT, YD, LB, GAL = 0.3048, 0.9144, 0.45359237, 3.785411784
METRIC = re.compile(r"\d ?(m|cm|mm|m2|L|ml|kg)\b|\d{3,} × \d|M\d")
PACKS = finishes().packs
LISTED = [row.packs for row in finishes().coatings.values()]
LISTED += [row.packs for row in finishes().fasteners.values()]
IN_FEET = [key for key, pack in PACKS.items() if pack.units == "feet"]


def holds(pack: Pack) -> float | None:
    """Return what a name in feet says that a pack holds, in m, m2, kg or L."""
    both = re.search(r"([\d.]+) × ([\d.]+) ft\b", pack.name)
    if both:
        return float(both[1]) * float(both[2]) * FT * FT
    said = re.search(r"([\d.]+) (sq ft|ft|yd|lb|gal|qt)\b", pack.name)
    unit = {"sq ft": FT * FT, "ft": FT, "yd": YD, "lb": LB, "gal": GAL, "qt": GAL / 4}
    return float(said[1]) * unit[said[2]] if said else None


def test_a_metric_size_is_sold_in_metric_plans_alone() -> None:
    bare = [
        key for key, pack in PACKS.items()
        if METRIC.search(pack.name) and pack.units != "metric" and not pack.name.startswith("m2")
    ]  # fmt: skip
    assert bare == []


def test_each_of_them_has_one_in_feet() -> None:
    beside = {key for keys in LISTED for key in keys if any(PACKS[k].units == "feet" for k in keys)}
    beside |= {pack.of for pack in PACKS.values() if pack.of and pack.units == "feet"}
    # bags of filler and tins stand beside others of their line
    metric = {key for key, pack in PACKS.items() if pack.units == "metric"}
    assert len(metric) > 40
    assert metric - beside == set()


@pytest.mark.parametrize("key", IN_FEET)
def test_it_holds_what_its_name_says_and_is_had_in_the_same_shop(key: str) -> None:
    pack = PACKS[key]
    if pack.of:
        assert pack.shop == PACKS[pack.of].shop
    said = holds(pack)
    if said is not None and pack.size != 1:
        # written to four places
        assert pack.size == pytest.approx(said, rel=1e-3)


def test_a_plan_in_feet_has_no_metric_pack_but_one_that_it_has_a_price_of() -> None:
    keys = ["masking-tape-50m"]
    (told,) = offers(scene_of(room=make_room(), units="feet").plan, keys, [])
    assert (told.name, told.size) == ("60 yd roll", 54.86)
    priced = Money.model_validate({"prices": [{"id": "masking-tape-50m", "minor": 350}]})
    both = offers(scene_of(room=make_room(), units="feet", money=priced).plan, keys, [])
    assert [one.name for one in both] == ["50 m roll", "60 yd roll"]
    assert Bought("t", "50 m roll", 50, 2, 350).worded("feet") == "2 × 50 m (164 ft) roll"
    (metric,) = offers(scene_of(room=make_room()).plan, keys, [])
    assert metric.name == "50 m roll"


@pytest.mark.parametrize("name", ["new-board-soft-floor", "bare-brick-solvent-glued-mirror"])
def test_no_metric_pack_stands_bare_on_a_list_in_feet(name: str) -> None:
    plan = Plan.model_validate({**json_of(MADE[name]), "units": "feet"})
    lines = take_off(build_scene(plan)).lines
    told = [(pack.worded("feet"), line.key) for line in lines for pack in line.bought]
    assert len(told) > 30
    # with what it is in feet or pounds in brackets after it
    beside = re.compile(r"[\d.]+ (mm|m2|m|L|kg) \([^)]*\)")
    assert [one for one in told if METRIC.search(beside.sub("", one[0]))] == []


def test_screws_are_called_as_the_shop_calls_them() -> None:
    lit = counted(room=make_room(), light={"fitting": "batten-1200"}, units="feet")
    assert lit.line("fixings.screw-40").item == "Wood screw No. 8 × 1 1/2 in"
    assert lit.line("light.batten-1200").item == "LED batten, 1.2 m (4 ft)"
    screw = finishes().fasteners["screw-40"]
    assert (screw.called("metric"), screw.called("feet")) == (
        *("Wood screw 4 × 40", "Wood screw No. 8 × 1 1/2 in"),
    )
