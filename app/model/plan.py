"""The whole document: a room, its people, their kit, and what they have settled."""

from __future__ import annotations

from datetime import date
from itertools import count
from typing import Annotated, Literal, Self

from pydantic import Field, field_validator, model_validator

from app.model.base import LABEL_LIMIT, Frozen, Id, Label, by_id
from app.model.chalk import ChalkLine
from app.model.fit_out import FitOut
from app.model.kit import Piece
from app.model.layout_wish import LayoutWish
from app.model.money import PIECE, Currency, Entry, Money
from app.model.own_kit import OwnKit
from app.model.people import Person
from app.model.phasing import Phasing
from app.model.room import Room
from app.model.room_walls import letter_at
from app.model.sketch import Picture
from app.model.surroundings import Passage
from app.model.works import Works

FORMAT = "elbowroom-plan"
VERSION = 1
PIECE_LIMIT = 3000
WISHES_AT_MOST = 40
"""Wishes of where things stand: one or two for each piece of a household."""
PHOTOS_AT_MOST = 60
"""Photos of all walls and tasks: with more of them the file of a plan no longer goes by mail."""


class Settled(Frozen):
    """A snag accepted by somebody, with the reason; it returns when its numbers change."""

    id: Annotated[str, Field(min_length=1, max_length=600)]
    reason: Annotated[str, Field(min_length=1, max_length=500)]
    on: date
    measured: float | None = None
    required: float | None = None


class PieceState(Frozen):
    """How one piece stands in a situation: a state of its row, or "out" of the room."""

    id: Id
    state: Id


class Situation(Frozen):
    """States judged together, such as the car in, or the garage door open.

    `door_open` tells of the garage doors; pieces not named stand as they do on the plan.
    `trains` tells whether anybody trains in it.
    """

    id: Id
    label: Label = ""
    door_open: bool = False
    trains: bool = True
    states: tuple[PieceState, ...] = ()

    @field_validator("states")
    @classmethod
    def _in_order(cls, states: tuple[PieceState, ...]) -> tuple[PieceState, ...]:
        return by_id(states)


class Override(Frozen):
    """A published value that the household sets otherwise, by its key, with the reason."""

    id: Annotated[str, Field(min_length=3, max_length=120)]
    value: float
    reason: Annotated[str, Field(min_length=1, max_length=500)]


class Plan(Frozen):
    """One plan. All lengths are millimetres; x runs right and y down as drawn.

    `drawn` tells how it lies on the paper: with the main door below, as somebody turned it, or as
    it was measured where nobody said. `quarter_turns` is by how many quarters, clockwise, all its
    places have been turned since; what is kept outside the plan follows that.
    """

    format: Literal["elbowroom-plan"] = "elbowroom-plan"
    version: Literal[1] = 1
    name: Annotated[str, Field(min_length=1, max_length=LABEL_LIMIT)]
    drawn_for: Label = ""
    drawn: Literal["as-measured", "door-below", "as-turned"] = "as-measured"
    quarter_turns: Literal[0, 1, 2, 3] = 0
    units: Literal["metric", "feet"] = "metric"
    currency: Currency = "EUR"
    room: Room
    people: tuple[Person, ...] = Field(default=(), max_length=40)
    pieces: tuple[Piece, ...] = ()
    own_kit: tuple[OwnKit, ...] = Field(default=(), max_length=200)
    settled: tuple[Settled, ...] = ()
    way_in: tuple[Passage, ...] = Field(default=(), max_length=60)
    situations: tuple[Situation, ...] = Field(default=(), max_length=12)
    overrides: tuple[Override, ...] = Field(default=(), max_length=300)
    fit_out: FitOut = FitOut()
    money: Money = Money()
    phasing: Phasing = Phasing()
    works: Works = Works()
    chalk: tuple[ChalkLine, ...] = Field(default=(), max_length=60)
    layout_wishes: tuple[LayoutWish, ...] = Field(default=(), max_length=WISHES_AT_MOST)
    picture: Picture | None = None

    def usual_entry(self, key: str) -> Entry:
        """Return where a line or piece stands of which nothing is said."""
        for piece in self.pieces:
            if key == f"{PIECE}{piece.id}":
                return Entry(id=key, standing=_usual_standing(piece), later=piece.later)
        return Entry(id=key, later=False)

    def called(self, person_id: str) -> str:
        """Return what drawings call a person: their label, else a letter by their place.

        A letter that is somebody's label is nobody else's. Raises KeyError for an unknown person.
        """
        labels = {person.label.casefold() for person in self.people}
        free = (letter for i in count() if (letter := letter_at(i)).casefold() not in labels)
        for person in self.people:
            name = person.label or next(free)
            if person.id == person_id:
                return name
        raise KeyError(person_id)

    def piece(self, piece_id: str) -> Piece:
        """Return a piece by its id. Raises KeyError for an unknown one."""
        for piece in self.pieces:
            if piece.id == piece_id:
                return piece
        raise KeyError(piece_id)

    @field_validator("pieces", mode="before")
    @classmethod
    def _not_too_many(cls, pieces: object) -> object:
        if isinstance(pieces, list | tuple) and len(pieces) > PIECE_LIMIT:
            raise ValueError(
                f"there are {len(pieces):,} pieces; a plan holds at most {PIECE_LIMIT:,}"
            )
        return pieces

    @field_validator(
        "pieces",
        "people",
        "own_kit",
        "settled",
        "situations",
        "overrides",
        "chalk",
        "layout_wishes",
    )
    @classmethod
    def _in_order(cls, things: tuple[Piece, ...]) -> tuple[Piece, ...]:
        return by_id(things)

    @property
    def photos(self) -> tuple[str, ...]:
        """Return the ids of all photos of walls and tasks, each once."""
        walls = (photo for wall in self.room.walls for photo in wall.photos)
        return tuple(dict.fromkeys((*walls, *self.works.photos)))

    @model_validator(mode="after")
    def _few_photos(self) -> Self:
        count = len(self.photos)
        if count > PHOTOS_AT_MOST:
            raise ValueError(
                f"the plan has {count} photos; at most {PHOTOS_AT_MOST} are kept with it: take one "
                "away first"
            )
        return self

    @model_validator(mode="after")
    def _stations_hold(self) -> Self:
        carrier = {piece.id: piece.carried_by for piece in self.pieces}
        for piece_id, host in carrier.items():
            if host is not None and host not in carrier:
                raise ValueError(
                    f"pieces: {piece_id!r} is carried by {host!r}, which is not in the plan"
                )
            station_root(piece_id, carrier)
        return self


def station_root(piece_id: str, carrier: dict[str, str | None]) -> str:
    """Follow `carried_by` up to the piece that carries a station.

    Raises ValueError when pieces carry one another in a ring.
    """
    seen = {piece_id}
    at = piece_id
    while (host := carrier.get(at)) is not None:
        if host in seen:
            raise ValueError(f"pieces: {piece_id!r} and {host!r} carry one another")
        seen.add(host)
        at = host
    return at


def owned_pieces(plan: Plan) -> frozenset[str]:
    """Return the pieces that the household owns: as their money says, else those that stay."""
    said = {entry.id: entry.standing for entry in plan.money.entries}
    return frozenset(
        piece.id
        for piece in plan.pieces
        if said.get(f"{PIECE}{piece.id}", _usual_standing(piece)) == "owned"
    )


def owned(plan: Plan, piece_id: str) -> bool:
    """Return whether the household owns a piece."""
    return piece_id in owned_pieces(plan)


def _usual_standing(piece: Piece) -> Literal["owned", "to-come"]:
    """Return where a piece stands of which nothing is said: what stays was there before."""
    return "owned" if piece.stays else "to-come"
