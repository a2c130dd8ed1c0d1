"""Words of the page of the room: its parts, and every choice of its forms."""

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
WORDS: dict[str, list[tuple[str, str]]] = {
    "wall_kinds": [
        ("solid-brick", "Solid brick"),
        ("dense-block", "Dense block"),
        ("hollow-block", "Hollow block"),
        ("aerated-block", "Aerated block"),
        ("single-skin-block", "Single skin"),
        ("concrete", "Concrete"),
        ("timber-studs", "Timber studs, board"),
        ("metal-studs", "Metal studs, board"),
        ("unknown", "Not known"),
    ],
    "wall_finishes": [
        ("bare", "bare"),
        ("painted", "painted"),
        ("plaster", "plaster"),
        ("plasterboard", "plasterboard"),
        ("timber-board", "timber board"),
    ],
    "ceiling_kinds": [
        ("solid-joists", "Solid joists"),
        ("i-joists", "I-joists"),
        ("trussed-rafters", "Trussed rafters"),
        ("slab", "Concrete slab"),
        ("unknown", "Not known"),
    ],
    "floor_kinds": [
        ("ground-slab", "Slab on the ground"),
        ("suspended-slab", "Suspended slab"),
        ("timber", "Timber joists"),
        ("unknown", "Not known"),
    ],
    "coverings": [
        ("bare", "nothing"),
        ("rubber", "rubber"),
        ("foam", "foam"),
        ("carpet", "carpet"),
        ("vinyl", "vinyl"),
        ("timber", "timber"),
    ],
    "opening_kinds": [
        ("hinged", "Hinged door"),
        ("pair", "Pair of leaves"),
        ("tracks", "Up-and-over, on tracks"),
        ("canopy", "Up-and-over, canopy"),
        ("sectional", "Sectional"),
        ("roller", "Roller"),
        ("side-sliding", "Side-sliding"),
        ("window", "Window"),
        ("gap", "Gap, no leaf"),
    ],
    "low_kinds": [
        ("beam", "beam"),
        ("joist", "joist"),
        ("duct", "duct"),
        ("pipe", "pipe"),
        ("light", "light"),
        ("bulkhead", "bulkhead"),
        ("track", "track"),
        ("opener", "opener"),
    ],
    "yes_no": [("yes", "yes"), ("no", "no"), ("unknown", "not known")],
}
"""Choices of the forms with the words for each."""
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
