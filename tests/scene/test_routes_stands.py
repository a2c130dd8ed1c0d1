"""Where people stand to use a station, by hand: before its edge, half of 450 off."""

import numpy as np
import pytest
import shapely

from app.library.kit import kit_types
from app.scene.build import Scene, build_scene
from app.scene.routes_stands import Stand, stands
from tests.builders import make_plan, make_room, place


def of(*pieces: object) -> tuple[Scene, dict[str, Stand]]:
    scene = build_scene(make_plan(*pieces, room=make_room(6000, 6000)))  # type: ignore[arg-type]
    return scene, {scene.order[each.number].piece.id: each for each in stands(scene)}


def test_before_a_rack_in_three_places_and_not_behind_it() -> None:
    scene, there = of(place("mid-rack", 3000, 1500), place("bar-20", 3000, 2162, piece_id="bar",
                                                           carried_by="mid-rack"))  # fmt: skip
    assert set(there) == {"mid-rack"}
    rack = scene.placed["mid-rack"].extent
    points = there["mid-rack"].points
    # 225 before its front edge, a half millimetre off it
    assert points[:, 1] == pytest.approx([1500 + rack.depth_mm / 2 + 225.5] * 3, abs=0.01)
    # the middles of three thirds of a space that is as wide on both sides of the middle
    # looking out, from the left hand to the right: drawn to the front, x grows to the left
    assert list(points[:, 0]) == sorted(points[:, 0], reverse=True)
    gaps = np.diff(np.sort(points[:, 0]))
    assert gaps[0] == pytest.approx(gaps[1])
    assert points[:, 0].mean() == pytest.approx(3000)
    assert gaps[0] * 3 == pytest.approx(np.ptp(there["mid-rack"].spaces[0].bounds[::2]), abs=2)


def test_a_mat_is_stood_on_in_nine_places() -> None:
    _, there = of(place("mat-space", 3000, 3000, width=1200, depth=1800))
    points = there["mat-space"].points
    assert len(points) == 9
    assert sorted({round(float(x)) for x in points[:, 0]}) == [2600, 3000, 3400]
    assert sorted({round(float(y)) for y in points[:, 1]}) == [2400, 3000, 3600]


def test_on_both_sides_of_a_rower_and_turned_with_it() -> None:
    plain = of(place("rower", 3000, 3000))[1]["rower"].points - 3000
    turned = of(place("rower", 3000, 3000, 90))[1]["rower"].points - 3000
    # a strip of 600 on the left and on the right is deep enough to stand in, one of 300 is not
    assert len(plain) == 6
    assert {round(float(x)) > 0 for x in plain[:, 0]} == {True, False}
    assert np.stack([-plain[:, 1], plain[:, 0]], axis=1) == pytest.approx(turned, abs=0.01)


def test_whoever_uses_a_thing_stands_in_its_own_space() -> None:
    for kit in kit_types():
        _, there = of(place(kit, 3000, 3000, 215))
        for stand in there.values():
            own = shapely.union_all(stand.spaces).buffer(1)
            assert shapely.contains_xy(own, *stand.points.T).all(), kit
