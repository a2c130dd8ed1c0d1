"""What a guest may heap up in a plan, and that its owner may more and can take all of it back."""

from typing import Any

import pytest
from flask import Flask

from app.model.base import json_of
from app.usecases.crowds import IN_ONE_PLACE_AT_MOST, PIECES_AT_MOST
from app.usecases.plans import Elbowroom
from app.usecases.sharing import make_link
from app.web.api.following import Streams
from app.web.app import create_app
from app.web.guests.app import create_guest_app
from tests.builders import make_plan, make_room, place

HOME = "http://192.168.1.5:8766"


@pytest.fixture
def guests(house: Elbowroom) -> Flask:
    return create_guest_app(house, frozenset({"192.168.1.5"}), Streams(3, 3, 2))


def hall(house: Elbowroom, count: int, apart_mm: float) -> str:
    """A plan with so many boxes in rows of 25, so far apart."""
    boxes = (
        place("jump-box", 1000 + i % 25 * apart_mm, 1000 + i // 25 * apart_mm, piece_id=f"b{i}")
        for i in range(count)
    )
    return house.create(make_plan(*boxes, room=make_room(40_000, 40_000))).plan_id


def adding(*at: tuple[float, float]) -> dict[str, Any]:
    changes = [
        {
            "path": ["pieces", f"new-{i}"],
            "before": None,
            "after": json_of(place("jump-box", x, y, piece_id=f"new-{i}")),
        }
        for i, (x, y) in enumerate(at)
    ]
    return {"command": {"name": "add", "says": "place boxes", "changes": changes}}


def moving(house: Elbowroom, plan_id: str, **to: tuple[float, float]) -> dict[str, Any]:
    poses = {piece.id: json_of(piece.pose) for piece in house.open(plan_id).plan.pieces}
    changes = [
        {
            "path": ["pieces", key, "pose"],
            "before": poses[key],
            "after": {**poses[key], "x_mm": x, "y_mm": y},
        }
        for key, (x, y) in to.items()
    ]
    return {"command": {"name": "move", "says": "move boxes", "changes": changes}}


def sent(
    house: Elbowroom, guests: Flask | None, plan_id: str, body: Any, to: str = "commands"
) -> Any:
    """The answer to a guest, or to the owner where there are no guests."""
    if guests is None:
        return create_app(house).test_client().post(f"/api/plans/{plan_id}/{to}", json=body)
    inside = f"/g/{make_link(house, plan_id, 'Anna', 'edit', 1)[1]}"
    client = guests.test_client()
    return client.post(f"{inside}/api/plans/{plan_id}/{to}", base_url=HOME, json=body)


def test_a_guest_heaps_up_so_much_and_no_more(house: Elbowroom, guests: Flask) -> None:
    plan_id = hall(house, 1, 1500)
    heap = [(20_000.0, 20_000.0)] * (IN_ONE_PLACE_AT_MOST + 1)
    refused = sent(house, guests, plan_id, adding(*heap))
    assert refused.status_code == 400
    assert "41 pieces would stand within 1 m of one place" in refused.text
    assert house.open(plan_id).revision == 0
    assert sent(house, guests, plan_id, adding(*heap[1:])).status_code == 200
    # neither by a drag nor by a drop does one more come to them
    drag = {"moves": {"b0": {"x_mm": 20_000, "y_mm": 20_000, "angle_deg": 0}}}
    drop = moving(house, plan_id, b0=heap[0])
    assert sent(house, guests, plan_id, drag, "try").status_code == 400
    assert sent(house, guests, plan_id, drop).status_code == 400
    assert house.open(plan_id).revision == 1
    # the owner may, and takes it all back, what the guest did as well
    assert sent(house, None, plan_id, drag, "try").status_code == 200
    assert sent(house, None, plan_id, drop).status_code == 200
    for _ in range(2):
        assert sent(house, None, plan_id, {}, "undo").status_code == 200
    assert len(house.open(plan_id).plan.pieces) == 1


def test_a_guest_brings_a_plan_to_so_many_pieces_and_no_more(
    house: Elbowroom, guests: Flask
) -> None:
    plan_id = hall(house, PIECES_AT_MOST - 1, 1500)
    spots = [(2000.0, 38_000.0), (5000.0, 38_000.0)]
    refused = sent(house, guests, plan_id, adding(*spots))
    assert refused.status_code == 400
    assert "would have 501 pieces" in refused.text
    assert sent(house, guests, plan_id, adding(spots[0])).status_code == 200
    assert house.open(plan_id).revision == 1


def test_a_guest_may_mend_what_the_owner_heaped_up(house: Elbowroom, guests: Flask) -> None:
    plan_id = hall(house, IN_ONE_PLACE_AT_MOST + 2, 1)
    # within the heap a piece may be moved, and out of it, but not another into it
    assert sent(house, guests, plan_id, moving(house, plan_id, b0=(1010, 1000))).status_code == 200
    assert sent(house, guests, plan_id, moving(house, plan_id, b0=(9000, 9000))).status_code == 200
    assert sent(house, guests, plan_id, moving(house, plan_id, b0=(1010, 1000))).status_code == 400


def test_a_guest_brings_no_heap_back_by_undo_or_redo(house: Elbowroom, guests: Flask) -> None:
    plan_id = hall(house, 1, 1500)
    heap = [(20_000.0, 20_000.0)] * (IN_ONE_PLACE_AT_MOST + 2)
    assert sent(house, None, plan_id, adding(*heap)).status_code == 200
    assert sent(house, None, plan_id, {}, "undo").status_code == 200
    refused = sent(house, guests, plan_id, {}, "redo")
    assert (refused.status_code, len(house.open(plan_id).plan.pieces)) == (400, 1)
    assert "pieces would stand within 1 m of one place" in refused.text
    assert sent(house, None, plan_id, {}, "redo").status_code == 200
    # a guest may take the heap away, and not bring it back by taking that back
    there = json_of(house.open(plan_id).plan)["pieces"]
    away = [
        {"path": ["pieces", piece["id"]], "before": piece, "after": None} for piece in there[1:]
    ]
    command = {"command": {"name": "remove", "says": "take it away", "changes": away}}
    assert sent(house, guests, plan_id, command).status_code == 200
    assert sent(house, guests, plan_id, {}, "undo").status_code == 400
    assert len(house.open(plan_id).plan.pieces) == 1
    assert sent(house, None, plan_id, {}, "undo").status_code == 200


def test_a_guest_brings_a_room_to_so_many_parts_and_no_more(
    house: Elbowroom, guests: Flask
) -> None:
    plan_id = hall(house, 1, 1500)
    joists = {"direction_deg": 0, "spacing_mm": 100, "width_mm": 45, "depth_mm": 150}
    change = {"path": ["room", "ceiling", "joists"], "before": None, "after": joists}
    command = {"command": {"name": "room", "says": "joists", "changes": [change]}}
    refused = sent(house, guests, plan_id, command)
    assert refused.status_code == 400
    assert "the room would have 571 parts" in refused.text
    # the form of the room is held to the same
    text = {"direction": "0", "spacing": "100", "joist_width": "45", "joist_depth": "150"}
    form = {"edit": "joists", "fields": text, "revision": house.open(plan_id).revision}
    refused = sent(house, guests, plan_id, form, "room")
    assert refused.status_code == 400
    assert "the room would have 571 parts" in refused.text
    assert house.open(plan_id).revision == 0
    assert sent(house, None, plan_id, command).status_code == 200
    wider = {**joists, "spacing_mm": 400, "first_mm": 0}
    now = json_of(house.open(plan_id).plan)["room"]["ceiling"]["joists"]
    change = {"path": ["room", "ceiling", "joists"], "before": now, "after": wider}
    command = {"command": {"name": "room", "says": "joists", "changes": [change]}}
    assert sent(house, guests, plan_id, command).status_code == 200
