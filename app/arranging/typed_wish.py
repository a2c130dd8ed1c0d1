"""A wish as somebody types it: "bike faces the screen", "bag far from the party wall"."""

from __future__ import annotations

import re
from collections.abc import Iterable

from app.arranging.wishes import A_TARGET, PIECE, RELATIONS, WALL, Wish, target_key, targets
from app.errors import ElbowroomError
from app.model.layout_wish import Relation
from app.scene.build import Scene

_RELATION_WORDS: tuple[tuple[str, Relation], ...] = (
    (r"under the highest (?:part|ceiling|place)|where it is highest", "highest"),
    (r"far from|away from", "far"),
    (r"with its back to|against|on|at", "at"),
    (r"near|next to|close to|beside|by", "near"),
    (r"faces|facing|looks? (?:at|to)|towards", "faces"),
)
"""How people say what a wish asks for; the longer words first."""
_ARTICLE = r"(?:the|my|our|a|an)"
_ARTICLES = re.compile(rf"^{_ARTICLE}\s+")
_NOTHING_NAMED = re.compile(rf"{_ARTICLE}?")
PARTY_WALL = frozenset({"party wall", "shared wall", "neighbour's wall", "neighbours' wall"})
"""What a wall is called that belongs to the neighbours as well."""


class WishError(ElbowroomError):
    """A wish that is not understood; the sentence says why."""

    code = "wish"


def typed_wish(text: str, scene: Scene) -> Wish:
    """Return the wish that a text says of a room. Raises WishError with a sentence of what is not.

    Pieces, walls and doors are known by name or id, or by a part of a name that only one has.
    """
    plain = " ".join(text.lower().split()).rstrip(".")
    for pattern, relation in _RELATION_WORDS:
        match = re.fullmatch(rf"(.+?)\s+(?:is |stands |goes )?(?:{pattern})\b\s*(.*)", plain)
        if match is None:
            continue
        try:
            piece = _named(match[1], scene, pieces_only=True).partition(":")[2]
            return Wish(piece, relation, "" if relation == "highest" else _named(match[2], scene))
        except WishError as error:
            raise WishError(f"“{text.strip()}”: {error.sentence}") from error
    ways = ", ".join(f"“{words}”" for words in RELATIONS.values())
    raise WishError(f"“{text}” is no wish that is understood: say a piece, then one of {ways}.")


def _named(text: str, scene: Scene, pieces_only: bool = False) -> str:
    """Return the key of the one thing that a text names.

    Raises WishError with the rest of a sentence that begins with the wish.
    """
    name = _plain(text)
    known = {key: _plain(words) for key, words in targets(scene).items()}
    if pieces_only:
        known = {key: words for key, words in known.items() if key.startswith(f"{PIECE}:")}
    if _NOTHING_NAMED.fullmatch(name) and name not in known.values():
        raise WishError(f"add {A_TARGET}.")
    if name in PARTY_WALL:
        shared = [wall.id for wall in scene.room.walls if wall.wall.shared]
        return _one(text, [target_key(WALL, wall_id) for wall_id in shared], known)
    for alike in (
        [key for key in known if key.partition(":")[2] == name],
        [key for key, words in known.items() if words == name],
        [key for key, words in known.items() if set(name.split()) <= set(words.split())],
    ):
        if alike:
            return _one(text, alike, known)
    return _one(text, [], known)


def _one(text: str, keys: Iterable[str], known: dict[str, str]) -> str:
    every = list(keys)
    if len(every) == 1:
        return every[0]
    if not every:
        raise WishError(f"there is no “{text.strip()}” in this room.")
    ids = ", ".join(f"{known[key]} ({key.partition(':')[2]})" for key in every)
    words = f"“{text.strip()}” may be any of: {ids}. Use the word in brackets to say which."
    raise WishError(words)


def _plain(text: str) -> str:
    return _ARTICLES.sub("", text.strip().lower())
