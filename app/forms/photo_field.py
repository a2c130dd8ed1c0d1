"""The photo that comes with a form: kept beside the plan, which names it by its id."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from app.errors import CommandError

PHOTO = "photo_id"
"""The field that names a picture which was just kept; what a form sends in it is not read."""
GONE = "That photo is no longer there; what is kept is shown."


def with_photo(fields: Mapping[str, str], photo: str) -> Mapping[str, str]:
    """Return the fields of a form with the picture that came with it, and no other one."""
    return {**fields, PHOTO: photo}


def one_more(photos: Sequence[str], photo: str, at_most: int, of: str) -> tuple[str, ...]:
    """Return photos of a thing with one more. Raises CommandError, which says `of` what they are.

    None was chosen where `photo` is empty.
    """
    if not photo:
        raise CommandError("No photo was chosen.")
    if photo not in photos and len(photos) >= at_most:
        raise CommandError(
            f"This {of} has {at_most} photos already: take one away before another is added."
        )
    return tuple(dict.fromkeys((*photos, photo)))


def one_less(photos: Sequence[str], photo: str) -> tuple[str, ...]:
    """Return photos without one. Raises CommandError where it is not among them."""
    if photo not in photos:
        raise CommandError(GONE)
    return tuple(one for one in photos if one != photo)
