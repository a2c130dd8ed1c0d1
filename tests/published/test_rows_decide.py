"""A row of the register stands there because some answer hangs on it, and no stop on memory alone.

That a row is named by what computes is held for all. That it moves a verdict both ways is held for
the rows of working spaces; the short run takes a sample of them.
"""

from __future__ import annotations

import json
import random
import re
from functools import cache
from pathlib import Path

import pytest

import app
from app.checks.run import run
from app.errors import CommandError
from app.forms.figure_edits import SENTENCE_SOURCES, edit_figure
from app.library.in_force import keys_of
from app.library.kit import KitType, Space, kit_types
from app.model.plan import Plan
from app.published.register import RegisterError, all_rows, build_table, rests_on, row
from app.scene.build import build_scene
from app.usecases.files import read_plan
from tests.builders import make_plan, make_room, place

APP = Path(app.__file__).parent
SAMPLE = 12
SEED = 7
WIDE = 9000
"""A room in which no kit's space reaches a wall."""


@cache
def _names() -> tuple[frozenset[str], re.Pattern[str]]:
    """Return the strings of the program's code and data, and those with a part left open."""
    texts = [path.read_text("utf-8") for path in APP.rglob("*.py") if path.name != "retired.py"]
    texts += [path.read_text("utf-8") for path in (APP / "library").rglob("*.toml")]
    whole = frozenset(name for text in texts for name in re.findall(r'"([a-z0-9.-]+)"', text))
    parts = {name for text in texts for name in re.findall(r'f"([a-z0-9.{][^" ]*\{[^" ]*)"', text)}
    # a part left open stands for one word of a key; at its beginning, for what is named elsewhere
    stems = "|".join(sorted(re.escape(name) for name in whole if "." in name))
    open_ended = (
        f"(?:{stems})" * name.startswith("{")
        + r"[a-z0-9-]+".join(
            re.escape(piece)
            for piece in re.split(r"\{[^}]*\}", name)[1 if name.startswith("{") else 0 :]
        )
        for name in parts
        if "." in name
    )
    return whole, re.compile("|".join(sorted(open_ended)))


def test_every_row_is_named_by_what_computes() -> None:
    whole, open_ended = _names()
    assert len(all_rows()) > 500
    unread = [
        value.key
        for value in all_rows()
        if value.key not in whole and open_ended.fullmatch(value.key) is None
    ]
    assert unread == []


def test_what_is_only_told_is_asked_for_by_nothing_that_computes() -> None:
    assert {value.key for value in all_rows()} >= SENTENCE_SOURCES
    texts = [path.read_text("utf-8") for path in APP.rglob("*.py")]
    texts += [path.read_text("utf-8") for path in (APP / "library").rglob("*.toml")]
    for key in sorted(SENTENCE_SOURCES):
        asked = rf'published\(\s*"{re.escape(key)}"|= "{re.escape(key)}"'
        assert not any(re.search(asked, text) for text in texts), key
    with pytest.raises(CommandError, match="Nothing is computed with this figure"):
        edit_figure(make_plan(), "set", {"key": "rack.inside-mm", "value": "1", "reason": "so"})


def test_what_is_derived_comes_of_what_it_is_computed_from() -> None:
    derived = [value for value in all_rows() if value.status == "derived"]
    assert len(derived) >= 10
    for value in derived:
        text = value.computed
        for key in value.inputs:
            text = text.replace(key, str(row(key).value))
        digits = len(f"{value.value:g}".partition(".")[2])
        assert round(_sum(text), digits) == value.value, value.key
        assert rests_on(value.key) in ("read", "quoted", "practice", "memory")


def _sum(text: str) -> float:
    """Work out a sum of products as it is written, each number and sign apart."""
    total, sign = 0.0, 1.0
    product, divide = 1.0, False
    for word in (*text.split(), "+"):
        if word in "+-":
            total += sign * product
            sign, product, divide = (1.0 if word == "+" else -1.0), 1.0, False
        elif word in "*/":
            divide = word == "/"
        else:
            product = product / float(word) if divide else product * float(word)
    return total


def test_a_derived_row_is_only_as_good_as_the_worst_of_its_inputs() -> None:
    # Winter 2009, read; the regression's own error, quoted as it stands
    assert rests_on("body.grip-reach.typical-ratio") == "read"
    assert rests_on("body.grip-reach.cautious-two-standard-errors-mm") == "quoted"
    assert rests_on("run.rise-mm") == "memory"


def test_a_derived_row_without_its_computation_is_refused() -> None:
    head = 'key = "a.b-mm", value = 1, unit = "mm", applies_to = "x"'
    for extra in ('status = "derived", source = "s"', 'status = "practice", computed = "1 + 1"'):
        text = f'sources.s = {{ title = "T" }}\nrows = [ {{ {head}, {extra} }} ]'
        with pytest.raises(RegisterError, match="computed from"):
            build_table([("x.toml", text)])


def _spaces() -> list[tuple[str, KitType, Space]]:
    """Return every row that is the depth of a strip of some kit, with one such kit."""
    found: dict[str, tuple[KitType, Space]] = {}
    for kit in kit_types().values():
        for space in kit.spaces:
            plain = space.side not in ("ring", "area") and not (space.either or space.to_reach)
            if plain and space.recommended and kit.fixing not in ("wall", "ceiling"):
                found.setdefault(space.recommended, (kit, space))
    return [(key, *pair) for key, pair in sorted(found.items())]


def _asked(kit: KitType, space: Space, free: float, value: float | None) -> list[float | None]:
    """Return what is asked of a space with a tall thing so far off, the row set to a value."""
    out = {"front": (0, 1), "back": (0, -1), "left": (-1, 0), "right": (1, 0)}[space.side]
    half = kit.depth_mm / 2 if out[0] == 0 else kit.width_mm / 2
    off = half + free + 150
    box = place(
        "other-thing",
        WIDE / 2 + out[0] * off,
        WIDE / 2 + out[1] * off,
        width=300,
        depth=300,
        height=1900,
        piece_id="box",
    )
    piece = place(kit.key, WIDE / 2, WIDE / 2, piece_id="it")
    plan = make_plan(piece, box, room=make_room(width=WIDE, depth=WIDE, height=2600))
    if value is not None:
        instead = [{"id": space.recommended, "value": value, "reason": "ours"}]
        plan = Plan.model_validate({**plan.model_dump(), "overrides": instead})
    return [s.need for s in run(build_scene(plan)) if s.space == space.key]


@pytest.mark.parametrize(
    ("key", "kit", "space"),
    [
        pytest.param(*one, id=one[0], marks=() if i < SAMPLE else pytest.mark.long)
        for i, one in enumerate(random.Random(SEED).sample(_spaces(), len(_spaces())))
    ],
)
def test_a_row_of_room_moved_both_ways_changes_the_verdict(
    key: str, kit: KitType, space: Space
) -> None:
    value = row(key).value
    free = max(value - 20, space.least_mm)
    assert _asked(kit, space, free, None) == [round(value)]
    assert _asked(kit, space, free, value + 30) == [round(value + 30)]
    assert _asked(kit, space, free, free) == []


def test_the_rows_of_room_are_many() -> None:
    assert len(_spaces()) >= 40
    assert len({key for kit in kit_types().values() for key in keys_of(kit)}) >= 100


def test_no_stop_of_a_sample_rests_on_memory_alone() -> None:
    for path in sorted((APP.parent / "sample_rooms").glob("*.json")):
        for snag in run(build_scene(read_plan(json.dumps(json.loads(path.read_text("utf-8")))))):
            statuses = {source.status for source in snag.sources}
            assert snag.severity != "stop" or statuses != {"memory"}, snag.sentence
