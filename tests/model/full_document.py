"""A small plan in which every number and text that a document can hold stands at least once."""

from collections.abc import Iterator
from typing import Any

from app.model.base import json_of
from app.model.versions import from_data, schema

Place = tuple[tuple[str | int, ...], dict[str, Any], str]
"""Where a field stands in the document, its schema, and which field of which model it is."""


def full_document() -> dict[str, Any]:
    """Return a valid plan as JSON data with every field, new at each call."""
    corners = [("back", 0, 0), ("right", 5000, 0), ("front", 5000, 4000), ("left", 0, 4000)]
    walls: list[dict[str, Any]] = [{"id": i, "x_mm": x, "y_mm": y} for i, x, y in corners]
    walls[0]["photos"] = ["1" * 32]
    square = [[1000, 1000], [1500, 1000], [1500, 1500], [1000, 1500]]
    pose = {"x_mm": 2000, "y_mm": 2000, "angle_deg": 0}
    data = {
        "format": "elbowroom-plan",
        "version": 1,
        "name": "Full",
        "room": {
            "walls": walls,
            "openings": [
                {
                    "id": "door",
                    "wall": "front",
                    "kind": "tracks",
                    "offset_mm": 500,
                    "width_mm": 2400,
                    "height_mm": 2100,
                    "label": "door",
                }
            ],
            "ceiling": {
                "planes": [{"id": "ceiling", "height_mm": 2400, "outline": square}],
                "joists": {},
            },
            "low_things": [{"id": "b", "kind": "beam", "outline": square, "bottom_mm": 2000}],
            "columns": [{"id": "post", "outline": square}],
            "sockets": [{"id": "socket", "wall": "back", "offset_mm": 300}],
            "electricity": {"circuits": [{"id": "c", "amps": 16}]},
            "walk": {
                "steps": [{"length_mm": 5000, "typed": "5 m"}],
                "diagonals": [{"start": 1, "end": 3, "length_mm": 6400, "typed": "6.4"}],
                "heights": [{"wall": 1, "height_mm": 2400, "typed": "2.4"}],
            },
        },
        "people": [
            {
                "id": "ada",
                "stature_mm": 1750,
                "mass_kg": 80,
                "wishes": [{"movement": "press", "wish": "want"}],
            }
        ],
        "pieces": [
            {
                "id": "rack",
                "type": "rack",
                "pose": pose,
                "manual_mm": [{"space": "front", "least_mm": 1}],
            }
        ],
        "own_kit": [
            {
                "id": "own-1",
                "name": "Own",
                "group": "bench",
                "width_mm": 500,
                "depth_mm": 500,
                "height_mm": 500,
                "mass_kg": 20,
                "spaces": [{"side": "front", "least_mm": 100, "recommended_mm": 200}],
            }
        ],
        "settled": [{"id": "clash", "reason": "seen", "on": "2024-03-14"}],
        "way_in": [{"id": "gate", "kind": "door", "width_mm": 900}],
        "situations": [{"id": "open", "states": [{"id": "rack", "state": "out"}]}],
        "overrides": [{"id": "route.sample-mm", "value": 100, "reason": "finer"}],
        "fit_out": {
            "floors": [
                {
                    "id": "mat",
                    "zone": square,
                    "under": ["rack"],
                    "flush": ["bench"],
                    "begun": {
                        "points": square[:2],
                        "wall": "back",
                        "long_mm": 5000,
                        "from_right": False,
                        "along": True,
                        "joints": "staggered",
                        "stagger": 0.5,
                        "rows_at": 500,
                        "phases": [250],
                        "first_row": -1,
                        "ends_wider_mm": 1.5,
                        "along_wider_mm": -2.0,
                    },
                    "laid": [
                        {
                            "id": "1",
                            "outline": square,
                            "holes": [{"outline": square[:3]}],
                            "sheet": 1,
                            "rect": [0, 0, 500, 500],
                            "blank": [0, 0, 1000, 1000],
                            "left": [[500, 0, 1000, 1000]],
                        }
                    ],
                }
            ],
            "paint": [{"id": "paint", "surface": "floor", "walls": ["back"], "outline": square}],
            "strips": [{"id": "strip", "points": [[0, 0], [1000, 0]]}],
            "light": {"wanted_lux": 300},
            "mirrors": [{"id": "mirror", "wall": "back", "offset_mm": 100, "width_mm": 900}],
            "projections": [{"id": "film", "wall": "back", "middle_mm": 2000}],
        },
        "money": {
            "prices": [{"id": "mat", "minor": 4900}],
            "entries": [{"id": "piece.rack"}],
        },
        "phasing": {
            "put_by_minor": 60_000,
            "a_month_minor": 30_000,
            "first_month": "2027-03",
            "trainings_a_week": 3,
            "things": [{"id": "piece.rack", "must": True, "worth": 5, "month": "2027-05"}],
        },
        "works": {
            "starts_on": "2027-03-01",
            "parts": 2,
            "free": [{"id": "sat", "day": "sat", "starts": "09:30", "ends": "15:30", "people": 2}],
            "extra": [{"id": "may", "on": "2027-05-06", "starts": "08:00", "ends": "16:00"}],
            "loud": [{"id": "sat", "day": "sat", "starts": "10:00", "ends": "17:00"}],
            "days_off": [{"id": "away", "first": "2027-07-01", "last": "2027-07-10"}],
            "stored": [{"id": "box", "width_mm": 900, "depth_mm": 600, "mass_kg": 40}],
            "tasks": [
                {
                    "id": "own",
                    "label": "Own",
                    "photos": ["2" * 32],
                    "added": True,
                    "hours": 2,
                    "people": 1,
                    "after": ["ask"],
                    "wait_h": 4,
                    "not_before": "2027-03-02",
                    "began_on": "2027-03-03",
                    "done_on": "2027-03-04",
                    "done_hours": 3,
                }
            ],
            "deliveries": [
                {
                    "id": "piece.rack",
                    "lead_workdays": 5,
                    "ordered_on": "2027-03-01",
                    "arrives_on": "2027-03-09",
                }
            ],
        },
        "chalk": [{"id": "line", "way": "x", "at_mm": 100}],
        "layout_wishes": [{"id": "rack near w", "piece": "rack", "relation": "near"}],
        "picture": {"id": "0" * 32, "width_px": 100, "height_px": 100, "mm_per_px": 10},
    }
    return json_of(from_data(data))


def every_place(document: dict[str, Any]) -> Iterator[Place]:
    """Give each place of a document whose field is a number or a text, by the schema."""
    root = schema()
    yield from _places(document, root, root["$defs"], (), "Plan")


def every_field() -> set[str]:
    """Return each field of each model that is a number or a text, or holds some."""
    root = schema()
    found = set[str]()
    for name, model in [*root["$defs"].items(), ("Plan", root)]:
        for field, part in model.get("properties", {}).items():
            found |= {f"{name}.{field}" for _ in _simple(part)}
    return found


def _simple(part: dict[str, Any]) -> Iterator[dict[str, Any]]:
    for choice in part.get("anyOf", []):
        yield from _simple(choice)
    for item in (*part.get("prefixItems", []), part.get("items", False)):
        if isinstance(item, dict):
            yield from _simple(item)
    if part.get("type") in ("number", "integer", "string") and "enum" not in part:
        yield part


def _places(
    data: Any, part: dict[str, Any], models: dict[str, Any], way: tuple[str | int, ...], name: str
) -> Iterator[Place]:
    if "$ref" in part:
        model = part["$ref"].rsplit("/", 1)[-1]
        yield from _places(data, models[model], models, way, model)
        return
    for choice in part.get("anyOf", []):
        yield from _places(data, choice, models, way, name)
    if part.get("type") in ("number", "integer", "string") and "enum" not in part:
        yield way, part, name
    if isinstance(data, dict):
        for field, of_field in part.get("properties", {}).items():
            named = f"{name.split('.')[0]}.{field}"
            yield from _places(data.get(field), of_field, models, (*way, field), named)
    if isinstance(data, list):
        shapes = part.get("prefixItems") or [part.get("items", {})] * len(data)
        for index, (item, shape) in enumerate(zip(data, shapes, strict=False)):
            yield from _places(item, shape, models, (*way, index), name)
