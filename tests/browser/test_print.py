"""Sheets as they leave the printer: a wall of the room measured in Chromium's own PDF."""

import csv
import json
import math
from io import BytesIO, StringIO
from itertools import pairwise
from pathlib import Path
from typing import Any

import pdfplumber
import pypdf
import pytest
from playwright.sync_api import Page

from app.drawing.paper import PAPERS, Paper
from app.model.plan import Plan
from app.model.room import Room
from app.model.versions import load
from tests.browser.rooms import workshop
from tests.browser.running import RunningApp
from tests.browser.store import PlanStore
from tests.thinned import one_of

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
    """The PDF of a sheet: its first page and every straight stroke on it, in mm from top left."""

    def __init__(self, pdf: bytes, sheets: int) -> None:
        pages = pypdf.PdfReader(BytesIO(pdf)).pages
        assert len(pages) == sheets
        assert len({(page.mediabox.width, page.mediabox.height) for page in pages}) == 1
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
    sheets = page.locator("main > div > svg").count()
    pdf = page.pdf(prefer_css_page_size=True, print_background=True)
    return Printed(pdf, sheets), float(scale)


@pytest.mark.parametrize(
    ("file", "paper"),
    # two samples on one paper each in the short run, all on both in the long one
    [
        pytest.param(file, paper, id=f"{file.stem}-{paper}", marks=marks)
        for number, file in enumerate(SAMPLES)
        for paper in ("A4", "A3")
        for marks in ([] if (number, paper) in ((0, "A4"), (1, "A3")) else [pytest.mark.long],)
    ],
)
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


SHADES = 50
MARGIN_MM = 10.0


def in_a_zone(char: Any, size: Paper) -> bool:
    """Whether a sign stands outside the frame, where zones are numbered along top and right."""
    return (
        float(char["bottom"]) * MM < MARGIN_MM or float(char["x0"]) * MM > size.short_mm - MARGIN_MM
    )


@pytest.mark.parametrize("paper", one_of(3, ["A4", "A3", "Letter"]))
@pytest.mark.long
def test_a_long_list_of_quantities_is_printed_over_pages(
    page: Page, kept: PlanStore, paper: str
) -> None:
    """No row is lost or doubled, and nothing stands outside the margins of any page."""
    jobs = [
        {"id": f"job-{i}", "surface": "walls", "colour": f"shade-{i:02}"} for i in range(SHADES)
    ]
    plan = workshop().model_dump() | {"fit_out": {"paint": jobs}}
    plan_id = kept.put(Plan.model_validate(plan))
    table = kept.ask(f"plan/{plan_id}/quantities.csv").decode("utf-8-sig")
    every = [row["key"] for row in csv.DictReader(StringIO(table))]
    # what one likely has is told in words under the table: it is not bought
    keys = [key for key in every if not key.startswith("have.")]
    assert SHADES < len(keys) < len(every)

    page.goto(f"/plan/{plan_id}/sheet?sheet=quantities&paper={paper}")
    listed = page.locator("[data-line]")
    assert [one.get_attribute("data-line") for one in listed.all()] == keys
    pdf = page.pdf(prefer_css_page_size=True, print_background=True)
    size = PAPERS[paper]
    with pdfplumber.open(BytesIO(pdf)) as opened:
        count = len(opened.pages)
        assert count == page.locator("main > div > svg").count() > 1
        told = []
        for number, sheet in enumerate(opened.pages, 1):
            assert float(sheet.width) * MM == pytest.approx(size.short_mm, abs=PAPER_OFF_MM)
            assert float(sheet.height) * MM == pytest.approx(size.long_mm, abs=PAPER_OFF_MM)
            # beyond the frame stand the numbers and letters of the zones, of one sign each
            frame = [char for char in sheet.chars if not in_a_zone(char, size)]
            assert len(sheet.chars) - len(frame) < 20
            for char in frame:
                assert float(char["x0"]) * MM >= MARGIN_MM
                assert float(char["x1"]) * MM <= size.short_mm - MARGIN_MM
                assert float(char["top"]) * MM >= MARGIN_MM
                assert float(char["bottom"]) * MM <= size.long_mm - MARGIN_MM
            words = " ".join((sheet.extract_text() or "").split())
            told.append(words)
            # the head stands over each page of the table; what is worth saying may take one more
            assert words.count("needed extra to buy kg cost") == words.count("What to buy")
            assert f"{number} of {count}" in words
    whole = " ".join(told)
    for i in range(SHADES):
        # colours stand in the item of their line and nowhere else on the sheets
        assert whole.count(f"shade-{i:02} ") == 1, i
    assert whole.count("Together, as far as it has prices") == 1


@pytest.mark.long
def test_the_list_is_shown_sheet_by_sheet_before_it_is_printed(page: Page, kept: PlanStore) -> None:
    jobs = [
        {"id": f"job-{i}", "surface": "walls", "colour": f"shade-{i:02}"} for i in range(SHADES)
    ]
    plan = workshop().model_dump() | {"fit_out": {"paint": jobs}}
    plan_id = kept.put(Plan.model_validate(plan))
    page.goto(f"/plan/{plan_id}/print?sheet=quantities&paper=A4")
    pictures = page.locator(".print-preview img")
    count = pictures.count()
    assert count > 1
    assert {
        picture.evaluate("img => img.decode().then(() => img.naturalWidth > 0)")
        for picture in pictures.all()
    } == {True}
    assert page.get_by_role("link", name="Keep sheet").count() == count
    assert len({picture.get_attribute("src") for picture in pictures.all()}) == count
    # printed as it stands, the page gives the sheets alone, each on a page of its own
    with pdfplumber.open(BytesIO(page.pdf(format="A4"))) as opened:
        assert len(opened.pages) == count
        told = [" ".join((one.extract_text() or "").split()) for one in opened.pages]
    for number, words in enumerate(told, 1):
        assert f"{number} of {count}" in words
    assert "Print a sheet" not in " ".join(told)


def test_a_sheet_fits_a_phone_until_its_full_size_is_asked_for(page: Page, kept: PlanStore) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"/plan/{kept.put(workshop())}/sheet?paper=A3&flags=0")
    wide = "document.documentElement.scrollWidth"
    assert page.evaluate(wide) <= 390
    page.get_by_role("link", name="Full size").click()
    page.wait_for_url("**size=full*")
    # 420 mm at 96 to the inch
    assert page.evaluate(wide) > 1500
    assert "flags=0" in page.url
    assert "paper=A3" in page.url
    page.get_by_role("link", name="Fit it to the window").click()
    page.wait_for_url("**size=fit*")
    assert page.evaluate(wide) <= 390
