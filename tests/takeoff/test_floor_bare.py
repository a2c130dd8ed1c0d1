"""What a wall that turned out otherwise leaves bare and what lies too far, by hand: 3 x 2 mats."""

from dataclasses import replace

import pytest
from shapely import Polygon, box, union_all
from shapely.geometry.base import BaseGeometry

from app.scene.build import Scene, build_scene
from app.takeoff.floor import floor_layout
from app.takeoff.floor_bare import anew_words, left_bare, too_long
from app.takeoff.floor_layout import Laid
from tests.builders import make_plan, make_room
from tests.takeoff.test_floor_setting import laying

ROOM = (3016, 2016)
FLOOR = box(8, 8, 3008, 2008)
"""The room less a gap of 8: the mats lie all over it."""


def laid(region: BaseGeometry = FLOOR, down: tuple[int, ...] = ()) -> tuple[Scene, Laid]:
    """Six mats of 1000, some of which lie; the floor that they are to cover now is another one."""
    scene = build_scene(make_plan(room=make_room(*ROOM)))
    made = floor_layout(scene, laying(first_mm=1000, first_row_mm=1000), compare=False).laid
    assert union_all([mat.polygon for mat in made.mats]).equals(FLOOR)
    mats = tuple(replace(mat, down=mat.number in down) for mat in made.mats)
    return scene, replace(made, region=region, mats=mats)


@pytest.mark.parametrize(
    ("region", "bare"),
    [
        (FLOOR, {}),
        # by less than a millimetre more nothing stays bare
        (box(8, 8, 3008.9, 2008), {}),
        (box(8, 8, 3009.5, 2008), {"right": 1.5}),
        (box(8, 8, 3048, 2008), {"right": 40}),
        (box(-22, 8, 3008, 2008), {"left": 30}),
        (box(8, -12, 3008, 2058), {"back": 20, "front": 50}),
        # of two strips at one wall the wider one
        (
            union_all([FLOOR, box(3008, 8, 3028, 900), box(3008, 1000, 3018, 2008)]),
            {"right": 20},
        ),
        (
            union_all([FLOOR, box(3008, 8, 3018, 900), box(3008, 1000, 3028, 2008)]),
            {"right": 20},
        ),
        # as wide as it is long
        (union_all([FLOOR, box(3008, 900, 3048, 940)]), {"right": 40}),
    ],
)
def test_what_stays_bare_is_told_by_the_wall_it_lies_at(
    region: BaseGeometry, bare: dict[str, float]
) -> None:
    assert left_bare(*laid(region)) == pytest.approx(bare, abs=1e-3)


def test_a_slit_round_a_corner_is_as_wide_as_each_of_its_legs() -> None:
    # 30 beyond two sides: legs of 3030 and 2000, together half of the outline
    (width,) = left_bare(*laid(box(8, 8, 3038, 2038))).values()
    assert width == pytest.approx(30, abs=0.2)


def test_only_what_lies_is_told_to_lie_too_far() -> None:
    # the right wall is 25 nearer and the front one 10
    nearer = box(8, 8, 2983, 1998)
    assert too_long(*laid(nearer)) == {}
    over = too_long(*laid(nearer, down=(1, 2, 3, 5)))
    assert {number: {**strips} for number, strips in over.items()} == {
        3: pytest.approx({"right": 25}, abs=1e-3),
        5: pytest.approx({"front": 10}, abs=1e-3),
    }
    assert too_long(*laid(FLOOR, down=(1, 2, 3, 4, 5, 6))) == {}


def said(region: BaseGeometry, *down: int) -> list[str]:
    scene, made = laid(region, down)
    return [*anew_words(scene, made, "metric")]


def test_in_words() -> None:
    assert said(FLOOR, 1, 2, 3) == []
    (bare,) = said(box(8, -12, 3008, 2058))
    assert bare == (
        "More than the gap stays bare: 50 mm along the front wall and 20 mm along the back wall. "
        "So narrow a strip does not stay where it is laid."
    )
    (one,) = said(box(8, 8, 2983, 2008), 3)
    assert one == "Piece 3 lies too far out: trim it by 25 mm along the right wall."
    (two,) = said(box(8, 8, 2983, 2008), 1, 3, 6)
    assert two == "Pieces 3 and 6 lie too far out: trim them by 25 mm along the right wall."
    # the most of each wall: 3 by 25 and 6 by 15 at the right one
    uneven = Polygon([(8, 8), (2983, 8), (2983, 1008), (2993, 1008), (2993, 2008), (8, 2008)])
    assert "trim them by 25 mm along the right wall" in said(uneven, 3, 6)[0]
    over = union_all([box(8, 8, 2983, 1008), box(8, 1008, 2968, 2008)])
    assert "trim them by 40 mm along the right wall" in said(over, 3, 6)[0]
    bare, trim = said(box(-12, 8, 2983, 2008), 3)
    assert bare.startswith("More than the gap stays bare: 20 mm along the left wall.")
    assert trim.startswith("Piece 3 ")
    (three,) = said(box(8, 8, 3008, 1998), 4, 5, 6)
    assert three.startswith("Pieces 4, 5 and 6 lie too far out: trim them by 10 mm along the front")
