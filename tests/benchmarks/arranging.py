"""Arrange it for me in the double garage: the first layout, a step, two cores beside one."""

import gc
import time

from app.arranging.crew import Crew
from app.arranging.problem import Problem, Task
from app.arranging.search import Search
from app.arranging.standby import Standby
from app.arranging.workers import READY_STEPS, shared_out
from app.checks.run import run
from app.placing.core import Core
from app.scene.build import build_scene
from tests.benchmarks.table import Row
from tests.placing.rooms import sample

FIRST_MS = 3000
STEPS = 60
JUDGED = 40
CREW_STEPS = READY_STEPS + 40
"""The first of them are made before anybody asks, and are not measured."""
READY_S = 20.0
GAIN = 1.7
"""How much faster two cores are to be than one."""


def _first() -> float:
    """Give how long it takes from the plan to a layout without a stop, ms of the processor."""
    plan = sample("double-garage")
    gc.collect()
    start = time.process_time()
    search = Search(Problem(Task(plan)), 1, 0)
    while not any(not one.stops for one in search.layouts.every):
        search.step()
    return (time.process_time() - start) * 1000


def _steps() -> tuple[float, float]:
    """Give how long a step takes and how long the full judge does, ms of the processor."""
    search = Search(Problem(Task(sample("double-garage"))), 1, 0)
    for _ in range(STEPS):
        search.step()
    start = time.process_time()
    for _ in range(STEPS):
        search.step()
    step = (time.process_time() - start) * 1000 / STEPS
    core = Core.of(build_scene(sample("double-garage")))
    scene, layout = core.scene, core.layout(core.free)
    start = time.process_time()
    for i in range(JUDGED):
        root = core.free[i % len(core.free)]
        at = layout.at[root]
        run(scene.moved(core.poses(root, at.turn_deg, (at.x_mm + i, at.y_mm))))
    return step, (time.process_time() - start) * 1000 / JUDGED


def _crew(processes: int) -> float:
    """Give how long some processes take that made ready before, as they do beside a page, ms."""
    task = Task(sample("double-garage"))
    standby = Standby(shared_out(task, processes, 1))
    # to make ready is no part of it: a page is open for longer before anybody asks
    time.sleep(READY_S)
    crew = Crew(task, 1, CREW_STEPS, processes=processes, standby=standby)
    start = time.perf_counter()
    crew.start()
    crew.join()
    return (time.perf_counter() - start) * 1000


def rows() -> list[Row]:
    """Give the first layout, a step beside the judge, and what a second core gains."""
    first = min(_first() for _ in range(2))
    step, judge = _steps()
    one, two = _crew(1), _crew(2)
    return [
        ("arrange, first layout without a stop", first, FIRST_MS, first / FIRST_MS, "1"),
        (
            "arrange, a step: some places, a score, at times the judge",
            step,
            judge,
            step / judge,
            "",
        ),
        (f"arrange on two cores, to be {GAIN} x one", two, one / GAIN, two * GAIN / one, ""),
    ]
