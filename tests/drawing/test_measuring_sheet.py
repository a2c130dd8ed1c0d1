"""The measuring sheet: blank lines to write on, what is known filled in, nothing off the paper."""

import re
import xml.etree.ElementTree as ET

import pytest

from app.drawing.measuring_sheet import measuring_sheet
from app.drawing.paper import SheetError
from app.model.room_missing import missing
from app.scene.part_cover import bare_share
from app.usecases.files import samples
from tests.browser.rooms import workshop
from tests.builders import make_plan, make_room

SVG = "{http://www.w3.org/2000/svg}"


def words(svg: str) -> list[str]:
    return [text.text or "" for text in ET.fromstring(svg).iter(f"{SVG}text")]


def test_the_blank_sheet_has_lines_for_twelve_walls() -> None:
    sheet = measuring_sheet()
    told = words(sheet.svg)
    assert [each for each in told if re.fullmatch("[A-Z]", each)] == list("ABCDEFGHIJKL")
    assert told.count("straight") == 12
    assert (sheet.paper, sheet.width_mm, sheet.height_mm) == ("A4", 210, 297)
    root = ET.fromstring(sheet.svg)
    assert (root.attrib["width"], root.attrib["height"]) == ("210mm", "297mm")


def test_what_is_known_is_filled_in_and_what_is_missing_is_asked() -> None:
    # the workshop is 5.00 x 4.00 m with a door of 838 x 1981 mm at 2900 mm along wall B
    told = words(measuring_sheet(workshop()).svg)
    assert told.count("5000") == 2
    assert told.count("4000") == 2
    at = told.index("door")
    assert told[at : at + 6] == ["door", "B", "2900", "838", "1981", "0"]
    assert "Still open" in told
    # however much is asked, all of it stands there
    plan = workshop()
    asked = [line.what for line in missing(plan, bare_share(plan.room))]
    assert len(asked) > 10
    assert [what for what in asked if not any(t.startswith(f"{what}: ") for t in told)] == []


@pytest.mark.parametrize("key", [sample.key for sample in samples()])
def test_nothing_is_lettered_off_the_paper(key: str) -> None:
    plan = next(sample.plan for sample in samples() if sample.key == key)
    root = ET.fromstring(measuring_sheet(plan).svg)
    for text in root.iter(f"{SVG}text"):
        assert 8 <= float(text.attrib["x"]) <= 202
        assert 8 <= float(text.attrib["y"]) <= 289


def test_a_room_of_many_walls_says_what_has_no_line() -> None:
    teeth = [(x * 1000.0, 0.0 if (x // 2) % 2 else -500.0) for x in range(22)]
    sheet = measuring_sheet(make_plan(room=make_room(corners=[*teeth, (21000, 4000), (0, 4000)])))
    # 24 walls, 18 lines
    assert sheet.note == "6 more walls are on the plan sheet"


def test_a_paper_that_is_none_is_refused() -> None:
    with pytest.raises(SheetError, match="there is no paper 'B7'"):
        measuring_sheet(None, "B7")
