"""The names of a picture: what is named, and the place at which each name hides least."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from app.drawing.lettering import text_boxes, width_of, wrap
from app.drawing.lowest import meets_at
from app.drawing.picture_glass import near_glass
from app.drawing.picture_order import Part
from app.drawing.picture_overhead import overhead_told
from app.drawing.picture_person import chests_of
from app.drawing.picture_room import Figure, person_owner
from app.drawing.picture_shell import mirror_owner
from app.drawing.picture_sight import Bounds, InSight, in_sight, top_at
from app.drawing.picture_view import View
from app.drawing.placing import Crowd, around
from app.drawing.primitives import Group, Item, Line, Text
from app.drawing.too_high import missing_mm, too_high
from app.model.room_check import opening_name
from app.scene.build import Scene
from app.units import format_length

AROUND = 12
"""Directions in which a name is tried round its thing."""
STEPS = (0.6, 1.4, 2.4, 4.0, 6.5)
"""How far out a name is tried, in heights of its lettering beyond the thing."""
LEADER_COST = 0.5
"""What each step out costs against lines that are hidden: a name near its thing is read first."""

NAME_EM, NAME_LINES = 18.0, 2
"""How wide a line of a name may be, in sizes of its lettering, and how many it may have: a longer
name would hide what it names, and is told whole beside the picture."""
_SHORTER = ((NAME_EM, NAME_LINES), (NAME_EM, 1), (NAME_EM / 2, 1), (NAME_EM / 3, 1))
"""How wide and how many lines long names may be, each tried where the one before is crowded."""
MOST_NAMED = 60
"""With more pieces than this only one of each name is lettered, and says how many there are."""

LONG_COST, OVER_COST = 0.12, 2.5
"""What a leader costs for each height of lettering it is long, and for each other thing it runs
over: rather a line is hidden than a name taken for that of its neighbour."""

THROUGH_COST = 3.0
"""What it costs for each name or leader, lettered before, that a leader runs through."""

LOUD = "picture-loud"
NAME = "picture-name"
WAY = "picture-way"
LETTER = "picture-letter"
APART_EM = 0.6
"""How far apart two names stand at the least, in sizes of their lettering: else they are read as
one."""
ON_BODY_SIGNS = 2
"""Longer names do not fit on a body: they stand beside it."""
UPON_COST = 1.0
"""What it costs for each other thing that a name lies upon."""
LOUD_UPON_COST = 4.0
"""The same for what is too high, its own thing included: red on what is red is not read."""
INWARD_COST = 6.0
"""What it costs that the name of a doorway stands in the room: there it is read as kit."""
LEADER_EM = 0.1
"""How far beside a leader no other name may stand, in sizes of its lettering."""
LINE_EM = 1.25
"""From one line of a name to the next, in sizes of its lettering."""

_WAYS = tuple(
    (float(np.cos(turn)), float(np.sin(turn)))
    for turn in np.linspace(0, 2 * np.pi, AROUND, endpoint=False)
)
_THRESHOLD = np.linspace(0.1, 0.9, 9)
"""Where a doorway is looked for, as shares of its width."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Named:
    """A name, and the thing it tells: its bounds, where a leader may end, and where it is seen.

    `away` is the direction on the paper in which it rather stands: out of the room. `tail` is what
    is lettered after the words and never cut short.
    """

    words: str
    ink: str
    bounds: Bounds
    target: BaseGeometry
    whole: BaseGeometry
    away: tuple[float, float] | None = None
    tail: str = ""

    def lines(
        self, letter_mm: float, wide_em: float = NAME_EM, most: int = NAME_LINES
    ) -> tuple[str, ...]:
        """Return it line by line."""
        wide = letter_mm * wide_em
        if not self.tail:
            return wrap(self.words, letter_mm, wide, most, bold=True)
        one = f"{self.words}: {self.tail}"
        if width_of(one, letter_mm, bold=True) <= wide:
            return (one,)
        (head,) = wrap(f"{self.words}:", letter_mm, wide, 1, bold=True)
        return head, self.tail


@dataclass(frozen=True, slots=True)
class Letter:
    """What a person is called, on their chest."""

    words: str
    chest: tuple[float, float]


@dataclass(frozen=True)
class Names:
    """What is lettered in a picture: pieces in their order, then people, then the ways in.

    `strokes` are those that names should not hide.
    """

    named: tuple[Named, ...]
    strokes: Crowd
    letters: tuple[Letter, ...] = ()
    people_seen: float = 1.0
    """How much of the person is seen of whom the least is, 0 to 1."""

    @cached_property
    def _wholes(self) -> NDArray[np.object_]:
        """What is seen of each named thing, by its number among them, as far as points tell."""
        return np.array([one.whole for one in self.named], dtype=object)

    def widest(self, letter_mm: float) -> float:
        """Return how wide the widest line of a name may be at a size of the lettering, in mm."""
        every = (
            width_of(line, letter_mm, bold=True)
            for one in self.named
            for line in ((one.words,) if not one.tail else one.lines(letter_mm))
        )
        return min(max(every, default=0.0), NAME_EM * letter_mm)

    def lettered(self, reach: Bounds, letter_mm: float) -> tuple[Item, ...]:
        """Letter it within a reach, each name as near to its thing as it hides nothing.

        Where names stand in one another those that are long are cut shorter.
        """
        tries: tuple[_Tried, ...] = ()
        items: tuple[Item, ...] = ()
        for wide_em, most in _SHORTER:
            lines = [one.lines(letter_mm, wide_em, most) for one in self.named]
            if tries and all(a.lines == b for a, b in zip(tries, lines, strict=True)):
                continue
            tries = tuple(
                _tried(one, of, reach, letter_mm) for one, of in zip(self.named, lines, strict=True)
            )
            items = self._lettered(tries, letter_mm)
            boxes = np.array(text_boxes(Group(items), letter_mm), dtype=object)
            first, second = shapely.STRtree(boxes).query(boxes, predicate="intersects")
            if len(first) == len(boxes) or bool(np.all(first == second)):
                break
        return items

    def _lettered(self, tries: Sequence[_Tried], letter_mm: float) -> tuple[Item, ...]:
        crowd = self.strokes.copy()
        items: list[Item] = []
        for letter in self.letters:
            (u, v), wide = letter.chest, width_of(letter.words, letter_mm, bold=True)
            crowd.take(around(letter.chest, wide, letter_mm))
            items.append(Text((u, v + letter_mm * 0.35), letter.words, LETTER))
        # what does not fit has the first choice of a place: it is what one looks for
        order = sorted(range(len(self.named)), key=lambda i: self.named[i].ink != LOUD)
        leaders, costs = self._costs(tries, letter_mm)
        for number in order:
            one, tried = self.named[number], tries[number]
            wide, high = tried.size
            cost = costs[number] + THROUGH_COST * crowd.crossed(leaders[number])
            apart = letter_mm * APART_EM
            chosen = crowd.choose(wide + apart, high, tried.places, cost, anywhere=True)
            at = (float(tried.places[chosen, 0]), float(tried.places[chosen, 1]))
            # it ends on the thing, towards its name, a little inside
            (u, v), _ = shapely.get_coordinates(leaders[number][chosen]).tolist()
            tip = (u, v)
            leader = "picture-leader-loud" if one.ink == LOUD else "picture-leader"
            start = _side(at, wide, high, tip)
            items.append(Line(start, tip, leader))
            # names that come later keep off it
            crowd.take(shapely.LineString([start, tip]).buffer(letter_mm * LEADER_EM))
            step = letter_mm * LINE_EM
            first = at[1] + letter_mm * 0.35 - step * (len(tried.lines) - 1) / 2
            items += [
                Text((at[0], first + i * step), line, one.ink) for i, line in enumerate(tried.lines)
            ]
        return tuple(items)

    def _costs(
        self, tries: Sequence[_Tried], letter_mm: float
    ) -> tuple[list[NDArray[np.object_]], list[Floats]]:
        """Return the leader of each place of each name, and what it costs, (n,), by itself.

        A leader is to be short and to run over no other thing: a name that has to be followed over
        something else is taken for that one's. A name upon a thing is read as that one's too, most
        of all where the thing is a plain surface.
        """
        if not tries:
            return [], []
        counts = [len(tried.places) for tried in tries]
        whose = np.repeat(np.arange(len(tries)), counts)
        places = np.concatenate([tried.places for tried in tries])
        half = np.repeat([tried.size for tried in tries], counts, axis=0) / 2
        targets = np.array([one.target for one in self.named], dtype=object)[whose]
        tips = [
            _nearest(one.target, tried.places) for one, tried in zip(self.named, tries, strict=True)
        ]
        ends_of = np.stack([np.concatenate(tips), places], axis=1)
        leaders = np.array(shapely.linestrings(ends_of), dtype=object)
        boxes = np.array(shapely.box(*(places - half).T, *(places + half).T), dtype=object)
        loud = np.array([one.ink == LOUD for one in self.named])[whose]
        costs: Floats = np.concatenate([tried.own for tried in tries])
        costs += shapely.length(leaders) / letter_mm * LONG_COST
        costs += OVER_COST * self._met(leaders, whose)
        costs += np.where(loud, LOUD_UPON_COST, UPON_COST) * self._met(boxes, whose)
        own = np.flatnonzero(loud)
        costs[own[shapely.intersects(boxes[own], targets[own])]] += LOUD_UPON_COST
        ends = np.cumsum(counts)[:-1]
        return np.split(leaders, ends), np.split(costs, ends)

    def _met(self, shapes: NDArray[np.object_], whose: NDArray[np.intp]) -> Floats:
        """Return how many named things each of n shapes meets, (n,), besides the one it is of."""
        # a tree of the many, asked by the few: those are made ready for it
        over, at = shapely.STRtree(shapes).query(self._wholes, predicate="intersects")
        met: Floats = np.bincount(at[over != whose[at]], minlength=len(shapes)).astype(np.float64)
        return met


@dataclass(frozen=True, slots=True)
class _Tried:
    """The lines of a name, how large they are, places for their middle (n, 2) and their cost."""

    lines: tuple[str, ...]
    size: tuple[float, float]
    places: Floats
    own: Floats


def names_of(scene: Scene, view: View, figures: Sequence[Figure], parts: Sequence[Part]) -> Names:
    """Return what is lettered of the parts of a picture, in the order in which it is drawn."""
    doorways = {}
    for opening in scene.room.openings:
        if opening.opening.kind != "window":
            outside = shapely.get_coordinates(opening.hole)[2:4]
            along = outside[0] + np.outer(_THRESHOLD, outside[1] - outside[0])
            doorways[opening.opening.id] = view.flat(np.column_stack([along, 0 * _THRESHOLD]))
    sight = in_sight(parts, doorways)
    several = [sight.by_owner.get(person_owner(figure)) for figure in figures]
    shares = [seen.share if seen is not None else 0.0 for seen in several]
    on_body = {}
    for figure in figures:
        owner = person_owner(figure)
        for chest in chests_of(scene, figure, view) if len(figure.name) <= ON_BODY_SIGNS else ():
            top = top_at(parts, chest)
            if top is not None and top.face.owner == owner:
                on_body[owner] = Letter(figure.name, chest)
                break
    return Names(
        tuple(_named(scene, view, figures, sight, on_body)),
        Crowd(sight.strokes),
        tuple(on_body.values()),
        min(shares, default=1.0),
    )


def _named(
    scene: Scene,
    view: View,
    figures: Sequence[Figure],
    sight: InSight,
    on_body: Mapping[str, Letter],
) -> Iterator[Named]:
    seen, units = sight.by_owner, scene.plan.units
    several = Counter(placed.name for placed in scene.order)
    words: dict[str, tuple[str, str, str]] = {}
    over = too_high(scene)
    for placed in scene.order:
        if placed.piece.id in over and len(over) <= MOST_NAMED:
            missing = format_length(missing_mm(placed, over[placed.piece.id]), units)
            words[placed.piece.id] = placed.name, LOUD, f"{missing} too high"
        elif len(scene.order) <= MOST_NAMED:
            words[placed.piece.id] = placed.name, NAME, ""
        elif several[placed.name] and placed.piece.id in seen:
            count = several.pop(placed.name)
            label = f"{placed.name}, {count} of them" if count > 1 else placed.name
            words[placed.piece.id] = label, NAME, ""
    for column, _ in scene.room.columns:
        words[column.id] = column.label, WAY, ""
    for area in scene.plan.fit_out.mirrors:
        words[mirror_owner(area)] = "Mirror", WAY, ""
    for figure in figures:
        owner = person_owner(figure)
        if figure.too_high_mm:
            missing = format_length(figure.too_high_mm, units)
            # beside whoever has the head free the room is named, not the head
            tail = f"{missing} too high"
            if meets_at(figure.bay) is not None:
                tail = f"ceiling {missing} too low here"
            words[owner] = figure.name, LOUD, tail
        elif owner not in on_body:
            words[owner] = figure.name, NAME, ""
    for owner, (name, ink, tail) in words.items():
        if owner in seen:
            thing = seen[owner]
            yield Named(name, ink, thing.bounds, thing.points, thing.hull, tail=tail)
    for opening in scene.room.openings:
        free = sight.places.get(opening.opening.id, np.empty((0, 2)))
        if len(free):
            # a name is looked for round its middle: a long doorway runs askew over the paper
            u, v = free[len(free) // 2].tolist()
            points = shapely.MultiPoint(free)
            name = opening_name(opening.opening)
            name = name[:1].upper() + name[1:]
            right, down = view.flat(np.array([*opening.inward, 0.0])).tolist()
            yield Named(name, WAY, (u, v, u, v), points, points.convex_hull, (-right, -down))
    for mirror in near_glass(scene, view):
        corners = shapely.MultiPoint(mirror.flat)
        yield Named(mirror.name, WAY, corners.bounds, corners, corners)
    for told in overhead_told(scene, view):
        # round all of it, so that the name stands in the empty paper beside the room
        ends = shapely.MultiPoint(told.points)
        yield Named(told.words, WAY, ends.bounds, ends, ends, tail=told.height)


def name_lines(words: str, letter_mm: float = 1.0) -> tuple[str, ...]:
    """Return the lines of a name in a picture, the last with an ellipsis where it is cut short."""
    return wrap(words, letter_mm, letter_mm * NAME_EM, NAME_LINES, bold=True)


def _tried(one: Named, lines: tuple[str, ...], reach: Bounds, letter_mm: float) -> _Tried:
    """Return the places for the lines of a name round its thing, inside of a reach."""
    left, top, right, foot = reach
    wide = max(width_of(line, letter_mm, bold=True) for line in lines)
    high = letter_mm * LINE_EM * len(lines)
    x0, y0, x1, y1 = one.bounds
    middle, half = ((x0 + x1) / 2, (y0 + y1) / 2), ((x1 - x0) / 2, (y1 - y0) / 2)
    places = np.array(
        [
            (
                middle[0] + cos * (half[0] + wide / 2 + out * letter_mm),
                middle[1] + sin * (half[1] + high / 2 + out * letter_mm),
            )
            for out in STEPS
            for cos, sin in _WAYS
        ]
    )
    low = np.array((left + wide / 2, top + high / 2))
    places = np.clip(places, low, (right - wide / 2, foot - high / 2))
    own = np.repeat(np.array(STEPS) * LEADER_COST, len(_WAYS))
    if one.away is not None:
        own[(places - middle) @ one.away <= 0] += INWARD_COST
    return _Tried(lines, (wide, high), places, own)


def _nearest(target: BaseGeometry, places: Floats) -> Floats:
    """Return which of the points of a target is the nearest to each place, (n, 2).

    Asked of the library place by place this took a fifth of the time that a picture takes.
    """
    xy = shapely.get_coordinates(target)
    right, down = (places[:, k, None] - xy[:, k] for k in (0, 1))
    nearest: Floats = xy[np.argmin(right * right + down * down, axis=1)]
    return nearest


def _side(
    at: tuple[float, float], wide: float, high: float, tip: tuple[float, float]
) -> tuple[float, float]:
    """Return the point of a name's box that is nearest to the tip of its leader."""
    return (
        float(np.clip(tip[0], at[0] - wide / 2, at[0] + wide / 2)),
        float(np.clip(tip[1], at[1] - high / 2, at[1] + high / 2)),
    )
