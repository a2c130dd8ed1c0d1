"""A way out of each finding: a sentence and the commands that carry it out, judged beforehand.

Whatever is offered has gone before the full judge and is better by the one meaning of that. Of all
that helps the best is offered: what leaves nothing of the finding and costs nothing ends the
search; else what leaves least. What gets worse is named in its sentence.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import partial

from app.arrange.better import CARE, EASED_SHARE, is_a_trifle, weight_of
from app.arrange.brought_in import sockets_there, that_pass
from app.arrange.buying import to_get
from app.arrange.eased_loads import less_weight, other_supply
from app.arrange.effort import NUDGE_MM
from app.arrange.elsewhere import or_another_want, or_elsewhere
from app.arrange.mirrors_elsewhere import mirrors_elsewhere
from app.arrange.moves import Move, Mover, as_remedy, hangs_on_place
from app.arrange.on_its_feet import held_down, on_hooks_instead, on_the_floor, standing_instead
from app.arrange.proposed import proposed
from app.arrange.remedy import Remedy
from app.arrange.sense import lies_about
from app.arrange.sizes import doors_otherwise, for_floor, for_headroom, for_height, shorter_bars
from app.arrange.swaps import (
    Proposal,
    left_out,
    lower_ones,
    other_movements,
    other_racks,
    proposals,
    put_away,
    smaller_plates,
    taller_racks,
    without,
)
from app.arrange.trial import Effect, Rank, with_its_price
from app.arrange.turns import at_other_walls, swapped, turned
from app.arrange.two_changes import two_changes
from app.arrange.two_moves import two_moves
from app.changes.commands import SAYS_LIMIT, Command
from app.changes.difference import difference
from app.checks.snag import Snag
from app.errors import ElbowroomError
from app.scene.build import Scene, build_scene

Kind = Callable[[Scene, Snag], Iterator[Proposal]]
CHEAP_SHARE = 0.2
"""What may get worse, in shares of what is wanted, where a stop is cleared and no more is tried."""
_PLACE = "another place"


Accept = Callable[[Remedy, Effect], bool]


def whatever(_: Remedy, __: Effect) -> bool:
    """Accept all that helps."""
    return True


def _never() -> bool:
    return False


@dataclass(slots=True)
class Search:
    """The search for the way out of one finding; `kinds` are what was tried, in words.

    What is not accepted by who asks is passed over. Where that was since the finding `waits` for
    another move of the same thing, no more is tried.
    """

    mover: Mover
    snag: Snag
    accept: Accept = whatever
    waits: Callable[[], bool] = _never
    kinds: list[str] = field(default_factory=list)
    effect: Effect | None = None
    _best: tuple[tuple[float, ...], Remedy, Effect] | None = None
    _kind: float = 0.0

    def best(self) -> Remedy | None:
        """Look for a way out by one change and, of a care that this leaves as it is, by two."""
        found = self.one_change()
        return found if self.snag.severity == "stop" else self.two_changes()

    def one_change(self) -> Remedy | None:
        """Try one kind after another until one clears the finding for nothing.

        Of a stop that this leaves as it is two changes are tried as well.
        """
        for number, (name, changes) in enumerate(self._in_turn()):
            self._kind = float(number)
            self._try(name, changes)
            if self._best is not None and (self._best[2].is_free or self._is_good_enough()):
                break
        if self.snag.severity == "stop" and self._leaves_as_grave():
            self._try_two_moves()
        return self._last_resort() if self._best is None else self._found()

    def two_changes(self) -> Remedy | None:
        """Try two changes for a care that one change leaves as it is: each takes a search."""
        if self._best is None and self.waits():
            return None
        if self.snag.meets == "height" and not self._moves_away():
            self._kind += 1
            self._try("two changes at once", self._both(for_headroom))
        # of cares it is asked for those of room
        if self.snag.space and self._leaves_as_grave():
            self._try_two_moves()
        return self._found()

    def _found(self) -> Remedy | None:
        if self._best is None:
            return None
        _, remedy, self.effect = self._best
        return remedy

    def _leaves_as_grave(self) -> bool:
        """Return whether no single change helps, or the best of them leaves as grave a finding."""
        return self._best is None or self._best[0][0] >= weight_of(self.snag).severity

    def _try_two_moves(self) -> None:
        """Move what is in the way and then the thing itself."""
        self._kind += 1
        self._try("two moves", self._moves(two_moves(self.mover, self.snag)))

    def _try(self, name: str, changes: Iterable[tuple[tuple[float, ...], Remedy, Effect]]) -> None:
        """Take the best of a kind of changes where it is better than what is found."""
        spent = self.mover.budget.spent
        for rank, remedy, effect in changes:
            key = (*effect.rank, self._kind, *rank)
            if (self._best is None or key < self._best[0]) and self.accept(remedy, effect):
                self._best = key, remedy, effect
            if self._best is not None and self._best[2].is_free:
                break
        known = name == _PLACE and self.mover.has_shifted(self.snag)
        if known or self.mover.budget.spent > spent:
            self.kinds.append(name)

    def _is_good_enough(self) -> bool:
        """Return whether the best so far takes a stop away for little.

        It pushes one thing a little, or it clears the stop and hardly anything gets worse.
        """
        if self._best is None or self.snag.severity != "stop":
            return False
        (*rank, _, far), remedy, effect = self._best
        price = sum(weight_of(worse).share for worse in effect.worse)
        if effect.clears and remedy.moved and price <= CHEAP_SHARE:
            return True
        if any(weight_of(worse).share > EASED_SHARE for worse in effect.worse):
            # a heater that is left nothing before it is no price for a push
            return False
        return rank[0] < weight_of(self.snag).severity and bool(remedy.moved) and far <= NUDGE_MM

    def _moves_away(self) -> bool:
        """Return whether moving something clears the finding: nobody buys another thing then."""
        return self._best is not None and self._best[2].clears and bool(self._best[1].moved)

    def _in_turn(self) -> Iterator[tuple[str, Iterator[tuple[tuple[float, ...], Remedy, Effect]]]]:
        """Yield the kinds of way out in the order in which people would think of them."""
        snag, mover = self.snag, self.mover
        yield "what it is used with", self._judged(proposals)
        if snag.meets == "height":
            yield "smaller plates", self._judged(smaller_plates, easing=True)
        yield "another height of it", self._judged(for_headroom)
        if snag.lacks == "hooks":
            yield "a rest and a move", self._both(proposals)
            yield "the floor", self._judged(on_the_floor)
            return
        yield "getting what is missing", self._judged(partial(to_get, budget=mover.budget))
        if snag.sheet is not None:
            yield "another place of the mirror", self._judged(mirrors_elsewhere)
        if hangs_on_place(snag) and mover.roots(snag):
            yield _PLACE, self._moves(self._shift())
            if "socket" in snag.eased_by:
                yield "a socket", self._judged(sockets_there)
            # a bar that lies about is turned for nothing, one in a rack only with all of it
            lies = lies_about(mover.scene, snag)
            if not lies and not self._moves_away():
                yield "a shorter bar", self._clearing(shorter_bars)
            if self._best is None and self.waits():
                return
            better = partial(self._may_be_best, ())
            yield "a turn", self._moves(turned(mover, snag, better))
            if lies and not self._moves_away():
                yield "a shorter bar", self._clearing(shorter_bars)
            yield "another wall", self._moves(at_other_walls(mover, snag, better))
            yield "a swap", self._moves(swapped(mover, snag, better))
        if snag.opening is not None and snag.sheet is None:
            yield "the door hung otherwise", self._judged(doors_otherwise)
        if snag.meets == "height" and not self._moves_away():
            yield "another rack", self._clearing(other_racks)
        if "taller" in snag.eased_by:
            yield "another rack", self._clearing(taller_racks)
        if "lower" in snag.eased_by and not self._moves_away():
            yield "a lower type", self._clearing(lower_ones)
            yield "a lower size", self._clearing(for_height)
            yield (
                "hooks on a wall",
                self._clearing(partial(on_hooks_instead, budget=mover.budget)),
            )
        if "parts" in snag.eased_by:
            yield "another type or size", self._clearing(that_pass)
        if "standing" in snag.eased_by:
            yield (
                "what stands on the floor",
                self._clearing(partial(standing_instead, budget=mover.budget)),
            )
        if "bolts" in snag.eased_by:
            yield "bolts", self._judged(held_down)
        if "supply" in snag.eased_by:
            yield "another circuit or feed", self._judged(other_supply)
        if "weight" in snag.eased_by:
            yield "less weight", self._judged(less_weight)
        if self._is_in_one_station() or (snag.space is not None and not self._moves_away()):
            yield "a smaller size", self._clearing(for_floor)
        if snag.space is not None:
            yield "putting away", self._judged(put_away)
        if snag.severity == "stop" and snag.meets == "height" and not self._moves_away():
            yield "two changes at once", self._both(for_headroom)
        yield "another movement", self._judged(self._done_otherwise)

    def _done_otherwise(self, scene: Scene, snag: Snag) -> Iterator[Proposal]:
        """Yield other movements, each beside where in the room the wanted one passes."""
        for sentence, command in other_movements(scene, snag):
            other = or_elsewhere(self.mover, snag) + or_another_want(self.mover, snag)
            yield f"{sentence.removesuffix('.')}{other}.", command

    def _is_in_one_station(self) -> bool:
        """Return whether things meet that are used together: neither can be moved away."""
        placed = self.mover.scene.placed
        roots = {placed[piece].root for piece in self.snag.pieces}
        return self.snag.meets == "kit" and len(self.snag.pieces) > 1 and len(roots) == 1

    def _shift(self) -> Iterator[Move]:
        move = self.mover.shift(self.snag)
        if move is not None:
            yield move

    def _judged(
        self, kind: Kind, clearing: bool = False, easing: bool = False
    ) -> Iterator[tuple[tuple[float, ...], Remedy, Effect]]:
        """Judge proposals of a kind one after another; yield those that help, or that clear.

        Where they are `easing` what leaves a stop a stop is no help.
        """
        scene = self.mover.scene
        for number, (sentence, command) in enumerate(kind(scene, self.snag)):
            if self.mover.budget.over:
                return
            try:
                changed = proposed(scene, command)
            except ElbowroomError:
                continue
            # what speaks of the finding is asked first: many proposals do nothing for it
            if self.snag.severity != "note" and not self.mover.speakers.helps(changed, self.snag):
                continue
            may_be_best = partial(self._may_be_best, (float(number),), easing=easing)
            effect = self.mover.trials.effect(
                changed, self.snag, wanted=may_be_best, clearing=clearing
            )
            if effect is not None and not (easing and self._is_as_grave(effect)):
                priced = with_its_price(sentence, effect, scene.plan.units)
                named = Command(
                    name=command.name, says=priced[:SAYS_LIMIT], changes=command.changes
                )
                remedy = Remedy(priced, (named,), clears=effect.left is None, plain=sentence)
                yield (float(number),), remedy, effect

    def _is_as_grave(self, effect: Effect) -> bool:
        """Return whether what is left of the finding is as grave: nobody gets a thing for that."""
        was, rest = weight_of(self.snag), effect.rest
        return rest.severity >= was.severity and (
            was.severity > CARE or rest.share > EASED_SHARE * was.share
        )

    def _may_be_best(self, rank: tuple[float, ...], effect: Rank, *, easing: bool = False) -> bool:
        """Return whether a change of this kind that does so much would be the best so far.

        What leaves a stop is none where it is to be `easing`.
        """
        if easing and effect[0] > CARE:
            return False
        return self._best is None or (*effect, self._kind, *rank) < self._best[0]

    def _clearing(self, kind: Kind) -> Iterator[tuple[tuple[float, ...], Remedy, Effect]]:
        """Judge another size: nobody gets another one for half a cure, or for a trifle."""
        return iter(()) if is_a_trifle(self.snag) else self._judged(kind, clearing=True)

    def _moves(
        self, moves_tried: Iterable[Move]
    ) -> Iterator[tuple[tuple[float, ...], Remedy, Effect]]:
        for move in moves_tried:
            remedy = as_remedy(self.mover.scene, move)
            yield (move.distance_mm,), remedy, move.effect

    def _both(self, kind: Kind) -> Iterator[tuple[tuple[float, ...], Remedy, Effect]]:
        """Judge two changes as one step, the first of a kind: the second makes room for it."""
        scene = self.mover.scene
        for number, both in enumerate(two_changes(self.mover, self.snag, kind)):
            effect = self.mover.trials.effect(build_scene(both.plan), self.snag)
            if effect is None or (self.snag.severity != "stop" and not effect.is_free):
                continue
            priced = with_its_price(both.sentence, effect, scene.plan.units)
            whole = difference(scene.plan, both.plan, "mend", priced[:SAYS_LIMIT])
            if whole is not None:
                clears = effect.left is None
                yield (
                    (float(number),),
                    Remedy(priced, (whole,), clears=clears, moved=both.moved, plain=both.sentence),
                    effect,
                )

    def _last_resort(self) -> Remedy | None:
        """Return what is left when nothing helps with a stop: doing without."""
        snag = self.snag
        if snag.severity != "stop":
            return None
        if snag.lacks == "height":
            plain, command = without(self.mover.scene, snag)
            other = or_elsewhere(self.mover, snag) + or_another_want(self.mover, snag)
            sentence = f"{plain.removesuffix('.')}{other}."
            return Remedy(sentence, (command,), gives_up=True)
        if not hangs_on_place(snag):
            return None
        for _, remedy, effect in self._clearing(left_out):
            # where a row goes only because another one tells of the rest, nothing is mended by it
            if effect.scene is None or self.mover.speakers.helps(effect.scene, snag):
                self.effect = effect
                return replace(remedy, gives_up=True)
        return None
