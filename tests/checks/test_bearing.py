"""What kit bears, against the usual largest load: bench and rack 250 kg, stands and box 150.

A person of 100 kg and 100 kg of plates on a bar of 20 are taken where nobody typed any: common
practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from app.checks.snag import Snag
from app.model.people import Person
from app.model.plan import Plan
from tests.builders import found, make_person, make_plan, place

CODE = "bears-too-much"


def heavy(kg: float, **fields: Any) -> Person:
    return make_person(**fields).model_copy(update={"mass_kg": kg})


def snags(*pieces: Any, people: Any = ()) -> list[Snag]:
    data = make_plan(*pieces, people=people).model_dump()
    return found(Plan.model_validate(data), CODE)


def typed(kit: str, kg: float, x: float = 4200, **fields: Any) -> Any:
    return place(kit, x, 4200, **fields).model_copy(update={"mass_kg": kg})


STANDS = place("squat-stands", 1500, 2000)


def on_stands(**fields: Any) -> Any:
    return place("bar-20", 1500, 2000, carried_by="squat-stands").model_copy(update=fields)


def test_stands_bear_a_bar_with_its_plates() -> None:
    # 20 and 100 are 120; with 130 typed they come to 150, with 131 they are too much
    assert snags(STANDS, on_stands()) == []
    assert snags(STANDS, on_stands(), typed("iron-plates", 130)) == []
    (snag,) = snags(STANDS, on_stands(), typed("iron-plates", 131))
    assert (snag.severity, snag.measured, snag.required, snag.unit) == ("care", 150, 151, "kg")
    assert snag.working == (("bar", 20), ("plates", 131))
    assert snag.source_keys == ("load.stands-kg",)
    assert "20 kg of bar, 131 kg of plates come to 151 kg on it" in snag.sentence
    assert snag.where == (1500, 2000)
    # stands without a bar bear nothing, whatever lies beside them
    assert snags(STANDS, typed("iron-plates", 400)) == []


def test_a_bar_is_as_heavy_as_typed() -> None:
    (snag,) = snags(STANDS, on_stands(mass_kg=51))
    assert (snag.required, snag.source_keys) == (151, ("load.stands-kg", "floor.plates-on-bar-kg"))
    assert snags(STANDS, on_stands(mass_kg=50)) == []


@pytest.mark.parametrize(("kg", "over"), [(150, False), (151, True)])
def test_a_box_bears_the_heaviest_alone(kg: float, over: bool) -> None:
    people = (heavy(60), heavy(kg, person_id="two"))
    rows = snags(place("jump-box", 2500, 2500), people=people)
    assert [(s.measured, s.required, s.source_keys) for s in rows] == (
        [(150, 151, ("load.box-kg",))] if over else []
    )
    if over:
        assert "151 kg of person on it" in rows[0].sentence
        assert "come to" not in rows[0].sentence


def test_a_bench_bears_who_lies_on_it_with_the_bar() -> None:
    # 130 and 20 and 100 are 250; a bar anywhere in the room is pressed on it
    bench, bar = place("flat-bench", 2500, 2500), place("bar-20", 2500, 4000, on_floor=True)
    assert snags(bench, bar, people=(heavy(130),)) == []
    (snag,) = snags(bench, bar, people=(heavy(131),))
    assert (snag.measured, snag.required) == (250, 251)
    assert snag.working == (("person", 131), ("bar", 20), ("plates", 100))
    # without a bar, or where nobody presses lying, it bears the person alone
    assert snags(bench, people=(heavy(250),)) == []
    assert snags(bench, bar, people=(heavy(131, no=["bench-press"]),)) == []
    both = (heavy(131, no=["bench-press"]), heavy(60, person_id="two"))
    assert len(snags(bench, bar, people=both)) == 1


def test_where_nobody_typed_a_weight_the_usual_one_is_taken_and_named() -> None:
    bench, bar = place("flat-bench", 2500, 2500), place("bar-20", 2500, 4000, on_floor=True)
    assert snags(bench, bar) == []
    (snag,) = snags(bench, bar, typed("iron-plates", 131))
    assert snag.required == 251
    assert snag.source_keys == ("load.bench-kg", "fixing.body-mass-kg")
