"""What a piece and its parts look like in the picture: iron, machine, pad, what is of the house."""

from __future__ import annotations

from app.scene.build import Placed
from app.takeoff.mirrors import is_hung

DARK = frozenset({"plate", "wheel", "shaft", "sleeve", "weights"})
"""Parts that are iron or rubber on whatever they are fixed to."""
SHELF = "shelf"
"""What weights and boxes lie on."""
PADDED = frozenset({"pad", "back-pad", "seat"})
"""Parts that one sits or lies on."""
BELT = "deck"
"""What one walks on on a machine."""
MAT = "mat"
PALE = "picture-mat"
"""What is hardly there: a mat on the floor, somebody a second time where their head meets what is
lower there."""
TOO_HIGH, PERSON = "picture-too-high", "picture-person"
PERSON_FAR = "picture-person-far"
"""The arm and the leg of the far side of a body, and the hair."""
OVER = "picture-over"
"""What of a piece is higher than the room."""
TELLING = (
    (TOO_HIGH,),
    (OVER, f"{OVER}-left", f"{OVER}-right"),
    (PERSON,),
)
"""Inks of what a name tells: what is too high of somebody or of a piece, else their body."""
GLASS = "picture-house"
"""A mirror, on a wall or as a piece of kit: nothing else of the house is of glass."""
_STAYS, _MACHINE, _THING = "picture-stay", "picture-machine", "picture-thing"


def piece_ink(placed: Placed) -> str:
    """Return the ink that a piece has where its parts have none of their own."""
    if placed.piece.stays:
        return _STAYS
    if placed.kit.bar is not None or placed.kit.group == "Racks":
        return "picture-iron"
    if placed.kit.group == "Machines":
        return _MACHINE
    if placed.kit.group != "Of the house":
        return _THING
    return GLASS if is_hung(placed) else _MACHINE


def part_ink(part: str, ink: str) -> str:
    """Return the ink of a part of a piece that is drawn in `ink`."""
    if part in DARK or (part == BELT and ink == _MACHINE):
        return "picture-dark"
    if part == MAT and ink != _STAYS:
        return PALE
    if part == SHELF and ink == _MACHINE:
        return _THING
    return "picture-pad" if part in PADDED and ink != _STAYS else ink
