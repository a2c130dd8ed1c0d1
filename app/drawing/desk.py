"""The drawing on the desk: the figure as an `<svg>` inside the page, styled by the page."""

from __future__ import annotations

from app.drawing.figure import crowd_of, levels_of, room_figure
from app.drawing.figure_kit import drawing_order, piece_group, space_group, station_names
from app.drawing.framed import Framed
from app.drawing.level_marks import letter
from app.drawing.medium import Medium
from app.drawing.primitives import Group, Item, Pattern
from app.drawing.svg import fragment
from app.scene.build import Scene

_LETTERS_ACROSS = 52.0
"""A room that fills a middling window is about so many letters across."""
_RIM_EM = 0.3
"""The chains reach as far as their lettering; beyond it the figure needs hardly any paper."""


def desk_figure(scene: Scene, tidy: bool = True) -> Framed:
    """Return the desk's figure: user units are mm of the room, inks are classes, no colours.

    The layers and what they carry are those that the desk's style sheet and scripts know:
    layer-floor, -walls, -mats, -low, -doors, -dims, -spaces, -kit. Finding the best place for each
    name takes about as long as all the rest: without `tidy` names and notes stand where they would
    if nothing else were drawn.
    """
    room = scene.room
    x0, y0, x1, y1 = room.outline.bounds
    # on a desk a figure is as large as the window lets it, so lettering follows the room's size
    medium = Medium(max(x1 - x0, y1 - y0, 2400.0) / _LETTERS_ACROSS, scene.plan.units, False)
    figure = room_figure(room, medium)
    crowd = crowd_of(scene, medium) if tidy else None
    names = station_names(scene, crowd, medium)
    notes = letter(levels_of(room, medium), crowd, medium)
    order = drawing_order(scene)
    layers: list[Item] = [
        figure.floor,
        figure.walls,
        Group((), "layer-mats"),
        Group((*figure.joists, *figure.low), "layer-low"),
        Group((*figure.doors.children, *figure.overhead), "layer-doors"),
        figure.dims,
        Group(tuple(space_group(placed, "hatch-space") for placed in order), "layer-spaces"),
        Group(tuple(piece_group(p, medium, names.get(p.piece.id)) for p in order), "layer-kit"),
        Group(notes, "layer-notes"),
    ]
    em = medium.em_mm
    bx0, by0, bx1, by1 = figure.bounds
    rim = em * _RIM_EM
    left, top = bx0 - rim, by0 - rim
    view = " ".join(f"{value:.1f}" for value in (left, top, bx1 + rim - left, by1 + rim - top))
    markup = fragment(
        layers,
        {
            "class": "figure",
            "viewBox": view,
            "data-em": f"{em:.1f}",
            "data-room": " ".join(f"{value:.2f}" for value in (x0, y0, x1, y1)),
            "preserveAspectRatio": "xMidYMid meet",
        },
        _patterns(em),
    )
    return Framed(markup, view)


def _patterns(em: float) -> tuple[Pattern, ...]:
    """Return the hatches of the desk, their tiles sized after the room."""
    return tuple(
        Pattern(name, tile, turn, (((0.0, 0.0), (0.0, tile)),), f"hatch-line {name}-line")
        for name, tile, turn in (
            ("hatch-space", em, 45.0),
            ("hatch-wall", em * 1.2, 45.0),
            ("hatch-stay", em, -45.0),
        )
    )
