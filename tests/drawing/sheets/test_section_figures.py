"""The figures beside a person of a section: they add up, and are those that were judged."""

from xml.etree.ElementTree import Element

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.primitives import Group, Polygon
from app.drawing.sheet import Sheet
from app.drawing.sheets.cutting_plane import Cut
from app.drawing.sheets.section_people import body_of
from app.drawing.sheets.sections import sections_sheet
from app.drawing.sheets.tightest import stands
from app.model.room import Plane
from app.scene.build import build_scene
from tests.builders import low_thing, make_person, make_plan, make_room, place, rectangle
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample, sheet
from tests.drawing.sheets.test_sections import SAMPLES, groups


def figures_of(element: Element) -> dict[str, int]:
    """The figures beside a person by their words: 1630 clear, 1840 least, 210 missing."""
    told = [(t.text or "").split() for t in element.iter() if t.tag.endswith("text")]
    return {words[1]: int(words[0]) for words in told if words and words[0].isdigit()}


def add_up(drawn: Sheet) -> int:
    """Every difference that is lettered is that of the two heights that stand beside it."""
    count = 0
    for element in groups(drawn, "movement"):
        told = figures_of(element)
        takes = told.get("least", told.get("need"))
        gap = next((told[word] for word in ("missing", "short", "spare") if word in told), None)
        if takes is None or "clear" not in told or gap is None:
            continue
        # each is rounded to the millimetre by itself
        assert abs(told["clear"] - takes) == pytest.approx(gap, abs=1)
        assert ("spare" in told) == (told["clear"] >= takes)
        count += 1
    return count


@pytest.mark.parametrize("paper", ["A3", "A4"])
@pytest.mark.parametrize("key", SAMPLES)
def test_what_is_spare_or_missing_is_the_difference_of_the_figures(key: str, paper: str) -> None:
    assert add_up(sheet(sample(key), "section", paper)) or paper == "A4"


@given(
    st.integers(1300, 2300), st.integers(-300, 400), st.integers(-300, 400),
    st.integers(900, 3600), st.integers(900, 2600), st.sampled_from([0.0, 90.0, 30.0]),
)  # fmt: skip
def test_under_any_slope_the_figures_beside_a_person_add_up(
    low: int, rise_x: int, rise_y: int, x: int, y: int, angle: float
) -> None:
    at = (0.0 if rise_x >= 0 else 4500.0, 0.0 if rise_y >= 0 else 3500.0)
    roof = Plane(id="p", height_mm=low, at=at, rise_x=rise_x, rise_y=rise_y)
    room = make_room(4500, 3500, planes=[roof], covering=10)
    who = make_person(1750, want=["step-up"])
    scene = build_scene(make_plan(place("step", x, y, angle), room=room, people=[who]))
    drawn = sections_sheet(scene)
    assert add_up(drawn) > 0
    for element in groups(drawn, "movement"):
        assert element.get("data-of") == "room"
        clear, px, py = (float(element.get(f"data-{name}", "")) for name in ("clear", "x", "y"))
        # the roof over that very place, by its own plane
        over = low + (rise_x * (px - at[0]) + rise_y * (py - at[1])) / 1000
        # a roof of 0.5 is half a millimetre lower a millimetre farther on
        assert clear == pytest.approx(over, abs=1)


@given(st.integers(-900, 900), st.integers(100, 300), st.integers(1600, 2300))
def test_a_beam_beside_whoever_stands_there_is_met_or_seen(off: int, wide: int, high: int) -> None:
    # along x, its middle so far off the middle of the step; the room is 2400 high
    beam = low_thing(rectangle(0, 1500 + off - wide / 2, 4000, 1500 + off + wide / 2), high)
    room = make_room(4000, 3000, 2400, low_things=[beam])
    who = make_person(1750, want=["step-up"])
    scene = build_scene(make_plan(place("step", 2000, 1500), room=room, people=[who]))
    drawn = sections_sheet(scene)
    assert add_up(drawn) > 0
    judged = stands(scene)[0].bay
    for element in groups(drawn, "movement"):
        # what is dimensioned is what was judged, whichever way one looks
        assert float(element.get("data-clear", "")) == pytest.approx(judged.clear_mm, abs=0.01)
    assert judged.clear_mm in (high, 2400)


def test_plates_on_the_shoulders_reach_as_high_as_is_told() -> None:
    of = sample("single-garage")
    drawn = sheet(of, "section")
    squats = [one for one in groups(drawn, "movement") if one.get("data-movement") == "squat"]
    bay = next(one.bay for one in stands(of.scene) if one.bay.movement.key == "squat")
    assert bay.part == "plates"
    for one in squats:
        assert "1697 need of the plates" in [t.text for t in one.iter()]
    # the sheet of heights has the head's own need on open floor, and says which this is
    said = " ".join(t.words for svg in sheet(of, "headroom").svgs for t in seen(parse(svg)))
    assert "At the half rack, over the plates: fits, 353 mm to spare" in said
    plates = [
        -min(z for _, z in thing.points)
        for svg in drawn.inside
        for group in parse(svg).iter()
        if "person-group" in (group.get("data-ink") or "")
        for thing in seen(group)
        if thing.ink == "dark" and max(np.ptp(np.array(thing.points), axis=0)) == 450
    ]
    assert plates
    # `seen` of a group begins at its own place in the figure
    assert all(high == pytest.approx(bay.demand.least_mm, abs=1) for high in plates)


@pytest.mark.parametrize(("facing", "before"), [(1, True), (-1, False)])
def test_a_bar_on_the_shoulders_is_drawn_from_the_front_and_hides_the_neck_from_behind(
    facing: int, before: bool
) -> None:
    of = sample("single-garage")
    one = next(s for s in stands(of.scene) if s.bay.movement.key == "squat")
    fx, fy = one.bay.facing
    # one looks to the right of the cut: along it lies the left of the way the person faces
    cut = Cut(one.bay.at, (-fy * facing, fx * facing))
    lx, ly = cut.looking
    assert lx * fx + ly * fy == pytest.approx(facing)
    body = body_of(of.scene, cut, one)
    assert bool(body.before) is before
    held = list(body.before)
    if not before:
        (group, _) = body.parts
        assert isinstance(group, Group)
        held = list(group.children)
    bar, *plates = [np.array(item.points) for item in held if isinstance(item, Polygon)]
    assert np.ptp(bar[:, 0]) == pytest.approx(2200)
    assert len(plates) == 2
    # as on the plan: the faces of its plates are 330 within the ends of the bar (bars.toml)
    across = [x for ring in plates for x in ring[:, 0]]
    assert max(across) - min(across) == pytest.approx(2200 - 2 * 330)
    for ring in plates:
        # as high as is judged, over the floor that one stands on
        assert one.bay.held is not None
        assert np.ptp(ring[:, 1]) == one.bay.held.plate_mm
        assert -ring[:, 1].min() == pytest.approx(one.bay.demand.least_mm, abs=1)


def test_what_is_too_high_at_both_ends_of_a_bar_is_red_at_both() -> None:
    of = sample("double-garage")
    drawn = sheet(of, "section")
    (one,) = {s.bay.movement.key: s.bay for s in stands(of.scene) if s.bay.hits}.values()
    assert one.part == "plates"
    # the plates are as far apart as the sleeves: 685 to either side of who presses
    assert one.held is not None
    spans = []
    for group in groups(drawn, "movement"):
        if group.get("data-movement") == one.movement.key:
            red = [t for t in seen(group) if t.ink == "missing-edge"]
            spans.append([np.ptp(np.array(t.points)[:, 0]) for t in red])
            assert any(t.ink == "stuck" for t in seen(group))
    # from the side both lie behind one another, from the front one at each end
    assert max(max(each) for each in spans) > 2 * one.held.collar_mm
