"""What the command line does with files: check, draw, count, cut, keep copies; a family a module.

Apart from the rest of the command line because it needs the whole program: a second start that
only shows the first one's page should not wait for it.
"""

from __future__ import annotations

import argparse
import json
from datetime import date
from pathlib import Path

from app.file_commands.arranging import arrange
from app.file_commands.copies import back_up, restore
from app.file_commands.counting import counted, cut
from app.file_commands.drawings import draw_file
from app.file_commands.fitting import fitting
from app.file_commands.phases import phases
from app.file_commands.verdicts import check, headroom
from app.file_commands.works import planned
from app.model.versions import schema


def carry_out(asked: argparse.Namespace, data: Path) -> int:
    """Carry out a command of the command line; `data` is the folder of plans. Gives the exit code.

    Raises ElbowroomError with a sentence for the person.
    """
    match asked.command:
        case "arrange":
            return arrange(asked)
        case "check":
            return check(asked.plan, asked.json)
        case "draw":
            return draw_file(asked)
        case "fits":
            return fitting(asked)
        case "headroom":
            return headroom(asked)
        case "backup":
            return back_up(asked, data)
        case "restore":
            return restore(asked, data)
        case "phases":
            return phases(asked, date.today())
        case "cut":
            return cut(asked)
        case "schema":
            print(json.dumps(schema(), indent=1))
            return 0
        case "works":
            return planned(asked)
        case _:
            return counted(asked)
