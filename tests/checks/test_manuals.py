"""Makers who rule out garages and damp rooms (a fitter's practice sheet, no source)."""

from typing import Any

import pytest

from app.checks.snag import Snag
from app.model.plan import Plan
from app.model.room import Opening
from tests.builders import judge, make_plan, make_room, place

GARAGE_DOOR = Opening.model_validate(
    {"id": "g", "wall": "front", "kind": "tracks", "offset_mm": 500, "width_mm": 2400}
    | {"height_mm": 2100}
)


def said(*kit: str, door: bool = False, **room: Any) -> list[Snag]:
    built = make_room(openings=[GARAGE_DOOR] if door else ())
    plan = make_plan(*(place(key, 1500 + 1500 * i, 1500) for i, key in enumerate(kit)), room=built)
    document = plan.model_dump(mode="json")
    for part, fields in room.items():
        document["room"][part] |= fields
    return [s for s in judge(Plan.model_validate(document)) if s.code == "manual-and-garage"]


@pytest.mark.parametrize(
    ("room", "where"),
    [
        ({"door": True}, "a garage"),
        ({"climate": {"car_kept_here": "yes"}}, "a garage"),
        ({"fabric": {"floor_dry": "no"}}, "a damp room"),
        ({"fabric": {"floor_dry": "unknown"}}, None),
        ({}, None),
    ],
)
def test_a_machine_with_a_plug_in_a_garage_or_a_damp_room(
    room: dict[str, Any], where: str | None
) -> None:
    notes = said("running-machine", **room)
    assert [note.severity for note in notes] == (["note"] if where else [])
    for note in notes:
        assert note.sentence == (
            f"Makers often rule out {where}, or give no guarantee there: read what the manual of "
            "the running machine says of it."
        )


def test_what_has_no_electronics_or_is_of_the_house_is_not_meant() -> None:
    assert said("curved-runner", "chest-freezer", door=True) == []


def test_several_machines_are_one_note() -> None:
    (note,) = said("bike", "running-machine", door=True)
    assert set(note.pieces) == {"bike", "running-machine"}
    assert "the running machine and the upright bike" in note.sentence
