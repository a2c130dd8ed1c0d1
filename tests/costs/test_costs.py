"""Costs: exact sums, tax and its rounding, contingency, phases, standings, budget, CSV, faults."""

import csv
import io
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.costs.budget import budget_says, compare, in_order
from app.costs.cost import Costs, costs
from app.costs.ledger import as_csv, as_json, as_text, read_csv
from app.costs.tax import half_up, rate_of, rounded, tax_on
from app.model.kit import Piece
from app.model.money import Entry, Money, Price
from app.takeoff.quantities import take_off
from tests.builders import make_room, place
from tests.takeoff.making import scene_of

CEILING = {"id": "c", "surface": "ceiling"}


def priced(piece: Piece, minor: int, later: bool = False) -> Piece:
    return Piece.model_validate({**piece.model_dump(), "price_minor": minor, "later": later})


RACK = priced(place("mid-rack", 1500, 1500), 60_000)
BENCH = priced(place("flat-bench", 3500, 3500), 40_000, later=True)


def cost(*pieces: Piece, money: Money | None = None, **asked: Any) -> Costs:
    scene = scene_of(*pieces, money=money or Money(), **asked)
    return costs(scene, take_off(scene))


# Tax, against worked figures.


@pytest.mark.parametrize(
    ("minor", "percent", "tax"),
    [
        (2481, 7.25, 180),  # sales tax 24.81 x 7.25 % = 1.798725: 1.80 (section 324)
        (1000, 7.25, 73),  # 0.725: third decimal 5, up
        (1000, 7.24, 72),  # 0.724: third decimal 4, down
    ],
)
def test_carried_to_the_third_decimal(minor: int, percent: float, tax: int) -> None:
    exact = tax_on(Fraction(minor), rate_of(percent), with_tax=False)
    assert rounded([exact], "total-half-up") == tax


def test_a_total_is_rounded_down_to_a_whole_penny() -> None:
    # HMRC VATREC12010: 1.798725 may become 1.79
    exact = tax_on(Fraction(2481), rate_of(7.25), with_tax=False)
    assert rounded([exact], "total-down") == 179


def test_line_by_line_may_differ_from_the_total() -> None:
    # three of 0.02 at 20 %: 0.4 of a penny each; together 1.2 pence
    taxes = [tax_on(Fraction(2), rate_of(20), with_tax=False)] * 3
    assert [rounded(taxes, rule) for rule in ("total-half-up", "line-half-up")] == [1, 0]


def test_tax_within_a_price() -> None:
    # 20 % within a gross price is a sixth of it
    assert tax_on(Fraction(1200), rate_of(20), with_tax=True) == 200


@given(st.lists(st.integers(0, 10**9), max_size=12), st.integers(0, 2500))
def test_net_and_tax_make_the_gross(sums: list[int], basis: int) -> None:
    rate = rate_of(basis / 100)
    within = sum((tax_on(Fraction(s), rate, with_tax=True) for s in sums), Fraction(0))
    net = sum(sums) - within
    assert tax_on(net, rate, with_tax=False) == within


def test_net_then_contingency_then_tax() -> None:
    # 1000 -> 1100 -> 1320 (order of operations)
    money = Money(tax_percent=20, prices_with_tax=False, contingency_percent=10)
    found = cost(RACK, BENCH, money=money)
    assert (found.net_minor, found.tax_minor, found.gross_minor) == (110_000, 22_000, 132_000)


def test_prices_with_tax_keep_their_sum() -> None:
    money = Money(tax_percent=20, contingency_percent=0)
    found = cost(RACK, BENCH, money=money)
    # 1000 with tax: 166.67 within, half up
    assert (found.gross_minor, found.tax_minor, found.net_minor) == (100_000, 16_667, 83_333)


def test_second_hand_carries_no_tax_and_what_is_owned_costs_nothing() -> None:
    entries = (
        Entry(id="piece.flat-bench", standing="owned"),
        Entry(id="piece.mid-rack", second_hand=True, minor=30_000, delivery_minor=2500),
    )
    money = Money(entries=entries, tax_percent=20, contingency_percent=0)
    found = cost(RACK, BENCH, money=money)
    assert (found.gross_minor, found.tax_minor) == (32_500, 0)


# Phases, standings, shares.


def test_fit_out_and_kit_now_and_later() -> None:
    found = cost(RACK, BENCH, paint=[CEILING])
    assert found.sum_of(group="kit", later=False) == 60_000
    assert found.sum_of(group="kit", later=True) == 40_000
    fit_out = found.sum_of(group="fit-out")
    parts = {line.part for line in found.lines if line.group == "fit-out"}
    assert fit_out == sum(found.sum_of(part=part) for part in parts) > 0
    assert found.sum_of() == 100_000 + fit_out


def test_bought_committed_and_to_come_and_contingency_on_the_rest() -> None:
    entries = (
        Entry(id="piece.mid-rack", standing="bought", minor=55_000),
        Entry(id="piece.flat-bench", standing="committed"),
    )
    box = priced(place("jump-box", 4000, 1000), 8000)
    found = cost(RACK, BENCH, box, money=Money(entries=entries))
    sums = [found.sum_of(standing=word) for word in ("bought", "committed", "to-come")]
    assert sums == [55_000, 40_000, 8000]
    # 10 % of what is still to come
    assert found.contingency_minor == 800


def test_each_square_metre() -> None:
    found = cost(RACK, money=Money(contingency_percent=0), room=make_room(5000, 4000))
    assert found.per_m2_minor == 3000  # 600.00 on 20 m2


def test_delivery_is_paid_once_for_its_line() -> None:
    price = Price(id="emulsion-5l", minor=3000, delivery_minor=450)
    plain = cost(paint=[CEILING], money=Money(prices=(Price(id="emulsion-5l", minor=3000),)))
    found = cost(paint=[CEILING], money=Money(prices=(price,)))
    assert found.sum_of() - plain.sum_of() == 450


# The budget.


def test_a_budget_that_holds_says_what_is_left() -> None:
    money = Money(budget_minor=120_000)
    found = cost(RACK, BENCH, money=money)
    assert budget_says(found) == "The budget of €1,200.00 holds; €100.00 is left."


def test_what_breaks_a_budget_and_what_mends_it() -> None:
    found = cost(RACK, BENCH, money=Money(budget_minor=80_000, contingency_percent=0))
    assert found.over_minor == 20_000
    # the rack is paid first, 600; the bench, for later, makes it 1000
    assert [spent.running_minor for spent in in_order(found)] == [60_000, 100_000]
    assert budget_says(found) == (
        "The budget of €800.00 is broken by €200.00. In the order of spending it breaks at "
        "Flat bench; without Flat bench (€400.00) it holds."
    )


def test_a_budget_that_only_the_contingency_breaks() -> None:
    found = cost(RACK, BENCH, money=Money(budget_minor=105_000))
    assert "the lines fit, the contingency of €100.00 not" in budget_says(found)


def test_two_options_side_by_side() -> None:
    one, other = cost(RACK, BENCH), cost(priced(RACK, 52_000))
    found = compare(one, other)
    assert [(d.key, d.more_minor) for d in found] == [
        ("piece.flat-bench", -40_000),
        ("piece.mid-rack", -8000),
    ]
    with pytest.raises(ValueError, match="EUR, the other in USD"):
        compare(one, cost(RACK, currency="USD"))


# Bad input: the line is named, the rest is counted.


def test_no_price_is_named_and_the_rest_is_counted() -> None:
    found = cost(RACK, place("jump-box", 4000, 1000), currency="JPY", paint=[CEILING])
    assert found.sum_of() == 60_000
    assert any(p.startswith("piece.jump-box: Jump box has no price") for p in found.problems)
    assert any(p.startswith("paint.emulsion: no price for") for p in found.problems)


def test_what_was_said_of_lines_that_are_one_by_now_is_kept() -> None:
    # walls and ceiling come out of the same tins: sums for the whole are added, a standing holds
    # where it was the same for both, and what is said of the one line wins
    jobs = [CEILING, {"id": "w", "surface": "walls"}]
    old = [
        Entry(id=f"paint.{s}-emulsion", standing="bought", minor=1000) for s in ("walls", "ceiling")
    ]
    new = Entry(id="paint.emulsion", standing="owned")

    def stands(*entries: Entry) -> tuple[str, int | None]:
        found = cost(paint=jobs, money=Money(entries=entries))
        assert not [p for p in found.problems if "nothing on the list" in p]
        (line,) = [line for line in found.lines if line.key == "paint.emulsion"]
        return line.standing, line.asked_minor

    assert stands(*old) == ("bought", 2000)
    assert stands(old[0], old[1].model_copy(update={"standing": "owned"}))[0] == "to-come"
    assert stands(*old, new) == ("owned", 0)


def test_a_sum_in_another_currency_is_named() -> None:
    entry = Entry(id="piece.mid-rack", minor=1, currency="USD")
    found = cost(RACK, money=Money(entries=(entry,)))
    assert found.problems == (
        "piece.mid-rack: its sum is in USD, the plan's money is EUR; give it in EUR",
    )
    assert found.sum_of() == 60_000


def test_an_entry_for_nothing_is_named() -> None:
    found = cost(RACK, money=Money(entries=(Entry(id="piece.ghost"),)))
    assert found.problems == ("piece.ghost: nothing on the list has this key",)


# Out and in.


def table(money: Money) -> tuple[str, Any]:
    scene = scene_of(RACK, BENCH, money=money, paint=[CEILING])
    found = take_off(scene)
    return as_csv(costs(scene, found), found), scene.plan


def test_a_table_read_back_changes_nothing() -> None:
    prices = (Price(id="emulsion-5l", minor=3350, delivery_minor=99),)
    money = Money(prices=prices, entries=(Entry(id="piece.mid-rack", standing="bought"),))
    text, plan = table(money)
    back, problems = read_csv(text, plan)
    assert problems == ()
    assert back.prices == money.prices
    assert [(e.id, e.standing) for e in back.entries] == [("piece.mid-rack", "bought")]


def test_prices_filled_in_are_read() -> None:
    text, plan = table(Money())
    rows = list(csv.DictReader(io.StringIO(text)))
    for row in rows:
        if row["key"] == "emulsion-5l":
            row["price"], row["guide"], row["delivery"] = "41,50", "no", "5"
        if row["key"] == "piece.mid-rack":
            row["price"], row["standing"] = "1 512.5", "committed"
    out = io.StringIO()
    writer = csv.DictWriter(out, rows[0])
    writer.writeheader()
    writer.writerows(rows)
    back, problems = read_csv(out.getvalue(), plan)
    assert problems == ()
    assert back.prices == (Price(id="emulsion-5l", minor=4150, delivery_minor=500),)
    assert (back.entries[0].minor, back.entries[0].standing) == (151_250, "committed")


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("emulsion-5l,1.234", "row 2, emulsion-5l: '1.234' has more decimals than EUR has"),
        ("emulsion-5l,dear", "row 2, emulsion-5l: 'dear' is no price"),
        ("emulsion-5l,12 13", "row 2, emulsion-5l: '12 13' is no price: a cell holds one number"),
        ("emulsion-5l,12_13", "row 2, emulsion-5l: '12_13' is no price"),
        ("emulsion-5l,-3", "row 2, emulsion-5l: '-3' is no price"),
        ("emulsion-5l,3,USD", "row 2, emulsion-5l: it is in USD, the plan's money is EUR"),
        (",3", "row 2, without a key: it has no key"),
    ],
)
def test_a_row_that_cannot_be_read_is_named_and_the_rest_is_read(row: str, says: str) -> None:
    text = f"key,price,currency\n{row}\nemulsion-1l,9.99,EUR\n"
    back, problems = read_csv(text, table(Money())[1])
    assert problems[0].startswith(says)
    assert back.prices == (Price(id="emulsion-1l", minor=999),)


def test_a_table_without_keys_is_refused() -> None:
    plan = table(Money())[1]
    assert read_csv("a,b\n1,2\n", plan) == (plan.money, ("the table has no column 'key'",))


def test_json_and_text_tell_the_same_whole() -> None:
    money = Money(tax_percent=19, budget_minor=10, contingency_percent=5)
    found = cost(RACK, BENCH, money=money)
    data = as_json(found)
    assert data["gross_minor"] == 105_000
    assert data["tax_rounding"]["source"].startswith("Streamlined sales and use tax agreement")
    assert any(line.startswith("Together €1,050.00") for line in as_text(found))


def test_half_up() -> None:
    assert [half_up(Fraction(n, 2)) for n in (-3, -1, 1, 3)] == [-2, -1, 1, 2]
