"""Mirror of the fit-out on its way in: a sheet that one person does not carry."""

from __future__ import annotations

from collections.abc import Iterator

from app.checks.mirror_areas import heaviest_sheet
from app.checks.snag import Snag
from app.formulas.lifting import people_for
from app.published.register import published
from app.scene.build import Scene
from app.wording import Phrase, phrase

_GUIDE = "lift.guide-kg"
GLASS_KEYS = (_GUIDE, "mirror.glass-kg-per-m2-per-mm")
"""Rows behind what is said of it."""
_WORDS = ("nobody", "one person", "two people", "three people", "four people")


def heavy_glass(scene: Scene) -> tuple[float, str] | None:
    """Return the heaviest sheet that one person does not carry, in kg, and what it is."""
    sheet = heaviest_sheet(scene)
    return None if sheet is None or sheet[0] <= published(_GUIDE) else sheet


def heaviest_glass(glass: tuple[float, str]) -> Phrase:
    """Say that such a sheet is the heaviest part, and how it is carried."""
    kilos, name = glass
    words = "the heaviest part to carry in is {:kg} ({}): {}, on edge and in gloves"
    return phrase(words, kilos, name, _WORDS[people_for(kilos)[0]])


def heavy_glass_alone(scene: Scene) -> Iterator[Snag]:
    """Yield the note on carrying where no kit comes in, but heavy glass does."""
    glass = heavy_glass(scene)
    if glass is not None:
        yield Snag(
            code="carry-in",
            background=True,
            severity="note",
            template="{:cap}.",
            values=(heaviest_glass(glass),),
            names=("getting it in",),
            measured=round(glass[0]),
            required=round(published(_GUIDE)),
            unit="kg",
            source_keys=GLASS_KEYS,
        )
