"""Copies of all plans: written, and put back."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from app.errors import StoreError, one_line
from app.usecases.history import back_up_folder, restore_folder

UNREAD = 1
"""The exit code where some plans could not be read."""


def back_up(asked: argparse.Namespace, data: Path) -> int:
    """Copy all plans into one file; return the exit code."""
    copied = back_up_folder(data, asked.file)
    count = copied.count
    print(f"{count} {'plan' if count == 1 else 'plans'} written to {asked.file.absolute()}")
    return _named("Not to be read whole, but copied as it is", copied.unread)


def restore(asked: argparse.Namespace, data: Path) -> int:
    """Put a backup in the place of the plans; return the exit code.

    Raises StoreError while a program serves them.
    """
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
    in_part = _named("Restored without what cannot be read of it", restored.unread)
    return _named("Not to be opened, and left out", restored.left_out) or in_part


def _named(what: str, names: tuple[str, ...]) -> int:
    """Name the plans of which something is to be told, and give the exit code."""
    for name in names:
        print(f"{what}: {one_line(name)}", file=sys.stderr)
    return UNREAD if names else 0
