"""What else there is where somebody is to do without a movement: another place, or another want.

Under a slope no single move may help, for other things stand where the roof is high. That a person
does without a movement, or does another, is offered then beside where it would pass. And where a
higher rack would do for it and take away another wish, the lifter chooses between the two.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import islice

from shapely import LineString

from app.arrange.better import NOTHING, place_of, weight_of
from app.arrange.effort import FULL, MESH_MM, work_of
from app.arrange.moves import Mover
from app.arrange.proposed import proposed
from app.arrange.sizes import for_headroom
from app.arrange.swaps import Proposal, taller_racks
from app.checks.behind import wall_name
from app.checks.headroom import person_name
from app.checks.run import run
from app.checks.snag import Snag
from app.errors import ElbowroomError
from app.library.movements import movements
from app.placing.core import Core
from app.scene.build import Scene
from app.scene.standing_room import highest_over_square_mm
from app.wording import in_a_row, lower

RACKS_AT_MOST = 4
"""Higher racks that are looked at: there are about as many, each at two heights of its bar."""
_OF_A_WANT = ("height", "catches")
"""What a movement lacks that somebody may do without: room over the head, catches to do it in."""


def or_elsewhere(mover: Mover, snag: Snag) -> str:
    """Say by which wall a movement passes that is too low here, as the end of another sentence.

    Nothing on the open floor, where it passes at no place that the station has beside what stays,
    or where all of the room is as low.
    """
    if not snag.pieces:
        return ""
    scene, root = mover.scene, snag.pieces[0]
    required = math.inf if snag.required is None else snag.required
    if not mover.may_move(root) or highest_over_square_mm(scene.room, MESH_MM) < required:
        return ""
    core = Core.of(scene)
    for turn in core.turns(root):
        region = core.alone(root, turn)
        if region.is_empty:
            continue
        at = region.representative_point()
        wall = min(scene.room.walls, key=lambda one: at.distance(LineString([one.start, one.end])))
        name = lower(movements()[snag.movement or ""].name)
        return f"; or make room by {wall_name(scene, wall)}, where {name} passes"
    return ""


def or_another_want(mover: Mover, snag: Snag) -> str:
    """Say with which rack or bar a movement passes, and what is done without, to end a sentence.

    Nothing on the open floor, where there is no such rack, or where it makes any stop besides.
    """
    if not snag.pieces:
        return ""
    scene, trials = mover.scene, mover.trials
    for sentence, command in islice(_for_it_alone(scene, snag), RACKS_AT_MOST):
        try:
            changed = proposed(scene, command)
        except ElbowroomError:
            continue
        if not mover.budget.allows(work_of(changed, FULL)):
            return ""
        after = run(changed, weighed=True)
        stops = [one for one in after if one.severity == "stop"]
        if any(trials.kind(one) == trials.kind(snag) for one in stops):
            continue
        new = [
            one
            for one in stops
            if weight_of(one).exceeds(trials.was.get(place_of(one, trials.stations), NOTHING))
        ]
        if new and all(one.lacks in _OF_A_WANT and one.movement for one in new):
            lost = dict.fromkeys(lower(movements()[one.movement or ""].name) for one in new)
            others = {one.person for one in new} - {snag.person}
            who = [
                person_name(person, scene.plan.units)
                for person in scene.plan.people
                if person.id in others
            ]
            does = f"{in_a_row(who)} {'do' if who[1:] else 'does'}" if who else "do"
            taken = lower(sentence.removesuffix("."))
            return f"; or {taken}, and {does} without {in_a_row(list(lost))}"
    return ""


def _for_it_alone(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield what serves one movement at the cost of another: a higher rack, a bar set lower."""
    yield from taller_racks(scene, snag)
    if snag.movement == "pull-up":
        yield from for_headroom(scene, snag)
