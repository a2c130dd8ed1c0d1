"""Plans for tests: everything has a default, so a test names only what it is about."""

import math
from collections.abc import Iterable, Sequence

from app.checks.run import run
from app.checks.snag import Snag
from app.model.kit import Piece, Pose
from app.model.people import Person, Wish, WishWord
from app.model.plan import Plan
from app.model.room import (
    Ceiling,
    Column,
    Covering,
    Floor,
    Joists,
    LowThing,
    Opening,
    Plane,
    Room,
    Wall,
)
from app.scene.build import build_scene
from tests.agreed_fields import as_agreed

Corner = tuple[float, float]
SIDES = ("back", "right", "front", "left")


def rectangle(x0: float, y0: float, x1: float, y1: float) -> tuple[Corner, ...]:
    """Four corners, clockwise as drawn from the least x and y."""
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def two_slopes(width: float, depth: float, eaves: float, rise: float) -> tuple[Plane, Plane]:
    """Two slopes with a ridge along the middle, `rise` mm up on each metre from the eaves."""
    middle = width / 2
    outlines = rectangle(0, 0, middle, depth), rectangle(middle, 0, width, depth)
    ridge = eaves + rise * middle / 1000
    return (
        Plane(id="left", height_mm=eaves, rise_x=rise, outline=outlines[0]),
        Plane(id="right", height_mm=ridge, at=(middle, 0), rise_x=-rise, outline=outlines[1]),
    )


def make_room(
    width: float = 5000,
    depth: float = 5000,
    height: float = 2600,
    *,
    corners: Sequence[Corner] | None = None,
    covering: float = 0,
    openings: Sequence[Opening] = (),
    joists: Joists | None = None,
    low_things: Sequence[LowThing] = (),
    columns: Sequence[Column] = (),
    planes: Sequence[Plane] = (),
    lining: float = 0,
) -> Room:
    """A room with its back left corner at (0, 0), or one with the corners given, in mm.

    The walls of four corners are called back, right, front and left, those of more w1, w2 ...
    """
    points = tuple(corners or rectangle(0, 0, width, depth))
    names = SIDES if len(points) == 4 else [f"w{i + 1}" for i in range(len(points))]
    return Room(
        walls=tuple(
            Wall(id=name, x_mm=x, y_mm=y, lining_mm=lining)
            for name, (x, y) in zip(names, points, strict=True)
        ),
        openings=tuple(openings),
        floor=Floor(
            covering=Covering(material="rubber" if covering else "bare", thickness_mm=covering)
        ),
        ceiling=Ceiling(
            planes=tuple(planes) or (Plane(id="ceiling", height_mm=height),), joists=joists
        ),
        low_things=tuple(low_things),
        columns=tuple(columns),
    )


def low_thing(corners: Sequence[Corner], bottom: float, thing_id: str = "beam") -> LowThing:
    """A beam over the corners given, its underside at `bottom` mm."""
    return LowThing(id=thing_id, kind="beam", outline=tuple(corners), bottom_mm=bottom)


def column(corners: Sequence[Corner], thing_id: str = "column") -> Column:
    """A column with the corners given."""
    return Column(id=thing_id, outline=tuple(corners))


def make_person(
    stature: float = 1750,
    *,
    person_id: str = "one",
    reach: float | None = None,
    alone: bool = True,
    want: Iterable[str] = (),
    nice: Iterable[str] = (),
    no: Iterable[str] = (),
) -> Person:
    """A person; what is not named among the wishes counts as nice."""
    said: list[tuple[str, WishWord]] = [
        *((m, "want") for m in want),
        *((m, "nice") for m in nice),
        *((m, "no") for m in no),
    ]
    return Person(
        id=person_id,
        stature_mm=stature,
        reach_mm=reach,
        trains_alone=alone,
        wishes=tuple(Wish(movement=m, wish=w) for m, w in said),
    )


def place(
    kit: str = "plate-tree",
    x: float = 2500,
    y: float = 2500,
    angle: float = 0,
    *,
    piece_id: str = "",
    width: float | None = None,
    depth: float | None = None,
    height: float | None = None,
    carried_by: str | None = None,
    on_floor: bool = False,
    plate: float | None = None,
    deck: float | None = None,
    grade: float | None = None,
    stays: bool = False,
    bolted: bool = False,
    label: str = "",
) -> Piece:
    """A piece with its middle at (x, y), by default called after its kit type."""
    return Piece(
        id=piece_id or kit,
        type=kit,
        pose=Pose(x_mm=x, y_mm=y, angle_deg=angle),
        width_mm=width,
        depth_mm=depth,
        height_mm=height,
        carried_by=carried_by,
        on_floor=on_floor,
        plate_mm=plate,
        deck_mm=deck,
        grade_percent=grade,
        stays=stays,
        bolted=bolted,
        label=label,
    )


def make_plan(
    *pieces: Piece,
    room: Room | None = None,
    people: Sequence[Person] = (),
    name: str = "Test room",
) -> Plan:
    """A plan of these pieces, in a plain room unless one is given."""
    return Plan(name=name, room=room or make_room(), people=tuple(people), pieces=pieces)


def turned_point(point: Corner, angle: float, shift: Corner = (0, 0)) -> Corner:
    """A point turned about the origin, clockwise as drawn, then shifted."""
    a = math.radians(angle)
    x = point[0] * math.cos(a) - point[1] * math.sin(a)
    y = point[0] * math.sin(a) + point[1] * math.cos(a)
    return x + shift[0], y + shift[1]


def turned_pose(pose: Pose, angle: float, shift: Corner = (0, 0)) -> Pose:
    """A pose carried along when everything is turned about the origin and shifted."""
    x, y = turned_point((pose.x_mm, pose.y_mm), angle, shift)
    return Pose(x_mm=x, y_mm=y, angle_deg=pose.angle_deg + angle)


def turned_plan(plan: Plan, angle: float, shift: Corner = (0, 0)) -> Plan:
    """The same plan, room and all, turned about the origin and shifted."""

    def ring(points: Iterable[Corner]) -> tuple[Corner, ...]:
        return tuple(turned_point(p, angle, shift) for p in points)

    def plane(old: Plane) -> Plane:
        rise = turned_point((old.rise_x, old.rise_y), angle)
        return Plane(
            id=old.id,
            height_mm=old.height_mm,
            at=turned_point(old.at, angle, shift),
            rise_x=rise[0],
            rise_y=rise[1],
            outline=ring(old.outline),
        )

    room = plan.room
    joists = room.ceiling.joists
    if joists is not None:
        joists = Joists(
            direction_deg=joists.direction_deg + angle,
            spacing_mm=joists.spacing_mm,
            width_mm=joists.width_mm,
            depth_mm=joists.depth_mm,
            first_mm=joists.first_mm,
        )
    walls = tuple(
        Wall(
            id=wall.id,
            x_mm=x,
            y_mm=y,
            thickness_mm=wall.thickness_mm,
            construction=wall.construction,
            finish=wall.finish,
            lining_mm=wall.lining_mm,
            tanked=wall.tanked,
        )
        for wall, (x, y) in zip(room.walls, ring(room.corners), strict=True)
    )
    turned = Room(
        walls=walls,
        openings=room.openings,
        floor=Floor(
            construction=room.floor.construction,
            covering=room.floor.covering,
            planes=tuple(plane(p) for p in room.floor.planes),
        ),
        ceiling=Ceiling(
            construction=room.ceiling.construction,
            planes=tuple(plane(p) for p in room.ceiling.planes),
            joists=joists,
        ),
        low_things=tuple(
            LowThing(
                id=t.id, kind=t.kind, outline=ring(t.outline), bottom_mm=t.bottom_mm, label=t.label
            )
            for t in room.low_things
        ),
        columns=tuple(
            Column(id=c.id, outline=ring(c.outline), label=c.label) for c in room.columns
        ),
        sockets=room.sockets,
    )
    poses = {p.id: turned_pose(p.pose, angle, shift) for p in plan.pieces}
    return with_poses(plan, poses, turned)


def with_poses(plan: Plan, poses: dict[str, Pose], room: Room | None = None) -> Plan:
    """The same plan with some pieces at other poses, and in another room if one is given."""
    data = plan.model_dump()
    for piece in data["pieces"]:
        if piece["id"] in poses:
            piece["pose"] = poses[piece["id"]].model_dump()
    if room is not None:
        data["room"] = room.model_dump()
    return Plan.model_validate(data)


def judge(plan: Plan) -> tuple[Snag, ...]:
    """What the judge finds in a plan built from nothing, each snag as agreed of its code."""
    snags = run(build_scene(plan))
    as_agreed(plan, snags)
    return snags


def found(plan: Plan, code: str) -> list[Snag]:
    """The snags of one code; `code` may be its beginning."""
    return [snag for snag in judge(plan) if snag.code.startswith(code)]


def severities(plan: Plan, code: str) -> list[str]:
    """The severities of the snags of one code, worst first."""
    return [snag.severity for snag in found(plan, code)]
