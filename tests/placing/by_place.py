"""The written list of findings that the core answers for: stops that a place alone decides."""

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


def decided_by_place(snag: Snag) -> bool:
    """Return whether a finding is a stop of the list, at some piece."""
    return snag.severity == "stop" and bool(snag.pieces) and snag.code.startswith(PLACING_CODES)
