"""One fault, one row: leaves out what only follows from another row, or says less of the same."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from app.checks.snag import SEVERITIES, Snag

BETWEEN_POSTS, UNDER_MACHINE = "between-posts", "under-machine"
GLASS_BEHIND = "glass-behind-the-belt"
HEADS_BEFORE, STEPPING_OUT = "heads-before", "stepping-out"
LOW_OVER_WAY = "low-over-way"
FOLLOWING = (BETWEEN_POSTS, UNDER_MACHINE, "plate-beside-", "bench-too-wide")
"""Beginnings of codes of what is said of two things only where they do not overlap."""
ONE_GAP_MM = 1
"""What two rows call the same to the millimetre is one gap."""


def each_fault_once(snags: tuple[Snag, ...]) -> Iterator[Snag]:
    """Leave out what only follows.

    Where two things cross, no room is left between them either; of one space short at one place
    the row that asks for more is enough. What is left out is told by a row that stays: of rows
    that each would leave out the other the worst stays.
    """
    tellers = _Tellers(snags)
    instead: dict[int, list[Snag]] = {}
    for snag in snags:
        by = tellers.of(snag)
        if by is not None:
            instead[id(snag)] = by
    if instead:
        told = {id(snag) for snag in snags if id(snag) not in instead}
        # what follows from no row that is told, or from rows that follow from one another alone
        lost = [snag for snag in snags if instead.get(id(snag)) and not _is_told(snag, instead)]
        for snag in sorted(lost, key=_worst_first):
            if not _is_told(snag, instead):
                told.add(id(snag))
                del instead[id(snag)]
        snags = tuple(snag for snag in snags if id(snag) in told)
    yield from snags


def _is_told(snag: Snag, instead: dict[int, list[Snag]]) -> bool:
    """Return whether one goes from a row, by those that tell of it, to one that stays."""
    seen, ahead = {id(snag)}, [snag]
    while ahead:
        by = instead.get(id(ahead.pop()))
        # one that stays, or one that is left out whatever else is told
        if not by:
            return True
        fresh = [one for one in by if id(one) not in seen]
        seen |= {id(one) for one in fresh}
        ahead += fresh
    return False


def _worst_first(snag: Snag) -> tuple[int, float, str, tuple[str, ...]]:
    return SEVERITIES.index(snag.severity), -_missing(snag), snag.code, snag.pieces


class _Tellers:
    """Which of some snags say what one of them says, by what they are about."""

    def __init__(self, snags: tuple[Snag, ...]) -> None:
        # by space, not each with each: in a crowded hall there are thousands of rows
        self.of_space: defaultdict[tuple[str, str], list[Snag]] = defaultdict(list)
        self.beside: defaultdict[tuple[object, str], list[Snag]] = defaultdict(list)
        for one in snags:
            if one.space and None not in (one.measured, one.required):
                self.beside[one.against, one.pieces[0]].append(one)
                # glass tells of the wall that it is in, however grave the two are
                if one.severity == "stop" or one.code == GLASS_BEHIND:
                    self.of_space[one.space, one.pieces[0]].append(one)
        self.on_floor: defaultdict[frozenset[str], list[Snag]] = defaultdict(list)
        for one in snags:
            if one.space and one.measured is None:
                self.on_floor[frozenset(one.pieces)].append(one)
        self.into_walls = {snag.pieces[0] for snag in snags if snag.code == "outside"}
        self.inside = {(snag.pieces[0], snag.against) for snag in snags if snag.code == "outside"}
        clashes = [snag for snag in snags if snag.code.startswith("clash")]
        self.overlapping = {frozenset(snag.pieces) for snag in clashes}
        across = {frozenset(snag.pieces) for snag in clashes if snag.code == "clash"}
        among = {frozenset(s.pieces) for s in snags if s.code in (BETWEEN_POSTS, UNDER_MACHINE)}
        self.crossing = across | among
        self.too_low: defaultdict[str, list[Snag]] = defaultdict(list)
        for one in snags:
            if one.lacks == "height" and one.severity == "stop" and one.pieces:
                self.too_low[one.pieces[0]].append(one)
        # of one height before a rack who lifts there tells more than that a head may meet it
        self.met_before: defaultdict[str, list[Snag]] = defaultdict(list)
        for one in snags:
            lifts = one.lacks == "height" or one.code == STEPPING_OUT
            if lifts and one.pieces and one.severity != "note":
                self.met_before[one.pieces[0]].append(one)
        self.over_ways = [one for one in snags if one.code == LOW_OVER_WAY]
        self.on_platforms = {s.pieces[0] for s in snags if s.code.startswith("platform-")}
        self.short = {s.pieces[0]: set(s.pieces) for s in snags if s.to_reach}
        self.shut_by = {
            s.pieces
            for s in snags
            if s.shuts_door or (s.meets == "door" and s.opening and s.severity == "stop")
        }

    def of(self, snag: Snag) -> list[Snag] | None:
        """Return the rows that tell of a snag; none of them where it follows from what it is.

        None where the snag tells of itself.
        """
        # behind a door that cannot open there is no way, whatever stands in the room
        no_way = snag.code == "no-way" or snag.blocked
        if no_way and not snag.measured and snag.pieces in self.shut_by:
            return []
        # what stands right before a shut-off bars the way to it as well: the depth says more
        if (
            snag.blocked
            and snag.pieces
            and set(snag.pieces) <= self.short.get(snag.pieces[0], set())
        ):
            return []
        # what runs into a rack or into a plate is told as that
        if snag.code.startswith(FOLLOWING) and frozenset(snag.pieces) in self.overlapping:
            return []
        # what is left over a rack on a platform is less than over one on the floor
        if snag.code == "stand-up" and snag.pieces[0] in self.on_platforms:
            return []
        # under what hangs too low for a bar on its hooks it is lifted no higher
        if snag.rests_on is not None:
            by = [one for one in self.too_low[snag.rests_on] if _hangs_as_low(one, snag)]
            return by or None
        if snag.code == HEADS_BEFORE:
            met = [one for one in self.over_ways if one.names[-1] == snag.against]
            met += self.met_before[snag.pieces[0]]
            return [one for one in met if _as_high(one, snag)] or None
        if snag.space is None:
            return None
        # an area is inside the room or it is not: the wall that stands on it is that same wall
        walled = len(snag.pieces) == 1 and snag.pieces[0] in self.into_walls
        if walled and (not snag.measured or (snag.pieces[0], snag.against) in self.inside):
            return []
        if snag.measured == 0 and _all_cross(snag, self.crossing):
            return []
        there = self.of_space.get((snag.space, snag.pieces[0]), ())
        by = [other for other in there if _says_more(other, snag)]
        there = self.beside.get((snag.against, snag.pieces[0]), ())
        by += [other for other in there if _names_it(other, snag)]
        # what is too near on one side is too near all round: the side says which way to go
        if snag.all_round:
            by += [other for other in there if _says_more(other, snag)]
        across = self.beside.get((snag.pieces[0], snag.pieces[-1]), ())
        by += [other for other in across if _one_gap(other, snag)]
        # what is in the one of two things is right up against it, too
        if _touches(snag):
            within = self.on_floor.get(frozenset(snag.pieces), ())
            by += [other for other in within if not _milder(other, snag)]
        return by or None


def _all_cross(snag: Snag, crossing: set[frozenset[str]]) -> bool:
    """Return whether all that a snag names beside its own piece crosses that piece."""
    own, *others = snag.pieces
    return bool(others) and all(frozenset((own, other)) in crossing for other in others)


def _hangs_as_low(one: Snag, other: Snag) -> bool:
    """Return whether over the first there is no more height than over the other."""
    if one.measured is None or other.measured is None:
        return False
    return one.measured <= other.measured + ONE_GAP_MM


def _as_high(one: Snag, other: Snag) -> bool:
    """Return whether two heights are one."""
    if one.measured is None or other.measured is None:
        return False
    return abs(one.measured - other.measured) <= ONE_GAP_MM


def _says_more(one: Snag, other: Snag) -> bool:
    """Return whether of one space short in two ways the first says all of the other."""
    if one is other or None in (other.measured, other.required):
        return False
    return _figures(one)[0] <= _figures(other)[0] and _figures(one)[1] >= _figures(other)[1]


def _names_it(one: Snag, other: Snag) -> bool:
    """Return whether of one thing beside a piece a row tells already, no milder and in full.

    What stands beside a piece stands beside the strips before and behind it too: one fault. Of
    several such rows, and of several that it touches, the one that asks for most is left.
    """
    if other.against is None:
        return False
    worse = SEVERITIES.index(one.severity) - SEVERITIES.index(other.severity)
    if worse > 0:
        return False
    if not (other.flanked or _touches(other)):
        return False
    if other.flanked and not one.flanked:
        return True
    if one.flanked != other.flanked or _touches(one) != _touches(other):
        return worse < 0
    mine, theirs = (worse, -_missing(one), one.code), (0, -_missing(other), other.code)
    return mine < theirs


def _milder(one: Snag, other: Snag) -> bool:
    return SEVERITIES.index(one.severity) > SEVERITIES.index(other.severity)


def _one_gap(one: Snag, other: Snag) -> bool:
    """Return whether two pieces ask for one gap between them, the first no milder and for more.

    What stands in the ring of a piece and has that piece before itself has one gap to it, though
    the figures differ: a space begins at the outline of its piece, and ends at what is solid.
    """
    if one.pieces != other.pieces[::-1]:
        return False
    if len(one.pieces) != 2 or one.severity != other.severity or one.flanked or other.flanked:
        return False
    if None in (one.against, other.against, one.measured, other.measured):
        return False
    apart = abs((one.measured or 0.0) - (other.measured or 0.0))
    # Of two that ask for as much the kind decides, not what the pieces are called. Of a left and a
    # right one the name does, so that a mirror image tells of the same piece.
    mine, theirs = ((_missing(row), _of_either_side(row), row.pieces) for row in (one, other))
    more = mine > theirs
    return (apart <= ONE_GAP_MM or one.all_round or other.all_round) and more


def _of_either_side(snag: Snag) -> str:
    return snag.code.replace("left", "").replace("right", "")


def _touches(snag: Snag) -> bool:
    return snag.measured is not None and snag.measured <= 1


def _missing(snag: Snag) -> float:
    return (snag.required or 0.0) - (snag.measured or 0.0)


def _figures(snag: Snag) -> tuple[float, float]:
    return snag.measured or 0.0, snag.required or 0.0
