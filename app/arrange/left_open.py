"""What is said of a finding that has no way out of its own."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from app.arrange.buying import what_to_get
from app.arrange.trial import Effect, Trials
from app.checks.shut_offs import SHUT_OFFS
from app.checks.snag import Snag
from app.scene.build import Scene
from app.wording import in_a_row, lower


def left_open(
    trials: Trials, snag: Snag, kinds: Sequence[str], effects: Iterable[tuple[Snag, Effect]]
) -> str:
    """Say what helps with a finding all the same, what it takes, or else what was tried in vain.

    `kinds` are what was tried, in words, `effects` what the ways out of other findings do.
    """
    helped_by = next((one for one, effect in effects if trials.eases(effect, snag)), None)
    if helped_by is not None:
        return f"What mends “{helped_by.who}” helps with this too."
    if kinds:
        nothing = f"Nothing tried here helps: {', '.join(kinds)}."
        return what_to_get(trials.scene, snag) or nothing
    return nothing_mends(trials.scene, snag)


def nothing_mends(scene: Scene, snag: Snag) -> str:
    """Say that no move mends a finding, and what would have to be moved that stays or is pinned.

    Where mains, gas and water are shut off nobody moves anything. What the row itself says to do
    mends it all the same, so nothing more is said than was looked for.
    """
    there = [scene.placed[piece] for piece in snag.pieces if piece in scene.placed]
    held = [
        f"the {lower(placed.name)} {'stays' if placed.piece.stays else 'is pinned'}"
        for placed in there
        if (placed.piece.stays or placed.piece.pinned) and placed.kit.key not in SHUT_OFFS
    ]
    if not held or not snag.hangs_on_place:
        return "No move of kit was found that mends this."
    return f"No move of kit was found that mends this while {in_a_row(held)} where it is."
