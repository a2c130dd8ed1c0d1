"""A pull-up bar on a wall is hung lower only as low as it is made. Common practice, no source.

Practice sheet, the table of sizes: a wall bar is made 2000 to 2250 high to its bar; the row of the
library has its top at 2000 to 2300. 0.13 H + 50 over the bar, and 100 of margin.
"""

import math

import pytest

from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.library.kit import kit_types
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import found, make_person, make_plan, make_room, place, turned_plan

STATURE_MM = 1880
TOP_MM, LOWEST_MM = 2150, 2000
BAR_UNDER_TOP_MM = 18
OVER_MM = 0.13 * STATURE_MM + 50
MARGIN_MM = 100


def hanging(ceiling: float, kind: str = "pull-up-bar-wall", turn: float = 0) -> Plan:
    """Somebody of 1.88 m under a bar on the back wall, its top at 2150."""
    bar = place(kind, 2500, 300)
    person = make_person(STATURE_MM, want=["pull-up"])
    return turned_plan(make_plan(bar, room=make_room(height=ceiling), people=[person]), turn)


def lowered(plan: Plan) -> float | None:
    """How high the top of the bar is in the way out of the only row; None where none is told."""
    scene = build_scene(plan)
    (snag,) = found(plan, "headroom")
    remedy = ways_out(scene, [snag]).remedies.get(snag.key)
    if remedy is None or "lower, its bar at" not in remedy.sentence:
        return None
    after = apply(plan, *remedy.commands)
    assert not [s for s in found(after, "headroom") if s.severity == "stop"]
    assert found(after, "size-not-made") == []
    return after.pieces[0].height_mm


def test_the_row_of_the_library_is_made_from_2000_up() -> None:
    row = kit_types()["pull-up-bar-wall"]
    assert (row.height_mm, row.range.height_mm) == (TOP_MM, (LOWEST_MM, 2300))


LOW_BAR_MM = LOWEST_MM - BAR_UNDER_TOP_MM


@pytest.mark.parametrize("turn", [0, 41])
@pytest.mark.parametrize(
    ("ceiling", "top_mm"),
    [
        # as low as it is made just has the margin, by less than ten
        (LOW_BAR_MM + OVER_MM + MARGIN_MM + 1, LOWEST_MM),
        # a ten less: the lowest that is made, and a care of the margin is left
        (math.ceil(LOW_BAR_MM + OVER_MM) + 10, LOWEST_MM),
        (math.ceil(LOW_BAR_MM + OVER_MM), LOWEST_MM),
        # lower than it is made: nobody drills for that
        (math.floor(LOW_BAR_MM + OVER_MM) - 2, None),
        (2150, None),
    ],
)
def test_it_is_hung_no_lower_than_it_is_made(
    ceiling: float, top_mm: float | None, turn: float
) -> None:
    assert lowered(hanging(ceiling, turn=turn)) == top_mm


def test_for_the_margin_alone_it_is_hung_no_lower_either() -> None:
    """From 2040 a ten lower is made; from its lowest none is."""
    clear = 2040 - BAR_UNDER_TOP_MM + OVER_MM + MARGIN_MM - 9
    for top, lower in ((2040, 2030), (2000, None)):
        plan = hanging(clear - 2040 + top)
        bar = type(plan.pieces[0]).model_validate(plan.pieces[0].model_dump() | {"height_mm": top})
        (snag,) = found(make_plan(bar, people=plan.people, room=plan.room), "headroom")
        assert snag.severity == "care"
        assert lowered(make_plan(bar, people=plan.people, room=plan.room)) == lower
