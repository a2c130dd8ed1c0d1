"""Where else a mirror over a window is offered, by hand: a window from 2000 to 2900 of 5000.

Off sockets and kit by the register's figures; that it is free wall is arithmetic.
"""

from collections.abc import Sequence
from typing import Any

import pytest

from app.arrange.mirrors_elsewhere import mirrors_elsewhere
from app.arrange.ways_out import remedies
from app.changes.commands import apply
from app.checks.run import run
from app.model.finishing import MirrorArea
from app.model.fit_out import FitOut
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Opening, Socket
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place, turned_plan


def window(**fields: Any) -> Opening:
    given = {"id": "w", "wall": "back", "kind": "window", "offset_mm": 2000, "width_mm": 900}
    return Opening.model_validate({**given, "height_mm": 400, "sill_mm": 1500, **fields})


def plan(
    *pieces: Piece,
    openings: Sequence[Opening] = (window(),),
    width: float = 1000,
    sockets: tuple[Socket, ...] = (),
) -> Plan:
    """A mirror 1500 high on the back wall, 1900 from its corner."""
    area = MirrorArea(id="m", wall="back", offset_mm=1900, width_mm=width, bottom_mm=508)
    room = make_room(5000, 4000, openings=list(openings)).model_copy(update={"sockets": sockets})
    made = make_plan(*pieces, room=room)
    return made.model_copy(update={"fit_out": FitOut(mirrors=(area,))})


def offered(there: Plan) -> tuple[str, MirrorArea | None]:
    """The way out in words, and the mirror after it, which nothing is said of any more."""
    scene = build_scene(there)
    snags = [snag for snag in run(scene) if snag.code.startswith("mirror-across")]
    remedy = remedies(scene, snags).get(snags[0].key)
    if remedy is None:
        return "", None
    (command,) = remedy.commands
    after = apply(there, command)
    codes = [snag.code for snag in run(build_scene(after))]
    assert not any(code.startswith("mirror-across") for code in codes)
    return remedy.sentence, after.fit_out.mirrors[0]


@pytest.mark.parametrize("turn", [0.0, 31.0])
def test_the_nearest_free_stretch_of_its_wall(turn: float) -> None:
    sentence, area = offered(turned_plan(plan(), turn))
    # its right edge at the window: 900 to the left, against 1000 to the right
    assert sentence == "Hang it 900 mm farther left, seen from inside."
    assert area is not None
    assert (area.wall, area.offset_mm, area.width_mm) == ("back", 1000, 1000)


def test_it_keeps_off_a_socket() -> None:
    # 75 beside the middle of a socket at 1500: nothing of 1000 is left on the left of the window
    socket = Socket(id="s", wall="back", offset_mm=1500, height_mm=1000)
    sentence, _ = offered(plan(sockets=(socket,)))
    assert sentence == "Hang it 1000 mm farther right, seen from inside."


def test_it_keeps_off_kit() -> None:
    # shelves from 3100 to 4900, up to 1800: 150 beside them are kept off the glass
    shelves = [place("shelving", x, 225, piece_id=f"s{x}") for x in (3550, 4450)]
    sentence, _ = offered(plan(*shelves, width=1000))
    assert sentence == "Hang it 900 mm farther left, seen from inside."
    far = [place("shelving", x, 225, piece_id=f"s{x}") for x in (450, 1350)]
    sentence, _ = offered(plan(*far, width=1000))
    assert sentence == "Hang it 1000 mm farther right, seen from inside."


def test_another_wall_where_its_own_has_no_stretch() -> None:
    # 2000 beside the window at most; the right wall of 4000 has it in its middle
    sentence, area = offered(plan(width=2400))
    assert sentence == "Hang it on the right wall, 800 mm from its left end."
    assert area is not None
    assert (area.wall, area.offset_mm, area.width_mm) == ("right", 800, 2400)


def test_a_narrower_one_where_no_wall_has() -> None:
    others = [
        window(id=f"w-{wall}", wall=wall, offset_mm=at)
        for wall, at in (("right", 1500), ("left", 1500), ("front", 2000))
    ]
    sentence, area = offered(plan(openings=(window(), *others), width=2400))
    assert sentence == "Take one 2100 mm wide, 2900 mm from the left end of the wall."
    assert area is not None
    assert (area.wall, area.offset_mm, area.width_mm) == ("back", 2900, 2100)


def test_nothing_where_only_a_slip_of_glass_would_be_left() -> None:
    wide = [
        window(id=f"w-{wall}", wall=wall, offset_mm=500, width_mm=long - 1000)
        for wall, long in (("back", 5000), ("right", 4000), ("left", 4000), ("front", 5000))
    ]
    assert offered(plan(openings=wide, width=2400)) == ("", None)


@pytest.mark.parametrize("turn", [0.0, 31.0])
def test_it_keeps_off_what_is_behind_a_belt(turn: float) -> None:
    # a belt that runs off to the right wall, floor of 1000 behind it: 300 beside it on either side
    belt = place("running-machine", 5000 - 925 - 1500, 2000, 270)
    room = make_room(5000, 4000)
    area = MirrorArea(id="m", wall="right", offset_mm=1600, width_mm=1000, bottom_mm=508)
    runs = make_person(want=("run",))
    made = make_plan(belt, room=room, people=(runs,))
    made = made.model_copy(update={"fit_out": FitOut(mirrors=(area,))})
    scene = build_scene(turned_plan(made, turn))
    (snag,) = [one for one in run(scene) if one.code == "glass-behind-the-belt"]
    assert (snag.severity, snag.sheet) == ("stop", "m")
    says = [sentence for sentence, _ in mirrors_elsewhere(scene, snag)]
    # free up to 1200 and from 2800 on: 1400 to the left, 1200 to the right
    assert says[0] == "Hang it 1200 mm farther right, seen from inside."
