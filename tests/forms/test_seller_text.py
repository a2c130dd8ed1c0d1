"""What sellers write, read for size, mass and price. All texts are invented."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.forms.own_kit_edits import OWN, edit_own_kit
from app.forms.seller_figures import number_of
from app.forms.seller_text import read_seller
from tests.builders import make_plan

TEXTS = {
    "Sturdy half rack. Dimensions (W x D x H): 122 x 135 x 215 cm. Weight: 85 kg. "
    "Max. load 300 kg. Was €699, now €599.00":
        {"width": "1220 mm", "depth": "1350 mm", "height": "2150 mm", "mass": "85",
         "price": "599.00"},
    "Bench L122 x W60 x H45cm, weighs 18,5 kg, holds up to 250 kg. 129,90 €":
        {"width": "600 mm", "depth": "1220 mm", "height": "450 mm", "mass": "18.5",
         "price": "129.90"},
    "Running machine\nWidth: 850 mm\nLength: 1.80 m\nHeight 1420mm\nOwn weight 96 kg\n"
    "User weight max 130 kg\n2.2 kW motor\nEUR 1.299,00 incl.":
        {"width": "850 mm", "depth": "1800 mm", "height": "1420 mm", "mass": "96",
         "power": "2200", "price": "1299.00"},
    'Assembled: 48" W x 53" D x 85" H. 187 lbs. Shipping weight 210 lbs.':
        {"width": "1219 mm", "depth": "1346 mm", "height": "2159 mm", "mass": "84.82"},
    "Package dimensions 200 x 60 x 20 cm, shipping from 39 €":
        {},
    "Name;Width;Depth;Height;Weight;Price\nRower;610;2440;1100;26 kg;€890":
        {"name": "Rower", "width": "610 mm", "depth": "2440 mm", "height": "1100 mm",
         "mass": "26", "price": "890.00"},
    "Half rack,1220,1350,2150,85,599.00":
        {"name": "Half rack", "width": "1220 mm", "depth": "1350 mm", "height": "2150 mm",
         "mass": "85", "price": "599.00"},
    "name,width,depth,height,kg,price\n\"Rack, half\",1220,1350,2150,\"85,5\",\"599,00\"":
        {"name": "Rack, half", "width": "1220 mm", "depth": "1350 mm", "height": "2150 mm",
         "mass": "85.5", "price": "599.00"},
    "Rower, 610, 2440, 1100, 18,5, 890":
        {"name": "Rower", "width": "610 mm", "depth": "2440 mm", "height": "1100 mm",
         "mass": "18.5", "price": "890.00"},
    "Tower. Width 48 1/2 in, depth 4'1\", height 7 ft 1 in":
        {"width": "1232 mm", "depth": "1245 mm", "height": "2159 mm"},
    "Step, W 120 cm D 60 cm H 45":
        {"width": "1200 mm", "depth": "600 mm", "height": "450 mm"},
    "Climber, 115 x 62cm footprint, 5ft 11 tall, weighs 48 kilos, max user 130kg, 230V 60W":
        {"width": "1150 mm", "depth": "620 mm", "height": "1803 mm", "mass": "48", "power": "60"},
    "Tower, 120 cm wide, 60 cm deep, 200 cm high, of tubes 60 x 60 mm":
        {"width": "1200 mm", "depth": "600 mm", "height": "2000 mm"},
    "Bike, 85 kg, comes in 3 parts, on wheels, nearly new":
        {"mass": "85"},
    "Half rack\t1220\t1350\t2150\t85\t599":
        {"name": "Half rack", "width": "1220 mm", "depth": "1350 mm", "height": "2150 mm",
         "mass": "85", "price": "599.00"},
}  # fmt: skip


def found(text: str, currency: str = "EUR") -> dict[str, str]:
    return {one.field: one.value for one in read_seller(text, "metric", currency).figures}


@pytest.mark.parametrize("text", TEXTS)
def test_size_mass_and_price_are_found_and_what_else_is_left_alone(text: str) -> None:
    assert found(text) == TEXTS[text]


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("1.299,00", 1299), ("1,299.00", 1299), ("1 299", 1299), ("1,299", 1299),
        ("1.299", 1299), ("12,5", 12.5), ("12.5", 12.5), ("0.853", 0.853), ("1.234.567", 1234567),
        ("85", 85),
    ],
)  # fmt: skip
def test_marks_of_thousands_and_decimals(written: str, meant: float) -> None:
    assert number_of(written) == meant


def test_each_figure_is_told_with_its_words() -> None:
    text = "It is a long story, but the rack weighs in at 85 kg, which is fine for a garage slab."
    (mass,) = read_seller(text, "metric", "EUR").figures
    assert "weighs in at 85 kg, which" in mass.words


def test_other_money_is_left_alone_with_a_word() -> None:
    reading = read_seller("Price £450, 60 kg", "metric", "EUR")
    assert [one.field for one in reading.figures] == ["mass"]
    assert "£450 is in GBP, the plan's money is EUR: left alone." in reading.says
    assert found("Price £450", "GBP") == {"price": "450.00"}


@pytest.mark.parametrize("text", ["", "   ", "\x00\x07", "great condition, collect only", "x x x"])
def test_nonsense_is_a_sentence(text: str) -> None:
    reading = read_seller(text, "metric", "EUR")
    assert reading.figures == ()
    assert reading.says == ("No size, mass or price was found in it. Type them in below.",)


LEFT_OUT = {
    "Rack\t1e9\t-5\t0\t85\t599": (
        {"name": "Rack", "mass": "85", "price": "599.00"},
        ("Width 1e9 cannot be read: left out.",
         "Depth -5 is outside 10 mm to 20000 mm: left out.",
         "Height 0 is outside 10 mm to 20000 mm: left out."),
    ),
    "Weight -5 kg, price €-3, width 30 m, 45 kW": (
        {},
        ("Width 30 m is outside 10 mm to 20000 mm: left out.",
         "Mass -5 kg is outside 0.1 kg to 5000 kg: left out.",
         "Power 45 kW is outside 0 W to 20000 W: left out.",
         "Price €-3 is outside 0 to 10,000,000,000: left out."),
    ),
    "999999999 kg": ({}, ("Mass 999999999 kg is outside 0.1 kg to 5000 kg: left out.",)),
    "Weight - 85 kg, or 80-85 kg with pads": ({"mass": "85"}, ()),
    "Rower,6,1,0,2,4,4,0,1,1,0,0,1,8": (
        {},
        ("The row has more cells than figures are asked for: its commas may part cells or mark "
         "decimals. Part the cells by tabs or semicolons.",),
    ),
}  # fmt: skip
"""What is outside the bounds of a kit of one's own is named; nobody is asked for a yes to it."""


@pytest.mark.parametrize("text", LEFT_OUT)
def test_what_is_no_figure_of_kit_is_named_and_left_out(text: str) -> None:
    figures, says = LEFT_OUT[text]
    assert found(text) == figures
    told = read_seller(text, "metric", "EUR").says
    assert told[: len(says)] == says


def ways(text: str, units: Any = "metric", currency: str = "EUR") -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for one in read_seller(text, units, currency).figures:
        found.setdefault(one.field, []).append(one.value)
    return found


SIZED = {"width": ["610 mm"], "depth": ["2440 mm"], "height": ["1100 mm"]}


@pytest.mark.parametrize(
    ("row", "mass", "price"),
    [
        # kg and a price, or half a kilogram
        ("Rower,610,2440,1100,18,5", ["18", "18.5"], ["5.00"]),
        ("Rower,610,2440,1100,18,50", ["18", "18.5"], ["50.00"]),
        # half a kilogram and a price of hundreds, or whole ones and one of thousands
        ("Rower,610,2440,1100,18,5,890", ["18", "18.5"], ["5890.00", "890.00"]),
        # nothing else can be meant: a price of two decimals, one of three digits, a point
        ("Rower,610,2440,1100,18,5,890,00", ["18.5"], ["890.00"]),
        ("Rower,610,2440,1100,18,599", ["18"], ["599.00"]),
        ("Rower,610,2440,1100,18.5,50", ["18.5"], ["50.00"]),
        ("Rower,610,2440,1100,18 kg,50", ["18"], ["50.00"]),
        ('Rower,610,2440,1100,"18,5","50,00"', ["18.5"], ["50.00"]),
    ],
)
def test_where_commas_may_mark_decimals_each_reading_is_shown(
    row: str, mass: list[str], price: list[str]
) -> None:
    found = ways(row)
    assert {name: sorted(some) for name, some in found.items()} == {
        "name": ["Rower"], **SIZED, "mass": mass, "price": sorted(price),
    }  # fmt: skip
    says = read_seller(row, "metric", "EUR").says
    asked = any("say which is right" in one for one in says)
    assert asked == (len(mass) > 1 or len(price) > 1)


@pytest.mark.parametrize("apart", ["  ", "   ", " \t ", "        "])
def test_columns_that_stand_apart_by_spaces_are_cells(apart: str) -> None:
    row = apart.join(("Half rack, grey", "1220", "1350", "2150", "85,5", "1 299,00"))
    assert ways(row) == {
        "name": ["Half rack, grey"], "width": ["1220 mm"], "depth": ["1350 mm"],
        "height": ["2150 mm"], "mass": ["85.5"], "price": ["1299.00"],
    }  # fmt: skip
    headed = apart.join(("name", "price", "height", "width", "depth"))
    row = apart.join(("Bench", "99", "450", "600", "1220"))
    assert ways(f"{headed}\n{row}")["price"] == ["99.00"]


@pytest.mark.parametrize("row", ["Rower, 244, 61, 100, 26, 890", "Rower\t244\t61\t100\t26\t890"])
def test_sizes_without_a_unit_that_are_too_small_for_mm_are_asked_after(row: str) -> None:
    found = ways(row)
    assert found["width"] == ["244 mm", "2440 mm"]
    assert found["depth"] == ["61 mm", "610 mm"]
    assert found["height"] == ["100 mm", "1000 mm"]
    assert "say whether they are mm or cm" in " ".join(read_seller(row, "metric", "EUR").says)
    # bare figures of a plan in feet are inches
    assert len(ways(row, "feet", "USD")["width"]) == 1
    # and what is as large as kit is, or has its unit, is not asked after
    assert ways("Rower, 244, 310, 100, 26, 890")["width"] == ["244 mm"]
    assert ways("244 mm x 61 mm x 100 mm")["width"] == ["244 mm"]


def test_what_it_is_packed_in_is_no_size_and_folded_and_unfolded_are_both_shown() -> None:
    packed = "Bike. Box size 140 x 35 x 60 cm. Assembled: L 198 x W 76 x H 158 cm"
    assert ways(packed) == {"width": ["760 mm"], "depth": ["1980 mm"], "height": ["1580 mm"]}
    assert "Left alone" in read_seller(packed, "metric", "EUR").says[0]
    folds = ways("folded: 30 x 60 x 160 cm, unfolded: 170 x 60 x 120 cm")
    assert folds == {
        "width": ["300 mm", "1700 mm"], "depth": ["600 mm"], "height": ["1600 mm", "1200 mm"],
    }  # fmt: skip
    # a box to jump on is no packing
    assert ways("Jump box 75 x 60 x 50 cm")["width"] == ["750 mm"]


def test_two_of_a_mass_may_be_both_or_one() -> None:
    assert ways("Dumbbells, 2 x 24 kg")["mass"] == ["48", "24"]
    assert ways("Dumbbell, 24 kg")["mass"] == ["24"]


def test_german_letters_and_sizes_that_are_not_read_are_named() -> None:
    assert ways("B 120 cm, T 140 cm, H 215 cm") == {
        "width": ["1200 mm"], "depth": ["1400 mm"], "height": ["2150 mm"],
    }  # fmt: skip
    for text, left in (
        ("Mass 5 kg, Ø 450 mm x 50 mm", "Not read: 450 mm, 50 mm."),
        ("Footprint 4'2\" x 3'6\", height 7 ft 1 in", "Not read: 4'2\", 3'6\"."),
    ):
        assert left in read_seller(text, "metric", "EUR").says


@pytest.mark.parametrize(
    ("text", "said"), [("1'299.00 CHF", "CHF"), ("1 299,- Kč", "CZK"), ("Price 450 PLN", "PLN")]
)
def test_money_of_other_countries_is_left_alone_with_a_word(text: str, said: str) -> None:
    reading = read_seller(text, "metric", "EUR")
    assert not reading.figures
    assert f"is in {said}, the plan's money is EUR: left alone." in " ".join(reading.says)
    assert ways("1'299.00 CHF", currency="CHF") == {"price": ["1299.00"]}


@given(st.text(max_size=300), st.sampled_from(["metric", "feet"]))
def test_whatever_is_pasted_is_read_without_a_fault(text: str, units: Any) -> None:
    for one in read_seller(text, units, "EUR").figures:
        assert one.value


def test_what_is_found_fills_the_form_as_it_stands() -> None:
    fields = found("Rower\t610\t2440\t1100\t26\t890")
    command = edit_own_kit(make_plan(), "add", {"group": "Machines", **fields})
    assert command is not None
    assert {field.name for field in OWN.fields} >= fields.keys()
