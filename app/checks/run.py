"""Gathers and sorts what all checks find. To add a check, write its file and name it here."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from itertools import chain
from weakref import WeakKeyDictionary

from app.checks.air import air_and_damp
from app.checks.alone import alone, tipping
from app.checks.bar_path import bar_paths
from app.checks.bars import bars
from app.checks.bearing import bearing
from app.checks.boilers import boilers
from app.checks.clash import clashes
from app.checks.doors import doors
from app.checks.electricity import electricity
from app.checks.fixings import fixings
from app.checks.flight import flight
from app.checks.floors import floors
from app.checks.getting_in import getting_in
from app.checks.glass_behind import glass_behind
from app.checks.goes_together import goes_together
from app.checks.hazards import hazards
from app.checks.headroom import ask_grade, headroom, served_movements
from app.checks.household import household
from app.checks.hung_across import hung_across
from app.checks.lift_out import lift_out
from app.checks.light import light
from app.checks.loading import loading
from app.checks.lying import lying
from app.checks.mirror_areas import off_mirrors
from app.checks.mirrors import mirrors
from app.checks.missing_kit import missing_kit
from app.checks.open_floor import wanted_without_kit
from app.checks.opened import opened
from app.checks.outside import ask_hung_height, outside, under_ceiling
from app.checks.room_to_use import room_to_use
from app.checks.routes import walking, ways_not_easy
from app.checks.shared import shared
from app.checks.shut_offs import shut_offs
from app.checks.sight import sight
from app.checks.situations import in_each
from app.checks.snag import SEVERITIES, Snag
from app.checks.squat_catches import catches_set
from app.checks.windows import windows
from app.published.register import overridden
from app.scene.build import Scene
from app.wording import joined, phrase

ONE_GAP_MM = 1
"""What two rows call the same to the millimetre is one gap."""


def _wanted(scene: Scene) -> Iterator[Snag]:
    return wanted_without_kit(scene, served_movements(scene))


Check = Callable[[Scene], Iterator[Snag]]

CHECKS: tuple[Check, ...] = (
    outside,
    under_ceiling,
    ask_hung_height,
    lift_out,
    opened,
    clashes,
    bars,
    loading,
    bar_paths,
    doors,
    windows,
    room_to_use,
    glass_behind,
    shut_offs,
    boilers,
    headroom,
    lying,
    ask_grade,
    _wanted,
    missing_kit,
    alone,
    catches_set,
    tipping,
    goes_together,
    bearing,
    fixings,
    hung_across,
    mirrors,
    off_mirrors,
    flight,
    floors,
    hazards,
    household,
    electricity,
    air_and_damp,
    sight,
    getting_in,
)

# too slow for every step of a drag
AFTER_DROP: tuple[Check, ...] = (walking, ways_not_easy, shared, light)

NOTES_ALONE: tuple[Check, ...] = (ways_not_easy, shared, light)
"""Of those the checks that say no more than notes: who weighs stops and cares need not ask them."""

ASK_NO_WISHES: tuple[Check, ...] = (
    outside,
    under_ceiling,
    lift_out,
    opened,
    clashes,
    doors,
    windows,
    shut_offs,
    boilers,
    fixings,
    electricity,
    air_and_damp,
    sight,
    getting_in,
    walking,
)
"""Checks that say the same whatever people want to do, of those that take long."""

OF_PLACES: tuple[Check, ...] = (outside, clashes, room_to_use, glass_behind, shut_offs)
"""Checks whose rows say less or more of one another, and of no others: asked alone they say what
they say among all."""


_judged: WeakKeyDictionary[Scene, dict[Check, tuple[Snag, ...]]] = WeakKeyDictionary()


def judged_by(checks: Iterable[Check], scene: Scene) -> tuple[Snag, ...]:
    """Return what some checks say of a scene; each is asked once, and kept as long as the scene.

    The values that the plan sets otherwise must be in force.
    """
    by_check = _judged.setdefault(scene, {})
    for check in checks:
        if check not in by_check:
            by_check[check] = tuple(check(scene))
    return tuple(chain.from_iterable(by_check[check] for check in checks))


def judged_as(scene: Scene, other: Scene) -> None:
    """Let what checks said of another scene, with the same things at the same places, stand."""
    _judged[scene] = _judged.setdefault(other, {})


def judged_but_for_wishes(scene: Scene, other: Scene) -> None:
    """Let what checks said of another scene stand that ask for no wishes: nothing else differs."""
    said = _judged.get(other, {})
    known = {check: said[check] for check in ASK_NO_WISHES if check in said}
    _judged.setdefault(scene, {}).update(known)


def run(scene: Scene, full: bool = True, weighed: bool = False) -> tuple[Snag, ...]:
    """Judge a scene: every snag, worst first, then by code and pieces. Pure: same in, same out.

    With `full` false the checks of `AFTER_DROP` are left out, as while something is dragged; with
    `weighed` those of `NOTES_ALONE`, where only stops and cares count. A plan with situations is
    judged in each of them.
    """
    checks = CHECKS + AFTER_DROP if full else CHECKS
    if weighed:
        checks = tuple(check for check in checks if check not in NOTES_ALONE)

    def judge(one: Scene) -> tuple[Snag, ...]:
        return tuple(asked_once(tuple(each_fault_once(judged_by(checks, one)))))

    with overridden({override.id: override.value for override in scene.plan.overrides}):
        snags = in_each(scene, judge)
    return in_order(snags)


def run_places(scene: Scene) -> tuple[Snag, ...]:
    """Return what the checks `OF_PLACES` say of a scene without situations, in no order."""
    with overridden({override.id: override.value for override in scene.plan.overrides}):
        return tuple(each_fault_once(judged_by(OF_PLACES, scene)))


def in_order(snags: Iterable[Snag]) -> tuple[Snag, ...]:
    """Sort snags: worst first, then by code and pieces."""
    rank = {severity: i for i, severity in enumerate(SEVERITIES)}
    return tuple(sorted(snags, key=lambda snag: (rank[snag.severity], snag.code, snag.key)))


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
                if one.severity == "stop":
                    self.of_space[one.space, one.pieces[0]].append(one)
        self.on_floor: defaultdict[frozenset[str], list[Snag]] = defaultdict(list)
        for one in snags:
            if one.space and one.measured is None:
                self.on_floor[frozenset(one.pieces)].append(one)
        self.into_walls = {snag.pieces[0] for snag in snags if snag.code == "outside"}
        self.inside = {(snag.pieces[0], snag.against) for snag in snags if snag.code == "outside"}
        self.crossing = {frozenset(snag.pieces) for snag in snags if snag.code == "clash"}
        self.short = {s.pieces[0]: set(s.pieces) for s in snags if s.to_reach}
        self.shut_by = {s.pieces for s in snags if s.shuts_door}

    def of(self, snag: Snag) -> list[Snag] | None:
        """Return the rows that tell of a snag; none of them where it follows from what it is.

        None where the snag tells of itself.
        """
        # behind a door that cannot open there is no way, whatever stands in the room
        if snag.code == "no-way" and not snag.measured and snag.pieces in self.shut_by:
            return []
        # what stands right before a shut-off bars the way to it as well: the depth says more
        if snag.blocked and set(snag.pieces) <= self.short.get(
            snag.pieces[0] if snag.pieces else "", set()
        ):
            return []
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


def _says_more(one: Snag, other: Snag) -> bool:
    """Return whether of one space short in two ways the first, a stop, says all of the other."""
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


def asked_once(snags: tuple[Snag, ...]) -> Iterator[Snag]:
    """Gather what the household must still find out into one note; the questions are its parts."""
    asked = [snag for snag in snags if snag.question]
    yield from (snag for snag in snags if not snag.question)
    if asked:
        questions = tuple(dict.fromkeys(snag.wording for snag in asked))
        yield Snag(
            code="find-out",
            severity="note",
            template="Still to find out: {}.",
            values=(joined("; ", questions),),
            parts=tuple(phrase("{:cap}.", question) for question in questions),
            names=("questions",),
            unit=None,
            source_keys=tuple(dict.fromkeys(k for snag in asked for k in snag.source_keys)),
        )


def in_few_words(snags: tuple[Snag, ...]) -> tuple[Snag, ...]:
    """Put what is only worth knowing of the room as a whole into one note, for people to read."""
    quiet = [snag for snag in snags if snag.severity == "note" and snag.background]
    if len(quiet) < 2:
        return snags
    one = Snag(
        code="worth-knowing",
        severity="note",
        template="{}",
        values=(joined(" ", (phrase("{}: {}", snag.who, snag.wording) for snag in quiet)),),
        parts=tuple(
            phrase("{}: {}", snag.who, part)
            for snag in quiet
            for part in snag.parts or (snag.wording,)
        ),
        names=("worth knowing",),
        unit=None,
        source_keys=tuple(dict.fromkeys(key for snag in quiet for key in snag.source_keys)),
        working=tuple(term for snag in quiet for term in snag.working),
    )
    return (*(snag for snag in snags if snag not in quiet), one)
