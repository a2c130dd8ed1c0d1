"""Words of the page of the room: its parts, and what stands under each."""

from __future__ import annotations

PARTS = (
    ("known", "Overview"),
    ("walls", "Walls"),
    ("openings", "Openings"),
    ("floor", "Floor"),
    ("ceiling", "Ceiling"),
    ("hanging", "Hanging"),
    ("columns", "Columns"),
    ("sockets", "Sockets"),
    ("electricity", "Electricity"),
    ("air", "Air"),
    ("building", "Building"),
    ("way-in", "Way in"),
    ("ways", "Ways on foot"),
    ("situations", "Situations"),
    ("measured", "Tape"),
    ("picture", "Picture"),
)
LISTS = {
    "wall": "walls",
    "corner": "walls",
    "opening": "openings",
    "low": "hanging",
    "column": "columns",
    "socket": "sockets",
    "over": "ceiling",
    "step": "floor",
}
"""What is chosen -> the part of the page under which it stands."""
