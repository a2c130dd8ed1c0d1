"""The command line: serve the pages, or check, draw and describe plan files."""

from __future__ import annotations

import argparse
import io
import os
import re
import sys
from collections.abc import Sequence
from pathlib import Path

from app.errors import ElbowroomError, LengthError, one_line
from app.units import parse_length_mm

PICTURE_CORNERS = ("lower-left", "upper-left", "upper-right", "lower-right")
"""Corners of the plan that a picture is seen over, by the number of its view."""
SHEETS = (
    "plan",
    "picture",
    "setting-out",
    "section",
    "walls",
    "headroom",
    "power",
    "floor",
    "quantities",
    "costs",
    "kit",
    "works",
    "months",
    "templates",
    "set",
)
BAD = 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and give the exit code: 0 well, 1 open stops, 2 it cannot be done."""
    _say_into_nothing_without_a_console()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A console that lacks a letter shows its code instead of failing.
            stream.reconfigure(errors="backslashreplace")
    asked = _parser().parse_args(arguments)
    try:
        if asked.command is not None:
            from app.file_commands import carry_out

            return carry_out(asked, _data(asked))
        return _serve(asked)
    except ElbowroomError as error:
        print(one_line(error.sentence), file=sys.stderr)
        return BAD
    except BrokenPipeError:
        return BAD


def _say_into_nothing_without_a_console() -> None:
    """Give the program streams to print to where it has none, as when started without a console."""
    if sys.stdout is None:
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115 - for as long as it runs
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115 - likewise


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
    parser.add_argument(
        "--only-me", action="store_true",
        help="answer only the browser that is opened, not other accounts of this machine",
    )  # fmt: skip
    parser.add_argument("--data", type=Path, help="the folder that the plans are kept in")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")
    check = commands.add_parser("check", help="judge a plan file; exit 0: no open stop, 1: some")
    check.add_argument("plan", type=Path, help="the plan file")
    check.add_argument("--json", action="store_true", help="print the verdict as JSON")
    arranging = commands.add_parser("arrange", help="find layouts for the kit of a plan file")
    arranging.add_argument("plan", type=Path, help="the plan file")
    arranging.add_argument("--seconds", type=float, help="how long to look; 10 if left out")
    arranging.add_argument(
        "--steps", type=int, help="how many steps each search makes: the same answer everywhere"
    )
    arranging.add_argument("--seed", type=int, default=1, help="another number gives other layouts")
    arranging.add_argument("--keep", type=int, default=5, help="how many layouts at most")
    arranging.add_argument(
        "--optional", action="append", default=[], metavar="PIECE[=POINTS]",
        help="a piece that may be left out, and what it is worth, of the 100 of a layout; "
        "may be given several times",
    )  # fmt: skip
    arranging.add_argument(
        "--wish", action="append", default=[],
        help="as in 'bike faces the screen'; may be given several times",
    )  # fmt: skip
    arranging.add_argument(
        "-o", "--output", type=Path,
        help="the file for the best plan; further ones go beside it as NAME-2, NAME-3",
    )  # fmt: skip
    arranging.add_argument("--json", action="store_true", help="print the layouts as JSON")
    fitting = commands.add_parser("fits", help="which kit fits into the room of a plan file")
    fitting.add_argument("plan", type=Path, help="the plan file")
    fitting.add_argument(
        "--at", metavar="X,Y",
        help="what fits over this place, in mm from the plan's corner; the whole room if left out",
    )  # fmt: skip
    fitting.add_argument(
        "--want", action="append", default=[], metavar="TYPE[=WORTH]",
        help="a kit type of a wish list, and what it is worth beside the others: prints the best "
        "set that fits together; may be given several times",
    )  # fmt: skip
    fitting.add_argument("--sum", help="what the wish list may cost, as 1500")
    fitting.add_argument(
        "-o", "--output", type=Path, help="the file for the plan with the set of a wish list"
    )
    fitting.add_argument("--json", action="store_true", help="print the answer as JSON")
    drawing = commands.add_parser("draw", help="draw a sheet of a plan file as SVG or PDF")
    drawing.add_argument("plan", type=Path, help="the plan file")
    drawing.add_argument("--sheet", choices=SHEETS, default="plan", help="which sheet")
    drawing.add_argument("--floor", default="", help="which floor by its id; the first if left out")
    drawing.add_argument("--paper", help="A4, A3, Letter, Tabloid; left out: the usual one")
    drawing.add_argument("--piece", default="", help="of a section: the piece it runs through")
    drawing.add_argument(
        "--corner", choices=PICTURE_CORNERS,
        help="of the picture: the corner of the plan that it is seen over; lower-left if left out",
    )  # fmt: skip
    drawing.add_argument("--scale", type=int, help="25 for 1:25; left out: the largest that fits")
    drawing.add_argument(
        "--flags", action=argparse.BooleanOptionalAction, default=False,
        help="plant the flags of snags on the plan",
    )  # fmt: skip
    drawing.add_argument(
        "-o", "--output", type=Path,
        help="the file to write, .svg or .pdf; else printed as SVG. Further sheets go beside an "
        "SVG as NAME-2, NAME-3, and into a PDF as its pages",
    )  # fmt: skip
    drawing.add_argument(
        "--page", type=int, help="only this one of several sheets; 1 is the first"
    )  # fmt: skip
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
    works = commands.add_parser("works", help="when each task is done, what to order on which day")
    works.add_argument("plan", type=Path, help="the plan file")
    works.add_argument("--start", metavar="DAY", help="such as 2027-03-01; today if left out")
    works.add_argument("--json", action="store_true", help="print it as JSON")
    works.add_argument("-o", "--output", type=Path, help="write a calendar file (.ics) instead")
    phases = commands.add_parser(
        "phases", help="what to buy in which month, and what one can train from when"
    )
    phases.add_argument("plan", type=Path, help="the plan file")
    phases.add_argument("--start-sum", help="what is saved up, such as 600; else as in the plan")
    phases.add_argument("--month", help="what comes in every month; else as in the plan")
    phases.add_argument(
        "--first", type=_month, help="the first month, such as 2027-03; else the present one"
    )
    phases.add_argument("--json", action="store_true", help="print the answer as JSON")
    cut = commands.add_parser("cut", help="cut pieces from stock lengths with the least stock")
    cut.add_argument(
        "--stock", type=_length, required=True, action="append", help="a stock length; may repeat"
    )
    cut.add_argument("--kerf", type=float, default=0, help="what the saw turns to dust, in mm")
    cut.add_argument("pieces", nargs="+", metavar="LENGTH:COUNT", help="such as 900:4")
    cut.add_argument("--json", action="store_true", help="print the answer as JSON")
    commands.add_parser("schema", help="print the JSON schema of a plan file")
    backup = commands.add_parser(
        "backup", help="write all plans into one file, also while the program runs"
    )
    backup.add_argument("file", type=Path, help="the file to write; one that is there is kept")
    restore = commands.add_parser("restore", help="put a backup in the place of the plans")
    restore.add_argument("file", type=Path, help="the backup; checked before anything changes")
    return parser


def _serve(asked: argparse.Namespace) -> int:
    from app.web.guests.addresses import Share
    from app.web.serving import serve

    share = None
    if asked.share or asked.share_on is not None or asked.share_port is not None:
        share = Share(asked.share_on, asked.share_port)
    return serve(_data(asked), asked.port, not asked.no_browser, share, asked.only_me)


def _data(asked: argparse.Namespace) -> Path:
    """Return the folder that the plans are kept in."""
    import platformdirs

    usual = asked.data or Path(platformdirs.user_data_dir("elbowroom", appauthor=False))
    # the whole path, for it is printed: a relative one says nothing in another folder
    return Path(os.path.abspath(usual))


def _length(text: str) -> float:
    try:
        return parse_length_mm(text)
    except LengthError as error:
        raise argparse.ArgumentTypeError(error.sentence) from None


def _month(text: str) -> str:
    if not re.fullmatch(r"20[0-9]{2}-(0[1-9]|1[0-2])", text):
        raise argparse.ArgumentTypeError(f"{text!r} is no month: write it like 2027-03")
    return text
