"""Core and judge beside one another, at places of which half lie near a limit."""

from dataclasses import dataclass, field

import numpy as np
import shapely

from app.checks.run import run
from app.placing.core import Core
from app.scene.build import Scene
from tests.placing.by_place import decided_by_place

NEAR_MM = 50
AT_ONCE = 5
FAR_OFF = (-90_000.0, -90_000.0)


@dataclass
class Agreement:
    """How often they agree: places asked, those that the judge admits, and the two ways to err."""

    places: int = 0
    near: int = 0
    judged_free: int = 0
    refused: list[str] = field(default_factory=list)
    admitted: list[str] = field(default_factory=list)

    @property
    def refused_share(self) -> float:
        """Of the places that the judge admits the share that the core refuses."""
        return len(self.refused) / max(self.judged_free, 1)


def compare(scene: Scene, count: int, rng: np.random.Generator, into: Agreement) -> None:
    """Ask both of `count` places of stations in a scene in which no stop is left, one at a time."""
    core = Core.of(scene)
    layout = core.layout(core.free)
    before = {snag.key for snag in run(scene, full=False) if decided_by_place(snag)}
    assert not before, before
    bounds = scene.room.grown.bounds
    for _ in range(count // (2 * AT_ONCE)):
        root = str(rng.choice(core.free))
        turn = float(rng.choice(core.turns(root)))
        if rng.random() < 0.15:
            turn = round(rng.uniform(0, 360), 3)
        points, near = _points(core, root, turn, bounds, rng)
        free = core.admits(root, turn, points, layout)
        into.near += near
        for point, admitted in zip(points.tolist(), free.tolist(), strict=True):
            moved = scene.moved(core.poses(root, turn, (point[0], point[1])))
            stops = [snag for snag in run(moved, full=False) if decided_by_place(snag)]
            into.places += 1
            into.judged_free += not stops
            where = f"{root} at {point}, {turn}"
            if admitted and stops:
                into.admitted.append(f"{where}: {stops[0].sentence}")
            if not admitted and not stops:
                reasons = core.reasons(root, turn, (point[0], point[1]), layout)
                into.refused.append(f"{where}: {reasons}")


def _points(
    core: Core,
    root: str,
    turn: float,
    bounds: tuple[float, float, float, float],
    rng: np.random.Generator,
) -> tuple[np.ndarray, int]:
    """Give places anywhere in the room, and as many within 50 mm of where the free ones end."""
    x0, y0, x1, y1 = bounds
    points = np.column_stack([rng.uniform(x0, x1, AT_ONCE), rng.uniform(y0, y1, AT_ONCE)])
    region = core.free_region(root, turn, core.layout(core.free))
    if region.is_empty:
        return points, 0
    edge = shapely.get_coordinates(shapely.segmentize(region.boundary, 100))
    off = rng.uniform(-NEAR_MM, NEAR_MM, (AT_ONCE, 2)) * rng.choice([0.04, 0.7], (AT_ONCE, 1))
    return np.vstack([points, edge[rng.integers(len(edge), size=AT_ONCE)] + off]), AT_ONCE
