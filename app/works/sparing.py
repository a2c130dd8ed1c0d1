"""What of a plan may be left out to mend its budget, by what the household wants to do."""

from __future__ import annotations

from app.costs.cost import Costs
from app.costs.leaving_out import Spare, Wanted
from app.costs.tax import rate_of
from app.library.movements import movements
from app.scene.build import Scene
from app.works.phases import wishes_of

ANY_MONTH = "2000-01"
"""What is worth something is so in every month: any will do."""


def spares_of(scene: Scene, costs: Costs) -> tuple[tuple[Spare, ...], tuple[Wanted, ...]]:
    """Return the parts and pieces that may be left out, and what can be done with them.

    What comes before every wish (paint, a floor) is only left out where all else is not enough.
    """
    wishes = wishes_of(scene, costs, ANY_MONTH)
    names = {thing.key: thing.name for thing in wishes.things}
    bought = [one for one in wishes.purchases if one.key in names and one.minor]
    hosts = {one.key: [key for key in one.after if key.startswith("piece.")] for one in bought}
    wishes_alone = [one for one in bought if not one.must]
    share = 1 + rate_of(costs.contingency_percent)
    enough = sum(one.minor for one in wishes_alone) * share >= costs.over_minor
    spares = tuple(
        Spare(
            one.key,
            names[one.key],
            one.minor,
            one.worth,
            tuple(key for key, needs in hosts.items() if one.key in needs),
        )
        for one in (wishes_alone if enough else bought)
    )
    known = movements()
    wanted = tuple(
        Wanted(known[use.key.partition(":")[0]].name.lower(), use.worth, use.ways)
        for use in wishes.uses
    )
    return spares, wanted
