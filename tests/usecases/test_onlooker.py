"""A search in the background ends once nobody looks, the plan is another or the program ends."""

import time
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event, Thread

import pytest

from app.arranging.crew import Crew
from app.arranging.problem import Task
from app.arranging.workers import TELL_S
from app.changes.commands import Change, Command, adds
from app.errors import EndingError, OutdatedError
from app.model.base import json_of
from app.model.kit import Pose
from app.usecases import arranging
from app.usecases.onlooker import SEEN_S, Onlooker
from app.usecases.plans import Elbowroom
from tests.builders import make_plan, make_room, place

HOUR_S = 3600.0
PATIENCE_S = 120.0
"""A test that waits so long for what must come has failed."""


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Elbowroom]:
    """A program on an empty folder."""
    one = Elbowroom(tmp_path / "plans")
    yield one
    one.close()


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


def test_it_gives_way_to_a_hand_that_drags_and_goes_on_after_it() -> None:
    plan = make_plan(place("flat-bench", 2000, 2000), room=make_room(5000, 4000))
    hand = Event()
    crew = Crew(Task(plan), seconds=HOUR_S, processes=1, gives_way=hand.is_set)
    crew.start()

    def made() -> int:
        return sum(crew.made.values())

    def goes_on() -> bool:
        before, until = made(), time.monotonic() + PATIENCE_S
        while made() == before and time.monotonic() < until:
            time.sleep(TELL_S)
        return made() > before

    def rests() -> bool:
        # what was under way when the hand went down is told once more
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            before = made()
            time.sleep(4 * TELL_S)
            if made() == before:
                return True
        return False

    assert goes_on()
    hand.set()
    assert rests()
    hand.clear()
    assert goes_on()
    crew.stop()
    assert ended(crew.join)


def test_the_hand_on_the_desk_is_the_one_it_gives_way_to(house: Elbowroom) -> None:
    plan_id = house.create(make_plan(place("fan", 600, 600, piece_id="fan"))).plan_id
    arranging.begin(house, plan_id, steps=1)
    run = arranging.runs_of(house).get(plan_id)
    assert run is not None
    assert not run.crew.gives_way()
    house.try_moves(plan_id, {"fan": Pose(x_mm=700, y_mm=600)})
    assert run.crew.gives_way()
    arranging.stop(house, plan_id)


@pytest.mark.long
def test_a_plan_that_changes_while_it_runs_keeps_the_change(house: Elbowroom) -> None:
    pieces = (place("fan", 600, 600, piece_id="fan"), place("bike", 2500, 2000, piece_id="bike"))
    plan_id = house.create(make_plan(*pieces)).plan_id
    arranging.begin(house, plan_id, steps=2)
    arranging.wait(house, plan_id)
    gone = Change(path=("pieces", "fan"), before=json_of(pieces[0]), after=None)
    house.do(plan_id, Command(name="remove", changes=(gone,)))
    view = arranging.view(house, plan_id)
    assert view is not None
    moving = [card for card in view.cards if "bike" in card.shown.moved]
    arranging.take(house, plan_id, moving[0].key)
    after = house.open(plan_id).plan
    assert [piece.id for piece in after.pieces] == ["bike"]
    assert after.piece("bike").pose == moving[0].shown.poses["bike"]
