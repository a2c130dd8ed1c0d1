"""The stages of the floor: which part is worked on when, and what stands where meanwhile."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from shapely import Polygon

from app.checks.clash import clashes
from app.checks.doors import doors
from app.checks.outside import outside, under_ceiling
from app.checks.snag import Snag
from app.model.base import json_of
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.scene.build import Scene, build_scene
from app.works.painting import LEVEL
from app.works.programme import Dated, Programme

Corner = tuple[float, float]
STANDS_AS = "other-thing"
"""The kit type of a box that holds a thing whose outline nobody knows."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a thing stands meanwhile: the middle of its rectangle, its turn, its sides in mm."""

    id: str
    name: str
    x_mm: float
    y_mm: float
    angle_deg: float
    width_mm: float
    depth_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class SplitStage:
    """One part while it is worked on: its area, what stands where, how wide the way is."""

    area: Polygon
    places: tuple[Place, ...]
    way_mm: float | None
    way: tuple[Corner, ...] = ()


@dataclass(frozen=True, slots=True)
class Split:
    """The parts of the floor in the order in which they are worked on."""

    areas: tuple[Polygon, ...]
    stages: tuple[SplitStage, ...]
    outside_m2: float
    says: tuple[str, ...]
    names: tuple[str, ...] = ("",)


@dataclass(frozen=True, slots=True)
class Stage:
    """A stage with its dates; `painted` are the days on which a coat goes on in its part."""

    starts: datetime
    ends: datetime
    name: str
    part: int
    outline: tuple[Corner, ...]
    places: tuple[Place, ...]
    way_mm: float | None
    way: tuple[Corner, ...] = ()
    painted: tuple[date, ...] = ()


def dated_stages(split: Split, made: Programme) -> tuple[Stage, ...]:
    """Return the stages with the days on which their part is worked on or dries."""
    dated = []
    for number, stage in enumerate(split.stages, start=1):
        tasks = [one for one in made.tasks if one.task.part == number and one.task.hours]
        if not tasks:
            continue
        name = split.names[number - 1].capitalize()
        dated.append(
            Stage(
                min(one.starts for one in tasks),
                max(one.dry or one.ends for one in tasks),
                name,
                number,
                tuple((float(x), float(y)) for x, y in stage.area.exterior.coords[:-1]),
                stage.places,
                stage.way_mm,
                stage.way,
                _painted(tasks),
            )
        )
    return tuple(dated)


def _painted(tasks: Sequence[Dated]) -> tuple[date, ...]:
    coats = [one for one in tasks if one.task.paint and one.task.kind != LEVEL]
    return tuple(sorted({stretch.starts.date() for one in coats for stretch in one.stretches}))


def stage_plan(plan: Plan, places: tuple[Place, ...]) -> Plan:
    """Return the plan as it stands in a stage: what is fixed, and the things in their places."""
    moved = {place.id.removeprefix("piece.") for place in places}
    fixed = [piece for piece in plan.pieces if piece.stays and piece.id not in moved]
    things = [
        Piece(
            id=f"stage-{i}",
            type=STANDS_AS,
            label=place.name[:120],
            pose=Pose(x_mm=place.x_mm, y_mm=place.y_mm, angle_deg=place.angle_deg),
            width_mm=place.width_mm,
            depth_mm=place.depth_mm,
            height_mm=place.height_mm,
        )
        for i, place in enumerate(places)
    ]
    pieces = [json_of(piece) for piece in (*fixed, *things)]
    ids = {piece["id"] for piece in pieces}
    for piece in pieces:
        piece["carried_by"] = piece["carried_by"] if piece["carried_by"] in ids else None
    data = {**json_of(plan), "pieces": pieces, "situations": [], "settled": []}
    return Plan.model_validate(data)


def judged(scene: Scene, stage: SplitStage) -> tuple[Snag, ...]:
    """Return what the judge says against a stage: things in one another, in walls, before doors."""
    there = build_scene(stage_plan(scene.plan, stage.places))
    return tuple(snag for snag in _against(there) if snag.severity == "stop")


def _against(there: Scene) -> Iterator[Snag]:
    for check in (clashes, outside, under_ceiling, doors):
        yield from check(there)
