"""The room as a small picture: a file for a card beside others, not a sheet."""

from __future__ import annotations

from app.drawing.ink import LETTER_MM
from app.drawing.paper import PICTURE_SCALES
from app.drawing.picture import picture
from app.drawing.picture_view import View
from app.drawing.primitives import Group
from app.drawing.sheet import Page
from app.scene.build import Scene

WIDE_MM, HIGH_MM = 120.0, 84.0
"""Its size on paper: its lettering is then read on a card of 360 px too."""


def small_picture(scene: Scene, corner: int = 0) -> str:
    """Return the picture as SVG, at the largest of its scales that fits, with its font.

    A picture in a page loads none and does not see the page's. Of a room that fits at none, the
    smallest is taken, and cut.
    """
    drawn = picture(scene, View(corner))
    for scale in PICTURE_SCALES:
        x0, y0, x1, y1 = (each / scale for each in drawn.reach(LETTER_MM * scale))
        if x1 - x0 <= WIDE_MM and y1 - y0 <= HIGH_MM:
            break
    items, _ = drawn.lettered(LETTER_MM * scale)
    middle = ((WIDE_MM - x0 - x1) / 2, (HIGH_MM - y0 - y1) / 2)
    shown = Group(tuple(items), "figure", (), middle, scale=1 / scale)
    return Page((shown,), WIDE_MM, HIGH_MM, f"{scene.plan.name}: picture").as_svg()
