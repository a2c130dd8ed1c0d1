"""Walls from inside: what is printed leads back to where things are on the wall."""

import math
import re
from itertools import accumulate, pairwise

import pytest
import shapely

from app.drawing.sheets.wall_hidden import unhidden
from app.drawing.sheets.wall_items import Before, FlatWall
from app.drawing.sheets.wall_words import joints_of
from app.drawing.sheets.walls import walls_sheet
from app.model.base import json_of
from app.model.plan import Plan
from app.model.room import Opening, Room, Socket, Wall, WallConstruction
from app.scene.build import Scene, build_scene
from app.takeoff.quantities import take_off
from app.takeoff.surfaces import faces
from app.wording import lower
from tests.builders import make_plan, make_room, place
from tests.drawing.reading import Seen, parse, seen
from tests.drawing.sheets.judged import sample, sheet


def garage() -> Scene:
    door = Opening(id="d", wall="front", kind="hinged", offset_mm=600, width_mm=838, height_mm=1981)
    window = Opening(
        id="w", wall="back", kind="window", offset_mm=1000, width_mm=900, height_mm=700,
        sill_mm=1100,
    )  # fmt: skip
    room = make_room(4000, 3000, openings=[door, window])
    room = room.model_copy(update={"sockets": (Socket(id="s", wall="left", offset_mm=700),)})
    return build_scene(make_plan(place("pull-up-bar-wall", 2500, 300), room=room))


def chain(scene: Scene, wall: str) -> list[float]:
    """The figures of the chain under a wall, from left to right, added up."""
    for svg in walls_sheet(scene, paper="A3").inside:
        for element in parse(svg).iter():
            if element.get("data-wall") != wall:
                continue
            figures = [
                (t.points[0], t.words)
                for t in seen(element)
                if t.ink == "dimt" and t.words.isdigit() and not t.element.get("transform")
            ]
            top = min(y for (_, y), _ in figures)
            # figures with no room between their ticks hang under the line; the whole is lowest
            low = max(y for (_, y), _ in figures)
            row = sorted((x, int(words)) for (x, y), words in figures if y == top or y < low - 1)
            return list(accumulate(mm for _, mm in row))
    raise AssertionError(wall)


def test_a_window_stands_where_its_chain_says() -> None:
    scene = garage()
    stops = chain(scene, "back")
    # as one faces the back wall its start is at the left: 1000 to the window, 900 wide
    assert {1000.0, 1900.0} <= set(stops)
    assert stops[-1] == 4000


def test_a_wall_faced_from_inside_runs_as_its_corners_do() -> None:
    scene = garage()
    flats = {face.wall.id: FlatWall(face, scene) for face in faces(scene)}
    (socket,) = [t for t in flats["left"].items if t.kind == "socket"]
    assert (socket.left, socket.low) == (700, 300)
    (door,) = [t for t in flats["front"].items if t.kind == "opening"]
    assert (door.left, door.right, door.low, door.high) == (600, 1438, 0, 1981)


def test_fixings_lie_in_the_rows_of_their_kit() -> None:
    scene = garage()
    fixed = [p for p in scene.order if p.kit.fixing == "wall"]
    if not fixed:
        pytest.fail("the bar of this test must hang on a wall")
    things = [
        thing
        for face in faces(scene)
        for thing in FlatWall(face, scene).items
        if thing.kind == "kit"
    ]
    (bar,) = things
    rows = fixed[0].kit.fixed
    assert rows is not None
    assert len(bar.fixings) == rows.count
    assert len({z for _, z in bar.fixings}) == 2
    assert all(bar.left <= s <= bar.right for s, _ in bar.fixings)


def test_every_wall_has_its_height_and_what_it_is_made_of() -> None:
    words = [t.words for svg in walls_sheet(garage()).inside for t in seen(parse(svg))]
    # once for each wall: both its ends are as high
    assert words.count("2600") == 4
    assert sum(word.startswith("Pale, before it: ") for word in words) == 0
    for name in ("Back wall", "Right wall", "Front wall", "Left wall"):
        assert name in words
    assert any(word.startswith("Not looked at yet") for word in words)


def test_each_wall_tells_what_holds_in_it_with_nothing_on_it_too() -> None:
    made: tuple[WallConstruction, ...] = ("solid-brick", "aerated-block", "metal-studs", "unknown")
    room = make_room(4000, 3000)
    walls = [
        Wall.model_validate({**json_of(wall), "construction": how})
        for wall, how in zip(room.walls, made, strict=True)
    ]
    scene = build_scene(make_plan(room=Room.model_validate({**json_of(room), "walls": walls})))
    told = {
        element.get("data-wall", ""): " ".join(t.words for t in seen(element) if t.ink == "small")
        for svg in walls_sheet(scene).inside
        for element in parse(svg).iter()
        if element.get("data-wall")
    }
    # each by its row of the shop's list; common practice, no source
    for wall, light, heavy in (
        (walls[0], "plug 8 × 50 with screw 5 × 60", "sleeve or resin anchor M10"),
        (walls[1], "screw-in plug for aerated block", "bolt M10 right through with a plate behind"),
        (walls[2], "hollow-wall anchor M5", "metal studs and board do not hold this"),
        (walls[3], "if the first hole shows", "look first what the wall is made of"),
    ):
        assert light in told[wall.id]
        assert "What pulls: " in told[wall.id]
        assert heavy in told[wall.id]
        assert "decide" in told[wall.id]


@pytest.mark.parametrize("key", ["double-garage", "basement", "upstairs-room"])
def test_every_figure_on_the_walls_of_a_sample_is_asked_of_the_scene_again(key: str) -> None:
    scene = sample(key).scene
    drawn = {
        element.get("data-wall", ""): list(seen(element))
        for svg in sheet(sample(key), "walls").inside
        for element in parse(svg).iter()
        if element.get("data-wall")
    }
    assert set(drawn) == {wall.id for wall in scene.room.walls}
    for face in faces(scene):
        flat, things = FlatWall(face, scene), drawn[face.wall.id]
        words = {t.words for t in things if t.ink == "dimt"}
        # the whole length and the stretches between what is on the wall, as they are added up
        assert f"{math.dist(face.wall.start, face.wall.end):.0f}" in words
        figures = [(t.points[0], int(t.words)) for t in things
                   if t.ink == "dimt" and t.words.isdigit() and t.points[0][1] > 1
                   and not t.element.get("transform")]  # fmt: skip
        stops = {0.0, flat.length}
        for thing in flat.items:
            if thing.kind != "strip":
                stops |= {thing.left, thing.right, *(s for s, _ in thing.fixings)}
        ordered = sorted(s for s in stops if -0.01 <= s <= flat.length + 0.01)
        for a, b in pairwise(ordered):
            if b - a > 1:
                at = [mm for (x, _), mm in figures if abs(x - (a + b) / 2) < 1]
                assert round(b - a) in at or round(b - a + 1e-6) in at, (face.name, a, b)
        # heights: of each socket, each sill and each thing that hangs
        for thing in flat.items:
            low = f"{thing.low:.0f}"
            told = [w for w in words for edge in ("sill", "bottom", "h") if f"{edge} {low}" in w]
            assert told or (thing.kind == "opening" and thing.low <= 1), thing


@pytest.mark.parametrize("key", ["basement", "double-garage"])
def test_every_clip_on_the_list_is_a_dot_on_a_wall(key: str) -> None:
    of = sample(key)
    counted = {line.key: line.net for line in of.account.take_off.lines}
    items = [t for face in faces(of.scene) for t in FlatWall(face, of.scene).items]
    mirrors = [t for t in items if t.clips and t.kind != "strip"]
    assert sum(len(t.clips) for t in mirrors) == counted["mirrors.clips"]
    assert all(t.left <= s <= t.right and t.low < z < t.high for t in mirrors for s, z in t.clips)
    strips = [t for t in items if t.clips and t.kind == "strip"]
    drawn = sum(
        1
        for svg in sheet(of, "walls").svgs
        for thing in seen(parse(svg))
        if "clips" in thing.inside and thing.ink == "leader-dot"
    )
    assert drawn == sum(len(t.clips) for t in (*mirrors, *strips))
    said = " ".join(t.words for svg in sheet(of, "walls").svgs for t in seen(parse(svg)))
    assert all(f"{len(t.clips)} clips (dots)" in said for t in (*mirrors, *strips))


def test_kit_before_a_wall_hides_what_stands_behind_it() -> None:
    scene = garage()
    placed = scene.order[0]
    # by hand: a box of 100 x 80 whose right half is behind a nearer one, and one as far as that
    back = Before(placed, 0.0, 100.0, 0.0, 80.0, off=300.0)
    near = Before(placed, 50.0, 150.0, 0.0, 60.0, off=500.0)
    level = Before(placed, 120.0, 200.0, 0.0, 90.0, off=500.4)
    edges = unhidden([back, near, level])
    assert ((0.0, 80.0), (100.0, 80.0)) in edges
    assert ((100.0, 60.0), (100.0, 80.0)) in edges
    assert not any(a == c == 100.0 and b < 60.0 for (a, b), (c, _) in edges)
    # neither of two that are as near hides the other
    assert {((50.0, 60.0), (150.0, 60.0)), ((120.0, 0.0), (120.0, 90.0))} <= set(edges)


@pytest.mark.parametrize("key", ["double-garage", "basement", "single-garage", "upstairs-room"])
def test_no_edge_of_kit_before_a_wall_shows_through_a_nearer_box(key: str) -> None:
    scene, hidden = sample(key).scene, 0.0
    for face in faces(scene):
        flat = FlatWall(face, scene)
        drawn = shapely.MultiLineString(list(flat.before_edges))
        visible = 0.0
        for one in flat.before:
            outline = shapely.box(one.left, one.low, one.right, one.high).exterior
            over = [
                shapely.box(b.left, b.low, b.right, b.high).buffer(-0.01)
                for b in flat.before
                if b.off > one.off + 1
            ]
            # what the clipper of GEOS leaves of it is drawn, and it alone
            left = outline.difference(shapely.union_all(over))
            assert left.difference(drawn.buffer(0.05)).length < 0.1
            visible += left.length
            hidden += outline.length - left.length
        assert drawn.length == pytest.approx(visible, rel=1e-4)
    assert hidden > 1


@pytest.mark.parametrize(
    ("key", "wall", "ink"),
    [("upstairs-room", "back", "thing"), ("double-garage", "back", "mirror")],
)
def test_kit_on_a_wall_is_drawn_by_its_parts_and_a_mirror_as_glass(
    key: str, wall: str, ink: str
) -> None:
    scene = sample(key).scene
    (flat,) = [FlatWall(face, scene) for face in faces(scene) if face.wall.id == wall]
    (kit,) = [thing for thing in flat.items if thing.kind == "kit"]
    assert kit.placed is not None
    drawn = [
        thing
        for svg in sheet(sample(key), "walls").inside
        for element in parse(svg).iter()
        if element.get("data-wall") == wall
        for thing in seen(element)
        if thing.ink == ink
    ]
    # as many solids as the library gives it, and together as large as it is
    assert len(drawn) == len(kit.placed.kit.solids)
    xs = [x for thing in drawn for x, _ in thing.points]
    assert (min(xs), max(xs)) == pytest.approx((kit.left, kit.right), abs=1)


@pytest.mark.parametrize("key", ["basement", "double-garage", "upstairs-room"])
def test_every_clip_and_screw_is_told_by_how_far_along_the_wall_it_is(key: str) -> None:
    scene = sample(key).scene
    drawn = {
        element.get("data-wall", ""): " ".join(t.words for t in seen(element))
        for svg in sheet(sample(key), "walls").inside
        for element in parse(svg).iter()
        if element.get("data-wall")
    }
    found = 0
    for face in faces(scene):
        said = drawn[face.wall.id]
        for thing in FlatWall(face, scene).items:
            for points, kind in ((thing.clips, "clips"), (thing.screws, "screws")):
                places = {round(s) for s, _ in points}
                told = [
                    stepped(words)
                    for words in re.findall(rf"{len(points)} {kind} \(dots\)(.*?) from the w", said)
                ]
                # a step that is told by whole millimetres adds up to a little more or less
                assert not points or any(
                    len(one) == len(places)
                    and all(abs(a - b) <= 2 for a, b in zip(one, sorted(places), strict=True))
                    for one in told
                )
                found += len(points)
    assert found > 10


def stepped(words: str) -> list[float]:
    """The places that words of a row come to: "1390, then 3 × 267 to 2190" are four."""
    places: list[float] = []
    for count, first, last in re.findall(r"(?:then (\d+) × )?(\d+)(?: to (\d+))?", words):
        if not count:
            places.append(float(first))
            continue
        start, steps = places[-1], int(count)
        assert float(first) * steps == pytest.approx(float(last) - start, abs=steps / 2 + 1)
        places += [start + (float(last) - start) * i / steps for i in range(1, steps + 1)]
    return places


@pytest.mark.parametrize(
    ("key", "high"),
    [("double-garage", "about 475"), ("upstairs-room", "about 473 and 493")],
)
def test_the_screws_under_a_mirror_are_told_and_drawn_in_its_ledge(key: str, high: str) -> None:
    # glass from 500 up stands on a ledge of some 50 (common practice, no source)
    drawn = sheet(sample(key), "walls")
    said = " ".join(one.words for svg in drawn.inside for one in seen(parse(svg)))
    assert re.search(rf"in the ledge under it, .*?{high} above the bare floor", said)
    scene = sample(key).scene
    things = [thing for face in faces(scene) for thing in FlatWall(face, scene).items]
    (glass,) = [thing for thing in things if thing.ledge is not None]
    assert glass.ledge == (glass.low - 50, glass.low)
    assert all(glass.low - 50 < z < glass.low for _, z in glass.screws)


def test_the_ledge_under_a_mirror_tells_its_size_and_where_its_lengths_meet() -> None:
    # 2400 of ledge in lengths of 2000, some 50 x 20 (common practice, no source)
    for key in ("basement", "upstairs-room"):
        drawn = sheet(sample(key), "walls")
        said = " ".join(one.words for svg in drawn.inside for one in seen(parse(svg)))
        size = "the ledge: about 50 × 20, 2400 long, top 508, in 2 lengths that meet between screws"
        met = re.search(rf"{size} at (\d+)\.", said)
        assert met is not None
        scene = sample(key).scene
        items = [t for face in faces(scene) for t in FlatWall(face, scene).items]
        (glass,) = [t for t in items if t.ledge is not None and t.kind == "mirror"]
        joints = joints_of(scene, glass)
        assert [round(s) for s in joints] == [int(met[1])]
        assert min(abs(joints[0] - s) for s, _ in glass.screws) > 100
        assert "those at a joint hold both panes" in said
    # 800 are cut from one
    double = sheet(sample("double-garage"), "walls")
    said = " ".join(one.words for svg in double.inside for one in seen(parse(svg)))
    assert "the ledge: about 50 × 20, 800 long, top 500." in said


def test_shelving_before_studs_is_screwed_into_them() -> None:
    # 900 of shelving cross two studs 400 apart, wherever they are
    drawn = sheet(sample("upstairs-room"), "walls")
    said = " ".join(one.words for svg in drawn.inside for one in seen(parse(svg)))
    words = "4 screws (dots) through the maker's own holes or a rail across the studs, a pair into"
    assert f"{words} each stud, about 400 and 800 from the wall's left end" in said
    solid = sheet(sample("double-garage"), "walls")
    assert "rail across" not in " ".join(t.words for svg in solid.inside for t in seen(parse(svg)))


def test_the_joint_between_two_panes_of_a_mirror_is_drawn() -> None:
    # 2400 x 1500 of the sample in sheets of 1200 at the most: one joint in the middle
    scene = sample("basement").scene
    (area,) = scene.plan.fit_out.mirrors
    drawn = [
        thing
        for svg in sheet(sample("basement"), "walls").inside
        for element in parse(svg).iter()
        if element.get("data-wall") == area.wall
        for thing in seen(element)
        if thing.ink == "thin" and thing.tag == "line"
    ]
    places = [(thing.points[0][0], abs(thing.points[0][1] - thing.points[1][1])) for thing in drawn]
    (flat,) = [f for f in (FlatWall(face, scene) for face in faces(scene))
               if f.face.wall.id == area.wall]  # fmt: skip
    (mirror,) = [thing for thing in flat.items if thing.kind == "mirror"]
    middle = (mirror.left + mirror.right) / 2
    assert any(
        x == pytest.approx(middle, abs=1) and high == pytest.approx(area.height_mm, abs=1)
        for x, high in places
    )


def test_what_is_taller_than_the_room_is_red_on_its_wall() -> None:
    # the cable column is 2160 with the floor, the beam over it 1960; the shelf 1510 under 1450
    for key, piece, high, clear in (
        ("basement", "column-1", 2160, 1960),
        ("upstairs-room", "shelving-1", 1510, 1450),
    ):
        of = sample(key)
        drawn = sheet(of, "walls")
        groups = [
            element
            for svg in drawn.inside
            for element in parse(svg).iter()
            if element.get("data-too-high") is not None
        ]
        assert {one.get("data-too-high") for one in groups} == {piece}
        for group in groups:
            ys = [-y for t in seen(group) if t.ink == "stuck" for _, y in t.points]
            assert (min(ys), max(ys)) == pytest.approx((clear, high), abs=1)
        words = [t.words for svg in drawn.inside for t in seen(parse(svg))]
        assert words.count(f"{high - clear} too high") == len(groups)


def said_of(scene: Scene) -> dict[str, list[Seen]]:
    """What is drawn of each wall of a scene, by its id."""
    return {
        element.get("data-wall", ""): list(seen(element))
        for svg in walls_sheet(scene, paper="A3").inside
        for element in parse(svg).iter()
        if element.get("data-wall")
    }


def test_a_wall_of_a_hall_is_cut_into_parts_at_a_scale_that_can_be_read() -> None:
    scene = build_scene(make_plan(place("mid-rack", 3000, 1500), room=make_room(40_000, 5000)))
    drawn = walls_sheet(scene, paper="A3")
    # whole, 40 m is 400 mm of paper at 1:100 and no A3 holds that: in parts it is
    assert drawn.scale == 100
    words = [t.words for svg in drawn.svgs for t in seen(parse(svg))]
    assert words.count("Part 1 of 2: lay the match lines on one another.") == 2
    assert {"Back wall", "Front wall", "Left wall", "Right wall"} <= set(words)
    numbers = [page.number for page in drawn.pages]
    assert numbers == [f"{i} of {len(numbers)}" for i in range(1, len(numbers) + 1)]
    # one that a paper holds at a scale that is read stays whole
    short = walls_sheet(build_scene(make_plan(room=make_room(12_000, 5000))), paper="A3")
    assert short.scale <= 100
    assert not any("match lines" in t.words for svg in short.svgs for t in seen(parse(svg)))


def test_every_heavy_fixing_is_told_from_the_end_of_its_wall() -> None:
    scene = garage()
    drawn = said_of(scene)
    found = 0
    for face in faces(scene):
        said = " ".join(t.words for t in drawn[face.wall.id])
        for thing in FlatWall(face, scene).items:
            for s, z in thing.fixings:
                (told,) = re.findall(r"fixings, in rows? (.*?) from the wall's left end; dr", said)
                heights, along = told.split(" above the bare floor, ")
                assert f"{z:.0f}" in re.findall(r"\d+", heights)
                assert f"{s:.0f}" in re.findall(r"\d+", along)
                found += 1
    assert found == 4


def test_in_feet_what_is_as_long_in_the_chain_under_a_wall_is_told_alike() -> None:
    # two ends of 283.4 mm, 178.52 sixteenths of an inch, and a door of 7 ft: each end by itself is
    # 11 3/16 in, the wall of 1701.04 sixteenths 8 ft 10 5/16 in, one sixteenth less than its parts
    door = Opening(
        id="d", wall="back", kind="hinged", offset_mm=283.4, width_mm=2133.6, height_mm=1981
    )
    plan = make_plan(room=make_room(2700.4, 3000, openings=[door]))
    scene = build_scene(Plan.model_validate({**json_of(plan), "units": "feet"}))
    things = said_of(scene)["back"]
    row = [t for t in things if t.ink == "dimt" and not t.element.get("transform")]
    told = [t.words for t in row if t.words in ('11 1/8"', '11 3/16"', "7' 0\"", "8' 10 5/16\"")]
    assert sorted(told) == ['11 3/16"', '11 3/16"', "7' 0\"", "8' 10 5/16\""]
    # what the shop's list has in millimetres says so beside feet
    said = " ".join(t.words for t in said_of(scene)["left"])
    assert not re.search(r"\d x \d", said)
    # and what a shop has in inches, in their own
    said = re.sub(r"\(on the list: [^)]*( in\b)[^)]*\)", "", said)
    assert all(re.search(r"× [\d.]+ mm", part) for part in re.findall(r"\d × \d+.{0,3}", said))


@pytest.mark.parametrize("key", ["basement", "double-garage", "upstairs-room"])
def test_each_row_of_dots_names_what_the_list_buys_for_it(key: str) -> None:
    # of what small things are held by in walls: clips of strip and glass, ledges
    scene = sample(key).scene
    bought = [
        lower(line.item)
        for line in take_off(scene).lines
        if line.part == "fixings" and any(one in line.where for one in ("clips of", "ledge of"))
    ]
    told = " ".join(
        one.words for svg in walls_sheet(scene, paper="A3").inside for one in seen(parse(svg))
    )
    assert bought
    for item in bought:
        assert re.search(rf"dots\)[^.]*; {re.escape(item)} in each", told), item


@pytest.mark.parametrize(("units", "named"), [("feet", True), ("metric", False)])
def test_in_feet_what_holds_in_a_wall_has_the_name_of_the_list_beside_it(
    units: str, named: bool
) -> None:
    plan = Plan.model_validate(json_of(sample("upstairs-room").plan) | {"units": units})
    told = " ".join(
        one.words for svg in walls_sheet(build_scene(plan)).inside for one in seen(parse(svg))
    )
    assert ("into the stud (on the list: wood screw No. 10 × 2 1/2 in)" in told) == named
    assert "a board of 18 mm" in told
