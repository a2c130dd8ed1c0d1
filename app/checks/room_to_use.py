"""Working spaces: anything solid in the room that a piece needs while it is used."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from app.checks.bare_walls import near_a_bare_wall
from app.checks.crowding import (
    OWNERS_AT_A_TIME,
    PAIRS_AT_MOST,
    ROWS_AT_LEAST,
    ROWS_AT_MOST,
    deepest,
    not_looked_at,
)
from app.checks.either_side import no_high_side_free, no_side_free
from app.checks.hangers import hung_solids
from app.checks.heads_before import before_racks, over_shoulders
from app.checks.in_rows import in_rows
from app.checks.lanes import EASY, FLANK, Lane, beside_it, in_lanes
from app.checks.layers import is_floor, layers
from app.checks.low_sides import sides_too_low
from app.checks.next_told import next_in_rings, next_past_flanks, told_once
from app.checks.pair_figures import Half, pair_figures
from app.checks.sleeves import lows_with_plates
from app.checks.snag import SEVERITIES, Severity, Snag, agreeing, space_sources, width_sources
from app.checks.space_depths import ACROSS, COLUMNS, figures_of
from app.scene.build import Scene
from app.scene.routes import head_mm
from app.scene.tolerance import TOLERANCE_MM, falls_short, heights_meet
from app.wording import lower, phrase

Numbers = NDArray[np.intp]
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

IN_ONE_SPACE_AT_MOST = 64
"""Solids that are measured in one space: several times those of the pieces that have room about
one."""
AREA_DECIMALS = -2
"""To a square centimetre: far above what rounding does, far below what tells two kinds apart."""
DEPTH_DECIMALS = 1
"""What is nearer by less than a tenth of a millimetre is nearer by rounding."""


@dataclass(frozen=True, slots=True, eq=False)
class _Kinds:
    """What the spaces of a plan are, wherever they lie: for each whether it is one.

    `in_turn` are the numbers of those that are judged, what may be a stop before what is at most
    a care.
    """

    in_turn: Numbers
    floor: Bools
    ring: Bools
    bare: Bools
    fall_off: Bools
    before_rack: Bools


def _kinds(scene: Scene) -> _Kinds:
    rows = [shape.space for shape in scene.spaces.shapes]
    wanted = np.flatnonzero(scene.memo(("spaces wanted",), lambda: spaces_judged(scene)))
    access = np.array([rows[n].kind == "access" for n in wanted], dtype=bool)
    return _Kinds(
        wanted[np.argsort(access, kind="stable")],
        np.array([is_floor(row) for row in rows], dtype=bool),
        np.array([row.side == "ring" for row in rows], dtype=bool),
        np.array([row.bare for row in rows], dtype=bool),
        np.array([row.kind == "fall-off" for row in rows], dtype=bool),
        before_racks(scene),
    )


def room_to_use(scene: Scene) -> Iterator[Snag]:
    """Yield a snag for each working space that something solid reaches into.

    Under the least depth of a body or fall-off space it is a `stop`, under the recommended a
    `care`; in an access space always a `care`. The nearest thing is named.
    """
    spaces = scene.spaces
    kinds = scene.memo(("spaces by kind",), lambda: _kinds(scene))
    wanted = kinds.in_turn
    rows: list[Snag] = []
    parts: list[tuple[Numbers, Floats, Numbers]] = []
    pairs = unseen = short_of = 0
    known, measure = pair_figures(scene, "spaces", COLUMNS), partial(figures_of, scene)
    solids = scene.solids.owner
    for at in range(0, len(wanted), OWNERS_AT_A_TIME):
        some = wanted[at : at + OWNERS_AT_A_TIME]
        if short_of >= (ROWS_AT_LEAST if pairs > PAIRS_AT_MOST else ROWS_AT_MOST):
            unseen += len(wanted) - at
            break
        of, hit, passed_over = _reaching_in(scene, some, kinds)
        unseen += passed_over
        mine = Half(of, spaces.owner[of], len(spaces.owner))
        theirs = Half(hit, solids[hit], len(solids))
        figures = known.measured(scene, at, mine, theirs, measure)
        met = figures[:, 0] > 0
        of, hit, answers = of[met], hit[met], figures[met, 1:]
        pairs += len(of)
        if not len(of):
            continue
        parts.append((of, answers, hit))
        short_of += len(np.unique(of[falls_short(answers[:, 0], spaces.wanted_mm[of])]))
    rows.extend(_rows(scene, parts, kinds.ring))
    if len(rows) > ROWS_AT_MOST:
        unseen += len(rows) - ROWS_AT_MOST
        rows.sort(key=_worst_first)
        del rows[ROWS_AT_MOST:]
    yield from rows
    yield from not_looked_at("room-unseen", "working spaces with much standing in them", unseen)


def _worst_first(snag: Snag) -> tuple[int, float, str]:
    return SEVERITIES.index(snag.severity), snag.measured or 0.0, snag.key


def _reaching_in(scene: Scene, some: Numbers, kinds: _Kinds) -> tuple[Numbers, Numbers, int]:
    """Return pairs of a space and a solid that may be in it, and how many were passed over.

    What belongs together and what passes at another height is no such pair, nor what lies on the
    floor and is stood on, but where that is to be bare.
    """
    spaces, solids = scene.spaces, scene.solids
    near, hit = scene.tree.query(spaces.looked_in[some])
    of = some[near]
    keep = _strangers(scene, spaces.owner[of], solids.owner[hit])
    keep &= ~layers(scene)[solids.owner[hit]] | kinds.bare[of]
    of, hit = of[keep], hit[keep]
    low, high = spaces.low_mm[of], spaces.high_mm[of]
    # what burns hangs on the whole of a sleeve
    lows = np.where(kinds.bare[of], lows_with_plates(scene)[hit], solids.low_mm[hit])
    keep = heights_meet(low, high, lows, solids.high_mm[hit])
    keep &= ~in_rows(scene, spaces.owner[of], solids.owner[hit])
    # a floor of its own that reaches into a wall is outside the room, and said to be that
    walls = solids.owner[hit] - len(scene.order)
    into_wall = (walls >= 0) & (walls < len(scene.room.walls))
    # what hangs over such a floor is judged by who is to move under it
    hung = hung_solids(scene)[hit]
    keep &= ~(kinds.floor[of] & (into_wall | hung))
    # who falls off a belt lands below what hangs higher than the tallest head
    keep &= ~(kinds.fall_off[of] & hung & ~falls_short(solids.low_mm[hit], head_mm(scene)))
    # before a rack what hangs over the shoulders is met by heads alone
    keep &= ~(kinds.before_rack[of] & over_shoulders(scene)[hit])
    of, hit = of[keep], hit[keep]
    passed_over = 0
    if len(of) > IN_ONE_SPACE_AT_MOST and np.bincount(of).max() > IN_ONE_SPACE_AT_MOST:
        # of very many in one space those count whose boxes reach the farthest into its own
        space, solid = shapely.bounds(spaces.cores), shapely.bounds(solids.cores)
        across, along = (
            np.minimum(space[of, axis + 2], solid[hit, axis + 2])
            - np.maximum(space[of, axis], solid[hit, axis])
            for axis in (0, 1)
        )
        deep = np.minimum(across, along)
        # the pairs of a space lie beside one another, as the tree gives them
        ends = np.flatnonzero(np.diff(of)) + 1
        keep = np.concatenate(
            [
                deepest(deep[a:b], hit[a:b], IN_ONE_SPACE_AT_MOST)
                for a, b in pairwise((0, *ends.tolist(), len(of)))
            ]
        )
        passed_over = int((~keep).sum())
        of, hit = of[keep], hit[keep]
    return of, hit, passed_over


def _rows(
    scene: Scene, parts: list[tuple[Numbers, Floats, Numbers]], rings: Bools
) -> Iterator[Snag]:
    """Yield the snag of each space in which something leaves less free than is wanted."""
    spaces, solids = scene.spaces, scene.solids
    if not parts:
        return
    of, answers, hit = (np.concatenate(arrays) for arrays in zip(*parts, strict=True))
    beside, narrowed = in_lanes(scene, of, hit, answers[:, ACROSS:])
    for lane in narrowed:
        yield scene.memo(("narrowed", lane), partial(_narrowed, scene, lane))
    of, answers, hit = of[~beside], answers[~beside], hit[~beside]
    if not len(of):
        return
    measured, nearest = answers[:, 0], answers[:, 2:ACROSS]
    # of several that leave nothing free the largest is named, of alike ones the first: the areas
    # of alike kit differ by rounding, which hangs on how they are turned
    area = answers[:, 1].round(AREA_DECIMALS)
    order = np.lexsort((hit, -area, measured.round(DEPTH_DECIMALS), of))
    starts = order[np.concatenate([[True], np.diff(of[order]) != 0])]
    lacks = falls_short(measured, spaces.wanted_mm[of])
    short, after = starts[lacks[starts]], order[lacks[order]]
    flanking = measured <= TOLERANCE_MM
    flanking &= beside_it(scene, of, answers[:, ACROSS], answers[:, ACROSS + 1])
    beyond = next_past_flanks(of, flanking, after, short)
    beyond, instead = told_once(scene, of, hit, measured, beyond, severity_of)
    short = np.concatenate(
        [short, next_in_rings(scene, of, hit, answers, after, short, rings), beyond]
    )
    choices: dict[int, list[_Key]] = {}
    by_walls: dict[int, list[Snag]] = {}
    spaces_short, others = of[short].tolist(), solids.owner[hit[short]].tolist()
    flanks = flanking[short].tolist()
    for space, other, free, (x, y), flanked in zip(
        spaces_short, others, measured[short].tolist(), nearest[short].tolist(), flanks, strict=True
    ):
        key = space, other, free, x, y, flanked
        if flanked and space in instead and other >= len(scene.order):
            continue
        row, number = spaces.shapes[space].space, int(spaces.owner[space])
        if row.either:
            choices.setdefault(number, []).append(key)
        elif near_a_bare_wall(scene, space, other, free):
            by_walls.setdefault(number, []).append(_snag_of(scene, key))
        else:
            yield _snag_of(scene, key)
    for snags in by_walls.values():
        # one side may be as near as that, the nearer of two: what the other lacks is its own row
        snags.sort(key=lambda snag: (snag.measured or 0.0, snag.key))
        yield from snags[1:]
    for number, taken in choices.items():
        # one free side is enough to get on
        sides = {s.space.side for s in scene.order[number].shape.spaces if s.space.either}
        left = sides - {spaces.shapes[key[0]].space.side for key in taken}
        if not left:
            made = partial(_of_no_side, scene, number, taken)
            yield scene.memo(("no side free", number, *taken), made)
            continue
        low, who = sides_too_low(scene, scene.order[number])
        high = [key for key in taken if spaces.shapes[key[0]].space.side not in low]
        if left <= low and high:
            yield no_high_side_free(_of_no_side(scene, number, high), left, who)


_Key = tuple[int, int, float, float, float, bool]
"""What the row of a space hangs on: its number, whose thing is in it, how much is free before that,
where (x, y), and whether it is beside the piece."""


def _snag_of(scene: Scene, key: _Key) -> Snag:
    return scene.memo(("room", *key), partial(_snag, scene, *key))


def _of_no_side(scene: Scene, number: int, taken: list[_Key]) -> Snag:
    shapes = scene.spaces.shapes
    sides = [(shapes[key[0]].space, _snag_of(scene, key), _named(scene, key[1])) for key in taken]
    return no_side_free(scene.order[number], sides)


def _named(scene: Scene, other: int) -> str:
    """Say what stands in a space: the piece, or the wall or column."""
    if other < len(scene.order):
        return f"the {lower(scene.order[other].name)}"
    return scene.fixed_names[other - len(scene.order)]


def _strangers(scene: Scene, owners: Numbers, others: Numbers) -> NDArray[np.bool_]:
    """Return which solids do not belong to the station of the space."""
    piece = others < len(scene.order)
    mate = np.where(piece, others, owners)
    strangers: NDArray[np.bool_] = ~piece | (scene.roots[owners] != scene.roots[mate])
    return strangers


def spaces_judged(scene: Scene) -> NDArray[np.bool_]:
    """Return which spaces are judged here: not those of a movement that everybody says no to.

    What is before a shut-off is measured by itself.
    """
    people = scene.plan.people

    def refused(movement: str | None) -> bool:
        if movement is None or not people:
            return False
        return all(person.wish_for(movement) == "no" for person in people)

    # a bench in its rack is used from the rack: who sits down steps in from there
    seated = [p.kit.group == "Benches" and p.root != p.piece.id for p in scene.order]
    return np.array(
        [
            not (refused(shape.space.movement) or seated[owner] or shape.space.to_reach)
            for shape, owner in zip(scene.spaces.shapes, scene.spaces.owner, strict=True)
        ],
        dtype=bool,
    )


def severity_of(scene: Scene, number: int, measured: float) -> Severity:
    """Return how grave it is that so much of a space is free.

    What is floor to move on has no least depth, and so no stop.
    """
    space = scene.spaces.shapes[number].space
    short = space.side != "area" and falls_short(measured, space.least_mm)
    return "stop" if space.kind != "access" and short else "care"


def _snag(
    scene: Scene, number: int, other: int, measured: float, x: float, y: float, flanked: bool
) -> Snag:
    space = scene.spaces.shapes[number].space
    owner = scene.order[scene.spaces.owner[number]]
    area = space.side == "area"
    severity = severity_of(scene, number, measured)
    required = space.least_mm if severity == "stop" else space.recommended_mm
    pieces: tuple[str, ...] = (owner.piece.id,)
    name = _named(scene, other)
    if other < len(scene.order):
        pieces += (scene.order[other].piece.id,)
    least = phrase("; {:bare} is the minimum", space.least_mm) if severity == "stop" else ""
    if severity == "stop" and space.least_mm >= space.recommended_mm:
        # a household may set the least to as much as is recommended, or more
        least = ", no less"
    wanted = (space.recommended_mm, least)
    values: tuple[object, ...] = (measured, name, *wanted)
    template = "{:mm} to {}. Allow {:bare}{}."
    if area:
        template = "{} on the floor that it needs free."
        values = (agreeing(_upper(name), "is", "are"),)
    elif measured <= TOLERANCE_MM:
        template = "{} right up against it. Allow {:mm}{}."
        values = (agreeing(_upper(name), "is", "are"), *wanted)
    return Snag(
        code=f"room-{space.key}",
        hangs_on_place=True,
        while_training=True,
        space=space.key,
        severity=severity,
        template=template,
        values=values,
        pieces=pieces,
        names=(owner.name, space.name),
        measured=None if area else round(measured),
        required=None if area else round(required),
        need=None if area else round(space.recommended_mm),
        unit=None if area else "mm",
        where=(x, y),
        source_keys=space_sources(owner.kit, space),
        against=pieces[1] if len(pieces) > 1 else name,
        # what is in an area is not beside it
        flanked=flanked and not area,
        all_round=space.side == "ring",
    )


def _narrowed(scene: Scene, lane: Lane) -> Snag:
    """Return the care for a lane into whose side something reaches, with the width that is left."""
    space = scene.spaces.shapes[lane.space].space
    owner = scene.order[scene.spaces.owner[lane.space]]
    piece = lane.solid < len(scene.order)
    return Snag(
        code=f"room-{space.key}",
        hangs_on_place=True,
        while_training=True,
        space=space.key,
        severity="care",
        template="{:mm} of its width is left beside {}. Allow {:bare}.",
        values=(lane.left_mm, _named(scene, lane.solid), lane.asked_mm),
        pieces=(owner.piece.id, *((scene.order[lane.solid].piece.id,) if piece else ())),
        names=(owner.name, space.name),
        measured=round(lane.left_mm),
        required=round(lane.asked_mm),
        where=lane.at,
        source_keys=(*width_sources(owner.kit, space), EASY, FLANK),
        against=scene.order[lane.solid].piece.id if piece else _named(scene, lane.solid),
        flanked=True,
    )


def _upper(name: str) -> str:
    return name[:1].upper() + name[1:]
