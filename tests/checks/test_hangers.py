"""What things hang by against an open leaf, on both sides of where its chain begins.

A bag hangs by 300 to 600 of chain: common practice, no source.
"""

import numpy as np
import pytest

from app.checks.doors import doors
from app.checks.hangers import CHAIN_MM
from app.model.plan import Plan
from app.model.room import Opening
from app.published.register import published
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, turned_plan
from tests.placing.agreement import Agreement, compare

HEIGHT_MM = 2130


def garage(kind: str, bag_mm: float, kit: str = "hung-bag") -> Plan:
    """A garage door in the back wall, and a bag so far before it."""
    door = Opening.model_validate(
        {
            "id": "garage",
            "wall": "back",
            "kind": kind,
            "offset_mm": 1500,
            "width_mm": 2134,
            "height_mm": HEIGHT_MM,
        }
    )
    room = make_room(5000, 6000, height=2700, openings=(door,))
    return make_plan(place(kit, 2500, bag_mm, piece_id="bag"), room=room)


def leaf_mm() -> float:
    """How far an open leaf on tracks lies in the room."""
    return HEIGHT_MM * published("garage.retractable.leaf-in-fraction")


@pytest.mark.parametrize("turn", [0, 28])
@pytest.mark.parametrize(("beyond", "count"), [(-2.0, 1), (2.0, 0)])
def test_the_chain_goes_through_the_leaf_or_passes_behind_it(
    turn: float, beyond: float, count: int
) -> None:
    plan = turned_plan(garage("tracks", leaf_mm() + CHAIN_MM + beyond), turn)
    found = [snag for snag in doors(build_scene(plan)) if "overhead" in snag.code]
    assert [snag.severity for snag in found] == ["stop"] * count
    assert all("hung bag hangs by" in snag.sentence for snag in found)


def test_what_reaches_into_the_leaf_itself_is_said_once() -> None:
    found = [s for s in doors(build_scene(garage("canopy", 900, "rings"))) if "overhead" in s.code]
    assert len(found) == 1
    assert "reach" in found[0].sentence


def test_before_a_roller_nothing_comes_in() -> None:
    assert not [s for s in doors(build_scene(garage("roller", 900))) if "overhead" in s.code]


def test_the_core_of_searches_hangs_no_bag_through_the_leaf() -> None:
    agreement = Agreement()
    scene = build_scene(garage("tracks", 4500))
    compare(scene, 80, np.random.default_rng(3), agreement)
    assert not agreement.admitted
    assert len(agreement.refused) <= 1
