"""A plan file named on the command line, read; and a file written."""

from __future__ import annotations

from pathlib import Path

from app.errors import ElbowroomError, PlanError
from app.model.plan import Plan
from app.model.versions import BYTE_LIMIT
from app.usecases.picture_files import read_plan_file
from app.usecases.picture_reading import PictureError


class FileProblem(ElbowroomError, OSError):
    """A file cannot be read or written."""

    code = "file"


def read(path: Path) -> Plan:
    """Return the plan in a file.

    Raises FileProblem where it cannot be read or is none.
    """
    try:
        # A little more than the limit tells that the file is too large without holding it all.
        size = path.stat().st_size
        data = path.read_bytes() if size <= BYTE_LIMIT else None
    except OSError as error:
        raise FileProblem(f"{path} cannot be read: {error.strerror}.") from None
    if data is None:
        raise FileProblem(
            f"{path} has {size / 1e6:.0f} MB; a plan has at most {BYTE_LIMIT / 1e6:.0f} MB."
        )
    try:
        return read_plan_file(data)
    except (PlanError, PictureError) as error:
        raise FileProblem(f"{path}: {error.sentence}") from None


def can_be_written(path: Path) -> None:
    """Look before long work whether a file may lie at a path; raises FileProblem where not."""
    if path.is_dir():
        raise FileProblem(f"{path} cannot be written: it is a folder.")
    if not path.parent.is_dir():
        raise FileProblem(f"{path} cannot be written: there is no folder {path.parent}.")


def write(path: Path, text: str) -> None:
    """Write a text; raises FileProblem where that cannot be done."""
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise FileProblem(f"{path} cannot be written: {error.strerror}.") from None


def write_bytes(path: Path, data: bytes) -> None:
    """Write a file; raises FileProblem where that cannot be done."""
    try:
        path.write_bytes(data)
    except OSError as error:
        raise FileProblem(f"{path} cannot be written: {error.strerror}.") from None
