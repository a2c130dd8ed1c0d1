"""A bar that hangs is where its height was typed: under the joists or on a wall."""

import pytest

from app.model.kit import Piece
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place


def parts(key: str, bar: float | None, height: float) -> dict[str, list[tuple[float, float]]]:
    piece = place(key, 2000, 2000, height=height)
    piece = Piece.model_validate({**piece.model_dump(mode="json"), "bar_height_mm": bar})
    (placed,) = build_scene(make_plan(piece, room=make_room(height=2600))).order
    rows: dict[str, list[tuple[float, float]]] = {}
    for part, low, high in zip(
        placed.shape.parts, placed.shape.low_mm.tolist(), placed.shape.high_mm.tolist(), strict=True
    ):
        rows.setdefault(part, []).append((low, high))
    return rows


@pytest.mark.parametrize("bar", [1900, 2184, 2400])
def test_under_joists_what_holds_it_is_as_long(bar: float) -> None:
    # the row: the middle of the bar 416 under the top, 32 thick, its uprights from there to 15
    made = parts("pull-up-bar-ceiling", bar, 2600)
    assert made["handle"] == [(bar - 16, bar + 16)]
    assert made["upright"] == [(bar + 16, 2585)] * 2
    assert made["panel"] == parts("pull-up-bar-ceiling", None, 2600)["panel"]


@pytest.mark.parametrize(("bar", "above"), [(2569, 0), (2569.5, 0.5), (2700, 131)])
def test_what_it_is_screwed_up_by_is_never_under_the_bar(bar: float, above: float) -> None:
    # 15 of panel under the top of 2600, 16 of bar: up to 2569 the one lies under the other
    made = parts("pull-up-bar-ceiling", bar, 2600)
    assert made["handle"] == [(bar - 16, bar + 16)]
    assert made["panel"] == [(2585 + above, 2600 + above)] * 2
    assert made["upright"] == [(bar + 16, 2585 + above)] * 2


def test_on_a_wall_all_of_it_hangs_as_high() -> None:
    # the row: the middle of the bar 18 under its top of 2150
    as_made, typed = parts("pull-up-bar-wall", None, 2150), parts("pull-up-bar-wall", 2250, 2150)
    by = 2250 - (2150 - 18)
    assert typed == {
        part: [(low + by, high + by) for low, high in rows] for part, rows in as_made.items()
    }


def test_what_stands_on_the_floor_too_stays_there() -> None:
    assert parts("folding-wall-rack", 2000, 2290) == parts("folding-wall-rack", None, 2290)
