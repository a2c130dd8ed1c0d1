"""Laid pieces and mirrors of each sample counted anew by a sheet of sums: printed list, plan file.

What the command prints as JSON is all that is read of the program, and a plan file is plain data.
Laid anew here by boxes on a grid, from the wall and with the joints that the list names.
"""

from __future__ import annotations

import contextlib
import io
import json
import math
import re
from collections import Counter
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
import shapely.affinity
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from app.cli import main

FOLDER = Path(__file__).resolve().parents[2] / "sample_rooms"
SAMPLES = sorted(path.stem for path in FOLDER.glob("*.json"))
GAP_MM = 8
"""All round a loose covering: common practice, 6 to 10."""
JOINT_MM = 2
"""Between two sheets of mirror: common practice, no source."""
SHEET_MM = {"mirror-sheet-6": (1200, 2000)}
"""The largest sheet that a glazier hands over of this thickness: as the list of sheets has it."""
GLASS_KG_M2_MM = 2.5
"""EN 572-1: float glass weighs 2500 kg/m3."""
LEDGE_M, CLIPS_A_SET = 2, 4
CLIP_MM = 600
"""A clip every so far up the edge of a sheet: common practice, no source."""
STEP_MM = 61
"""The grid of shifts beside those at which a joint meets a corner."""
STAYS = {
    # by hand off the plan file and the sizes of the kit, each with 8 mm round it
    "double-garage": [(8, 4077, 668, 5060)],
    "basement": [(3542, 3627, 4458, 4092), (5492, 1892, 6192, 2508)],
}


@cache
def printed(name: str) -> dict[str, Any]:
    """The list as the command line prints it."""
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        assert main(["takeoff", str(FOLDER / f"{name}.json"), "--json"]) == 0
    found: dict[str, Any] = json.loads(out.getvalue())
    return found


@cache
def plan(name: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads((FOLDER / f"{name}.json").read_text("utf-8"))
    return data


def line(name: str, key: str) -> dict[str, Any]:
    (one,) = [one for one in printed(name)["lines"] if one["key"] == key]
    found: dict[str, Any] = one
    return found


def to_cover(name: str) -> BaseGeometry:
    """The floor inside the gap, short of a garage door, round columns and what stays."""
    data = plan(name)
    room, laying = data["room"], data["fit_out"]["floors"][0]
    corners = {wall["id"]: (wall["x_mm"], wall["y_mm"]) for wall in room["walls"]}
    floor: BaseGeometry = Polygon([*corners.values()])
    for column in room["columns"] or ():
        floor = floor.difference(Polygon(column["outline"]))
    floor = floor.buffer(-GAP_MM, join_style="mitre")
    names = [*corners]
    for opening in room["openings"]:
        if opening["kind"] in ("canopy", "tracks"):
            at = names.index(opening["wall"])
            (x0, y0), (x1, y1) = (corners[names[(at + k) % len(names)]] for k in (0, 1))
            # corners run clockwise as drawn: the room lies on the right of its wall, y downwards
            long = math.dist((x0, y0), (x1, y1))
            dx, dy = -(y1 - y0) / long, (x1 - x0) / long
            off = laying["door_stop_mm"]
            strip = [(x0, y0), (x1, y1), (x1 + dx * off, y1 + dy * off)]
            floor = floor.difference(Polygon([*strip, (x0 + dx * off, y0 + dy * off)]))
    gone = [box(*one) for one in STAYS.get(name, ())]
    return floor.difference(unary_union(gone)) if gone else floor


def steps(one: dict[str, Any]) -> dict[str, float]:
    return {step["label"]: step["value"] for step in one["working"]}


@pytest.mark.parametrize("name", SAMPLES)
def test_the_area_is_that_of_the_plan_file(name: str) -> None:
    assert line(name, "floor.floor-1")["net"] == pytest.approx(to_cover(name).area / 1e6, abs=2e-3)


def along_the_start(name: str) -> tuple[BaseGeometry, str]:
    """The floor turned so that the wall it starts from lies on the left; and how joints run."""
    note = line(name, "floor.floor-1")["notes"][0]
    told = re.search(r"from the (\w+) wall, \w+ end, joints (\w+)", note)
    assert told
    turned = {"left": 0, "front": 90, "right": 180, "back": 270}[told[1]]
    return shapely.affinity.rotate(to_cover(name), turned, origin=(0, 0)), told[2]


def shifts(ends: Any, size: float, on: Any) -> list[float]:
    """A grid of places for a joint, and those at which one lies at a corner of the floor."""
    corners = {round(float((end - k) % size), 3) for end in ends for k in on}
    return sorted(corners | {float(at) for at in np.arange(0, size, STEP_MM)})


def cells(floor: BaseGeometry, sizes: tuple[float, float], at: float, up: float, on: float) -> Any:
    """Boxes laid row by row away from the wall: a joint at `at`, and at `up` and `on` for each."""
    wide, long = sizes
    x0, y0, x1, y1 = floor.bounds
    found = []
    for number, x in enumerate(np.arange(x0 - (x0 - at) % wide, x1, wide)):
        ys = np.arange(y0 - (y0 - up - number * on) % long, y1, long)
        found.append(shapely.box(x, ys, x + wide, ys + long))
    parts = shapely.intersection(np.concatenate(found), floor)
    return parts[shapely.area(parts) > 1]


@pytest.mark.parametrize("name", ["double-garage", "single-garage"])
def test_whole_and_cut_mats_are_those_of_a_floor_laid_anew(name: str) -> None:
    """Some floor of boxes has as many whole and cut; and there are mats enough for its area."""
    laying, found = plan(name)["fit_out"]["floors"][0], line(name, "floor.floor-1")
    told = re.match(
        r"(\d+) mats to buy: (\d+) whole, (\d+) pieces cut from (\d+) more", found["notes"][0]
    )
    assert told
    bought, whole, cut, more = map(int, told.groups())
    assert bought == whole + more == found["packs"][0]["count"]
    assert steps(found)["mats laid whole"] == whole
    floor, joints = along_the_start(name)
    one = laying["length_mm"] * laying["width_mm"]
    staggers = (1 / 2, 1 / 3) if joints == "staggered" else (0.0,)
    sides = laying["length_mm"], laying["width_mm"]
    (xs, ys), seen = shapely.get_coordinates(floor).T, []
    for wide, long in {sides, sides[::-1]}:
        for share in staggers:
            rows = [k * share * long for k in range(round(1 / share) if share else 1)]
            for at, up in product(shifts(xs, wide, (0,)), shifts(ys, long, rows)):
                areas = shapely.area(cells(floor, (wide, long), at, up, share * long))
                laid = areas > one - 1
                rest = areas[~laid].sum()
                if (laid.sum(), len(areas) - laid.sum()) == (whole, cut):
                    seen.append(whole + math.ceil(rest / one - 1e-9))
    assert seen, "no floor of boxes has so many whole and so many cut"
    # none of them can be cut from fewer than its area asks, and what is bought is enough for one
    assert min(seen) <= bought
    assert bought >= math.ceil(floor.area / one)


@pytest.mark.parametrize("name", ["basement", "upstairs-room"])
def test_lengths_off_the_roll_are_those_of_lanes_laid_anew(name: str) -> None:
    """Lanes side by side away from the wall, each as long as the floor is under it."""
    laying, found = plan(name)["fit_out"]["floors"][0], line(name, "floor.floor-1")
    floor, _ = along_the_start(name)
    x0, y0, x1, y1 = floor.bounds
    lanes = []
    x = x0
    while x < x1 - 1:
        under = floor.intersection(box(x, y0, x + laying["width_mm"], y1)).bounds
        lanes.append(math.ceil((under[3] - under[1]) / 100 - 1e-9) / 10)
        x += laying["width_mm"]
    told = re.findall(r"(\d+) of ([\d.]+) m", found["where"])
    assert Counter({float(long): int(count) for count, long in told}) == Counter(lanes)
    (pack,) = found["packs"]
    assert pack["count"] == pytest.approx(sum(lanes))
    assert found["cost_minor"] == round(sum(lanes) * laying["price_minor"])


@pytest.mark.parametrize("name", SAMPLES)
def test_mirrors_are_what_a_sheet_of_sums_says(name: str) -> None:
    """Sheets of equal width, whole square metres of glass, a ledge in lengths, clips in sets."""
    lines = {one["key"]: one for one in printed(name)["lines"] if one["part"] == "mirrors"}
    panes: list[tuple[int, int]] = []
    glass = kilos = ledge = clips = 0.0
    for area in plan(name)["fit_out"]["mirrors"]:
        most = SHEET_MM[area["sheet"]][0]
        count = math.ceil((area["width_mm"] + JOINT_MM) / (most + JOINT_MM))
        wide = (area["width_mm"] - JOINT_MM * (count - 1)) / count
        assert area["height_mm"] <= SHEET_MM[area["sheet"]][1]
        panes += [(math.floor(wide), math.floor(area["height_mm"]))] * count
        m2 = count * wide * area["height_mm"] / 1e6
        glass += m2
        kilos += m2 * 6 * GLASS_KG_M2_MM
        ledge += area["width_mm"] / 1000
        clips += 2 * count * math.ceil(area["height_mm"] / CLIP_MM)
    for piece in plan(name)["pieces"]:
        # the sheet of the kit is 800 wide and 1500 high
        if piece["type"] == "mirror" and not piece["stays"]:
            ledge += 0.8
            clips += 2 * math.ceil(1500 / CLIP_MM)
    if panes:
        sheet = lines["mirrors.mirror-sheet-6"]
        assert sheet["net"] == pytest.approx(glass, abs=1e-3)
        assert sheet["mass_kg"] == pytest.approx(kilos, abs=0.06)
        assert sheet["cost_minor"] == math.ceil(glass) * 6500
        told = re.search(r"cut (\d+) of (\d+) × (\d+) mm", " ".join(sheet["notes"]))
        assert told
        assert [tuple(map(int, told.groups()[1:]))] * int(told[1]) == panes
    else:
        assert "mirrors.mirror-sheet-6" not in lines
    bought = {key: one["packs"][0]["count"] for key, one in lines.items() if "sheet" not in key}
    expected = {
        "mirrors.ledge": math.ceil(ledge / LEDGE_M - 1e-9),
        "mirrors.clips": math.ceil(clips / CLIPS_A_SET),
    }
    assert bought == ({} if not ledge else expected)
