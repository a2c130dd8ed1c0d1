"""Months on paper: every purchase in its month at its price, nothing beside."""

from app.drawing.sheets.months import months_sheet
from app.model.base import json_of
from app.model.plan import Plan
from app.units import format_money
from app.usecases.drawing_set import names_of
from tests.drawing.boxes import lettered, outside, overlaps
from tests.drawing.sheets.judged import sample, sheet, subjects


def with_purse() -> Plan:
    plan = sample("upstairs-room").plan
    purse = {"put_by_minor": 60_000, "a_month_minor": 30_000, "first_month": "2027-03"}
    return Plan.model_validate({**json_of(plan), "phasing": purse})


def test_every_purchase_stands_in_its_month_at_its_price() -> None:
    of = subjects(with_purse())
    answer = of.account.months("2027-03", None)
    drawn = months_sheet(of.plan, answer, {})
    words = [one.words for page in drawn.pages for one in lettered(page)]
    told = " ".join(words)
    bought = [thing for month in answer.months for thing in month.buys]
    assert len(bought) > 5
    for thing in bought:
        assert thing.name in told
        assert format_money(thing.minor, answer.currency) in words
    # months stand in their order, each once; those in which nothing happens are left out
    heads = [word for word in words if word in {"March 2027", "April 2027", "May 2027"}]
    assert heads == sorted(heads, key=["March 2027", "April 2027", "May 2027"].index)
    assert heads[0] == "March 2027"
    spent = sum(thing.minor for thing in bought)
    assert spent == answer.total_minor
    assert format_money(spent, answer.currency) in words
    for page in drawn.pages:
        assert outside(page, lettered(page)) == []
        assert overlaps(lettered(page)) == []


def test_without_a_purse_it_says_what_to_do_and_is_not_listed() -> None:
    of = sample("upstairs-room")
    assert "months" not in dict(names_of(of.plan))
    assert "months" in dict(names_of(with_purse()))
    assert "months" not in dict(names_of(with_purse(), money=False))
    words = " ".join(one.words for one in lettered(sheet(of, "months", "A4").pages[0]))
    assert "what there is to spend" in words
