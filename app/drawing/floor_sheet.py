"""The floor as a sheet true to scale: numbered pieces, and what is cut from which stock piece."""

from __future__ import annotations

import math
from functools import partial

from app.drawing.composed import Figure, Subject, composed
from app.drawing.figure import room_figure
from app.drawing.floor_figure import mat_items
from app.drawing.floor_flow import floor_in_words
from app.drawing.lettering import shorten
from app.drawing.medium import Medium, region
from app.drawing.primitives import Circle, Group, Item, Text
from app.drawing.sheet import Sheet, TitleFields
from app.scene.build import Placed, Scene
from app.takeoff.floor import Layout
from app.takeoff.floor_region import laid_round
from app.takeoff.floor_setting import setting_out, setting_words

_LEAST_NAME = 3.0
"""How long a thing is in letters before its name is lettered on it: a shorter one says nothing."""


def floor_sheet(
    scene: Scene,
    layout: Layout,
    *,
    paper: str = "A3",
    scale: int | None = None,
    fields: TitleFields | None = None,
) -> Sheet:
    """Draw a laid floor on paper: to lay from, with its cut list, over further sheets if need be.

    Raises SheetError for a paper or scale that does not do.
    """
    return composed(
        scene.plan,
        Subject("floor", "Floor"),
        [partial(_figure, scene, layout)],
        lambda first, further: tuple(
            (Group(page, "cut-list"),)
            for page in floor_in_words(
                first,
                further,
                layout,
                scene.plan.units,
                setting_words(scene, layout, scene.plan.units),
            )
        ),
        paper=paper,
        scale=scale,
        fields=fields,
        measured=[partial(_figure, scene, None)],
    )


def _figure(scene: Scene, layout: Layout | None, medium: Medium, scale: int) -> Figure:
    figure = room_figure(scene.room, medium)
    if layout is None:
        return Figure((), figure.bounds)
    staying = laid_round(scene, layout.laid.laying)
    items = (
        figure.floor,
        Group(mat_items(layout, medium.em_mm, strokes=True), "layer-mats"),
        *(region(placed.footprint, "stay-edge") for placed in staying),
        *(_name(placed, medium.em_mm) for placed in staying if _room_for(placed, medium.em_mm)),
        *_start_mark(scene, layout, medium.em_mm),
        figure.walls,
        figure.doors,
        figure.dims,
    )
    return Figure(items, figure.bounds)


def _room_for(placed: Placed, em_mm: float) -> bool:
    x0, y0, x1, y1 = placed.footprint.bounds
    return min(x1 - x0, y1 - y0) > em_mm and max(x1 - x0, y1 - y0) > _LEAST_NAME * em_mm


def _name(placed: Placed, em_mm: float) -> Text:
    """Name what stays where it stands, along its longer side."""
    at = placed.footprint.centroid
    x0, y0, x1, y1 = placed.footprint.bounds
    upright = y1 - y0 > x1 - x0
    words = shorten(placed.name, em_mm, max(x1 - x0, y1 - y0))
    if upright:
        return Text((at.x + em_mm * 0.36, at.y), words, "stay-name", turn_deg=-90.0)
    return Text((at.x, at.y + em_mm * 0.36), words, "stay-name")


def _start_mark(scene: Scene, layout: Layout, em_mm: float) -> tuple[Item, ...]:
    """Mark the corner at which one begins."""
    x, y = setting_out(scene, layout).corner
    first = layout.mats[0].polygon.representative_point()
    # into the first piece by its own diagonal, so that the ring touches both edges at most
    away = em_mm
    at = (x + math.copysign(away, first.x - x), y + math.copysign(away, first.y - y))
    ring = Circle(at, away * 0.8, "start-mark")
    return ring, Text((at[0], at[1] + em_mm * 0.36), "S", "start-letter")
