"""The PDF is the SVG: the same lines in the same places, the same words at the same height."""

import io
import math
from collections.abc import Iterator, Sequence
from typing import Any

import pdfplumber
import pypdf
import pypdfium2
import pytest

from app.drawing.ink import LOOK
from app.drawing.plan_sheet import plan_sheet
from app.drawing.primitives import Arc, Circle, Group, Item, Line, Text
from app.drawing.sheet import Page, Sheet, as_pdf
from app.scene.build import build_scene
from tests.drawing.reading import parse, seen
from tests.layouts import good_layout

MM = 25.4 / 72


def read(pdf: bytes) -> Any:
    return pdfplumber.open(io.BytesIO(pdf))


@pytest.fixture(scope="module")
def sheet() -> Sheet:
    return plan_sheet(build_scene(good_layout()), paper="A3", scale=25)


@pytest.fixture(scope="module")
def opened(sheet: Sheet) -> Any:
    return read(sheet.pdf())


def test_pages_have_the_size_of_the_paper(sheet: Sheet) -> None:
    pages = pypdf.PdfReader(io.BytesIO(sheet.pdf())).pages
    assert len(pages) == len(sheet.pages)
    for page, drawn in zip(pages, sheet.pages, strict=True):
        assert float(page.mediabox.width) * MM == pytest.approx(drawn.width_mm, abs=0.01)
        assert float(page.mediabox.height) * MM == pytest.approx(drawn.height_mm, abs=0.01)


def test_every_line_is_where_it_is_in_the_svg(sheet: Sheet, opened: Any) -> None:
    wanted = [
        tuple(sorted(thing.points))
        for thing in seen(parse(sheet.svgs[0]))
        if thing.tag == "line" and math.dist(*thing.points) > 0.01
    ]
    page = opened.pages[0]
    drawn = [
        tuple(sorted((float(x) * MM, float(y) * MM) for x, y in line["pts"])) for line in page.lines
    ]
    assert len(wanted) > 60
    for start, end in wanted:
        off = min(max(math.dist(start, a), math.dist(end, b)) for a, b in drawn)
        assert off < 0.1, (start, end)


def test_the_line_of_100_mm_is_100_mm(opened: Any) -> None:
    lengths = [
        math.dist(*[(float(x) * MM, float(y) * MM) for x, y in line["pts"]])
        for line in opened.pages[0].lines
    ]
    assert min(abs(length - 100) for length in lengths) < 0.01


def test_words_stand_upright_at_their_place_and_height(sheet: Sheet, opened: Any) -> None:
    chars = [char for char in opened.pages[0].chars if char["upright"]]
    texts = [
        thing
        for thing in seen(parse(sheet.svgs[0]))
        if thing.tag == "text"
        and thing.words
        and thing.element.get("text-anchor") is None
        and "rotate" not in thing.element.get("transform", "")
    ]
    assert len(texts) > 60
    for thing in texts:
        ((x, y),) = thing.points
        near = [
            char
            for char in chars
            if char["text"] == thing.words[0]
            and abs(float(char["matrix"][4]) * MM - x) < 0.1
            and abs(sheet.height_mm - float(char["matrix"][5]) * MM - y) < 0.1
        ]
        assert near, thing.words
        assert float(near[0]["size"]) * MM == pytest.approx(thing.size_mm, abs=0.01)


def test_fonts_are_embedded_and_nothing_is_a_picture(sheet: Sheet, opened: Any) -> None:
    for page in opened.pages:
        names = {char["fontname"].split("+")[-1] for char in page.chars}
        assert all(name.startswith("ElbowroomLettering") for name in names), names
        assert page.images == []


def page_of(*items: Any) -> Page:
    return Page(items, 100, 80, "test")


def words_of(text: str) -> list[str]:
    with read(as_pdf([page_of(Text((50, 40), text, "row", "start"))], "test")) as pdf:
        return [char["text"] for char in sorted(pdf.pages[0].chars, key=lambda c: c["x0"])]


def test_what_is_written_from_the_right_stands_from_the_right() -> None:
    # shin, lamed, vav, final mem: the first letter stands at the right
    assert "".join(words_of("שלום")).strip() == "םולש"
    # figures within it keep their order
    assert "".join(words_of("מתח 230")).strip() == "230 חתמ"


def test_a_sign_the_font_lacks_is_named() -> None:
    assert "".join(words_of("Rack \N{WEIGHT LIFTER}")).strip() == "Rack [weight lifter]"


def test_groups_move_turn_and_scale_lines_and_round_things() -> None:
    group = Group(
        (Line((0, 0), (100, 0), "dim"), Circle((0, 0), 50, "thing")), "", (), (30, 40), 90, 0.1
    )
    with read(as_pdf([page_of(group)], "test")) as pdf:
        (line,) = pdf.pages[0].lines
        ends = [(float(x) * MM, float(y) * MM) for x, y in line["pts"]]
        (curve,) = pdf.pages[0].curves
    # moved to (30, 40), turned a quarter clockwise, a tenth as long
    assert ends[0] == pytest.approx((30, 40), abs=0.01)
    assert ends[1] == pytest.approx((30, 50), abs=0.01)
    box = (float(curve["x0"]), float(curve["x1"]), float(curve["top"]), float(curve["bottom"]))
    assert [edge * MM for edge in box] == pytest.approx([25, 35, 35, 45], abs=0.02)
    # widths of line stay those of paper
    assert float(line["linewidth"]) * MM == pytest.approx(0.13, abs=0.005)


@pytest.mark.parametrize("clockwise", [True, False])
def test_an_arc_turns_about_its_middle(clockwise: bool) -> None:
    # a quarter from (60, 40) to (50, 50): clockwise as drawn about (50, 40), else about (60, 50)
    arc = Arc((60, 40), (50, 50), 10, clockwise, "swing")
    with read(as_pdf([page_of(arc)], "test")) as pdf:
        (curve,) = pdf.pages[0].curves
    # the points that steer the curve lie on the tangents at its ends
    points = [(float(x) * MM, float(y) * MM) for x, y in curve["pts"]]
    middle = (50, 40) if clockwise else (60, 50)
    assert points[0] == pytest.approx((60, 40), abs=0.01)
    assert points[-1] == pytest.approx((50, 50), abs=0.01)
    for point in points:
        assert math.dist(point, middle) == pytest.approx(10, abs=1.6)


def test_all_inks_of_lettering_have_capitals_of_2_5_mm_or_more() -> None:
    for ink, style in LOOK.items():
        if style.size_mm is not None:
            assert style.size_mm * 1462 / 2048 >= 2.5 - 1e-9, ink


@pytest.mark.parametrize(
    ("words", "drawn"),
    [
        # by hand after Unicode Standard Annex 9: N0 gives a pair of brackets the direction of what
        # they hold or stand in, L2 turns runs from the right round, L4 mirrors their signs
        ("\u05d0\u05d1 (2) \u05d2", "\u05d2 (2) \u05d1\u05d0"),
        ("bar (\u05d0\u05d1)", "bar (\u05d1\u05d0)"),
        ("(\u05d0\u05d1) bar", "(\u05d1\u05d0) bar"),
        ("\u05d0 [\u05d1 <\u05d2>]", "[<\u05d2> \u05d1] \u05d0"),
        ("\u05d0 (\u05d1 \u2264 \u05d2)", "(\u05d2 \u2265 \u05d1) \u05d0"),
        ("rack (5 kg)", "rack (5 kg)"),
    ],
)
def test_brackets_in_names_from_the_right_hold_what_they_held(words: str, drawn: str) -> None:
    items = (Text((50, 50), words, "small", "start"),)
    text = read(as_pdf([Page(items, 210, 297, "words")], "words")).pages[0].chars
    # the library writes a sign of each weight before the page
    shown = "".join(one["text"] for one in sorted(text, key=lambda one: one["x0"]))
    assert shown.strip() == drawn


def test_words_with_a_white_edge_are_read_once(sheet: Sheet) -> None:
    # by the library of one family of browsers, not by the one that wrote them
    words = [
        item.words
        for page in sheet.pages
        for item in _texts(page.items)
        if any(LOOK[ink].halo_mm for ink in item.ink.split() if ink in LOOK)
    ]
    assert len(words) > 10
    told = "\n".join(
        page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(sheet.pdf())
    )
    every = [item.words for page in sheet.pages for item in _texts(page.items)]
    for one in {one for one in words if len(one) > 3}:
        assert told.count(one) == sum(other.count(one) for other in every), one


def _texts(items: Sequence[Item]) -> Iterator[Text]:
    for item in items:
        if isinstance(item, Group):
            yield from _texts(item.children)
        elif isinstance(item, Text):
            yield item
