"""What belongs to a station and is not seated there: a bar off its hooks, a bench beside its rack.

A station moves as one, so no place of it would mend that. Whoever arranges a room lifts the bar on
to its hooks first; so does the search, and the station counts as moved.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from app.arrange.better import burden
from app.arrange.joining import ways_in
from app.checks.bars import rest_pose
from app.checks.run import run
from app.checks.snag import Snag
from app.model.kit import Pose
from app.scene.build import Placed, Scene

HOOKS = "hooks"
"""What a bar lacks that nothing holds."""


def seats(
    scene: Scene, verdict: Sequence[Snag], roots: Iterable[str], most: int | None = None
) -> dict[str, Pose]:
    """Return where the pieces go that are not seated in some stations, of so many at most.

    Of the hooks or places of its carrier each goes where the judge finds least, the nearest of
    equals; a bar that nothing takes stays as it is. A bench that only stands beside its rack, where
    the judge has nothing against it, is left there where moves are counted.
    """
    found: dict[str, Pose] = {}
    seated = 0
    for root in roots:
        if most is not None and seated == most:
            break
        here: dict[str, Pose] = {}
        for placed in _unseated(scene, verdict, root, beside=most is None):
            pose = _seat(scene.moved({**found, **here}), placed)
            if pose is not None:
                here[placed.piece.id] = pose
        found |= here
        seated += bool(here)
    return found


def unheld(scene: Scene, snag: Snag) -> bool:
    """Return whether a finding is of a bar that belongs to nothing with hooks."""
    if snag.lacks != HOOKS:
        return False
    host = scene.placed.get(scene.placed[snag.pieces[0]].piece.carried_by or "")
    return host is None or not host.kit.rests


def _unseated(
    scene: Scene, verdict: Sequence[Snag], root: str, *, beside: bool
) -> Iterator[Placed]:
    """Yield what is not seated in a station, bars first: what else is there lies under them."""
    members = scene.stations[root]
    own = {placed.piece.id for placed in members}
    faults = [
        snag
        for snag in verdict
        if snag.severity == "stop" and snag.pieces and own.issuperset(snag.pieces)
    ]
    for placed in sorted(members, key=lambda one: (one.kit.bar is None, one.piece.id)):
        host = scene.placed.get(placed.piece.carried_by or "")
        if host is None or placed.piece.id == root:
            continue
        if placed.kit.bar is not None:
            wrong = any(s.lacks == HOOKS and s.pieces[0] == placed.piece.id for s in faults)
        else:
            wrong = any(len(s.pieces) > 1 and placed.piece.id in s.pieces for s in faults)
            wrong = wrong or (beside and _stands_beside(scene, placed, host))
        if wrong:
            yield placed


def _stands_beside(scene: Scene, placed: Placed, host: Placed) -> bool:
    """Return whether a piece stands wholly beside where it is used in its rack."""
    places = ways_in(host, placed.kit)
    there = (scene.moved({placed.piece.id: pose}).placed[placed.piece.id] for pose in places)
    return bool(places) and not any(one.footprint.intersects(placed.footprint) for one in there)


def _seat(scene: Scene, placed: Placed) -> Pose | None:
    host = scene.placed[placed.piece.carried_by or ""]
    poses = ways_in(host, placed.kit)
    if not poses and placed.kit.bar is not None:
        there = (rest_pose(host, rest) for rest in host.kit.rests)
        poses = tuple(Pose(x_mm=x, y_mm=y, angle_deg=angle) for x, y, angle in there)

    def rank(pose: Pose) -> tuple[int, float, float]:
        verdict = run(scene.moved({placed.piece.id: pose}), full=False)
        return *burden(verdict), math.dist((pose.x_mm, pose.y_mm), placed.at)

    return min(poses, key=rank, default=None) if len(poses) != 1 else poses[0]
