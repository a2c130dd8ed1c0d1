"""What the command line does with files: check, draw, count, cut, keep copies.

Apart from the rest of the command line because it needs the whole program: a second start that
only shows the first one's page should not wait for it.
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from app.checks.headroom_table import table
from app.costs import ledger
from app.costs.cost import costs
from app.drawing.paper import SheetError
from app.errors import ElbowroomError, Fault, PlanError, StoreError, one_line
from app.model.faults import plan_error
from app.model.people import Person
from app.model.plan import Plan
from app.model.versions import BYTE_LIMIT, schema
from app.scene.build import build_scene
from app.takeoff import quantities
from app.takeoff.cutting_1d import cut_lengths
from app.takeoff.quantities import take_off
from app.units import parse_length_mm
from app.usecases.accounts import draw_sheet
from app.usecases.files import draw, judge
from app.usecases.history import back_up_folder, restore_folder
from app.usecases.picture_files import read_plan_file
from app.usecases.picture_reading import PictureError

UNREAD = 1
"""The exit code where some plans could not be read."""


def carry_out(asked: argparse.Namespace, data: Path) -> int:
    """Carry out a command of the command line; `data` is the folder of plans. Gives the exit code.

    Raises ElbowroomError with a sentence for the person.
    """
    if asked.command == "check":
        return _check(asked.plan, asked.json)
    if asked.command == "draw":
        return _draw(asked)
    if asked.command == "headroom":
        return _headroom(asked)
    if asked.command == "backup":
        return _back_up(asked, data)
    if asked.command == "restore":
        return _restore(asked, data)
    if asked.command == "cut":
        return _cut(asked)
    if asked.command == "schema":
        print(json.dumps(schema(), indent=1))
        return 0
    return _counted(asked)


def _back_up(asked: argparse.Namespace, data: Path) -> int:
    copied = back_up_folder(data, asked.file)
    count = copied.count
    print(f"{count} {'plan' if count == 1 else 'plans'} written to {asked.file}")
    return _named(copied.unread)


def _named(unread: tuple[str, ...]) -> int:
    """Name the plans that could not be read, and give the exit code."""
    for name in unread:
        print(f"Not to be read, but copied as it is: {one_line(name)}", file=sys.stderr)
    return UNREAD if unread else 0


def _restore(asked: argparse.Namespace, data: Path) -> int:
    from app.store.single_instance import take_lock

    lock = take_lock(data)
    if lock is None:
        raise StoreError(f"A program serves the plans in {data}: stop it first. Nothing changed.")
    with lock:
        restored = restore_folder(data, asked.file)
    count, aside = restored.count, restored.aside
    print(f"{count} {'plan' if count == 1 else 'plans'} restored into {data}")
    if aside is not None:
        print(f"The plans that were there before are kept in {aside}")
    return _named(restored.unread)


def _check(path: Path, as_json: bool) -> int:
    verdict = judge(_read(path))
    if as_json:
        print(json.dumps(verdict, indent=1, ensure_ascii=False, allow_nan=False))
    else:
        _tell(verdict)
    return 1 if verdict["counts"]["stop"] else 0


def _draw(asked: argparse.Namespace) -> int:
    plan = _read(asked.plan)
    if asked.sheet == "plan":
        sheet = draw(plan, asked.paper, asked.scale, not asked.no_flags)
    else:
        which = f"{asked.sheet}:{asked.floor}"
        sheet = draw_sheet(plan, which, asked.paper, asked.scale)
    if sheet.note:
        print(one_line(sheet.note), file=sys.stderr)
    count = len(sheet.svgs)
    if asked.page is not None and not 1 <= asked.page <= count:
        sheets = "is one sheet" if count == 1 else f"are {count} sheets"
        raise SheetError(f"there {sheets}, and no sheet {asked.page}")
    if asked.output is None:
        sys.stdout.flush()
        sys.stdout.buffer.write(sheet.svgs[(asked.page or 1) - 1].encode())
        sys.stdout.buffer.flush()
        if count > 1 and asked.page is None:
            print(f"sheet 1 of {count}; --page 2 gives the next", file=sys.stderr)
        return 0
    if asked.page is not None:
        _write(asked.output, sheet.svgs[asked.page - 1])
        return 0
    for i, svg in enumerate(sheet.svgs):
        name = asked.output.name if i == 0 else f"{asked.output.stem}-{i + 1}{asked.output.suffix}"
        _write(asked.output.with_name(name), svg)
        if i:
            print(f"sheet {i + 1} of {count}: {asked.output.with_name(name)}", file=sys.stderr)
    return 0


def _write(path: Path, text: str) -> None:
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise _FileError(f"{path} cannot be written: {error.strerror}.") from None


def _headroom(asked: argparse.Namespace) -> int:
    person = _person(asked.stature, asked.reach)
    if asked.plate is not None and not asked.plate > 0:
        raise PlanError(Fault("--plate", "must be more than nothing"))
    covering = asked.floor or 0.0
    if not asked.ceiling > covering:
        raise PlanError(Fault("--ceiling", "must be higher than the floor covering is thick"))
    rows = table(
        asked.ceiling, person.stature_mm, person.reach_mm, (asked.floor or 0.0), asked.plate
    )
    if asked.json:
        movements = [
            {
                "movement": row.movement,
                "least": row.least_mm,
                "need": row.need_mm,
                "clear": row.clear_mm,
                "spare": row.spare_mm,
                "severity": row.severity,
                "working": [{"label": t.label, "mm": t.mm, "key": t.key} for t in row.working],
            }
            for row in rows
        ]
        print(json.dumps({"movements": movements}, indent=1, allow_nan=False))
        return 0
    for row in rows:
        word = {"stop": "too low", "care": "tight", None: "fits"}[row.severity]
        print(
            f"{row.name:28} {word:8} least {row.least_mm:6.0f}  need {row.need_mm:6.0f}  "
            f"spare {row.spare_mm:6.0f}"
        )
    return 0


def _counted(asked: argparse.Namespace) -> int:
    plan = _read(asked.plan)
    scene = build_scene(plan)
    found = take_off(scene)
    priced = costs(scene, found) if asked.command == "costs" else None
    if asked.csv:
        table_of = quantities.as_csv(found, plan.currency, plan.units)
        print(table_of if priced is None else ledger.as_csv(priced, found), end="")
    elif asked.json:
        data = (
            quantities.as_json(found, plan.currency, plan.units)
            if priced is None
            else ledger.as_json(priced)
        )
        print(json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False))
    else:
        told = (
            quantities.as_text(found, plan.currency, plan.units)
            if priced is None
            else ledger.as_text(priced)
        )
        for line in told:
            print(one_line(line))
    return 0


def _cut(asked: argparse.Namespace) -> int:
    plan = cut_lengths([_piece(text) for text in asked.pieces], asked.stock, asked.kerf)
    if asked.json:
        patterns = [
            {
                "times": pattern.times,
                "stock": pattern.stock_mm,
                "pieces": [{"length": length, "count": n} for length, n in pattern.pieces],
                "left": round(pattern.left_mm, 2),
            }
            for pattern in plan.patterns
        ]
        answer = {
            "stock_used": plan.stock_used,
            "lower_bound": plan.lower_bound,
            "bound_of": "lengths" if len(set(asked.stock)) == 1 else "mm",
            "proven": plan.proven,
            "patterns": patterns,
            "stock_mm": plan.stock_mm,
        }
        print(json.dumps(answer, indent=1, allow_nan=False))
        return 0
    for pattern in plan.patterns:
        pieces = " + ".join(f"{n} x {length:g}" for length, n in pattern.pieces)
        print(f"{pattern.times:>4} x {pattern.stock_mm:g}: {pieces}, {pattern.left_mm:g} left")
    word = "proven least" if plan.proven else f"the least possible may be {plan.lower_bound:g}"
    print(f"{plan.stock_used} to buy, {plan.stock_mm:g} mm, {word}; {plan.waste_mm:g} mm is waste")
    return 0


def _piece(text: str) -> tuple[float, int]:
    """Read "900:4", or "900" for one. Raises PlanError naming it."""
    length, colon, count = text.partition(":")
    try:
        return parse_length_mm(length), int(count) if colon else 1
    except ValueError:
        raise PlanError(Fault(text, "write a length and a count, such as 900:4")) from None


def _person(stature_mm: float, reach_mm: float | None) -> Person:
    try:
        return Person(id="person", stature_mm=stature_mm, reach_mm=reach_mm)
    except ValidationError as error:
        raise plan_error(error) from None


class _FileError(ElbowroomError, OSError):
    """A file cannot be read or written."""

    code = "file"


def _read(path: Path) -> Plan:
    try:
        # A little more than the limit tells that the file is too large without holding it all.
        size = path.stat().st_size
        data = path.read_bytes() if size <= BYTE_LIMIT else None
    except OSError as error:
        raise _FileError(f"{path} cannot be read: {error.strerror}.") from None
    if data is None:
        raise _FileError(
            f"{path} has {size / 1e6:.0f} MB; a plan has at most {BYTE_LIMIT / 1e6:.0f} MB."
        )
    try:
        return read_plan_file(data)
    except (PlanError, PictureError) as error:
        raise _FileError(f"{path}: {error.sentence}") from None


def _tell(verdict: dict[str, Any]) -> None:
    counts = verdict["counts"]
    settled = sum(1 for snag in verdict["snags"] if snag["settled"])
    more = f", {settled} settled" if settled else ""
    print(
        f"{one_line(verdict['plan'])}: {counts['stop']} stop, {counts['care']} care, "
        f"{counts['note']} note{more}"
    )
    for snag in verdict["snags"]:
        word = "settled" if snag["settled"] else snag["severity"]
        print(f"{snag['number']:>3} {word:7} {one_line(snag['who'])}: {one_line(snag['sentence'])}")
        if snag["remedy"]:
            print(f"{'':11} -> {one_line(snag['remedy']['sentence'])}")
        elif snag["tried"]:
            print(f"{'':11} -- {one_line(snag['tried'])}")
