"""The list for the shops, worked by hand: what is owned stays out, each pack has its row."""

import csv
import io

from app.takeoff.line import Bought, Line, Ready
from app.takeoff.shopping import Errand, Stop, as_csv, shop_of, shopping

CLIPS = Line(
    "mirrors.clips", "mirrors", "Mirror clips", "the back wall", 12, 0, "pc",
    bought=(Bought("mirror-clips-4", "set of 4", 4, 3, 900),), mass_kg=1.2,
)  # fmt: skip
PAINT = Line(
    "paint.white", "paint", "White", "all walls", 11, 1, "L",
    bought=(Bought("own-10", "10 L tin", 10, 1, 5000), Bought("own-2", "2 L tin", 2, 2, None)),
    mass_kg=14,
)  # fmt: skip
MATS = Line("floor.f", "floor", "Mats", "floor", 6, 0, "pc", mass_kg=120)
BENCH = Errand("bench", "Flat bench", "", "1", 11000, "to-come", 20)


def test_who_sells_it() -> None:
    assert [shop_of(line) for line in (CLIPS, PAINT, MATS)] == ["glass", "building", "floor"]


def test_by_shop_and_without_what_is_owned() -> None:
    owned = Errand("rack", "Rack", "", "1", None, "owned", 75)
    stops = shopping(
        [CLIPS, PAINT, MATS],
        {"mirrors.clips": "bought", "floor.f": "owned"},
        {"mirrors.clips": 2700},
        [BENCH, owned],
        "metric",
    )
    # a kind of shop with nothing to bring is left out
    assert sorted(stop.key for stop in stops) == ["building", "glass", "kit"]
    assert stops[-1].errands == (BENCH,)
    assert stops[-1].name == "Kit"
    by_key = {stop.key: stop for stop in stops}
    (clips,), (paint,) = by_key["glass"].errands, by_key["building"].errands
    assert (clips.packs, clips.sum_minor, clips.got) == ("3 × set of 4", 2700, True)
    assert (paint.packs, paint.sum_minor, paint.got) == ("1 × 10 L tin + 2 × 2 L tin", None, False)
    assert [by_key[key].left for key in ("glass", "building", "kit")] == [0, 1, 1]


def test_a_row_for_each_pack() -> None:
    stops = shopping([CLIPS, PAINT], {"mirrors.clips": "bought"}, {}, [BENCH], "metric")
    rows = list(csv.DictReader(io.StringIO(as_csv(stops, "EUR", "metric"))))
    by_item = {(row["item"], row["holds"]): row for row in rows}
    assert len(rows) == 4
    clips = by_item["Mirror clips", "4"]
    assert (clips["packs"], clips["unit"], clips["mass kg"]) == ("3", "pc", "1.2")
    assert (clips["price each"], clips["sum"], clips["currency"]) == ("9.00", "27.00", "EUR")
    assert (clips["key"], clips["where"], clips["standing"]) == (
        *("mirrors.clips", "the back wall"),
        "bought",
    )
    # 14 kg over 14 L of packs: 10 and 4 of them; no price, no sum
    large, small = by_item["White", "10"], by_item["White", "2"]
    assert (large["mass kg"], large["sum"]) == ("10.0", "50.00")
    assert (small["packs"], small["mass kg"]) == ("2", "4.0")
    assert (small["price each"], small["sum"], small["standing"]) == ("", "", "to-come")
    bench = by_item["Flat bench", "1"]
    assert (bench["packs"], bench["unit"], bench["mass kg"], bench["sum"]) == (
        *("1", "pc", "20"),
        "110.00",
    )
    # a currency without decimals
    yen = list(csv.DictReader(io.StringIO(as_csv(stops, "JPY", "metric"))))
    assert next(row for row in yen if row["item"] == "Flat bench")["sum"] == "11000"


def test_tins_of_gallons_hold_whole_ones() -> None:
    """1 and 5 US gallons are 3.785 and 18.93 L; a mat of a square metre is 10.8 square feet."""
    tins = (Bought("g5", "5 gal pail", 18.93, 1, 1), Bought("g1", "1 gal can", 3.785, 1, 1))
    paint = Line("paint.x", "paint", "White", "walls", 22, 0, "L", bought=tins)
    mat = Line("floor.x", "floor", "Mats", "floor", 1, 0, "m2", bought=(Bought("m", "m", 1, 1, 1),))
    tape = Line("t", "paint", "Tape", "walls", 50, 0, "m", bought=(Bought("t", "t", 50, 1, 1),))
    stops = shopping([paint, mat, tape], {}, {}, [], "feet")
    rows = list(csv.DictReader(io.StringIO(as_csv(stops, "USD", "feet"))))
    assert {(row["holds"], row["unit"]) for row in rows} == {
        ("5", "gal"), ("1", "gal"), ("10.8", "ft2"), ("164", "ft"),
    }  # fmt: skip


def test_a_mass_that_nobody_knows_is_no_nought() -> None:
    brush = Line(
        "tools.brush", "tools", "Brush", "walls", 1, 0, "pc",
        bought=(Bought("brush", "brush", 1, 1, 500),),
    )  # fmt: skip
    (row,) = csv.DictReader(
        io.StringIO(as_csv(shopping([brush], {}, {}, [], "metric"), "EUR", "metric"))
    )
    assert (row["mass kg"], row["sum"]) == ("", "5.00")


def test_what_comes_in_no_packs_hides_nothing_after_it() -> None:
    mats = Errand("floor.f", "Mats", "floor", "", None, "to-come", 120, MATS)
    clips = Errand("mirrors.clips", "Clips", "", "3 × set of 4", 2700, "to-come", 1.2, CLIPS)
    stops = [Stop("kit", "Kit", (BENCH, mats, clips)), Stop("glass", "Glass", (clips,))]
    rows = list(csv.DictReader(io.StringIO(as_csv(stops, "EUR", "metric"))))
    assert [row["key"] for row in rows] == [
        "bench", "floor.f", "mirrors.clips", "mirrors.clips",
    ]  # fmt: skip
    assert [row["packs"] for row in rows] == ["1", "1", "3", "3"]
    assert [row["sum"] for row in rows] == ["110.00", "", "27.00", "27.00"]
    assert [row["mass kg"] for row in rows] == ["20", "120", "1.2", "1.2"]


def test_what_is_to_be_had_ready_comes_last_and_costs_nothing() -> None:
    text = as_csv([], "EUR", "metric", [Ready("have.broom", "Broom", "to clear the floor")])
    (row,) = csv.DictReader(io.StringIO(text))
    assert [*row.values()] == [
        *("What you likely have: have it ready", "have.broom", "Broom", "to clear the floor"),
        *("1", "1", "pc", "", "", "", "EUR", "owned"),
    ]
