"""How heavy those are who train: what they hang on and stand on carries them."""

from __future__ import annotations

from app.published.register import published
from app.scene.build import Scene

USUAL = "fixing.body-mass-kg"


def heaviest_kg(scene: Scene) -> float:
    """Return the mass of the heaviest who trains here in kg: as typed, else the usual one."""
    usual = published(USUAL)
    return max((person.mass_kg or usual for person in scene.plan.people), default=usual)
