"""What is seen in a mirror, and sockets behind it: common practice, no source."""

import pytest

from app.arranging.layout import Layout
from app.arranging.measures_around import open_before, services
from app.model.kit import Piece
from app.model.room import Socket
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, turned_plan

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
