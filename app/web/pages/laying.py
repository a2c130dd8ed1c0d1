"""A floor laid from the phone: one piece at a time, its cut by the tape, ticked off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any
from urllib.parse import urlencode

from flask import Blueprint, render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from app.drawing.floor_figure import runs
from app.drawing.lay_figure import cut_picture, place_picture
from app.errors import NotFoundError, PlanError
from app.model.plan import Plan
from app.model.room_walls import letter
from app.scene.naming import wall_called
from app.takeoff.floor import Layout
from app.takeoff.floor_bare import anew_words
from app.takeoff.floor_begun import in_hand, sizes_of
from app.takeoff.floor_layout import Mat
from app.takeoff.floor_setting import setting_words
from app.takeoff.lay_places import beside_of, beside_words
from app.takeoff.lay_steps import LayStep, lay_step
from app.takeoff.lay_words import cut_rows, cut_steps, place_words, source_words
from app.units import format_length
from app.usecases import accounts
from app.usecases.accounts import Account
from app.usecases.carrying_out import STEPS, Outcome
from app.usecases.laying import edit_laying, tick_laying
from app.web.api.shown import plans_along
from app.web.guard.guard import RefusedError
from app.web.guard.requester import link
from app.web.house import house
from app.web.pages.typed_forms import Refused, number_of, take_form
from app.wording import in_figures, length_words

lay_pages = Blueprint("lay_pages", __name__)


@dataclass(frozen=True, eq=False)
class LayView:
    """One piece of a floor as the phone shows it; `at` is its number."""

    plan: Plan
    account: Account
    layout: Layout
    at: int

    @property
    def mats(self) -> tuple[Mat, ...]:
        """All pieces in laying order."""
        return self.layout.mats

    @property
    def kind(self) -> str:
        """What one stock piece is called."""
        return self.layout.laid.laying.piece_name

    @cached_property
    def mat(self) -> Mat:
        """The piece that is looked at."""
        return next(mat for mat in self.mats if mat.number == self.at)

    @cached_property
    def step(self) -> LayStep | None:
        """What to do with it; None where nobody knows how to cut it from what is left."""
        try:
            return lay_step(self.account.scene, self.layout.laid, self.mat)
        except ValueError:
            return None

    @property
    def lies(self) -> int:
        """How many pieces lie."""
        return sum(mat.down for mat in self.mats)

    @property
    def done(self) -> bool:
        """Return whether all of it lies."""
        return self.lies == len(self.mats)

    @property
    def beside(self) -> tuple[int | None, int | None]:
        """The numbers of the pieces before and after."""
        numbers = [mat.number for mat in self.mats]
        i = numbers.index(self.at)
        return (
            numbers[i - 1] if i else None,
            numbers[i + 1] if i + 1 < len(numbers) else None,
        )

    @property
    def waits_after(self) -> int | None:
        """The number of the next piece that does not lie yet, None after the last."""
        after = (mat.number for mat in self.mats if not mat.down and mat.number > self.at)
        return next(after, None)

    @cached_property
    def wall(self) -> str:
        """The start wall by the name that the plan's drawings give it."""
        return wall_called(self.account.scene, self.layout.start.wall)

    @property
    def source(self) -> str:
        """What it is cut from."""
        return "" if self.step is None else source_words(self.step, self.kind, self.plan.units)

    @property
    def cuts(self) -> tuple[str, ...]:
        """Its cuts in their order."""
        return () if self.step is None else cut_steps(self.step, self.plan.units)

    @property
    def cut_rows(self) -> tuple[tuple[str, tuple[tuple[str, str, str], ...]], ...]:
        """Its cuts for the page: a sentence, and the marks of what is cut out as rows."""
        return () if self.step is None else cut_rows(self.step, self.plan.units)

    def spoiled(self, piece: int | None) -> str:
        """Say what came of a piece that was spoiled; nothing without one."""
        if piece is None or piece not in {mat.number for mat in self.mats}:
            return ""
        return (
            f"Piece {piece} is to be cut anew, as it is told below. "
            f"{in_figures(self.layout.to_buy, self.kind)} in all to buy now."
        )

    @property
    def place(self) -> str:
        """Where it lies, by the tape: off the start wall, or off a piece that lies by then."""
        if self.step is None:
            return ""
        beside = beside_of(self.account.scene, self.layout.laid, self.mat)
        if beside is not None:
            return beside_words(beside, self.plan.units)
        return place_words(self.step, self.wall, self.plan.units)

    @property
    def cut_drawing(self) -> Markup:
        """The picture of its cut; nothing where it is laid as it comes."""
        if self.step is None or not (self.step.straight or self.step.notches):
            return Markup("")
        label = f"Piece {self.at} in what it is cut from: {' '.join(self.cuts)}"
        return Markup(cut_picture(self.step, self.plan.units, label))

    @property
    def place_drawing(self) -> Markup:
        """The picture of the floor with this piece picked out."""
        label = f"The floor with {self.wall} on top; piece {self.at} is picked out"
        picture = place_picture(self.account.scene, self.layout.laid, self.mat, self.wall, label)
        return Markup(picture)

    @property
    def setting(self) -> str:
        """Where the first piece lies."""
        return setting_words(self.account.scene, self.layout, self.plan.units, drawn=False)

    @cached_property
    def offcuts(self) -> list[tuple[str, str, str]]:
        """The offcuts that a piece is still cut from: size, after which pieces, for which."""
        laid, units = self.layout.laid, self.plan.units
        rows = []
        for one in in_hand(laid.laying, sizes_of(laid)):
            own = [mat for mat in self.mats if mat.sheet == one.sheet]
            need = [
                mat.number
                for mat in own
                if not mat.down and one.holds(mat.rect.x_mm, mat.rect.y_mm)
            ]
            if need:
                wide, high = (length_words(mm, units) for mm in one.size_mm)
                rows.append(
                    (f"{wide} × {high}", runs([m.number for m in own if m.down]), runs(need))
                )
        return rows

    @property
    def left_over(self) -> int:
        """How many offcuts are there."""
        return len(in_hand(self.layout.laid.laying, sizes_of(self.layout.laid)))

    @property
    def spare(self) -> int:
        """How many offcuts no piece needs as it is planned."""
        return self.left_over - len(self.offcuts)

    @property
    def walls(self) -> list[tuple[str, str, str]]:
        """The walls: id, name, length as it is kept."""
        room, units = self.plan.room, self.plan.units
        return [
            (one.id, self._called(one.id), format_length(room.wall_length_mm(one.id), units))
            for one in room.walls
        ]

    def _called(self, wall_id: str) -> str:
        """Say which wall: as the drawing here names it, and by its letter in the room."""
        name, by_letter = wall_called(self.account.scene, wall_id), letter(self.plan.room, wall_id)
        return name if name.endswith(by_letter) else f"{name} ({by_letter})"

    def measured(self, wall_id: str) -> str:
        """Say what came of a wall that was measured anew; nothing for one that is not there."""
        walls = {one: (name, long) for one, name, long in self.walls}
        if wall_id not in walls:
            return ""
        name, long = walls[wall_id]
        left = len(self.mats) - self.lies
        rest = f"what is left to lay is planned anew, {in_figures(left, 'piece')}"
        return f"{name[0].upper()}{name[1:]} is {long} now: {rest}."

    @property
    def bare(self) -> str:
        """Say where a strip stays bare beside what lies."""
        laid = self.layout.laid
        return " ".join(anew_words(self.account.scene, laid, self.plan.units)) if self.lies else ""


@lay_pages.get("/plan/<plan_id>/lay")
def show(plan_id: str) -> str:
    """The next piece to lay, or the one that is asked for."""
    return _page(plan_id, request.args, Refused())


@lay_pages.post("/plan/<plan_id>/lay")
def tick(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Say that a piece lies or is spoiled; who may change the plan also how long a wall is."""
    if request.form.get("edit") in STEPS and not plans_along():
        # undo takes back whatever came last, which need not be a tick
        raise RefusedError("Here pieces of a floor are ticked off, and nothing else.")
    editor = edit_laying if plans_along() else tick_laying
    return take_form(plan_id, editor, lambda refused: _page(plan_id, request.form, refused), _lead)


def _lead(form: Mapping[str, str], outcome: Outcome) -> str:
    of = form.get("of", "")
    if form.get("edit", "").startswith(("lifted", "spoiled")):
        at = number_of(form.get("piece", "")) or 1
        told = f"&spoiled={at}" if form["edit"].startswith("spoiled") else ""
        return f"lay?of={of}&at={at}{told}"
    if form.get("edit") == "wall-length":
        return f"lay?{urlencode({'of': of, 'wall': form.get('wall', '')})}"
    return f"lay?of={of}"


def _page(plan_id: str, asked: Mapping[str, str], refused: Refused) -> str:
    state, account = accounts.account_of(house(), plan_id)
    floors = state.plan.fit_out.floors
    guest = link()
    words: dict[str, Any] = {
        "plan_id": plan_id,
        "plan": state.plan,
        "state": state,
        "refused": refused,
        "floors": floors,
        "view": None,
        "why_not": "",
        "measured": "",
        "spoiled": "",
        "of": "",
        "may_edit": plans_along(),
        "may_tick": plans_along() or bool(guest and guest.ticks),
    }
    if floors:
        wanted = asked.get("of", "")
        laying = next((one for one in floors if one.id == wanted), floors[0])
        words["of"] = laying.id
        try:
            layout = account.layout(laying.id)
        except (NotFoundError, PlanError) as error:
            faults = error.faults if isinstance(error, PlanError) else ()
            words["why_not"] = faults[0].sentence if faults else str(error)
        else:
            view = LayView(state.plan, account, layout, _at(layout, asked))
            words["view"] = view
            words["measured"] = view.measured(asked.get("wall", "")) if not refused.faults else ""
            words["spoiled"] = view.spoiled(number_of(asked.get("spoiled", "")))
    return render_template("lay.html", **words)


def _at(layout: Layout, asked: Mapping[str, str]) -> int:
    """Return the number of the piece to look at: the one asked for, else the next to lay."""
    numbers = [mat.number for mat in layout.mats]
    given = number_of(asked.get("at", "") or asked.get("piece", ""))
    if given in numbers:
        return given
    waiting = [mat.number for mat in layout.mats if not mat.down]
    return waiting[0] if waiting else numbers[-1]
