"""What is seen in a mirror, and sockets behind it: common practice, no source."""

import numpy as np
import pytest

from app.arranging.layout import Layout
from app.arranging.measures import height
from app.arranging.measures_around import open_before, services, sight
from app.arranging.problem import Problem, Task
from app.arranging.sight_pull import SightPulls
from app.model.kit import Piece
from app.model.room import Plane, Socket
from app.published.register import published
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place, turned_plan

# 1200 wide, its back on y = 0 and its front at 30
MIRROR = place("mirror", 2500, 15, piece_id="mirror")


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(
    ("thing", "share"),
    [
        # the floor before it is 600 deep: a rack of 550 that stands 150 before it takes 450 of
        # that, over all its width
        (place("dumbbell-rack-2", 2500, 30 + 150 + 275, piece_id="thing"), 1 - 450 / 600),
        # half of it beside the mirror
        (place("dumbbell-rack-2", 2500 + 750, 455, piece_id="thing"), 1 - 450 / 600 / 2),
        # a step off, and what is lower than its edge of 500
        (place("dumbbell-rack-2", 2500, 631 + 275, piece_id="thing"), 1.0),
        (place("step", 2500, 300, piece_id="thing"), 1.0),
    ],
)
def test_behind_a_rack_nobody_sees_himself(thing: Piece, share: float, turned: float) -> None:
    plan = make_plan(MIRROR, thing, room=make_room(5000, 5000))
    scene = build_scene(turned_plan(plan, turned))
    # the rack is 1500 wide, so one 750 aside begins at the middle of the mirror
    assert open_before(Layout(scene, ()), scene.placed["mirror"]) == pytest.approx(share, abs=1e-3)


@pytest.mark.parametrize(
    # the mirror hangs from 1900 to 3100 of the back wall and from 500 to 2000
    ("offset", "height", "share"),
    [(1899, 600, 1.0), (1901, 600, 0.5), (2500, 600, 0.5), (2500, 300, 1.0)],
)
def test_a_socket_behind_a_mirror_is_none(offset: float, height: float, share: float) -> None:
    socket = Socket(id="s", wall="back", offset_mm=offset, height_mm=height)
    room = make_room(5000, 5000).model_copy(update={"sockets": (socket,)})
    # a bike near the socket has it in reach of its cord
    bike = place("bike", 2500, 1500, piece_id="bike")
    assert services(Layout(build_scene(make_plan(MIRROR, bike, room=room)), ())) == share


@pytest.mark.parametrize(
    # the screen looks to the front; the bike 2 m before it, or at its elbow; who wants to use what
    ("bike", "wanted", "share"),
    [
        ((2500, 2030), "bike", 1.0),
        ((2500, 430), "bike", 0.5),
        # facing along the wall the screen hangs on, beside the handlebars
        ((2500, 430, 90), "bike", 0.0),
        # nobody has asked for the rower, which sees it well: that helps the rider nothing
        ((2500, 430, 90), None, 0.5),
        ((2500, 430, 90), "machine-row", 1.0),
    ],
)
@pytest.mark.parametrize("turned", [0, 30])
def test_a_screen_is_for_the_machine_that_somebody_wants_to_use(
    bike: tuple[float, ...], wanted: str | None, share: float, turned: float
) -> None:
    plan = make_plan(
        place("screen", 2500, 30, piece_id="screen"),
        place("bike", *bike, piece_id="bike"),
        place("rower", 2000, 2500, piece_id="rower"),
        people=[make_person(want=() if wanted is None else (wanted,))],
        room=make_room(5000, 5000),
    )
    scene = build_scene(turned_plan(plan, turned))
    assert sight(Layout(scene, ())) == pytest.approx(share)
    # what steers the search counts alike
    present, pulls = Problem(Task(scene.plan)).present, SightPulls(scene)
    weight = published("layout.sight.weight")
    for root in ("screen", "bike", "rower"):
        at = scene.placed[root]
        gained = pulls.of(root, at.pose.angle_deg, np.array([at.at]), present)[0]
        if root == "screen" or list(pulls.of_machine) == [root]:
            assert gained == pytest.approx(weight * share)


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize("wanted", [True, False])
def test_a_low_place_is_worth_nothing_to_whom_it_bends(wanted: bool, turned: float) -> None:
    # 1600 at the left wall, 300 up on each metre; who rides asks for some 2200
    def under(x: float) -> float:
        room = make_room(5000, 4000, planes=(Plane(id="p", height_mm=1600, rise_x=300),))
        person = make_person(1850, want=("bike",) if wanted else ())
        plan = make_plan(place("bike", x, 2000, piece_id="bike"), people=[person], room=room)
        return height(Layout(build_scene(turned_plan(plan, turned)), ()))

    low, middle = under(500), under(3200)
    if wanted:
        # who rides bends down by the wall; farther up the roof is no lower than is needed
        assert low == 0.0
        assert middle > low
    else:
        assert low > middle
