"""A search in the background ends once nobody looks, the plan is another or the program ends."""

from collections.abc import Callable
from pathlib import Path
from threading import Thread

import pytest

from app.arranging.problem import Task
from app.arranging.workers import Crew
from app.changes.commands import adds
from app.errors import EndingError, OutdatedError
from app.usecases import arranging
from app.usecases.onlooker import SEEN_S, Onlooker
from app.usecases.plans import Elbowroom
from tests.builders import make_plan, make_room, place

HOUR_S = 3600.0
PATIENCE_S = 120.0
"""A test that waits so long for what must come has failed."""


def ended(wait: Callable[[], object]) -> bool:
    """Wait in a thread, for what should end would else keep the test for an hour."""
    waiting = Thread(target=wait, daemon=True)
    waiting.start()
    waiting.join(PATIENCE_S)
    return not waiting.is_alive()


def test_who_does_not_ask_any_more_has_gone() -> None:
    now = [0.0]
    onlooker = Onlooker(lambda: None, lambda: now[0])
    for asked in (SEEN_S, 2 * SEEN_S):
        now[0] = asked
        assert not onlooker.gone
        onlooker.seen()
    now[0] += SEEN_S + 1
    assert onlooker.gone


@pytest.mark.parametrize("fault", [OutdatedError("another plan"), EndingError("the end")])
def test_another_plan_and_the_end_of_the_program_end_it(fault: Exception) -> None:
    def look() -> None:
        raise fault

    assert Onlooker(look, lambda: 0.0).gone


def test_a_crew_stops_when_nobody_waits_and_keeps_what_it_found() -> None:
    plan = make_plan(place("flat-bench", 2000, 2000), room=make_room(5000, 4000))
    crew = Crew(Task(plan), seconds=HOUR_S, processes=0, gone=lambda: len(crew.best()) > 0)
    crew.start()
    assert ended(crew.join)
    assert crew.best()


@pytest.mark.long
@pytest.mark.parametrize("why", ["another plan", "the program ends"])
def test_layouts_are_no_longer_looked_for_when(tmp_path: Path, why: str) -> None:
    house = Elbowroom(tmp_path / "plans")
    plan = make_plan(place("flat-bench", 2000, 2000), room=make_room(5000, 4000))
    plan_id = house.create(plan).plan_id
    arranging.begin(house, plan_id, seconds=HOUR_S)
    if why == "another plan":
        house.do(plan_id, adds([place("fan", 300, 300)]))
    else:
        house.board.close()
    assert ended(lambda: arranging.wait(house, plan_id))
    house.close()
