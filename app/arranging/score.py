"""The score of a layout: sixteen preferences of common practice, each with its weight.

A layout with a stop is out before any of this counts: layouts are compared by their stops first.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from app.arranging import measures as m
from app.arranging import measures_around as around
from app.arranging.bar_ends import bar_ends
from app.arranging.layout import Layout
from app.arranging.open_floor import OpenFloor
from app.arranging.used_together import near
from app.arranging.wishes import Wish, shares_of
from app.checks.snag import Snag
from app.published.register import overridden, published
from app.scene.build import Scene


@dataclass(frozen=True, slots=True)
class Preference:
    """One thing that makes a layout good: its key, what it is in words, and its measure, 0 to 1."""

    key: str
    words: str
    measure: Callable[[Layout], float]

    @property
    def weight(self) -> float:
        """How much it counts, of 100."""
        return published(f"layout.{self.key}.weight")


PREFERENCES: tuple[Preference, ...] = (
    Preference("no-care", "nothing to take care of", m.no_care),
    Preference("open-floor", "one open floor in one piece", m.one_floor),
    Preference("backs", "backs on walls", m.backs),
    Preference("way-in", "a straight and wide way in", m.way_in),
    Preference("garage-door", "nothing in front of the doors", around.garage_door),
    Preference("near", "things used together are together", near),
    Preference("gaps", "no dead gaps", m.gaps),
    Preference("height", "height where it is used", m.height),
    Preference("pairs", "two can train", m.pairs),
    Preference("deep", "tall and heavy deep in the room", m.deep),
    Preference("bar", "both ends of the bar free", bar_ends),
    Preference("sight", "screen and mirror in sight", around.sight),
    Preference("door-seen", "the door in sight", around.door_seen),
    Preference("noise", "noise away from neighbours", around.noise),
    Preference("services", "sockets near, iron dry", around.services),
    Preference("calm", "square and in line", around.calm),
)
BY_VERDICT = frozenset({"no-care", "way-in"})
"""What hangs on the verdict or on whether ways are measured; all else on where things stand."""


@dataclass(frozen=True, slots=True)
class Score:
    """What a layout comes to: of 100, and by each preference from 0 to 1."""

    total: float
    parts: Mapping[str, float]
    floor: OpenFloor | None


def score(
    scene: Scene,
    verdict: Sequence[Snag],
    with_ways: bool = True,
    short: float | None = None,
    wishes: Sequence[Wish] = (),
    known: Score | None = None,
) -> Score:
    """Score a layout that was judged. Pure: same in, same out.

    Without `with_ways` the way in counts as good: while a search runs it takes longer than all
    the rest. `short` is what is missing in all, where it is known without a verdict. `known` is the
    score of the same scene by another verdict: what hangs on none is taken from it.
    """
    whole = score_of_at_least(-math.inf, scene, verdict, with_ways, short, wishes, known)
    assert whole is not None
    return whole


def score_of_at_least(
    least: float,
    scene: Scene,
    verdict: Sequence[Snag],
    with_ways: bool = True,
    short: float | None = None,
    wishes: Sequence[Wish] = (),
    known: Score | None = None,
) -> Score | None:
    """Score a layout as `score` does, None as soon as it cannot come to so much any more."""
    with overridden({override.id: override.value for override in scene.plan.overrides}):
        layout = Layout(scene, verdict, with_ways, short, None if known is None else known.floor)
        fulfilled = shares_of(wishes, scene)
        weights = {one.key: one.weight for one in PREFERENCES}
        weights |= dict.fromkeys(fulfilled, published("layout.wish.weight"))
        whole = sum(weights.values())
        lost = sum(weights[words] * (1 - share) for words, share in fulfilled.items())
        parts: dict[str, float] = {}
        for one in PREFERENCES:
            part = (
                one.measure(layout)
                if known is None or one.key in BY_VERDICT
                else known.parts[one.key]
            )
            parts[one.key] = part
            lost += weights[one.key] * (1 - part)
            if 100 * (1 - lost / whole) < least:
                return None
        parts |= fulfilled
    total = 100 * sum(weights[key] * part for key, part in parts.items()) / whole
    return Score(total, parts, layout.floor)
