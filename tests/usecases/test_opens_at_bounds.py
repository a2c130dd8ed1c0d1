"""A plan with any field at its bounds is refused, or it opens: judged, counted, planned, drawn."""

import json
from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest

from app.drawing.desk import desk_figure
from app.errors import PlanError
from app.model.plan import Plan
from app.published.register import overridden
from app.scene.build import build_scene
from app.usecases.accounts import Account
from app.usecases.files import read_plan
from app.usecases.judged import find
from app.usecases.judging import NOT_JUDGED
from app.usecases.works import planned
from tests.model.full_document import Place, every_place, full_document

STEP = 0.01
"""To what lengths are kept: what lies beyond a bound that is none itself."""
BOUNDS = {"minimum": 0.0, "maximum": 0.0, "exclusiveMinimum": STEP, "exclusiveMaximum": -STEP}
BROKE_ONCE = (
    "room.ceiling.planes.0.rise_x",
    "fit_out.paint.0.outline.0.0",
    "fit_out.floors.0.zone.0.0",
)
DAY = date(2027, 1, 4)


def document() -> dict[str, Any]:
    """Return the full document with kit, groups and movements that the library knows."""
    data = full_document()
    data["pieces"][0]["type"] = "full-rack"
    data["own_kit"][0]["group"] = "Benches"
    data["people"][0]["wishes"][0]["movement"] = "squat"
    return data


def places() -> Iterator[Any]:
    for place in every_place(document()):
        way, part, _ = place
        if part["type"] != "string" and any(bound in part for bound in BOUNDS):
            name = ".".join(map(str, way))
            yield pytest.param(place, id=name, marks=() if name in BROKE_ONCE else pytest.mark.long)


def opened(plan: Plan) -> None:
    scene = build_scene(plan)
    assert NOT_JUDGED not in find(scene).every_snag
    assert desk_figure(scene, tidy=False).svg
    with overridden({one.id: one.value for one in plan.overrides}):
        account = Account(plan, scene)
        assert account.costs.currency == plan.currency
        # what keeps the works from being planned is a sentence of its own
        assert planned(account, DAY).today == DAY


def test_the_document_itself_opens() -> None:
    opened(read_plan(json.dumps(document()).encode()))


@pytest.mark.parametrize("place", tuple(places()))
def test_at_its_bounds_a_field_is_refused_or_the_plan_opens(place: Place) -> None:
    way, part, _ = place
    for bound, inside in BOUNDS.items():
        if bound not in part:
            continue
        data = document()
        holder: Any = data
        for step in way[:-1]:
            holder = holder[step]
        value = part[bound] + inside
        holder[way[-1]] = int(value) if part["type"] == "integer" else value
        try:
            plan = read_plan(json.dumps(data).encode())
        except PlanError:
            continue
        opened(plan)
