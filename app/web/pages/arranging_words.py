"""What the page of layouts says: the table, what moving is worth, what a layout costs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from app.arranging.arrange import FULL
from app.arranging.choosing import knee
from app.arranging.shown import Shown, narrower, way_words, way_worth_mm
from app.usecases.layout_run import Card, View

BAR = 48
"""Height of the highest bar of what moving is worth, in units of its picture: three lines."""
CLEARLY = 3.0
"""Points of the score, of 100, by which a layout is better than another and somebody sees it: a
chair's width of open floor and the angle of a bench come to less."""
NONE_FOUND = "None without a stop was found"
NOT_YET = "Nothing without a stop yet"
STILL_TO_MEND = "a stop that moving mends"
"""What a search is about where other stops stay in every layout."""
BUSY = (
    "The machine was busy, so that less was looked through than usual: look on, and more may be "
    "found."
)
ENDING = "Its time is up: it ends with the step that it is at, or when you stop it."
LONG_UNCHANGED_S = 10
"""How long the same layouts stand there till that is said: while they come and go it is no news."""
NONE_BETTER = "None is clearly better than what you have."


def seated_in_all(cards: Sequence[Card]) -> list[str]:
    """Return what is laid on its hooks or put in its rack in every layout."""
    first = cards[0].shown.seated if cards else ()
    return [words for words in first if all(words in card.shown.seated for card in cards)]


def wishes_words(cards: Sequence[Card]) -> str:
    """Say of wishes that no layout fulfils which these are, or that they are not met together."""
    if not cards or any(not card.shown.unmet for card in cards):
        return ""
    first, *rest = (frozenset(card.shown.unmet) for card in cards)
    nowhere = first.intersection(*rest)
    if nowhere:
        never = [words for words in cards[0].shown.unmet if words in nowhere]
        return f"No layout was found that is as you wish: {'; '.join(never)}."
    return "Each wish is met in one of these, but no layout was found that meets them all."


def prices_of(one: Shown, view: View) -> list[str]:
    """Say what a layout costs: its cares, the worst of them named, and ways that get narrower."""
    now, said = view.answer.now, []
    if one.price:
        more = one.cares - 1
        rest = f", and {more} more {'care' if more == 1 else 'cares'}" if more else ""
        worse = not now.stops and one.cares > now.cares
        first = f"{_count_words(one.cares)}, now {now.cares}: " if worse else ""
        said.append(f"{first}{one.price}{rest}")
    way = narrower(one, now, view.plan.units)
    return [*said, *([way] if way else [])]


def _count_words(cares: int) -> str:
    return f"leaves {cares} {'care' if cares == 1 else 'cares'}"


def curve_of(view: View) -> list[dict[str, Any]]:
    """Return what each more moved piece is worth: how many, its points, where it is enough.

    The first is the plan as it is, with nothing moved. `card` is the number of the layout among
    those to choose from, None where it is not among them.
    """
    answer = view.answer
    if not answer.moves:
        return []
    cards = {card.key: number for number, card in enumerate(view.cards, 1)}
    best, now = knee(answer.moves), answer.now
    as_it_is = {"count": 0, "cares": now.cares, "stops": now.stops - now.unmendable}
    return [
        {**as_it_is, "enough": False, **_points(answer.now_points)},
        *(
            {
                "count": one.count,
                "key": one.layout.key,
                "card": cards.get(one.layout.key),
                "cares": one.layout.cares,
                "stops": one.layout.stops,
                "enough": one is best,
                **_points(None if one.layout.stops else answer.of_100(one.layout.value)),
            }
            for one in answer.moves
        ),
    ]


def _points(of_100: float | None) -> dict[str, int | None]:
    """Return points as they are told and drawn, as much of BAR; none while a stop is left."""
    if of_100 is None:
        return {"points": None, "high": 0}
    return {"points": round(of_100), "high": round(BAR * of_100 / FULL)}


def table(every: Sequence[Shown], view: View) -> list[tuple[str, list[tuple[str, str]]]]:
    """Return the rows of the table: what it is, and for each layout its figure and how it looks."""
    units = view.plan.units

    def area(one: Shown) -> float:
        return one.floor.long_mm * one.floor.short_mm if one.floor else 0.0

    def way(one: Shown) -> str:
        return way_words(one, units)

    stays = [("of them in every layout", _cells(every, _nothing, lambda s: str(s.unmendable)))]
    moved = _cells(every[1:], lambda s: -_moved(s), lambda s: str(_moved(s))) if every[1:] else []
    return [
        ("Stops left", _cells(every, lambda s: s.unmendable - s.stops, _all_stops)),
        *(stays if any(one.unmendable for one in every) else []),
        ("Cares left", _cells(every, lambda s: -s.cares, lambda s: str(s.cares))),
        ("Open floor, m", _cells(every, area, lambda s: s.floor.words if s.floor else "–")),
        ("Narrowest way", _cells(every, way_worth_mm, way)),
        ("Pieces to move", [("–", ""), *moved]),
    ]


def _left_words(view: View) -> str:
    """Say how long it goes on looking; the last step of each search takes a little after that."""
    if view.seconds_left is None:
        return ""
    return f" It looks for {view.seconds_left} s more." if view.seconds_left else f" {ENDING}"


def _stops(one: Shown) -> bool:
    """Return whether a stop is left that moving things mends."""
    return one.stops > one.unmendable


def _nothing(_: Shown) -> float:
    return 0.0


def _all_stops(one: Shown) -> str:
    return str(one.stops)


def _moved(one: Shown) -> int:
    return len(one.moved)


def _cells(
    every: Sequence[Shown],
    worth: Callable[[Shown], float],
    words: Callable[[Shown], str],
) -> list[tuple[str, str]]:
    """Return the words of a row, and which are the best of those that somebody could choose.

    The first is the plan as it is.
    """
    values = [worth(one) for one in every]
    # what stops is no choice: its figures are nobody's best
    choices = [value for one, value in zip(every, values, strict=True) if not _stops(one)]
    best = max(choices, default=0)
    # nor is the only one there is, or one that today's outdoes
    told = len(choices) > 1 and len(set(values)) > 1 and best >= values[0]
    return [
        (words(one), "best" if told and value == best and not _stops(one) else "")
        for one, value in zip(every, values, strict=True)
    ]


def is_worth_it(view: View) -> bool:
    """Return whether a layout is clearly better than the plan as it is, and not by more cares.

    Each is that leaves fewer stops.
    """
    now, every = view.answer.now, [card.shown for card in view.cards]
    return any(
        one.stops < now.stops or (one.total >= now.total + CLEARLY and one.cares <= now.cares)
        for one in every
    )


def plain_words(view: View) -> str:
    """Say how the search stands."""
    picked = view.answer.picked
    count = len(view.cards) - picked
    left = _left_words(view)
    busy = f" {BUSY}" if view.busy else ""
    nothing = NOT_YET if view.running or view.busy else NONE_FOUND
    if view.answer.unmended:
        nothing = nothing.replace("a stop", STILL_TO_MEND)
    if not count:
        return f"{nothing}.{left or busy}" if view.running or view.busy else nothing
    if not view.answer.found:
        return f"{nothing}; what leaves fewest is below.{left}{busy}"
    words = f"{count} found that differ, best first." if count > 1 else "1 found."
    if picked:
        words = f"{words} {picked} more that you looked at."
    if not is_worth_it(view):
        words = f"{words} {NONE_BETTER}"
    if view.running:
        if view.unchanged_s < LONG_UNCHANGED_S:
            return f"{words} The list may still change.{left}"
        return (
            f"{words} Nothing new has come for {view.unchanged_s} s: you need not wait for better, "
            f"or for one that differs.{left}"
        )
    if view.busy:
        return f"{words}{busy}"
    return f"{words} {view.answer.few}".rstrip()
