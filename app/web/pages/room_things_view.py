"""What is in a room already as its page shows it: pictures, fields, what stays and what goes."""

from __future__ import annotations

from dataclasses import dataclass

from app.forms.room_edits_things import (
    FATES,
    FULL_WORDS,
    KINDS,
    ROWS,
    shown,
    standing,
    things_that_stay,
    usual_sizes,
)
from app.library.own import kits_of
from app.model.base import Point
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room_walls import letter
from app.model.situations import out_while_training
from app.model.works import Stored
from app.scales import MASS
from app.scene.shapes import turn
from app.units import format_length, format_short
from app.wording import measure_in


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing that stays: its piece, its name, what becomes of it, where it is in words."""

    piece: Piece
    name: str
    fate: str
    where: str


@dataclass(frozen=True)
class ThingsView:
    """The things that stand in a room today."""

    plan: Plan

    @property
    def kinds(self) -> tuple[tuple[str, str], ...]:
        """What is asked for with a picture."""
        return KINDS

    @property
    def fates(self) -> tuple[tuple[str, str], ...]:
        """What may become of a thing."""
        return FATES

    @property
    def rows(self) -> tuple[tuple[str, str], ...]:
        """How several of a kind may stand."""
        return ROWS

    @property
    def full_words(self) -> tuple[tuple[str, str], ...]:
        """How full a room may be."""
        return FULL_WORDS

    @property
    def usual(self) -> list[tuple[str, str]]:
        """Each kind as a sentence calls it with its usual sizes; a column has none."""
        units = self.plan.units
        return [
            (words.lower(), " × ".join(format_short(size, units) for size in sizes))
            for _, words, *sizes in usual_sizes()
            if any(sizes)
        ]

    @property
    def usual_mm(self) -> list[tuple[str, float, float]]:
        """Each kind with its usual width and depth in mm; 0 for a column."""
        return [(kind, wide, deep) for kind, _, wide, deep, _ in usual_sizes()]

    @property
    def stays(self) -> list[Thing]:
        """What stays, with the place of each."""
        away = out_while_training(self.plan)
        return [
            Thing(
                piece,
                self.name(piece),
                "out while you train" if piece.id in away else "stays",
                self._where(piece),
            )
            for piece in self._pieces
        ]

    @property
    def asks_of_fuel(self) -> bool:
        """Whether a boiler stands here of which nobody has said whether it burns fuel."""
        boiler = any(piece.type == "boiler" for piece in self._pieces)
        return boiler and self.plan.room.climate.fuel_burned_here == "unknown"

    @property
    def stored(self) -> tuple[Stored, ...]:
        """What goes, or is moved out for the work."""
        return self.plan.works.stored

    def name(self, piece: Piece) -> str:
        """What a piece is called."""
        return piece.label or dict(KINDS).get(piece.type) or kits_of(self.plan)[piece.type].name

    def fields(self, piece: Piece) -> dict[str, str]:
        """What the fields of one thing show, as texts."""
        texts = {}
        for name, value in shown(self.plan, piece).items():
            if isinstance(value, str):
                texts[name] = value
            elif value is None:
                texts[name] = ""
            else:
                write = MASS.written if name == "mass" else format_length
                texts[name] = write(value, self.plan.units)
        return texts

    def outline(self, piece: Piece) -> tuple[Point, ...]:
        """The corners of what a piece takes of the floor."""
        kit = kits_of(self.plan)[piece.type]
        half = ((piece.width_mm or kit.width_mm) / 2, (piece.depth_mm or kit.depth_mm) / 2)
        pose = piece.pose
        corners = []
        for right, front in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
            dx, dy = turn(right * half[0], front * half[1], pose.angle_deg)
            corners.append((round(pose.x_mm + dx, 1), round(pose.y_mm + dy, 1)))
        return tuple(corners)

    def stored_words(self, thing: Stored) -> str:
        """What a thing of the works takes and what becomes of it."""
        takes, unit = measure_in(thing.width_mm * thing.depth_mm / 1e6, "m2", self.plan.units)
        fate = "moved out for the work" if thing.becomes == "stays" else "goes"
        heavy = f", {MASS.words(thing.mass_kg, self.plan.units)}" if thing.mass_kg else ""
        return f"{takes:.1f} {unit.replace('2', '²')}{heavy}: {fate}"

    @property
    def _pieces(self) -> tuple[Piece, ...]:
        kits = kits_of(self.plan)
        return tuple(piece for piece in things_that_stay(self.plan) if piece.type in kits)

    def _where(self, piece: Piece) -> str:
        at = standing(self.plan, piece)
        if at is None:
            return "stands free"
        far = format_length(at.along_mm, self.plan.units)
        return f"wall {letter(self.plan.room, at.wall)}, {far} from its left end"
