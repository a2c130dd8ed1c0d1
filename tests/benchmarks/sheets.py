"""How long sheets take: each beside as many elements written bare; the set of a sample as PDF.

The bare elements have as many points as those of the sheet: an area of thirty corners, or a path of
fifty strokes, is not one line. Beside as many single lines, the stricter reading for a picture, it
is measured and held to the limit as well. All is processor time, the runs in turns.
"""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import svgwrite

from app.drawing.primitives import (
    Group,
    Item,
    Line,
    Point,
    Polygon,
    Polyline,
    Region,
    Strokes,
)
from app.model.plan import Plan
from app.model.versions import load
from app.scene.build import build_scene
from app.store.entries import State
from app.usecases.accounts import Account
from app.usecases.drawing_set import DRAWN, SET, draw_named, fields_of
from app.usecases.judged import Judged, find
from app.usecases.sheet_subjects import Subjects
from tests.benchmarks.routes import crowd
from tests.benchmarks.table import Row, fastest_ms

SAMPLES = Path(__file__).resolve().parents[2] / "sample_rooms"
MOST = 5
SET_MS = 3000.0


def rows() -> list[Row]:
    """What was measured: name, ms, baseline ms, ratio, and its limit."""
    of = subjects_of(crowd(30))
    measured: list[Row] = []
    for which in DRAWN:
        if which in ("floor", "kit", "works", "months", "templates"):
            continue
        sheet = draw_named(of, which, "A3", None)
        items = [item for page in sheet.pages for item in page.items]
        count = counted(items)
        whole, alike, lines = fastest_ms(
            lambda: None,
            [
                lambda _, which=which: drawn(of, which),  # type: ignore[misc]
                lambda _, items=items: written_alike(items),  # type: ignore[misc]
                lambda _, count=count: written_bare(count),  # type: ignore[misc]
            ],
            5,
        )
        name = f"sheet {which} of 30 pieces, to its {count} elements bare"
        measured.append((name, whole, alike, whole / alike, str(MOST)))
        name = f"sheet {which} of 30 pieces, to {count} bare lines of two points"
        measured.append((name, whole, lines, whole / lines, str(MOST)))
    plan = load((SAMPLES / "double-garage.json").read_text(encoding="utf-8"))
    garage = subjects_of(plan)
    (ms,) = fastest_ms(
        lambda: replace(garage), [lambda fresh: draw_named(fresh, SET, "A3", None).pdf()], 2
    )
    measured.append(("set of the double garage as PDF, to 3 s", ms, SET_MS, ms / SET_MS, "1"))
    return measured


def drawn(of: Subjects, which: str) -> tuple[str, ...]:
    """Draw a sheet and write it, with nothing drawn before it."""
    return draw_named(replace(of), which, "A3", None).inside


def subjects_of(plan: Plan) -> Subjects:
    """A plan judged and counted, ready to be drawn."""
    scene = build_scene(plan)
    findings = find(scene)
    state = State("", scene.plan, 0, None, None)
    numbers = {snag.key: i for i, snag in enumerate(findings.snags, 1)}
    account = Account(scene.plan, scene)
    _ = account.costs
    return Subjects(Judged(state, findings, numbers), account, fields_of(state))


def counted(items: Sequence[Item]) -> int:
    """How many elements a page is written as."""
    return sum(
        1 + (counted(item.children) if isinstance(item, Group) else 0) for item in items
    )  # fmt: skip


def points_of(item: Item) -> list[Point]:
    """All points of an element, those of its strokes one after the other."""
    match item:
        case Line():
            return [item.start, item.end]
        case Polyline() | Polygon():
            return list(item.points)
        case Region():
            return [point for ring in item.rings for point in ring]
        case Strokes():
            return [point for line in item.lines for point in line]
    return [(0.0, 0.0), (0.0, 10.0)]


def written_alike(items: Sequence[Item]) -> str:
    """Write as many elements with the same library, each with as many points as ours have."""
    drawing = svgwrite.Drawing(debug=False)

    def write(some: Sequence[Item]) -> None:
        for item in some:
            if isinstance(item, Group):
                write(item.children)
            way = "L".join([f"{x:.2f},{y:.2f}" for x, y in points_of(item)])
            path = drawing.path(f"M{way}")
            path.attribs.update({"stroke": "#111111", "stroke-width": "0.13", "data-ink": "dim"})
            drawing.add(path)

    write(items)
    return str(drawing.tostring())


def written_bare(count: int) -> str:
    """Write so many lines with the same library, with as many attributes as ours have."""
    drawing = svgwrite.Drawing(debug=False)
    for i in range(count):
        line = drawing.line((i, 0), (i, 10))
        line.attribs.update({"stroke": "#111111", "stroke-width": "0.13", "data-ink": "dim"})
        drawing.add(line)
    return str(drawing.tostring())
