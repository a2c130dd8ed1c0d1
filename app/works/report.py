"""The works as JSON data and as lines of text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from app.works.goal import goal_name, has_purse
from app.works.moves import move_sentences, moves
from app.works.orders import Order
from app.works.programme import Dated, Programme, hours_words, own_words, trade_words
from app.works.works import WorksAnswer

WHO = {"own": "you", "elec": "electrician", "trade": "skilled trade"}


def who_words(one: Dated) -> str:
    """Say who does a task: "you", "two of you", "electrician"."""
    if one.task.who != "own":
        return WHO[one.task.who]
    people = max((stretch.people for stretch in one.stretches), default=one.task.least)
    return "you" if people < 2 else f"{_count(people)} of you"


def _count(people: int) -> str:
    words = {2: "two", 3: "three", 4: "four"}
    return words.get(people, str(people))


def as_json(answer: WorksAnswer) -> dict[str, Any]:
    """Return the works as JSON data: naive local times, whole minor units."""
    made = answer.programme
    return {
        "tasks": [_task(one) for one in made.tasks],
        "orders": [_order(order) for order in answer.orders],
        "stages": [
            {
                "from": stage.starts.isoformat(timespec="minutes"),
                "to": stage.ends.isoformat(timespec="minutes"),
                "area": [[round(x, 1), round(y, 1)] for x, y in stage.outline],
                "name": stage.name,
                "places": [
                    {
                        "id": place.id,
                        "name": place.name,
                        "x_mm": round(place.x_mm, 1),
                        "y_mm": round(place.y_mm, 1),
                        "angle_deg": place.angle_deg,
                        "width_mm": place.width_mm,
                        "depth_mm": place.depth_mm,
                    }
                    for place in stage.places
                ],
                "way_mm": None if stage.way_mm is None else round(stage.way_mm),
                "painted": [day.isoformat() for day in stage.painted],
            }
            for stage in answer.stages
        ],
        "first_training": made.first_training.isoformat(),
        "not_before": made.not_before.isoformat(),
        "moves": [
            {
                "what": move.what,
                "first_training": move.first_training and move.first_training.isoformat(),
                "days": move.days,
                "tasks_later": move.later,
            }
            for move in moves(answer)
        ],
        "own_hours": round(made.own_hours, 1),
        "practised_hours": round(made.practised_hours, 1),
        "trade_hours": round(made.trade_hours, 1),
        "spare_days": [day.isoformat() for day in made.spare],
        "year_after": [
            {"id": one.id, "on": one.on.isoformat(), "name": one.name, "caution": one.caution}
            for one in answer.year_after
        ],
        "problems": list(answer.problems),
        "says": list(answer.says),
    }


def _task(one: Dated) -> dict[str, Any]:
    task = one.task
    return {
        "id": task.id,
        "name": task.name,
        "group": task.group,
        "why": task.why,
        "starts": one.starts.isoformat(timespec="minutes"),
        "ends": one.ends.isoformat(timespec="minutes"),
        "dry": None if one.dry is None else one.dry.isoformat(timespec="minutes"),
        "hours": task.hours,
        "quantity": task.quantity,
        "unit": task.unit,
        "critical": one.critical,
        "float_hours": round(one.can_wait.total_seconds() / 3600, 1),
        "earliest": (one.earliest or one.starts).isoformat(timespec="minutes"),
        "latest": one.latest.isoformat(timespec="minutes"),
        "after": [link.id for link in task.after],
        "who": who_words(one),
        "caution": task.caution,
        "done": one.done,
    }


def _order(order: Order) -> dict[str, Any]:
    return {
        "line": order.line,
        "lines": list(order.lines),
        "name": order.name,
        "order_by": order.order_by.isoformat(),
        "arrives": order.arrives.isoformat(),
        "needed": order.needed.isoformat(),
        "place": order.place,
        "people": order.people,
        "sum_minor": order.sum_minor,
        "returns_until": order.returns_until.isoformat(),
    }


def as_text(answer: WorksAnswer) -> Iterator[str]:
    """Return the works as lines to read on a console."""
    made = answer.programme
    goal = goal_name(answer.scene.plan).capitalize()
    yield (
        f"{goal}: {made.first_training.day} {made.first_training:%B %Y}; "
        f"{own_words(made)}{trade_words(made)}"
    )
    if has_purse(answer.scene.plan):
        yield "What your money allows by then, and what comes later: phases"
    yield from _tasks(made)
    for order in answer.orders:
        late = f", {order.late_days} days late" if order.late_days else ""
        if order.is_visit:
            yield (
                f"Book by {order.order_by:%a %d %b}: {order.name}; comes "
                f"{order.arrives:%a %d %b}{late}; {order.place}"
            )
            continue
        yield (
            f"Order by {order.order_by:%a %d %b}: {order.name}; here {order.arrives:%a %d %b}"
            f"{late}, {order.place}"
        )
        if order.unnamed:
            yield f"  {'; '.join(order.unnamed)}"
    for stage in answer.stages:
        painted = ", ".join(f"{day:%a %d %b}" for day in stage.painted)
        coats = f"; coats on {painted}" if painted else ""
        yield f"{stage.starts:%a %d %b} to {stage.ends:%a %d %b}: {stage.name}{coats}"
        for place in stage.places:
            yield f"  {place.name} at ({place.x_mm:.0f}, {place.y_mm:.0f})"
    yield "What moves the date"
    yield from (f"  {sentence}" for sentence in move_sentences(moves(answer), answer))
    yield from answer.problems
    yield from answer.says


def _tasks(made: Programme) -> Iterable[str]:
    group = ""
    for one in made.tasks:
        if one.task.group != group:
            group = one.task.group
            yield group
        if not one.task.hours:
            # a day on which something is so, with no work in it
            yield f"  {one.starts:%a %d %b} {one.task.name}"
            continue
        yield (
            f"  {one.starts:%a %d %b %H:%M} to {one.ends:%a %d %b %H:%M} {one.task.name}, "
            f"{hours_words(one.task.hours)}, {who_words(one)}: {one.word}"
        )
