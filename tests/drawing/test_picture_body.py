"""People in the picture: turned to their kit, with thickness, behind and before what they are.

Rays are cast here through balls along the limbs and through the prisms of the kit, in mm of the
room, with a view worked out from the definition of an orthographic projection (ISO 5456-3).
"""

import math
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from app.drawing.body import Joints
from app.drawing.picture_body import frame_of, seen_body
from app.drawing.picture_order import compared
from app.drawing.picture_person import alike, chests_of, figure_faces
from app.drawing.picture_room import Figure, figures_of, followed, kit_faces
from app.drawing.picture_view import DOWN_DEG, TURN_DEG, View
from app.drawing.round_body import hand_of, round_body
from app.drawing.section import given_of
from app.drawing.section_pose import stance
from app.file_commands.plan_file import read
from app.model.kit import Pose
from app.scene.build import Scene, build_scene

Floats = NDArray[np.float64]
Axes = tuple[Floats, Floats, Floats]
"""Right and down on the paper, and towards the eye, as directions of the room."""
SAMPLES = ("basement", "double-garage", "single-garage", "upstairs-room")
RAYS = 2_500
"""For each of the samples: 10,000 in all."""
ROUND = frozenset({"plate", "wheel"})
"""Parts that are drawn as discs: they are no prisms."""
THICK_MM = 160.0
"""A limb is drawn as near as its middle: what is nearer to it than half a trunk is not asked."""


def scene_of(name: str) -> Scene:
    return build_scene(read(Path("sample_rooms") / f"{name}.json"))


def stood(scene: Scene, figure: Figure, to: tuple[float, float]) -> Figure:
    """Somebody after their kit was pushed elsewhere."""
    placed = figure.bay.placed
    assert placed is not None
    pose = placed.pose
    there = Pose.within(pose.x_mm + to[0], pose.y_mm + to[1], pose.angle_deg)
    return followed(figure, scene.moved({placed.piece.id: there}))


def doing(scene: Scene, movement: str) -> Figure:
    return next(one for one in figures_of(scene) if one.bay.movement.key == movement)


def in_room(figure: Figure, at: tuple[float, float, float]) -> Floats:
    there: Floats = np.array(at) @ frame_of(figure.bay.facing) + np.array([*figure.bay.at, 0.0])
    return there


def joints_of(scene: Scene, figure: Figure) -> Joints:
    return stance(figure.bay.movement.key, given_of(scene, figure.bay)).joints


def part_of(scene: Scene, figure: Figure, part: str) -> Floats:
    """The middle of a part of the kit that somebody is at."""
    placed = figure.bay.placed
    assert placed is not None
    pairs = zip(placed.polygons(), placed.shape.parts, strict=True)
    return np.array(next(one.centroid.coords[0] for one, name in pairs if name == part))


@pytest.mark.parametrize(("sample", "movement", "part"), [
    ("basement", "run", "console"), ("basement", "cable-pull", "wheel"),
])  # fmt: skip
@pytest.mark.parametrize("turn_deg", [0.0, 90.0, 137.0])
def test_a_person_looks_at_their_kit_however_it_is_turned(
    sample: str, movement: str, part: str, turn_deg: float
) -> None:
    """A runner looks along the belt at the console, whoever pulls a cable at its wheel."""
    before = scene_of(sample)
    placed = doing(before, movement).bay.placed
    assert placed is not None
    pose = placed.pose
    there = Pose.within(pose.x_mm, pose.y_mm, (pose.angle_deg + turn_deg) % 360)
    scene = before.moved({placed.piece.id: there})
    figure = followed(doing(before, movement), scene)
    body = round_body(joints_of(scene, figure), grips=False)
    gaze = (in_room(figure, body.face.at) - in_room(figure, body.head))[:2]
    way = part_of(scene, figure, part) - np.array(figure.bay.at)
    cos = gaze @ way / np.linalg.norm(gaze) / np.linalg.norm(way)
    assert cos > math.cos(math.radians(15))
    # the toes go the same way, and the hands are between the body and the kit
    right = frame_of(figure.bay.facing)[1]
    hands = [in_room(figure, hand_of(joints_of(scene, figure), side, False)) for side in (-1, 1)]
    # to the right of who looks along x is along y: plan y runs down the paper
    assert (hands[1] - hands[0]) @ right > 0
    if movement == "cable-pull":
        assert all((hand[:2] - np.array(figure.bay.at)) @ way > 0 for hand in hands)


@pytest.mark.parametrize("name", SAMPLES)
def test_nobody_is_a_sliver_from_any_corner(name: str) -> None:
    """A chest is about 0.14 of the stature deep, shoulders 0.26 wide (from memory: survey tables,
    and 0.259 in Drillis and Contini 1966): so wide a trunk is at least from wherever it is seen.
    """
    scene = scene_of(name)
    for figure in figures_of(scene):
        joints = joints_of(scene, figure)
        for corner in range(4):
            view = View(corner)
            body = seen_body(joints, True, figure.bay.facing, view)
            whole = shapely.union_all([one.area.buffer(1) for one in body])
            (u, v) = np.subtract(chests_of(scene, figure, view)[0], view.flat(
                np.array([*figure.bay.at, 0.0])))  # fmt: skip
            across = whole.intersection(shapely.LineString([(u - 2000, v), (u + 2000, v)]))
            widest = max(one.length for one in shapely.get_parts(across))
            assert 0.14 <= widest / joints.stature_mm <= 0.42, (figure.name, corner)


def test_a_body_is_as_high_as_its_joints_say() -> None:
    """The crown of somebody who stands is at their stature, drawn in the share of heights."""
    scene = scene_of("double-garage")
    stands = doing(scene, "step-up")
    joints = joints_of(scene, stands)
    for corner in range(4):
        view = View(corner)
        body = seen_body(joints, False, stands.bay.facing, view)
        top = min(shapely.bounds(one.area)[1] for one in body)
        crown = view.flat(np.array([0.0, 0.0, stands.bay.demand.least_mm]))[1]
        # the head is a little ahead of the middle, at most 0.03 of the stature
        assert top == pytest.approx(crown, abs=0.03 * joints.stature_mm)


def test_a_body_is_drawn_once() -> None:
    """Its parts cover one another nowhere: what is hidden of a limb is cut away.

    By less than 5 mm by 5 mm, that is 0.2 mm of the paper at 1:25 each way: corners are rounded.
    """
    scene = scene_of("basement")
    for figure in figures_of(scene):
        for corner in range(4):
            body = seen_body(joints_of(scene, figure), False, figure.bay.facing, View(corner))
            areas = np.array([one.area for one in body], dtype=object)
            assert shapely.is_valid(areas).all()
            one, other = np.triu_indices(len(areas), 1)
            assert shapely.area(shapely.intersection(areas[one], areas[other])).max() < 25.0


def test_the_bar_is_in_the_hands() -> None:
    scene = scene_of("double-garage")
    press = doing(scene, "standing-press")
    joints = joints_of(scene, press)
    for corner in range(4):
        view = View(corner)
        faces = list(figure_faces(scene, press, view))
        dark = shapely.union_all([one.flat for one in faces if "person" not in one.ink])
        for side in (-1, 1):
            at = view.flat(in_room(press, hand_of(joints, side, True)))
            assert dark.distance(shapely.Point(at)) < 20
    # as far apart as on a bar: between the shoulders (0.26 of the stature) and the plates
    assert press.bay.held is not None
    left, right = (hand_of(joints, side, True)[1] for side in (-1, 1))
    assert 0.26 * joints.stature_mm <= right - left <= 2 * press.bay.held.collar_mm


def test_who_walks_along_with_their_kit_is_drawn_anew_only_where_something_changes() -> None:
    """Under a level ceiling a push changes nothing; on a slope it is another picture."""
    flat, lean = scene_of("basement"), scene_of("upstairs-room")
    runs, steps = doing(flat, "run"), doing(lean, "step-up")
    assert alike(runs, stood(flat, runs, (150.0, 0.0)))
    # the rafters rise to the right of the step, towards the room: there it is higher
    assert not alike(steps, stood(lean, steps, (0.0, 200.0)))


@pytest.mark.parametrize("name", SAMPLES)
def test_rays_meet_a_body_before_or_behind_kit_as_it_is_drawn(name: str) -> None:
    scene = scene_of(name)
    figures = figures_of(scene)
    asked = 0
    for corner in (0, 1, 2, 3):
        view = View(corner)
        turn, down = math.radians(TURN_DEG + 90 * corner), math.radians(DOWN_DEG)
        right = np.array([math.cos(turn), math.sin(turn), 0.0])
        eye = np.array([-math.sin(turn) * math.cos(down), math.cos(turn) * math.cos(down),
                        math.sin(down)])  # fmt: skip
        below = np.cross(eye, right)
        for figure in figures:
            faces = [f for f in figure_faces(scene, figure, view) if "person" in f.ink
                     or f.ink == "picture-too-high"]  # fmt: skip
            faces = [f for f in faces if f.body is not None]
            kit = [f for p in scene.order if p.kit.bar is None and not ROUND & set(p.shape.parts)
                   and len(p.shape.parts) and not figure.uses_instead(p)
                   for f in kit_faces(scene, p, view, [])]  # fmt: skip
            order = compared([*kit, *faces]).ordered
            areas = np.array([part.area for part in order], dtype=object)
            x0, y0, x1, y1 = shapely.total_bounds([f.flat for f in faces])
            draw = np.random.default_rng(5 + corner)
            count = RAYS // 4 // len(figures)
            u, v = draw.uniform(x0, x1, count), draw.uniform(y0, y1, count)
            body = _ball_depths(scene, figure, u, v, (right, below, eye))
            box = _prism_depths(scene, figure, u, v, (right, below, eye))
            last = np.full(count, -1)
            of, by = shapely.STRtree(areas).query(shapely.points(u, v), predicate="within")
            np.maximum.at(last, of, by)
            for i in np.flatnonzero(np.isfinite(body) & np.isfinite(box)).tolist():
                if abs(body[i] - box[i]) > THICK_MM and last[i] >= 0:
                    there = order[int(last[i])].face.owner.startswith("person-")
                    inside = any(shapely.contains_xy(f.flat, u[i], v[i]) for f in faces)
                    if inside:
                        asked += 1
                        assert there == (body[i] > box[i]), (corner, u[i], v[i], body[i], box[i])
    # rays that meet both, one well before the other
    assert asked > 100


def _ball_depths(scene: Scene, figure: Figure, u: Floats, v: Floats, axes: Axes) -> Floats:
    """How near each ray first meets a ball along a limb; minus infinity for none."""
    right, below, eye = axes
    grips = figure.bay.movement.key in ("standing-press", "squat")
    best = np.full(len(u), -np.inf)
    for limb in round_body(joints_of(scene, figure), grips).limbs:
        for hull in limb.hulls:
            for a, b in ((a, b) for a in hull for b in hull):
                for share in np.linspace(0, 1, 12):
                    x, y, z = (np.array(a.at) * (1 - share) + np.array(b.at) * share).tolist()
                    at = in_room(figure, (x, y, z))
                    radius = a.radius_mm * (1 - share) + b.radius_mm * share
                    off = (u - at @ right) ** 2 + (v - at @ below) ** 2
                    hit = off < radius**2
                    near = at @ eye + np.sqrt(np.maximum(radius**2 - off, 0))
                    best = np.where(hit & (near > best), near, best)
    return best


def _prism_depths(scene: Scene, figure: Figure, u: Floats, v: Floats, axes: Axes) -> Floats:
    """How near each ray first meets a prism of the kit."""
    right, below, eye = axes
    start = np.outer(u, right) + np.outer(v, below)
    best = np.full(len(u), -np.inf)
    for placed in scene.order:
        if placed.kit.bar is not None or ROUND & set(placed.shape.parts):
            continue
        if figure.uses_instead(placed):
            continue
        lift = placed.lift_mm + placed.rest_mm[0]
        for polygon, low, high in zip(
            placed.polygons(), placed.shape.low_mm, placed.shape.high_mm, strict=True
        ):
            z0, z1 = low + lift, high + lift
            t = (z1 - start[:, 2]) / eye[2]
            at = start + t[:, None] * eye
            hit = shapely.contains_xy(polygon, at[:, 0], at[:, 1])
            best = np.where(hit & (t > best), t, best)
            ring = np.array(polygon.exterior.coords)
            for a, b in pairwise(ring):
                d = b - a
                square = np.array([d[1], -d[0]])
                if abs(square @ eye[:2]) < 1e-12:
                    continue
                t = ((a - start[:, :2]) @ square) / (square @ eye[:2])
                at = start + t[:, None] * eye
                along = ((at[:, :2] - a) @ d) / (d @ d)
                hit = (along >= 0) & (along <= 1) & (at[:, 2] >= z0) & (at[:, 2] <= z1)
                best = np.where(hit & (t > best), t, best)
    return best
