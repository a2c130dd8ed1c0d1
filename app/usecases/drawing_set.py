"""The sheets of a plan by their names, one by one or all as the set."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date

from app.checks.headroom import person_name
from app.costs.cost import PIECE
from app.drawing.floor_sheet import floor_sheet
from app.drawing.paper import paper_of
from app.drawing.picture_sheet import picture_sheet
from app.drawing.picture_view import CORNERS
from app.drawing.plan_sheet import people_words, plan_sheet, snag_row
from app.drawing.primitives import Group, Item, Strokes
from app.drawing.quantities_sheet import quantities_sheet
from app.drawing.sharing import Bound, bound
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.sheets.costs import costs_sheet
from app.drawing.sheets.cover import Listed, cover_sheet, known_figures
from app.drawing.sheets.headroom import headroom_sheet
from app.drawing.sheets.kit import costs_and_kit_sheet, kit_sheet
from app.drawing.sheets.months import months_sheet, nothing_to_spend
from app.drawing.sheets.power import power_sheet
from app.drawing.sheets.sections import sections_sheet
from app.drawing.sheets.setting_out import setting_out_sheet
from app.drawing.sheets.templates import has_templates, templates_sheet
from app.drawing.sheets.walls import walls_sheet
from app.drawing.works_sheet import works_sheet
from app.errors import NotFoundError, PlanError
from app.model.phasing import month_of
from app.model.plan import Plan
from app.model.works import day_words
from app.published.register import overridden
from app.recent import Recent
from app.scene.build import build_scene
from app.store.entries import State
from app.store.flags import numbered
from app.usecases.accounts import Account, account_of
from app.usecases.judged import Judged, find
from app.usecases.lookers import for_lookers
from app.usecases.plans import Elbowroom
from app.usecases.sheet_subjects import Subjects
from app.works.goal import has_purse
from app.works.months import month_words
from app.works.task import WorksError

SET = "set"
TEMPLATES = "templates"
CORNER_NAMES = frozenset(str(corner) for corner in range(CORNERS))
"""What a picture's name may say after the colon: from which corner it is seen."""
SHEETS_AT_MOST = 6
"""Sheets that are remembered: a page asks for each of its pictures by itself."""

SHEETS_BYTES = 64_000_000
"""What they hold together, by `_sheet_bytes`: a set of a hall of 300 pieces is some 20 MB."""

_BYTES_AN_ITEM = 500
"""What one primitive holds with its points and words, as measured for a plan sheet."""
UPRIGHT = frozenset({"quantities", "costs", "kit", "months", "templates"})
"""Sheets that are usually printed on the smaller paper: of words alone, or in full size."""

MONEY = frozenset({"costs", "months"})
"""Sheets of the household's purse."""


Draw = Callable[[Subjects, str, int | None, str], Sheet]
"""Draws a sheet on a paper, at a scale or the largest, of what its name says after the colon."""


def _plan(all_of: Subjects, paper: str, scale: int | None, which: str) -> Sheet:
    still, shut = all_of.snags()
    units, numbers = all_of.plan.units, all_of.judged.numbers
    return plan_sheet(
        all_of.scene,
        still,
        paper=paper,
        scale=scale,
        flags=all_of.flags,
        numbers=numbers,
        fields=all_of.fields,
        settled=[(numbers[s.key], f"{s.who}: {s.worded(units)}") for s in shut],
    )


def _setting_out(all_of: Subjects, paper: str, scale: int | None, which: str) -> Sheet:
    return setting_out_sheet(all_of.scene, paper=paper, scale=scale, fields=all_of.fields)


def _section(all_of: Subjects, paper: str, scale: int | None, which: str) -> Sheet:
    return sections_sheet(all_of.scene, which, paper=paper, scale=scale, fields=all_of.fields)


def _walls(all_of: Subjects, paper: str, scale: int | None, which: str) -> Sheet:
    return walls_sheet(all_of.scene, paper=paper, scale=scale, fields=all_of.fields)


def _headroom(all_of: Subjects, paper: str, scale: int | None, which: str) -> Sheet:
    return headroom_sheet(all_of.scene, paper=paper, scale=scale, fields=all_of.fields)


def _power(all_of: Subjects, paper: str, scale: int | None, which: str) -> Sheet:
    counted = all_of.account.take_off
    return power_sheet(all_of.scene, counted, paper=paper, scale=scale, fields=all_of.fields)


def _floor(all_of: Subjects, paper: str, scale: int | None, which: str) -> Sheet:
    layout = all_of.account.layout(which, compare=True)
    return floor_sheet(all_of.scene, layout, paper=paper, scale=scale, fields=all_of.fields)


def _quantities(all_of: Subjects, paper: str, scale: int | None, which: str) -> Sheet:
    account = all_of.account
    return quantities_sheet(
        account.plan, account.take_off,
        prices=all_of.prices, paper=paper, fields=all_of.fields,
    )  # fmt: skip


def _costs(all_of: Subjects, paper: str, scale: int | None, which: str) -> Sheet:
    return costs_sheet(all_of.plan, all_of.account.costs, paper=paper, fields=all_of.fields)


def _kit(all_of: Subjects, paper: str, scale: int | None, which: str) -> Sheet:
    return kit_sheet(
        all_of.scene, all_of.account.costs, _ordered_by(all_of),
        money=all_of.prices, paper=paper, fields=all_of.fields,
    )  # fmt: skip


def _costs_and_kit(all_of: Subjects, paper: str) -> Sheet:
    when = _ordered_by(all_of)
    return costs_and_kit_sheet(
        all_of.scene, all_of.account.costs, when, paper=paper, fields=all_of.fields
    )


def _ordered_by(all_of: Subjects) -> dict[str, str]:
    """Return by its id when each piece is bought: in which month, else the last day to order it.

    What is to be ordered is told to whoever may change the plan: to others nothing.
    """
    if not all_of.fields.statures:
        return {}
    when: dict[str, str] = {}
    answer = all_of.works.answer
    for order in answer.orders if answer is not None else ():
        when |= dict.fromkeys(order.lines, f"order by {day_words(order.order_by)}")
    with suppress(PlanError):
        for month in all_of.account.months(month_of(date.today()), all_of.works.ready).months:
            for thing in month.buys:
                keys = [PIECE + piece for piece in thing.pieces]
                when |= dict.fromkeys(keys, f"in {month_words(month.month)}")
    return {key.removeprefix(PIECE): words for key, words in when.items()}


def _months(all_of: Subjects, paper: str, scale: int | None, which: str) -> Sheet:
    plan, fields = all_of.plan, all_of.fields
    try:
        answer = all_of.account.months(month_of(date.today()), all_of.works.ready)
    except PlanError as error:
        return nothing_to_spend(plan, error.sentence, paper=paper, fields=fields)
    people = {one.id: person_name(one, plan.units) for one in plan.people}
    return months_sheet(plan, answer, people, paper=paper, fields=fields)


def _works(all_of: Subjects, paper: str, scale: int | None, which: str) -> Sheet:
    known = all_of.works
    if known.answer is None:
        raise WorksError(known.fault)
    # what is to be ordered is told to whoever may change the plan
    money = all_of.fields.statures
    return works_sheet(
        known.answer, paper=paper, fields=all_of.fields, money=money, paid=all_of.paid
    )


def _picture(all_of: Subjects, paper: str, scale: int | None, which: str) -> Sheet:
    corner = int(which) if which in CORNER_NAMES else 0
    return picture_sheet(
        all_of.picture_from(corner), paper=paper, scale=scale, fields=all_of.fields
    )


def _templates(all_of: Subjects, paper: str, scale: int | None, which: str) -> Sheet:
    layouts = [all_of.account.layout(one.id) for one in all_of.plan.fit_out.floors]
    return templates_sheet(all_of.scene, layouts, paper=paper, fields=all_of.fields)


DRAWN: dict[str, tuple[str, Draw]] = {
    "plan": ("Plan", _plan),
    "picture": ("Picture", _picture),
    "setting-out": ("Setting out", _setting_out),
    "section": ("Sections", _section),
    "walls": ("Walls from inside", _walls),
    "headroom": ("Headroom", _headroom),
    "power": ("Ceiling, light and power", _power),
    "floor": ("Floor", _floor),
    "quantities": ("Quantities", _quantities),
    "costs": ("Costs", _costs),
    "kit": ("Kit", _kit),
    "works": ("Works", _works),
    "months": ("Months", _months),
    TEMPLATES: ("Templates", _templates),
}
"""Every sheet in the order of the set, with its name."""


def names_of(plan: Plan, money: bool = True) -> list[tuple[str, str]]:
    """Return the sheets that a plan has, by key and name; those of its floors one by one."""
    names: list[tuple[str, str]] = []
    without = {"" if has_templates(plan) else TEMPLATES, "" if has_purse(plan) else "months"}
    for key, (name, _) in DRAWN.items():
        if key == "floor":
            names += [(f"floor:{one.id}", f"Floor: {one.name}") for one in plan.fit_out.floors]
        elif (money or key not in MONEY) and key not in without:
            names.append((key, name))
    return names


def usual_paper(units: str, which: str) -> str:
    """Return the paper that a sheet is drawn on where nobody chose one."""
    if which.partition(":")[0] in UPRIGHT:
        return "Letter" if units == "feet" else "A4"
    return "Tabloid" if units == "feet" else "A3"


def draw_named(
    all_of: Subjects, which: str, paper: str, scale: int | None, chosen: Sequence[str] = ()
) -> Sheet:
    """Draw a sheet by its name, such as "plan" or "floor:floor-2", or the set of `chosen` sheets.

    Raises SheetError for a paper or scale that is none, NotFoundError for a sheet that is none.
    """
    key, _, part = which.partition(":")
    if key in MONEY and not all_of.money:
        raise NotFoundError("There is no such sheet.")
    with overridden({one.id: one.value for one in all_of.plan.overrides}):
        if key == SET:
            return _set(all_of, paper, chosen)
        if key not in DRAWN:
            raise NotFoundError("There is no such sheet.")
        return DRAWN[key][1](all_of, paper, scale, part)


def _set(all_of: Subjects, paper: str, chosen: Sequence[str]) -> Sheet:
    """Draw the cover and the chosen sheets, else all of them, numbered through."""
    names = names_of(all_of.plan, all_of.money)
    # in full size, and on many sheets: into the set only where somebody asks for it
    some = [(k, name) for k, name in names if (k in chosen if chosen else k != TEMPLATES)]
    drawn = []
    under = replace(all_of, fields=replace(all_of.fields, cover=True))
    both = all_of.prices and {"costs", "kit"} <= {key for key, _ in some}
    for key, name in some:
        kind, _, part = key.partition(":")
        if both and kind in ("costs", "kit"):
            # two short lists share a sheet
            if kind == "costs":
                drawn.append(("Costs and kit", _costs_and_kit(under, paper)))
            continue
        if kind == "picture" and not part:
            # the cover shows the room from the first corner
            part = str(all_of.other_corner)
        try:
            drawn.append((name, DRAWN[kind][1](under, paper, None, part)))
        except WorksError:
            # works that cannot be planned yet are left out of the set, not all of it
            continue
    still, _ = all_of.snags()
    numbers, units = all_of.judged.numbers, all_of.plan.units
    rows = [snag_row(numbers[snag.key], snag, units) for snag in still]
    people, keys = people_words(all_of.scene, all_of.fields.statures), [key for key, _ in some]
    more = known_figures(
        all_of.plan,
        all_of.account.costs if "costs" in keys else None,
        under.works.answer if "works" in keys else None,
        under.paid if "works" in keys else None,
    )

    pages, firsts = bound([sheet for _, sheet in drawn])

    def cover(before: int) -> Sheet:
        listed = []
        for (name, sheet), at in zip(drawn, firsts, strict=True):
            # a picture has none to measure by
            true = sheet.scale > 1 and not sheet.pictorial
            listed.append(Listed(str(before + at + 1), name, f"1:{sheet.scale}" if true else "–"))
        if not chosen and has_templates(all_of.plan):
            # there are some, though nobody finds them here
            listed.append(Listed("–", "Templates, printed by themselves", "1:1"))
        return cover_sheet(
            all_of.first_picture, listed, rows, people, more, paper=paper, fields=all_of.fields
        )

    first = cover(1)
    if len(first.pages) > 1:
        first = cover(len(first.pages))
    before = len(first.pages)
    every = [*(Bound(page) for page in first.pages), *pages]
    return Sheet(
        tuple(
            one.page.numbered(
                f"{i + 1} of {len(every)}",
                str(before + one.goes_on + 1) if one.goes_on is not None else "",
            )
            for i, one in enumerate(every)
        ),
        paper_of(paper).key,
        first.scale,
    )


def fields_of(state: State, statures: bool = True) -> TitleFields:
    """Return what the title block says of a plan as it stands today."""
    revision = str(state.revision) if state.plan_id else ""
    return TitleFields(revision, date.today().isoformat(), statures=statures)


@dataclass(frozen=True, slots=True)
class Asked:
    """A sheet as somebody asks for it; `of` are the sheets of a set, none meaning all.

    `money`: with the sheets of the purse; `prices`: with what things cost, on sheets of all.
    """

    which: str
    paper: str
    scale: int | None
    flags: bool = False
    of: tuple[str, ...] = ()
    statures: bool = True
    money: bool = True
    prices: bool = True


def _sheet_bytes(sheet: Sheet) -> int:
    return sum(_count(page.ground) for page in sheet.pages) * _BYTES_AN_ITEM


def _count(items: Sequence[Item]) -> int:
    """Count primitives; of hatching each stroke."""
    count = 0
    for item in items:
        match item:
            case Group():
                count += _count(item.children)
            case Strokes():
                count += len(item.lines)
            case _:
                count += 1
    return count


def sheet_of_plan(house: Elbowroom, plan_id: str, asked: Asked) -> Sheet:
    """Draw a sheet of the newest revision; the last few are remembered, page by page asked for.

    Raises as `draw_named` does.
    """
    judged = house.judged(plan_id)
    today = date.today().isoformat()
    known: Recent[tuple[object, ...], Sheet] = house.memory(
        "sheets", SHEETS_AT_MOST, SHEETS_BYTES, _sheet_bytes
    )
    key = (plan_id, judged.state.revision, asked, today)
    sheet = known.get(key)
    if sheet is None:
        _, account = account_of(house, plan_id)
        seen = judged if asked.statures else for_lookers(judged)
        fields = fields_of(judged.state, asked.statures)
        all_of = Subjects(seen, account, fields, asked.flags, asked.money, asked.prices)
        sheet = draw_named(all_of, asked.which, asked.paper, asked.scale, asked.of)
        known.put(key, sheet)
    return sheet


def sheet_of_file(
    plan: Plan, which: str, paper: str, scale: int | None, flags: bool = True
) -> Sheet:
    """Draw a sheet of a plan that is not kept anywhere. Raises as `draw_named` does."""
    findings = find(build_scene(plan))
    numbers = numbered((snag.key for snag in findings.snags), {})
    state = State("", plan, 0, None, None)
    judged = Judged(state, findings, numbers)
    all_of = Subjects(judged, Account(plan, findings.scene), fields_of(state), flags)
    return draw_named(all_of, which, paper, scale)
