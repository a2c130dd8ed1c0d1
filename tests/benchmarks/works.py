"""How long a programme takes: beside the bare critical path of a graph library and a calendar.

The baseline is what one would write without hands that are scarce: forward and backward pass by a
graph library, and the free hours of the weeks laid out. Two hundred tasks are four times a garage.
"""

from datetime import date

import networkx as nx

from app.costs.cost import costs
from app.model.versions import load
from app.model.works import Works
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.works.lives import Lives, TradeDays
from app.works.programme import first_order, network_of
from app.works.splitting import split
from app.works.task import After, Need, Task
from app.works.works import works
from tests.benchmarks.table import Row, fastest_ms
from tests.benchmarks.taking_off import SAMPLES

COUNT = 200
START = date(2027, 4, 3)
TIMES = 15
FIRST_AT_MOST = "3"
"""Of the first feasible programme to the bare critical path and the calendar."""


def tasks() -> list[Task]:
    """Two hundred tasks, each waiting for one or two that come before it."""
    return [
        Task(
            id=f"t{i}", kind="own", name=f"task {i}", group="", why="", quantity=0, unit="",
            hours=1 + i % 4,
            after=tuple(After(f"t{j}") for j in sorted({i // 2, i * 3 // 4} - {i})),
        )
        for i in range(COUNT)
    ]  # fmt: skip


def first_programme(need: Need) -> None:
    """Plan as the program does it first."""
    network = network_of(need, Works(), START, {})
    network.schedule(first_order(network))


def bare(need: Need) -> None:
    """Early and late times by a graph library, and the calendar laid out as far as it is needed."""
    graph = nx.DiGraph()
    for task in need.tasks:
        graph.add_node(task.id, minutes=task.minutes)
        for link in task.after:
            graph.add_edge(link.id, task.id)
    order = list(nx.topological_sort(graph))
    finish: dict[str, float] = {}
    for node in order:
        start = max((finish[before] for before in graph.predecessors(node)), default=0.0)
        finish[node] = start + graph.nodes[node]["minutes"]
    late = dict.fromkeys(order, max(finish.values()))
    for node in reversed(order):
        for before in graph.predecessors(node):
            late[before] = min(late[before], late[node] - graph.nodes[node]["minutes"])
    lives = Lives(Works(), START)
    TradeDays(Works(), START)
    hours = sum(task.minutes for task in need.tasks)
    while sum((s.end - s.start) * s.people for s in lives.sessions) < hours and lives.more():
        pass


def rows() -> list[Row]:
    """What was measured: name, ms, baseline ms, ratio, and its limit."""
    need = Need(tuple(tasks()))
    first, base = fastest_ms(lambda: need, (first_programme, bare), TIMES)
    found: list[Row] = [
        (
            "first programme of 200 tasks, to bare critical path",
            first, base, first / base, FIRST_AT_MOST,
        )
    ]  # fmt: skip
    plan = load((SAMPLES / "double-garage.json").read_text(encoding="utf-8"))
    scene = build_scene(plan)
    counted = take_off(scene)
    priced = costs(scene, counted)
    whole, parts = fastest_ms(
        lambda: build_scene(plan),
        (lambda scene: works(scene, counted, priced, START), lambda scene: split(scene)),
        2,
    )
    found.append(("works of the double garage, slack and stages", whole, base, whole / base, ""))
    found.append(("of these the floor in parts", parts, base, parts / base, ""))
    return found
