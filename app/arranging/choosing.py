"""Which of the layouts found are shown: few, truly different, the best first."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from app.arranging.best_layouts import BestLayouts, JudgedLayout
from app.model.kit import Pose
from app.published.register import published

SHOWN_AT_MOST = 5
"""Layouts side by side: more are compared by nobody."""
WORTH_SHOWING = 8.0
"""How far below the best a layout may score and still be shown: somebody may have reasons of his
own, but nobody looks at what is worse in every way. What lay farther below had a bike or a shelf in
the middle of the floor, or several cares more."""
A_CHOICE = 2
"""Layouts between which somebody chooses at the least."""
ENOUGH = 3
"""Layouts after which only those are shown that are about as good: a choice of three is one."""
WORTH_SHOWING_MORE = 5.0
"""How far below the best these may score: about a care and a thing at no wall."""
APART_SHARE = 0.25
"""What share of the pieces stands elsewhere in one layout than in another that is shown beside it:
where a bag alone is pushed aside and the open floor with it, nobody sees a choice."""
APART_BY_PAIRS_SHARE = 0.5
"""The same where two layouts differ only by who can train beside whom: that is in no picture."""
ELSEWHERE_MM = 500.0
"""How far off that is: half the width of most things."""
MIRRORED_SHARE = 0.5
"""What share of the pieces stands as in a mirror in a layout that is the image of another."""
MIRRORED_MM = 700.0
"""How far off that is at most: a step aside is what the door in one wall asks for."""
MIRRORED_FROM = 4
"""Pieces from which on that is an image: of three a rack and a bench are two."""
SEEN_SHARE = 0.25
"""How far the largest piece or the open floor is elsewhere, as a share of how long the room is, to
be seen: two floors to either side of the middle of a room, a step apart, look alike."""
TURNED_DEG = 45.0
"""By how much a piece is turned that faces another wall."""
SEEN = ("open-floor", "backs", "way-in", "garage-door", "near", "height", "bar")
"""The preferences that one sees a loss of at once, in a picture without words."""
MARK = 4.5
"""How much more a layout that is shown beside the best may lose by one of these, in points of the
score: what lost more had a rack before the door, a shelf in the middle, all floor cut up. Half of
the way in, dumbbells that are taken beside the door's swing, is another balance."""
FEWER_SEEN_SHARE = 0.75
"""What share of the pieces that others move one may move to be called that of the fewest moves: ten
instead of eleven is no choice."""
FEWER_SHARE = 0.5
"""What share of its pieces one that scores worse may move to be shown for that alone."""
WORTH_SHOWING_FEWER = 12.0
"""How far below the best that one may score: what lay farther had ten cares more, and how little
can be moved is asked for in a list of its own."""
GAINS_SEEN = 3.0
"""Points that what moves little gains over today's plan, beside the stops: less nobody sees. With
two pieces moved a cellar lost its stops, had two cares more and stood 0.4 points higher."""


@dataclass(frozen=True, slots=True)
class Moves:
    """One point of the curve "moved pieces against gain": the best with so many moves at most."""

    count: int
    layout: JudgedLayout
    gain: float


def different(
    layouts: BestLayouts,
    most: int = SHOWN_AT_MOST,
    within: float = WORTH_SHOWING,
    with_marks: bool = False,
) -> tuple[JudgedLayout, ...]:
    """Return the best layouts without a stop that a person would tell apart, the best first.

    Those in which the largest piece or the open floor is elsewhere come before those in which only
    another pair can train: these fill up what is left, where they are about as good.
    What bears the mark of a poor layout that the best does not bear is none of them, but
    `with_marks` and where there would be no choice: that is another balance, not one fault more.
    The one that moves least is among them, if it is about as good, or not much worse and moves
    much less. `within` is how far below the best the first three may score.
    """
    whole = [one for one in layouts.every if not one.stops and (one.moved or one.looks.left_out)]
    if not whole:
        return ()
    every = whole
    if not with_marks:
        whole = [one for one in whole if not bears_a_mark(one, whole[0])]
    floor = whole[0].value - within
    chosen: list[JudgedLayout] = []
    for one in whole:
        if len(chosen) == most:
            break
        if len(chosen) >= ENOUGH and one.value < whole[0].value - WORTH_SHOWING_MORE:
            break
        if one.value >= floor and all(
            elsewhere(one, other) and rearranged(one, other) for other in chosen
        ):
            chosen.append(one)
    for one in whole:
        if len(chosen) == most or one.value < whole[0].value - WORTH_SHOWING_MORE:
            break
        if all(differs(one, other) for other in chosen):
            chosen.append(one)
    if len(chosen) < A_CHOICE:
        # one layout is no choice: then the next best is shown, with whatever it loses
        rest = (one for one in every if one.value >= floor and one not in chosen)
        chosen += [one for one in rest if elsewhere(one, whole[0]) and rearranged(one, whole[0])][
            : A_CHOICE - len(chosen)
        ]
    chosen.sort(key=lambda one: (is_sideways(one), one.rank))
    # how little it moves makes no choice of what is got at sideways, where all else is walked to
    walked = [one for one in whole if not is_sideways(one)]
    least = min(walked or whole, key=lambda one: (len(one.moved), one.rank))
    fewest = min(len(one.moved) for one in chosen)
    below = whole[0].value - least.value
    about_as_good = below <= WORTH_SHOWING_MORE
    most_moves = fewest * (FEWER_SEEN_SHARE if about_as_good else FEWER_SHARE)
    if below > WORTH_SHOWING_FEWER:
        return tuple(chosen)
    if least not in chosen and len(least.moved) <= most_moves:
        chosen = [*chosen[: most - 1], least]
    return tuple(chosen)


def fewest_moves(
    layouts: BestLayouts, chosen: Sequence[JudgedLayout], now: float
) -> JudgedLayout | None:
    """Return a layout without a stop that moves much less than those chosen, None if none does.

    It is for who would lift as little as can be, of a plan with stops, which is worth `now`. One
    piece alone may be no more than as good as that plan, but for the stops; more make it a better
    one, and lead nobody sideways where all that is chosen does not. Of several the one after which
    each more move gains little: for one piece more there is often a room with a floor instead of
    one without a stop.
    """
    fewest = min((len(one.moved) for one in chosen), default=math.inf)
    sideways = all(is_sideways(one) for one in chosen)
    few = BestLayouts()
    few.join(
        one
        for one in layouts.every
        if not one.stops
        and one.moved
        and len(one.moved) <= FEWER_SHARE * fewest
        and (sideways or not is_sideways(one))
    )
    best = knee([one for one in curve(few, now) if one.gain >= GAINS_SEEN * (one.count > 1)])
    return None if best is None or best.layout in chosen else best.layout


def few_words(count: int, largest: str = "", walls: Sequence[str] = ()) -> str:
    """Say why so few layouts are shown; `walls` are the few at which the largest has room."""
    these = "this one" if count == 1 else "one of these"
    words = f"All else that was found was much like {these}, or clearly worse."
    if not walls:
        return words
    return f"{words} Room for the {largest} was found only at {' and '.join(walls)}."


def is_sideways(one: JudgedLayout) -> bool:
    """Return whether somebody goes sideways to some station, or not at all from door to floor.

    Of layouts that are about as good none such is the first.
    """
    return one.parts.get("way-in", 1.0) <= 0.0


def bears_a_mark(one: JudgedLayout, best: JudgedLayout) -> bool:
    """Return whether by one preference alone a layout loses so much more than the best that it is
    seen at once: a rack in the middle of the floor, a mat in the door.

    Cares are not seen but told, and counted in the score.
    """
    return any(
        best.parts[key] - one.parts[key] > MARK / published(f"layout.{key}.weight")
        for key in SEEN
        if key in best.parts and key in one.parts
    )


def elsewhere(one: JudgedLayout, other: JudgedLayout) -> bool:
    """Return whether somebody sees the largest piece at another wall or floor in another half.

    Another wall alone is not seen where the piece was only slid along the corner between the two.
    """
    if one.looks.left_out != other.looks.left_out:
        return True
    wall, half = one.looks.wall != other.looks.wall, one.looks.half != other.looks.half
    here, there = one.seen, other.seen
    if here is None or there is None:
        return wall or half
    if half and here.floor_at is not None and there.floor_at is not None:
        half = abs(here.floor_at - there.floor_at) >= SEEN_SHARE
    if wall and here.at is not None and there.at is not None:
        turned = abs((here.turn_deg - there.turn_deg + 180) % 360 - 180) > TURNED_DEG
        wall = turned or math.dist(here.at, there.at) >= SEEN_SHARE
    return wall or half


def differs(one: JudgedLayout, other: JudgedLayout) -> bool:
    """Return whether a layout is truly different: elsewhere, or another pair can train at once.

    What differs is seen: the more must stand elsewhere, the less the picture as a whole differs.
    """
    if elsewhere(one, other):
        return rearranged(one, other)
    another_pair = not one.looks.pairs <= other.looks.pairs
    return another_pair and rearranged(one, other, APART_BY_PAIRS_SHARE)


def rearranged(one: JudgedLayout, other: JudgedLayout, share: float = APART_SHARE) -> bool:
    """Return whether so much stands elsewhere in a layout that it is seen at once.

    What is left out of one of them counts. The mirror image of a layout is the same idea.
    """
    if is_mirrored(one, other):
        return False
    pieces = one.poses.keys() | other.poses.keys()
    both = one.poses.keys() & other.poses.keys()
    there = sum(_is_there(one.poses[key], other.poses[key]) for key in both)
    return len(pieces) - there >= share * len(pieces)


def is_mirrored(one: JudgedLayout, other: JudgedLayout) -> bool:
    """Return whether half of what may be moved stands as in a mirror, along the room or across."""
    here = {} if one.seen is None else one.seen.places
    there = {} if other.seen is None else other.seen.places
    both = here.keys() & there.keys()
    if len(both) < MIRRORED_FROM:
        return False
    return any(
        sum(
            math.dist(here[root], (x * there[root][0], y * there[root][1])) < MIRRORED_MM
            for root in both
        )
        >= MIRRORED_SHARE * len(both)
        for x, y in ((-1, 1), (1, -1), (-1, -1))
    )


def _is_there(one: Pose, other: Pose) -> bool:
    return math.dist((one.x_mm, one.y_mm), (other.x_mm, other.y_mm)) < ELSEWHERE_MM


def curve(layouts: BestLayouts, now: float) -> tuple[Moves, ...]:
    """Return the best for each number of moves, as far as one more gains something.

    `now` is what the plan as it is is worth; a plan with stops gains what it takes to lose them.
    """
    points: list[Moves] = []
    best: JudgedLayout | None = None
    for count in sorted(layouts.by_moves):
        one = layouts.by_moves[count]
        if not count or one.stops or (best is not None and one.rank >= best.rank):
            continue
        best = one
        points.append(Moves(count, one, one.value - now))
    return tuple(points)


def knee(points: Sequence[Moves]) -> Moves | None:
    """Return the point of a curve after which each more move gains little.

    The one farthest above the straight line from no move to the last point (Satopää and others
    2011); of the same the one with fewer moves. One that leaves stops which another does not is
    never enough.
    """
    if not points:
        return None
    last = points[-1]
    least = min(point.layout.stops for point in points)

    def above(point: Moves) -> float:
        return point.gain - last.gain * point.count / last.count

    enough = [point for point in points if point.layout.stops == least]
    return max(enough, key=lambda point: (above(point), -point.count))
