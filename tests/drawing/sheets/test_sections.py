"""Every height that a section prints is asked of the scene again."""

import math
import re
from xml.etree.ElementTree import Element

import numpy as np
import pytest
import shapely

from app.drawing.sheet import Sheet
from app.drawing.sheets.cutting_plane import Cut, floor_z, pieces_behind, walls_cut
from app.drawing.sheets.section_chains import SLAB_MM
from app.drawing.sheets.section_lid import LID_MM
from app.drawing.sheets.sections import sections_sheet
from app.drawing.sheets.tightest import stands
from app.errors import NotFoundError
from app.scene.build import Scene, build_scene
from app.units import parse_length_mm
from tests.builders import low_thing, make_plan, make_room, place
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import moved_back, sample, sheet

SAMPLES = ("double-garage", "single-garage", "basement", "upstairs-room")


def over_at(scene: Scene, x: float, y: float) -> float:
    """The clear height at a point of the room."""
    point = np.array([shapely.Point(x, y)], dtype=object)
    return float(scene.room.training.clear(point)[0][0])


def groups(drawn: Sheet, name: str) -> list[Element]:
    """The groups of a sheet that say something of a kind."""
    every = [element for svg in drawn.inside for element in parse(svg).iter()]
    return [element for element in every if element.get(f"data-{name}") is not None]


@pytest.mark.parametrize("key", SAMPLES)
def test_printed_heights_are_those_of_the_scene(key: str) -> None:
    of = sample(key)
    drawn = sheet(of, "section")
    count = 0
    for svg in drawn.inside:
        for element in parse(svg).iter():
            clear = element.get("data-clear")
            if clear is None:
                continue
            told = [(t.text or "") for t in element.iter() if t.tag.endswith("text")]
            printed = parse_length_mm(f"{told[0].split()[0]} mm")
            assert printed == pytest.approx(float(clear), abs=0.51)
            x, y = float(element.get("data-x", "")), float(element.get("data-y", ""))
            over = over_at(of.scene, x, y)
            if element.get("data-of") == "kit":
                # a piece's own top is lower than the room
                assert printed < over
            elif element.get("data-person") is not None:
                # at that very place it is as high as is told, neither higher nor lower
                assert printed == pytest.approx(over, abs=0.6)
            # and a line of just that length is drawn
            scale = drawn.scale
            lengths = [
                math.dist(*t.points) * scale
                for t in seen(element)
                if t.tag == "line" and abs(t.points[0][0] - t.points[1][0]) < 1e-6
            ]
            assert min(abs(length / scale - printed) for length in lengths) < 1.0
            count += 1
    # two sections, a height at both ends of each at least
    assert count >= 4


def test_widths_are_those_between_the_walls() -> None:
    scene = build_scene(make_plan(place("mid-rack", 1500, 1200), room=make_room(4000, 3000)))
    words = {t.words for svg in sections_sheet(scene).inside for t in seen(parse(svg))}
    assert {"4000", "3000"} <= words


def test_a_cut_tells_what_it_meets_from_what_stands_behind() -> None:
    near = place("plate-tree", 1000, 2000, piece_id="near")
    met = place("jump-box", 2000, 1500, piece_id="met")
    behind = place("plate-tree", 3000, 700, piece_id="behind")
    scene = build_scene(make_plan(near, met, behind, room=make_room(4000, 3000)))
    # along x at y 1500, looking towards the back wall: y grows towards the eye
    found = {s.placed.piece.id: s.cut for s in pieces_behind(scene, Cut((0, 1500), (1, 0)))}
    assert found == {"met": True, "behind": False}
    (first, second) = sorted(walls_cut(scene, Cut((0, 1500), (1, 0))))
    assert (first[1], second[0]) == (0, 4000)


def test_the_floor_is_the_highest_plane_of_a_place() -> None:
    of = sample("single-garage")
    room = of.scene.room.room
    for x, y in of.scene.room.free.exterior.coords[:-1]:
        assert floor_z(room, (x, y)) == max(plane.height_at(x, y) for plane in room.floor.planes)


def test_through_a_piece_that_is_not_there_is_refused() -> None:
    scene = build_scene(make_plan(place("jump-box"), room=make_room(4000, 3000)))
    assert sections_sheet(scene, "jump-box").pages
    with pytest.raises(NotFoundError, match="no piece 'sofa'"):
        sections_sheet(scene, "sofa")


def test_an_empty_room_has_sections_too() -> None:
    words = [
        t.words
        for svg in sections_sheet(build_scene(make_plan(room=make_room(3000, 2500)))).inside
        for t in seen(parse(svg))
    ]
    assert {"Section X-X", "Section Y-Y", "3000", "2500", "2600"} <= set(words)


def test_no_section_is_lettered_as_a_person_is() -> None:
    of = sample("double-garage")
    words = [t.words for svg in sheet(of, "section").inside for t in seen(parse(svg))]
    people = {of.scene.plan.called(person.id) for person in of.scene.plan.people}
    titles = [one.removeprefix("Section ").split("-") for one in words if "Section " in one]
    assert len(titles) == 2
    for at_one_end, at_the_other in titles:
        # a letter at either end of its line on the small plan, none of them somebody's
        assert at_one_end == at_the_other
        assert words.count(at_one_end) == 2
        assert at_one_end not in people


@pytest.mark.parametrize("key", ["single-garage", "upstairs-room", "basement"])
def test_heights_at_the_walls_are_those_at_the_walls(key: str) -> None:
    of = sample(key)
    overhead, free = of.scene.room.shut, of.scene.room.free
    told = 0
    for svg in sheet(of, "section").inside:
        for element in parse(svg).iter():
            if element.get("data-clear") is None or element.get("data-person") is not None:
                continue
            clear = float(element.get("data-clear", ""))
            at = shapely.Point(float(element.get("data-x", "")), float(element.get("data-y", "")))
            wall = shapely.shortest_line(at, free.exterior).coords[1]
            # the slope of a ceiling is at most 2 in the samples: 5 mm off it is 10 mm lower
            here = np.array([shapely.Point(wall).buffer(5).intersection(free)], dtype=object)
            ceiling = float(overhead.clear(here)[0][0])
            low = [
                one
                for one in overhead.items
                if one.kind != "ceiling" and one.polygon.distance(at) < 600
            ]
            assert clear == pytest.approx(ceiling, abs=10) or (low and clear < ceiling)
            told += 1
    assert told == 4


def test_a_wall_under_a_slope_ends_at_the_slope() -> None:
    drawn = sheet(sample("upstairs-room"), "section")
    cut = [
        np.ptp(np.array(t.points), axis=0) * drawn.scale
        for svg in drawn.inside
        for t in seen(parse(svg))
        if t.ink == "cut"
    ]
    walls = [high for wide, high in cut if wide < 200]
    # the low wall carries the ceiling at 1450, the one over against it that at 2350
    assert min(walls) == pytest.approx(1450 + LID_MM + SLAB_MM, abs=1)
    assert max(walls) == pytest.approx(2350 + LID_MM + SLAB_MM, abs=1)


def test_whose_head_meets_a_slope_farther_off_stands_there_pale_with_the_head_red() -> None:
    of = moved_back(sample("upstairs-room"), "step-1", 210)
    drawn = sheet(of, "section")
    shown = [t for svg in drawn.inside for t in seen(parse(svg))]
    # on the cut along the slope alone: behind the other cut there is no slope to see
    (pale,) = [t for t in shown if t.ink == "person-pale"]
    (red,) = [t for t in shown if t.ink == "person-over"]
    # mm of paper at 1:25: no more of the head than the 39 that are missing, from the crown down
    down = [y for _, y in red.points]
    assert min(down) == pytest.approx(min(y for _, y in pale.points), abs=0.1)
    assert 10 / 25 < max(down) - min(down) <= 39 / 25 + 0.05
    body = shapely.Polygon(pale.points).buffer(1)
    assert body.covers(shapely.Polygon(red.points))
    said = [t.words for t in shown]
    assert any("Pale: where the head meets" in words for words in said)
    for name in SAMPLES:
        other = [t.ink for svg in sheet(sample(name), "section").inside for t in seen(parse(svg))]
        assert "person-pale" not in other


def test_who_trains_has_their_letter_on_their_body() -> None:
    words = [t.words for svg in sheet(sample("double-garage"), "section").inside
             for t in seen(parse(svg)) if t.ink == "person-letter"]  # fmt: skip
    # twice the one under the plates, once more in the squat, and the other on the box
    assert sorted(words) == ["A", "A", "A", "B"]


def test_a_beam_is_cut_from_its_underside_up_to_the_ceiling() -> None:
    # a beam of 200, its underside at 2100 under a ceiling of 2400, from the back to the front
    beam = low_thing([(1900, 0), (2100, 0), (2100, 3000), (1900, 3000)], 2100)
    room = make_room(4000, 3000, 2400, low_things=[beam])
    drawn = sections_sheet(build_scene(make_plan(place("mid-rack", 800, 1500), room=room)))
    boxes = []
    for svg in drawn.inside:
        for thing in seen(parse(svg)):
            if thing.ink == "cut":
                xs, ys = zip(*thing.points, strict=True)
                wide, high = (drawn.scale * (max(v) - min(v)) for v in (xs, ys))
                boxes.append((round(wide), round(high)))
    assert (200, 300) in boxes


@pytest.mark.parametrize("key", SAMPLES)
def test_what_is_spare_is_a_line_of_that_length(key: str) -> None:
    drawn, count = sheet(sample(key), "section"), 0
    for svg in drawn.inside:
        for element in parse(svg).iter():
            if element.get("data-clear") is None:
                continue
            spare = [t.text or "" for t in element.iter() if "spare" in (t.text or "")]
            uprights = [
                drawn.scale * math.dist(*t.points)
                for t in seen(element)
                if t.ink == "dim" and abs(t.points[0][0] - t.points[1][0]) < 1e-6
            ]
            # what is too little for its own words stands over the level instead
            if spare and len(uprights) > 2:
                mm = float(parse_length_mm(f"{spare[0].split()[0]} mm"))
                # `seen` is outside the scale of its figure
                lengths = [length / drawn.scale for length in uprights]
                assert min(abs(length - mm) for length in lengths) < 1.0
                count += 1
    assert count or key == "double-garage" or key == "upstairs-room"


@pytest.mark.parametrize("which", ["section", "headroom"])
def test_people_are_called_as_the_figures_are_lettered_and_nobody_by_a_stature(which: str) -> None:
    of = sample("basement")
    said = [t.words for svg in sheet(of, which).svgs for t in seen(parse(svg))]
    called = {of.plan.called(person.id) for person in of.plan.people}
    assert called == {"A", "B"}
    heads = [words for words in said if words.startswith(("Running, ", "Floor work, "))]
    assert {words.split(", ")[1] for words in heads} == called
    # nobody looking on is told how tall they are, as on the page beside
    assert not [words for words in said if "1.80 m" in words or "1.67 m" in words]


def test_under_a_slope_what_is_missing_is_dimensioned_where_it_is() -> None:
    of = moved_back(sample("upstairs-room"), "step-1", 210)
    drawn = sheet(of, "section")
    every = groups(drawn, "movement")
    along, across = (one for one in every if one.get("data-movement") == "step-up")
    # the step stands under the rafters at 2071, and who is on it has 231 over the head there: too
    # low it is 300 farther back (2350 at 1000 from the wall, 1450 at the wall: 0.9 a millimetre)
    assert float(along.get("data-clear", "")) == pytest.approx(1450 + 0.9 * 390, abs=1)
    assert float(along.get("data-y", "")) == pytest.approx(390, abs=1)
    # the section across shows that same height, behind its cut
    for one in (along, across):
        x, y, clear = (float(one.get(f"data-{name}", "")) for name in ("x", "y", "clear"))
        assert over_at(of.scene, x, y) == pytest.approx(clear, abs=0.6)
        assert clear == pytest.approx(1801, abs=1)
        assert [t.text for t in one.iter() if "missing" in (t.text or "")] == ["39 missing"]
    assert "1801 clear behind the cut" in [t.text for t in across.iter()]
    assert float(across.get("data-y", "")) == pytest.approx(390, abs=1)
    # on the cut along it red is what lies over the rafters: a triangle under their slope
    (only,) = [t for t in seen(along) if t.ink == "missing-edge"]
    wide, high = np.ptp(np.array(only.points), axis=0)
    assert high == pytest.approx(39, abs=1)
    assert wide == pytest.approx(39 / 0.9, abs=2)
    # behind the cut across it stands from the one level to the other
    (only,) = [t for t in seen(across) if t.ink == "missing-edge"]
    ys = [-z for _, z in only.points]
    assert (min(ys), max(ys)) == pytest.approx((1801, 1840), abs=1)


def test_a_box_is_turned_to_the_height_that_somebody_stands_on() -> None:
    of = sample("double-garage")
    drawn = sheet(of, "section")
    (on_it,) = [one for one in groups(drawn, "movement") if one.get("data-movement") == "step-up"]
    boxes = [one for one in groups(drawn, "piece") if one.get("data-piece") == "box-1"]
    demand = next(s.bay.demand for s in stands(of.scene) if s.bay.movement.key == "step-up")
    deck = next(term.mm for term in demand.least if term.label == "deck or step")
    for box in boxes:
        (solid,) = seen(box)
        wide, high = np.ptp(np.array(solid.points), axis=0)
        assert high == pytest.approx(deck)
        # the box is 500 by 600 by 750, in the plan 500 wide: then its 750 lie along the floor
        assert sorted([round(wide), round(high)])[0] == 500
        assert round(wide) in (600, 750)
    assert on_it.get("data-person") == "b"
    assert boxes
    assert "turned to 500" in [t.words for svg in drawn.inside for t in seen(parse(svg))]


def test_a_door_when_open_is_a_ghost_with_its_height() -> None:
    # what the cover calls the lowest thing overhead: a sectional door at 2030, a canopy at 1880
    for key, high in (("double-garage", 2030), ("single-garage", 1880)):
        of = sample(key)
        drawn = sheet(of, "section")
        ghosts = groups(drawn, "door-under")
        assert min(float(one.get("data-door-under", "")) for one in ghosts) == high
        for one in ghosts:
            at = np.array(
                [shapely.Point(float(one.get("data-x", "")), float(one.get("data-y", "")))]
            )
            over = float(of.scene.room.open.clear(at)[0][0])
            assert float(one.get("data-door-under", "")) == pytest.approx(over, abs=0.6)
            (leaf,) = seen(one)
            assert -max(y for _, y in leaf.points) == pytest.approx(
                float(one.get("data-door-under", "")), abs=0.6
            )
        words = [t.words for svg in drawn.inside for t in seen(parse(svg))]
        assert f"door open {high}" in words


def test_windows_and_doors_behind_a_cut_are_where_they_are() -> None:
    of = sample("basement")
    found = groups(sheet(of, "section"), "opening")
    (window,) = [one for one in of.scene.room.openings if one.opening.kind == "window"]
    (drawn,) = [one for one in found if one.get("data-opening") == window.opening.id]
    pane = next(t for t in seen(drawn) if t.ink == "seen")
    wide, high = np.ptp(np.array(pane.points), axis=0)
    assert (wide, high) == pytest.approx((window.opening.width_mm, window.opening.height_mm), abs=1)
    assert -max(y for _, y in pane.points) == pytest.approx(window.opening.sill_mm, abs=0.6)


def test_whoever_runs_runs_on_a_belt_at_its_grade() -> None:
    of = sample("basement")
    drawn = sheet(of, "section")
    run = next(one.bay for one in stands(of.scene) if one.bay.movement.key == "run")
    assert run.placed is not None
    piece = run.placed.piece.id
    belts = [
        solid.points
        for one in groups(drawn, "piece")
        if one.get("data-piece") == piece
        for solid in seen(one)
        if len({round(y) for _, y in solid.points}) == 4
    ]
    assert belts
    # 10 % over the length of the deck: the row of the machine has it from 300 to 60 off its ends
    deck = max(belts, key=np.ptp)
    long = max(x for x, _ in deck) - min(x for x, _ in deck)
    rises = sorted({round(y) for _, y in deck})
    assert rises[1] - rises[0] == pytest.approx(math.sin(math.atan(0.10)) * long, abs=15)


def test_mirrors_beams_and_pipes_are_named_in_a_section() -> None:
    """The basement has a mirror, and a beam that is cut; the single garage none."""
    words = [t.words for svg in sheet(sample("basement"), "section").inside
             for t in seen(parse(svg)) if t.ink == "dimt"]  # fmt: skip
    assert "Mirror" in words
    assert "Beam" in words
    other = [t.words for svg in sheet(sample("single-garage"), "section").inside
             for t in seen(parse(svg)) if t.ink == "dimt"]  # fmt: skip
    assert not {"Mirror", "Beam", "Pipe"} & set(other)


def test_what_is_in_the_hands_or_pulled_out_of_the_way_is_drawn_there_alone() -> None:
    # the picture's rule: nobody squats in a bench, and one bar is not in two places
    scene = sample("single-garage").scene
    number = {"bar-1": "2", "bench-1": "3"}

    def shown(piece: str = "") -> tuple[set[str], str]:
        things = [one for svg in sections_sheet(scene, piece).inside for one in seen(parse(svg))]
        return {t.words for t in things if t.ink == "numeral"}, " ".join(t.words for t in things)

    tightest, words = shown()
    assert not {number["bar-1"], number["bench-1"]} & tightest
    assert "Flat bench pulled out of the way, not drawn." in words
    # what a section is asked for through stands in it
    through, words = shown("bench-1")
    assert number["bench-1"] in through
    assert "pulled out" not in words


@pytest.mark.parametrize(("angle", "told"), [(0.0, True), (180.0, True), (20.0, False)])
def test_it_is_told_how_far_a_cut_is_from_the_wall_that_it_looks_to(
    angle: float, told: bool
) -> None:
    # the rack's middle by hand: 1300 and 2700 from the walls across, 1200 and 1800 along
    rack = place("mid-rack", 1300, 1200, angle, piece_id="rack")
    scene = build_scene(make_plan(rack, room=make_room(4000, 3000)))
    drawn = sections_sheet(scene, "rack")
    words = " ".join(t.words for svg in drawn.inside for t in seen(parse(svg)))
    found = re.findall(r"(.-.): (\d+) from (.*?), looking towards it", words)
    assert len(found) == (2 if told else 0)
    assert words.count("looking towards") == 2
    for (name, away, wall), far in zip(found, ((1300, 2700), (1200, 1800)), strict=False):
        assert name in ("X-X", "Y-Y")
        assert wall in scene.fixed_names
        assert int(away) in far
