"""Arrange it for me: layouts of a plan side by side while they are looked for, and taking one."""

from __future__ import annotations

from typing import Any, TypedDict, cast, get_args

from flask import Blueprint, redirect, render_template, request
from markupsafe import Markup
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response as AnyResponse

from app.arranging.arrange import ArrangeError
from app.arranging.choosing import ENOUGH
from app.arranging.shown import REASONS_AT_MOST
from app.arranging.typed_wish import WishError
from app.arranging.wishes import HIGHEST, RELATIONS, Wish, wishes_of
from app.errors import CommandError, ElbowroomError, NotFoundError, PlanError
from app.model.layout_wish import Relation
from app.usecases import arranging
from app.usecases.layout_run import Card, View
from app.web.errors import status_of
from app.web.guard.requester import author
from app.web.house import house
from app.web.pages.arranging_words import (
    BAR,
    curve_of,
    is_worth_it,
    plain_words,
    prices_of,
    seated_in_all,
    table,
    wishes_words,
)
from app.web.pages.options import apart

arranging_pages = Blueprint("arranging_pages", __name__)

CHOICES = (
    ("", "as many as it takes"),
    ("5", "at most 5, the rest stays as I have it"),
    ("3", "at most 3, the rest stays as I have it"),
    ("1", "only 1, the rest stays as I have it"),
)
"""How many pieces may move."""
KEEP = "keep"
PLACINGS = (
    ("", "may move"),
    (KEEP, "stays where it is"),
    ("12", "may be left out, but would be missed"),
    ("4", "may be left out"),
)
"""What may be done with a piece; a number is what it is worth to have it, in points of the score:
about as much as two preferences, or half of one."""
COUNT_AT_MOST = 9999
"""Pieces that may move, or steps: more than any plan holds or anybody waits for."""
WISH_ROWS = 4
"""Rows for wishes: more are seldom all fulfilled; one is left free beside those that are kept."""
IN_WORDS = "wish-words"
"""The field in which wishes are typed, one a line."""


@arranging_pages.get("/plan/<plan_id>/arrange")
def show(plan_id: str) -> str:
    """The layouts found so far, or the button that begins."""
    return _page(plan_id, "")


@arranging_pages.post("/plan/<plan_id>/arrange")
def change(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Make ready, begin, stop, go on, look at a layout, put it on the plan or keep it as an option.

    `open` begins where this plan was not looked at yet: the button of the desk.
    """
    form = request.form
    edit, of = form.get("edit", ""), form.get("of", "")
    to = f"{request.script_root}/plan/{plan_id}"
    try:
        if edit == "begin":
            arranging.begin(
                house(),
                plan_id,
                moves_at_most=_count(form.get("moves", "")),
                steps=_count(form.get("steps", "")),
                **_asked(form, plan_id),
                author=author(),
            )
        elif edit == "open":
            arranging.begin_if_new(house(), plan_id)
        elif edit == "ready":
            arranging.make_ready(house(), plan_id)
            return "", 204
        elif edit == "stop":
            arranging.stop(house(), plan_id)
        elif edit == "on":
            arranging.go_on(house(), plan_id)
        elif edit == "look":
            arranging.look_at(house(), plan_id, of)
        elif edit == "take":
            arranging.stop(house(), plan_id)
            arranging.take(house(), plan_id, of, author())
            return redirect(to, 303)
        elif edit == "keep":
            arranging.keep_as_option(house(), plan_id, of, author())
            return redirect(f"{to}/options", 303)
        else:
            raise CommandError("There is no such thing to do with layouts.")
    except (ArrangeError, CommandError, NotFoundError, PlanError, WishError) as error:
        if isinstance(error, NotFoundError):
            house().open(plan_id)
        return _page(plan_id, error.sentence), _status(error)
    return redirect(f"{to}/arrange", 303)


def _status(error: ElbowroomError) -> int:
    return 400 if isinstance(error, ArrangeError | WishError) else status_of(error)


def _count(text: str) -> int | None:
    """Read a count from a list of choices; None for as many as it takes, where nothing is said.

    Raises ArrangeError for what is no count from 1 to COUNT_AT_MOST.
    """
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= COUNT_AT_MOST):
        raise ArrangeError(
            f"“{text}” is no number of pieces or steps: write one from 1 to {COUNT_AT_MOST:,}, or "
            "leave it out."
        )
    return int(text)


class _Asked(TypedDict):
    keep: tuple[str, ...]
    worths: dict[str, float]
    wishes: tuple[Wish, ...]


def _asked(form: MultiDict[str, str], plan_id: str = "") -> _Asked:
    """Read what may be done with each piece, and the wishes; a row without a piece is none.

    Wishes in words are read where the plan is named. Raises WishError for one that is not
    understood.
    """
    placings = {key.partition("-")[2]: form[key] for key in form if key.startswith("piece-")}
    known = {value for value, _ in PLACINGS if value not in ("", KEEP)}
    wishes = []
    for row in range(_rows(form)):
        piece, how, to = (form.get(f"wish-{part}-{row}", "") for part in ("piece", "how", "to"))
        if piece and how in get_args(Relation):
            wishes.append(Wish(piece, cast(Relation, how), "" if how == HIGHEST else to))
    if plan_id:
        wishes += arranging.in_words(house(), plan_id, form.get(IN_WORDS, "").splitlines())
    return {
        "keep": tuple(piece for piece, value in placings.items() if value == KEEP),
        "worths": {piece: float(value) for piece, value in placings.items() if value in known},
        "wishes": tuple(dict.fromkeys(wishes)),
    }


def _rows(form: MultiDict[str, str]) -> int:
    """Return how many rows for wishes a form has."""
    return sum(key.startswith("wish-piece-") for key in form)


def _form(plan_id: str, view: View | None) -> dict[str, Any]:
    """Return what the form shows: the pieces with what may be done with them, and wishes."""
    can = arranging.asks(house(), plan_id)
    sent = request.form if request.form.get("edit") == "begin" else None
    back = None if sent is None else _asked(sent)
    task = view.task if view else None
    keep = back["keep"] if back else task.keep if task else ()
    worths = back["worths"] if back else dict(task.worths) if task else {}
    wishes = back["wishes"] if back else wishes_of(house().open(plan_id).plan)
    values = {piece: f"{worth:.0f}" for piece, worth in worths.items()}
    values |= dict.fromkeys(keep, KEEP)
    moves = str(task.moves_at_most or "") if task else ""
    rows = [*wishes, *[Wish("", "near")] * max(1, WISH_ROWS - len(wishes))]
    return {
        "pieces": [(key, name, values.get(key, "")) for key, name in can.pieces.items()],
        "placings": PLACINGS,
        "wishes": rows,
        "relations": RELATIONS,
        "targets": can.targets,
        "in_words": "" if sent is None else sent.get(IN_WORDS, ""),
        "moves": moves if sent is None else sent.get("moves", ""),
        "asks": bool(values or wishes or (sent is not None and sent.get(IN_WORDS))),
    }


def _page(plan_id: str, fault: str) -> str:
    state = house().open(plan_id)
    view = arranging.view(house(), plan_id)
    cards = view.cards if view else ()
    every = [view.answer.now, *(card.shown for card in cards)] if view else []
    return render_template(
        "arrange.html",
        plan_id=plan_id,
        plan=state.plan,
        fault=fault,
        view=view,
        changed=view is not None and view.plan.pieces != state.plan.pieces,
        now=_drawn("now", view.now) if view else "",
        cards=[_shown(number, card, view) for number, card in enumerate(cards, 1) if view],
        rows=table(every, view) if view else [],
        choices=CHOICES,
        curve=curve_of(view) if view else [],
        bar=BAR,
        seated=seated_in_all(cards),
        gone=view is None and arranging.was_looked_at(house(), plan_id),
        runs=arranging.RUNS_AT_MOST,
        enough=ENOUGH,
        wishes=wishes_words(cards) if view and not view.running else "",
        plain=plain_words,
        worth_it=view is not None and is_worth_it(view),
        names=view.names if view else {},
        form=None if view and view.running else _form(plan_id, view),
    )


def _drawn(key: str, svg: str) -> Markup:
    return apart(f"l{key.replace('.', '-')}", svg)


def _shown(number: int, card: Card, view: View) -> dict[str, Any]:
    in_all = seated_in_all(view.cards)
    floor, prices = card.shown.floor, prices_of(card.shown, view)
    return {
        "prices": prices,
        "seated": [words for words in card.shown.seated if words not in in_all],
        # what it costs is read before what more it gives
        "reasons": card.shown.reasons[: max(1, REASONS_AT_MOST - len(prices))],
        "number": number,
        "key": card.key,
        "shown": card.shown,
        "drawing": _drawn(card.key, card.drawing),
        "arrows": ";".join(" ".join(f"{v:.0f}" for v in arrow) for arrow in card.arrows),
        "moved": " ".join(card.pieces),
        "floor": "" if floor is None else " ".join(f"{x:.0f},{y:.0f}" for x, y in floor.corners),
    }
