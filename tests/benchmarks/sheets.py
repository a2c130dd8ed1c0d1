"""How long sheets take: each beside as many elements written bare; the set of a sample as PDF."""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

import svgwrite

from app.drawing.primitives import Group, Item
from app.model.plan import Plan
from app.model.versions import load
from app.scene.build import build_scene
from app.store.entries import State
from app.usecases.accounts import Account
from app.usecases.drawing_set import DRAWN, SET, draw_named, fields_of
from app.usecases.judged import Judged, find
from app.usecases.sheet_subjects import Subjects
from tests.benchmarks.routes import crowd, fastest_ms
from tests.benchmarks.table import Row

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
        count = sum(counted(page.items) for page in sheet.pages)
        bare = fastest_ms(partial(written_bare, count), 3)
        whole = fastest_ms(partial(drawn, of, which), 3)
        measured.append(
            (f"sheet {which} of 30 pieces, to {count} bare elements", whole, bare, whole / bare,
             str(MOST))
        )  # fmt: skip
    plan = load((SAMPLES / "double-garage.json").read_text(encoding="utf-8"))
    garage = subjects_of(plan)
    ms = fastest_ms(lambda: draw_named(replace(garage), SET, "A3", None).pdf(), 2)
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


def written_bare(count: int) -> str:
    """Write so many lines with the same library, with as many attributes as ours have."""
    drawing = svgwrite.Drawing(debug=False)
    for i in range(count):
        line = drawing.line((i, 0), (i, 10))
        line.attribs.update({"stroke": "#111111", "stroke-width": "0.13", "data-ink": "dim"})
        drawing.add(line)
    return str(drawing.tostring())
