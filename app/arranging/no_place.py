"""Why a station finds no place: the room itself is too small, or what stays is in the way."""

from __future__ import annotations

from collections.abc import Set as AbstractSet

from app.placing.core import Core
from app.wording import Phrase, joined, lower, phrase


def has_place(core: Core, root: str, without: AbstractSet[str] = frozenset()) -> bool:
    """Return whether a station finds a place beside what is fixed, but for some of it."""
    return any(not core.alone(root, turn, without).is_empty for turn in core.turns(root))


def no_place(core: Core, root: str) -> Phrase:
    """Return the words for where a station that has no place fits nowhere; each reason is tried.

    They begin in the middle of a sentence, "alone in the empty room it fits nowhere": what stays
    or is pinned is named where the station would have a place without that one thing.
    """
    if not has_place(core, root, frozenset(core.fixed)):
        return phrase("alone in the empty room it fits nowhere")
    in_way = [one for one in core.fixed if has_place(core, root, {one})]
    if not in_way:
        return phrase("it fits nowhere beside what stays here")
    names = dict.fromkeys(lower(core.scene.placed[one].name) for one in in_way)
    return phrase(
        "it fits nowhere beside what stays here; without the {} it would",
        joined(" or without the ", names),
    )
