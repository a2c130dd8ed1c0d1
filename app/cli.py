"""The command line: serve the pages, or check, draw and describe plan files."""

from __future__ import annotations

import argparse
import io
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from app.drawing.paper import PAPERS
from app.errors import ElbowroomError, PlanError
from app.model.plan import Plan
from app.model.versions import BYTE_LIMIT, schema
from app.service import draw, judge, read_plan

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
    parser.add_argument("--data", type=Path, help="the folder that the plans are kept in")
    commands = parser.add_subparsers(dest="command", metavar="check | draw | schema")
    check = commands.add_parser("check", help="judge a plan file; exit 0: no open stop, 1: some")
    check.add_argument("plan", type=Path, help="the plan file")
    check.add_argument("--json", action="store_true", help="print the verdict as JSON")
    drawing = commands.add_parser("draw", help="draw a sheet of a plan file as SVG")
    drawing.add_argument("plan", type=Path, help="the plan file")
    drawing.add_argument("--sheet", choices=["plan"], default="plan", help="which sheet")
    drawing.add_argument("--paper", default="A3", help=", ".join(PAPERS))
    drawing.add_argument("--scale", type=int, help="25 for 1:25; left out: the largest that fits")
    drawing.add_argument("--no-flags", action="store_true", help="leave the flags out")
    drawing.add_argument("-o", "--output", type=Path, help="the file to write; else printed")
    commands.add_parser("schema", help="print the JSON schema of a plan file")
    return parser


def _serve(asked: argparse.Namespace) -> int:
    import platformdirs

    from app.web.serving import serve

    data = asked.data or Path(platformdirs.user_data_dir("elbowroom", appauthor=False))
    return serve(data, asked.port, not asked.no_browser)


def _check(path: Path, as_json: bool) -> int:
    verdict = judge(_read(path))
    if as_json:
        print(json.dumps(verdict, indent=1, ensure_ascii=False, allow_nan=False))
    else:
        _tell(verdict)
    return 1 if verdict["counts"]["stop"] else 0


def _draw(asked: argparse.Namespace) -> int:
    sheet = draw(_read(asked.plan), asked.paper, asked.scale, not asked.no_flags)
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
