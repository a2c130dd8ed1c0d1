"""Air, cold and damp: one note at most, and a stop only where a fuel is burned.

Everything is an estimate from the room's own figures. Cold and bad air stop nobody; fumes do.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.checks.snag import Snag
from app.formulas import air, damp, warmth
from app.model.room import Opening, Wall
from app.published.register import published
from app.scales import TEMPERATURE
from app.scene.build import Scene
from app.scene.part_cover import highest_given_mm
from app.units import KILO, MEGA, MINUTES_AN_HOUR
from app.wording import phrase

_IRON = ("Racks", "Bars and weights")
_METRE, _M2 = KILO, MEGA


def air_and_damp(scene: Scene) -> Iterator[Snag]:
    """Yield the stop of a burned fuel, and one note of what lies beyond a limit."""
    yield from scene.memo(("air",), lambda: tuple(_all(scene)))


def _all(scene: Scene) -> Iterator[Snag]:
    climate = scene.plan.room.climate
    if climate.fuel_burned_here == "yes":
        yield Snag(
            code="fuel-burned-here",
            severity="stop",
            template="A fuel is burned in this room. People who train breathe hard, fumes cannot "
            "be smelled, and open doors do not make up for it: nothing without a flue is lit "
            "here; whether a heater or boiler with a flue may stay, a licensed fitter decides. "
            "Fit an alarm for carbon monoxide.",
            names=("fumes",),
            unit=None,
            source_keys=("air.engine-away-mm",),
        )
    elif climate.fuel_burned_here == "unknown" and _has(scene, "boiler"):
        yield Snag(
            code="ask-fuel",
            question=True,
            severity="note",
            template="whether the boiler burns a fuel and takes its air from this room",
            unit=None,
            source_keys=("air.engine-away-mm",),
        )
    if scene.plan.people and scene.order:
        yield from _note(scene)


def _has(scene: Scene, *types: str) -> bool:
    return any(placed.kit.key in types for placed in scene.order)


def _note(scene: Scene) -> Iterator[Snag]:
    clauses: list[str] = []
    keys: list[str] = []
    ppm = _co2_ppm(scene)
    limit = air.co2_guideline_ppm()
    if ppm > limit:
        minutes, people = scene.plan.room.climate.session_minutes, len(scene.plan.people)
        who = "one person" if people == 1 else f"{people} people"
        clauses.append(
            f"after {minutes:.0f} minutes with {who} the air holds about "
            f"{round(ppm, -1):.0f} ppm of carbon dioxide, the guideline is {limit:.0f}: "
            "open a door now and then"
        )
        keys += ["air.co2.rise-ppm", "air.co2.l-s-met", "air.met.training"]
    for text, key in (_cold(scene), _wet(scene), _car(scene)):
        if text:
            clauses.append(text)
            keys.append(key)
    if clauses:
        text = "; ".join(clauses)
        yield Snag(
            code="air",
            background=True,
            severity="note",
            template="{}.",
            values=(text[:1].upper() + text[1:],),
            parts=tuple(phrase("{:cap}.", one) for one in clauses),
            names=("air and damp",),
            measured=round(ppm) if ppm > limit else None,
            required=round(limit) if ppm > limit else None,
            unit="ppm" if ppm > limit else None,
            source_keys=tuple(keys),
            working=(
                ("volume of the room, m3", round(volume_m3(scene), 1)),
                ("heat lost for each degree, W", round(loss_w_k(scene))),
            ),
        )


def _co2_ppm(scene: Scene) -> float:
    climate = scene.plan.room.climate
    given = air.given_off_l_s(len(scene.plan.people), published("air.met.training"))
    changes = climate.air_changes_per_hour
    return air.co2_after_ppm(given, volume_m3(scene), changes, climate.session_minutes)


def _cold(scene: Scene) -> tuple[str, str]:
    """Say what the heaters that are there do not reach."""
    climate = scene.plan.room.climate
    heaters = [p for p in scene.order if p.kit.key in ("heater", "radiant-panel")]
    watts = sum(
        p.kit.power_w if p.piece.power_w is None else p.piece.power_w
        for p in heaters
        if p.piece.state != "out"
    )
    if not watts:
        return "", ""
    lift = warmth.lifts_k(watts, loss_w_k(scene))
    wanted = climate.wanted_c - climate.outside_c
    if lift >= wanted:
        return "", ""
    lifted, needed = (TEMPERATURE.step_words(k, scene.plan.units) for k in (lift, wanted))
    return (
        f"{watts / _METRE:.1f} kW warm this room to about {lifted} above outdoors; {needed} are "
        "needed",
        "warmth.u.unknown",
    )


def _wet(scene: Scene) -> tuple[str, str]:
    """Say where the water of a session settles, if nothing dries the air."""
    iron = any(p.kit.group in _IRON for p in scene.order)
    glass = _has(scene, "mirror") or bool(scene.plan.fit_out.mirrors)
    # under a heated house, or with its boiler in it, no room gets as cold as a garage
    warm = scene.plan.room.fabric.below == "room" or _has(scene, "boiler")
    if warm or _has(scene, "dehumidifier") or not (iron or glass):
        return "", ""
    climate = scene.plan.room.climate
    start = damp.vapour_g_m3(climate.unheated_c, climate.humidity_percent)
    given = len(scene.plan.people) * published("damp.training-g-h")
    volume, changes = volume_m3(scene), climate.air_changes_per_hour
    hours = climate.session_minutes / MINUTES_AN_HOUR
    if changes > 0:
        steady = start + given / (volume * changes)
        held = air.after(start, steady, changes, climate.session_minutes)
    else:
        held = start + given * hours / volume
    dew = damp.dew_point_of_vapour_c(held, max(climate.wanted_c, climate.unheated_c))
    if dew <= climate.unheated_c:
        return "", ""
    both = iron and glass
    what = "iron and mirror" if both else "iron" if iron else "the mirror"
    told = partial(TEMPERATURE.words, units=scene.plan.units)
    return (
        f"{what} at {told(climate.unheated_c)} {'get' if both else 'gets'} wet after training, "
        f"because moisture settles on anything below {told(dew)} (the dew point): wipe it, air "
        "the room, or dry the air",
        "damp.training-g-h",
    )


def _car(scene: Scene) -> tuple[str, str]:
    if scene.plan.room.climate.car_kept_here != "yes" and not _has(scene, "car", "motorbike"):
        return "", ""
    return "never run an engine in here, even with the door open", "air.engine-away-mm"


def volume_m3(scene: Scene) -> float:
    """Return the volume of the room under its ceiling as it will be finished, in m3."""
    room, volume = scene.plan.room, 0.0
    left: BaseGeometry = scene.room.free
    floor = room.floor.planes[0]
    for plane in sorted(room.ceiling.finished, key=lambda p: not p.outline):
        part = left.intersection(Polygon(plane.outline)) if plane.outline else left
        if part.is_empty:
            continue
        x, y = part.centroid.x, part.centroid.y
        volume += part.area * max(0.0, plane.height_at(x, y) - floor.height_at(x, y))
        left = left.difference(part)
    if not left.is_empty:
        x, y = left.centroid.x, left.centroid.y
        volume += left.area * max(0.0, highest_given_mm(room) - floor.height_at(x, y))
    return volume / (_M2 * _METRE)


def loss_w_k(scene: Scene) -> float:
    """Return the heat in W that the room loses for each degree: fabric and changed air."""
    room = scene.plan.room
    area = scene.room.free.area / _M2
    volume = volume_m3(scene)
    high = volume / area
    parts: list[tuple[float, float]] = []
    for wall in room.walls:
        if not wall.outside:
            continue
        openings = [o for o in room.openings if o.wall == wall.id and o.kind != "gap"]
        holes = [(o.width_mm * o.height_mm / _M2, _opening_u(o)) for o in openings]
        parts += holes
        whole = room.wall_length_mm(wall.id) / _METRE * high
        parts.append((max(0.0, whole - sum(hole for hole, _ in holes)), _wall_u(wall)))
    if room.fabric.under_the_house != "yes":
        parts.append((area, published(f"warmth.u.ceiling.{room.ceiling.construction}")))
    if room.fabric.below != "room":
        parts.append((area, published(f"warmth.u.floor.{room.floor.construction}")))
    return warmth.loss_w_per_k(parts, volume, room.climate.air_changes_per_hour)


def _wall_u(wall: Wall) -> float:
    return warmth.lined_u(published(f"warmth.u.{wall.construction}"), wall.lining_mm)


def _opening_u(opening: Opening) -> float:
    if opening.is_garage_door:
        return published("warmth.u.opening.garage-door")
    kind = "window" if opening.kind == "window" else "door"
    return published(f"warmth.u.opening.{kind}")
