"""What is read is written so that it is read again alike: every field, at and beyond its bounds."""

import json
import math
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.changes.commands import Change, Command, apply
from app.errors import ElbowroomError, PlanError
from app.model.plan import Plan, Settled
from app.model.versions import dump, from_data, load, see_reads_back
from tests.model.full_document import Place, every_field, every_place, full_document

STEP = 0.01
"""To what lengths are rounded; half of it is where rounding turns."""
BOUNDS = ("minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum")
WRITTEN = json.dumps(full_document())
PLACES = tuple(every_place(json.loads(WRITTEN)))


def test_every_number_and_text_of_a_document_is_looked_at() -> None:
    assert every_field() == {name for _, _, name in PLACES}


def read_or_refused(way: tuple[str | int, ...], value: object) -> bool:
    """Put a value at a place, see that what is read is read again alike; False where refused."""
    document = json.loads(WRITTEN)
    holder: Any = document
    for step in way[:-1]:
        holder = holder[step]
    holder[way[-1]] = value
    try:
        plan = from_data(document)
    except PlanError:
        return False
    assert load(dump(plan)) == plan
    return True


def at_bounds(part: dict[str, Any]) -> Iterator[object]:
    """Give values at the bounds of a field, just beyond and just inside."""
    if part["type"] == "string":
        for length in {part.get("minLength", 0), part.get("maxLength", 200)}:
            for letters in (length - 1, length, length + 1):
                yield "x" * max(letters, 0)
        yield from ("\x00", "\u2028", "\ud800", "é" * 50)
        return
    for bound in (0, *(part[name] for name in BOUNDS if name in part)):
        yield from (bound, math.nextafter(bound, -math.inf), math.nextafter(bound, math.inf))
        for aside in (STEP / 2 - 0.001, STEP / 2, STEP / 2 + 0.001, STEP, 1):
            yield from (bound - aside, bound + aside)


def shared_out(place: Place) -> Iterator[object]:
    """Give the bounds of a field, and of the values about them those that fall to this field.

    Fields with the same bounds share these values among them, so that each value is tried.
    """
    way, part, _ = place
    alike = [other for other, shape in SHAPES if shape == _shape(part)]
    number, values = alike.index(way), list(at_bounds(part))
    yield from (part[name] for name in BOUNDS if name in part)
    for index, value in enumerate(values):
        if number % len(values) == index or index % len(alike) == number:
            yield value


def _shape(part: dict[str, Any]) -> dict[str, Any]:
    """What decides whether a value is taken: its kind and its bounds, not what it is called."""
    return {key: value for key, value in part.items() if key not in ("title", "default")}


SHAPES = tuple((way, _shape(part)) for way, part, _ in PLACES)


@pytest.mark.parametrize("place", PLACES, ids=lambda place: ".".join(map(str, place[0])))
def test_at_its_bounds_each_field_is_kept_alike_or_refused(
    place: Place, request: pytest.FixtureRequest
) -> None:
    way, part, _ = place
    whole = request.config.getoption("--long")
    for value in at_bounds(part) if whole else shared_out(place):
        read_or_refused(way, value)


def beyond(part: dict[str, Any]) -> Iterator[tuple[object, str]]:
    """Give values clearly beyond the bounds of a field, each as a sentence must tell it."""
    if part["type"] == "string":
        if "maxLength" in part:
            yield "x" * (part["maxLength"] + 1), str(part["maxLength"] + 1)
        return
    aside = 7 if part["type"] == "integer" else 7.25
    for name in BOUNDS:
        if name in part:
            value = part[name] + (aside if "axi" in name else -aside)
            yield value, repr(value)


def test_each_limit_is_told_with_the_figure_that_breaks_it() -> None:
    tried = 0
    for way, part, name in PLACES:
        for value, told in beyond(part):
            document = json.loads(WRITTEN)
            holder: Any = document
            for step in way[:-1]:
                holder = holder[step]
            holder[way[-1]] = value
            with pytest.raises(PlanError) as refused:
                from_data(document)
            assert told in str(refused.value).replace(",", ""), name
            tried += 1
    assert tried > 400


@given(st.sampled_from(PLACES), st.floats(-2e5, 2e5) | st.floats(-1, 1) | st.text(max_size=4))
def test_any_value_is_kept_alike_or_refused(place: Place, value: float | str) -> None:
    read_or_refused(place[0], value)


@pytest.mark.parametrize("value", [0.004, 0.005, -0.004])
def test_a_size_that_is_nothing_once_rounded_is_refused(value: float) -> None:
    # round(0.005, 2) is 0.0 or 0.01 as binary has it: kept only where it is more than nothing
    kept = read_or_refused(("pieces", 0, "width_mm"), value)
    assert kept == (round(value, 2) > 0)


def test_no_command_keeps_what_cannot_be_read_again() -> None:
    plan = from_data(full_document())
    for field in ("width_mm", "bar_height_mm", "plate_mm"):
        change = Change(path=("pieces", "rack", field), before=None, after=0.004)
        with pytest.raises(PlanError, match="nothing when kept to"):
            apply(plan, Command(name="edit", changes=(change,)))


def test_a_plan_that_differs_from_its_own_json_is_refused() -> None:
    plan = from_data(full_document())
    see_reads_back(plan)
    # built past every check, as only a fault of the program can
    odd = plan.model_copy(update={"pieces": (plan.pieces[0].model_copy(update={"width_mm": 0.0}),)})
    with pytest.raises(ElbowroomError, match="width_mm"):
        see_reads_back(odd)
    unordered = plan.model_copy(
        update={
            "settled": tuple(
                Settled(id=name, reason="seen", on=plan.settled[0].on) for name in ("b", "a")
            )
        }
    )
    with pytest.raises(ElbowroomError, match="would be read otherwise"):
        see_reads_back(unordered)


def test_ids_that_differ_in_noughts_hide_no_id_that_stands_twice() -> None:
    document = full_document()
    piece = document["pieces"][0]
    document["pieces"] = [{**piece, "id": name} for name in ("rack-1", "rack-01", "rack-1")]
    with pytest.raises(PlanError, match="'rack-1' stands twice"):
        Plan.model_validate(from_data(json.loads(json.dumps(document))))
