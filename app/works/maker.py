"""Makes tasks one after the other: hours from the register, what a household typed laid over."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from app.library.tasks import TaskKind, task_kinds
from app.model.works import TaskNote, Works
from app.published.register import published
from app.works.task import After, Task

LETTERS = "abc"
"""What the parts of the floor are called in ids."""


class Maker:
    """Collects the tasks of a plan in their usual order."""

    def __init__(
        self, works: Works, cold: bool, names: Sequence[str], keys: Sequence[str] = ()
    ) -> None:
        self.works = works
        self.cold = cold
        self.names = tuple(names)
        """What the parts of the floor are called, one name for each."""
        self.keys = tuple(keys)
        """The keys of the list of quantities, for what a task uses."""
        self.tasks: list[Task] = []
        self.problems: list[str] = []
        """What a note asks for and cannot be had now: it is kept, and said."""
        self._notes = {note.id: note for note in works.tasks}
        self._seen: set[str] = set()

    def add(
        self,
        kind: str,
        quantity: float,
        unit: str = "",
        *,
        suffix: str = "",
        called: str = "",
        name: str = "",
        group: str = "",
        why: str = "",
        hours: float | None = None,
        more_hours: float = 0.0,
        first: str = "",
        after: Iterable[str | After] = (),
        pieces: Sequence[float] = (),
        wait_h: float = 0.0,
        wait_workdays: float = 0,
        part: int = 0,
        least: int | None = None,
        caution: str = "",
        lines: Sequence[str] = (),
        where: Sequence[str] = (),
        solvent: bool = False,
        rate: str = "",
    ) -> str:
        """Add a task and return its id; hours are those of the register for this quantity.

        Its id is the kind, or what it is `called`, and the suffix. What it waits for and is not
        there is passed over: then there is nothing to wait for. The first of its kind (`first`,
        else the kind) takes longer by hands that never did it.
        """
        row: TaskKind = task_kinds()[kind]
        task_id = f"{called or kind}-{suffix}" if suffix else called or kind
        known = {task.id for task in self.tasks}
        work = quantity * published(f"works.{kind}.h") if hours is None else hours
        work += more_hours
        new = self.works.first_time and row.who == "own" and work > 0
        new = new and (first or kind) not in self._seen
        self._seen.add(first or kind)
        if new:
            work *= published("works.first-time")
        if row.who == "own":
            work *= self.works.pace
        total = sum(pieces)
        links = [After(one) if isinstance(one, str) else one for one in after]
        made = Task(
            id=task_id,
            kind=kind,
            name=name or row.name,
            group=group or self._group(row.group, part),
            why=why or row.why,
            quantity=round(quantity, 2),
            unit=unit,
            hours=round(work, 2),
            who=row.who,
            least=row.least if least is None else least,
            best=max(row.best, least or 0),
            after=_each_once(link for link in links if link.id in known),
            pieces=tuple(piece / total for piece in pieces if piece > 0) if total else (),
            wait_min=round(wait_h * 60),
            wait_workdays=round(wait_workdays),
            same_day=row.same_day,
            loud=row.loud,
            paint=row.paint,
            tip=row.tip,
            alone=row.alone,
            elsewhere=row.elsewhere,
            solvent=solvent,
            caution=" ".join(text for text in (row.caution, caution) if text),
            part=part,
            where=tuple(where),
            lines=tuple(lines),
            first_time=new,
            rate=f"works.{kind}.h" if hours is None else rate,
            uses=self._used(row),
        )
        if row.unbroken and not made.pieces:
            made = replace(made, pieces=(1.0,))
        self.tasks.append(made)
        return task_id

    def _used(self, row: TaskKind) -> tuple[str, ...]:
        """Return the lines of the list that a task of this kind has at hand."""
        lines: dict[str, None] = {}
        for use in row.uses:
            stem = use.removesuffix("*")
            lines |= dict.fromkeys(
                key for key in self.keys if key == use or (stem != use and key.startswith(stem))
            )
        return tuple(lines)

    def _group(self, group: str, part: int) -> str:
        if not part:
            return group
        name = self.names[part - 1]
        return name.capitalize() if name else group

    def finished(self) -> tuple[Task, ...]:
        """Return the tasks with what the household typed of them, its own among them."""
        self._own_tasks()
        left_out = {note.id for note in self.works.tasks if note.left_out}
        bridged = {task.id: task.after for task in self.tasks if task.id in left_out}
        made: list[Task] = []
        for task in self.tasks:
            if task.id in left_out:
                continue
            after = _bridged(task.after, bridged)
            made += self._noted(replace(task, after=after))
        return tuple(made)

    def _own_tasks(self) -> None:
        goal = next((t for t in self.tasks if t.kind == "first-training"), None)
        row = task_kinds()["own"]
        for note in self.works.tasks:
            if not note.added or note.hours is None:
                continue
            task = Task(
                id=note.id, kind="own", name=note.label, group=row.group, why=row.why,
                quantity=0, unit="", hours=note.hours, best=row.best, elsewhere=row.elsewhere,
            )  # fmt: skip
            self.tasks.insert(-1 if goal else len(self.tasks), task)
            if goal is not None:
                i = self.tasks.index(goal)
                goal = replace(goal, after=(*goal.after, After(note.id)))
                self.tasks[i] = goal

    def _noted(self, task: Task) -> list[Task]:
        note = self._notes.get(task.id)
        if note is None:
            return [task]
        known = {one.id for one in self.tasks}
        for other in note.after:
            if other not in known:
                self.problems.append(
                    f"{task.name} was to wait for a task that this plan does not have now "
                    f"({other}). It is planned without that: choose another one, or take it away."
                )
        made = replace(
            task,
            name=note.label or task.name,
            hours=task.hours if note.hours is None else note.hours,
            first_time=task.first_time and note.hours is None,
            least=task.least if note.people is None else note.people,
            best=task.best if note.people is None else note.people,
            who=note.who or task.who,
            after=_each_once(
                [*task.after, *(After(other) for other in note.after if other in known)]
            ),
            wait_min=task.wait_min if note.wait_h is None else round(note.wait_h * 60),
            wait_workdays=task.wait_workdays if note.wait_h is None else 0,
            not_before=note.not_before,
            began_on=note.began_on,
            done_on=note.done_on,
            done_hours=note.done_hours,
            diary=note.diary,
            photos=note.photos,
        )
        return _in_parts(made, note) if note.parts > 1 else [made]


def _in_parts(task: Task, note: TaskNote) -> list[Task]:
    """Split a task into so many that follow one another; the last keeps its id."""
    made: list[Task] = []
    for i in range(note.parts):
        last = i + 1 == note.parts
        made.append(
            replace(
                task,
                id=task.id if last else f"{task.id}-{i + 1}of{note.parts}",
                name=f"{task.name}, {i + 1} of {note.parts}",
                hours=round(task.hours / note.parts, 2),
                after=task.after if not made else (*task.after, After(made[-1].id)),
                done_on=task.done_on,
            )
        )
    return made


def _bridged(links: tuple[After, ...], gone: dict[str, tuple[After, ...]]) -> tuple[After, ...]:
    """Return what a task waits for when some tasks are left out: what those had waited for."""
    made: list[After] = []
    open_links, seen = list(links), set[str]()
    while open_links:
        link = open_links.pop(0)
        if link.id not in gone:
            made.append(link)
        elif link.id not in seen:
            seen.add(link.id)
            open_links += gone[link.id]
    return _each_once(made)


def _each_once(links: Iterable[After]) -> tuple[After, ...]:
    """Return links of which each other task is named once, by the strictest of what is asked."""
    by_id: dict[str, After] = {}
    for link in links:
        known = by_id.get(link.id, link)
        by_id[link.id] = After(
            link.id, link.dry or known.dry, max(link.least_min, known.least_min)
        )  # fmt: skip
    return tuple(by_id.values())
