"""What moves for a stop and for a care moves once. Common practice, no source: a fitter carries a
rack to where it may stay, and not first to where it still cannot.
"""

import pytest

from app.arrange.effort import WAYS_OUT_STEPS
from app.arrange.moves import Mover
from app.arrange.ways_out import remedy_for, ways_out
from app.budget import Budget
from app.changes.commands import apply
from app.checks.run import run
from app.model.kit import Piece
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, turned_plan


def at_a_wall(x_mm: float, turn: float) -> Plan:
    """A rack of 1220 by the left wall with a bar of 2200, and a box on either side of its lane.

    One takes 200 of it at its left, 730 before the posts. The other stands 60 beside it, 1100
    before them: to that the rack has little to go, and more brings it before its midst.
    """
    rack = place("mid-rack", x_mm, 800, piece_id="rack", bolted=True)
    bar = place("bar-20", x_mm, 800 + 662, piece_id="bar", carried_by="rack")
    boxes = [
        place("other-thing", x, 1425 + y + 300, width=400, depth=600, height=850, piece_id=name)
        for name, x, y in (("one", x_mm - 610, 730), ("two", x_mm + 610 + 60 + 200, 1100))
    ]
    pinned = [Piece.model_validate({**box.model_dump(), "pinned": True}) for box in boxes]
    return turned_plan(make_plan(rack, bar, *pinned, room=make_room(3600, 3600)), turn)


@pytest.mark.parametrize("turn", [0, 23])
@pytest.mark.parametrize(
    ("x_mm", "stops"),
    # the end of the bar 118 inside the wall; and 300 off it, where nobody minds it
    [(982, True), (1400, False)],
)
def test_a_care_waits_for_the_stop_that_moves_the_same_rack(
    x_mm: float, stops: bool, turn: float
) -> None:
    plan = at_a_wall(x_mm, turn)
    scene = build_scene(plan)
    snags = run(scene)
    found = ways_out(scene, snags)
    of_the_bar = [s for s in snags if s.severity == "stop"]
    assert len(of_the_bar) == stops
    (care,) = (s for s in snags if s.code == "room-in-front-to-step-out")
    assert (care.severity, care.measured, care.required) == ("care", 1020, 1120)
    if not stops:
        assert found.remedies[care.key].moved == {"rack"}
        return
    (stop,) = of_the_bar
    assert found.remedies[stop.key].moved == {"rack"}
    assert found.tried[care.key] == "Mend “Bar 20 kg, the left wall” first: that moves it too."
    # what it would have been moved by leaves the stop, and is no worse by all else
    mover = Mover(scene, snags, Budget(WAYS_OUT_STEPS))
    alone = remedy_for(care, mover)
    assert alone is not None
    after = apply(plan, alone.commands[0])
    assert [s.pieces[0] for s in run(build_scene(after)) if s.severity == "stop"] == ["bar"]


def test_what_has_no_way_out_keeps_nobody_waiting() -> None:
    """A stop of the same rack that nothing mends is no reason to leave the lane as it is."""
    plan = at_a_wall(1400, 0)
    tall = [
        one.model_copy(update={"height_mm": 2800}) if one.id == "rack" else one
        for one in plan.pieces
    ]
    scene = build_scene(plan.model_copy(update={"pieces": tuple(tall)}))
    snags = run(scene)
    found = ways_out(scene, snags)
    stops = [s for s in snags if s.severity == "stop"]
    assert stops
    assert not any(found.remedies[s.key].moved for s in stops if s.key in found.remedies)
    (care,) = (s for s in snags if s.code == "room-in-front-to-step-out")
    assert care.key in found.remedies
