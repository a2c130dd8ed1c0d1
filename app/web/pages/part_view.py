"""Parts of the ceiling and steps of the floor as the page of the room shows them."""

from __future__ import annotations

from dataclasses import dataclass

from app.model.base import Point
from app.model.room import Plane, Room
from app.model.room_parts import PartForm, Surface, part_form, part_numbers, parts_of
from app.scene.part_cover import bare_share
from app.units import Units, format_length, written

KINDS: dict[str, Surface] = {"over": "ceiling", "step": "floor"}
"""What is chosen on the page -> the surface it is a part of."""


@dataclass(frozen=True, slots=True)
class PartSeen:
    """One part: its number on the page, what it is in words, its corners, how it is told.

    `corners` are the corners as a field shows them.
    """

    kind: str
    number: int
    plane: Plane
    heights: str
    form: PartForm
    outline: tuple[Point, ...]
    corners: tuple[tuple[str, str], ...]

    @property
    def name(self) -> str:
        """What it is called on the page."""
        return f"{'Part' if self.kind == 'over' else 'Step'} {self.number}"

    @property
    def middle(self) -> Point:
        """Where its number stands: the mean of its corners."""
        count = len(self.outline)
        return (sum(x for x, _ in self.outline) / count, sum(y for _, y in self.outline) / count)

    @property
    def spots(self) -> tuple[Point, ...]:
        """Where its number may stand: in the middle, else towards one of its corners."""
        mx, my = self.middle
        return (
            (mx, my),
            *(
                (mx + (x - mx) * share, my + (y - my) * share)
                for share in (0.4, 0.65)
                for x, y in self.outline
            ),
        )


def parts_seen(room: Room, kind: str, units: Units) -> tuple[PartSeen, ...]:
    """Return the parts of one kind by their numbers."""
    seen = []
    numbers = part_numbers(room, KINDS[kind])
    for plane in sorted(parts_of(room, KINDS[kind]), key=lambda each: numbers[each.id]):
        outline = plane.outline or room.corners
        heights = sorted(plane.height_at(x, y) for x, y in outline)
        low, high = (_written(each, units) for each in (heights[0], heights[-1]))
        words = low if low == high else f"{low} to {high}"
        corners = tuple((written(x, units), written(y, units)) for x, y in outline)
        form, number = part_form(room, plane), numbers[plane.id]
        seen.append(PartSeen(kind, number, plane, words, form, outline, corners))
    return tuple(seen)


def bare_words(room: Room) -> str:
    """Say how much of the floor has no ceiling told over it; nothing where all has."""
    share = bare_share(room) * 100
    if not share:
        return ""
    amount = "under 1" if share < 1 else f"about {share:.0f}"
    return (
        f"Over {amount} percent of the floor no ceiling is given: "
        "it is taken as high as the highest part. Lay the parts so that they meet."
    )


def _written(height_mm: float, units: Units) -> str:
    minus = "−" if height_mm < 0 else ""
    return minus + format_length(abs(height_mm), units)
