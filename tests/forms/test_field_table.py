"""Every field of a form holds what the document takes, and no more."""

from typing import Literal, get_args, get_origin

import pytest
from pydantic import BaseModel
from pydantic import Field as Length
from pydantic.fields import FieldInfo

from app.forms.field_table import Field, Table, attribute, bounds_of, form_bounds, number
from app.forms.fit_edits import TABLES as FIT
from app.forms.fit_edits_floor import FLOORS
from app.forms.money_edits import TABLES as MONEY
from app.forms.own_kit_edits import OWN, ROWS
from app.forms.people_edits import PEOPLE, PERSON
from app.forms.phasing_edits import TABLES as PHASING
from app.forms.room_edits import TABLES as ROOM
from app.forms.room_edits_around import SITUATIONS, WAY_IN
from app.forms.room_edits_inside import COLUMNS, LOW_THINGS, SOCKETS
from app.forms.room_edits_parts import CEILING_PARTS, STEPS, Parts
from app.forms.room_edits_walls import OPENINGS, WALLS
from app.forms.thing_edits import Things
from app.forms.typed_fields import Typed
from app.model.base import json_of
from app.model.plan import Plan
from app.model.room_parts import parts_of
from app.units import Units
from tests.web.test_stale_forms import grown

TABLES = [*ROOM.values(), *FIT.values(), *MONEY.values(), *PHASING.values(), OWN, PERSON]
FIELDS = [(table, each) for table in TABLES for each in table.fields]
NOT_OFFERED = {("FloorLaying", "material"): {"bare"}}
"""Words of the document that a form leaves out: what is laid is made of something."""


def keys_of(info: FieldInfo) -> set[str]:
    """The words that a document takes at an attribute, as texts; none where any goes."""
    literals = [one for one in (info.annotation, *get_args(info.annotation)) if _is_literal(one)]
    return {str(word) for literal in literals for word in get_args(literal)}


def _is_literal(annotation: object) -> bool:
    return get_origin(annotation) is Literal


@pytest.mark.parametrize(("table", "each"), FIELDS)
def test_a_field_has_its_place_in_the_document(table: Table, each: Field) -> None:
    assert each.at == "" or attribute(table.model, each.at) is not None
    assert each.at or table.finish, "what nothing makes an attribute of is lost"


@pytest.mark.parametrize(
    ("table", "each"), [pair for pair in FIELDS if pair[1].kind in ("length", "number")]
)
def test_a_form_takes_no_more_than_the_document(table: Table, each: Field) -> None:
    least, most = form_bounds(table, each)
    assert least < most
    assert each.what, "a fault has to say what it is about"
    info = attribute(table.model, each.at)
    if info is not None and each.cast(1.0) == 1.0:
        low, high = bounds_of(info)
        assert low is None or low <= least
        assert high is None or most <= high


@pytest.mark.parametrize(
    ("table", "each"), [pair for pair in FIELDS if pair[1].kind == "choice" and pair[1].at]
)
def test_a_list_offers_what_the_document_takes(table: Table, each: Field) -> None:
    info = attribute(table.model, each.at)
    assert info is not None
    words = keys_of(info)
    if words:
        offered = {key for key, _ in each.words} - {""} if each.words else words
        assert words - offered == NOT_OFFERED.get((table.model.__name__, each.name), set())
        assert offered <= words


class Shelf(BaseModel):
    depth: int = Length(ge=2, le=7)


def test_bounds_are_those_of_the_document() -> None:
    assert bounds_of(Shelf.model_fields["depth"]) == (2, 7)
    assert form_bounds(Table(Shelf, ()), number("depth", "Depth", "depth")) == (2, 7)
    assert form_bounds(Table(Shelf, ()), number("depth", "Depth", "depth", most=5)) == (2, 5)


THINGS = (
    WALLS, OPENINGS, LOW_THINGS, COLUMNS, SOCKETS, CEILING_PARTS, STEPS, WAY_IN, SITUATIONS,
    FLOORS, PEOPLE, ROWS,
)  # fmt: skip


@pytest.mark.parametrize("units", ["metric", "feet"])
@pytest.mark.parametrize("things", THINGS, ids=[things.name for things in THINGS])
def test_a_form_sent_back_as_it_stands_changes_nothing(things: Things, units: Units) -> None:
    plan = Plan.model_validate({**json_of(grown()), "units": units})
    shown = parts_of(plan.room, things.surface) if isinstance(things, Parts) else things.of(plan)
    assert shown, "nothing to send back"
    for thing in shown:
        texts = things.table.texts(plan, thing).items()
        fields = {
            name: "yes" if text is True else text for name, text in texts if text is not False
        }
        after, _ = things.change(plan, Typed({**fields, "id": thing.id, "part": thing.id}, units))
        assert after == plan


def test_a_wall_is_chosen_from_a_list_as_wide_as_the_form() -> None:
    # a letter, a length and a name such as "D, 9' 8 1/8\", the garage door wall": half a form is
    # too narrow for it, and what is chosen in a list is never broken into lines
    walls = [each for table, each in FIELDS if each.kind == "wall" or each.choices == "walls"]
    assert len(walls) > 8
    assert [each.name for each in walls if "half" in f"{each.span} {each.wrap}".split()] == []
