"""The answers as they are kept: one text for each plan, several of them in a file."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from itertools import chain, zip_longest
from pathlib import Path

from app.scene.build import build_scene
from tests.answers import counted, cuts, judged, kit, laid, plans, reckoned, stored

FOLDER = Path(__file__).parent / "kept"
HEAD = "== "
"""What the name of a plan stands behind, where its answer begins."""

CROWDED = [f"crowded {number}" for number in range(1, 25)]
THEMED = [f"{theme} {number}" for theme in kit.THEMES for number in range(1, 9)]
FITTED = [f"fitted {number}" for number in range(1, 37)]
QUICK = "2 8 25 34 38 40 41 42 53 86 113 121 125 126 128 130 131 141 142 152 171 195 197"
FLOORED = [f"floored {number}" for number in QUICK.split()]
"""Of the first 220 those that are laid, in each way that is asked for, in a third of a second."""


def _of_catalogue(name: str) -> Iterator[str]:
    scene = build_scene(plans.of_catalogue(plans.catalogue()[name]))
    yield from judged.verdict(scene)


def _crowded(name: str) -> Iterator[str]:
    scene = build_scene(plans.crowded(name))
    yield from chain(judged.verdict(scene), judged.figures(scene))


def _themed(name: str) -> Iterator[str]:
    scene = build_scene(plans.themed(name))
    yield from chain(judged.verdict(scene), judged.moved(scene), judged.parts(scene))


def _fitted(name: str) -> Iterator[str]:
    scene = build_scene(plans.fitted_out(name))
    yield from chain(counted.listed(scene), counted.places(scene))


def _floored(name: str) -> Iterator[str]:
    plan = plans.floored(name)
    scene = build_scene(plan)
    yield from chain(laid.floors(scene), counted.listed(scene), laid.begun(plan))


GROUPS: dict[str, tuple[Callable[[], list[str]], Callable[[str], Iterator[str]]]] = {
    "catalogue": (lambda: list(plans.catalogue()), _of_catalogue),
    "crowded": (lambda: CROWDED, _crowded),
    "fitted": (lambda: FITTED, _fitted),
    "floored": (lambda: FLOORED, _floored),
    "themed": (lambda: THEMED, _themed),
    "cut": (lambda: cuts.NAMES, cuts.cut),
    "formula": (lambda: list(reckoned.FORMULAS), reckoned.formulas),
    "walk": (lambda: reckoned.WALKS, reckoned.walk),
    "store": (lambda: stored.STORES, stored.doings),
}


def names(group: str) -> list[str]:
    """Return the names of the plans of a group."""
    return GROUPS[group][0]()


def answer(group: str, name: str) -> list[str]:
    """Return the whole answer to a plan, line by line, as it is now."""
    text = "\n".join(GROUPS[group][1](name))
    return [line.rstrip() for line in text.splitlines()]


@cache
def kept(group: str) -> dict[str, list[str]]:
    """Return the answers that are kept of a group, by the name of the plan."""
    found: dict[str, list[str]] = {}
    lines: list[str] = []
    for file in sorted(FOLDER.glob(f"{group}-*.txt")):
        for line in file.read_text(encoding="utf-8").splitlines():
            if line.startswith(HEAD):
                lines = found.setdefault(line.removeprefix(HEAD), [])
            else:
                lines.append(line)
    return found


def otherwise(group: str, name: str) -> str:
    """Return the first line of an answer that is not as it is kept, with that; empty if all are."""
    now, before = answer(group, name), kept(group).get(name, [])
    for number, (one, other) in enumerate(zip_longest(now, before, fillvalue="(no line)"), 1):
        if one != other:
            return f"{name}, line {number}: {one!r}, and it was {other!r}. {ANEW}"
    return ""


ANEW = "Where that is meant, write the answers anew: python -m tests.answers --write"
A_FILE = 10
"""Plans in a file: what changes of one kind of plan is looked through at once."""


def write(group: str) -> None:
    """Write the answers of a group anew."""
    FOLDER.mkdir(exist_ok=True)
    for old in FOLDER.glob(f"{group}-*.txt"):
        old.unlink()
    every = names(group)
    for first in range(0, len(every), A_FILE):
        some = every[first : first + A_FILE]
        lines = [line for name in some for line in (f"{HEAD}{name}", *answer(group, name))]
        path = FOLDER / f"{group}-{first // A_FILE + 1:02}.txt"
        path.write_text("\n".join([*lines, ""]), encoding="utf-8")
