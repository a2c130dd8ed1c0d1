"""Light: what the fittings chosen give where they find a place, and what dark walls cost."""

from __future__ import annotations

import math
from collections.abc import Iterator

from app.checks.snag import Snag
from app.formulas.light import gives_lux, lamps_needed, used_share
from app.model.finishing import LightChoice
from app.published.register import published
from app.scene.build import Scene
from app.takeoff.light_places import FITTINGS_PLACED_AT_MOST
from app.wording import lower

_WANTED = "light.wanted-lux"


def light(scene: Scene) -> Iterator[Snag]:
    """Yield one note where the fittings chosen give too little, or dark walls cost fittings.

    Nothing is said before somebody has chosen a light. The share of the light that arrives is a
    placeholder, which the note says: it is never a pass.
    """
    choice = scene.plan.fit_out.light
    if choice is None:
        return
    # the take-off is not needed to judge anything else, and takes a while to load
    from app.takeoff.lights import layouts, wall_reflectance
    from app.takeoff.line import Gathered
    from app.takeoff.surfaces import MM2_A_M2, floor_area

    only = LightChoice(
        wanted_lux=choice.wanted_lux,
        fitting=choice.fitting,
        other=choice.fitting,
        dirty=choice.dirty,
    )
    laid = layouts(scene, only, Gathered())
    if not laid:
        return
    layout = laid[0]
    fitting, hung = layout.fitting, len(layout.places.at)
    wanted = choice.wanted_lux or published(_WANTED)
    area = floor_area(scene).area / MM2_A_M2
    maintained = published("light.maintenance-dirty" if choice.dirty else "light.maintenance")
    walls, white = wall_reflectance(scene), published("light.reflectance.white")
    used, best = used_share(walls), used_share(white)
    counted = layout.count <= FITTINGS_PLACED_AT_MOST
    lux = gives_lux(hung, area, fitting.lumens, used, maintained) if counted else layout.lux
    fewest = math.ceil(lamps_needed(wanted, area, fitting.lumens, best, maintained))
    more = layout.count - fewest
    lost = gives_lux(fewest, area, fitting.lumens, best, maintained)
    lost -= gives_lux(fewest, area, fitting.lumens, used, maintained)
    dark = walls < published("light.reflectance.light-grey") and more > 0
    if lux >= wanted and not dark:
        return
    clauses = []
    if lux < wanted:
        places = "all" if hung == layout.count else f"{hung}"
        clauses.append(
            f"of the {layout.count} fittings needed ({lower(fitting.name)}) {places} find a place "
            f"and give about {lux:.0f} of the {wanted:.0f} lux needed"
        )
    if more > 0:
        clauses.append(
            f"between white walls {fewest} fitting{'s' if fewest > 1 else ''} would do; walls as "
            f"dark as these take {lost:.0f} lux of that and make it {more} more"
        )
    yield Snag(
        code="light",
        background=True,
        severity="note",
        template="{}. An estimate: the maker's figures for the fitting decide.",
        values=("; ".join(clauses)[:1].upper() + "; ".join(clauses)[1:],),
        names=("light",),
        measured=round(lux),
        required=round(wanted),
        unit="lx",
        source_keys=(_WANTED, "light.maintenance", "light.used.mixed", "light.reflectance.white"),
        working=(
            ("floor, m2", area),
            ("mean reflectance of the walls", walls),
            ("share of the light that arrives", used),
            ("one fitting, lm", fitting.lumens),
        ),
    )
