"""What finds no room in a plan is told beside it: no offset of kit is lost on any paper."""

import re

import pytest

from app.drawing.ink import LETTER_MM
from app.drawing.kit_offsets import MOST_STATIONS, apart_mm, stretches
from app.drawing.medium import Medium
from app.drawing.plan_sheet import plan_sheet, station_order
from app.scene.build import Scene, build_scene
from app.units import format_short
from tests.builders import make_plan, make_room, place
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample

END = r"(?:piece \d+|wall)"


def told(scene: Scene, paper: str) -> tuple[int, list[str], str]:
    """The scale of a plan, the offsets drawn in it, and all of its words in a row."""
    sheet = plan_sheet(scene, paper=paper)
    things = [one for svg in sheet.inside for one in seen(parse(svg)) if one.tag == "text"]
    drawn = [one.words for one in things if one.ink == "offset-figure"]
    return sheet.scale, drawn, " ".join(one.words for one in things)


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3"])
@pytest.mark.parametrize("key", ["double-garage", "single-garage", "basement"])
def test_every_offset_is_drawn_or_told(key: str, paper: str) -> None:
    scene = sample(key).scene
    scale, drawn, words = told(scene, paper)
    units = scene.plan.units
    medium = Medium(LETTER_MM * scale, units, True)
    every = [format_short(one.long_mm, units) for one in stretches(scene, apart_mm(medium))]
    for figure in set(every):
        beside = len(re.findall(rf"\b{END} to {END}: {re.escape(figure)}\b", words))
        assert drawn.count(figure) + beside >= every.count(figure), figure


@pytest.mark.parametrize(("key", "paper"), [("double-garage", "A4"), ("double-garage", "Tabloid")])
def test_a_figure_that_finds_no_room_is_among_the_words(key: str, paper: str) -> None:
    scene = sample(key).scene
    scale, drawn, words = told(scene, paper)
    medium = Medium(LETTER_MM * scale, "metric", True)
    every = stretches(scene, apart_mm(medium))
    assert len(drawn) < len(every)
    assert "Free, and no room for a figure" in words
    lost = re.findall(rf"\b({END}) to ({END}): (\d+)\b", words)
    assert len(lost) == len(every) - len(drawn)
    # between the pieces of these numbers so much is free
    numbers = {f"piece {i}": p.piece.id for i, p in enumerate(station_order(scene), 1)} | {
        "wall": ""
    }
    known = {(one.before, one.after, format_short(one.long_mm, "metric")) for one in every}
    assert {(numbers[a], numbers[b], mm) for a, b, mm in lost} <= known


def test_what_is_askew_is_sent_to_the_setting_out() -> None:
    kit = [place("mid-rack", 1500, 1500, 20, piece_id="rack"), place("plate-tree", 3500, 1500)]
    _, _, words = told(build_scene(make_plan(*kit)), "A3")
    assert re.search(r"Askew, by their corners on the sheet Setting out: \d\.", words)


def test_of_too_many_stations_the_offsets_are_on_the_setting_out() -> None:
    kit = [
        place("jump-box", 400 + 900 * (i % 10), 400 + 900 * (i // 10), piece_id=f"box{i}")
        for i in range(MOST_STATIONS + 2)
    ]
    _, drawn, words = told(build_scene(make_plan(*kit, room=make_room(9500, 6000))), "A3")
    assert drawn == []
    assert "Offsets of kit: on the sheet Setting out." in words
