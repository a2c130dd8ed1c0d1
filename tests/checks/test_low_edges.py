"""A mat under eaves, by hand: the place of a head is 250 x 800 grown by 100 all round.

1750 sits up in 0.526 x 1750 = 920.5, with the margin 1020.5. Eaves rise by one to one from the
left wall, so that a height lies as far from the wall as it is above what they begin at.
"""

import pytest

from app.checks.headroom import headroom
from app.checks.low_edges import low_edges
from app.checks.snag import Snag
from app.model.room import Plane
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place

NEED = 1020.5
HEAD = 225
"""From the middle of the mat to the edge of the head's place, towards the eaves."""


def told(begin: float, *mats: float, angle: float = 0, wish: str = "want") -> list[Snag]:
    """Judge mats with their middles so far from the eaves, which begin at a height."""
    eaves = Plane(id="eaves", height_mm=begin, rise_x=1000, rise_y=0)
    room = make_room(6000, 8000, planes=(eaves,))
    person = make_person(1750, **{wish: ["floor-work"]})  # type: ignore[arg-type]
    pieces = [
        place("mat-space", x, 1500 + 2500 * i, angle, piece_id=f"mat-{i}")
        for i, x in enumerate(mats)
    ]
    scene = build_scene(make_plan(*pieces, room=room, people=[person]))
    return [one for one in (*headroom(scene), *low_edges(scene)) if one.severity != "note"]


# the head's place begins 275 from the wall, the mat at the wall itself
@pytest.mark.parametrize(
    ("begin", "code", "measured"),
    [
        (NEED + 1, None, None),
        (NEED - 2, "low-edge", 1018.5),
        (NEED - 274, "low-edge", 746.5),
        (NEED - 278, "headroom", 1017.5),
    ],
)
def test_at_both_bounds(begin: float, code: str | None, measured: float | None) -> None:
    snags = told(begin, 500)
    # cores lie half a millimetre within what they are of, what rises twice that
    assert [snag.code for snag in snags] == ([code] if code else [])
    assert all(snag.severity == "care" for snag in snags)
    assert [snag.measured for snag in snags] == [pytest.approx(measured, abs=1.5) for _ in snags]


def test_the_feet_under_the_eaves_are_a_care_and_the_middle_a_stop() -> None:
    (feet,) = told(400, 1150, angle=90)
    assert (feet.code, feet.severity, feet.measured, feet.required) == (
        "low-edge",
        "care",
        400,
        1020,
    )
    (middle,) = told(400, 700)
    assert (middle.code, middle.severity) == ("headroom", "stop")
    assert middle.measured == pytest.approx(400 + 700 - HEAD, abs=1)


def test_one_mat_that_is_clear_is_enough() -> None:
    assert told(400, 1150, 3000, angle=90) == []
    both = told(400, 1150, 1250, angle=90)
    assert [(snag.measured, snag.pieces) for snag in both] == [(500, ("mat-1",))]


@pytest.mark.parametrize("wish", ["nice", "no"])
def test_only_what_is_wanted(wish: str) -> None:
    assert [snag for snag in told(700, 1150, angle=90, wish=wish) if snag.code == "low-edge"] == []


def test_what_hangs_over_the_edge_is_named() -> None:
    person = make_person(1750, want=["floor-work"])
    mat, panel = place("mat-space", 3000, 3000), place("radiant-panel", 3000, 2000, height=900)
    plan = make_plan(mat, panel, room=make_room(6000, 6000), people=[person])
    (snag,) = low_edges(build_scene(plan))
    assert snag.measured == 870
    assert "under the radiant panel" in snag.sentence
