"""Ceiling, light and power: what an electrician is shown, and what is theirs to decide."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial

import shapely

from app.drawing.composed import Subject, composed
from app.drawing.figure import room_bounds, room_figure
from app.drawing.figure_kit import drawing_order, reaches_into
from app.drawing.figure_room import socket_at, sockets
from app.drawing.figures_placed import Figure
from app.drawing.flow import Block, Entry, Stacked, Words
from app.drawing.legend import SOCKET, overhead_rows
from app.drawing.lettering import width_of
from app.drawing.medium import Medium, region
from app.drawing.paper import SLIM_MM
from app.drawing.placing import Crowd, Spot, around
from app.drawing.primitives import Group, Item, Line, Point, Polygon, Polyline, Text
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.sheet_words import Sample, area_sample, legend_block, line_sample
from app.drawing.sheets.corner_marks import corner_marks
from app.drawing.sheets.figures_in_rows import Figures
from app.drawing.sheets.power_marks import power_keys, power_marks, power_points
from app.drawing.table_cells import Cells
from app.model.finishing import LightChoice
from app.model.room import Socket
from app.scene.build import Scene
from app.scene.loads import Load, loads
from app.scene.naming import corner_name, wall_called
from app.takeoff.lights import Layout, hung, hung_says, layouts
from app.takeoff.line import Gathered, TakeOff
from app.takeoff.line import Line as Counted
from app.takeoff.supply_ways import runs_with_feeds, supply_says
from app.units import Units, format_short
from app.wording import lower

DECIDES = (
    "For an electrician to decide. Nothing here is a design: it shows what is wanted and where."
)
_KW = 1000.0
_POWER = (0.1, 0.56, 0.34)
"""Shares of a row of sockets: its name, where it is or what is near it, the circuit."""


def power_sheet(
    scene: Scene,
    take_off: TakeOff,
    *,
    paper: str = "A3",
    scale: int | None = None,
    fields: TitleFields | None = None,
) -> Sheet:
    """Draw joists, fittings, strips and sockets, and what hangs on which. Raises SheetError."""
    laid = _laid(scene)
    lamps = _lamps(laid)
    return composed(
        scene.plan,
        Subject("power", "Ceiling, light and power"),
        [partial(_figure, scene, lamps)],
        _blocks(scene, take_off, laid),
        paper=paper,
        scale=scale,
        fields=fields,
        measured=[lambda medium, at: Figure((), room_bounds(scene.room, medium))],
        column_mm=SLIM_MM,
    )


Lamp = tuple[Point, tuple[Point, ...]]


def _laid(scene: Scene) -> Layout | None:
    """Return how the room is lit, where that is chosen or taken for granted."""
    choice = scene.plan.fit_out.light
    if choice is None and scene.plan.fit_out.nothing_assumed:
        return None
    return next(iter(layouts(scene, choice or LightChoice(), Gathered())), None)


def _lamps(layout: Layout | None) -> list[Lamp]:
    """Return the middle and outline of every fitting that has a place."""
    if layout is None:
        return []
    fitting, places = layout.fitting, layout.places
    half_l, half_w = fitting.length_mm / 2, fitting.width_mm / 2
    turn = math.radians(places.angle_deg)
    c, s = math.cos(turn), math.sin(turn)
    corners = ((-half_l, -half_w), (half_l, -half_w), (half_l, half_w), (-half_l, half_w))
    return [
        (at, tuple((at[0] + x * c - y * s, at[1] + x * s + y * c) for x, y in corners))
        for at in places.at
    ]


def _figure(scene: Scene, lamps: list[Lamp], medium: Medium, scale: int) -> Figure:
    room, em = scene.room, medium.em_mm
    figure = room_figure(room, medium)
    faint = tuple(
        region(placed.footprint, "pale")
        for placed in drawing_order(scene)
        if reaches_into(placed, room)
    )
    items: list[Item] = [Polygon(outline, "lamp") for _, outline in lamps]
    crowd = Crowd([shapely.Polygon(o).boundary for _, o in lamps], room.free)
    for run in scene.plan.fit_out.strips:
        if run.wall is None:
            items.append(Polyline(run.points, "lit"))
        else:
            wall = next((w for w in room.walls if w.id == run.wall), None)
            if wall is not None:
                ends = tuple(socket_at(wall, along) for along, _ in run.points)
                items.append(Polyline(ends, "lit"))
    marks = power_marks(scene, em)
    for _, at in power_points(scene, em):
        crowd.take(around(at, em * 2.6, em * 2.6))
    names: list[Item] = corner_marks(scene, figure, em, crowd)
    for i, (at, _) in enumerate(lamps):
        names.append(_name(f"L{i + 1}", at, em, crowd))
    for i, socket in enumerate(room.room.sockets):
        wall = next(w for w in room.walls if w.id == socket.wall)
        x, y = socket_at(wall, socket.offset_mm)
        inner = (x + wall.inward[0] * em * 1.6, y + wall.inward[1] * em * 1.6)
        names.append(_name(f"S{i + 1}", inner, em, crowd))
    points = _socket_points(scene)
    wires = tuple(
        Line(load.placed.at, (points[i].x, points[i].y), "cable") for load, i in _plugged(scene)
    )
    return Figure(
        (
            figure.floor,
            Group(faint, "layer-kit"),
            Group(figure.joists, "layer-joists"),
            Group((*figure.low, *figure.overhead), "layer-overhead"),
            figure.walls,
            figure.doors,
            Group(wires, "layer-cables"),
            Group(tuple(items), "layer-light"),
            Group((*sockets(room, medium), *marks), "layer-sockets"),
            figure.dims,
            Group(tuple(names), "layer-names"),
        ),
        figure.bounds,
    )


def _name(words: str, at: Point, em: float, crowd: Crowd) -> Text:
    wide = width_of(words, em, bold=True)
    x, y = at
    spots = [
        Spot((x, y + em * 1.3), 0.0), Spot((x, y - em * 1.3), 0.1),
        Spot((x + wide, y), 0.3), Spot((x - wide, y), 0.3),
        Spot((x + wide, y + em * 1.3), 0.4), Spot((x - wide, y - em * 1.3), 0.4),
    ]  # fmt: skip
    at = crowd.place(wide, em, spots)
    return Text((at[0], at[1] + em * 0.36), words, "chalk-mark")


def _plugged(scene: Scene) -> list[tuple[Load, int]]:
    """Return what draws power with the number of the socket nearest to it."""
    points = _socket_points(scene)
    if not points:
        return []
    return [
        (load, min(range(len(points)), key=lambda i: points[i].distance(load.placed.footprint)))
        for load in loads(scene)
    ]


def _socket_points(scene: Scene) -> list[shapely.Point]:
    walls = {wall.id: wall for wall in scene.room.walls}
    sockets = scene.room.room.sockets
    return [shapely.Point(socket_at(walls[s.wall], s.offset_mm)) for s in sockets]


def _blocks(scene: Scene, take_off: TakeOff, laid: Layout | None) -> list[Block]:
    units = scene.plan.units
    hangs = laid is not None and laid.places.at
    blocks = [Block("Who decides", (Words(DECIDES, "small-bold"),)), _legend(scene, bool(hangs))]
    if laid is not None and hangs:
        blocks.append(Block("Light", tuple(_light(scene, take_off, laid))))
    blocks += _strips([line for line in take_off.lines if line.part == "strip"])
    supplies = tuple(
        Words(sentence) for run, _ in runs_with_feeds(scene) for sentence in supply_says(scene, run)
    )
    if supplies:
        blocks[-1] = replace(blocks[-1], entries=(*blocks[-1].entries, *supplies))
    blocks.append(Block("Power", tuple(_power(scene, units))))
    return blocks


def _strips(lines: Sequence[Counted]) -> Iterator[Block]:
    """Tell each light strip under its name, as far as there is something to say of its parts.

    Its small parts are on the sheet of quantities.
    """
    for where in dict.fromkeys(line.where for line in lines):
        here = [line for line in lines if line.where == where]
        name = f"{where[:1].upper()}{where[1:]}"
        # a household's own name may say where it is and not what
        head = name if "strip" in name.lower() else f"Light strip: {lower(name)}"
        rows: list[Entry] = []
        for line in here:
            # what a note says of this strip by name stands under the name already
            notes = [note.removeprefix(f"{name}: ") for note in line.notes]
            if notes:
                sentences = " ".join(f"{note[:1].upper()}{note[1:]}" for note in notes)
                rows.append(Words(f"{line.item}. {sentences}"))
        yield Block(head, tuple(rows))


def _light(scene: Scene, take_off: TakeOff, laid: Layout) -> list[Entry]:
    units = scene.plan.units
    line = next((one for one in take_off.lines if one.part == "light"), None)
    rows: list[Entry] = []
    if line is not None:
        rows.append(Words(f"{len(laid.places.at)} × {line.item}, {line.where}."))
    rows += [Words(sentence) for sentence in hung_says(scene, laid)]
    told = hung(scene, laid)
    name = wall_called(scene, scene.room.walls[told.wall].id)
    alike = len({round(high) if math.isfinite(high) else None for *_, high in told.each}) == 1
    rows.append(
        Words(
            f"Middles, from {corner_name(told.wall)} along {name} and out from it"
            f"{'' if alike else ', and each underside'}:",
            after_mm=0.3,
        )
    )
    rows.append(
        Figures(
            tuple(
                (f"L{i}", *(_short(mm, units) for mm in (each[:2] if alike else each)))
                for i, each in enumerate(told.each, 1)
            )
        )
    )
    rows.append(Words("Switch beside the way out, at the height that local code asks for."))
    return rows


def _short(mm: float, units: Units) -> str:
    return format_short(mm, units) if math.isfinite(mm) else "–"


def _power(scene: Scene, units: Units) -> list[Entry]:
    electricity = scene.plan.room.electricity
    feed = {
        "unknown": "not known yet what feeds the room",
        "fused-spur": "a fused spur",
        "one-circuit": "one circuit",
        "own-board": "a board of its own",
    }[electricity.feed]
    amps = f", {electricity.amps:g} A" if electricity.amps else ""
    trip = {"yes": "there", "no": "missing", "unknown": "not known yet"}
    rows: list[Entry] = [
        Words(
            f"Feed: {feed}{amps}, {electricity.volts} V. "
            f"Trip switch (RCD): {trip[electricity.residual_current_protection]}."
        ),
    ]
    circuits = {one.id: one for one in electricity.circuits}

    def circuit_words(key: str | None) -> str:
        one = circuits.get(key or "")
        if one is None:
            return "circuit not known"
        return f"{one.label or one.id}, {one.amps:g} A"

    nearest = _plugged(scene)
    for i, socket in enumerate(scene.plan.room.sockets):
        corner, mm = _from_corner(scene, socket)
        along, high = (format_short(each, units) for each in (mm, socket.height_mm))
        where = f"{along} from {corner}, {high} high"
        own = Cells((f"S{i + 1}", where, circuit_words(socket.circuit)), _POWER)
        near = _load_rows([load for load, at in nearest if at == i], circuit_words)
        rows.append(Stacked((own, *near)))
    if not scene.plan.room.sockets:
        rows.append(Words("No socket is entered."))
        rows += _load_rows(list(loads(scene)), circuit_words)
    return rows


def _from_corner(scene: Scene, socket: Socket) -> tuple[str, float]:
    """Return the corner that a socket's wall starts at, and how far along from it in mm."""
    number, wall = next((i, one) for i, one in enumerate(scene.room.walls) if one.id == socket.wall)
    x, y = socket_at(wall, socket.offset_mm)
    along = (x - wall.start[0]) * wall.along[0] + (y - wall.start[1]) * wall.along[1]
    return corner_name(number), along


def _load_rows(some: Sequence[Load], circuit_words: Callable[[str | None], str]) -> Iterator[Entry]:
    """Yield what draws power near a socket, what has a circuit of its own by itself."""
    own = [load for load in some if load.placed.piece.circuit]
    for load in own:
        yield Cells(("", _draws(load), circuit_words(load.placed.piece.circuit)), _POWER)
    shared = "; ".join(_draws(load) for load in some if load not in own)
    if shared:
        yield Cells(("", shared), (_POWER[0], sum(_POWER[1:])))


def _draws(load: Load) -> str:
    return f"{load.placed.name}, {load.watts / _KW:.1f} kW"


def _legend(scene: Scene, lit: bool) -> Block:
    samples: list[tuple[str, Sample]] = [("light fitting", area_sample("lamp"))] if lit else []
    if scene.plan.fit_out.strips:
        samples.append(("light strip", line_sample("lit")))
    if any(reaches_into(placed, scene.room) for placed in scene.order):
        samples.append(("kit under it", area_sample("pale")))
    samples += overhead_rows(scene)
    if scene.room.room.sockets:
        samples.append(SOCKET)
    samples += power_keys(scene)
    if _plugged(scene):
        samples.append(("to its nearest socket, not the way of the cable", line_sample("cable")))
    return legend_block(samples)
