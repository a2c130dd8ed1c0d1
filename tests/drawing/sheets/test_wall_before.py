"""Walls with columns, low things and kit before them, against the numbers a room was made from."""

import re
from collections.abc import Iterator
from functools import cache
from itertools import pairwise

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.sheets.wall_items import FlatWall
from app.drawing.sheets.walls import walls_sheet
from app.model.base import json_of
from app.model.kit import Piece
from app.model.room import Column, LowThing, Opening, Plane, Room, Socket
from app.scene.build import Scene, build_scene
from app.takeoff.surfaces import faces
from tests.builders import make_plan, make_room, place, rectangle
from tests.drawing.reading import Seen, parse, seen
from tests.drawing.sheets.judged import sample, sheet
from tests.takeoff.making import scene_of

SAMPLES = ("double-garage", "single-garage", "basement", "upstairs-room")


def walls_of(scene: Scene) -> dict[str, list[Seen]]:
    """All that is drawn of each wall by its id, in mm from its left end, y down."""
    return {
        element.get("data-wall", ""): list(seen(element))
        for svg in walls_sheet(scene, paper="A3").inside
        for element in parse(svg).iter()
        if element.get("data-wall")
    }


@cache
def walls_of_sample(key: str) -> dict[str, list[Seen]]:
    return walls_of(sample(key).scene)


def with_sockets(room: Room, *sockets: Socket) -> Room:
    return Room.model_validate({**json_of(room), "sockets": [json_of(one) for one in sockets]})


@given(
    st.integers(0, 3000), st.integers(200, 1500), st.integers(100, 600),
    st.integers(0, 2900), st.integers(300, 1000), st.integers(100, 3900),
)  # fmt: skip
def test_a_wall_behind_a_chimney_breast_is_drawn_from_end_to_end(
    left: int, wide: int, deep: int, window: int, glass: int, socket: int
) -> None:
    wide, high = min(wide, 4000 - left), 2400
    breast = Column(id="b", outline=rectangle(left, 0, left + wide, deep), label="Breast")
    opening = Opening(
        id="w", wall="back", kind="window", offset_mm=window, width_mm=glass, height_mm=900,
        sill_mm=1000,
    )  # fmt: skip
    room = make_room(4000, 3000, high, columns=[breast], openings=[opening])
    room = with_sockets(room, Socket(id="s", wall="back", offset_mm=socket))
    things = walls_of(build_scene(make_plan(room=room)))["back"]
    (face,) = [one for one in things if one.ink == "wall-face"]
    xs, ys = zip(*face.points, strict=True)
    assert (min(xs), max(xs), -min(ys)) == pytest.approx((0, 4000, high), abs=0.1)
    (front,) = [one for one in things if one.ink == "column-front"]
    xs = tuple(x for x, _ in front.points)
    # as one faces the back wall it runs as x does
    assert (min(xs), max(xs)) == pytest.approx((left, left + wide), abs=0.1)
    words = [one.words for one in things if one.tag == "text"]
    assert "4000" in words
    said = " ".join(words)
    assert f"{wide} wide, {deep} deep" in said
    # the window is told as it was measured, however much of it is hidden
    assert f"{glass} × 900, sill 1000" in said
    # the sign of the socket is on the wall, over all that stands before it
    order = [one.ink for one in things]
    assert order.index("socket") > order.index("column-front")
    (sign,) = [one for one in things if one.ink == "socket"]
    middle = sum(x for x, _ in sign.points) / len(sign.points)
    assert middle == pytest.approx(socket, abs=0.1)
    # the chain under it says both edges of the breast
    figures = [
        (one.points[0][0], int(one.words))
        for one in things
        if one.tag == "text" and one.words.isdigit() and not one.element.get("transform")
        and one.points[0][1] > 1
    ]  # fmt: skip
    ends = {0, 4000, left, left + wide, window, window + glass, socket}
    stops = sorted(one for one in ends if one <= 4000)
    for a, b in pairwise(stops):
        if b - a > 1:
            at = [mm for x, mm in figures if abs(x - (a + b) / 2) < 1]
            assert [mm for mm in at if abs(mm - (b - a)) <= 1], (a, b, figures)


@given(st.integers(0, 3600), st.integers(60, 400), st.integers(1500, 2300), st.booleans())
def test_what_hangs_low_at_a_wall_is_on_it_with_its_height(
    left: int, wide: int, bottom: int, to_ceiling: bool
) -> None:
    # across the room, so it ends on the back and the front wall
    thing = LowThing(
        id="t", kind="beam" if to_ceiling else "pipe", label="Low one", bottom_mm=bottom,
        outline=rectangle(left, 0, left + wide, 3000),
    )  # fmt: skip
    scene = build_scene(make_plan(room=make_room(4000, 3000, 2400, low_things=[thing])))
    walls = walls_of(scene)
    for wall, expected in (("back", left), ("front", 4000 - left - wide)):
        things = walls[wall]
        (box,) = [one for one in things if one.element.get("data-on-wall") == "low"]
        xs, ys = zip(*box.points, strict=True)
        assert (min(xs), max(xs)) == pytest.approx((expected, expected + wide), abs=0.1)
        assert -max(ys) == pytest.approx(bottom, abs=0.1)
        assert -min(ys) == pytest.approx(2400 if to_ceiling else min(2400, bottom + 90), abs=0.1)
        said = " ".join(one.words for one in things)
        assert "Low one" in said
        assert f"bottom {bottom}" in said
        assert str(wide) in said


def test_a_pipe_along_a_wall_says_how_far_off_it_is_and_hides_nothing_fixed() -> None:
    scene = sample("basement").scene
    pipe = next(one for one in scene.plan.room.low_things if one.kind == "pipe")
    # 6200 to its far side in the numbers of the sample: the wall is at 6200
    off = 6200 - max(x for x, _ in pipe.outline)
    things = walls_of_sample("basement")["right"]
    assert f"{off:.0f} from the wall" in " ".join(one.words for one in things)
    low = next(i for i, one in enumerate(things) if one.element.get("data-on-wall") == "low")
    strip = next(i for i, one in enumerate(things) if one.ink == "lit")
    assert strip > low


@pytest.mark.parametrize(("height", "dashed"), [(2009, False), (2050, True), (2120, False)])
def test_a_strip_behind_a_pipe_is_dashed_and_the_sheet_says_so(height: float, dashed: bool) -> None:
    # a pipe is drawn 90 thick: from 2010 to 2100, and from 1000 to 2500 along the wall
    pipe = LowThing(id="p", kind="pipe", outline=tuple(rectangle(1000, 150, 2500, 300)),
                    bottom_mm=2010)  # fmt: skip
    run = {"id": "s", "wall": "back", "points": ((500, height), (3500, height))}
    room = make_room(4000, 3000, 2400, low_things=[pipe])
    scene = scene_of(room=room, strips=[run])
    things = walls_of(scene)["back"]
    ends = {
        ink: sorted(x for one in things if one.ink == ink for x, _ in one.points)
        for ink in ("lit", "lit-behind")
    }
    if dashed:
        assert ends["lit"] == pytest.approx([500, 1000, 2500, 3500], abs=0.1)
        assert ends["lit-behind"] == pytest.approx([1000, 2500], abs=0.1)
    else:
        assert ends["lit"] == pytest.approx([500, 3500], abs=0.1)
        assert not ends["lit-behind"]
    sheet = walls_sheet(scene, paper="A3")
    told = " ".join(one.words for svg in sheet.inside for one in seen(parse(svg)))
    assert ("Dashed: behind the pipe" in told) == dashed


@pytest.mark.parametrize("key", SAMPLES)
def test_kit_before_a_wall_is_numbered_as_on_the_plan_and_named(key: str) -> None:
    of = sample(key)
    scene = of.scene
    for face in faces(scene):
        flat = FlatWall(face, scene)
        things = walls_of_sample(key)[face.wall.id]
        before = {box.placed.piece.id: box.placed.name.lower() for box in flat.before}
        numerals = [one.words for one in things if one.ink == "numeral"]
        assert len(numerals) == len(before)
        said = " ".join(one.words for one in things if one.ink == "small").lower()
        named = re.search(r"pale, before it: (.*?)\.", said)
        pairs = sorted((named.group(1) if named else "").split(", ")) if before else []
        assert pairs == sorted(f"{n} {name}" for n, name in _numbered(of.scene, before))
        assert {pair.split(" ")[0] for pair in pairs} == set(numerals)


def _numbered(scene: Scene, before: dict[str, str]) -> Iterator[tuple[int, str]]:
    """The numbers of the key: station by station, as it is told in `station_order`."""
    first: dict[str, int] = {}
    for i, placed in enumerate(scene.order):
        first.setdefault(placed.root, i)
    order = sorted(scene.order, key=lambda p: (first[p.root], p.piece.id != p.root, p.piece.id))
    for number, placed in enumerate(order, 1):
        if placed.piece.id in before:
            yield number, before[placed.piece.id]


def test_a_rack_higher_than_the_wall_behind_it_says_what_ceiling_it_has() -> None:
    scene = sample("single-garage").scene
    things = walls_of_sample("single-garage")["left"]
    rack = next(p for p in scene.order if p.kit.key == "half-rack")
    # the roof rises from 2050 at the left wall to 2750 over 2700
    nearest = min(x for x, _ in shapely.get_coordinates(rack.footprint))
    over = 2050 + 700 * nearest / 2700
    (told,) = [one for one in things if one.words.startswith("ceiling over 1: ")]
    assert int(told.words.split(": ")[1]) == pytest.approx(over, abs=1)
    (line,) = [one for one in things if one.ink == "beyond"]
    assert -line.points[0][1] == pytest.approx(over, abs=1)
    top = rack.extent.height_mm + rack.lift_mm
    assert 2050 < top < over


def test_no_upright_crosses_the_sign_of_a_socket() -> None:
    for key in SAMPLES:
        scene = sample(key).scene
        for face in faces(scene):
            things = walls_of_sample(key)[face.wall.id]
            pale = [i for i, one in enumerate(things) if one.ink == "pale"]
            signs = [i for i, one in enumerate(things) if one.ink == "socket"]
            assert not pale or not signs or max(pale) < min(signs)


@cache
def counted(key: str) -> dict[str, float]:
    """Fixings that the list buys for walls, by what they hold."""
    found: dict[str, float] = {}
    for line in sample(key).account.take_off.lines:
        if line.key.startswith("fixings."):
            for step in line.working:
                if step.label.endswith(" wall"):
                    found[step.label] = found.get(step.label, 0) + step.value
    return found


@pytest.mark.parametrize("key", SAMPLES)
def test_the_walls_show_as_many_fixings_as_the_list_buys(key: str) -> None:
    drawn = 0.0
    for svg in sheet(sample(key), "walls").svgs:
        for one in seen(parse(svg)):
            dot = one.ink == "leader-dot" and {"clips", "screws"} & set(one.inside)
            # a cross is two strokes
            drawn += 1.0 if dot else 0.5 if one.ink == "fixing" else 0.0
    assert drawn == sum(counted(key).values())
    if key == "upstairs-room":
        # 4 of the shelving, a pair into each of 7 studs under 2400 of glass, 9 clips
        assert drawn == 4 + 2 * 7 + 9


def shelf(**more: float) -> Piece:
    return place("shelving", 1200, 225, piece_id="s", **more)  # type: ignore[arg-type]


def test_shelving_is_fixed_near_its_top_and_below_the_slope() -> None:
    scene = build_scene(make_plan(shelf(height=1800), room=make_room(4000, 3000, 2400)))
    (thing,) = [t for f in faces(scene) for t in FlatWall(f, scene).items if t.kind == "kit"]
    assert len(thing.screws) == 4
    assert all(0 < 1800 - z < 200 and 750 < s < 1650 for s, z in thing.screws)
    # under a wall of 1450 they are in the wall, not in the roof
    roof = [Plane(id="p", height_mm=1450, rise_y=900)]
    scene = build_scene(make_plan(shelf(height=1500), room=make_room(4000, 3000, planes=roof)))
    (thing,) = [t for f in faces(scene) for t in FlatWall(f, scene).items if t.kind == "kit"]
    assert all(1250 < z < 1450 for _, z in thing.screws)
    # what stands there already is fixed as it is
    there = place("shelving", 1200, 225, piece_id="s", stays=True)
    scene = build_scene(make_plan(there, room=make_room(4000, 3000, 2400)))
    (thing,) = [t for f in faces(scene) for t in FlatWall(f, scene).items if t.kind == "kit"]
    assert thing.screws == ()
