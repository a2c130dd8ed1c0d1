"""The command line: serve the pages, or check, draw and describe plan files."""

from __future__ import annotations

import argparse
import io
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from app.accounts import SHEETS, draw_sheet
from app.checks.headroom_table import table
from app.costs import ledger
from app.costs.cost import costs
from app.drawing.paper import PAPERS
from app.errors import ElbowroomError, Fault, LengthError, PlanError, StoreError
from app.keeping import back_up_folder, restore_folder
from app.model.faults import plan_error
from app.model.people import Person
from app.model.plan import Plan
from app.model.versions import BYTE_LIMIT, schema
from app.scene.build import build_scene
from app.service import draw, judge, read_plan
from app.takeoff import quantities
from app.takeoff.cutting_1d import cut_lengths
from app.takeoff.quantities import take_off
from app.units import parse_length_mm

BAD = 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and give the exit code: 0 well, 1 open stops, 2 it cannot be done."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A console that lacks a letter shows its code instead of failing.
            stream.reconfigure(errors="backslashreplace")
    asked = _parser().parse_args(arguments)
    try:
        if asked.command == "check":
            return _check(asked.plan, asked.json)
        if asked.command == "draw":
            return _draw(asked)
        if asked.command == "headroom":
            return _headroom(asked)
        if asked.command == "backup":
            return _back_up(asked)
        if asked.command == "restore":
            return _restore(asked)
        if asked.command == "cut":
            return _cut(asked)
        if asked.command in ("takeoff", "costs"):
            return _counted(asked)
        if asked.command == "schema":
            print(json.dumps(schema(), indent=1))
            return 0
        return _serve(asked)
    except ElbowroomError as error:
        print(_one_line(error.sentence), file=sys.stderr)
        return BAD
    except BrokenPipeError:
        return BAD


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m app",
        description="Plan a training room. Without a command: serve the pages on this machine.",
    )
    parser.add_argument("--port", type=int, help="8765 or the next free one if left out; 0: any")
    parser.add_argument("--no-browser", action="store_true", help="do not open the browser")
    parser.add_argument(
        "--share", action="store_true", help="serve guests on the home network too; off otherwise"
    )
    parser.add_argument("--share-on", metavar="ADDRESS", help="an IPv4 address of this machine")
    parser.add_argument("--share-port", type=int, help="8766 or the next free one if left out")
    parser.add_argument("--data", type=Path, help="the folder that the plans are kept in")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")
    check = commands.add_parser("check", help="judge a plan file; exit 0: no open stop, 1: some")
    check.add_argument("plan", type=Path, help="the plan file")
    check.add_argument("--json", action="store_true", help="print the verdict as JSON")
    drawing = commands.add_parser("draw", help="draw a sheet of a plan file as SVG")
    drawing.add_argument("plan", type=Path, help="the plan file")
    drawing.add_argument("--sheet", choices=["plan", *SHEETS], default="plan", help="which")
    drawing.add_argument("--floor", default="", help="which floor by its id; the first if left out")
    drawing.add_argument("--paper", default="A3", help=", ".join(PAPERS))
    drawing.add_argument("--scale", type=int, help="25 for 1:25; left out: the largest that fits")
    drawing.add_argument("--no-flags", action="store_true", help="leave the flags out")
    drawing.add_argument("-o", "--output", type=Path, help="the file to write; else printed")
    headroom = commands.add_parser(
        "headroom", help="judge every movement of one person under one ceiling"
    )
    for name, needed, about in (
        ("ceiling", True, "lowest height above the bare floor"),
        ("stature", True, "barefoot"),
        ("reach", False, "measured: barefoot, arms locked, to the middle of a gripped bar"),
        ("floor", False, "thickness of the floor covering; 0 if left out"),
        ("plate", False, "diameter of the plates; 450 if left out"),
    ):
        headroom.add_argument(f"--{name}", type=_length, required=needed, help=f"{about}, in mm")
    headroom.add_argument("--json", action="store_true", help="print the answer as JSON")
    for name, about in (
        ("takeoff", "what to buy for the fit-out of a plan file"),
        ("costs", "what fit-out and kit of a plan file come to"),
    ):
        counted = commands.add_parser(name, help=about)
        counted.add_argument("plan", type=Path, help="the plan file")
        form = counted.add_mutually_exclusive_group()
        form.add_argument("--json", action="store_true", help="print it as JSON, with all working")
        form.add_argument("--csv", action="store_true", help="print it as a table")
    cut = commands.add_parser("cut", help="cut pieces from stock lengths with the least stock")
    cut.add_argument(
        "--stock", type=_length, required=True, action="append", help="a stock length; may repeat"
    )
    cut.add_argument("--kerf", type=float, default=0, help="what the saw turns to dust, in mm")
    cut.add_argument("pieces", nargs="+", metavar="LENGTH:COUNT", help="such as 900:4")
    cut.add_argument("--json", action="store_true", help="print the answer as JSON")
    commands.add_parser("schema", help="print the JSON schema of a plan file")
    backup = commands.add_parser("backup", help="write all plans into one file, also while served")
    backup.add_argument("file", type=Path, help="the file to write; one that is there is kept")
    restore = commands.add_parser("restore", help="put a backup in the place of the plans")
    restore.add_argument("file", type=Path, help="the backup; checked before anything changes")
    return parser


def _serve(asked: argparse.Namespace) -> int:
    from app.web.serving import Share, serve

    share = None
    if asked.share or asked.share_on is not None or asked.share_port is not None:
        share = Share(asked.share_on, asked.share_port)
    return serve(_data(asked), asked.port, not asked.no_browser, share)


def _data(asked: argparse.Namespace) -> Path:
    """Give the folder that the plans are kept in."""
    import platformdirs

    return asked.data or Path(platformdirs.user_data_dir("elbowroom", appauthor=False))


def _back_up(asked: argparse.Namespace) -> int:
    count = back_up_folder(_data(asked), asked.file)
    print(f"{count} {'plan' if count == 1 else 'plans'} written to {asked.file}")
    return 0


def _restore(asked: argparse.Namespace) -> int:
    from app.web.first import take_lock

    data = _data(asked)
    lock = take_lock(data)
    if lock is None:
        raise StoreError(f"A program serves the plans in {data}: stop it first. Nothing changed.")
    with lock:
        count, aside = restore_folder(data, asked.file)
    print(f"{count} {'plan' if count == 1 else 'plans'} restored into {data}")
    if aside is not None:
        print(f"The plans that were there before are kept in {aside}")
    return 0


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
        print(_one_line(sheet.note), file=sys.stderr)
    if asked.output is None:
        sys.stdout.flush()
        sys.stdout.buffer.write(sheet.svg.encode())
        sys.stdout.buffer.flush()
        return 0
    try:
        asked.output.write_text(sheet.svg, encoding="utf-8")
    except OSError as error:
        raise _FileError(f"{asked.output} cannot be written: {error.strerror}.") from None
    return 0


def _length(text: str) -> float:
    try:
        return parse_length_mm(text)
    except LengthError as error:
        raise argparse.ArgumentTypeError(error.sentence) from None


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
        table_of = quantities.as_csv(found, plan.currency)
        print(table_of if priced is None else ledger.as_csv(priced, found), end="")
    elif asked.json:
        data = (
            quantities.as_json(found, plan.currency) if priced is None else ledger.as_json(priced)
        )
        print(json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False))
    else:
        told = (
            quantities.as_text(found, plan.currency) if priced is None else ledger.as_text(priced)
        )
        for line in told:
            print(_one_line(line))
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
        return read_plan(data)
    except PlanError as error:
        raise _FileError(f"{path}: {error.sentence}") from None


def _tell(verdict: dict[str, Any]) -> None:
    counts = verdict["counts"]
    settled = sum(1 for snag in verdict["snags"] if snag["settled"])
    more = f", {settled} settled" if settled else ""
    print(
        f"{_one_line(verdict['plan'])}: {counts['stop']} stop, {counts['care']} care, "
        f"{counts['note']} note{more}"
    )
    for snag in verdict["snags"]:
        word = "settled" if snag["settled"] else snag["severity"]
        print(
            f"{snag['number']:>3} {word:7} {_one_line(snag['who'])}: {_one_line(snag['sentence'])}"
        )
        if snag["remedy"]:
            print(f"{'':11} -> {_one_line(snag['remedy']['sentence'])}")


def _one_line(text: str) -> str:
    """Show control characters by their codes, so that a name cannot write over the console."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)
