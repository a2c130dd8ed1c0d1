"""What a household is to have ready: by the jobs of a plan, once, and never bought."""

import csv
import io
from typing import Any

from app.library.household import household
from app.takeoff.line import READY_NAME
from app.takeoff.quantities import as_csv, as_json, as_text
from tests.builders import make_room, place
from tests.checks.hanging import room_of
from tests.takeoff.making import counted


def ready_for(**asked: Any) -> set[str]:
    return {one.key.removeprefix("have.") for one in counted(**asked).ready}


CLEARED = {"torch", "chalk", "broom", "boxes", "bin-bags", "work-gloves", "straps"}
"""What anybody has in hand who looks for cables and clears a room."""


def test_each_job_names_its_things() -> None:
    assert ready_for(room=room_of(floor="timber")) == CLEARED
    mats = ready_for(room=room_of(floor="timber"), floors=[{"id": "f"}])
    laid = {"tape-measure", "cutting-board", "thermometer", "pen", "step-ladder"}
    assert mats == CLEARED | laid
    slab = ready_for(room=room_of(), floors=[{"id": "f"}])
    assert slab == CLEARED | laid | {"water-spray", "boots"}
    picture = ready_for(
        room=room_of(floor="timber"), projections=[{"id": "p", "wall": "back", "middle_mm": 2000}]
    )
    # the list has a ladder then
    assert picture - CLEARED == {"pencil"}


def test_what_the_list_counts_is_not_told_twice() -> None:
    painted = ready_for(room=room_of(floor="timber"), paint=[{"id": "w", "surface": "walls"}])
    assert not painted & {"thermometer", "step-ladder"}


def test_it_is_on_every_list_and_costs_nothing() -> None:
    took = counted(place("flat-bench", 2000, 2000), room=make_room())
    names = [household()[one.key.removeprefix("have.")].name for one in took.ready]
    assert "Spanners and hex keys" in names
    rows = [
        row for row in csv.DictReader(io.StringIO(as_csv(took, "EUR"))) if row["key"][:5] == "have."
    ]
    assert [row["item"] for row in rows] == names
    assert {(row["net"], row["unit"], row["packs"], row["cost"]) for row in rows} == {
        ("1", "pc", "", "")
    }
    assert [one["item"] for one in as_json(took, "EUR")["ready"]] == names
    text = as_text(took, "EUR")
    assert text.index(READY_NAME) < text.index("  Torch: looking")
