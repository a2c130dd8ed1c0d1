"""When one verdict is better than another: the one meaning that every search compares by.

A finding weighs by its severity, then by its shortfall as a share of what is required. It lives at
a *place*: its key with pieces replaced by their stations, so that a bar laid on another rest of
its rack is still the same place. A change helps with a finding if that is gone or milder, no stop
is new or worse and no care weighs more than what was cleared. All else that grew is a trade, to
be named in the sentence that offers the change.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from app.checks.snag import Snag
from app.checks.spots import SHUT

FULL_SHARE = 1.0
"""What weighs in full: a finding without a figure has no degrees."""
ALIKE_SHARE = 1e-3
"""Shares nearer than this are one weight: figures are rounded to the whole millimetre, and a
thousandth of the least requirement in use (some hundreds of mm) is less than that."""


ALIKE = 1.0
"""Amounts nearer than this are one: figures are rounded to the whole millimetre."""


class Weight(NamedTuple):
    """How much a finding counts: first its severity (2 stop, 1 care, 0 note), then its share.

    Where the share has no degrees, as for a bar in a wall where nothing is allowed, the `amount`
    that is missing decides: in the unit of the figure.
    """

    severity: int
    share: float
    amount: float = 0.0

    def exceeds(self, other: Weight) -> bool:
        """Return whether this weighs more than another by more than rounding."""
        if self.severity != other.severity:
            return self.severity > other.severity
        if min(self.share, other.share) >= FULL_SHARE or self._is_as_large_as(other):
            return self.amount > other.amount + ALIKE
        return self.share > other.share + ALIKE_SHARE

    def _is_as_large_as(self, other: Weight) -> bool:
        return abs(self.share - other.share) <= ALIKE_SHARE


TRIFLE_SHARE = 0.05
"""What a care may lack, as a share of what is wanted, before anybody buys another thing for it: ten
millimetres of two hundred, fifty of a metre."""
EASED_SHARE = 0.5
"""What may be left of a care, as a share of it, where small things are got for it; and what a
height may lack of its margin before anybody buys another thing for that."""
CARE = 1
"""The severity of a care, as it weighs."""
NOTHING = Weight(-1, 0.0)
_RANK = {"stop": 2, "care": 1, "note": 0}


def weight_of(snag: Snag) -> Weight:
    """Return the weight of a finding.

    The share is what is missing of the figure that was missed: of the required one, or of the
    recommended (`need`) where the required is met. A load above what carries it counts by the
    part that is too much. It lies between 0 and 1.
    """
    share = _share(snag)
    measured, required = snag.measured, snag.required
    amount = 0.0
    if share >= FULL_SHARE and measured is not None and required is not None:
        amount = abs(required - measured)
    elif snag.other_mm is not None and required is not None:
        amount = max(required - snag.other_mm, 0.0)
    return Weight(_RANK[snag.severity], share, amount)


def _share(snag: Snag) -> float:
    measured = snag.measured
    if measured is None:
        return FULL_SHARE
    required = snag.required if snag.severity == "stop" or snag.need is None else snag.need
    if required is None or required == measured:
        return FULL_SHARE
    most = max(abs(required), abs(measured))
    return min(abs(required - measured) / most, FULL_SHARE) if most else FULL_SHARE


def is_a_trifle(snag: Snag) -> bool:
    """Return whether what a care lacks is worth no other thing.

    Of a height it is less than half of its margin: of all that is wanted that is never much.
    """
    weight = weight_of(snag)
    if weight.severity > CARE:
        return False
    measured, required, need = snag.measured, snag.required, snag.need
    if snag.meets != "height" or measured is None or required is None or need is None:
        return weight.share <= TRIFLE_SHARE
    return need - measured < EASED_SHARE * (need - required)


def place_of(snag: Snag, stations: Mapping[str, str]) -> str:
    """Return where a finding lives: its key with each piece replaced by its station.

    `stations` gives the carrying piece of each piece; what is not in it stands for itself. What one
    person does lives with person and movement alone: of all places for it the best is judged, on
    the open floor or at a rack that was got since. A garage door is shut where nothing is said.
    """
    by_person = snag.person is not None and snag.movement is not None
    pieces = {} if by_person else dict.fromkeys(stations.get(piece, piece) for piece in snag.pieces)
    return "|".join(
        (
            snag.code,
            "+".join(pieces),
            snag.person or "",
            snag.movement or "",
            "" if by_person and snag.situation == SHUT else snag.situation or "",
        )
    )


def weights(snags: Iterable[Snag], stations: Mapping[str, str]) -> dict[str, Weight]:
    """Return the heaviest weight at each place, and of what stands in a wall at that wall too."""
    heaviest: dict[str, Weight] = {}
    for snag in snags:
        wall = at_wall(snag, stations) if snag.meets == "room" else None
        for place in filter(None, (place_of(snag, stations), wall)):
            heaviest[place] = max(heaviest.get(place, NOTHING), weight_of(snag))
    return heaviest


def at_wall(snag: Snag, stations: Mapping[str, str]) -> str | None:
    """Return the place of a station at a wall, by the piece that is in it or too near to it.

    None for what is neither.
    """
    if snag.against is None or (snag.meets != "room" and snag.space is None):
        return None
    owner = snag.pieces[0]
    return f"at wall|{stations.get(owner, owner)}|{snag.against}"


def _weight_before(was: Mapping[str, Weight], snag: Snag, stations: Mapping[str, str]) -> Weight:
    """Return how much there was at the place of a finding before a change.

    Out of a wall and still too near to it is less of the same, not another finding.
    """
    places = filter(None, (place_of(snag, stations), at_wall(snag, stations)))
    return max(was.get(place, NOTHING) for place in places)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a change does to a verdict.

    `cleared` are the places that are gone or milder, with what they lost; `worse` the findings
    that are new or heavier, the heaviest first. Notes are left out of them, but where no more than
    notes were cleared: else one note for another would be a gain there and back.
    """

    cleared: Mapping[str, Weight]
    worse: tuple[Snag, ...]
    new_stop: bool

    @property
    def most_cleared(self) -> Weight:
        """The heaviest that was cleared."""
        return max(self.cleared.values(), default=NOTHING)

    @property
    def is_better(self) -> bool:
        """Whether this is a gain: something cleared, and nothing worse that outweighs it."""
        heaviest = max(map(weight_of, self.worse), default=NOTHING)
        return bool(self.cleared) and not self.new_stop and not heaviest.exceeds(self.most_cleared)


def burden(snags: Iterable[Snag]) -> tuple[int, float]:
    """Return how many stops a verdict has and what its cares weigh together, to rank places by."""
    every = tuple(snags)
    stops = sum(snag.severity == "stop" for snag in every)
    return stops, round(sum(weight_of(s).share for s in every if s.severity == "care"), 2)


def outcome(before: Iterable[Snag], after: Iterable[Snag], stations: Mapping[str, str]) -> Outcome:
    """Compare two verdicts on one plan before and after a change.

    `stations` is that of the plan before the change, so that a place keeps its name.
    """
    return outcome_of(weights(before, stations), after, stations)


def outcome_of(
    was: Mapping[str, Weight], after: Iterable[Snag], stations: Mapping[str, str]
) -> Outcome:
    """Compare the heaviest weight at each place before a change with a verdict after it."""
    later = [(place_of(snag, stations), weight_of(snag), snag) for snag in after]
    now: dict[str, Weight] = {}
    for place, weight, _ in later:
        now[place] = max(now.get(place, NOTHING), weight)
    cleared = {
        place: weight for place, weight in was.items() if weight.exceeds(now.get(place, NOTHING))
    }
    heavy = any(weight.severity > _RANK["note"] for weight in cleared.values())
    grown = {
        place
        for place, weight, snag in later
        if (weight.severity > _RANK["note"] or (cleared and not heavy))
        and weight.exceeds(_weight_before(was, snag, stations))
    }
    worse = sorted(
        ((*weight, snag.key, i) for i, (place, weight, snag) in enumerate(later) if place in grown),
        key=lambda one: one[:-1],
        reverse=True,
    )
    new_stop = any(now[place].severity == _RANK["stop"] for place in grown)
    return Outcome(cleared, tuple(later[one[-1]][-1] for one in worse), new_stop)


def has_new_stop(
    was: Mapping[str, Weight], after: Iterable[Snag], stations: Mapping[str, str]
) -> bool:
    """Return whether a verdict after a change has a stop that is new or worse."""
    return any(
        snag.severity == "stop" and weight_of(snag).exceeds(_weight_before(was, snag, stations))
        for snag in after
    )


def mends(outcome: Outcome, snag: Snag, stations: Mapping[str, str]) -> bool:
    """Return whether a change helps with one finding: it is gone or milder, at a fair price.

    No stop is new or worse, and no care that is new or heavier outweighs what was cleared here.
    """
    cleared = outcome.cleared.get(place_of(snag, stations))
    if cleared is None or outcome.new_stop:
        return False
    return not any(weight_of(worse).exceeds(cleared) for worse in outcome.worse)
