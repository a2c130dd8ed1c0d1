"""How fast a command is kept and a history opened, beside bare SQLite with the same durability."""

import sqlite3
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median

from app.keeping import history
from app.model.commands import moves
from app.model.kit import Pose
from app.model.plan import Plan
from app.service import Elbowroom, samples
from app.store.plans import Store

Row = tuple[str, float, float, float, str]
SAVES = 300
FEW, MANY = 50, 5000
TIMES = 15


def garage() -> Plan:
    """The largest of the sample plans."""
    return max((sample.plan for sample in samples()), key=lambda plan: len(plan.pieces))


def bare(folder: Path, command: bytes) -> Callable[[], object]:
    """The least that keeps a command durably: one insert, one transaction, the log synced."""
    db = sqlite3.connect(folder / "bare.sqlite3", isolation_level=None)
    db.execute("PRAGMA journal_mode = WAL")
    db.execute("PRAGMA synchronous = FULL")
    db.execute("CREATE TABLE log (number INTEGER PRIMARY KEY, command TEXT NOT NULL)")

    def save() -> None:
        db.execute("BEGIN IMMEDIATE")
        db.execute("INSERT INTO log (command) VALUES (?)", (command,))
        db.execute("COMMIT")

    return save


def whole(folder: Path) -> tuple[Callable[[], object], bytes]:
    """A command as the program keeps it: applied, validated, recorded, synced."""
    store = Store(folder)
    kept = [store.create(garage())]
    rack = kept[0].plan.pieces[0]

    def command() -> object:
        x = rack.pose.x_mm + kept[0].revision % 7 + 1
        return moves(kept[0].plan, {rack.id: Pose(x_mm=x, y_mm=rack.pose.y_mm)})

    def save() -> None:
        x = rack.pose.x_mm + kept[0].revision % 7 + 1
        move = moves(kept[0].plan, {rack.id: Pose(x_mm=x, y_mm=rack.pose.y_mm)})
        kept[0] = store.do(kept[0].plan_id, move, known=kept[0])

    return save, repr(command()).encode()


def each_ms(make: Callable[[], object], times: int) -> float:
    """The middle one of several runs, in ms."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        make()
        taken.append((time.perf_counter() - start) * 1000)
    return median(taken)


def grown(folder: Path, count: int) -> tuple[Elbowroom, str]:
    """A plan with `count` revisions, all of today."""
    house = Elbowroom(folder)
    state = house.create(garage())
    first = state.plan.pieces[0]
    with house.store.database.writing() as db:
        # One command after another would take a minute only to build what is to be opened.
        db.execute("PRAGMA defer_foreign_keys = ON")
        where = (state.plan_id,)
        for number in range(1, count + 1):
            xs = (first.pose.x_mm + (number - 1) % 7, first.pose.x_mm + number % 7)
            before, after = (
                f'{{"x_mm": {x}, "y_mm": {first.pose.y_mm}, "angle_deg": {first.pose.angle_deg}}}'
                for x in xs
            )
            command = (
                f'{{"name": "move", "says": "move it", "changes": [{{"path": ["pieces", '
                f'"{first.id}", "pose"], "before": {before}, "after": {after}}}]}}'
            )
            db.execute(
                "INSERT INTO revisions (plan_id, number, kind, command, author, at, undoable) "
                "SELECT ?, ?, 'do', ?, 'owner', at, ? FROM revisions WHERE plan_id = ? "
                "AND number = 0",
                (*where, number, command, number, *where),
            )
        db.execute("UPDATE plans SET revision = ? WHERE id = ?", (count, *where))
        for number in range(50, count + 1, 50):
            x = first.pose.x_mm + number % 7
            db.execute(
                "INSERT INTO snapshots SELECT plan_id, ?, "
                "json_set(plan, '$.pieces[0].pose.x_mm', ?) FROM snapshots WHERE number = 0",
                (number, x),
            )
    return house, state.plan_id


def rows() -> list[Row]:
    """What was measured: name, ms, baseline ms, ratio, and its limit."""
    found: list[Row] = []
    with tempfile.TemporaryDirectory() as place:
        (Path(place) / "whole").mkdir()
        save, command = whole(Path(place) / "whole")
        least = bare(Path(place), command)
        ours, base = [], []
        # In turns, so that a busy disk is busy for both.
        for _ in range(SAVES // 10):
            ours.append(each_ms(save, 10))
            base.append(each_ms(least, 10))
        kept, floor = median(ours), median(base)
        found.append(("a command kept, to a bare transaction", kept, floor, kept / floor, "3"))
        opened = {}
        for count in (FEW, MANY):
            house, plan_id = grown(Path(place) / str(count), count)
            opened[count] = each_ms(lambda h=house, p=plan_id: history(h, p), TIMES)  # type: ignore[misc]
            house.close()
        ratio = opened[MANY] / opened[FEW]
        name = f"opening a history of {MANY} revisions, to one of {FEW}"
        found.append((name, opened[MANY], opened[FEW], ratio, "3"))
    return found
