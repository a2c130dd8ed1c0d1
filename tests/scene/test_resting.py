"""What lies under a piece and at which heights a bar rests, by hand."""

import pytest

from app.library.kit import kit_types
from app.model.base import json_of
from app.model.flooring import FloorLaying
from app.model.kit import Piece
from app.model.plan import Plan
from app.scene.build import build_scene
from app.scene.resting import lift_mm, rest_mm
from tests.builders import make_plan, make_room, place


@pytest.mark.parametrize(
    ("kit", "lift"),
    # a boiler hangs 750 under its top, a rack stands on the covering, and so does a mat
    [("mid-rack", 20), ("bar-20", 20), ("mat-space", 20), ("boiler", 0), ("mirror", 0)],
)
def test_what_stands_is_lifted_by_the_covering_and_what_hangs_is_not(kit: str, lift: float) -> None:
    assert lift_mm(make_plan(room=make_room(covering=20)), kit_types()[kit]) == lift
    assert lift_mm(make_plan(), kit_types()[kit]) == 0


def test_what_a_floor_is_laid_round_stands_on_the_bare_floor() -> None:
    row = kit_types()["chest-freezer"]
    there, comes = place("chest-freezer", stays=True), place("chest-freezer")
    plan = make_plan(there, room=make_room(covering=20))

    def laid(**more: object) -> Plan:
        laying = FloorLaying(id="f", thickness_mm=20, **more)  # type: ignore[arg-type]
        return Plan.model_validate({**json_of(plan), "fit_out": {"floors": [json_of(laying)]}})

    assert lift_mm(laid(), row, there) == 0
    assert lift_mm(laid(), row, comes) == 20
    # laid under it, or no floor to be laid at all: it stands on what lies there
    assert lift_mm(laid(under=("chest-freezer",)), row, there) == 20
    assert lift_mm(plan, row, there) == 20
    # a car is rolled off and back onto it
    assert lift_mm(laid(), kit_types()["car"], place("car", stays=True)) == 20
    freezer = build_scene(laid()).placed["chest-freezer"]
    assert freezer.lift_mm == 0


@pytest.mark.parametrize(
    ("kit", "host", "plate", "heights"),
    [
        ("plate-tree", None, None, (0, 0)),
        # hooks of a rack hold a bar from 1000 to 1500 above its foot
        ("bar-20", "mid-rack", None, (1000, 1500)),
        # on the floor it lies on its plates: 450 or as large as they are said to be
        ("bar-20", None, None, (225, 225)),
        ("bar-20", None, 400, (200, 200)),
        ("bar-20", "plate-tree", None, (225, 225)),
    ],
)
def test_where_a_bar_rests(
    kit: str, host: str | None, plate: float | None, heights: tuple[float, float]
) -> None:
    carrier: Piece | None = place(host) if host else None
    kits = kit_types()
    assert rest_mm(place(kit, plate=plate), kits[kit], carrier, kits) == heights
