"""A room as geometry: what is open while somebody trains, and linings that leave no floor."""

import numpy as np
import pytest
import shapely

from app.errors import PlanError
from app.model.room import Opening, Room
from app.scene.room import RoomShape, room_bytes, room_shape
from tests.builders import column, low_thing, make_room, rectangle


def door(kind: str, stands: str = "unknown", door_id: str = "g", wall: str = "front") -> Opening:
    return Opening.model_validate(
        {
            "id": door_id, "wall": wall, "kind": kind, "offset_mm": 1000, "width_mm": 2000,
            "height_mm": 2100, "open_while_training": stands,
        }
    )  # fmt: skip


def shape_of(*openings: Opening) -> RoomShape:
    return room_shape(make_room(openings=openings))


@pytest.mark.parametrize(
    ("stands", "open_then", "may_be"),
    [
        ((), "no", False),
        (("no",), "no", False),
        (("unknown",), "unknown", True),
        (("yes",), "yes", False),
        (("no", "yes"), "yes", False),
        (("unknown", "yes"), "yes", True),
        (("no", "unknown"), "unknown", True),
    ],
)
def test_any_leaf_that_is_said_to_be_open_counts(
    stands: tuple[str, ...], open_then: str, may_be: bool
) -> None:
    walls = ("front", "back")
    given = [door("tracks", each, f"g{i}", walls[i]) for i, each in enumerate(stands)]
    shape = shape_of(*given)
    assert (shape.open_while_training, shape.may_be_open) == (open_then, may_be)
    assert shape.opens is bool(given)


def test_a_hinged_door_hangs_nothing_over_the_room() -> None:
    shape = shape_of(door("hinged", "yes"))
    assert not shape.opens
    assert shape.open_while_training == "no"


def test_what_is_overhead_with_the_door_open_shut_and_as_one_trains() -> None:
    # a retractable leaf hangs at 2000 in a room of 2600, its tracks at all times
    for stands, lowest in (("yes", "open"), ("no", "shut")):
        shape = shape_of(door("tracks", stands))
        assert shape.open.lowest_mm == 2000
        assert len(shape.open.items) == len(shape.shut.items) + 1
        assert len(shape.training.items) == len(getattr(shape, lowest).items)


def test_floor_inside_the_linings_and_half_a_tolerance_beyond() -> None:
    shape = room_shape(make_room(5000, 4000, lining=50))
    assert shape.free.bounds == (50, 50, 4950, 3950)
    assert shape.outline.bounds == (0, 0, 5000, 4000)
    assert shape.grown.bounds == (49.5, 49.5, 4950.5, 3950.5)
    with pytest.raises(PlanError, match="thinner"):
        room_shape(make_room(900, 4000, lining=450))
    with pytest.raises(PlanError, match="thinner"):
        room_shape(make_room(900, 4000, lining=460))


def test_a_room_with_more_in_it_holds_more() -> None:
    parts = make_room(
        low_things=[low_thing(rectangle(0, 0, 5000, 200), 2300)],
        columns=[column(rectangle(1000, 1000, 1300, 1300))],
        openings=[door("hinged")],
    )
    bare, full = room_bytes(room_shape(make_room())), room_bytes(room_shape(parts))
    # a column, a door, a beam, and that beam with the doors shut, open and as it is today
    assert full - bare == (1 + 1 + 1 + 3) * 1000


def test_what_is_bare_is_not_yet_lined() -> None:
    # boards and battens of 50 to come under a ceiling of 2600
    data = make_room().model_dump()
    data["ceiling"]["finish_mm"] = 50
    shape = room_shape(Room.model_validate(data))
    area = np.array([shapely.box(1000, 1000, 2000, 2000)], dtype=object)
    assert float(shape.shut.clear(area)[0][0]) == 2550
    assert float(shape.bare.clear(area)[0][0]) == 2600
    plain = room_shape(make_room())
    assert plain.bare is plain.shut
