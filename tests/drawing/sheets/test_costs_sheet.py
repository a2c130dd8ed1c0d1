"""What everything costs on paper: part by part, and what is not as usual by itself."""

from app.costs.cost import costs
from app.drawing.primitives import Group, Item, Text
from app.drawing.sheets.costs import costs_sheet
from app.drawing.sheets.cover import known_figures
from app.model.money import Entry, Money
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.units import format_money
from tests.builders import make_plan, place
from tests.drawing.sheets.judged import sample, sheet


def words_of(items: tuple[Item, ...]) -> list[str]:
    told: list[str] = []
    for item in items:
        if isinstance(item, Group):
            told += words_of(item.children)
        elif isinstance(item, Text):
            told.append(item.words)
    return told


def test_parts_add_up_and_only_what_is_not_as_usual_is_told_by_itself() -> None:
    scene = sample("double-garage").scene
    counted = take_off(scene)
    paid = counted.lines[0]
    money = Money(entries=(Entry(id=paid.key, standing="bought", minor=12345),))
    plan = scene.plan.model_copy(update={"money": money})
    made = costs(build_scene(plan), counted)
    told = words_of(costs_sheet(plan, made).pages[0].items)
    assert any(words.startswith(paid.item) and "paid, own price" in words for words in told)
    assert not any(words.startswith(counted.lines[1].item) for words in told)
    parts = dict.fromkeys(line.part for line in made.lines if line.group == "fit-out")
    sums = [made.sum_of(group="fit-out", part=part) for part in parts]
    assert sum(sums) == made.sum_of(group="fit-out")
    for part, minor in zip(parts, sums, strict=True):
        at = next(i for i, words in enumerate(told) if words.startswith(f"{part}, "))
        assert told[at + 1] == format_money(minor, plan.currency)


def test_what_holds_other_things_is_told_to_be_priced_without_them() -> None:
    of = sample("double-garage")
    for which in ("costs", "kit"):
        told = " ".join(w for page in sheet(of, which).pages for w in words_of(page.items))
        # the library's rows that hold: by its own flag, read off by hand
        for name in ("dumbbell rack of 2 tiers", "kettlebell shelf", "plate tree"):
            assert name in told.partition("What is put on or into: ")[2]
    bare = sample("basement")
    holding = [p.kit.name for p in bare.scene.order if p.kit.holds and not p.piece.stays]
    told = " ".join(words_of(sheet(bare, "costs").pages[0].items))
    assert bool(holding) == ("What is put on or into" in told)


def test_the_cover_says_beside_the_sum_what_is_not_in_it() -> None:
    of = sample("double-garage")
    known = dict(known_figures(of.scene.plan, of.account.costs, None))
    assert known["all of it together"] == format_money(
        of.account.costs.gross_minor, of.scene.plan.currency
    )
    # the library's rows that hold, by its own flag, and the lamps somebody connects: read by hand
    for name in ("dumbbell rack of 2 tiers", "kettlebell shelf", "plate tree", "electrician"):
        assert name in known["not in that sum"]
    bare = build_scene(make_plan(place("flat-bench", 2000, 2000)))
    figures = dict(known_figures(bare.plan, costs(bare, take_off(bare)), None))
    assert "all of it together" in figures
    assert "not in that sum" not in figures or "on or into" not in figures["not in that sum"]
