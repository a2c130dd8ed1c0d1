"""How long cutting and floor layouts take, beside the solver alone on the bare model.

The bare model of a cutting set is the matrix of all its patterns (for the triplets: of those
without waste), listed beforehand; of a floor it is the choice of sets of cuts.
"""

from collections.abc import Sequence
from itertools import combinations, product
from pathlib import Path

import numpy as np

from app.model.flooring import FloorLaying
from app.model.versions import load
from app.scene.build import build_scene
from app.takeoff.cutting_1d import cut_lengths
from app.takeoff.floor import floor_layout
from app.takeoff.floor_layout import Laid
from tests.benchmarks.table import Row, fastest_ms
from tests.takeoff.cutting_sets import CHVATAL, PAPER_MACHINE, TRIPLETS

SAMPLES = Path(__file__).resolve().parents[2] / "sample_rooms"
TIMES = 3


def bare(columns: Sequence[Sequence[int]], wanted: Sequence[int]) -> int:
    """The solver alone: the least number of columns that cut all that is wanted."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    matrix = np.array(columns, dtype=float).T
    ones = np.ones(matrix.shape[1])
    rules = LinearConstraint(matrix, lb=np.array(wanted, dtype=float))
    result = milp(ones, integrality=ones, bounds=Bounds(0, max(wanted)), constraints=rules)
    least: int = round(float(result.fun))
    return least


def all_patterns(lengths: Sequence[int], stock: int) -> list[tuple[int, ...]]:
    """Every pattern to which no piece can be added."""
    ranges = [range(stock // length + 1) for length in lengths]
    found = []
    for counts in product(*ranges):
        left = stock - sum(n * length for n, length in zip(counts, lengths, strict=True))
        if 0 <= left < min(lengths):
            found.append(counts)
    return found


def full_triples() -> tuple[list[list[int]], list[int], list[tuple[float, int]]]:
    """The triplets' patterns without waste, what is wanted, and the pieces."""
    tenths = [round(10 * length) for triple in TRIPLETS for length in triple]
    lengths = sorted(set(tenths))
    wanted = [tenths.count(length) for length in lengths]
    columns = []
    for three in combinations(sorted(tenths), 3):
        if sum(three) == 1000:
            columns.append([three.count(length) for length in lengths])
    unique = [list(c) for c in dict.fromkeys(map(tuple, columns))]
    return unique, wanted, [(length / 10, n) for length, n in zip(lengths, wanted, strict=True)]


def cut_kinds(laid: Laid) -> tuple[list[list[int]], list[int]]:
    """The sets of cuts that a layout uses, and how many of each cut are wanted."""
    sizes = [
        [tuple(sorted((c.width_mm, c.height_mm))) for c in sheet.cuts] for sheet in laid.sheets
    ]
    kinds = sorted({size for sheet in sizes for size in sheet})
    columns = [[sheet.count(kind) for kind in kinds] for sheet in sizes]
    return columns, [sum(column[i] for column in columns) for i in range(len(kinds))]


def rows() -> list[Row]:
    """What was measured: name, ms, baseline ms, ratio, and its limit."""
    found: list[Row] = []
    triples, wanted, pieces = full_triples()
    sets: list[tuple[str, Sequence[tuple[float, int]], int, Sequence[Sequence[int]], list[int]]] = [
        ("60 triplets", pieces, 100, triples, wanted)
    ]
    chvatal = all_patterns([length for length, _ in CHVATAL], 100)
    sets.append(("Chvatal", CHVATAL, 100, chvatal, [n for _, n in CHVATAL]))
    machine = [length for length, _ in PAPER_MACHINE]
    few = [
        [pattern.count(length) for length in machine]
        for size in (2, 3, 4)
        for pattern in _multisets(machine, size)
        if 0 <= 5600 - sum(pattern) < min(machine)
    ]
    sets.append(("paper machine", PAPER_MACHINE, 5600, few, [n for _, n in PAPER_MACHINE]))
    for name, known, stock, patterns, need in sets:
        whole, solver = fastest_ms(
            lambda: None,
            [
                lambda _, p=known, s=stock: cut_lengths(p, s),  # type: ignore[misc]
                lambda _, c=patterns, n=need: bare(c, n),  # type: ignore[misc]
            ],
            TIMES,
        )
        title = f"cutting, {name}, proven, to the solver on {len(patterns)} patterns"
        found.append((title, whole, solver, whole / solver, "10"))
    for path in sorted(SAMPLES.glob("*.json")):
        plan = load(path.read_text(encoding="utf-8"))
        laying = FloorLaying(id="mats")
        layout = floor_layout(build_scene(plan), laying)
        kinds, need = cut_kinds(layout.laid)
        # A scene made afresh: a layout is kept with it.
        whole, solver = fastest_ms(
            lambda plan=plan: build_scene(plan),  # type: ignore[misc]
            [
                lambda scene, f=laying: floor_layout(scene, f, compare=False),  # type: ignore[misc]
                lambda _, c=kinds, n=need: bare(c, n),  # type: ignore[misc]
            ],
            TIMES,
        )
        state = "proven" if layout.proven else f"gap {layout.gap}"
        title = f"floor of {path.stem}, {layout.to_buy} mats {state}, to the solver alone"
        found.append((title, whole, solver, whole / solver, ""))
    return found


def _multisets(lengths: Sequence[int], size: int) -> list[list[int]]:
    from itertools import combinations_with_replacement

    return [list(chosen) for chosen in combinations_with_replacement(lengths, size)]
