"""A search that had little of the machine's time waits, and looks on from where it is."""

import contextlib
import math
import time
from multiprocessing import Pipe

import pytest

from app.arranging.best_layouts import BestLayouts
from app.arranging.crew import Crew
from app.arranging.problem import Problem, Task
from app.arranging.workers import Ready, Report, shared_out
from tests.arranging.hand_made import sample

MORE_THAN_ANY = math.inf
"""A share of a processor that no process has: every machine is too busy."""
SHORT_S = 0.5


def test_on_a_busy_machine_it_waits_and_goes_on_as_if_it_had_never_stopped() -> None:
    task = Task(sample("single-garage"))
    crew = Crew(task, 1, seconds=SHORT_S, processes=1, least_share=MORE_THAN_ANY)
    crew.start()
    crew.rest()
    assert crew.waits
    assert crew.running
    (first,) = crew.made.values()
    crew.go_on(SHORT_S)
    assert not crew.waits
    crew.rest()
    assert crew.waits
    (made,) = crew.made.values()
    assert made > first
    crew.stop()
    crew.join()
    assert not crew.waits
    # the same steps without a pause
    (job,) = shared_out(task, 1, 1)
    ready, straight = Ready.of(job, Problem(task)), BestLayouts()
    for _ in range(made):
        ready.step()
    for search in ready.searches:
        straight.join(search.layouts.every)
    assert crew.layouts.every == straight.every


def test_a_word_to_go_on_that_is_there_before_it_is_asked_for_is_not_lost() -> None:
    (job,) = shared_out(
        Task(sample("single-garage")), 1, 1, until=time.time(), least_share=MORE_THAN_ANY
    )
    ours, theirs = Pipe()
    ours.send(time.time() + SHORT_S)
    ours.send("stop")
    job.carry_out(theirs, None)
    theirs.close()
    reports = list[Report]()
    with contextlib.suppress(EOFError):
        while True:
            reports.append(ours.recv())
    first, *after = reports
    assert first.waiting
    # it looked on: the word to stop alone ends a search that nobody told to go on without a word
    assert after


@pytest.mark.parametrize(("processes", "least_share"), [(1, 0.0), (0, MORE_THAN_ANY)])
def test_with_time_enough_or_no_process_to_wait_it_ends(processes: int, least_share: float) -> None:
    task = Task(sample("single-garage"))
    crew = Crew(task, 1, seconds=SHORT_S, processes=processes, least_share=least_share)
    crew.start()
    crew.join()
    crew.rest()
    assert not crew.waits
    crew.go_on(SHORT_S)
    assert not crew.running
