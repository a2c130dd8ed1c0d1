"""One change tried on a plan: what it does for one finding, by the one meaning of better.

A finding is gone only if nothing of its *kind* is left: the same code at the same station, or the
same movement of the same person. Out of one thing and into the next is the same trouble under
another name.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

from app.arrange.better import (
    ALIKE_SHARE,
    CARE,
    NOTHING,
    Outcome,
    Weight,
    at_wall,
    has_new_stop,
    mends,
    outcome_of,
    place_of,
    weight_of,
    weights,
)
from app.arrange.effort import FULL, QUICK, work_of
from app.arrange.sense import is_of_bodies, is_to_get_at
from app.budget import Budget
from app.checks.run import each_outright, run, run_places
from app.checks.snag import Snag
from app.scene.build import Scene
from app.units import Units
from app.wording import Phrase, joined, lower, phrase

TRADES_AT_MOST = 2
"""What may get worse elsewhere, and is named: a way out that costs more is read by nobody."""
PRICE_AT_MOST = 0.5
"""What gets worse of the same severity, as a part of what was cleared: more is as good as nothing
won."""
WORTH_SAYING_SHARE = 0.02
"""What a finding must lose of its share to be worth a change that does not clear it."""
WORTH_MOVING_SHARE = 0.1
"""Of what a working space lacks the part that is worth pushing a thing for."""


Rank = tuple[float, ...]
"""How good a change is, the best first."""
Wanted = Callable[[Rank], bool]


@dataclass(frozen=True, slots=True)
class Effect:
    """What a change that helps with a finding does: what is left of it, what got worse for it.

    `rest` is the weight of what is `left` of the finding, or of what is still too `near` to the
    wall that it stood in: that is less of the same, and another row. `remaining` are the kinds of
    finding that are still there, `scene` is the changed plan.
    """

    rest: Weight
    left: Snag | None
    near: Snag | None
    worse: tuple[Snag, ...]
    remaining: frozenset[tuple[object, ...]]
    scene: Scene | None = field(default=None, repr=False, compare=False)

    @property
    def clears(self) -> bool:
        """Whether nothing is left of the finding, under another name neither."""
        return self.left is None and self.near is None

    @property
    def is_free(self) -> bool:
        """Whether nothing is left and nothing got worse: no other way out can do more."""
        return self.clears and not self.worse

    @property
    def rank(self) -> Rank:
        """How good it is, the best first: by the heaviest that is left or got worse, then by all.

        So a little is not gained at one side by giving up all of another.
        """
        return _rank(self.rest, self.worse)


def _rank(rest: Weight, worse: tuple[Snag, ...]) -> Rank:
    every = [rest, *map(weight_of, worse)]
    most = max(every)
    total = sum(weight.share for weight in every)
    return most.severity, round(most.share, 2), len(worse), round(total, 2)


_BEST = _rank(NOTHING, ())
_OF_PLACES = ("room", "kit")
"""What is met of which the checks of places alone speak, besides working spaces."""


def any_rank(_: Rank) -> bool:
    """Want whatever helps."""
    return True


def _is_of_places(snag: Snag) -> bool:
    """Return whether the checks of places alone speak of a finding."""
    return snag.space is not None or snag.meets in _OF_PLACES


def _is_of_another_side(one: Snag, other: Snag) -> bool:
    """Return whether two working spaces are of one piece and want as much."""
    owner = one.pieces[:1] == other.pieces[:1]
    return owner and None not in (one.space, other.space) and one.need == other.need


@dataclass(frozen=True, slots=True)
class Trials:
    """A plan on which changes are tried: what weighs in its verdicts, its stations, found once.

    `was` are the heaviest weights by place in the full verdict, `was_quick` those in that and in
    the one without the checks that are slow.
    """

    scene: Scene
    budget: Budget
    was: Mapping[str, Weight]
    was_quick: Mapping[str, Weight]
    stations: Mapping[str, str] = field(default_factory=dict)

    @classmethod
    def of(cls, scene: Scene, before: tuple[Snag, ...], budget: Budget) -> Trials:
        """Set a plan up for trials."""
        stations = {piece_id: placed.root for piece_id, placed in scene.placed.items()}
        quick = run(scene, full=False) if budget.allows(work_of(scene, QUICK)) else ()
        # Alone the quick checks see what is put together or left out once all have spoken.
        both = weights((*before, *quick), stations)
        return cls(scene, budget, weights(before, stations), both, stations)

    def effect(
        self,
        changed: Scene,
        snag: Snag,
        asked: bool = False,
        wanted: Wanted = any_rank,
        clearing: bool = False,
    ) -> Effect | None:
        """Judge a changed plan; None if the change does not help with a finding.

        The slow checks, ways on foot before all, are asked only of what the others accept, unless
        these were `asked` before, and which has a `wanted` rank. With `clearing` what leaves some
        of the finding is no help. Where the budget ends before all have spoken, the change is not
        known to help.
        """
        if not asked and self.quick_effect(changed, snag, wanted, clearing) is None:
            return None
        if not self.budget.allows(work_of(changed, FULL)):
            return None
        # what only makes a note is no price of a stop or care that goes
        after = run(changed, weighed=snag.severity != "note")
        effect = self.compared(self.was, after, snag)
        if effect is None or not wanted(effect.rank) or (clearing and not effect.clears):
            return None
        return replace(effect, scene=changed)

    def quick_effect(
        self, changed: Scene, snag: Snag, wanted: Wanted = any_rank, clearing: bool = False
    ) -> Effect | None:
        """Judge a changed plan by all but the slow checks; None if it does not help by these.

        None too where its rank is not `wanted`: the slow ones never make it better. What they
        leave of a finding they leave with the slow ones too.
        """
        if not self.budget.allows(work_of(changed, QUICK)):
            return None
        at_best = self._at_best(changed, snag, clearing)
        if at_best is None or not wanted(at_best):
            return None
        effect = self.compared(self.was_quick, run(changed, full=False), snag)
        if effect is None or not wanted(effect.rank) or (clearing and not effect.clears):
            return None
        return effect

    def _at_best(self, changed: Scene, snag: Snag, clearing: bool) -> Rank | None:
        """Return the rank that a change does not get below, by the checks of places alone.

        None if it does not help by these, or with `clearing` where they leave some of the finding.
        What they say stands in the whole verdict too, and more findings never make a rank better.
        """
        if changed.plan.situations or snag.severity == "note":
            return _BEST
        # what stands outside, or in something, is out before anybody asks for more
        if any(
            has_new_stop(self.was_quick, said, self.stations) for said in each_outright(changed)
        ):
            return None
        findings = run_places(changed)
        result, place = outcome_of(self.was_quick, findings, self.stations), self._place(snag)
        if result.new_stop or (_is_of_places(snag) and place not in result.cleared):
            return None
        lost = self.was_quick.get(place, NOTHING)
        if any(weight_of(worse).exceeds(lost) for worse in result.worse):
            return None
        worse = self._worse(result, snag)
        if self._is_too_dear(worse, snag):
            return None
        rest = self._rest(self._left(findings, snag), self._near(findings, snag))
        if clearing and rest is not NOTHING:
            return None
        return _rank(rest, worse)

    def _place(self, snag: Snag) -> str:
        return place_of(snag, self.stations)

    def _left(self, after: Iterable[Snag], snag: Snag) -> Snag | None:
        """Return the heaviest that is left of the kind of a finding."""
        kind = self.kind(snag)
        alike = (one for one in after if one.severity != "note" and self.kind(one) == kind)
        return max(alike, key=weight_of, default=None)

    def _near(self, after: Iterable[Snag], snag: Snag) -> Snag | None:
        """Return the heaviest of what is too near to the wall that a thing stood in, if it did."""
        wall = at_wall(snag, self.stations) if snag.meets == "room" else None
        if wall is None:
            return None
        kind = self.kind(snag)
        near = (
            one
            for one in after
            if one.severity != "note"
            and at_wall(one, self.stations) == wall
            and self.kind(one) != kind
        )
        return max(near, key=weight_of, default=None)

    def _rest(self, left: Snag | None, near: Snag | None) -> Weight:
        return max((weight_of(one) for one in (left, near) if one is not None), default=NOTHING)

    def _worse(self, result: Outcome, snag: Snag) -> tuple[Snag, ...]:
        """Return what got worse besides the kind of a finding."""
        kind = self.kind(snag)
        worse = self._each_room_once(one for one in result.worse if self.kind(one) != kind)
        if snag.severity == "note":
            # what is got brings notes of its own: how it comes in, what holds it
            return tuple(one for one in worse if one.severity != "note")
        return worse

    def _is_too_dear(self, worse: tuple[Snag, ...], snag: Snag) -> bool:
        """Return whether too much got worse, or as much as what is won.

        Or anything at all of where somebody moves or falls, for room to get at a thing: a plug is
        reached once, a run-off is there for the day when one is thrown off. Nor is that, or what a
        door meets, a price of a care that is no room at all: nobody gives up a door for a strap.
        """
        gained = weight_of(snag)
        if snag.severity != "stop" and any(one.meets == "door" for one in worse):
            return True
        of_no_size = snag.severity == "care" and (snag.measured, snag.lacks) == (None, None)
        slight = of_no_size or is_to_get_at(self.scene, snag)
        if slight and any(is_of_bodies(self.scene, one) for one in worse):
            return True
        alike = sum(one.share for one in map(weight_of, worse) if one.severity == gained.severity)
        # a gap on one side for as much of one on the other is no way out
        return len(worse) > TRADES_AT_MOST or alike > PRICE_AT_MOST * gained.share

    def compared(
        self, was: Mapping[str, Weight], after: tuple[Snag, ...], snag: Snag
    ) -> Effect | None:
        """Compare two verdicts for one finding; None if it is not helped or at too high a price."""
        result = outcome_of(was, after, self.stations)
        if not mends(result, snag, self.stations):
            return None
        left, near = self._left(after, snag), self._near(after, snag)
        rest = self._rest(left, near)
        worse = self._worse(result, snag)
        if not weight_of(snag).exceeds(rest) or self._is_too_dear(worse, snag):
            return None
        if rest.severity == weight_of(snag).severity:
            # some of it is gone: that is worth no gap elsewhere, but for a smaller one on another
            # side of the same, between which it is shared out
            lost = weight_of(snag).share - rest.share
            price = sum(weight_of(one).share for one in worse)
            worth = WORTH_SAYING_SHARE
            if snag.space is not None:
                worth = max(worth, WORTH_MOVING_SHARE * weight_of(snag).share)
            shared = all(_is_of_another_side(one, snag) for one in worse)
            if lost < worth - ALIKE_SHARE or not shared or price > lost - ALIKE_SHARE:
                return None
        # of notes those alone that a way out is looked for
        left_over = (one for one in after if one.severity != "note" or one.lacks == "kit")
        kinds = frozenset(map(self.kind, left_over))
        return Effect(rest, left, near, worse, kinds)

    def _each_room_once(self, snags: Iterable[Snag]) -> tuple[Snag, ...]:
        """Return findings, of alike things that one thing stands too near to the first alone.

        Two bicycles side by side with one shelf before them want the same floor.
        """
        once: dict[tuple[object, ...], Snag] = {}
        for snag in snags:
            key: tuple[object, ...] = (snag.key,)
            if snag.space is not None and snag.against is not None and snag.pieces:
                owner = self.scene.placed.get(snag.pieces[0])
                by = self.stations.get(snag.against, snag.against)
                key = snag.code, owner and owner.kit.key, by
            once.setdefault(key, snag)
        return tuple(once.values())

    def kind(self, snag: Snag) -> tuple[object, ...]:
        """Return what a finding has in common with the same trouble under another key."""
        if snag.person is not None and snag.movement is not None:
            return snag.code, snag.person, snag.movement
        first = snag.pieces[0] if snag.pieces else None
        return snag.code, self.stations.get(first or "", first), snag.movement

    def clears_too(self, effect: Effect, snag: Snag) -> bool:
        """Return whether a change that was judged for one finding leaves nothing of another."""
        return self.kind(snag) not in effect.remaining

    def leaves(self, effect: Effect, snag: Snag) -> bool:
        """Return whether a change that was judged for one finding leaves some of another stop.

        Of what stands in a wall it is left while that is too near to it.
        """
        if effect.scene is None:
            return not self.clears_too(effect, snag)
        return self._rest_after(effect.scene, snag).severity > CARE

    def eases(self, effect: Effect, snag: Snag) -> bool:
        """Return whether a change that was judged for one finding makes another one milder."""
        if effect.scene is None:
            return self.clears_too(effect, snag)
        return weight_of(snag).exceeds(self._rest_after(effect.scene, snag))

    def _rest_after(self, changed: Scene, snag: Snag) -> Weight:
        after = run(changed, weighed=True)
        return self._rest(self._left(after, snag), self._near(after, snag))


def with_its_price(sentence: str, effect: Effect, units: Units) -> str:
    """Say a way out with what is left of its finding and with what gets worse by it."""
    if effect.is_free:
        return sentence
    parts: list[object] = [sentence.removesuffix(".")]
    if effect.left is not None:
        figure = _figure(effect.left)
        parts.append(phrase("that helps: {}", figure) if figure else "that helps")
    parts += map(price_of, effect.worse if effect.near is None else (effect.near, *effect.worse))
    return phrase("{}.", joined("; ", parts)).worded(units)


def price_of(snag: Snag) -> Phrase:
    """Say one finding that a change makes worse: "then the bag, round it: 503 of 600 mm"."""
    figure = _figure(snag)
    if figure is None:
        return phrase("then also {}", _called(snag, snag.names[0][:1].isupper()))
    return phrase("then {}: {}", _called(snag, True), figure)


def _called(snag: Snag, a_thing: bool) -> str:
    """Return what a finding is about as it is within a sentence: a thing has its article."""
    if snag.called:
        return snag.called
    name = lower(snag.who)
    by_itself = snag.movement is not None or snag.person is not None or name.startswith("the ")
    return name if by_itself or not a_thing else f"the {name}"


def _figure(snag: Snag) -> Phrase | None:
    """Say how much there is of what is wanted, None where it is no length."""
    wanted = snag.required if snag.severity == "stop" or snag.need is None else snag.need
    if snag.measured is None or wanted is None or snag.unit != "mm":
        return None
    if snag.other_mm is not None:
        # one side may be as it was and the other not
        sides = "{:bare} on one side and {:bare} on the other, of {:mm}"
        return phrase(sides, snag.measured, snag.other_mm, wanted)
    if wanted < snag.measured:
        # what is to be no farther off than so much
        return phrase("{:mm}, {:bare} at most", snag.measured, wanted)
    return phrase("{:bare} of {:mm}", snag.measured, wanted)
