"""What is worth saying of a floor that is laid: narrow strips, notches, weight, doors, headroom."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from shapely.geometry.base import BaseGeometry

from app.model.flooring import FloorLaying
from app.published.register import published
from app.scales import MASS
from app.scene.build import Placed, Scene
from app.scene.floor_fall import fall_over, falls
from app.scene.naming import opening_name
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.calling import downhill
from app.takeoff.floor_bare import anew_words
from app.takeoff.floor_layout import Laid, Mat
from app.takeoff.floor_region import (
    door_stop_of,
    floor_size,
    floor_to_cover,
    gap_of,
    laid_round,
    let_in,
)
from app.takeoff.floor_shapes import slits_of
from app.takeoff.floor_site import is_sawn, least_strip
from app.takeoff.stock_words import off_roll_words
from app.units import MEGA, Units
from app.wording import in_a_row, in_figures, length_words, lower, phrase

_THICKEST_MM = 100.0
"""Thicker are blocks to jump onto, not what a floor is covered with."""

_SOFT = ("foam", "carpet")
_BRUSHED_MM2 = 1e4
"""A leaf over less than a hand of floor turns past its edge."""


def floor_notes(
    scene: Scene, laid: Laid, lift_kg: float, edged_more: int | None = None
) -> Iterator[str]:
    """Say what a fitter of this floor has to mind.

    `edged_more` is how many more pieces factory edges at every joint take, where that is known.
    """
    laying, units = laid.laying, scene.plan.units
    yield from _of_the_room(scene, laying)
    if laying.laid:
        yield from anew_words(scene, laid, units)
    if laid.narrow_mats:
        yield (
            f"{in_figures(laid.narrow_mats, 'piece')} narrower than "
            f"{length_words(least_strip(laying), units)} cannot be avoided with this start: glue "
            "or tape them down."
        )
    tapered = sum(mat.notched and _tapered(mat) for mat in laid.mats)
    if tapered:
        yield (
            f"{in_figures(tapered, 'piece')} {'runs' if tapered == 1 else 'run'} askew along a "
            "wall: cut the rectangle first, then the taper by its two distances."
        )
    notched = sum(mat.notched for mat in laid.mats) - tapered
    if notched:
        yield (
            f"{in_figures(notched, 'piece')} {'is' if notched == 1 else 'are'} more than a "
            "rectangle: cut the rectangle first, then the notch, marked on the piece itself "
            "against what stands there."
        )
    round_them = (*laid_round(scene, laying), *let_in(scene, laying))
    if round_them and notched + tapered:
        yield (
            f"Where the {in_a_row([lower(one.name) for one in round_them])} "
            f"{'is' if len(round_them) == 1 else 'are'} away while the floor is laid, first "
            f"mark {'its' if len(round_them) == 1 else 'their'} corners on the bare floor, as "
            "on the sheet Setting out, and cut to those marks."
        )
    slits = [slit for mat in laid.mats for slit in slits_of(mat.polygon)]
    if slits:
        length = length_words(sum(slit.length for slit in slits), units)
        yield (
            f"{in_figures(len(slits), 'slit')} of {length} in all, drawn dashed: a piece comes "
            "round what stands in it only slit from its edge."
        )
    if laid.knife_joints:
        cost, tool = "", "saw" if is_sawn(laying) else "knife"
        if edged_more is not None:
            takes = (
                f"take {in_figures(edged_more, laying.kind)} more" if edged_more else "take no more"
            )
            cost = f" Factory edges at every joint {takes}."
        yield (
            f"{in_figures(laid.knife_joints, 'edge')} at a joint to be cut by {tool}: lay the "
            f"maker's edge where it shows.{cost}"
        )
    yield from _lane_alone(laid, units)
    if lift_kg > published("lift.guide-kg"):
        yield (
            f"{_heaviest(laid, units)} weighs {MASS.words(lift_kg, units)}, above the "
            f"{MASS.words(published('lift.guide-kg'), units)} of the guideline for one person: "
            f"{_carried(lift_kg)}."
        )
    if laying.material == "rubber":
        hours = published("flooring.warm-up-hours")
        yield f"Let the rubber lie in the room for {hours:.0f} hours before it is cut."


_SHOWS = frozenset({"carpet"})
"""What looks otherwise when it lies across: its pile is seen."""

_WORTH_MM = 1000.0
"""What is saved off a roll that is worth joints: a metre, as a shop counts them."""


def _lane_alone(laid: Laid, units: Units) -> Iterator[str]:
    """Say of a narrow lane that takes a length of the roll by itself what it takes cut across."""
    laying, step = laid.laying, laid.step_mm
    if not step or laying.material in _SHOWS or laying.laid or laid.start.joints != "straight":
        return
    for sheet in laid.sheets:
        mats = [laid.mats[cut.number - 1] for cut in sheet.cuts]
        if len(mats) != 1 or mats[0].notched:
            continue
        wide, long = sorted(mats[0].size_mm)
        pieces = math.ceil(long / laying.width_mm - TOLERANCE_MM / laying.width_mm)
        takes = pieces * math.ceil(wide / step) * step
        if pieces > 1 and sheet.long_mm - takes >= _WORTH_MM:
            yield phrase(
                "The lane of {:mm}, piece {}, takes {} of roll by itself. Cut across the roll it "
                "takes {}, with {} in it: end this floor before it, and lay it as a floor of its "
                "own.",
                wide,
                mats[0].number,
                off_roll_words(sheet.long_mm, units),
                off_roll_words(takes, units),
                in_figures(pieces - 1, "joint"),
            ).worded(units)


def _tapered(mat: Mat) -> bool:
    """Return whether a piece is more than a rectangle by nothing but edges askew."""
    if mat.outline.interiors:
        return False
    left, top, right, bottom = mat.outline.bounds
    inner = [
        (bx - ax, by - ay)
        for (ax, ay), (bx, by) in pairwise(mat.outline.exterior.coords)
        if not any(
            abs(a - at) < TOLERANCE_MM and abs(b - at) < TOLERANCE_MM
            for a, b, at in ((ax, bx, left), (ax, bx, right), (ay, by, top), (ay, by, bottom))
        )
    ]
    return all(min(abs(along), abs(across)) > TOLERANCE_MM for along, across in inner)


def _heaviest(laid: Laid, units: Units) -> str:
    """Say what is the heaviest thing that one carries."""
    if not laid.step_mm:
        return f"One {laid.laying.kind}"
    long = max(sheet.long_mm for sheet in laid.sheets)
    return phrase("The longest length, {:metres},", long).worded(units)


def _carried(lift_kg: float) -> str:
    """Say how many carry it, none more than the guideline allows one."""
    hands = math.ceil(lift_kg / published("lift.guide-kg"))
    if hands in _BY:
        return f"carry it by {_BY[hands]}"
    return "more than four cannot hold it at once: ask for smaller ones, or have it brought in"


_BY = {2: "two", 3: "three", 4: "four"}
"""How many find room at one mat or roll."""


def _of_the_room(scene: Scene, laying: FloorLaying) -> Iterator[str]:
    """Say what the floor changes for headroom, what leans on it and where a door sweeps."""
    now, units = scene.plan.room.floor.covering, scene.plan.units
    if (now.material, now.thickness_mm) != (laying.material, laying.thickness_mm):
        yield phrase(
            "Headroom is counted with {}, {:sold}; this is {}, {:sold}: change the covering of the "
            "room.",
            now.material,
            now.thickness_mm,
            laying.material,
            laying.thickness_mm,
        ).worded(units)
    racks = [p for p in scene.order if p.kit.group == "Racks"]
    if laying.material in _SOFT and racks:
        yield (
            f"{laying.material.capitalize()} is soft: {racks[0].name.lower()} would lean when "
            f"loaded. Put {length_words(published('fixing.board-mm'), units)} of board or hard "
            "rubber under all of it."
        )
    doors = [s for s in scene.room.openings if s.opening.is_garage_door]
    if doors and door_stop_of(laying) < published("flooring.door-stop-mm") and not laying.zone:
        yield (
            f"Stop {length_words(published('flooring.door-stop-mm'), units)} or more short of the "
            "garage door's line: rain, the seal and the broom need it."
        )
    ramp = laying.thickness_mm * published("flooring.ramp-run-least")
    if doors and not laying.zone and door_stop_of(laying) < ramp:
        yield (
            f"The ramp at the garage door is {length_words(ramp, units)} wide or more, and "
            f"{length_words(door_stop_of(laying), units)} are left before the door's line: stop "
            "that much shorter, or the door shuts on the ramp."
        )
    most = published("flooring.door-stop-most-mm")
    if doors and door_stop_of(laying) > most and not laying.zone:
        yield (
            f"It ends {length_words(door_stop_of(laying), units)} inside the garage door's line: "
            f"{length_words(published('flooring.door-stop-mm'), units)} to "
            f"{length_words(most, units)} is usual, and what is left is bare floor."
        )
    if laying.material == "rubber" and _wheels_on(scene, laying, bool(doors)):
        yield (
            "Tyres mark rubber for good and oil swells it: leave bare where the car stands, or "
            "expect its marks."
        )
    covered = floor_to_cover(scene, laying)
    under = laying.thickness_mm + published("door.under-leaf-mm")
    for shape in scene.room.openings:
        hinged = [sweep.polygon for sweep in shape.sweeps if sweep.hinge is not None]
        if any(swung.intersection(covered).area > _BRUSHED_MM2 for swung in hinged):
            yield (
                f"The {lower(opening_name(scene, shape))} swings over it: before you buy, see that "
                f"{length_words(under, units)} are free under the leaf from the bare floor; else "
                "have the leaf shortened, or end the covering outside its swing."
            )
    yield from _fall(scene, covered)
    if gap_of(laying) > published("flooring.left-bare-mm"):
        yield (
            f"A gap of {length_words(gap_of(laying), units)} all round is wide: a foot finds the "
            f"edge. {length_words(published('flooring.gap-mm'), units)} is usual."
        )
    # a mat as large as what it was cut for, less the gap, is no slip of the pen
    wide, deep = (side + 2 * gap_of(laying) for side in sorted(floor_size(scene, laying)))
    short, long = sorted((laying.length_mm, laying.width_mm))
    if laying.kind != "roll" and short > wide and long > deep:
        yield (
            f"One {laying.kind} of {length_words(laying.length_mm, units)} by "
            f"{length_words(laying.width_mm, units)} is larger than the floor: check its size."
        )
    if laying.thickness_mm > _THICKEST_MM:
        yield (
            f"A {laying.kind} {length_words(laying.thickness_mm, units)} thick is thicker than any "
            "that is sold: check its thickness."
        )
    for placed in let_in(scene, laying):
        yield from _let_in(placed, laying, units)
    for placed in laid_round(scene, laying):
        yield f"Laid round the {lower(placed.name)}, which stays."


def _wheels_on(scene: Scene, laying: FloorLaying, has_door: bool) -> bool:
    """Return whether a car comes in by a garage door, or what has tyres stands on this floor.

    What is out while somebody trains stands there at other times.
    """
    if has_door and scene.plan.room.climate.car_kept_here == "yes":
        return True
    covered = floor_to_cover(scene, laying)
    return any(
        placed.kit.key in _ON_TYRES and placed.footprint.intersects(covered)
        for placed in scene.order
    )


_ON_TYRES = ("car", "motorbike")
"""What marks rubber where it stands."""


def _let_in(placed: Placed, laying: FloorLaying, units: Units) -> Iterator[str]:
    """Say how a piece is let in, and by how much its edge stands over the floor or under it."""
    name, high = lower(placed.name), placed.extent.height_mm
    more = length_words(laying.thickness_mm, units)
    yield (
        f"The {name} is let in: mark its outline on the bare floor first, by the sheet Setting "
        f"out; the {laying.kind}s end at that line, without a gap. Headroom over it is counted as "
        f"if it lay on the covering: there are {more} more."
    )
    over = high - laying.thickness_mm
    if abs(over) > published("flooring.flush-mm"):
        stands = "over" if over > 0 else "under"
        yield (
            f"The {name} is {length_words(high, units)} high, this {laying.kind} "
            f"{length_words(laying.thickness_mm, units)}: its edge lies "
            f"{length_words(abs(over), units)} {stands} the floor and trips. Take one as thick as "
            "the other."
        )


def _fall(scene: Scene, covered: BaseGeometry) -> Iterator[str]:
    """Say how the bare floor falls under a covering, and what it would take to pour it level."""
    if not falls(scene):
        return
    fall, mean, plane = fall_over(scene, covered)
    if fall < published("floor.pack-least-mm"):
        return
    kilos = covered.area / MEGA * mean * published("small.levelling-kg-m2-mm")
    yield phrase(
        "The bare floor falls {:mm} under it, towards {}: it follows the fall, and water runs out "
        "by it. Measure heights at both ends. To pour it level would take {:mm} on average, about "
        "{:,.0f} kg: rather leave it, and pack level what must stand level.",
        fall,
        downhill(scene, plane),
        mean,
        round(kilos, -1),
    ).worded(scene.plan.units)
