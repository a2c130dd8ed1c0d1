"""Sheets of mirror on their way in. 25 kg for one (practice); 2.5 kg/m2 for each mm (EN 572-1)."""

import pytest

from app.model.base import json_of
from app.model.finishing import MirrorArea
from app.model.fit_out import FitOut
from app.model.kit import Piece
from app.model.plan import Plan
from tests.builders import found, make_plan, make_room, place


def mirrored(*pieces: Piece, wide_mm: float = 1200, high_mm: float = 1500) -> Plan:
    area = MirrorArea(
        id="m", wall="back", offset_mm=500, width_mm=wide_mm, bottom_mm=508, height_mm=high_mm
    )
    data = json_of(make_plan(*pieces, room=make_room(5000, 5000)))
    return Plan.model_validate({**data, "fit_out": json_of(FitOut(mirrors=(area,)))})


@pytest.mark.parametrize(
    ("high_mm", "said"),
    [
        # 1.2 m wide and 6 mm thick it is 18 kg for each metre of height
        (1388, []),
        (1400, ["25 kg"]),
        (1500, ["27 kg"]),
    ],
)
def test_a_sheet_too_heavy_for_one_is_the_heaviest_part(high_mm: float, said: list[str]) -> None:
    there = [snag.sentence for snag in found(mirrored(high_mm=high_mm), "carry-in")]
    assert there == [
        f"The heaviest part to carry in is {kilos} (a sheet of the mirror on the back wall): two "
        "people, on edge and in gloves."
        for kilos in said
    ]


def test_a_mirror_as_wide_as_two_comes_in_two() -> None:
    (snag,) = found(mirrored(wide_mm=2402), "carry-in")
    assert snag.measured == 27


def test_of_kit_and_glass_the_heavier_is_named() -> None:
    box = place("standing-bag", 2500, 2500, piece_id="bag")
    (snag,) = found(mirrored(place("running-machine", 2500, 2500), box), "carry-in")
    assert "110 kg (running machine, its box)" in snag.sentence
    (snag,) = found(mirrored(place("plate-pegs", 2500, 100)), "carry-in")
    assert "a sheet of the mirror" in snag.sentence
    assert snag.pieces == ()
