"""No wanted movement is missing from the headroom sheet, and no open door."""

import numpy as np
import pytest
import shapely

from app.drawing.medium import Medium
from app.drawing.primitives import Strokes
from app.drawing.sheets.headroom import headroom_sheet
from app.drawing.sheets.headroom_kit import UNDER_DOOR, under_open_doors
from app.drawing.sheets.tightest import stands
from app.library.movements import movements
from tests.drawing.boxes import lettered
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample, sheet

SAMPLES = ("double-garage", "single-garage", "basement", "upstairs-room")


@pytest.mark.parametrize("key", SAMPLES)
def test_every_wanted_movement_is_told(key: str) -> None:
    of = sample(key)
    drawn = sheet(of, "headroom")
    said = " ".join(t.words for svg in drawn.svgs for t in seen(parse(svg)))
    for person in of.plan.people:
        for wish in person.wishes:
            row = movements().get(wish.movement)
            if wish.wish == "want" and row is not None:
                name = f"{row.name[:1].upper()}{row.name[1:]}, {of.plan.called(person.id)}"
                assert name in said


def test_what_is_spare_at_the_kit_is_that_of_the_judge() -> None:
    of = sample("basement")
    bays = [one for one in stands(of.scene) if one.bay.movement.key == "bike"]
    (bike,) = bays
    assert round(bike.spare_mm) == 583
    said = " ".join(t.words for svg in sheet(of, "headroom").svgs for t in seen(parse(svg)))
    assert "Bike, A, at the lying bike: fits, 583 mm to spare" in said


@pytest.mark.parametrize("paper", ["A3", "A4"])
def test_the_sentence_over_what_is_not_drawn_stands_over_its_list(paper: str) -> None:
    of = sample("basement")
    drawn = headroom_sheet(of.scene, paper=paper)
    pages = [" ".join(one.words for one in lettered(page)) for page in drawn.pages]
    # it is broken into lines: its last words end in the colon, and the list begins under them
    (there,) = [page for page in pages if "Without a floor of their own" in page]
    assert "alone: Bike, A" in there


def test_under_an_open_door_the_floor_is_hatched_and_nowhere_else() -> None:
    scene = sample("double-garage").scene
    (strokes,) = under_open_doors(scene, Medium(60.0, "metric", True))
    assert isinstance(strokes, Strokes)
    middles = np.array(
        [shapely.Point((a + c) / 2, (b + d) / 2) for (a, b), (c, d) in strokes.lines], dtype=object
    )
    shut, _ = scene.room.shut.clear(middles)
    opened, _ = scene.room.open.clear(middles)
    assert len(middles) > 20
    assert (opened < shut).all()
    said = " ".join(
        t.words for svg in sheet(sample("double-garage"), "headroom").svgs for t in seen(parse(svg))
    )
    assert UNDER_DOOR in said
    assert not under_open_doors(sample("basement").scene, Medium(60.0, "metric", True))
