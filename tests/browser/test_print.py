"""Sheets as they leave the printer: a wall of the room measured in Chromium's own PDF."""

import json
import math
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import Any

import pdfplumber
import pypdf
import pytest
from playwright.sync_api import Page

from app.drawing.paper import PAPERS
from app.model.room import Room
from app.model.versions import load
from tests.browser.running import RunningApp

SAMPLES = sorted(
    (Path(__file__).resolve().parent.parent.parent / "sample_rooms").glob("*.json"),
    key=lambda path: path.stem,
)
MM = 25.4 / 72
PAPER_OFF_MM = 1.0
LINE_OFF_MM = 0.2
WALL_OFF_MM = 0.5

Stroke = tuple[tuple[float, float], tuple[float, float]]


class Printed:
    """The PDF of a sheet: its page and every straight stroke on it, in mm from the top left."""

    def __init__(self, pdf: bytes) -> None:
        pages = pypdf.PdfReader(BytesIO(pdf)).pages
        assert len(pages) == 1
        box = pages[0].mediabox
        self.size = (float(box.width) * MM, float(box.height) * MM)
        with pdfplumber.open(BytesIO(pdf)) as opened:
            page: Any = opened.pages[0]
            self.strokes = [
                stroke for thing in (*page.lines, *page.curves) for stroke in strokes(thing)
            ]
            self.strokes += [edge for rect in page.rects for edge in strokes(rect)]

    def lengths(self) -> list[float]:
        return [math.dist(*stroke) for stroke in self.strokes]

    def has(self, run: Stroke) -> bool:
        """Whether a stroke joins the two ends of a run, within the tolerance of a wall."""
        return any(
            math.dist(run[0], a) <= WALL_OFF_MM and math.dist(run[1], b) <= WALL_OFF_MM
            for one, other in self.strokes
            for a, b in ((one, other), (other, one))
        )

    def places_of(self, run: Stroke) -> list[tuple[float, float]]:
        """The shifts that lay a run on a stroke of its direction and length."""
        (ax, ay), (bx, by) = run
        return [
            (one[0] - ax, one[1] - ay)
            for stroke in self.strokes
            for one, other in (stroke, stroke[::-1])
            if math.dist((other[0] - one[0], other[1] - one[1]), (bx - ax, by - ay)) <= WALL_OFF_MM
        ]


def strokes(thing: Any) -> list[Stroke]:
    """The straight pieces of one thing of the PDF."""
    points = [(float(x) * MM, float(y) * MM) for x, y in thing["pts"]]
    found = list(pairwise(points))
    if thing["object_type"] != "line" and len(points) > 2:
        found.append((points[-1], points[0]))
    return found


def kept(page: Page, running: RunningApp, sample: str) -> str:
    reply = page.request.post(
        f"{running.url}api/plans",
        data=json.dumps({"sample": sample}),
        headers={"Content-Type": "application/json", "Origin": running.url.rstrip("/")},
    )
    assert reply.ok, reply.text()
    told: str = reply.json()["id"]
    return told


def printed(page: Page, plan_id: str, paper: str) -> tuple[Printed, float]:
    """The sheet on a paper, at the largest scale that fits, and that scale."""
    reply = page.goto(f"/plan/{plan_id}/sheet?paper={paper}&scale=fit&flags=1")
    assert reply is not None
    assert reply.ok
    scale = page.locator("svg [data-scale]").get_attribute("data-scale")
    assert scale is not None
    return Printed(page.pdf(prefer_css_page_size=True, print_background=True)), float(scale)


@pytest.mark.parametrize("paper", ["A4", "A3"])
@pytest.mark.parametrize("file", SAMPLES, ids=lambda path: path.stem)
def test_a_wall_of_the_room_is_true_to_scale_on_paper(
    page: Page, live_server: RunningApp, file: Path, paper: str
) -> None:
    plan_id = kept(page, live_server, file.stem)
    sheet, scale = printed(page, plan_id, paper)

    size = PAPERS[paper]
    wanted = sorted((size.short_mm, size.long_mm))
    assert sorted(sheet.size) == pytest.approx(wanted, abs=PAPER_OFF_MM)

    hundred = min(sheet.lengths(), key=lambda length: abs(length - 100))
    assert hundred == pytest.approx(100, abs=LINE_OFF_MM)

    room = load(file.read_bytes()).room
    assert not any(wall.lining_mm for wall in room.walls), "a lining would hide the measured face"
    runs = faces(room, scale)
    # the longest whole wall finds the drawing on the page; then every other face must be there
    first = max(runs, key=lambda run: math.dist(*run))
    places = sheet.places_of(first)
    assert places, f"no stroke of {math.dist(*first):.2f} mm for the longest wall"
    assert any(all(sheet.has(shifted(run, place)) for run in runs) for place in places), (
        f"the faces of the walls are not all there at 1:{scale:g}"
    )


def faces(room: Room, scale: float) -> list[Stroke]:
    """The inner faces of the walls in mm of paper, cut where an opening breaks them."""
    found: list[Stroke] = []
    for wall in room.walls:
        (ax, ay), (bx, by) = room.wall_ends(wall.id)
        length = room.wall_length_mm(wall.id)
        stops = [0.0]
        for opening in sorted(room.openings, key=lambda one: one.offset_mm):
            if opening.wall == wall.id:
                stops += [opening.offset_mm, opening.offset_mm + opening.width_mm]
        stops.append(length)
        for near, far in zip(stops[::2], stops[1::2], strict=True):
            start, end = (
                ((ax + (bx - ax) * at / length) / scale, (ay + (by - ay) * at / length) / scale)
                for at in (near, far)
            )
            found.append((start, end))
    return found


def shifted(run: Stroke, by: tuple[float, float]) -> Stroke:
    (ax, ay), (bx, by_) = run
    return (ax + by[0], ay + by[1]), (bx + by[0], by_ + by[1])
