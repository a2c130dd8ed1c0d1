"""The floor covering of a plan that names a material and a thickness but no sheet: by area."""

from __future__ import annotations

from app.published.register import published
from app.scene.build import Scene
from app.takeoff.buying import cheapest
from app.takeoff.line import Gathered, Line, Step, offers
from app.takeoff.surfaces import MM2_A_M2, floor_area
from app.units import KILO
from app.wording import phrase


def covering(scene: Scene) -> Gathered:
    """Return one assumed line for the covering, by area and a usual share of waste."""
    gathered = Gathered()
    laid = scene.plan.room.floor.covering
    fit_out = scene.plan.fit_out
    if laid.material == "bare" or fit_out.nothing_assumed or fit_out.floors:
        return gathered
    area = float(floor_area(scene).area / MM2_A_M2)
    waste = area * published("covering.waste-ratio")
    density = published(f"covering.density.{laid.material}")
    kilos = density * laid.thickness_mm / KILO
    packs = offers(scene.plan, [f"covering-{laid.material}-m2"], gathered.problems)
    gathered.lines.append(
        Line(
            key=f"floor.{laid.material}",
            part="floor",
            item=phrase("{:cap}, {:sold}", laid.material, laid.thickness_mm).worded(
                scene.plan.units
            ),
            where="the whole floor",
            net=area,
            waste=waste,
            unit="m2",
            bought=cheapest(area + waste, packs) if packs else (),
            mass_kg=area * kilos,
            rate="waste 5 to 15 % is usual, by area; choose a sheet for a layout and a cut list",
            working=(
                Step("floor inside the linings, columns taken out", area, "m2"),
                Step("waste", waste, "m2", "covering.waste-ratio"),
                Step("weighs", kilos, "kg/m2", f"covering.density.{laid.material}"),
            ),
            assumed=True,
        )
    )
    return gathered
