"""Ways out by another height of the pull-up bar of a rack: posts have holes, and it is set in one.

Who hangs wants it low under a ceiling, who squats between the posts wants it over the head.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.arrange.effort import ROUNDING_MM
from app.arrange.swaps import Proposal
from app.changes.commands import edits
from app.checks.snag import Snag
from app.checks.spots import PULL_UP_BAR, SHUT, judge, spots
from app.library.anchors import place
from app.scene.build import Placed, Scene
from app.scene.footing import bar_mm
from app.wording import lower, phrase

_LOWER = (
    "Set the pull-up bar of the {} {:bare} lower in its posts, at {:mm} or the next hole below."
)
_HIGHER = (
    "Set the pull-up bar of the {} {:bare} higher in its posts, at {:mm} or the next hole above."
)


def set_lower(
    scene: Scene, placed: Placed, base: float, missing: Sequence[float]
) -> Iterator[Proposal]:
    """Yield the bar that one hangs from lower in a rack, by what is missing: posts have holes."""
    for drop in missing:
        bar = math.floor((base - drop) / ROUNDING_MM) * ROUNDING_MM
        if bar > 0:
            yield _set(scene, placed, _LOWER, base - bar, bar)


def set_higher(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield the bar out of the way of who lifts under it between the posts, as far as they go.

    First with the margin over the head, then as high as it just passes.
    """
    people = [one for one in scene.plan.people if one.id == snag.person]
    roots = {scene.placed[piece].root for piece in snag.pieces}
    for spot in spots(scene).get(snag.movement or "", ()) if people else ():
        hung = next((use for use in spot.placed.kit.uses if use.movement == "pull-up"), None)
        if hung is None or not spot.use.inside or spot.placed.root not in roots:
            continue
        here = judge(scene, people[0], spot, SHUT)
        if here.clear.cause != PULL_UP_BAR or not here.clear.own:
            continue
        base, top = bar_mm(spot.placed, hung), place(hung.base, spot.placed.extent)
        for spare in (here.spare_need_mm, here.spare_least_mm):
            bar = min(math.ceil((base - spare) / ROUNDING_MM) * ROUNDING_MM, top)
            if bar > base:
                yield _set(scene, spot.placed, _HIGHER, bar - base, bar)


def _set(scene: Scene, placed: Placed, words: str, by_mm: float, bar_mm: float) -> Proposal:
    says = phrase(words, lower(placed.name), by_mm, bar_mm).worded(scene.plan.units)
    return says, edits(scene.plan, placed.piece.id, says, bar_height_mm=bar_mm)
