"""Rooms with a layout hidden in them: the kit was placed first, then thrown together."""

from random import Random

from app.arranging.shares import spread
from app.checks.run import run
from app.model.kit import Piece
from app.model.plan import Plan
from app.placing.core import Core
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place

KIT = (
    "flat-bench",
    "adjustable-dumbbells",
    "plate-tree",
    "kettlebell-shelf",
    "bike",
    "rower",
    "mat-space",
    "jump-box",
    "running-machine",
    "heater",
    "fan",
    "standing-bag",
)


def hidden_room(seed: int) -> Plan:
    """A room in which all its kit can stand without a stop; it stands in a heap in one corner."""
    rng = Random(seed)
    while True:
        width, depth = rng.randrange(3000, 6001, 100), rng.randrange(3000, 6001, 100)
        kinds = rng.sample(KIT, rng.randint(3, 7))
        heap = [place(kind, 900, 900) for kind in kinds]
        room = make_room(width, depth, 2600)
        plan = make_plan(*heap, room=room, people=(make_person(1750),))
        if _can_stand(plan, rng):
            return plan


def _can_stand(plan: Plan, rng: Random) -> bool:
    """Whether every piece finds a place, drawn by chance, and the judge finds no stop then."""
    scene = build_scene(plan)
    core = Core.of(scene)
    layout = core.layout()
    for root in core.free:
        turn = rng.choice(core.turns(root))
        points = spread(scene, 400)
        free = points[core.admits(root, turn, points, layout)]
        if not len(free):
            return False
        x, y = free[rng.randrange(len(free))]
        layout = layout.put(root, turn, (float(x), float(y)))
    scene = scene.moved(layout.poses(core.free))
    return not any(snag.severity == "stop" for snag in run(scene))


def boxes(sizes: list[tuple[float, float]], width: float, depth: float) -> Plan:
    """Plain boxes of some sizes in a bare room of just some size, all in a heap."""
    pieces: list[Piece] = [
        place(
            "other-thing", width / 2, depth / 2, piece_id=f"box-{i}", width=w, depth=d, height=500
        )
        for i, (w, d) in enumerate(sizes)
    ]
    return make_plan(*pieces, room=make_room(width, depth, 2600))
