"""What has changed about a ceiling, in words: which side of it, from what height to what."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from app.model.room import Ceiling, Room
from app.model.room_overhead import CeilingForm, ceiling_form
from app.model.room_walls import letter
from app.units import Units, format_length

Data = dict[str, Any]
FromTo = Callable[[str, str], str]


def tell_ceiling(
    before: Data, after: Data, room: Room | None, units: Units, from_to: FromTo
) -> str:
    """Say what differs between two ceilings over the walls of a room, in one phrase.

    Without the walls only level ceilings can be told: how high a slope is hangs on where it ends.
    `from_to` puts what was and what is into words.
    """
    phrases: list[str] = []
    try:
        was, now = (Ceiling.model_validate(each) for each in (before, after))
        rooms = [_under(room, each) for each in (was, now)] if room is not None else []
    except ValueError:
        return "ceiling changed"
    if room is not None:
        old, new = (ceiling_form(each) for each in rooms)
        phrases = list(_differences(room, old, new, units, from_to))
    elif all(not (p.rise_x or p.rise_y) for each in (was, now) for p in each.planes):
        heights = [
            format_length(min(p.height_mm for p in each.planes), units) for each in (was, now)
        ]
        phrases = [from_to(*heights)] if heights[0] != heights[1] else []
    return f"ceiling {'; '.join(phrases)}" if phrases else "ceiling changed"


def _under(room: Room, ceiling: Ceiling) -> Room:
    """Put a ceiling over the bare walls of a room. Raises ValueError where it lies too low."""
    return Room(walls=room.walls, ceiling=ceiling)


def _differences(
    room: Room, old: CeilingForm, new: CeilingForm, units: Units, from_to: FromTo
) -> Iterator[str]:
    if (old.shape, old.wall) != (new.shape, new.wall):
        yield from_to(_whole(room, old, units), _whole(room, new, units))
        return
    wall = letter(room, new.wall)
    sides = {
        "flat": (("", "height_mm"),),
        "patches": (("at its lowest ", "height_mm"),),
        "sloping": ((f"at wall {wall} ", "height_mm"), ("at the far side ", "far_mm")),
        "ridged": (
            (f"at wall {wall} ", "height_mm"),
            ("at the far side ", "far_mm"),
            ("at the ridge ", "ridge_mm"),
            (f"with its ridge from wall {wall} ", "ridge_at_mm"),
        ),
    }
    for words, field in sides[new.shape]:
        lengths = [format_length(getattr(form, field), units) for form in (old, new)]
        if lengths[0] != lengths[1]:
            yield words + from_to(*lengths)


def _whole(room: Room, form: CeilingForm, units: Units) -> str:
    """Say a ceiling in a few words."""
    low, far, ridge = (
        format_length(each, units) for each in (form.height_mm, form.far_mm, form.ridge_mm)
    )
    wall = letter(room, form.wall)
    return {
        "flat": f"flat at {low}",
        "sloping": f"sloping from {low} at wall {wall} to {far}",
        "ridged": f"ridged from {low} at wall {wall} up to {ridge} and down to {far}",
        "patches": f"in parts, {low} at its lowest",
    }[form.shape]
