"""Where the files that are no Python lie: pages, styles, scripts and sample plans."""

from pathlib import Path
from typing import Literal

APP = Path(__file__).resolve().parent


def folder(name: Literal["static", "templates", "sample_rooms"]) -> Path:
    """Return the absolute path of a folder of files shipped with the program.

    A wheel carries the folder inside ``app``; a checkout has it beside ``app``. The place inside
    is asked first because the folder beside an installed ``app`` belongs to everybody.

    Raises ``FileNotFoundError`` if neither is there.
    """
    for place in (APP / name, APP.parent / name):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"The folder {name} is missing beside {APP}; install again.")
