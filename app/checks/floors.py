"""The floor: what presses on it, how it falls, how soft its covering is, who is below or beside.

Static figures never clear a floor over a room: they only tell what to lay before an engineer.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from app.checks.body_mass import heaviest_kg
from app.checks.snag import Snag
from app.checks.standing import snags_of_plan
from app.formulas.statics import mass_borne_kg, point_kn, pressure_kpa
from app.model.room import Plane
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.floor_fall import fall_under, falls, stands_level
from app.scene.tolerance import ROUNDING, TOLERANCE_MM
from app.takeoff.calling import downhill
from app.wording import lower, told_beside

_SOFT = frozenset({"foam", "carpet"})
_SUSPENDED = frozenset({"suspended-slab", "timber"})
_THUMPS = frozenset(
    {"deadlift", "barbell-row", "box-jump", "run", "skip", "kettlebell-swing", "dumbbell-press"}
)
_STRUCK = frozenset({"bag"})
_RUNS = frozenset({"run"})
_STORES = "Bars and weights"
"""The group of what weights lie on."""


@dataclass(frozen=True, slots=True)
class Pressing:
    """One station on the floor: all its mass, with whoever is on it and with plates, and its foot.

    `added_kg` is what is not the carrier's own, `borne_kg` the most that a floor of a home is
    designed for there, all in all.
    """

    placed: Placed
    mass_kg: float
    added_kg: float
    pressure_kpa: float
    point_kn: float
    borne_kg: float

    @property
    def deciding(self) -> tuple[str, float, float]:
        """The load that decides, in words, how large it is here, and what homes are designed for.

        What weighs no more in all than the single load that a floor bears on any spot is borne by
        it however small the foot: the spread load is the other one of the two cases. Each foot
        stands on one spot.
        """
        limit, single = published("floor.home.pressure-kpa"), published("floor.home.point-kn")
        size = self.placed.extent
        alone = point_kn(self.borne_kg, published("floor.feet"))
        if alone >= single * (1 - ROUNDING):
            return "{} kN a foot", self.point_kn, single
        if pressure_kpa(self.borne_kg, size.width_mm, size.depth_mm) <= limit * (1 + ROUNDING):
            return "{} kN/m2", self.pressure_kpa, limit
        return "{} kN in one place", point_kn(self.mass_kg, 1), single


_HUNG = ("wall", "ceiling")


def floors(scene: Scene) -> Iterator[Snag]:
    """Yield one snag for each overload, and at most one each for covering, impact and fall."""
    yield from snags_of_plan(scene, "floor", _as_planned)
    yield from _falls(scene)


def _as_planned(scene: Scene) -> Iterator[Snag]:
    yield from _load(scene)
    yield from _soft(scene)
    yield from _impact(scene)
    yield from _damp(scene)


def pressing(scene: Scene) -> tuple[Pressing, ...]:
    """Return what each station presses on the floor, in the order of the pieces."""
    pressed = []
    for host in scene.order:
        on_floor = host.root == host.piece.id and host.kit.solids and host.kit.fixed is None
        # what hangs on a wall, a mirror, presses on that
        hangs = host.kit.fixing in _HUNG and (host.shape.low_mm > TOLERANCE_MM).all()
        if not on_floor or host.piece.stays or hangs:
            continue
        mates = scene.stations[host.piece.id]
        mass = sum(mate.piece.mass_kg or mate.kit.mass_kg for mate in mates)
        # whoever takes a weight from its store stands beside that
        if any(mate.kit.uses for mate in mates if mate.kit.group != _STORES):
            mass += heaviest_kg(scene)
        if any(mate.kit.bar is not None for mate in mates):
            mass += published("floor.plates-on-bar-kg")
        size = host.extent
        pressed.append(
            Pressing(
                host,
                mass,
                mass - (host.piece.mass_kg or host.kit.mass_kg),
                pressure_kpa(mass, size.width_mm, size.depth_mm),
                point_kn(mass, published("floor.feet")),
                mass_borne_kg(
                    published("floor.home.pressure-kpa"),
                    published("floor.home.point-kn"),
                    size.width_mm,
                    size.depth_mm,
                    published("floor.feet"),
                ),
            )
        )
    return tuple(pressed)


def _asked_of(placed: Placed, above: bool) -> str:
    """Say what to do: nobody jumps on a store or lets it fall."""
    if placed.kit.holds:
        less = "Keep less on it" if above else "Keep no more on it than that"
        return f"{less}, or ask an engineer."
    return "Drops and jumps are many times that: ask an engineer."


def _load(scene: Scene) -> Iterator[Snag]:
    floor, fabric = scene.plan.room.floor, scene.plan.room.fabric
    hangs = floor.construction in _SUSPENDED or fabric.below == "room"
    if not hangs and (floor.construction == "ground-slab" or fabric.below == "ground"):
        return
    stations = pressing(scene)
    if not stations:
        return
    worst = sorted(stations, key=lambda station: -station.mass_kg / station.borne_kg)
    above = [station for station in worst if station.mass_kg > station.borne_kg]
    keys = ("floor.home.pressure-kpa", "floor.home.point-kn", "floor.plates-on-bar-kg")
    if not hangs:
        if above:
            yield Snag(
                code="ask-floor",
                question=True,
                severity="note",
                template="whether the floor lies on the ground or over a room",
                source_keys=keys,
            )
        return
    # each overload is a row with its own way out: less on the shelves helps no bag
    for station in above or worst[:1]:
        yield _loaded(station, keys, above=bool(above))


def _loaded(station: Pressing, keys: tuple[str, ...], *, above: bool) -> Snag:
    """Return what one station presses on a floor that hangs."""
    load, here, designed = station.deciding
    return Snag(
        code="floor-load",
        eased_by=frozenset({"weight"}),
        severity="care" if above else "note",
        template="{} in use, {:kg}: "
        + load
        + "; homes are designed for {}, here {:kg} in all. "
        + _asked_of(station.placed, above),
        values=(
            station.placed.name,
            station.mass_kg,
            told_beside(here, designed),
            told_beside(designed, here),
            # not rounded up: 143 would read as what 142.6 bears
            math.floor(station.borne_kg + ROUNDING),
        ),
        pieces=(station.placed.piece.id,),
        names=(station.placed.name, "floor"),
        measured=round(here, 2),
        required=designed,
        unit="kN/m2" if here == station.pressure_kpa else "kN",
        source_keys=keys,
        working=(
            ("mass, kg", round(station.mass_kg, 1)),
            ("pressure, kN/m2", round(station.pressure_kpa, 2)),
            ("under each foot, kN", round(station.point_kn, 2)),
        ),
    )


def _soft(scene: Scene) -> Iterator[Snag]:
    material = scene.plan.room.floor.covering.material
    if material not in _SOFT:
        return
    leaning = [
        placed
        for placed in scene.order
        if (placed.kit.group == "Racks" or {u.movement for u in placed.kit.uses} & _RUNS)
    ]
    if not leaning:
        return
    names = " and the ".join(dict.fromkeys(lower(placed.name) for placed in leaning))
    yield Snag(
        code="soft-floor",
        severity="care",
        template="The {} is soft: the {} would lean when loaded. Put {:mm} of board or hard "
        "rubber under all of it.",
        values=(material, names, published("fixing.board-mm")),
        pieces=tuple(placed.piece.id for placed in leaning),
        names=("soft covering",),
        unit=None,
        source_keys=("fixing.board-mm",),
    )


def _impact(scene: Scene) -> Iterator[Snag]:
    room = scene.plan.room
    used_for = {use.movement for placed in scene.order for use in placed.kit.uses}
    if not used_for & (_THUMPS | _STRUCK) and not scene.bars.any():
        return
    blows = "Blows at a bag, drops" if used_for & _STRUCK else "Drops"
    names = zip(scene.fixed_names, scene.room.walls, strict=False)
    shared = [f"the shared {name.removeprefix('the ')}" for name, wall in names if wall.wall.shared]
    if room.fabric.below == "room":
        shared.insert(0, "the floor in the room below")
    if shared:
        yield Snag(
            code="impact",
            background=True,
            severity="note",
            template="{}, jumps and running are heard through {}: pads, no drops, hours agreed.",
            values=(blows, " and through ".join(shared)),
            names=("impact",),
            unit=None,
        )


def _damp(scene: Scene) -> Iterator[Snag]:
    room = scene.plan.room
    on_ground = room.floor.construction == "ground-slab" or room.fabric.below == "ground"
    if room.floor.covering.material == "bare" or not on_ground or room.fabric.floor_dry == "yes":
        return
    if room.fabric.floor_dry == "no":
        yield Snag(
            code="damp-floor",
            severity="care",
            template="The floor is damp: the covering traps it. Find where the water comes from "
            "before anything is laid.",
            names=("damp floor",),
            unit=None,
            source_keys=("floor.damp-sheet-hours",),
        )
    else:
        yield Snag(
            code="ask-damp",
            question=True,
            severity="note",
            template="whether the floor is dry (tape a plastic sheet down overnight)",
            source_keys=("floor.damp-sheet-hours",),
        )


def _falls(scene: Scene) -> Iterator[Snag]:
    """Yield one note where the floor falls under what should stand level."""
    if not falls(scene):
        return
    worst: tuple[float, Placed, Plane] | None = None
    for placed in scene.order:
        if not stands_level(placed):
            continue
        fall = fall_under(scene, placed)
        if worst is None or fall[0] > worst[0]:
            worst = (fall[0], placed, fall[1])
    if worst is None or worst[0] < published("floor.pack-least-mm"):
        return
    pack, placed, plane = worst
    to = downhill(scene, plane)
    yield Snag(
        code="floor-falls",
        background=True,
        severity="note",
        template="The floor falls {:mm} under the {}: pack its lower feet by that, or the "
        "bar rolls towards {}.",
        values=(pack, lower(placed.name), to),
        pieces=(placed.piece.id,),
        names=(placed.name, "fall of the floor"),
        measured=round(pack),
        required=round(published("floor.pack-least-mm")),
        where=placed.at,
        source_keys=("floor.garage-fall-mm-per-m", "floor.pack-least-mm"),
    )
