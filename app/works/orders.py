"""Orders: by which day each thing must be ordered, when it arrives, where it stands meanwhile."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.costs.cost import PIECE, CostLine
from app.library.parcels import parcels
from app.model.works import Delivery, Works, day_words
from app.published.register import published
from app.scene.build import Scene
from app.takeoff.line import PART_NAMES, Line
from app.takeoff.shopping import shop_of
from app.wording import lower
from app.works.at_hand import Group, days_at_hand, pool
from app.works.kit_tasks import NO_PARCEL, build_id
from app.works.lives import HORIZON_DAYS, workdays_after, workdays_before
from app.works.packing import Thing
from app.works.programme import Programme
from app.works.splitting import finds_room
from app.works.task import Task

TRADE = "trade."
"""What the line of a visit by a licensed trade begins with."""
IN_DUST_AND_PAINT = frozenset(
    {"ceil-coat", "wall-coat", "stabilise", "mural", "floor-coat", "floor-two", "scrape", "wash",
     "degrease", "floor-mend", "anchors", "insul-ceil", "insul-wall", "joint"}
)  # fmt: skip
"""Kinds of task in which nothing new stands about."""
IN_PERSON = "be there and show the places"
MACHINES = "Machines"
FETCHED = "fetched from the shop: a delivery comes too late"
DRY_STORE = "indoors, dry and free of frost"


@dataclass(frozen=True, slots=True)
class Order:
    """One order: its lines, the last day for it, when it arrives, when it is needed and where.

    `late` is by how many days it would be late if ordered today. `returns_until` is the last day
    to send it back.
    """

    line: str
    name: str
    lines: tuple[str, ...]
    order_by: date
    arrives: date
    needed: date
    place: str
    lead_workdays: int
    sum_minor: int | None
    returns_until: date
    people: int
    standing: str
    late_days: int = 0
    short: str = ""
    """Its name where there is little room: the first of it and how many more."""
    items: tuple[str, ...] = ()
    """What is in it, thing by thing."""

    @property
    def settled(self) -> bool:
        """Whether it is ordered, here or owned already."""
        return self.standing != "to-come"

    @property
    def unnamed(self) -> tuple[str, ...]:
        """What is in it where its name does not say all of that, else nothing."""
        return self.items if any(item not in self.name for item in self.items) else ()

    @property
    def is_fetched(self) -> bool:
        """Whether it is fetched by hand because a delivery would come too late."""
        return self.place == FETCHED

    @property
    def is_visit(self) -> bool:
        """Whether somebody comes, and nothing is delivered."""
        return self.line.startswith(TRADE)


def lead_words(order: Order) -> str:
    """Say how long before its day something is asked for."""
    if order.is_visit:
        return f"Ask {order.lead_workdays} workdays ahead"
    return f"Delivery takes {order.lead_workdays} workdays"


def lead_of(scene: Scene, line: str, delivery: Delivery | None) -> int:
    """Return the workdays that delivery of a line takes: as typed, else as usual for its kind."""
    if delivery is not None and delivery.lead_workdays is not None:
        return delivery.lead_workdays
    kind = _kind(scene, line)
    if kind == "trade":
        return round(published("works.trade.wait-workdays"))
    return round(published(f"works.lead.{kind}-workdays"))


def _kind(scene: Scene, line: str) -> str:
    if line.startswith(TRADE):
        return "trade"
    if line.startswith(PIECE):
        placed = scene.placed.get(line.removeprefix(PIECE))
        if placed is not None and placed.kit.key == "mirror":
            return "mirror"
        if placed is not None and placed.kit.group == MACHINES:
            return "machine"
        return "kit"
    if line.startswith("floor."):
        return "floor"
    return "mirror" if line.startswith("mirror") else "small"


def arrivals(
    scene: Scene, tasks: Iterable[Task], begins: date, costs: Iterable[CostLine]
) -> dict[str, date]:
    """Return the first day on which each line can be there, if it is ordered when works begin.

    What is bought or owned is there; what is on its way comes when it was said to.
    """
    works = scene.plan.works
    deliveries = {one.id: one for one in works.deliveries}
    standing = {line.key: line.standing for line in costs}
    days: dict[str, date] = {}
    for line in {line for task in tasks for line in task.lines}:
        delivery = deliveries.get(line)
        if delivery is not None and delivery.arrives_on is not None:
            days[line] = delivery.arrives_on
        elif standing.get(line, "to-come") in ("to-come", "committed"):
            from_day = delivery.ordered_on if delivery and delivery.ordered_on else begins
            soonest = workdays_after(from_day, lead_of(scene, line, delivery), works)
            days[line] = somebody_there(soonest, works)
    return days


def somebody_there(day: date, works: Works) -> date:
    """Return the first workday from one on that is none of the days on which nobody is there."""
    for _ in range(HORIZON_DAYS):
        if not works.is_off(day):
            break
        day = workdays_after(day, 1, works)
    return day


def _comes_before(day: date, works: Works) -> date:
    """Return when a delivery comes for a day: the workday before it that finds somebody there.

    Days off may lie between: then on the day itself where that is a workday, else before them.
    """
    before = workdays_before(day, 1, works)
    itself = workdays_before(day + timedelta(days=1), 1, works)
    if works.is_off(before) and itself == day and not works.is_off(day):
        return day
    for _ in range(HORIZON_DAYS):
        if not works.is_off(before):
            break
        before = workdays_before(before, 1, works)
    return before


def overdue(works: Works, costs: Iterable[CostLine], today: date) -> Iterator[str]:
    """Yield a sentence for each thing that was to have come before today and is not down as here.

    Until something else is said it is taken to come today.
    """
    lines = {line.key: line for line in costs}
    for one in works.deliveries:
        line = lines.get(one.id)
        if line is None or one.arrives_on is None or one.arrives_on >= today:
            continue
        if line.standing in ("to-come", "committed"):
            yield (
                f"{line.item} was to come on {day_words(one.arrives_on)}, and that day is past. "
                "Say that it has come, or the new day."
            )


def orders(
    scene: Scene, made: Programme, costs: Iterable[CostLine], listed: Iterable[Line] = ()
) -> tuple[Order, ...]:
    """Return the orders of a programme by their last day; what is needed at once comes at once.

    What a task only has at hand comes with what else is had from its kind of shop before that;
    `listed` are the lines of the list of quantities. Kit that no task names comes for the first
    training, so that whatever is bought now stands in an order.
    """
    by_key = {line.key: line for line in costs}
    needed: dict[str, tuple[date, str]] = {}
    for one in made.tasks:
        if one.done:
            continue
        for line in one.task.lines:
            day = one.starts.date()
            if line not in needed or day < needed[line][0]:
                needed[line] = day, one.task.id
    shops = {line.key: shop_of(line) for line in listed if line.key in by_key}

    def group_of(line: str, day: date) -> Group:
        return day, _kind(scene, line), shops.get(line, ""), _known(made.works, line)

    groups: dict[Group, list[str]] = {}
    for line, (day, _) in needed.items():
        if line.startswith(TRADE) or (line in by_key and by_key[line].standing != "owned"):
            groups.setdefault(group_of(line, day), []).append(line)
    wanted = [line for line in shops if by_key[line].standing != "owned"]
    days = days_at_hand(made, [line for line in wanted if line not in needed])
    named = {line for one in made.tasks for line in one.task.lines}
    days |= {
        line.key: made.first_training
        for line in by_key.values()
        if line.group == "kit" and line.is_bought_now and line.key not in named
    }
    pool(groups, days, group_of)
    every_order = [
        _order(scene, made, day, kind, lines, by_key) for (day, kind, _, _), lines in groups.items()
    ]
    return tuple(sorted(every_order, key=lambda order: (order.order_by, order.line)))


def beyond_returns(made: Programme, every_order: Iterable[Order]) -> Iterator[str]:
    """Yield a sentence for each order of which something is built too late to be sent back."""
    begins = {one.task.id: one.starts.date() for one in made.tasks if not one.done}
    for order in every_order:
        if order.arrives < made.today:
            continue
        late = max(
            (
                begins[task_id]
                for line in order.lines
                if (task_id := build_id(line.removeprefix(PIECE))) in begins
            ),
            default=order.returns_until,
        )
        if late > order.returns_until:
            yield (
                f"{order.short}: may go back until {day_words(order.returns_until)}, and some of "
                f"it is built on {day_words(late)} or after. Open all of it on the day it comes "
                "and look, or have it come later."
            )


def _known(works: Works, line: str) -> str:
    """Return the line itself where something is said of its delivery: then it comes alone."""
    alone = line.startswith(TRADE) or any(one.id == line for one in works.deliveries)
    return line if alone else ""


def _order(
    scene: Scene,
    made: Programme,
    day: date,
    kind: str,
    lines: list[str],
    by_key: dict[str, CostLine],
) -> Order:
    delivery = next((one for one in made.works.deliveries if one.id == lines[0]), None)
    lead = max(lead_of(scene, line, delivery) for line in lines)
    visit = kind == "trade"
    slack = 0 if visit else round(published("works.lead.slack-workdays"))
    # a delivery is there the workday before, a trade comes on the day itself
    before = day if visit else _comes_before(day, made.works)
    order_by = workdays_before(before, lead + slack, made.works)
    if made.works.is_off(order_by):
        # who is away orders before that
        order_by = _comes_before(order_by, made.works)
    arrives, late = before, 0
    if order_by < made.today:
        order_by = made.today
        soonest = somebody_there(workdays_after(made.today, lead, made.works), made.works)
        arrives, late = min(soonest, day), max((soonest - before).days, 0)
    awaited = {line for one in made.tasks for line in one.task.lines}
    fetched = late > 0 and not awaited.intersection(lines)
    if fetched:
        # nothing waits for what is only at hand: it is there when the work begins
        late = 0
    if delivery is not None and delivery.ordered_on is not None:
        order_by = delivery.ordered_on
    if delivery is not None and delivery.arrives_on is not None:
        arrives = delivery.arrives_on
    priced = [by_key[line] for line in lines if line in by_key]
    sums = [line.asked_minor for line in priced]
    place = delivery.place if delivery is not None else ""
    standing = priced[0].standing if priced else "to-come"
    if visit and delivery is not None and (delivery.ordered_on or delivery.arrives_on):
        standing = "committed"
    return Order(
        line=lines[0],
        name=_visit(made, lines[0]) if visit else _name(kind, priced),
        lines=tuple(lines),
        order_by=order_by,
        arrives=arrives,
        needed=day,
        place=place
        or (
            IN_PERSON
            if visit
            else FETCHED
            if fetched
            else _place(scene, made, kind, arrives, lines)
        ),
        lead_workdays=lead,
        sum_minor=None if None in sums or not sums else sum(one or 0 for one in sums),
        returns_until=arrives
        + timedelta(days=0 if visit else round(published("works.returns-days"))),
        people=_people(scene, lines),
        standing=standing,
        late_days=late,
        short=_visit(made, lines[0]) if visit else _name("small", priced),
        items=() if visit else tuple(dict.fromkeys(map(_line_name, priced))),
    )


def _name(kind: str, lines: list[CostLine]) -> str:
    names = [_line_name(line) for line in lines]
    if kind == "small" and len(names) > 2:
        return f"{names[0]} and {len(names) - 1} more"
    return ", ".join(names)


def _visit(made: Programme, line: str) -> str:
    """Call a visit by who comes and what for."""
    of = [one for one in made.tasks if line in one.task.lines]
    names = ", ".join(lower(one.task.name) for one in of)
    return f"{TRADES[of[0].task.who]}: {names}"


TRADES = {"elec": "Electrician", "trade": "Skilled trade", "own": "Your own hands"}


def _line_name(line: CostLine) -> str:
    """Call a line by what it is, and by where it goes where that is one place."""
    one_place = line.part == PART_NAMES["paint"] and "," not in line.where
    return f"{line.item}, {line.where}" if one_place and line.where else line.item


def _people(scene: Scene, lines: list[str]) -> int:
    most = 1
    for line in lines:
        placed = scene.placed.get(line.removeprefix(PIECE))
        if placed is not None and placed.kit.key not in NO_PARCEL:
            mass = placed.piece.mass_kg or placed.kit.mass_kg
            most = max(most, 2 if mass > published("works.receive.kg") else 1)
    return most


def _place(scene: Scene, made: Programme, kind: str, arrives: date, lines: Sequence[str]) -> str:
    """Return where it stands until it is used: in the room once its floor is free and dry.

    That it finds room there, beside what stays and with a way to the door, is tried.
    """
    if kind == "small":
        return DRY_STORE
    busy = [
        (one.starts.date(), (one.dry or one.ends).date())
        for one in made.tasks
        if one.task.kind in IN_DUST_AND_PAINT
    ]
    if any(start <= arrives <= end for start, end in busy):
        return "in the house: in the room it would stand in wet paint or dust"
    if busy and arrives <= max(end for _, end in busy):
        return "in the house: the room is not ready for it"
    if not finds_room(scene, _parcels(scene, lines)):
        return "in the house: in the room it would stand in the way to the door"
    return "in the room, along a wall, the way to the door free"


def _parcels(scene: Scene, lines: Sequence[str]) -> list[Thing]:
    """Return what is delivered as boxes on the floor, each on its largest side but one."""
    things: list[Thing] = []
    for line in lines:
        placed = scene.placed.get(line.removeprefix(PIECE))
        if placed is None:
            continue
        parcel = parcels().get(placed.kit.key)
        extent = placed.extent
        size = (extent.width_mm, extent.depth_mm, extent.height_mm)
        long, wide, high = sorted(size if parcel is None else parcel.box(extent), reverse=True)
        things.append(Thing(line, placed.name, long, min(wide, high), max(wide, high)))
    return things
