"""Which coats go where: what the plan chooses, and for the rest what the surfaces ask for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from app.formulas.paint import litres, practical_rate_m2_l, theoretical_rate_m2_l
from app.library.finishes import Coating, Texture, finishes
from app.model.finishing import PaintJob, PaintTool, Surface
from app.model.room import Wall
from app.published.register import published
from app.scene.build import Scene
from app.scene.part_cover import area_within
from app.takeoff.calling import paint_called
from app.takeoff.line import Gathered
from app.takeoff.surfaces import (
    MM2_A_M2,
    Face,
    ceiling_m2,
    column_faces_m2,
    faces,
    floor_area,
)

_BY_FINISH = {
    "plaster": "smooth-plaster",
    "plasterboard": "plasterboard",
    "timber-board": "timber-board",
    "painted": "painted-masonry",
}
_BARE = {
    "solid-brick": "brick",
    "dense-block": "dense-block",
    "hollow-block": "open-block",
    "aerated-block": "dense-block",
    "single-skin-block": "open-block",
    "concrete": "concrete",
    "timber-studs": "timber-board",
    "metal-studs": "plasterboard",
    "unknown": "dense-block",
}
_LINED = "plasterboard"
PRIMER = "board-primer"
"""What goes on bare board first."""
_PRIMERS = frozenset({PRIMER, "masonry-sealer"})
"""What goes on bare board before paint, so that it needs no other."""
MASONRY = frozenset({"brick", "dense-block", "open-block", "concrete"})


@dataclass(frozen=True, slots=True)
class Coat:
    """One coating on one surface: how much there is of it and how far it goes there."""

    job: str
    surface: Surface
    where: str
    area_m2: float
    texture: Texture
    coating: Coating
    coats: int
    tool: PaintTool
    colour: str
    rate_m2_l: float
    own_rate: bool
    assumed: bool
    film_um: float | None
    in_parts: int


def coats(scene: Scene, gathered: Gathered) -> list[Coat]:
    """Return every coat of the plan; faults and gaps go to what is gathered."""
    fit_out = scene.plan.fit_out
    result: list[Coat] = []
    for job in fit_out.paint:
        result += _of_job(scene, job, gathered, assumed=False)
    if not fit_out.nothing_assumed:
        chosen = {job.surface for job in fit_out.paint}
        for job in usual_paint(scene):
            if job.surface not in chosen:
                result += _of_job(scene, job, gathered, assumed=True)
    return result


def usual_paint(scene: Scene) -> Iterator[PaintJob]:
    """Return what one would paint who chose nothing: two coats, a sealer first on bare masonry."""
    room = scene.plan.room
    bare = tuple(wall.id for wall in room.walls if texture_of(wall) in MASONRY)
    if bare:
        yield PaintJob(id="stabiliser", surface="walls", walls=bare, coating="masonry-sealer")
    yield PaintJob(id="walls", surface="walls")
    if room.ceiling.showing is None:
        yield PaintJob(id="ceiling", surface="ceiling")
    concrete = room.floor.construction in ("ground-slab", "suspended-slab")
    if room.floor.covering.material == "bare" and concrete:
        yield PaintJob(id="floor", surface="floor", coating="dust-sealer")


def texture_of(wall: Wall) -> str:
    """Return the key of the texture that a wall shows, its lining counted."""
    if wall.finish != "bare":
        return _BY_FINISH[wall.finish]
    return _LINED if wall.lining_mm else _BARE[wall.construction]


def _of_job(scene: Scene, job: PaintJob, gathered: Gathered, assumed: bool) -> list[Coat]:
    called = paint_called(scene, job)
    known = finishes()
    coating = known.coatings.get(job.coating)
    if coating is None:
        gathered.problems.append(f"{called}: there is no coating {job.coating!r}")
        return []
    if job.texture is not None and job.texture not in known.textures:
        gathered.problems.append(f"{called}: there is no texture {job.texture!r}")
        return []
    if job.surface not in coating.suits:
        gathered.says.append(f"{coating.name} is not made for the {job.surface}: read its tin.")
    result = []
    for where, area, texture, colour in _areas(scene, job, gathered):
        key, under = job.texture or texture, []
        if key == _LINED and coating.key not in _PRIMERS and _is_bare_board(scene, job, where):
            under.append((key, known.coatings[PRIMER]))
        if job.filler and job.surface == "walls" and key in MASONRY:
            under.append((key, known.coatings["block-filler"]))
            key = "filled-block"
        paint = _coat(job, called, where, area, key, coating, colour, gathered, assumed)
        if paint is None:
            # nothing is bought for under a coat that is none
            continue
        for bare, first in under:
            made = _coat(job, called, where, area, bare, first, "", gathered, assumed)
            result.append(made)
        result.append(paint)
    return [coat for coat in result if coat is not None]


def _is_bare_board(scene: Scene, job: PaintJob, where: str) -> bool:
    """Return whether bare board is painted: a wall that shows it, or a ceiling.

    Nothing says of a ceiling of board that it was painted before but the texture of its job.
    """
    if job.surface == "ceiling":
        return True
    walls = {face.name: face.wall.wall for face in faces(scene)}
    return where in walls and texture_of(walls[where]) == _LINED


_THICKEST_FILM_UM = 5_000.0
"""Poured floors are some millimetres thick; no coat of paint is thicker."""
_LEAST_RATE_M2_L = 0.2
"""The same as a rate: a litre on a fifth of a square metre stands 5 mm deep."""


def _coat(
    job: PaintJob,
    called: str,
    where: str,
    area: float,
    texture_key: str,
    coating: Coating,
    colour: str,
    gathered: Gathered,
    assumed: bool,
) -> Coat | None:
    texture = finishes().textures[texture_key]
    own = coating.key == job.coating
    typed = job.rate_m2_l if own else None
    film = coating.film_um if job.film_um is None or not own else job.film_um
    if film is not None and not 0 < film <= _THICKEST_FILM_UM:
        gathered.problems.append(f"{called}: a film of {film:,.9g} um is none; give its um dry")
        return None
    if typed is not None and typed < _LEAST_RATE_M2_L:
        gathered.problems.append(
            f"{called}: a spreading rate of {typed:,.9g} m2/L covers nothing; take the one on the "
            "tin"
        )
        return None
    rate = coating.rate_m2_l
    if film is not None:
        rate = theoretical_rate_m2_l(coating.solids_percent, film)
    return Coat(
        job.id,
        job.surface,
        where,
        area,
        texture,
        coating,
        (job.coats if own else None) or coating.coats,
        job.tool or texture.tool,
        colour,
        rate if typed is None else typed,
        typed is not None,
        assumed,
        film,
        job.in_parts,
    )


def _areas(
    scene: Scene, job: PaintJob, gathered: Gathered
) -> Iterator[tuple[str, float, str, str]]:
    room, called = scene.plan.room, paint_called(scene, job)
    if job.surface == "walls":
        yield from _walls(scene, job, gathered)
    elif job.surface == "ceiling":
        texture = "joists" if room.ceiling.showing else "plasterboard"
        if room.ceiling.construction == "slab" and not room.ceiling.finish_mm:
            texture = "concrete"
        yield "ceiling", ceiling_m2(scene), texture, job.colour
    else:
        area = floor_area(scene)
        if job.outline:
            area = area.intersection(area_within(job.outline))
        if area.area <= 0:
            gathered.problems.append(f"{called}: its outline lies off the floor")
            return
        texture = "timber-board" if room.floor.construction == "timber" else "concrete"
        yield (
            ("part of the floor" if job.outline else "floor"),
            area.area / MM2_A_M2,
            (texture),
            job.colour,
        )


def _walls(
    scene: Scene, job: PaintJob, gathered: Gathered
) -> Iterator[tuple[str, float, str, str]]:
    every, called = {face.wall.id: face for face in faces(scene)}, paint_called(scene, job)
    if any(wall_id not in every for wall_id in job.walls):
        gathered.problems.append(f"{called}: one of its walls is not in the room; choose again")
    rule = scene.plan.fit_out.measured_by
    for face in every.values():
        if job.walls and face.wall.id not in job.walls:
            continue
        if overfull(face):
            gathered.problems.append(
                f"{called}: {face.name} has {face.openings_m2:.2f} m2 of openings on "
                f"{face.gross_m2:.2f} m2 of wall; mend the openings, the wall is left out"
            )
            continue
        wall = face.wall.wall
        yield face.name, face.net_m2(rule), texture_of(wall), job.colour or wall.colour
    columns = column_faces_m2(scene)
    if columns > 0 and not job.walls:
        yield "columns and piers", columns, "dense-block", job.colour


def overfull(face: Face) -> bool:
    """Return whether the openings written for a wall come to more than the wall."""
    return face.openings_m2 > face.gross_m2


def litres_of(coat: Coat) -> tuple[float, float]:
    """Return the litres on the surface and the litres lost in the tool."""
    net = litres(coat.area_m2, coat.coats, rate_of(coat))
    loss = published(f"paint.loss.{coat.tool}")
    return net, net / practical_rate_m2_l(1, loss) - net


def rate_of(coat: Coat) -> float:
    """Return the spreading rate on this surface in m2/L: a typed one stands as it is."""
    as_is = coat.own_rate or coat.coating.even
    return coat.rate_m2_l if as_is else coat.rate_m2_l * coat.texture.factor
