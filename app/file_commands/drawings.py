"""Sheets of a plan file."""

from __future__ import annotations

import argparse
import sys
from datetime import date

from app.drawing.paper import SheetError
from app.errors import one_line
from app.file_commands.plan_file import read, write
from app.usecases.accounts import draw_sheet
from app.usecases.files import draw
from app.usecases.works import draw_works


def draw_file(asked: argparse.Namespace) -> int:
    """Draw a sheet and those it goes on over; return the exit code.

    Raises SheetError for a page that is not there.
    """
    plan = read(asked.plan)
    if asked.sheet == "plan":
        sheet = draw(plan, asked.paper, asked.scale, not asked.no_flags)
    elif asked.sheet == "works":
        sheet = draw_works(plan, asked.paper, date.today())
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
        write(asked.output, sheet.svgs[asked.page - 1])
        return 0
    for i, svg in enumerate(sheet.svgs):
        name = asked.output.name if i == 0 else f"{asked.output.stem}-{i + 1}{asked.output.suffix}"
        write(asked.output.with_name(name), svg)
        if i:
            print(f"sheet {i + 1} of {count}: {asked.output.with_name(name)}", file=sys.stderr)
    return 0
