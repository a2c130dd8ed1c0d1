"""What is shown beside a floor is what one gets who asks for it, and the floor beats them all."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from app.model.base import json_of
from app.model.flooring import FloorLaying
from app.model.versions import load
from app.scene.build import Scene, build_scene
from app.takeoff.floor import Layout, floor_layout
from app.takeoff.floor_search import search_floor, search_ways
from app.takeoff.floor_trade import least_mm, trade
from tests.builders import column, make_plan, make_room, rectangle

SAMPLES = Path(__file__).resolve().parents[2] / "sample_rooms"

Offer = tuple[Scene, FloorLaying]
Made = Callable[[], Offer]


def sample(name: str) -> Offer:
    plan = load((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return build_scene(plan), plan.fit_out.floors[0]


def hostile(width: int, depth: int, skew: int, **fields: object) -> Offer:
    """A nib beside the back, a right wall that may run askew, a post."""
    corners = ((0, 0), (width, 0), (width + skew, depth), (400, depth), (400, depth - 150),
               (0, depth - 150))  # fmt: skip
    post = column(rectangle(900, 700, 1040, 900))
    scene = build_scene(make_plan(room=make_room(corners=corners, columns=[post])))
    return scene, FloorLaying.model_validate({"id": "f", **fields})


def asked(laying: FloorLaying, **fields: object) -> FloorLaying:
    return FloorLaying.model_validate({**json_of(laying), **fields})


def figures(layout: Layout) -> tuple[object, ...]:
    return layout.to_buy, layout.laid.cut_mats, layout.laid.narrow_mats, least_mm(layout.laid)


ROLL = {"kind": "roll", "length_mm": 10_000, "width_mm": 1250, "by_metre": True}
OFFERS = [
    *(
        pytest.param(partial(sample, name), id=name, marks=[pytest.mark.long] * late)
        for name, late in (
            ("double-garage", False), ("basement", True), ("upstairs-room", True),
            ("single-garage", True),
        )
    ),
    pytest.param(lambda: hostile(2710, 2330, 0), id="mats"),
    pytest.param(lambda: hostile(2710, 2330, 90), id="askew", marks=pytest.mark.long),
    pytest.param(
        lambda: hostile(3020, 4020, 0, length_mm=1220, width_mm=915),
        id="oblong", marks=pytest.mark.long,
    ),
    pytest.param(lambda: hostile(3900, 5200, 0, **ROLL), id="roll"),
    pytest.param(
        lambda: hostile(2400, 1900, 0, kind="board", length_mm=1285, width_mm=192),
        id="boards", marks=pytest.mark.long,
    ),
]  # fmt: skip


@pytest.mark.parametrize("made", OFFERS)
def test_each_offer_set_by_hand_gives_the_figures_that_were_shown(made: Made) -> None:
    scene, laying = made()
    layout = floor_layout(scene, laying)
    by_hand: dict[str, dict[str, object]] = {
        "Joints straight": {"joints": "straight"},
        "Joints staggered": {"joints": "staggered"},
        "With joints across the lengths, staggered": {"joints": "staggered"},
        "Edges balanced": {"joints": "balanced"},
        "Across the start wall": {"along": False, "start_wall": layout.start.wall},
        "Along the start wall": {"along": True, "start_wall": layout.start.wall},
        "Factory edges at every joint": {"factory_edges": True},
    }
    assert layout.alternatives
    for other in layout.alternatives:
        got = floor_layout(scene, asked(laying, **by_hand[other.name]), compare=False)
        assert (other.to_buy, other.cut_mats, other.narrow_mats) == figures(got)[:3], other.name
    # and so do the ways to choose from; who asks for joints alone gets as few mats
    ways = trade(scene, laying)
    for way in ways:
        got = floor_layout(scene, way.laying, compare=False)
        assert (way.pieces, way.narrow, way.least_mm) == (figures(got)[0], *figures(got)[2:])
        if way.name.endswith((" joints", "across the lengths")):
            alone = asked(laying, joints=way.laying.joints)
            assert floor_layout(scene, alone, compare=False).to_buy == way.pieces, way.name


@pytest.mark.parametrize("made", OFFERS)
def test_joints_that_are_not_looked_at_first_would_not_have_won(made: Made) -> None:
    scene, laying = made()
    first, beside = search_floor(scene, laying), search_ways(scene, laying)
    assert first is not None
    assert beside is not None
    assert first.best == beside.best
    assert first.looked_at <= beside.looked_at


@pytest.mark.parametrize("made", OFFERS)
def test_no_offer_is_better_by_the_stated_order_than_the_floor(made: Made) -> None:
    scene, laying = made()
    layout = floor_layout(scene, laying)
    best = layout.laid.narrow_mats, layout.to_buy
    for other in layout.alternatives:
        if not other.name.startswith("With joints across"):
            assert (other.narrow_mats, other.to_buy) >= best, other.name
    for way in trade(scene, laying):
        if way.name != "joints across the lengths":
            assert (way.narrow, way.pieces) >= best, way.name
