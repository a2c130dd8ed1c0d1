"""The written list of findings that the core answers for: stops that a place alone decides.

And what stands on floor that is all moved on: no stop, but wholly short, and no search does so.
"""

from __future__ import annotations

from app.checks.snag import Snag

PLACING_CODES = (
    "outside",
    "too-tall",
    "clash",
    "between-posts",
    "under-machine",
    "plate-beside-",
    "room-",
    "glass-behind-the-belt",
    "headroom",
    "door-opens-",
    "door-open-leaf-",
    "door-overhead-",
    "window-blocked-",
    "across-a-step",
    "step-in-the-way",
    "beyond-an-edge",
    "platform-headroom",
    "platform-too-tall",
)
"""Beginnings of their codes. Ways on foot, what comes through the door, fixings, loads, power and
air, and movements that no piece serves are a second gate: the full judge before a layout counts."""


WHOLLY_SHORT = frozenset({"room-on-the-mat", "room-to-skip", "room-to-swing"})
"""Cares that the core refuses like stops."""


def decided_by_place(snag: Snag) -> bool:
    """Return whether a finding is of the list, at some piece."""
    listed = snag.severity == "stop" and snag.code.startswith(PLACING_CODES)
    return bool(snag.pieces) and (listed or snag.code in WHOLLY_SHORT)
