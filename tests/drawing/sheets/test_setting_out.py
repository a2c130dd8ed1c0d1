"""Somebody with two tapes and this sheet alone finds every place again, to 3 mm."""

import io
import math
import re

import numpy as np
import pypdf
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares
from shapely.affinity import translate

from app.drawing.ink import LOOK
from app.drawing.plan_sheet import station_order
from app.drawing.sheets.setting_out import setting_out_sheet
from app.drawing.sheets.taping import (
    LEAST_CROSSING_DEG,
    MOST_CROSSING_DEG,
    marks_of,
    mirrored,
    taped,
    tapes_to,
)
from app.model.room import Opening, Room
from app.scene.build import build_scene
from app.units import Units, parse_length_mm
from tests.builders import column, make_plan, make_room, place, rectangle
from tests.drawing.boxes import lettered
from tests.drawing.reading import Seen, own_points, parse, seen
from tests.drawing.sheets.judged import sample, sheet

Point = tuple[float, float]
# ISO 5457 and the like say nothing of marking out: 3 mm is what the sheet itself promises
PROMISED_MM = 3.0
MARK = r"\d+(?:[abcdm]|[fh]\d+)"


def crossings(a: Point, ra: float, b: Point, rb: float) -> list[Point]:
    """Where two circles cross: plane trigonometry."""
    apart = math.dist(a, b)
    along = (ra**2 - rb**2 + apart**2) / (2 * apart)
    out = math.sqrt(max(0.0, ra**2 - along**2))
    ux, uy = (b[0] - a[0]) / apart, (b[1] - a[1]) / apart
    foot = (a[0] + ux * along, a[1] + uy * along)
    return [(foot[0] - uy * out, foot[1] + ux * out), (foot[0] + uy * out, foot[1] - ux * out)]


def rows(things: list[Seen]) -> dict[str, list[str]]:
    """The rows of the table: of each mark the words beside it on its line."""
    texts = [(t.points[0], t.words) for t in things if t.tag == "text" and t.ink == "small"]
    table = {}
    for (x, y), words in texts:
        if re.fullmatch(MARK, words):
            beside = [
                (left, told) for (left, foot), told in texts if foot == y and 0 < left - x < 100
            ]
            table[words] = [told for _, told in sorted(beside)][:3]
    return table


@pytest.mark.parametrize(
    ("key", "units"),
    [("double-garage", "metric"), ("single-garage", "metric"), ("upstairs-room", "feet")],
)
def test_every_position_is_rebuilt_from_the_printed_figures(key: str, units: Units) -> None:
    of = sample(key, units)
    things = [
        t for svg in sheet(of, "setting-out").inside for t in seen(parse(svg))
    ]  # fmt: skip
    table = rows(things)
    known = {f"C{i + 1}": wall.start for i, wall in enumerate(of.scene.room.walls)}
    numbers = {p.piece.id: i + 1 for i, p in enumerate(station_order(of.scene))}
    wanted = {point.name: point.at for point in taped(of.scene, numbers).points}
    assert set(table) == set(wanted)
    assert len(wanted) > 10
    inside = of.scene.room.free.buffer(60)
    for mark in wanted:
        told, tapes = table[mark], []
        for words in told:
            if words != "–":
                name, length = words.split(" ", 1)
                bare = f"{length} mm" if units == "metric" else length
                tapes.append((known[name], parse_length_mm(bare)))
        (a, ra), (b, rb), *check = tapes
        places = crossings(a, ra, b, rb)
        if check:
            (c, rc) = check[0]
            places = [min(places, key=lambda p: abs(math.dist(p, c) - rc))]
        else:
            places = [p for p in places if inside.covers(shapely.Point(p))]
        assert len(places) == 1, (mark, told)
        known[mark] = places[0]
        assert math.dist(places[0], wanted[mark]) <= PROMISED_MM, (mark, told)


@pytest.mark.parametrize("key", ["double-garage", "single-garage"])
def test_each_anchor_of_the_list_has_its_mark_in_a_foot_of_its_rack(key: str) -> None:
    of = sample(key)
    table = rows([t for svg in sheet(of, "setting-out").inside for t in seen(parse(svg))])
    drilled = [name for name in table if "f" in name]
    (line,) = [
        line for line in of.account.take_off.lines
        if line.part == "fixings" and "floor: " in line.where
    ]  # fmt: skip
    in_floor = [step for step in line.working if "rack" in step.label]
    assert len(drilled) == sum(step.value for step in in_floor) > 0
    numbers = {p.piece.id: i + 1 for i, p in enumerate(station_order(of.scene))}
    at = {point.name: point.at for point in taped(of.scene, numbers).points}
    for placed in of.scene.order:
        own = [name for name in drilled if name.split("f")[0] == str(numbers[placed.piece.id])]
        standing = zip(placed.shape.polygons, placed.shape.low_mm, strict=True)
        feet = translate(shapely.union_all([one for one, low in standing if low < 5]), *placed.at)
        assert all(feet.buffer(0.5).covers(shapely.Point(at[name])) for name in own)


def test_what_hangs_from_the_ceiling_is_marked_below_and_what_hangs_on_walls_is_not() -> None:
    rings = place("rings", 2000, 1500, piece_id="rings")
    bar = place("pull-up-bar-wall", 2500, 300, piece_id="bar")
    scene = build_scene(make_plan(rings, bar, room=make_room(4000, 3000)))
    numbers = {p.piece.id: i + 1 for i, p in enumerate(station_order(scene))}
    letters = {
        (point.name.lstrip("123456789")[0], point.what) for point in taped(scene, numbers).points
    }
    assert {letter for letter, _ in letters} == {"h"}
    words = " ".join(t.words for t in seen(parse(setting_out_sheet(scene).svg)))
    assert "plumb them up" in words
    assert "Fixings in walls: on the sheet Walls from inside." in words


SQUARE = r"At C(\d+): (\d+) along to C(\d+) and (\d+) along to C(\d+) are (\d+)"
TAPE = rf"(C\d+|W\d+|{MARK}) (\d+)"
ALONG = r"From C(\d+) towards C(\d+): ((?:W\d+ \d+(?:, )?)+)"
ROW = rf"\b({MARK}) {TAPE} {TAPE} (?:{TAPE}|–)"
SKEW = ((0, 0), (6203, 137), (5878, 4611), (-212, 4302))
ANGLED = ((0, 0), (7000, 0), (7000, 2800), (3100, 2800), (3100, 6400), (0, 6400))
COLUMN = column(rectangle(2400, 1900, 2700, 2200))
HALL = make_room(40000, 6000)
LENT_MM, OWN_MM = 30000.0, 8000.0
# the tapes that somebody lends or has: common practice, no source


@pytest.mark.parametrize(
    "room",
    [
        make_room(corners=SKEW),
        make_room(corners=ANGLED),
        make_room(5000, 4000, columns=[COLUMN]),
        HALL,
    ],
    ids=["out of square", "an L", "a column where its diagonals cross", "a hall"],
)
def test_room_and_marks_are_rebuilt_from_the_words_of_the_pdf_alone(room: Room) -> None:
    freezer = place("chest-freezer", 600, 3300, stays=True)
    kit = [
        place("mid-rack", 1500, 1400, 17, piece_id="rack"),
        place("jump-box", 2400, 3300, 41, piece_id="box"),
        place("plate-tree", 2900, 1000, 5, piece_id="tree"),
    ]
    scene = build_scene(make_plan(*kit, freezer, room=room))
    file = pypdf.PdfReader(io.BytesIO(setting_out_sheet(scene).pdf()))
    told = " ".join(" ".join(page.extract_text() for page in file.pages).split())
    true = np.array([wall.start for wall in scene.room.walls])
    sides = [
        (int(a) - 1, int(b) - 1, float(mm))
        for a, b, mm in re.findall(r"C(\d+) to C(\d+) (\d+)", told)
    ]
    squares = re.findall(
        r"At C(\d+): (\d+) along to C(\d+) and (\d+) along to C(\d+) are (\d+)", told
    )

    def off(flat: np.ndarray) -> list[float]:
        at = flat.reshape(-1, 2)
        found = [math.dist(at[i], at[j]) - mm for i, j, mm in sides]
        for words in squares:
            here, along, ahead, back, behind, between = map(int, words)
            corner, legs = at[here - 1], ((ahead, along), (behind, back))
            a, b = (
                corner + (at[k - 1] - corner) * mm / math.dist(at[k - 1], corner) for k, mm in legs
            )
            found.append(math.dist(a, b) - between)
        # where the room lies on the ground is nobody's business: one corner and one way are given
        way = np.arctan2(*(at[1] - at[0])[::-1]) - np.arctan2(*(true[1] - true[0])[::-1])
        return [*found, *(at[0] - true[0]), 1000 * way]

    # the drawing shows about where the corners are
    rough = true + np.random.default_rng(1).normal(0, 150, true.shape)
    corners = least_squares(off, rough.ravel(), xtol=1e-14, ftol=1e-14).x.reshape(-1, 2)
    assert np.abs(corners - true).max() <= PROMISED_MM
    known = {f"C{i + 1}": (float(x), float(y)) for i, (x, y) in enumerate(corners)}
    _find_along_walls(told, known)
    names = {placed.piece.id: i + 1 for i, placed in enumerate(station_order(scene))}
    wanted = {point.name: point.at for point in taped(scene, names).points}
    table = re.findall(ROW, told)
    assert {row[0] for row in table} == set(wanted)
    for name, a, ra, b, rb, c, rc in table:
        places = crossings(known[a], float(ra), known[b], float(rb))
        if c:
            places = [min(places, key=lambda p: abs(math.dist(p, known[c]) - float(rc)))]
        places = [p for p in places if shapely.Polygon(corners).buffer(60).covers(shapely.Point(p))]
        assert len(places) == 1, name
        known[name] = places[0]
        assert math.dist(places[0], wanted[name]) <= PROMISED_MM, name


def _find_along_walls(told: str, known: dict[str, Point]) -> None:
    """Set the marks along walls that are told: so far from one corner towards another."""
    for start, end, marks in re.findall(ALONG, told):
        (x0, y0), (x1, y1) = known[f"C{start}"], known[f"C{end}"]
        for name, mm in re.findall(r"(W\d+) (\d+)", marks):
            share = float(mm) / math.dist((x0, y0), (x1, y1))
            known[name] = x0 + (x1 - x0) * share, y0 + (y1 - y0) * share


@pytest.mark.parametrize("units", ["metric", "feet"])
def test_the_middle_of_a_long_hall_is_taped_with_a_tape_that_a_household_has(units: Units) -> None:
    doors = [
        Opening(id=wall, wall=wall, kind="hinged", offset_mm=at, width_mm=wide, height_mm=2000)
        for wall, at, wide in (("front", 11500, 2400), ("back", 19900, 900))
    ]
    kit = [
        place("mid-rack", 9000 * i + 2000, 1500 + 700 * (i % 3), 23 * i, piece_id=f"rack{i}")
        for i in range(5)
    ]
    room = make_room(40000, 6000, openings=doors)
    scene = build_scene(make_plan(*kit, room=room).model_copy(update={"units": units}))
    of = taped(scene, {f"rack{i}": i + 1 for i in range(5)})
    assert of.missing == ()
    assert len(of.points) >= 20
    corners = [wall.start for wall in scene.room.walls]
    places = [*corners, *(mark.at for mark in of.along), *(point.at for point in of.points)]
    for point in of.points:
        assert point.check is not None
        for tape in (point.first, point.second, point.check):
            assert tape.mm <= OWN_MM
            assert tape.mm == pytest.approx(math.dist(places[tape.corner], point.at))
    holes = [shapely.LineString([o.left, o.right]) for o in scene.room.openings]
    for mark in of.along:
        # from the nearer end of its wall, so that a lent tape reaches it too; never in a doorway
        assert mark.mm <= LENT_MM
        assert math.dist(corners[mark.corner], mark.at) == pytest.approx(mark.mm)
        assert all(hole.distance(shapely.Point(mark.at)) > 0 for hole in holes)
    words = " ".join(t.words for t in seen(parse(setting_out_sheet(scene).svg)))
    assert "Marks along the walls" in words


def test_only_marks_that_something_is_taped_from_stand_along_the_walls_of_a_hall() -> None:
    scene = build_scene(make_plan(place("plate-tree", 1500, 1500, piece_id="tree"), room=HALL))
    along = taped(scene, {"tree": 1}).along
    assert 0 < len(along) < 6
    assert max(mark.mm for mark in along) < 10000
    # a room that any tape reaches across has none
    small = build_scene(make_plan(place("plate-tree", 1500, 1500, piece_id="tree")))
    assert taped(small, {"tree": 1}).along == ()


@given(x=st.floats(200, 4800), y=st.floats(200, 3800))
@settings(max_examples=60)
def test_circles_cross_well_and_the_check_tells_the_side(x: float, y: float) -> None:
    corners = ((0.0, 0.0), (5000.0, 0.0), (5000.0, 4000.0), (0.0, 4000.0))
    found = tapes_to((x, y), corners, shapely.box(0, 0, 5000, 4000).buffer(1))
    assert found is not None
    first, second, check = found
    at = (x, y)
    one, other = corners[first.corner], corners[second.corner]
    # law of cosines
    across = (first.mm**2 + second.mm**2 - math.dist(one, other) ** 2) / (2 * first.mm * second.mm)
    assert LEAST_CROSSING_DEG <= math.degrees(math.acos(across)) <= MOST_CROSSING_DEG
    assert first.mm == pytest.approx(math.dist(at, one))
    assert second.mm == pytest.approx(math.dist(at, other))
    assert check is not None
    wrong = mirrored(at, one, other)
    third = corners[check.corner]
    assert abs(math.dist(wrong, third) - check.mm) > 50


def test_no_tape_runs_through_what_stays() -> None:
    # a boiler that stays, 600 x 600 in the middle of a room, hides the corner behind it
    freezer = place("chest-freezer", 2000, 1500, piece_id="freezer").model_copy(
        update={"stays": True}
    )
    tree = place("plate-tree", 3300, 2400, piece_id="tree")
    scene = build_scene(make_plan(freezer, tree, room=make_room(4000, 3000)))
    corners = [wall.start for wall in scene.room.walls]
    stays = scene.placed["freezer"].footprint.buffer(-3)
    points = taped(scene, {"freezer": 1, "tree": 2}).points
    assert points
    for point in points:
        for tape in (point.first, point.second, point.check):
            if tape is not None:
                line = shapely.LineString([corners[tape.corner], point.at])
                assert not line.intersects(stays)


def test_no_outline_of_kit_hides_a_door_or_another_piece() -> None:
    # its mat lies in the way of its door, and its rower over a corner of the mat
    things = list(seen(parse(sheet(sample("upstairs-room"), "setting-out").svg)))
    outlines = [one for one in things if one.ink == "faint"]
    assert len(outlines) == len(sample("upstairs-room").plan.pieces)
    assert LOOK["faint"].fill == "none"
    assert [one.ink for one in things].count("leaf") == 1


@pytest.mark.parametrize(
    ("key", "unmarked"),
    [
        # what hangs on a wall or lies on other kit has no mark, and nobody could know what it was
        ("double-garage", {"Bar 20 kg", "Adjustable bench", "Mirror"}),
        ("single-garage", {"Bar 20 kg", "Flat bench"}),
        ("basement", {"Boiler", "Fuse box"}),
        ("upstairs-room", set()),
    ],
)
def test_what_has_a_mark_is_outlined_and_nothing_else(key: str, unmarked: set[str]) -> None:
    # as two draughtsmen sent it back: a bar ran on into the wall
    of = sample(key)
    things = list(seen(parse(sheet(of, "setting-out").svg)))
    bare = {p.name for p in of.scene.order if not marks_of(p, of.scene)}
    assert bare == unmarked
    outlined = [one for one in things if one.ink == "faint"]
    assert len(outlined) == len(of.scene.order) - len(bare)


def test_it_says_from_where_it_is_measured_and_how_well() -> None:
    scene = build_scene(make_plan(place("plate-tree", 1000, 1000), room=make_room(4000, 3000)))
    words = " ".join(t.words for t in seen(parse(setting_out_sheet(scene).svg)))
    assert "From the finished faces of the walls, on the finished floor" in words
    assert "good within 3" in words
    assert "off by more than 5" in words


@pytest.mark.parametrize(
    ("key", "named"),
    [("double-garage", "chest freezer"), ("upstairs-room", ""), ("single-garage", "")],
)
def test_what_the_floor_is_laid_round_is_marked_on_the_bare_floor(key: str, named: str) -> None:
    words = " ".join(t.words for t in seen(parse(sheet(sample(key), "setting-out").svg)))
    assert ("marked on the bare floor, before it is laid" in words) == bool(named)
    assert named in words.partition("marked on the bare floor, before it is laid")[2]


@pytest.mark.parametrize("paper", ["Letter", "Tabloid"])
def test_feet_and_fractions_stand_on_one_line(paper: str) -> None:
    drawn = sheet(sample("double-garage", "feet"), "setting-out", paper)
    words = [one.words for page in drawn.pages for one in lettered(page)]
    tapes = [one for one in words if re.match(r"C\d +\d", one)]
    # every mark has three tapes, each whole: a corner, feet and inches
    marks = [one for one in words if re.fullmatch(MARK, one)]
    # or a dash where the two lengths meet a second time only outside the room
    none = [o for p in drawn.pages for o in lettered(p) if o.words == "–" and o.ink == "small"]
    assert len(tapes) + len(none) == len(set(marks)) * 3
    assert all(re.fullmatch(r"C\d +(\d+' )?(\d+( \d+/\d+)?|\d+/\d+)\"", one) for one in tapes)
    # 5320 and 5180 mm by hand: 209.449 and 203.937 inches
    for room in ("17' 5 7/16\"", "16' 11 15/16\""):
        assert room in words


@pytest.mark.parametrize(("angle", "way"), [(0, (0, 1)), (90, (-1, 0)), (180, (0, -1))])
def test_a_triangle_points_to_the_side_that_the_user_is_on(
    angle: float, way: tuple[int, int]
) -> None:
    # a piece's own y runs towards its user (the frame of the library's rows)
    piece = place("mid-rack", 2000, 1500, angle, piece_id="rack")
    drawn = setting_out_sheet(build_scene(make_plan(piece, room=make_room(4000, 3000))))
    (mark,) = [e for e in parse(drawn.inside[0]).iter() if e.get("data-front") == "rack"]
    (ring,) = [own_points(e) for e in mark.iter() if own_points(e)]
    off = [(x - 2000) * way[0] + (y - 1500) * way[1] for x, y in ring]
    # 1250 deep: the base lies on the front edge, the tip before it
    assert sorted(off)[:2] == pytest.approx([625, 625], abs=0.5)
    assert max(off) > 625 + 5
    words = " ".join(t.words for t in seen(parse(drawn.inside[0])))
    assert "A triangle stands at the front of a piece" in words
