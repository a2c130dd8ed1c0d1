"""Floors in the list of quantities, by hand: what is bought, from what, and what is laid twice."""

from typing import Any

import pytest

from app.model.flooring import FloorLaying
from app.model.money import Money
from app.scene.build import Scene, build_scene
from app.takeoff.floor_list import compare, floors
from app.takeoff.line import Line
from tests.builders import make_room, rectangle
from tests.takeoff.making import scene_of

PLAIN = {"id": "f", "start_wall": "back", "joints": "straight"}
# the gap is 8 mm at each wall: 3 x 2 m of floor, and 3.5 x 2 m
EVEN, CUT = (3016, 2016), (3516, 2016)


def laid(size: tuple[float, float], **fields: Any) -> Scene:
    return scene_of(room=make_room(*size), floors=[PLAIN | fields])


def line(size: tuple[float, float], **fields: Any) -> Line:
    gathered = floors(laid(size, **fields))
    (one,) = gathered.lines
    assert gathered.problems == []
    return one


def steps(one: Line) -> list[tuple[str, float, str]]:
    return [(step.label, round(step.value, 6), step.unit) for step in one.working]


def test_mats_that_fit_are_laid_whole() -> None:
    one = line(EVEN)
    assert (one.key, one.part, one.item, one.where) == (
        *("floor.f", "floor", "Rubber mat, 20 mm", "the whole floor"),
    )
    assert (one.net, one.waste, one.unit, one.mass_kg) == pytest.approx((6, 0, "m2", 120))
    assert steps(one) == [
        ("floor inside the gap, round what stays", 6, "m2"),
        ("mats laid whole", 6, ""),
        ("mats to cut from", 0, ""),
        ("fewest possible for this layout", 6, ""),
        ("weight of one mat", 20, "kg"),
    ]
    (pack,) = one.bought
    assert (pack.name, pack.size, pack.count) == ("mat 1000 × 1000 mm", 1, 6)
    assert pack.price_minor is None


def test_what_is_cut_is_counted_beside_what_is_whole() -> None:
    # two halves come out of a seventh mat; of packs of four two are bought, at four prices each
    one = line(CUT, pack=4, price_minor=900, label="crumb")
    assert one.item == "Crumb, 20 mm"
    assert steps(one)[1:4] == [
        ("mats laid whole", 6, ""),
        ("mats to cut from", 1, ""),
        ("fewest possible for this layout", 7, ""),
    ]
    (pack,) = one.bought
    assert (pack.name, pack.size, pack.count) == ("pack of 4, mat 1000 × 1000 mm", 4, 2)
    assert pack.price_minor == 3600


def test_off_a_roll_metres_are_bought() -> None:
    # two lengths of 3 m, 1.2 m wide: 2.4 m of width for 2.4 m of floor
    roll = {"kind": "roll", "length_mm": 10_000, "width_mm": 1200, "along": True}
    one = line((3016, 2416), **roll, by_metre=True, price_minor=1500, pack=3)
    assert one.where == "the whole floor; let the shop cut off 2 of 3.0 m"
    (metres,) = one.bought
    assert (metres.name, metres.size, metres.count) == ("m off the roll, 1200 mm wide", 1.2, 6.0)
    # the price is for a metre, whatever a pack holds
    assert metres.price_minor == 1500
    # 1 m x 1.2 m x 20 mm of rubber weighs 24 kg
    assert steps(one)[1:] == [
        ("off the roll", 6, "m"),
        ("least possible for this layout", 6, "m"),
        ("weight of the longest length", 72, "kg"),
    ]
    # whole rolls are bought by their number
    whole = line((3016, 2416), **roll | {"length_mm": 3000})
    (rolls,) = whole.bought
    assert (rolls.name, rolls.size, rolls.count) == ("roll of 3.00 m, 1200 mm wide", 3.6, 2)


@pytest.mark.parametrize(
    ("long", "wide", "name"),
    [
        # what is made in mm keeps them; whole inches and odd lengths are feet and inches alone
        (1000, 1000, "mat 1000 mm (3' 3 3/8\") × 1000 mm (3' 3 3/8\")"),
        (1219.2, 609.6, "mat 4' 0\" × 2' 0\""),
        (1270, 1016, "mat 4' 2\" × 3' 4\""),
        (1000.5, 1016, "mat 3' 3 3/8\" × 3' 4\""),
    ],
)
def test_sizes_in_feet(long: float, wide: float, name: str) -> None:
    plan = laid(EVEN, length_mm=long, width_mm=wide).plan
    (one,) = floors(build_scene(plan.model_copy(update={"units": "feet"}))).lines
    assert one.bought[0].name == name
    # and once: what is sold in mm has its feet beside it already
    assert one.packs_worded("feet").count("(") == name.count("(")


def test_a_zone_is_said_and_what_holds_nothing_is_not_laid() -> None:
    assert line(EVEN, zone=rectangle(0, 0, 1008, 1008)).where == "a zone"
    empty = floors(laid(EVEN, pack=0))
    assert empty.lines == []
    assert empty.says == []
    assert empty.problems == [
        "the floor (rubber mat): a pack of 0 holds nothing; say how many",
    ]
    assert len(floors(laid(EVEN, pack=1)).lines) == 1
    # what comes after it in the list is laid all the same
    two = scene_of(
        room=make_room(*EVEN), floors=[{"id": "a", "pack": 0}, {"id": "b", "gap_mm": 3000}, PLAIN]
    )
    assert [one.key for one in floors(two).lines] == ["floor.f"]
    assert len(floors(two).problems) == 2


def test_notes_go_with_the_line_and_are_said_by_name() -> None:
    gathered = floors(laid(EVEN, label="crumb"))
    (one,) = gathered.lines
    # the layout itself; other ways to lay it stand on its page
    assert [note.split(":")[0] for note in one.notes] == ["6 mats to buy"]
    assert all(said.startswith("Crumb: ") for said in gathered.says)
    assert gathered.says[0] == f"Crumb: {one.notes[0]}"
    assert "Crumb: Let the rubber lie in the room for 24 hours before it is cut." in gathered.says


@pytest.mark.parametrize(
    ("currency", "price", "faults"),
    [("EUR", 4000, 0), (None, 4000, 0), ("GBP", 3500, 1)],
)
def test_a_price_of_ones_own(currency: str | None, price: int, faults: int) -> None:
    own = {"id": "floor.f", "minor": 4000, "currency": currency}
    other = {"id": "floor.g", "minor": 1, "currency": "EUR"}
    money = Money.model_validate({"prices": [other, own]})
    laying = PLAIN | {"price_minor": 3500}
    gathered = floors(scene_of(room=make_room(*EVEN), floors=[laying], money=money))
    assert gathered.lines[0].bought[0].price_minor == price
    assert len(gathered.problems) == faults


@pytest.mark.parametrize(("over", "said"), [(49, False), (51, True)])
def test_zones_may_meet_by_what_a_tape_errs(over: float, said: bool) -> None:
    # zones of 1 m in the middle of the room, over one another by so many mm: 0.049 and 0.051 m2
    zones = rectangle(1000, 500, 2000, 1500), rectangle(2000 - over, 500, 2700, 1500)
    scene = scene_of(
        room=make_room(*EVEN),
        floors=[{"id": str(i), "zone": zone} for i, zone in enumerate(zones)],
    )
    twice = [one for one in floors(scene).says if "over one another" in one]
    assert twice == (
        [
            "Floor 1 (rubber mat) and floor 2 (rubber mat) lie over one another on 0.05 m², which "
            "is counted twice: give each its own part of the floor, or take one off."
        ]
        if said
        else []
    )


def test_a_floor_that_cannot_be_laid_lies_over_none() -> None:
    crossed = ((0, 0), (1000, 1000), (1000, 0), (0, 1000))
    zones = (crossed, rectangle(0, 0, 2000, 1000), rectangle(0, 0, 1000, 2000))
    scene = scene_of(
        room=make_room(*EVEN),
        floors=[{"id": str(i), "zone": zone} for i, zone in enumerate(zones)],
    )
    gathered = floors(scene)
    assert [(one.key, one.was) for one in gathered.lines] == [("floor.1", ("floor.2",))]
    (twice,) = (one for one in gathered.says if "over one another" in one)
    # 992 x 992 mm, the gap at two walls
    assert twice.startswith("Floor 2 (rubber mat) and floor 3 (rubber mat)")
    assert "on 0.98 m²" in twice


def test_products_beside_one_another_by_the_square_metre() -> None:
    products = (
        FloorLaying.model_validate(PLAIN | fields)
        for fields in (
            {"price_minor": 700, "lasts_years": 7},
            {"price_minor": 700, "lasts_years": 0},
            {"price_minor": 700, "lasts_years": 1},
            {"lasts_years": 7},
            {"kind": "roll", "length_mm": 10_000, "by_metre": True, "along": True},
        )
    )
    rows = compare(laid(CUT), tuple(products))
    # 7 mats on 7 m2; two lengths of 3.5 m of 1 m
    assert [(row.to_buy, row.words, row.proven) for row in rows] == [
        *[(7, "7", True)] * 4,
        (70, "7.0 m of roll", True),
    ]
    assert [(row.price_minor, row.per_m2_minor, row.per_m2_year_minor) for row in rows] == [
        (4900, pytest.approx(700), pytest.approx(100)),
        (4900, pytest.approx(700), None),
        (4900, pytest.approx(700), pytest.approx(700)),
        (None, None, None),
        (None, None, None),
    ]
    assert [row.kg_per_m2 for row in rows] == pytest.approx([20] * 5)
    assert [row.waste_m2 for row in rows] == pytest.approx([0] * 5)
    # in a room of 3 x 1.75 m six mats lose a quarter of three
    (wasted,) = compare(laid((3016, 1766)), [FloorLaying.model_validate(PLAIN | {"turns": False})])
    assert wasted.waste_m2 == pytest.approx(wasted.to_buy - 5.25)
    assert wasted.kg_per_m2 == pytest.approx(20)


ZONES = [{"id": key, "zone": rectangle(x, 0, x + 1508, 1508)} for key, x in (("a", 0), ("b", 2000))]
"""Two corners of 1.5 m of floor: one whole mat of 1 m, and three cut out of two more, in each."""


def zones(money: Money | None = None, **fields: Any) -> list[Line]:
    floors_of = [{**zone, **fields} for zone in ZONES]
    return floors(scene_of(room=make_room(3508, 3000), floors=floors_of, money=money)).lines


def test_one_product_in_two_zones_is_one_line() -> None:
    (one,) = zones(price_minor=900)
    assert (one.key, one.was, one.where) == (
        *("floor.a", ("floor.b",)),
        "floor 1 (rubber mat): 3 mats; floor 2 (rubber mat): 3 mats",
    )
    assert [(pack.count, pack.price_minor) for pack in one.bought] == [(6, 900)]
    assert (one.net, one.waste, one.mass_kg, one.cost_minor) == pytest.approx((4.5, 1.5, 120, 5400))
    # a pack that is opened for one zone goes on in the other
    (packed,) = zones(pack=6, price_minor=900)
    assert [(pack.count, pack.price_minor) for pack in packed.bought] == [(1, 5400)]


def test_a_price_of_either_zone_is_that_of_the_product() -> None:
    money = Money.model_validate({"prices": [{"id": "floor.b", "minor": 700}]})
    (one,) = zones(money)
    assert one.cost_minor == 4200
    # what is said of the line itself wins
    both = [{"id": "floor.b", "minor": 700}, {"id": "floor.a", "minor": 650}]
    (one,) = zones(Money.model_validate({"prices": both}))
    assert one.cost_minor == 3900


def test_one_product_at_two_prices_is_one_line_that_names_both() -> None:
    # three mats for each zone, at what it says: 3 x 9.00 and 3 x 9.50
    money = {"prices": [{"id": "floor.b", "minor": 900}]}
    data = [ZONES[0] | {"price_minor": 900}, ZONES[1] | {"price_minor": 950}]
    room = make_room(3508, 3000)
    gathered = floors(scene_of(room=room, floors=data))
    (one,) = gathered.lines
    assert (one.key, one.was, one.cost_minor) == ("floor.a", ("floor.b",), 3 * 900 + 3 * 950)
    assert [(pack.key, pack.count, pack.price_minor) for pack in one.bought] == [
        *(("floor.a", 3, 900), ("floor.b", 3, 950)),
    ]
    assert one.notes[0] == (
        "It is given more than one price: €9.00 and €9.50. Each zone is counted at its own; "
        "where one shop sells it all, give it one price."
    )
    # the household's own price makes them one
    (same,) = floors(scene_of(room=room, floors=data, money=Money.model_validate(money))).lines
    assert [(pack.count, pack.price_minor) for pack in same.bought] == [(6, 900)]
    assert not same.notes[0].startswith("It is given")
    # where one has none the sum is not known, and both are named
    (half,) = floors(scene_of(room=room, floors=[data[0], ZONES[1]])).lines
    assert half.cost_minor is None
    assert "€9.00 and none yet" in half.notes[0]


def test_another_product_is_another_line() -> None:
    data = [ZONES[0], ZONES[1] | {"thickness_mm": 15}]
    lines = floors(scene_of(room=make_room(3508, 3000), floors=data)).lines
    assert [(one.key, one.bought[0].count) for one in lines] == [("floor.a", 3), ("floor.b", 3)]


def test_rolls_in_two_zones_are_cut_off_by_one_shop() -> None:
    roll: dict[str, Any] = {"kind": "roll", "material": "vinyl", "by_metre": True, "width_mm": 2000,
            "length_mm": 20_000, "thickness_mm": 3, "along": True}  # fmt: skip
    (one,) = zones(**roll)
    (pack,) = one.bought
    # 1.5 m of 2 m wide in each, by tenths of a metre
    assert pack.count == pytest.approx(3.0)
    assert one.where.count("let the shop cut off 1 of 1.5 m") == 2
