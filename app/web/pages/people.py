"""Who trains: a card per person, and the fields by which people come, change and go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from urllib.parse import quote

from flask import Blueprint, render_template
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from app.checks.open_floor import PersonCard
from app.drawing.frieze import Pictured, frieze, in_order
from app.forms.people_edits import PERSON, edit_people
from app.library.movements import movements
from app.model.plan import Plan
from app.units import format_short
from app.usecases.carrying_out import STEPS, Outcome
from app.usecases.history import names_of
from app.web.house import house
from app.web.pages.typed_forms import Refused, take_form

people_pages = Blueprint("people_pages", __name__)

NOTHING = Refused()


@people_pages.post("/plan/<plan_id>/people")
def change(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Add, change or remove a person, or show the form again with what is wrong in it.

    What is kept leads on to the card of the person. `undo` and `redo` are edits as well.
    """
    return take_form(plan_id, edit_people, partial(people_page, plan_id), _lead)


def _lead(form: Mapping[str, str], outcome: Outcome) -> str:
    card = outcome.newcomer(lambda plan: plan.people) or form.get("person", "")
    there = card in {person.id for person in outcome.after.people}
    return f"people#person-{quote(card)}" if there and form.get("edit") not in STEPS else "people"


def people_page(plan_id: str, refused: Refused = NOTHING) -> str:
    """Render the cards of all people; `refused` is a form that could not be carried out."""
    state = house().open(plan_id)
    plan = state.plan
    names = names_of(plan)
    cards = house().cards(plan_id)
    return render_template(
        "people.html",
        plan_id=plan_id,
        plan=plan,
        state=state,
        cards=cards,
        pictures=_pictures(plan, cards),
        movements=movements(),
        also=[row for row in movements().values() if not row.on_card],
        short=partial(format_short, units=plan.units),
        names=names,
        written={person.id: PERSON.texts(plan, person) for person in plan.people},
        others={
            person.id: [(other.id, names[other.id]) for other in plan.people if other != person]
            for person in plan.people
        },
        everybody=[(person.id, names[person.id]) for person in plan.people],
        refused=refused,
    )


def _pictures(plan: Plan, cards: Sequence[PersonCard]) -> dict[str, tuple[Pictured, ...]]:
    """Return the pictures of each person's movements, all in one order, by the person's id."""
    order = in_order(cards)
    people = {person.id: person for person in plan.people}
    floor = plan.room.floor.covering.thickness_mm
    return {
        card.person_id: tuple(
            replace(one, svg=Markup(one.svg))
            for one in frieze(card, people[card.person_id], order, floor)
        )
        for card in cards
    }
