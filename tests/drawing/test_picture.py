"""The picture against rays: what is drawn at a place is what a ray from the eye meets first.

The rays are cast here through the scene's own prisms in mm of the room, with a view worked out from
the definition of an orthographic projection (ISO 5456-3: parallel rays, square to the paper), not
with the faces of the drawing.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from app.drawing.lettering import width_of
from app.drawing.picture import faces_by_thing, picture
from app.drawing.picture_faces import Face, prism, prisms
from app.drawing.picture_glass import near_glass
from app.drawing.picture_names import MOST_NAMED
from app.drawing.picture_order import Compared, compared
from app.drawing.picture_person import figure_faces
from app.drawing.picture_room import figures_of, kit_faces
from app.drawing.picture_sheet import picture_sheet, picture_words
from app.drawing.picture_shell import room_faces, square_mm
from app.drawing.picture_view import DOWN_DEG, TURN_DEG, View
from app.drawing.primitives import Group, Line, Polyline, Text
from app.file_commands.plan_file import read
from app.model.base import json_of
from app.model.plan import Plan
from app.scene.build import Scene, build_scene
from tests.builders import make_plan, make_room, place

SAMPLES = ("basement", "double-garage", "single-garage", "upstairs-room")
RAYS = 2_500
"""For each of the samples: 10,000 in all."""
EDGE_MM = 1.5
ROUND = frozenset({"plate", "wheel"})

Box = tuple[shapely.Polygon, float, float, str]


def scene_of(name: str) -> Scene:
    return build_scene(read(Path("sample_rooms") / f"{name}.json"))


def first_met(
    boxes: list[Box], u: NDArray[np.float64], v: NDArray[np.float64], corner: int
) -> list[str]:
    """Return what a ray through each place of the paper meets first, "" for nothing."""
    turn, down = math.radians(TURN_DEG + 90 * corner), math.radians(DOWN_DEG)
    right = np.array([math.cos(turn), math.sin(turn), 0.0])
    eye = np.array(
        [-math.sin(turn) * math.cos(down), math.cos(turn) * math.cos(down), math.sin(down)]
    )
    below = np.cross(eye, right)
    assert below[2] < 0
    start = np.outer(u, right) + np.outer(v, below)
    best, owner = np.full(len(u), -np.inf), np.full(len(u), "", dtype=object)
    for polygon, low, high, name in boxes:
        shapely.prepare(polygon)
        # the top: where the ray is at its height
        t = (high - start[:, 2]) / eye[2]
        at = start + t[:, None] * eye
        hit = shapely.contains_xy(polygon, at[:, 0], at[:, 1])
        take = hit & (t > best)
        best[take], owner[take] = t[take], name
        for ring in (polygon.exterior, *polygon.interiors):
            xy = np.array(ring.coords)
            for a, b in pairwise(xy):
                d = b - a
                square = np.array([d[1], -d[0]])
                facing = square @ eye[:2]
                if abs(facing) < 1e-12:
                    continue
                t = ((a - start[:, :2]) @ square) / facing
                at = start + t[:, None] * eye
                along = ((at[:, :2] - a) @ d) / (d @ d)
                hit = (along >= 0) & (along <= 1) & (at[:, 2] >= low) & (at[:, 2] <= high)
                take = hit & (t > best)
                best[take], owner[take] = t[take], name
    return [str(name) for name in owner]


def drawn_at(order: Compared, u: NDArray[np.float64], v: NDArray[np.float64]) -> list[str | None]:
    """What is drawn last at each place; None on the edge of an area, where either is right."""
    parts = order.ordered
    points = shapely.points(np.column_stack([u, v]))
    areas = np.array([part.area for part in parts], dtype=object)
    on_edge, _ = shapely.STRtree(shapely.boundary(areas)).query(
        points, predicate="dwithin", distance=EDGE_MM
    )
    within, index = shapely.STRtree(areas).query(points, predicate="within")
    last = np.full(len(u), -1)
    np.maximum.at(last, within, index)
    drawn: list[str | None] = [parts[i].face.owner if i >= 0 else "" for i in last.tolist()]
    for i in on_edge.tolist():
        drawn[i] = None
    return drawn


@pytest.mark.parametrize("name", SAMPLES)
def test_rays_meet_what_is_drawn(name: str) -> None:
    scene = scene_of(name)
    for corner in (0, 2):
        view = View(corner)
        # plates and wheels are drawn as discs, people have rays of their own: prisms alone
        plain = [p for p in scene.order if p.kit.bar is None and not ROUND & set(p.shape.parts)]
        faces = [face for face in room_faces(scene, view) if face.owner == "floor"]
        boxes: list[Box] = [(scene.room.free, -1.0, 0.0, "floor")]
        for placed in plain:
            faces += kit_faces(scene, placed, view)
            if not len(placed.shape.parts):
                boxes.append(
                    (placed.footprint, placed.lift_mm, placed.lift_mm + 1, placed.piece.id)
                )
            for polygon, low, high in zip(
                placed.polygons(), placed.shape.low_mm, placed.shape.high_mm, strict=True
            ):
                lift = placed.lift_mm + placed.rest_mm[0]
                boxes.append((polygon, low + lift, high + lift, placed.piece.id))
        x0, y0, x1, y1 = shapely.total_bounds([face.flat for face in faces])
        draw = np.random.default_rng(7 + corner)
        u, v = draw.uniform(x0, x1, RAYS // 2), draw.uniform(y0, y1, RAYS // 2)
        met, drawn = first_met(boxes, u, v, corner), drawn_at(compared(faces), u, v)
        pairs = [(ray, there) for ray, there in zip(met, drawn, strict=True) if there is not None]
        assert len(pairs) > RAYS * 0.4
        assert [pair for pair in pairs if pair[1] != pair[0]] == []
        assert sum(1 for ray in met if ray not in ("", "floor")) > RAYS // 40


@given(
    st.lists(
        st.tuples(*(st.integers(0, 8) for _ in range(3)), *(st.integers(1, 6) for _ in range(3))),
        min_size=1,
        max_size=6,
    ),
    st.integers(0, 3),
)
def test_boxes_that_run_into_one_another_are_cut_where_they_meet(
    sizes: list[tuple[int, ...]], corner: int
) -> None:
    view = View(corner)
    boxes: list[Box] = []
    faces: list[Face] = []
    for i, (x, y, z, a, b, c) in enumerate(sizes):
        # a little apart, so that no two faces lie in one plane: there either would be right
        base = shapely.box(x * 97 + i * 7, y * 89 + i * 5, (x + a) * 97 + i * 3, (y + b) * 89 + i)
        low, high = z * 83.0 + i * 3, (z + c) * 83.0 + i * 9
        boxes.append((base, low, high, f"box-{i}"))
        faces += prism(base, low, high, f"box-{i}", "picture-thing", view)
    x0, y0, x1, y1 = shapely.total_bounds([face.flat for face in faces])
    draw = np.random.default_rng(11)
    u, v = draw.uniform(x0, x1, 60), draw.uniform(y0, y1, 60)
    for ray, there in zip(
        first_met(boxes, u, v, corner), drawn_at(compared(faces), u, v), strict=True
    ):
        assert there is None or there == ray


@pytest.mark.parametrize("corner", range(4))
@pytest.mark.parametrize(
    "base",
    [
        shapely.Polygon([(0, 0), (900, 0), (900, 600), (800, 600), (800, 100), (100, 100),
                         (100, 600), (0, 600)]),
        shapely.box(0, 0, 800, 700).difference(shapely.box(150, 150, 650, 550)),
    ],
    ids=["a handle bent back", "a frame"],
)  # fmt: skip
def test_a_solid_that_hides_parts_of_itself_is_drawn_so(base: shapely.Polygon, corner: int) -> None:
    # of all its faces over a point of the paper the one with the greatest depth is to be on top
    faces = list(prisms([base], [(300.0, 500.0)], "thing", ["picture-thing"], View(corner)))
    order = compared(faces)
    x0, y0, x1, y1 = shapely.total_bounds([face.flat for face in faces])
    draw = np.random.default_rng(3 + corner)
    seen = set()
    for u, v in zip(draw.uniform(x0, x1, 2000), draw.uniform(y0, y1, 2000), strict=True):
        there = [f for f in faces if shapely.contains_xy(f.flat, u, v)]
        if there:
            nearest = max(there, key=lambda f: f.plane[0] + f.plane[1] * u + f.plane[2] * v)
            last = [p for p in order.ordered if shapely.contains_xy(p.area, u, v)][-1]
            assert last.face is nearest, (u, v)
            seen.add(len(there))
    assert max(seen) > 1


def test_a_piece_that_moves_is_drawn_as_if_all_were_drawn_anew() -> None:
    scene, view = scene_of("double-garage"), View(1)
    things = faces_by_thing(scene, view, figures_of(scene))
    before = compared([face for some in things.values() for face in some])
    draw = np.random.default_rng(3)
    for placed in scene.order[::4]:
        name = placed.piece.id
        if name not in things:
            continue
        # the whole thing half a metre to the right on the paper and nearer: into what stands there
        there = tuple(
            replace(
                face,
                flat=shapely.affinity.translate(face.flat, 500.0, 120.0),
                plane=(
                    face.plane[0] - 500.0 * face.plane[1] - 120.0 * face.plane[2] + 180.0,
                    *face.plane[1:],
                ),
                edges=face.edges + np.array([500.0, 120.0]),
            )
            for face in things[name]
        )
        after = before.moved(frozenset({name}), compared(there))
        anew = compared([face for some in {**things, name: there}.values() for face in some])
        x0, y0, x1, y1 = shapely.total_bounds([face.flat for face in there])
        u, v = draw.uniform(x0, x1, 400), draw.uniform(y0, y1, 400)
        both = zip(drawn_at(after, u, v), drawn_at(anew, u, v), strict=True)
        assert [pair for pair in both if None not in pair and pair[0] != pair[1]] == []
        # what did not move is the same, part by part
        stay = [part for part in before.parts if part.face.owner != name]
        assert [id(part) for part in stay] == [id(part) for part in after.parts[: len(stay)]]


def test_what_is_too_high_is_red_and_only_that() -> None:
    """A's standing press: 199 mm of the plates are above the joists, as the judge says."""
    scene = scene_of("double-garage")
    view = View(0)
    figures = figures_of(scene)
    press = next(one for one in figures if one.bay.person.id == "a")
    assert round(press.too_high_mm) == 199
    by_ink: dict[bool, list[float]] = {True: [], False: []}
    for face in figure_faces(scene, press, view):
        a, b, c = face.plane
        for u, v in shapely.get_coordinates(face.flat).tolist():
            # a point of the paper and how near it is, turned back to upright: the eye looks down
            down, near = math.radians(DOWN_DEG), a + b * u + c * v
            high = near * math.sin(down) - v * math.cos(down)
            by_ink[face.ink == "picture-too-high"].append(high)
    clear = press.bay.clear_mm
    # what is drawn in front of something is drawn a hand nearer to the eye, so a little higher
    assert min(by_ink[True]) == pytest.approx(clear, abs=2)
    assert max(by_ink[True]) == pytest.approx(clear + press.too_high_mm, abs=3)
    assert max(by_ink[False]) <= clear + 20
    other = next(one for one in figures if one.bay.person.id == "b")
    assert not [f for f in figure_faces(scene, other, view) if f.ink == "picture-too-high"]


@pytest.mark.parametrize("corner", range(4))
def test_lengths_from_left_to_right_are_true(corner: int) -> None:
    view = View(corner)
    across = np.array([[0.0, 0.0, 0.0], [1000.0 * c for c in (*view.across, 0.0)]])
    flat = view.flat(across)
    assert flat[1] - flat[0] == pytest.approx([1000.0, 0.0], abs=1e-9)


@pytest.mark.parametrize(("name", "paper"), [("single-garage", "A4"), ("basement", "Tabloid")])
def test_the_sheet_is_drawn_on_paper(name: str, paper: str) -> None:
    svg = picture_sheet(picture(scene_of(name), View(0)), paper=paper).pages[0].as_svg()
    assert "picture-line" in svg
    assert "NaN" not in svg


def test_an_empty_room_is_drawn() -> None:
    plan = read(Path("sample_rooms/basement.json"))
    bare = Plan.model_validate({**json_of(plan), "pieces": [], "people": []})
    drawn = picture(build_scene(bare), View(3))
    assert not drawn.figures
    assert next(group.data for group in drawn.groups) == (("owner", "floor"),)
    assert all(math.isfinite(edge) for edge in drawn.bounds)


def test_of_a_hall_full_of_one_kind_one_is_named_and_says_how_many() -> None:
    pieces = [
        place("mat-space", 700 + 1100 * (i % 8), 1300 + 2400 * (i // 8), piece_id=f"p{i:03}")
        for i in range(MOST_NAMED + 1)
    ]
    scene = build_scene(make_plan(*pieces, room=make_room(9_500, 20_000)))
    names = [one.words for one in picture(scene, View(0)).names.named]
    assert names == [f"{scene.order[0].name}, {MOST_NAMED + 1} of them", "Ceiling 2600"]


def test_a_long_name_has_two_lines_in_the_picture_and_is_told_whole_beside_it() -> None:
    name = "The old plate tree that stood in the cellar of the house by the river till spring came"
    name += " back with its water"
    piece = place("plate-tree", 1500, 1500).model_copy(update={"label": name})
    drawn = picture(build_scene(make_plan(piece, room=make_room(4000, 3000))), View(0))
    items, (x0, _, x1, _) = drawn.lettered(90.0)
    (names,) = [one for one in items if isinstance(one, Group) and one.ink == "picture-names"]
    *lines, ceiling = [one for one in names.children if isinstance(one, Text)]
    assert ceiling.words == "Ceiling 2600"
    assert len(lines) == 2
    short = " ".join(one.words for one in lines)
    assert short.endswith("…")
    assert name.startswith(short[:-1])
    assert f"{short} is {name}" in picture_words(drawn)
    for one in lines:
        half = width_of(one.words, 90.0, bold=True) / 2
        assert x0 - 1e-6 <= one.at[0] - half
        assert one.at[0] + half <= x1 + 1e-6
    assert lines[1].at[1] - lines[0].at[1] > 90.0


@pytest.mark.parametrize("name", ["double-garage", "basement"])
def test_the_sheet_tells_how_each_movement_goes_that_is_wanted(name: str) -> None:
    scene = scene_of(name)
    sheet = picture_sheet(picture(scene, View(0)))
    said = [text for page in sheet.pages for text in _texts(page.items)]
    head = "At the top of each movement, at its kit"
    at = next(i for i, text in enumerate(said) if text.words == head)
    wanted = sum(1 for one in scene.plan.people for wish in one.wishes if wish.wish == "want")
    rows = said[at + 1 : at + 1 + wanted]
    assert all(", " in row.words and ": " in row.words for row in rows)
    for row in rows:
        tone = {"dimt-stop": ": the room is ", "dimt-care": "short of", "small": "to spare"}[
            row.ink
        ]
        assert tone in row.words
    # what hits comes first, then what has no margin, then by what is to spare
    inks = [row.ink for row in rows]
    assert inks == sorted(inks, key=["dimt-stop", "dimt-care", "small"].index)
    spare = [int(row.words.split("fits, ")[1].split()[0]) for row in rows if row.ink == "small"]
    assert spare == sorted(spare)


def _texts(items: Iterable[object]) -> Iterator[Text]:
    for item in items:
        if isinstance(item, Group):
            yield from _texts(item.children)
        elif isinstance(item, Text):
            yield item


def test_the_squares_of_the_floor_are_a_metre_or_three_feet() -> None:
    # a room of 5000: four lines each way at every 1000; at every 914.4 (a yard) five
    plan = make_plan()
    for units, side, lines in (("metric", 1000.0, 4), ("feet", 914.4, 5)):
        scene = build_scene(plan.model_copy(update={"units": units}))
        assert square_mm(scene.plan.units) == pytest.approx(side)
        floor = next(face for face in room_faces(scene, View(0)) if face.owner == "floor")
        assert len(floor.edges) == 4 + 2 * lines


@pytest.mark.parametrize("corner", range(4))
def test_what_hangs_high_is_let_down_to_the_floor(corner: int) -> None:
    scene, view = scene_of("basement"), View(corner)
    drawn = picture(scene, view)
    # upright dashed strokes: as long as the fuse box and the boiler hang high, 1400 and 1050 mm
    shares = [
        abs(one.points[0][1] - one.points[1][1]) / view.height_share
        for one in drawn.ghosts.children
        if isinstance(one, Polyline) and len(one.points) == 2
        and one.points[0][0] == pytest.approx(one.points[1][0])
    ]  # fmt: skip
    # by three corners, and by the two of its back where that alone is drawn, on a near wall
    outlined = {one.name for one in near_glass(scene, view)}
    boiler, fuse_box = (2 if name in outlined else 3 for name in ("Boiler", "Fuse box"))
    assert sorted(round(high) for high in shares) == [1050] * boiler + [1400] * fuse_box


def test_doorways_are_named_out_of_the_room_and_what_is_too_high_in_clear_paper() -> None:
    scene, view = scene_of("double-garage"), View(0)
    drawn = picture(scene, view)
    letter = 103.0
    items, _ = drawn.lettered(letter)
    (names,) = [one for one in items if isinstance(one, Group) and one.ink == "picture-names"]
    texts = {one.words: one for one in names.children if isinstance(one, Text)}
    leaders = [one for one in names.children if isinstance(one, Line)]
    floor = shapely.union_all(
        [part.area for part in drawn.order.parts if part.face.owner == "floor"]
    )
    for words in ("Garage door", "Side door"):
        assert texts[words].ink == "picture-way"
    u, v = texts["Garage door"].at
    half = width_of("Garage door", letter) / 2
    assert not floor.intersects(shapely.box(u - half, v - letter * 0.7, u + half, v))
    # the red words lie on nothing that is red, and their leader ends on it
    (loud,) = [one for one in texts.values() if one.ink == "picture-loud"]
    red = shapely.union_all(
        [part.area for part in drawn.order.parts if part.face.ink == "picture-too-high"]
    )
    half = width_of(loud.words, letter, bold=True) / 2
    u, v = loud.at
    assert not red.intersects(shapely.box(u - half, v - letter * 0.7, u + half, v))
    (leader,) = [one for one in leaders if one.ink == "picture-leader-loud"]
    assert red.buffer(1).covers(shapely.Point(leader.end))
    # a person is told on the body, not by what is held
    body = shapely.union_all(
        [
            part.area
            for part in drawn.order.parts
            if part.face.owner == "person-b" and part.face.ink == "picture-person"
        ]
    )
    u, v = texts["B"].at
    assert body.covers(shapely.Point(u, v - letter * 0.35))
