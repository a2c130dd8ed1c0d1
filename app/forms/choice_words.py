"""Words for the choices of the forms of the room, in the order in which they are offered."""

from __future__ import annotations

WALL_KINDS = (
    ("solid-brick", "Solid brick"),
    ("dense-block", "Dense block"),
    ("hollow-block", "Hollow block"),
    ("aerated-block", "Aerated block"),
    ("single-skin-block", "Single skin"),
    ("concrete", "Concrete"),
    ("timber-studs", "Timber studs, board"),
    ("metal-studs", "Metal studs, board"),
    ("unknown", "I don't know"),
)
WALL_FINISHES = (
    ("bare", "bare"),
    ("painted", "painted"),
    ("plaster", "plaster"),
    ("plasterboard", "plasterboard"),
    ("timber-board", "timber board"),
)
CEILING_KINDS = (
    ("solid-joists", "Solid joists"),
    ("i-joists", "I-joists"),
    ("trussed-rafters", "Trussed rafters"),
    ("slab", "Concrete slab"),
    ("unknown", "I don't know"),
)
FLOOR_KINDS = (
    ("ground-slab", "Concrete on the ground"),
    ("suspended-slab", "Concrete over a room"),
    ("timber", "Timber joists"),
    ("unknown", "I don't know"),
)
COVERINGS = (
    ("bare", "nothing"),
    ("rubber", "rubber"),
    ("foam", "foam"),
    ("carpet", "carpet"),
    ("vinyl", "vinyl"),
    ("timber", "timber"),
)
OPENING_KINDS = (
    ("hinged", "Hinged door"),
    ("pair", "Double door"),
    ("tracks", "Up-and-over, on tracks"),
    ("canopy", "Up-and-over, canopy"),
    ("sectional", "Sectional"),
    ("roller", "Roller"),
    ("side-sliding", "Side-sliding"),
    ("window", "Window"),
    ("gap", "Gap, no door"),
)
OPENING_EXAMPLES = {
    "hinged": ("838 mm", "1.98 m"),
    "pair": ("1.52 m", "1.98 m"),
    **dict.fromkeys(("tracks", "canopy", "sectional", "roller", "side-sliding"),
                    ("2.44 m", "2.13 m")),
    "window": ("1.20 m", "1.05 m"),
    "gap": ("900 mm", "2.05 m"),
}  # fmt: skip
"""Width and height that an empty form names as an example, by kind: usual sizes, never taken."""
LOW_KINDS = tuple(
    (kind, kind)
    for kind in ("beam", "joist", "duct", "pipe", "light", "bulkhead", "track", "opener")
)
YES_NO = (("yes", "yes"), ("no", "no"), ("unknown", "I don't know"))
ENDS = (("left", "left"), ("right", "right"))
