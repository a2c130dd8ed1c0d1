"""The plans whose answers are kept: those of the catalogue, and rooms drawn by lot from a name."""

from __future__ import annotations

from typing import Any
from zlib import crc32

from pydantic import ValidationError

from app.library.finishes import finishes
from app.model.plan import Plan
from app.model.room import Room
from app.usecases.files import read_plan
from tests.answers import fitted, floors, kit, rooms
from tests.answers.lot import Lot
from tests.catalogue.table import cases, text_of

Data = dict[str, Any]
TRIES = 40
"""What is drawn may be no plan (two things at one place of a wall): then the next draw is taken."""
OF_THE_CATALOGUE = 5
"""One of so many of its plans, by their names: one that is added moves no other."""


def catalogue() -> dict[str, str]:
    """Return some plan files of the catalogue, by their names there."""
    taken = (case for case in cases() if crc32(case.key.encode()) % OF_THE_CATALOGUE == 0)
    return {case.key: text_of(case) for case in taken}


def of_catalogue(text: str) -> Plan:
    """Return the plan of such a file."""
    return read_plan(text)


def crowded(name: str) -> Plan:
    """Return a room full of kit, with people, a way in and situations: much is in the way."""
    return _plan(name, (2600, 6400), (2100, 2900), pieces=(4, 9), fit_out=0.0)


def themed(name: str) -> Plan:
    """Return a room with a few things of the theme that its name begins with, and who uses them."""
    theme = name.split()[0]
    return _plan(name, (2400, 5200), (2150, 3000), pieces=(1, 4), fit_out=0.3, theme=theme)


def fitted_out(name: str) -> Plan:
    """Return a room in which much is painted and hung, and a little kit."""
    return _plan(name, (2400, 6800), (2200, 3200), pieces=(0, 5), fit_out=1.0)


def floored(name: str) -> Plan:
    """Return a small room with floors of one or more products to lay."""
    return _plan(name, (1000, 2600), (2300, 2500), pieces=(0, 2), fit_out=0.0, floor=True)


def _plan(
    name: str,
    across_mm: tuple[float, float],
    high_mm: tuple[float, float],
    pieces: tuple[int, int],
    fit_out: float,
    floor: bool = False,
    theme: str = "",
) -> Plan:
    for number in range(TRIES):
        lot = Lot(f"{name} {number}")
        wide, deep = lot.mm(*across_mm), lot.mm(*across_mm)
        high = lot.mm(*high_mm, 5)
        # drawn apart: which floors are laid quickly is known of the draws as they are
        windows_alone = bool(theme) and Lot(f"{name} windows").share(0.15)
        try:
            said = rooms.room(lot, wide, deep, high, windows_alone)
            room = Room.model_validate(said)
            placed = kit.pieces(lot, room, lot.count(*pieces), theme)
            done: Data = fitted.fit_out(lot, room, high) if lot.share(fit_out) else {}
            if floor:
                done = {"nothing_assumed": True, "floors": floors.layings(lot, room, placed)}
            return Plan.model_validate(
                {
                    "name": name,
                    "units": lot.one(("metric", "metric", "feet")),
                    "currency": lot.one(("EUR", "EUR", "GBP", "USD")),
                    "room": room,
                    "people": kit.people(lot, placed if theme else []),
                    "pieces": placed,
                    "way_in": kit.way_in(lot),
                    "situations": kit.situations(lot, placed),
                    "overrides": kit.set_otherwise(lot),
                    "fit_out": done,
                    "money": fitted.money(lot, list(finishes().packs), placed),
                }
            )
        except ValidationError:
            continue
    raise ValueError(f"nothing that is drawn for {name!r} is a plan")
