"""The use cases that pages, API and command line share: keep plans, judge them, draw them."""

from __future__ import annotations

import re
import threading
from collections import defaultdict
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

from app.arrange.offer import PLAIN
from app.arrange.region import headroom_region
from app.changes.commands import Change, Command
from app.checks.open_floor import PersonCard, card
from app.checks.run import in_few_words, in_order, run
from app.drawing.film import region_film
from app.drawing.route_film import RouteFilm, route_film
from app.drawing.section import headroom_section
from app.errors import CommandError, NotFoundError, StoreError
from app.library.known import check_known, check_new_values
from app.library.movements import movements
from app.model.base import LABEL_LIMIT, json_of
from app.model.kit import Pose
from app.model.plan import Plan
from app.model.versions import dump
from app.published.register import overridden
from app.recent import Recent
from app.scene.build import Scene, build_scene
from app.scene.drop import dropped
from app.store.entries import Entry as Entry
from app.store.entries import State
from app.store.flags import numbered, numbered_for_now
from app.store.plans import OWNER, Check, Store, anything
from app.takeoff.moved import FLOOR_AT_REST, lays_anew, moved, on_places
from app.usecases.files import samples
from app.usecases.judged import Findings, InUse, Judged, find
from app.usecases.judging import Judge, scene_or_fault, snags_or_fault, with_what_is_lost
from app.usecases.news import Board
from app.usecases.verdict import changed_rows, verdict_of
from app.usecases.waiting import Waiting

GENERIC_TYPE = PLAIN


class Elbowroom:
    """All plans of one folder, with the newest revisions kept judged in memory.

    Every method may raise StoreError; those that take a plan's id raise NotFoundError.
    """

    def __init__(self, data: Path, judge: Judge = run) -> None:
        self._judge = judge
        self.store = Store(data, self._check)
        self.board = Board()
        self._built: tuple[Plan, Scene] | None = None
        self._recent = InUse()
        self.waiting = Waiting(self.board, self._recent.state)
        self._plan_locks: defaultdict[str, threading.RLock] = defaultdict(threading.RLock)
        self._memories: dict[str, Recent[Any, Any]] = {}

    def close(self) -> None:
        """Close the file of plans."""
        self.board.close()
        self.store.close()

    def memory(
        self, subject: str, most: int, most_bytes: int, size: Callable[[Any], int]
    ) -> Recent[Any, Any]:
        """Return what the use cases of a subject remember between requests, at most so many."""
        return self._memories.setdefault(subject, Recent(most, most_bytes, size))

    def lock(self, plan_id: str) -> threading.RLock:
        """Return the lock under which answers on one plan are made, so that none is made twice."""
        return self._plan_locks[plan_id]

    def list_plans(self, deleted: bool = False) -> tuple[Entry, ...]:
        """List the plans, or the deleted ones; the last changed first."""
        return self.store.entries(deleted)

    def create(self, plan: Plan, author: str = OWNER) -> State:
        """Keep a new plan."""
        return self.store.create(plan, author)

    def create_sample(self, key: str) -> State:
        """Keep a plan made from a sample. Raises NotFoundError for an unknown key."""
        for sample in samples():
            if sample.key == key:
                return self.store.create(sample.plan)
        raise NotFoundError("There is no such sample.")

    def export(self, plan_id: str) -> tuple[str, str]:
        """Return a file name and the text of the plan's file."""
        plan = self.open(plan_id).plan
        stem = re.sub(r"[^A-Za-z0-9]+", "-", plan.name).strip("-").lower()[:60]
        return f"{stem or 'plan'}.json", dump(plan)

    def copy(self, plan_id: str) -> State:
        """Keep a copy of a plan as a plan of its own."""
        plan = self.open(plan_id).plan
        name = f"Copy of {plan.name}"[:LABEL_LIMIT]
        return self.store.create(Plan.model_validate({**json_of(plan), "name": name}))

    def rename(self, plan_id: str, name: str, author: str = OWNER) -> State:
        """Rename a plan. Raises PlanError for an empty or overlong one."""
        before = self.open(plan_id).plan.name
        change = Change(path=("name",), before=before, after=name)
        command = Command(name="rename", says="rename the plan", changes=(change,))
        return self.do(plan_id, command, author)

    def delete(self, plan_id: str) -> None:
        """Put a plan aside; `restore` brings it back."""
        self.store.delete(plan_id)
        self._recent.forget(plan_id)

    def restore(self, plan_id: str) -> None:
        """Bring a deleted plan back."""
        self.store.restore(plan_id)

    def open(self, plan_id: str) -> State:
        """Return a plan as it stands."""
        return self._read(plan_id)

    def do(
        self,
        plan_id: str,
        command: Command,
        author: str = OWNER,
        seen: int | None = None,
        limits: Check = anything,
    ) -> State:
        """Carry a command out; one made on revision `seen` is merged with what came since.

        Raises ConflictError, CommandError, PlanError, and what `limits` refuses of the plan as it
        would be and was; then nothing changes.
        """
        known = self._recent.state(plan_id)
        return self._announced(self.store.do(plan_id, command, author, known, seen, limits))

    def undo(self, plan_id: str, author: str = OWNER, limits: Check = anything) -> State:
        """Take the last command back; raises ConflictError if there is none, as `do` for limits."""
        known = self._recent.state(plan_id)
        return self._announced(self.store.undo(plan_id, author, known, limits))

    def redo(self, plan_id: str, author: str = OWNER, limits: Check = anything) -> State:
        """Do the last undone command again; raises as `undo`."""
        known = self._recent.state(plan_id)
        return self._announced(self.store.redo(plan_id, author, known, limits))

    def _announced(self, state: State) -> State:
        """Tell the pages that follow a plan how it stands now."""
        self._recent.arrived(state)
        self.board.changed(state.plan_id, state.revision)
        return state

    def judged(self, plan_id: str) -> Judged:
        """Return the newest revision with everything found in it; judged once and then kept."""
        with self.lock(plan_id):
            known = self._recent.newest(plan_id)
            state = self._read(plan_id)
            if known is not None and known.state is state:
                return known
            findings = self._recent.alike(state) or self._find(plan_id, self._scene(state.plan))
            if state.out_of_reach is not None:
                lost = with_what_is_lost(state, findings.every_snag)
                findings = replace(findings, every_snag=lost)
            before = known.numbers if known else self.store.flags(plan_id)
            numbers = numbered((snag.key for snag in findings.snags), before)
            if numbers != before:
                # where nothing can be written, the plan is shown all the same
                with suppress(StoreError):
                    self.store.keep_flags(plan_id, numbers)
            seen = Judged(state, findings, numbers)
            self._recent.keep(seen)
            return seen

    def judged_at(self, plan_id: str, number: int) -> Judged:
        """Return a revision that is kept with everything found in it. Raises NotFoundError."""
        state = self.store.at(plan_id, number)
        findings = self._recent.alike(state)
        if findings is None:
            findings = self._find(plan_id, scene_or_fault(state.plan))
            self._recent.keep_past(state, findings)
        numbers = numbered((snag.key for snag in findings.snags), self.store.flags(plan_id))
        return Judged(state, findings, numbers)

    def _find(self, plan_id: str, scene: Scene) -> Findings:
        return find(scene, self.waiting.pause_for(plan_id, scene.plan), self._judge)

    def _scene(self, plan: Plan) -> Scene:
        built = self._built
        return built[1] if built and built[0] is plan else scene_or_fault(plan)

    def try_moves(self, plan_id: str, poses: Mapping[str, Pose]) -> dict[str, Any]:
        """Return the verdict as it would be with pieces at other poses; nothing is kept.

        Raises CommandError for a piece that is not in the plan.
        """
        return self._tried(self._seen_lately(plan_id), poses)

    def try_against(
        self, plan_id: str, poses: Mapping[str, Pose], revision: int
    ) -> tuple[dict[str, Any] | None, dict[str, Any]]:
        """Return what changes in the verdict on a revision with pieces at other poses, and all.

        The first is None where only all of it will do: the revision is not the newest any more,
        or its rows cannot be named. Raises CommandError for a piece that is not in the plan.
        """
        seen = self._seen_lately(plan_id)
        verdict = self._tried(seen, poses)
        known = seen.state.revision == revision
        return (changed_rows(seen.verdict, verdict) if known else None), verdict

    def money_of(self, plan_id: str, poses: Mapping[str, Pose]) -> list[str]:
        """Return what changes on the list with pieces at other poses: "+1 socket lead, +€12.00".

        A floor that would be laid anew is only named: it is counted at rest.
        """
        seen = self._seen_lately(plan_id)
        plan, known = seen.state.plan, [one for one in poses if one in seen.scene.placed]
        scene = seen.scene.moved({one: poses[one] for one in known})
        stand = tuple((one.piece, one.pose) for one in seen.scene.order)
        before = seen.scene.memo(
            ("on places", stand, plan.money, plan.fit_out), lambda: on_places(seen.scene)
        )
        changed = moved(before, on_places(scene))
        words = [one.worded(plan.currency) for one in changed]
        return [*words, FLOOR_AT_REST] if lays_anew(seen.scene, set(known)) else words

    def _seen_lately(self, plan_id: str) -> Judged:
        self.waiting.dragged()
        return self._recent.newest(plan_id) or self.judged(plan_id)

    def _tried(self, seen: Judged, poses: Mapping[str, Pose]) -> dict[str, Any]:
        strange = [piece_id for piece_id in poses if piece_id not in seen.scene.placed]
        if strange:
            raise CommandError(f"There is no piece {strange[0]!r} in the plan.")
        scene = seen.scene.moved(poses)
        # what is judged only after the drop stays as it was till then, so that no row flickers
        snags = in_few_words(
            in_order((*snags_or_fault(scene, False, self._judge), *seen.findings.late))
        )
        numbers = numbered_for_now((snag.key for snag in snags), seen.numbers)
        return verdict_of(seen.state.plan, snags, numbers, known=seen.rows)

    def verdict(self, plan_id: str) -> dict[str, Any]:
        """Return the verdict on the newest revision, without remedies, as JSON data."""
        return self.judged(plan_id).verdict

    def cards(self, plan_id: str) -> tuple[PersonCard, ...]:
        """Return each person's card: what this ceiling allows, movement by movement."""
        return card(self.judged(plan_id).scene)

    def desk_drawing(self, plan_id: str) -> str:
        """Return the desk's drawing of the newest revision as SVG markup."""
        return self.judged(plan_id).drawing

    def section(self, plan_id: str, key: str) -> str:
        """Return the section of a headroom snag as SVG markup. Raises NotFoundError for another."""
        seen = self.judged(plan_id)
        for snag in seen.snags:
            if snag.key == key and snag.lacks == "height":
                return headroom_section(seen.scene, snag)
        raise NotFoundError("There is no section for that.")

    def region(self, plan_id: str, person_id: str, movement: str) -> tuple[str, str]:
        """Return films of the open floor where a person has the least for a movement, and the need.

        Raises NotFoundError for a person or movement that is not there.
        """
        scene = self.judged(plan_id).scene
        person = next((one for one in scene.plan.people if one.id == person_id), None)
        if person is None or movement not in movements():
            raise NotFoundError("There is no such person or movement.")
        with overridden({override.id: override.value for override in scene.plan.overrides}):
            least, need = (
                headroom_region(scene, person, movement, margin) for margin in (False, True)
            )
        return region_film(least), region_film(need, "need")

    def ways(self, plan_id: str) -> RouteFilm:
        """Return the film of the ways on foot of the newest revision."""
        scene = self.judged(plan_id).scene
        with overridden({override.id: override.value for override in scene.plan.overrides}):
            return route_film(scene)

    def _check(self, plan: Plan, before: Plan | None) -> None:
        """Refuse a plan before it is kept; what was built for that is soon asked for again."""
        check_known(plan)
        if before is not None:
            check_new_values(plan, before)
        there = None if before is None else self._recent.scene_of(before)
        scene = None if there is None else dropped(there, plan)
        self._built = (plan, scene or build_scene(plan))

    def _read(self, plan_id: str) -> State:
        state = self.store.read(plan_id, self._recent.state(plan_id))
        self._recent.arrived(state)
        return state
