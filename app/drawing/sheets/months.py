"""Money by month on paper: what is bought in which month, what one can train from when."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from app.drawing.composed import Subject
from app.drawing.flow import Block, Entry, Words
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.table_cells import Cells
from app.drawing.word_sheet import worded
from app.model.plan import Plan
from app.model.works import day_words
from app.units import format_money
from app.works.months import Month, Months, by_movement, from_when, month_words

SUBJECT = Subject("months", "Months", "cost list")
_SHARES, _RIGHT = (0.7, 0.3), (False, True)
_NO_PROOF = "There may be a better order than this one: the search was ended before its proof."


def months_sheet(
    plan: Plan,
    answer: Months,
    people: Mapping[str, str],
    *,
    paper: str = "A4",
    fields: TitleFields | None = None,
) -> Sheet:
    """Letter the purchases month by month; `people` are names by id. Raises SheetError."""
    blocks = [
        Block(month_words(one.month), tuple(_month(answer, one, people)))
        for one in answer.months
        if one.buys or one.new
    ]
    later = [f"{thing.name}: not within these months" for thing in answer.beyond]
    later += [f"{thing.name}: left out" for thing in answer.left_out]
    later += [f"{item}: no price yet, not in the sums" for item in answer.unpriced]
    if later:
        blocks.append(Block("Not in these months", tuple(map(Words, later))))
    mind = [f"{one}." for one in answer.problems] + ([] if answer.proven else [_NO_PROOF])
    if mind:
        blocks.append(Block("To mind", tuple(map(Words, mind))))
    if answer.first_training is not None:
        day = f"On {day_words(answer.first_training)}, with this money and the hours you have."
        blocks.insert(0, Block("Room ready", (Words(day, "small-bold"),)))
    total = (("All of it", _money(answer, answer.total_minor)),)
    blocks.append(
        Block("What it comes to", tuple(Cells(row, _SHARES, _RIGHT, "small-bold") for row in total))
    )
    return worded(plan, SUBJECT, blocks, paper=paper, fields=fields)


def nothing_to_spend(plan: Plan, why: str, *, paper: str, fields: TitleFields | None) -> Sheet:
    """Return the sheet of a plan whose purse is not known yet, which says so."""
    return worded(plan, SUBJECT, [Block("Months", (Words(why),))], paper=paper, fields=fields)


def _month(answer: Months, one: Month, people: Mapping[str, str]) -> Iterator[Entry]:
    for thing in one.buys:
        name = f"{thing.name} (on nobody's list of wishes)" if thing.is_no_wish else thing.name
        yield Cells((name, _money(answer, thing.minor)), _SHARES, _RIGHT)
    left = one.there_is_minor - one.spent_by_then_minor
    yield Cells(("left at the end of the month", _money(answer, left)), _SHARES, _RIGHT, "size")
    if one.missing_minor:
        yield Words(
            f"{_money(answer, one.missing_minor)} more than there is by then.", "small-bold"
        )
    day = from_when(one.month, answer.first_training)
    since = "From now" if day is None else f"From {day_words(day)}"
    for movement, names in by_movement(one.new, people).items():
        yield Words(f"{since}: {movement}, {' and '.join(names)}.")


def _money(answer: Months, minor: int) -> str:
    return format_money(minor, answer.currency)
