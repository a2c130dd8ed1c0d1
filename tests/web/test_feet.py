"""A plan in feet speaks feet and inches wherever a person reads it: no mm and no bare metres."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator
from typing import Any

import pytest

from app.library.finishes import finishes
from app.library.floor_products import floor_products
from app.model.versions import load
from app.usecases.plans import Elbowroom
from tests.web.test_accounts import fitted

METRIC = re.compile(
    r"m²|square metres?|\bmm\b|(?<=\d) ?(?:m|cm)\b(?!²)|\bm\b(?= (?:wide|long|high|deep|along|off))"
)
ALLOWED = (
    # the true length on every sheet is 100 mm by a ruler, and says what that is in inches
    '100 mm (3 15/16")',
    "the line of 100 mm",
    "if it is not 100",
    # rates and rules go by the words of the tin, the standard and the library
    "m²/L",
    "m² a litre",
    "openings over 1 m² taken out (NRM2)",
    "openings over 2.5 m² taken out (DIN 18363)",
    "kg per square metre",
    # lengths may be typed in any way
    "240 cm",
    # a figure of a source is called and set otherwise as in the source
    "Value, mm",
    "Glass, for each mm of thickness",
    # a cable is sold by the square millimetre of its core everywhere a strip is
    "mm²",
)
THICK = re.compile(r'\d+(?:\.\d+)? m?m \(\d[^)]*(?:"| in)\)')
"""A thickness, a drill or a length off a roll as a shop names it, its feet and inches beside."""
OFF_THE_ROLL = re.compile(r"\d+ m(?: \(\d+ ft\))? off the roll")
"""What is sold by the running metre, with its feet beside it."""
KEY = re.compile(r"\b[a-z]+[.][a-z0-9.-]+")
"""The key of a published value or of a line, as it stands in tables and under a figure."""


def sold() -> tuple[str, ...]:
    """Names of things that are sold by a metric size."""
    known = finishes()
    rows = (
        known.packs, known.fittings, known.sheets, known.strips, known.profiles, known.anchors,
    )  # fmt: skip
    names = [row.name for group in rows for row in group.values()]
    names += [anchor.light for anchor in known.anchors.values()]
    names += [anchor.heavy for anchor in known.anchors.values()]
    names += [product.name for product in floor_products().values()]
    names = [name.replace("m2", "m²") for name in names]
    return tuple(sorted((n for n in names if METRIC.search(n)), key=len, reverse=True))


SOLD = sold()


def shown(markup: str) -> str:
    """What a person reads of a page or a drawing: its text, titles, hints and names."""
    markup = re.sub(r"<(script|style)\b.*?</\1>", " ", markup, flags=re.S)
    typed = re.findall(r"<input(?![^>]*(?:hidden|radio|checkbox))[^>]*>", markup)
    read = re.findall(r'(?:title|placeholder|aria-label|alt)="([^"]*)"', markup)
    read += re.findall(r'value="([^"]*)"', " ".join(typed))
    return html.unescape(re.sub(r"<[^>]+>", " ", markup) + " | " + " | ".join(read))


def metric(text: str) -> list[str]:
    """Every metric length in a text that is not on the list of what may stand."""
    for name in (*ALLOWED, *SOLD):
        text = text.replace(name, " ").replace(name.capitalize(), " ")
    text = " ".join(text.split())
    for sold_so in (THICK, OFF_THE_ROLL, KEY):
        text = sold_so.sub(" ", text)
    return [text[max(0, m.start() - 60) : m.end() + 30] for m in METRIC.finditer(text)]


def strings(data: Any) -> Iterator[str]:
    """Every text in JSON data."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        for value in data.values():
            yield from strings(value)
    elif isinstance(data, list):
        for value in data:
            yield from strings(value)


def in_feet(client: Any, house: Elbowroom, key: str) -> str:
    """A sample room of a household that thinks in feet, with much that is wrong, fitted out."""
    first = house.create_sample(key)
    fitted(client, first.plan_id)
    plan = json.loads(house.export(first.plan_id)[1])
    plan["units"] = "feet"
    # walls as walking round a room names them
    names = {wall["id"]: f"wall-{i + 1}" for i, wall in enumerate(plan["room"]["walls"])}
    whole = json.dumps({"room": plan["room"], "fit_out": plan["fit_out"]})
    for old, new in names.items():
        for field in ("id", "wall", "start_wall"):
            whole = whole.replace(f'"{field}": "{old}"', f'"{field}": "{new}"')
    plan |= json.loads(whole)
    for plane in plan["room"]["ceiling"]["planes"]:
        plane["height_mm"] -= 150
    plan["people"] = [
        {"id": "tall", "stature_mm": 1930, "trains_alone": True,
         "wishes": [{"movement": movement, "wish": "want"} for movement in WANTED]},
        {"id": "ada", "label": "Ada", "stature_mm": 1700, "reach_mm": 2110},
    ]  # fmt: skip
    for i, piece in enumerate(plan["pieces"]):
        if i % 3 == 0:
            piece["pose"]["x_mm"] += 400
    return house.create(load(json.dumps(plan).encode())).plan_id


WANTED = ("standing-press", "pull-up", "skip", "run", "kettlebell-swing")
ALL_SAMPLES = ("basement", "double-garage", "single-garage", "upstairs-room")


def samples(each_time: str) -> list[Any]:
    """Return the sample that is tried each time, and the others for a long run."""
    return [
        key if key == each_time else pytest.param(key, marks=pytest.mark.long)
        for key in ALL_SAMPLES
    ]


def room_choices(house: Elbowroom, plan_id: str) -> tuple[str, ...]:
    """Every part of the page of the room that can be opened."""
    room = house.open(plan_id).plan.room
    first = [("wall", room.walls[0].id), ("corner", room.walls[0].id)]
    first += [("opening", opening.id) for opening in room.openings]
    parts = ("", "walls", "openings", "floor", "ceiling", "columns", "hanging", "sockets", "air",
             "electricity", "building", "measured", "picture", "way-in", "ways",
             "situations")  # fmt: skip
    return parts + tuple(f"{kind}:{thing}" for kind, thing in first)


def none_metric(found: dict[str, str]) -> None:
    """Fail with every metric length and where it stands."""
    leaks = [
        (place, " ".join(leak.split())) for place, text in found.items() for leak in metric(text)
    ]
    assert not leaks, "\n".join(f"{place}: {leak}" for place, leak in sorted(set(leaks)))


@pytest.mark.parametrize("key", samples("upstairs-room"))
@pytest.mark.long
def test_no_page_of_a_plan_in_feet_is_metric(client: Any, house: Elbowroom, key: str) -> None:
    plan_id = in_feet(client, house, key)
    root = f"/plan/{plan_id}"
    of = ("floor", "floor:floor-1", "paint:paint-1", "strip:strip-1", "mirror:mirror-1",
          "projection:projection-1", "light", "general")  # fmt: skip
    pages = ("", "/people", "/kit", "/together", "/options", "/now", "/history", "/print",
             "/measuring", "/figures", "/quantities", "/cost", "/quantities.csv", "/start",
             "/cost?of=order", "/works", "/works?of=contents", "/works?of=task.mat-cut", "/today",
             *(f"/quantities?of={choice}" for choice in of))  # fmt: skip
    sheets = ("/sheet", "/sheet?paper=A3", "/measuring.svg", "/sheet?sheet=quantities",
              "/sheet?sheet=floor:floor-1")  # fmt: skip
    pages += tuple(f"/room?of={choice}" for choice in room_choices(house, plan_id))
    found = {}
    for address in (*pages, *sheets):
        reply = client.get(root + address)
        assert reply.status_code == 200, address
        found[address] = shown(reply.text)
    none_metric(found)


@pytest.mark.long
@pytest.mark.parametrize("key", samples("basement"))
def test_no_answer_of_a_plan_in_feet_is_metric(client: Any, house: Elbowroom, key: str) -> None:
    plan_id = in_feet(client, house, key)
    root = f"/api/plans/{plan_id}"
    verdict = client.get(root).json["verdict"]
    assert verdict["counts"]["stop"] >= 2
    told = {}
    for snag in verdict["snags"]:
        assert "wall-" not in snag["sentence"], snag["sentence"]
        clauses = {text for source in snag["sources"] for text in source.values()}
        told[snag["key"]] = " | ".join(
            text
            for text in strings({**snag, "unit": None})
            if text not in clauses and text != snag["key"]
        )
    remedies = client.get(f"{root}/remedies").json["remedies"]
    told |= {f"remedy {key}": remedy["sentence"] for key, remedy in remedies.items()}
    for sizes in ((1200, 800, 1900), (1200, 800, 4000), (9000, 9000, 1000)):
        asked = dict(zip(("width_mm", "depth_mm", "height_mm"), sizes, strict=True))
        told[f"offer {sizes}"] = client.post(f"{root}/fits", json=asked).json["sentence"]
    piece = client.get(root).json["plan"]["pieces"][0]["id"]
    walls = client.get(f"{root}/walls/{piece}").json
    told["walls"] = " | ".join(text for text in strings(walls) if " " in text)
    for snag in verdict["snags"]:
        if snag["code"] == "headroom" and snag["pieces"]:
            drawn = client.get(f"{root}/section", query_string={"key": snag["key"]})
            told[f"section {snag['key']}"] = shown(drawn.json["svg"])
    none_metric(told)
