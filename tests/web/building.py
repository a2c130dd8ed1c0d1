"""A small plan whose findings are known, and every kind of plan file that must be refused."""

import json
from collections.abc import Callable
from typing import Any

Data = dict[str, Any]

CORNERS = [("back", 0, 0), ("right", 5000, 0), ("front", 5000, 4000), ("left", 0, 4000)]


def plan_data(**changes: Any) -> Data:
    """A room of 5 x 4 m, 2.40 m high, with two benches far from one another and from the walls."""
    return {
        "format": "elbowroom-plan",
        "version": 1,
        "name": "Room",
        "room": {
            "walls": [{"id": i, "x_mm": x, "y_mm": y} for i, x, y in CORNERS],
            "ceiling": {"planes": [{"id": "ceiling", "height_mm": 2400}]},
        },
        "people": [{"id": "ada", "stature_mm": 1750}],
        "pieces": [
            {"id": "bench-1", "type": "flat-bench", "pose": {"x_mm": 1200, "y_mm": 2000}},
            {"id": "bench-2", "type": "flat-bench", "pose": {"x_mm": 3600, "y_mm": 2000}},
        ],
        **changes,
    }


def room(**changes: Any) -> Data:
    return {**plan_data()["room"], **changes}


def text(data: Data) -> bytes:
    return json.dumps(data).encode()


def door(width_mm: float) -> Data:
    return {
        "id": "door",
        "wall": "back",
        "kind": "hinged",
        "offset_mm": 0,
        "width_mm": width_mm,
        "height_mm": 2000,
    }


def walls(*corners: tuple[float, float]) -> list[Data]:
    return [{"id": f"w{n}", "x_mm": x, "y_mm": y} for n, (x, y) in enumerate(corners)]


def pieces(count: int) -> list[Data]:
    return [
        {"id": f"bench-{n}", "type": "flat-bench", "pose": {"x_mm": 1000, "y_mm": 1000}}
        for n in range(count)
    ]


BAD_FILES: dict[str, tuple[Callable[[], bytes], str]] = {
    "not JSON": (lambda: b"{width: 5}", "not JSON"),
    "not text": (lambda: b"\xff\xfe\x00\xd8", "not a plan of Elbowroom"),
    "empty": (lambda: b"", "not a plan of Elbowroom"),
    "no plan": (lambda: b"[1, 2]", "not a plan of Elbowroom"),
    "nested 100,000 deep": (lambda: b"[" * 100_000, "nested too deeply"),
    "another format": (lambda: text(plan_data(format="drawing")), "format"),
    "a newer version": (lambda: text(plan_data(version=99)), "version: the file is of version 99"),
    "NaN": (lambda: text(plan_data(name=float("nan"))), "NaN"),
    "infinity": (
        lambda: text(
            plan_data(pieces=[{**pieces(1)[0], "pose": {"x_mm": float("inf"), "y_mm": 0}}])
        ),
        "Infinity",
    ),
    "a number past all bounds": (
        lambda: text(plan_data()).replace(b'"x_mm": 1200', b'"x_mm": 1e999'),
        "pieces[0].pose.x_mm",
    ),
    "an integer of 10,000 digits": (
        lambda: text(plan_data()).replace(b"1200", b"9" * 10_000),
        "not JSON",
    ),
    "half a letter in a name": (
        lambda: text(plan_data()).replace(b'"Room"', b'"\\ud800"'),
        "name",
    ),
    "an unknown field": (lambda: text(plan_data(wings=2)), "wings: this field is not known"),
    "a missing field": (
        lambda: text({k: v for k, v in plan_data().items() if k != "room"}),
        "room: this field is missing",
    ),
    "a self-crossing outline": (
        lambda: text(plan_data(room=room(walls=walls((0, 0), (4000, 3000), (4000, 0), (0, 3000))))),
        "walls: the outline crosses itself",
    ),
    "a door wider than its wall": (
        lambda: text(plan_data(room=room(openings=[door(5500)]))),
        "'door' is 5500 mm wide, its wall 'back' only 5000 mm long",
    ),
    "a ceiling below the floor": (
        lambda: text(
            plan_data(room=room(ceiling={"planes": [{"id": "ceiling", "height_mm": -10}]}))
        ),
        "ceiling: 'ceiling' is -10 mm high",
    ),
    "an unknown kit type": (
        lambda: text(plan_data(pieces=[{**pieces(1)[0], "type": "time-machine"}])),
        "pieces[0].type: there is no kit type 'time-machine'",
    ),
    "an unknown state": (
        lambda: text(plan_data(pieces=[{**pieces(1)[0], "state": "melted"}])),
        "pieces[0].state: 'Flat bench' has no state 'melted'",
    ),
    "an unknown state in a situation": (
        lambda: text(
            plan_data(
                situations=[{"id": "party", "states": [{"id": "bench-1", "state": "melted"}]}]
            )
        ),
        "situations[0].states[0].state: 'bench-1' has no state 'melted'",
    ),
    "an unknown published value": (
        lambda: text(
            plan_data(overrides=[{"id": "luck.per-day", "value": 7, "reason": "felt like it"}])
        ),
        "overrides[0].id: there is no published value 'luck.per-day'",
    ),
    "linings that leave no floor": (
        lambda: text(
            plan_data(room=room(walls=[{**wall, "lining_mm": 9000} for wall in room()["walls"]]))
        ),
        "walls",
    ),
    "an unknown movement": (
        lambda: text(
            plan_data(
                people=[
                    {
                        "id": "ada",
                        "stature_mm": 1750,
                        "wishes": [{"movement": "flying", "wish": "want"}],
                    }
                ]
            )
        ),
        "people[0].wishes[0].movement: there is no movement 'flying'",
    ),
    "10,000 pieces": (
        lambda: text(plan_data(pieces=pieces(10_000))),
        "there are 10,000 pieces; a plan holds at most 3,000",
    ),
    "50 MB": (lambda: text(plan_data(name="x" * 50_000_000)), "50 MB"),
}
"""Name -> what makes the file, and words that the sentence about it must hold."""
