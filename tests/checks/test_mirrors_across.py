"""Mirror in sheets over an opening, by hand: a window from 2000 to 2900, 1500 to 1900 high.

Where there is no wall nothing is fixed to it (common practice, no source).
"""

from typing import Any

import pytest

from app.checks.snag import Snag
from app.model.finishing import MirrorArea
from app.model.fit_out import FitOut
from app.model.plan import Plan
from app.model.room import Opening
from tests.builders import found, make_plan, make_room, turned_plan


def plan(*, window: dict[str, Any] | None = None, **fields: Any) -> Plan:
    """A mirror of 2400 x 1500 on the back wall of 5000, its lower edge at 508."""
    given = {"id": "w", "wall": "back", "kind": "window", "offset_mm": 2000, "width_mm": 900}
    opening = Opening.model_validate({**given, "height_mm": 400, "sill_mm": 1500, **(window or {})})
    wanted = {"id": "m", "wall": "back", "offset_mm": 1000, "width_mm": 2400, "bottom_mm": 508}
    area = MirrorArea.model_validate({**wanted, **fields})
    made = make_plan(room=make_room(5000, 4000, openings=[opening]))
    return made.model_copy(update={"fit_out": FitOut(mirrors=(area,))})


def told(**fields: Any) -> list[Snag]:
    return found(plan(**fields), "mirror-across")


@pytest.mark.parametrize("turn", [0.0, 31.0])
@pytest.mark.parametrize(
    ("fields", "across"),
    [
        # all of the window
        ({}, "900 x 400"),
        # from the left up to it and into it, and from the right
        ({"width_mm": 1000}, None),
        ({"width_mm": 1002}, "2 x 400"),
        ({"offset_mm": 2900, "width_mm": 1000}, None),
        ({"offset_mm": 2898, "width_mm": 1000}, "2 x 400"),
        # below its sill, above its top, and another wall's
        ({"height_mm": 992}, None),
        ({"height_mm": 1002}, "900 x 10"),
        ({"bottom_mm": 1900, "height_mm": 300}, None),
        ({"bottom_mm": 1890, "height_mm": 300}, "900 x 10"),
        ({"wall": "front"}, None),
    ],
)
def test_what_is_over_the_window(fields: dict[str, Any], across: str | None, turn: float) -> None:
    snags = found(turned_plan(plan(**fields), turn), "mirror-across")
    assert [snag.severity for snag in snags] == ([] if across is None else ["care"])
    for snag in snags:
        assert f"{across} mm of it would hang across the window" in snag.sentence


@pytest.mark.parametrize(
    ("window", "severity"),
    [
        ({"kind": "hinged", "sill_mm": 0, "height_mm": 2000, "way_out": False}, "care"),
        ({"kind": "hinged", "sill_mm": 0, "height_mm": 2000, "way_out": True}, "stop"),
        ({"must_open": True}, "stop"),
    ],
)
def test_over_the_only_way_out_it_is_a_stop(window: dict[str, Any], severity: str) -> None:
    (snag,) = told(window=window)
    assert snag.severity == severity
    assert ("that is the only way out" in snag.sentence) == (severity == "stop")


@pytest.mark.parametrize(("left", "severity"), [(449, "stop"), (450, "care")])
def test_as_much_is_left_of_it_as_one_leaves_by(left: float, severity: str) -> None:
    """450, sideways (common practice, no source): a door from 2000 to 3000."""
    door = {"kind": "hinged", "sill_mm": 0, "height_mm": 2000, "width_mm": 1000}
    (snag,) = told(window=door, offset_mm=2000 + left, width_mm=1500)
    assert snag.severity == severity


def test_over_one_of_two_ways_out_it_is_none() -> None:
    data = plan(window={"must_open": True}).model_dump(mode="json")
    (window,) = data["room"]["openings"]
    data["room"]["openings"] += [{**window, "id": "v", "wall": "front"}]
    (snag,) = found(Plan.model_validate(data), "mirror-across")
    assert snag.severity == "care"


def test_what_cannot_hang_there_is_not_told_how_to_hang() -> None:
    assert found(plan(), "fixings") == []
    (note,) = found(plan(width_mm=800), "fixings")
    # 0.8 x 1.5 x 6 x 2.5 (EN 572-1)
    assert "18 kg in all" in note.sentence


def test_an_empty_room_has_none() -> None:
    assert found(make_plan(), "mirror-across") == []
