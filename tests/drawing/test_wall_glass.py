"""A mirror of the fit-out is on the plan, in section and picture where its wall says it is."""

import pytest

from app.drawing.picture import picture
from app.drawing.picture_view import View
from app.drawing.plan_sheet import plan_sheet
from app.drawing.sheets.sections import sections_sheet
from app.drawing.wall_glass import bought_high_mm, glass, hung_words
from app.model.base import json_of
from app.model.finishing import MirrorArea
from app.model.plan import Plan
from app.scene.build import Scene, build_scene
from tests.builders import make_plan, make_room, place
from tests.drawing.reading import own_points, parse


def with_mirror() -> Scene:
    plan = make_plan(place("jump-box", 2000, 2000), room=make_room(4000, 3000))
    area = MirrorArea(
        id="m", wall="back", offset_mm=700, width_mm=2400, bottom_mm=300, height_mm=1500
    )
    data = {**json_of(plan), "fit_out": {"mirrors": [json_of(area)]}}
    return build_scene(Plan.model_validate(data))


def drawn_as_mirror(svg: str) -> list[tuple[float, float, float, float]]:
    found = []
    for element in parse(svg).iter():
        if element.get("data-ink") == "mirror" and len(own_points(element)) == 4:
            xs, ys = zip(*own_points(element), strict=True)
            found.append((min(xs), min(ys), max(xs), max(ys)))
    return found


def test_it_stands_before_its_wall_as_far_along_as_measured() -> None:
    scene = with_mirror()
    (one,) = glass(scene)
    # the back wall runs from left to right at y 0; the room lies below it as drawn
    assert one.outline.bounds == pytest.approx((700, 0, 3100, 20))
    (box,) = [b for b in drawn_as_mirror(plan_sheet(scene).inside[0]) if b[2] - b[0] > 100]
    assert box == pytest.approx((700, 0, 3100, 20), abs=0.1)
    words = " ".join(parse(plan_sheet(scene).inside[0]).itertext())
    assert "mirror on a wall" in words


def test_sections_show_it_from_the_front_where_one_looks_at_its_wall() -> None:
    boxes = [b for svg in sections_sheet(with_mirror()).inside for b in drawn_as_mirror(svg)]
    # 2400 x 1500 from 300 up, y down
    (front,) = [b for b in boxes if b[2] - b[0] > 1000]
    assert (front[2] - front[0], front[1], front[3]) == pytest.approx((2400, -1800, -300), abs=1)


def test_the_picture_shows_it_over_a_far_wall_and_leaves_it_out_over_a_near_one() -> None:
    scene = with_mirror()
    seen = {
        corner: any(p.face.owner == "mirror-m" for p in picture(scene, View(corner)).order.parts)
        for corner in range(4)
    }
    # the back wall is far from two corners and near to the other two
    assert sorted(seen.values()) == [False, False, True, True]
    assert seen[0]


def test_a_room_without_one_has_none() -> None:
    scene = build_scene(make_plan(place("jump-box", 2000, 2000), room=make_room(4000, 3000)))
    assert list(glass(scene)) == []
    assert "mirror on a wall" not in " ".join(parse(plan_sheet(scene).inside[0]).itertext())


@pytest.mark.parametrize(
    ("kind", "own", "words"),
    [
        # a boiler of 750 hangs with its top at 1800; shelving stands on the floor, so does a rack
        ("boiler", 750, " (top at 1800)"),
        ("consumer-unit", 300, " (top at 1700)"),
        ("shelving", 1800, ""),
        ("mid-rack", 2030, ""),
    ],
)
def test_a_height_is_the_things_own_and_what_hangs_says_how_high(
    kind: str, own: float, words: str
) -> None:
    scene = build_scene(make_plan(place(kind, 2000, 1500, piece_id="p")))
    assert bought_high_mm(scene.placed["p"]) == pytest.approx(own)
    assert hung_words(scene.placed["p"], "metric") == words
