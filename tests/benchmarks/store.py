"""How fast a command is kept and a history opened, beside bare SQLite with the same durability."""

import sqlite3
import tempfile
import time
from pathlib import Path

from app.changes.commands import moves
from app.model.kit import Pose
from app.model.plan import Plan
from app.store.plans import Store
from app.usecases.files import samples
from app.usecases.history import history
from app.usecases.plans import Elbowroom
from tests.benchmarks.table import Row, fastest_ms

WARM_UP, SAVES = 300, 400
FEW, MANY = 50, 5000
TIMES = 15


def garage() -> Plan:
    """The largest of the sample plans."""
    return max((sample.plan for sample in samples()), key=lambda plan: len(plan.pieces))


def in_turns(folder: Path) -> tuple[float, float]:
    """Give the mean ms of keeping a command, and of the least that keeps one durably.

    The least is one insert in one transaction with the same settings. The two take turns, so that
    a busy disk is busy for both; first come turns that do not count, until the logs beside the
    files have stopped to grow.
    """
    db = sqlite3.connect(folder / "bare.sqlite3", isolation_level=None)
    db.execute("PRAGMA journal_mode = WAL")
    db.execute("PRAGMA synchronous = FULL")
    db.execute("CREATE TABLE log (number INTEGER PRIMARY KEY, command TEXT NOT NULL)")
    store = Store(folder)
    state = store.create(garage())
    rack = state.plan.pieces[0]
    whole, least = 0.0, 0.0
    for number in range(WARM_UP + SAVES):
        pose = Pose(x_mm=rack.pose.x_mm + number % 7 + 1, y_mm=rack.pose.y_mm)
        command = moves(state.plan, {rack.id: pose}, says="move it")
        written = command.model_dump_json()
        begin = time.perf_counter()
        state = store.do(state.plan_id, command, known=state)
        between = time.perf_counter()
        db.execute("BEGIN IMMEDIATE")
        db.execute("INSERT INTO log (command) VALUES (?)", (written,))
        db.execute("COMMIT")
        end = time.perf_counter()
        if number >= WARM_UP:
            whole += between - begin
            least += end - between
    store.close()
    db.close()
    return whole / SAVES * 1000, least / SAVES * 1000


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
    with tempfile.TemporaryDirectory() as place:
        kept, least = in_turns(Path(place))
        found = [("a command kept, to a bare durable transaction", kept, least, kept / least, "3")]
        houses = [grown(Path(place) / str(count), count) for count in (MANY, FEW)]
        many, few = fastest_ms(
            lambda: houses,
            [
                lambda both: history(*both[0]),
                lambda both: history(*both[1]),
            ],
            TIMES,
        )
        for house, _ in houses:
            house.close()
    name = f"opening a history of {MANY} revisions, to one of {FEW}"
    return [*found, (name, many, few, many / few, "3")]
