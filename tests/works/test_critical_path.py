"""The critical path against published networks and a second computation by a graph library."""

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.works.critical_path import critical_path
from app.works.task import WorksError
from tests.works.networks import PRINTED

Activity = tuple[float, str]
"""Duration, and the letters of what it waits for."""

NETWORKS: dict[str, tuple[dict[str, Activity], float, str, dict[str, float]]] = {
    # Hillier and Lieberman, Introduction to Operations Research, chapter on project management,
    # Reliable Construction Co. (from memory): 44 weeks, critical A B C E F J L N
    "reliable": (
        {
            "A": (2, ""), "B": (4, "A"), "C": (10, "B"), "D": (6, "C"), "E": (4, "C"),
            "F": (5, "E"), "G": (7, "D"), "H": (9, "EG"), "I": (7, "C"), "J": (8, "FI"),
            "K": (4, "J"), "L": (5, "J"), "M": (2, "H"), "N": (6, "KL"),
        },
        44,
        "ABCEFJLN",
        {"D": 4, "G": 4, "H": 4, "M": 4, "I": 2, "K": 1},
    ),
    # Render, Stair and Hanna, Quantitative Analysis for Management, General Foundry (from memory):
    # 15 weeks, critical A C E G H
    "foundry": (
        {
            "A": (2, ""), "B": (3, ""), "C": (2, "A"), "D": (4, "B"), "E": (4, "C"),
            "F": (3, "C"), "G": (5, "DE"), "H": (2, "FG"),
        },
        15,
        "ACEGH",
        {"B": 1, "D": 1, "F": 6},
    ),
    # Heizer and Render, Operations Management, Milwaukee Paper (from memory): D waits for A too
    "paper": (
        {
            "A": (2, ""), "B": (3, ""), "C": (2, "A"), "D": (4, "AB"), "E": (4, "C"),
            "F": (3, "C"), "G": (5, "DE"), "H": (2, "FG"),
        },
        15,
        "ACEGH",
        {"B": 1, "D": 1, "F": 6},
    ),
    # the example of the encyclopedia's page on PERT (from memory): 19.51 days, critical A C E G
    "pert": (
        {
            "A": (4.00, ""), "B": (5.33, ""), "C": (5.17, "A"), "D": (6.33, "A"),
            "E": (5.17, "BC"), "F": (4.50, "D"), "G": (5.17, "E"),
        },
        19.51,
        "ACEG",
        {"B": 3.84, "D": 4.68, "F": 4.68},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", NETWORKS)
def test_published_networks(name: str) -> None:
    network, whole, critical, slack = NETWORKS[name]
    times = critical_path(
        {key: duration for key, (duration, _) in network.items()},
        {key: dict.fromkeys(before, 0.0) for key, (_, before) in network.items()},
    )
    assert times.duration == pytest.approx(whole)
    assert {key for key in network if abs(times.slack(key)) < 1e-9} == set(critical)
    assert {key: pytest.approx(times.slack(key)) for key in slack} == slack


@pytest.mark.parametrize("name", PRINTED)
def test_every_time_of_a_printed_table_comes_out(name: str) -> None:
    printed = PRINTED[name]
    times = critical_path(
        printed.lasts,
        {key: dict.fromkeys(before.split(), 0.0) for key, before in printed.before.items()},
    )
    assert times.duration == printed.duration
    found = {
        key: (
            times.early_start[key], times.early_finish[key],
            times.late_start[key], times.late_finish[key], times.slack(key),
        )
        for key in printed.lasts
    }  # fmt: skip
    assert found == printed.table


@st.composite
def networks(draw: st.DrawFn) -> tuple[dict[str, float], dict[str, dict[str, float]]]:
    count = draw(st.integers(1, 12))
    durations = {f"t{i}": float(draw(st.integers(0, 9))) for i in range(count)}
    links = {
        f"t{i}": {
            f"t{j}": float(draw(st.integers(0, 5)))
            for j in draw(st.sets(st.integers(0, i - 1), max_size=3))
        }
        for i in range(1, count)
    }
    return durations, links


@given(networks())
def test_times_are_those_of_a_graph_library(
    network: tuple[dict[str, float], dict[str, dict[str, float]]],
) -> None:
    durations, links = network
    graph = nx.DiGraph()
    for task, duration in durations.items():
        graph.add_edge(f"{task}<", f"{task}>", weight=duration)
    for task, before in links.items():
        for other, lag in before.items():
            graph.add_edge(f"{other}>", f"{task}<", weight=lag)
    times = critical_path(durations, links)
    assert times.duration == nx.dag_longest_path_length(graph)
    longest: dict[str, float] = {}
    for node in nx.topological_sort(graph):
        before = graph.in_edges(node, data="weight")
        longest[node] = max((longest[one] + weight for one, _, weight in before), default=0.0)
    for task in durations:
        assert times.early_start[task] == longest[f"{task}<"]
        assert times.early_finish[task] == longest[f"{task}>"]
        assert times.slack(task) >= 0
        # a task put off by its slack, and everything else as early as can be, ends no later
        put_off = {**durations, task: durations[task] + times.slack(task)}
        assert critical_path(put_off, links).duration == times.duration
        more = {**durations, task: durations[task] + times.slack(task) + 1}
        assert critical_path(more, links).duration == times.duration + 1


def test_a_ring_is_named() -> None:
    links = {"b": {"a": 0.0}, "c": {"b": 0.0}, "a": {"c": 0.0}, "d": {"a": 0.0}}
    with pytest.raises(WorksError) as fault:
        critical_path(dict.fromkeys("abcd", 1.0), links, {"a": "Ask", "b": "Sort", "c": "Paint"})
    assert "Ask, which waits for Paint, which waits for Sort, which waits for Ask" in str(
        fault.value
    )
