"""Arrange it for me: the search of a plan that runs in the background, and what is done with it."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass

from app.arranging.arrange import Answers, ready
from app.arranging.best_layouts import JudgedLayout
from app.arranging.crew import Crew
from app.arranging.failure import WAYS_STEPS, too_much_floor, ways_to_a_layout
from app.arranging.problem import Problem, Task
from app.arranging.shown import Shown
from app.arranging.standby import Standby, sharers
from app.arranging.too_much import STEPS_IN_ALL, crowded, crowded_words, lighter
from app.arranging.typed_wish import typed_wish
from app.arranging.wishes import Wish, stored_wishes, targets, wishes_of
from app.arranging.workers import never, shared_out
from app.budget import Budget
from app.changes.commands import Change, Command, apply, moves
from app.changes.difference import difference
from app.drawing.desk import desk_figure
from app.errors import CommandError, EndingError, NotFoundError
from app.model.base import LABEL_LIMIT, json_of
from app.model.phases import without
from app.model.plan import Plan
from app.recent import Recent
from app.store.entries import State
from app.store.plans import OWNER
from app.usecases.judged import scene_bytes
from app.usecases.layout_run import Run, View, card_of, key_of, letters_of
from app.usecases.onlooker import Onlooker
from app.usecases.plans import Elbowroom
from app.usecases.waiting import never_leaves

RUNS_AT_MOST = 8
"""Plans of which the last search is remembered: each holds a few layouts and their drawings."""
RUNS_BYTES = 64_000_000
"""What they hold together: a dozen of a plan of 30 pieces."""
LOOKED_AT_MOST = 1000
"""Plans of which is known that layouts were looked for, to say that these are gone."""
LOOKED_AT_BYTES = 64 * LOOKED_AT_MOST
LAYOUTS = 2
"""What a search holds, as so many scenes: that of the plan, and what its layouts do not share."""
SECONDS = 40.0
"""How long is looked unless somebody stops it: longer than anybody watches."""
LEAST_SHARE = 0.5
"""How much of a processor each of its processes must have had: with less the machine was busy, and
what is found is not all that it finds in that time."""
STEPS_AT_MOST = 200
"""Of each search, where steps are asked for: as many as are made in those seconds."""
SEED = 1
NOT_AT_HAND = "This layout is no longer at hand: look for layouts again."
GAVE_WAY = "This layout gave way to a better one: choose again."
STANDBY_BYTES = 1
"""What processes at standby count here: their memory is their own, and only one plan has any."""


@dataclass(frozen=True, slots=True)
class _Readying:
    """Processes that make ready for a plan, and the revision of it that they do it for."""

    revision: int
    standby: Standby


def begin(
    house: Elbowroom,
    plan_id: str,
    keep: Iterable[str] = (),
    moves_at_most: int | None = None,
    steps: int | None = None,
    seconds: float = SECONDS,
    worths: Mapping[str, float] | None = None,
    wishes: Sequence[Wish] | None = None,
    author: str = OWNER,
    least_share: float = LEAST_SHARE,
) -> None:
    """Start to look for layouts of a plan; what ran before for it stops.

    Pieces in `keep` stay where they are; those in `worths` may be left out, at so many points of
    the score each. `wishes` are kept in the plan; without any said, those that it holds count.

    It ends after so many seconds or steps of each search, and before that once nobody asks how it
    stands (steps are counted to the end all the same), the plan is another or the program ends.
    Processes that had less than `least_share` of a processor each wait to be told to look on.

    Raises ArrangeError where there is nothing to look for, NotFoundError.
    """
    state = house.open(plan_id)
    command = None if wishes is None else _wished(state.plan, wishes)
    plan = state.plan if command is None else apply(state.plan, command)
    task = Task(
        plan,
        frozenset(keep),
        moves_at_most,
        tuple(sorted((worths or {}).items())),
        wishes_of(plan) if wishes is None else tuple(wishes),
    )
    problem = ready(task)
    if command is not None:
        state = house.do(plan_id, command, author)
    steps = None if steps is None else min(steps, STEPS_AT_MOST)
    lasts_s = None if steps else seconds
    readying = _standby(house).get(plan_id)
    onlooker = Onlooker(lambda: house.waiting.look(plan_id, state.plan, never_leaves))
    crew = Crew(
        task,
        SEED,
        steps,
        lasts_s,
        gives_way=lambda: house.waiting.dragging,
        gone=never if steps else (lambda: onlooker.gone),
        behind=True,
        least_share=least_share,
        standby=None if readying is None else readying.standby,
    )
    stop(house, plan_id)
    crew.start()
    run = Run(Answers(problem), crew, onlooker, state.revision, lasts_s=lasts_s)
    runs_of(house).put(plan_id, run)
    _looked_at(house).put(plan_id, plan_id)


@dataclass(frozen=True, slots=True)
class Asks:
    """What can be asked of the pieces of a plan: what may be left out, and what wishes look to."""

    pieces: Mapping[str, str]
    targets: Mapping[str, str]


def asks(house: Elbowroom, plan_id: str) -> Asks:
    """Return what can be asked for before layouts are looked for. Raises NotFoundError."""
    scene = house.judged(plan_id).scene
    free = Problem(Task(house.open(plan_id).plan)).free
    return Asks({root: scene.placed[root].name for root in free}, targets(scene))


def in_words(house: Elbowroom, plan_id: str, lines: Iterable[str]) -> tuple[Wish, ...]:
    """Return the wishes that somebody typed, one a line.

    Raises WishError for one that is not understood, NotFoundError.
    """
    wishes = [line for line in lines if line.strip()]
    if not wishes:
        return ()
    scene = house.judged(plan_id).scene
    return tuple(typed_wish(line, scene) for line in wishes)


def _wished(plan: Plan, wishes: Sequence[Wish]) -> Command | None:
    """Return the command that makes a plan hold wishes, None where it holds these already.

    Those of what is no longer there stay.
    """
    was = {one.id: json_of(one) for one in stored_wishes(wishes_of(plan))}
    now = {one.id: json_of(one) for one in stored_wishes(wishes)}
    changes = [
        Change(path=("layout_wishes", key), before=was.get(key), after=now.get(key))
        for key in {**was, **now}
        if (key in was) != (key in now)
    ]
    says = "wishes of where things stand"
    return Command(name="edit", says=says, changes=tuple(changes)) if changes else None


def begin_if_new(house: Elbowroom, plan_id: str) -> None:
    """Start to look, with what was asked last, unless this very plan was looked at.

    What was asked of pieces that are gone is let go. Raises as `begin` does.
    """
    known, state = runs_of(house).get(plan_id), house.open(plan_id)
    if known is None:
        begin(house, plan_id)
    elif known.revision != state.revision:
        task, there = known.problem.task, {piece.id for piece in state.plan.pieces}
        begin(
            house,
            plan_id,
            task.keep & there,
            task.moves_at_most,
            worths={piece: worth for piece, worth in task.worths if piece in there},
        )


def make_ready(house: Elbowroom, plan_id: str) -> None:
    """Let processes make ready for a plan whose page is read. Raises NotFoundError."""
    ready_now, state = _standby(house), house.open(plan_id)
    known = ready_now.get(plan_id)
    if known is not None and known.revision == state.revision and known.standby.waiting:
        return
    for other in ready_now.values():
        other.standby.end()
    jobs = shared_out(Task(state.plan, wishes=wishes_of(state.plan)), sharers(), SEED)
    ready_now.put(plan_id, _Readying(state.revision, Standby(jobs)))


def view(house: Elbowroom, plan_id: str) -> View | None:
    """Return how the search of a plan stands, None where none was begun."""
    run = runs_of(house).get(plan_id)
    if run is None:
        return None
    run.onlooker.seen()
    with run.lock:
        waits = run.crew.waits
        running = run.crew.running and not waits
        answer = run.answers.so_far(run.crew)
        if not run.now:
            run.now = desk_figure(run.problem.as_is).svg
        cards = tuple(card_of(run, shown) for shown in answer.layouts)
        over = not running and not waits
        every = (one.layout for one in answer.layouts if one.layout is not None)
        best = crowded(run.problem.task, every) if over else None
        if over and run.trying is None and not run.given_up:
            if not answer.found:
                _explain(run)
            elif best is not None:
                _lighten(run, best)
        trying = run.trying is not None and run.trying.is_alive()
        unchanged_s = run.unchanged_s(tuple(card.key for card in cards)) if running else 0
    scene = run.problem.scene
    names = {root: scene.placed[root].name for root in run.problem.free}
    staying = tuple(
        scene.placed[root].name for root in scene.stations if root not in run.problem.free
    )
    return View(
        running,
        answer,
        cards,
        run.now,
        run.problem.plan,
        run.revision,
        staying,
        names,
        run.cannot_be,
        tuple(run.ways),
        trying,
        run.problem.task,
        run.seconds_left if running else None,
        waits,
        letters_of(scene),
        unchanged_s,
        "" if best is None else _crowded_words(run, best, trying=trying),
    )


def was_looked_at(house: Elbowroom, plan_id: str) -> bool:
    """Return whether layouts of a plan were found that are not kept any more."""
    return plan_id in _looked_at(house).values() and runs_of(house).get(plan_id) is None


def stop(house: Elbowroom, plan_id: str) -> None:
    """Stop looking and keep what was found; nothing happens where nobody looks."""
    run = runs_of(house).get(plan_id)
    if run is not None:
        run.given_up = True
        run.crew.stop()
        run.crew.join()


def go_on(house: Elbowroom, plan_id: str, seconds: float = SECONDS) -> None:
    """Look on for as long again, where the machine was too busy; else nothing happens."""
    run = runs_of(house).get(plan_id)
    if run is not None and run.crew.waits:
        run.onlooker.seen()
        run.begun, run.lasts_s = time.monotonic(), seconds
        run.crew.go_on(seconds)


def wait(house: Elbowroom, plan_id: str) -> None:
    """Wait till the search of a plan has ended by itself, or waits to be told to look on."""
    run = runs_of(house).get(plan_id)
    if run is not None:
        run.crew.rest()
        if run.trying is not None:
            run.trying.join()


def take(house: Elbowroom, plan_id: str, key: str, author: str = OWNER) -> State:
    """Put a layout on the plan as one command; undo takes it back.

    What came to the plan since stays, what was taken from it stays away. Raises NotFoundError for
    an unknown layout, ConflictError.
    """
    run, shown = _known(house, plan_id, key)
    plan = house.open(plan_id).plan
    return house.do(plan_id, _command(run, plan, shown), author)


def look_at(house: Elbowroom, plan_id: str, key: str) -> None:
    """Let a layout that was found stay among those to choose from, whatever is found later.

    Raises NotFoundError for an unknown one.
    """
    run = runs_of(house).get(plan_id)
    if run is None:
        raise NotFoundError(NOT_AT_HAND)
    with run.lock:
        if not run.answers.pick(run.crew, key):
            raise NotFoundError(GAVE_WAY)


def keep_as_option(house: Elbowroom, plan_id: str, key: str, author: str = OWNER) -> State:
    """Keep a layout as another option of the plan. Raises NotFoundError for an unknown layout."""
    run, shown = _known(house, plan_id, key)
    plan = house.open(plan_id).plan
    moved = apply(plan, _command(run, plan, shown))
    name = f"{plan.name}: {shown.name}"[:LABEL_LIMIT]
    made = Plan.model_validate({**json_of(moved), "name": name})
    return house.store.families.add(plan_id, lambda _: made, author)


def _explain(run: Run) -> None:
    """Try in the background what would free a layout, and say first whether there can be one."""
    run.cannot_be = too_much_floor(run.problem)

    def look() -> None:
        if run.given_up or run.crew.gone():
            raise EndingError("nobody waits any more")

    def try_out() -> None:
        with suppress(EndingError):
            for way in ways_to_a_layout(run.problem.task, Budget(WAYS_STEPS, look)):
                run.ways.append(way.sentence)

    run.trying = threading.Thread(target=try_out, daemon=True)
    run.trying.start()


def _lighten(run: Run, best: JudgedLayout) -> None:
    """Try in the background without which thing fewer cares are left, where the kit is too much."""

    def look() -> None:
        if run.given_up or run.crew.gone():
            raise EndingError("nobody waits any more")

    def try_out() -> None:
        with suppress(EndingError):
            for one in lighter(run.problem.task, best, Budget(STEPS_IN_ALL, look)):
                run.without.append(one)
            run.tried = True

    run.trying = threading.Thread(target=try_out, daemon=True)
    run.trying.start()


def _crowded_words(run: Run, best: JudgedLayout, *, trying: bool) -> str:
    count = len(run.problem.scene.stations) - len(best.looks.left_out)
    found = tuple(run.without)
    return crowded_words(count, best.cares, found, tried=run.tried, trying=trying)


def _command(run: Run, plan: Plan, shown: Shown) -> Command:
    """Return the command that makes a plan into a layout: pieces move, what is left out goes."""
    there = {piece.id: piece.pose for piece in plan.pieces}
    poses = {key: pose for key, pose in shown.poses.items() if key in there and there[key] != pose}
    out = run.problem.members(shown.layout.looks.left_out if shown.layout else ())
    after = without(apply(plan, moves(plan, poses)) if poses else plan, out & there.keys())
    command = difference(plan, after, "move", f"arrange: {shown.name}")
    if command is None:
        raise CommandError("Everything stands as in this layout already.")
    return command


def _known(house: Elbowroom, plan_id: str, key: str) -> tuple[Run, Shown]:
    run = runs_of(house).get(plan_id)
    if run is None:
        raise NotFoundError(NOT_AT_HAND)
    with run.lock:
        for shown in run.answers.so_far(run.crew).layouts:
            if key_of(shown) == key:
                return run, shown
    raise NotFoundError(GAVE_WAY)


def _run_bytes(run: Run) -> int:
    return LAYOUTS * scene_bytes(run.problem.scene)


def runs_of(house: Elbowroom) -> Recent[str, Run]:
    """Return the last search of each plan."""
    runs: Recent[str, Run] = house.memory("arranging", RUNS_AT_MOST, RUNS_BYTES, _run_bytes)
    return runs


def _looked_at(house: Elbowroom) -> Recent[str, str]:
    return house.memory("arranged once", LOOKED_AT_MOST, LOOKED_AT_BYTES, len)


def _standby(house: Elbowroom) -> Recent[str, _Readying]:
    one: Recent[str, _Readying] = house.memory(
        "arranging at standby", 1, STANDBY_BYTES, lambda _: STANDBY_BYTES
    )
    return one
