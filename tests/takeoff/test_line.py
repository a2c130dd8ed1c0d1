"""Lines of the list by hand: packs, what is left, what they cost; and how they are told."""

import csv
import io
import json

import pytest

from app.model.money import Entry, Money, Price
from app.model.plan import Plan
from app.takeoff.line import Bought, Line, PackError, Step, TakeOff, offer, offers
from app.takeoff.quantities import as_csv, as_json, as_text
from tests.builders import make_plan

TINS = (Bought("ten", "10 L tin", 10, 1, 5000), Bought("two", "2 L tin", 2, 2, 1500, True))
PAINT = Line(
    "paint.white", "paint", "White", "the back wall", 11.5, 0.9, "L", TINS, 19.6, "own rate",
    (Step("to coat", 11.23456, "m2"), Step("clips", 500, "mm", "strip.clip-mm")),
    notes=("One batch.",), was=("paint.old",),
)  # fmt: skip
FREE = Line("small.mesh", "small", "=Mesh", "walls", 1, 0, "pc", assumed=True)
NOTHING = Line("small.none", "small", "None", "", 0, 0, "pc")
UNKNOWN = Line("tools.saw", "tools", "Saw", "wood", 1, 0, "pc", (Bought("s", "saw", 1, 1, None),))
LIST = TakeOff((PAINT, FREE, UNKNOWN), ("a fault",), ("mind it",))


def test_what_packs_hold_leave_and_cost() -> None:
    assert PAINT.to_buy == 14
    assert PAINT.left_over == pytest.approx(1.6)
    assert PAINT.cost_minor == 5000 + 2 * 1500
    assert PAINT.packs_worded("metric") == "1 × 10 L tin + 2 × 2 L tin"
    # bought by nobody: no cost is known; nothing wanted costs nothing; a price may be unknown
    assert (FREE.cost_minor, NOTHING.cost_minor, UNKNOWN.cost_minor) == (None, 0, None)
    # less than is wanted leaves nothing
    assert Line("k", "small", "i", "w", 9, 1, "L", (TINS[1],)).left_over == 0


def test_what_is_measured_off_by_the_metre_squared() -> None:
    roll = Bought("v", "m2 from the roll", 1, 19, 1200)
    assert (roll.measured_in, roll.one) == ("m2", "1 m2 from the roll")
    assert roll.worded("metric") == "19 m2 from the roll"
    # 19 x 10.7639 = 204.5 square feet, upwards as one buys it
    assert roll.worded("feet").startswith("19 m2 (20")
    assert (TINS[0].measured_in, TINS[0].one, TINS[1].worded("feet")) == (
        *("", "10 L tin"),
        "2 × 2 L (0.5 gal) tin",
    )
    assert Bought("c", "m2, cut to size", 1, 4, None).measured_in == "m2"
    # 20.5 m are 67' 3"
    metres = Bought("r", "m off the roll, 1250 mm wide", 1.25, 20.5, 2400)
    assert metres.worded("metric") == "20.5 m off the roll, 1250 mm wide"


def test_a_line_is_found_by_every_key_it_had() -> None:
    assert LIST.line("paint.white") is LIST.line("paint.old") is PAINT
    with pytest.raises(KeyError):
        LIST.line("paint")
    assert LIST.keys_now() == {
        "paint.white": "paint.white",
        "paint.old": "paint.white",
        "small.mesh": "small.mesh",
        "tools.saw": "tools.saw",
    }


def plan(*prices: Price, currency: str = "EUR") -> Plan:
    data = make_plan().model_dump() | {"currency": currency}
    data["money"] = Money(prices=prices).model_dump()
    return Plan.model_validate(data)


def test_an_offer_at_the_guide_price_or_the_households_own() -> None:
    guide = offer(plan(), "mirror-clips-4")
    assert (guide.size, guide.price_minor, guide.guide) == (4, 900, True)
    own = offer(plan(Price(id="mirror-clips-4", minor=700, pack=6)), "mirror-clips-4")
    assert (own.name, own.size, own.price_minor, own.guide) == ("pack of 6", 6, 700, False)
    assert offer(plan(Price(id="mirror-clips-4", minor=700)), "mirror-clips-4").name == "set of 4"
    three = own.times(3)
    assert (three.count, three.size, three.price_minor, three.guide) == (3, 6, 700, False)
    small = offer(plan(Price(id="mirror-clips-4", minor=70, pack=0.5)), "mirror-clips-4")
    assert (small.name, small.size) == ("pack of 0.5", 0.5)
    # guide prices are of one money: in another none is known
    assert offer(plan(currency="JPY"), "mirror-clips-4").price_minor is None


@pytest.mark.parametrize(
    ("price", "words"),
    [
        (Price(id="mirror-clips-4", minor=700, currency="USD"), "its price is in USD"),
        (Price(id="mirror-clips-4", minor=700, pack=0), "a pack holds 0"),
    ],
)
def test_a_pack_that_cannot_be_had_is_named(price: Price, words: str) -> None:
    with pytest.raises(PackError, match=words):
        offer(plan(price), "mirror-clips-4")
    problems: list[str] = []
    found = offers(plan(price), ["mirror-clips-4", "gold", "ledge-2m"], problems)
    assert [one.key for one in found] == ["ledge-2m"]
    assert [words in problems[0], "gold: there is no such pack" in problems[1]] == [True, True]
    same = Price(id="mirror-clips-4", minor=700, currency="EUR")
    assert offer(plan(same), "mirror-clips-4").price_minor == 700
    assert Entry(id="mirrors.clips").minor is None


def test_the_list_as_data() -> None:
    data = json.loads(json.dumps(as_json(LIST, "EUR")))
    assert (data["currency"], data["problems"], data["says"], data["mass_kg"]) == (
        *("EUR", ["a fault"], ["mind it"]),
        19.6,
    )
    line = data["lines"][0]
    assert (line["net"], line["waste"], line["to_buy"], line["left_over"]) == (11.5, 0.9, 14, 1.6)
    assert (line["cost_minor"], line["assumed"], line["mass_kg"]) == (8000, False, 19.6)
    assert [pack["told"] for pack in line["packs"]] == ["1 × 10 L tin", "2 × 2 L tin"]
    assert [pack["guide"] for pack in line["packs"]] == [False, True]
    coat, clips = line["working"]
    assert (coat["label"], coat["value"], coat["source"]) == ("to coat", 11.2346, "")
    assert clips["source"].endswith("(practice)")


def test_the_list_as_a_table() -> None:
    rows = list(csv.DictReader(io.StringIO(as_csv(LIST, "EUR"))))
    assert [row["key"] for row in rows] == ["paint.white", "small.mesh", "tools.saw"]
    paint, mesh, _ = (list(row.values()) for row in rows)
    assert paint[1:] == [
        *("White", "the back wall", "11.5", "0.9", "L", "14", "1 × 10 L tin + 2 × 2 L tin"),
        *("1.6", "19.6", "80.00", "EUR", "no", "own rate"),
    ]
    # a cell that a table program would reckon is words
    assert mesh[1] == "'=Mesh"
    assert mesh[10:13] == ["", "EUR", "yes"]


def test_the_list_to_read() -> None:
    text = as_text(LIST, "EUR")
    assert text[1] == (
        "  White: 11.50 + 0.90 L -> 1 × 10 L tin + 2 × 2 L tin, €80.00; the back wall"
    )
    assert text[2] == "      One batch."
    assert "  =Mesh (assumed): 1.00 + 0.00 pc -> nothing, no price; walls" in text
    assert text[-2:] == ["not counted: a fault", "note: mind it"]
    # a heading for each part, once
    assert len(text) == 3 + 3 + 1 + 2
    twice = as_text(TakeOff((PAINT, PAINT)), "EUR")
    assert len(twice) == 1 + 2 * 2


def test_a_size_in_feet_that_is_there_is_not_told_twice() -> None:
    mat = Bought("mat", "mat 1830 mm (6' 0 1/16\") × 1220 mm", 2.2, 6, None)
    told = mat.worded("feet")
    assert told.count("6' 0 1/16") == 1
    assert told.count("4' 0 1/16") == 1
