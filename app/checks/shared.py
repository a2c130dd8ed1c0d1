"""Which stations can be used at once and which only in turn: said once, in one line."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from app.checks.crowding import not_looked_at
from app.checks.snag import Snag
from app.checks.together import together
from app.scene.build import Scene
from app.wording import lower, phrase

PAIRS_NAMED_AT_MOST = 4
"""Pairs that are named in one line: with more nobody reads to the end of the sentence."""


def shared(scene: Scene) -> Iterator[Snag]:
    """Yield one note: which stations can be used together and which take turns.

    Nothing is said to somebody who is the only one to train here.
    """
    if len(scene.plan.people) == 1:
        return
    groups = together(scene)
    if groups.unseen:
        yield from not_looked_at(
            "shared-unseen", "stations that may have to take turns", groups.unseen
        )
        return
    if not groups.conflicts:
        return
    names = {key: lower(name) for key, name in groups.stations}
    order = [key for key, _ in groups.stations]
    # only the first few of either kind are named: the pairs of a hall are past counting one by one
    pairs = ((a, b) for i, a in enumerate(order) for b in order[i + 1 :])
    free = (f"{names[a]} + {names[b]}" for a, b in pairs if groups.at_once(a, b))
    place = {key: i for i, key in enumerate(order)}
    crossed = sorted(sorted(map(place.__getitem__, pair)) for pair in groups.conflicts)
    turns = _few((f"{names[order[a]]} / {names[order[b]]}" for a, b in crossed), len(crossed))
    group = " + ".join(names[key] for key in groups.largest)
    once = ", ".join(_few(free, groups.pairs_free)) if len(groups.largest) <= 2 else group
    more = "" if len(groups.largest) <= 2 else f" ({groups.pairs_free} of {groups.pairs_all} pairs)"
    at_once = (
        phrase("Can be used together: {}{}", once, more)
        if once
        else phrase("No two things here can be used together")
    )
    yield Snag(
        code="shared-in-turn",
        while_training=True,
        severity="note",
        template="{}; take turns: {}.",
        values=(at_once, ", ".join(turns)),
        parts=(
            phrase("{}.", at_once),
            *(phrase("Take turns: {}.", pair) for pair in turns),
        ),
        names=("taking turns",),
        measured=len(crossed),
        unit="pairs",
        source_keys=("access.recommended-mm",),
    )


def _few(texts: Iterator[str], count: int) -> list[str]:
    most = PAIRS_NAMED_AT_MOST
    tail = [f"{count - most} more"] if count > most else []
    return [*islice(texts, most), *tail]
