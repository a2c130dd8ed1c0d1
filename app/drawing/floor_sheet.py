"""The floor as a sheet true to scale: numbered pieces, and what is cut from which stock piece."""

from __future__ import annotations

from functools import partial

from app.drawing.composed import Figure, Subject, composed
from app.drawing.figure import room_figure
from app.drawing.floor_figure import mat_items
from app.drawing.floor_flow import floor_in_words
from app.drawing.medium import Medium, region
from app.drawing.primitives import Group
from app.drawing.sheet import Sheet, TitleFields
from app.scene.build import Scene
from app.takeoff.floor import Layout
from app.takeoff.floor_region import laid_round


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
            for page in floor_in_words(first, further, layout, scene.plan.units)
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
    items = (
        figure.floor,
        Group(mat_items(layout, medium.em_mm, strokes=True), "layer-mats"),
        *(
            region(placed.footprint, "stay-edge")
            for placed in laid_round(scene, layout.laid.laying)
        ),
        figure.walls,
        figure.doors,
        figure.dims,
    )
    return Figure(items, figure.bounds)
