"""What to mind while painting: days of drying, temperature, dew point, fumes, paint under mats."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial

import numpy as np
import shapely
from shapely import Point, Polygon

from app.formulas.damp import dew_point_c
from app.formulas.paint import fresh_air_m3_h, slower
from app.published.register import published
from app.scales import TEMPERATURE
from app.scene.build import Scene
from app.scene.part_cover import area_within
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.paint_plan import Coat, litres_of
from app.takeoff.paint_tools import is_solvent
from app.takeoff.surfaces import MM2_A_M2, ceiling_m2, floor_area
from app.units import HOURS_A_DAY, KILO
from app.wording import lower, measure_words

FIRM = frozenset({"rubber", "vinyl", "foam", "carpet"})


def says_of_drying(scene: Scene, layers: Sequence[Coat]) -> list[str]:
    """Return the sentences about when to paint, how long it takes, and what is in the air."""
    if not layers:
        return []
    return [
        *_window(scene),
        *_days(scene, layers),
        *_fumes(scene, layers),
        *_under_mats(scene, layers),
    ]


def painted_at(scene: Scene) -> tuple[float, float]:
    """Return temperature in C and humidity in % while painting: as chosen, else of a cold day."""
    fit_out, climate = scene.plan.fit_out, scene.plan.room.climate
    at = climate.unheated_c if fit_out.painted_at_c is None else fit_out.painted_at_c
    damp = fit_out.painted_at_percent
    return at, climate.humidity_percent if damp is None else damp


def hours_of(coat: Coat, at_c: float) -> float:
    """Return the hours until the last coat may be walked on or touched, in all its parts."""
    coating = coat.coating
    between = (coat.coats - 1) * coating.recoat_h + coating.touch_dry_h
    return between * slower(at_c) * coat.in_parts


def cure_days(coat: Coat, at_c: float) -> float:
    """Return the days from the last coat until it takes load, at this temperature."""
    return coat.coating.cure_days * slower(at_c)


def _window(scene: Scene) -> Iterator[str]:
    at, damp = painted_at(scene)
    least, most = published("paint.air-least-c"), published("paint.air-most-c")
    dew, above = dew_point_c(at, damp), published("paint.above-dew-k")
    none, units = published("paint.none-dry-c"), scene.plan.units
    warm, bare = partial(TEMPERATURE.words, units=units), partial(TEMPERATURE.counted, units=units)
    here = TEMPERATURE.closely(at, units)
    if at < none:
        yield (
            f"At {here}{_why(scene)} most water-based paint does not dry at all: under "
            f"{warm(none)} it stays soft, and frost spoils it. Heat to {warm(least)} or more, also "
            "overnight until it is dry, or wait."
        )
    elif at < least:
        yield (
            f"At {here}{_why(scene)} it is too cold to paint: air and surface want "
            f"{bare(least):.0f} to {warm(most)}, also overnight until it is dry. Heat first, or "
            "wait."
        )
    elif at > most:
        yield f"At {here} it is too hot to paint: {warm(most)} at most, out of the sun."
    spare = at - dew - above
    short = TEMPERATURE.step_words(-spare, units, 1)
    dry = "dry enough" if spare >= 0 else f"{short} short: heat or dry the room first"
    yield (
        f"Air at {here} and {damp:g} % settles on what is colder than {warm(dew, digits=1)}. "
        f"The surface must have {warm(dew + above, digits=1)} or more and be rising; as warm as "
        f"the air it is {dry}. Measure it, and again every 4 hours."
    )


def _why(scene: Scene) -> str:
    return ", the room unheated," if scene.plan.fit_out.painted_at_c is None else ""


def _days(scene: Scene, layers: Sequence[Coat]) -> Iterator[str]:
    at, day = _dries_at_c(scene), HOURS_A_DAY
    for surface in dict.fromkeys(coat.surface for coat in layers):
        of = [coat for coat in layers if coat.surface == surface]
        by_coating: dict[str, float] = {}
        for coat in of:
            key = coat.coating.key
            by_coating[key] = max(by_coating.get(key, 0.0), hours_of(coat, at))
        hours = sum(by_coating.values())
        recoat = " and ".join(
            dict.fromkeys(
                f"{c.coating.recoat_h * slower(at):.0f} h after {lower(c.coating.name)}" for c in of
            )
        )
        parts = max(coat.in_parts for coat in of)
        cure = max(cure_days(coat, at) for coat in of)
        tail = f"; full cure {cure:.0f} days" if surface == "floor" else ""
        split = f" in {parts} parts" if parts > 1 else ""
        warm = TEMPERATURE.closely(at, scene.plan.units)
        dry = f"{hours:.0f} hours" if hours < 2 * day else f"{math.ceil(hours / day)} days"
        yield (
            f"The {surface} at {warm}{split}: recoat {recoat}; dry to touch "
            f"{dry} after the first coat{tail}."
        )


def _dries_at_c(scene: Scene) -> float:
    """Return the temperature that drying is told for: too cold to paint is too cold to dry."""
    return max(painted_at(scene)[0], published("paint.air-least-c"))


def _fumes(scene: Scene, layers: Sequence[Coat]) -> Iterator[str]:
    at = _dries_at_c(scene)
    for key in dict.fromkeys(coat.coating.key for coat in layers):
        of = [coat for coat in layers if coat.coating.key == key]
        coating = of[0].coating
        if not is_solvent(of[0]):
            continue
        grams = sum(sum(litres_of(coat)) / coat.coats for coat in of) * coating.solvent_g_l
        air = fresh_air_m3_h(grams, coating.touch_dry_h * slower(at))
        volume = ceiling_m2(scene) * _mean_height_m(scene)
        yield (
            f"{coating.name}: each coat gives off {grams:.0f} g of solvent. To stay under the "
            f"limit of a workplace it takes about {air:.0f} m3 of fresh air an hour, "
            f"{air / volume:.0f} room volumes; the first hours are worse. No flame, no spark: "
            "pilot lights and the freezer's thermostat off. A dust mask does not hold it back; "
            "the maker's sheet says what does."
        )


def _mean_height_m(scene: Scene) -> float:
    inside = scene.room.free.buffer(-TOLERANCE_MM)
    corners = np.array([Point(at) for at in inside.exterior.coords], dtype=object)
    heights, _ = scene.room.shut.clear(corners)
    finite = [float(h) for h in heights if math.isfinite(float(h))]
    return sum(finite) / max(len(finite), 1) / KILO


def _under_mats(scene: Scene, layers: Sequence[Coat]) -> Iterator[str]:
    covered, units = covered_floor(scene), scene.plan.units
    at = _dries_at_c(scene)
    for coat in layers:
        if coat.surface != "floor" or coat.coating.key == "dust-sealer":
            continue
        job = next((j for j in scene.plan.fit_out.paint if j.id == coat.job), None)
        zone = floor_area(scene)
        if job is not None and job.outline:
            zone = zone.intersection(area_within(job.outline))
        both = zone.intersection(covered).area / MM2_A_M2
        if both * MM2_A_M2 < 1:
            continue
        saved = sum(litres_of(coat)) * both / coat.area_m2
        days = cure_days(coat, at) + hours_of(coat, at) / HOURS_A_DAY
        yield (
            f"You are painting {measure_words(both, 'm2', units, 0)} that mats will cover. Leave "
            f"it bare, at most with dust sealer: {measure_words(saved, 'L', units, 1)} and "
            f"{days:.0f} days at {TEMPERATURE.closely(at, units)} saved. Rubber stains and softens "
            "fresh paint and holds damp under it; if both, let it cure fully first."
        )


def covered_floor(scene: Scene) -> shapely.Geometry:
    """Return floor that a covering will lie on, in mm: the zones chosen, else all or nothing."""
    zones = [laid.zone for laid in scene.plan.fit_out.floors]
    floor = floor_area(scene)
    if any(not zone for zone in zones):
        return floor
    if zones:
        return floor.intersection(shapely.union_all([area_within(zone) for zone in zones]))
    return floor if scene.plan.room.floor.covering.material in FIRM else Polygon()
