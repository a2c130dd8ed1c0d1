"""Sheets of a plan file."""

from __future__ import annotations

import argparse
import sys

from app.drawing.paper import SheetError
from app.drawing.picture_sheet import SIDES
from app.drawing.sheet import as_pdf
from app.errors import one_line
from app.file_commands.plan_file import read, write, write_bytes
from app.usecases.drawing_set import sheet_of_file, usual_paper

NAMED_CORNERS = tuple(side.replace(" ", "-") for side in SIDES)
"""Corners of the plan as the command line names them, by the number of the view."""


def draw_file(asked: argparse.Namespace) -> int:
    """Draw a sheet and those it goes on over; return the exit code.

    Raises SheetError for a page that is not there, and for a file that is neither SVG nor PDF.
    """
    ending = "" if asked.output is None else asked.output.suffix.lower()
    if asked.output is not None and ending not in (".svg", ".pdf"):
        raise SheetError(
            f"a sheet is written as .svg or .pdf, and {asked.output.name!r} ends in neither"
        )
    plan = read(asked.plan)
    part = asked.floor or asked.piece
    if asked.corner and asked.sheet == "picture":
        part = str(NAMED_CORNERS.index(asked.corner))
    which = f"{asked.sheet}:{part}"
    paper = asked.paper or usual_paper(plan.units, asked.sheet)
    sheet = sheet_of_file(plan, which, paper, asked.scale, asked.flags)
    if sheet.note:
        print(one_line(sheet.note), file=sys.stderr)
    count = len(sheet.pages)
    if asked.page is not None and not 1 <= asked.page <= count:
        sheets = "is one sheet" if count == 1 else f"are {count} sheets"
        raise SheetError(f"there {sheets}, and no sheet {asked.page}")
    if asked.output is not None and ending == ".pdf":
        pages = sheet.pages if asked.page is None else sheet.pages[asked.page - 1 : asked.page]
        write_bytes(asked.output, as_pdf(pages, sheet.pages[0].title))
        return 0
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
        name = (
            asked.output.name
            if i == 0
            else f"{asked.output.stem}-sheet-{i + 1}{asked.output.suffix}"
        )
        write(asked.output.with_name(name), svg)
        if i:
            print(f"sheet {i + 1} of {count}: {asked.output.with_name(name)}", file=sys.stderr)
    return 0
