"""Every figure of a kit row that judges is a row of the register, and a household may set it."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.checks.run import run
from app.library.in_force import in_force, keys_of, space_keys
from app.library.kit import kit_types
from app.model.plan import Plan
from app.published.register import row
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place

DEPTHS = ("least_mm", "recommended_mm", "z")
SIZES = {"pull-up-tower"}
"""Kit of which a height that somebody hangs on is its own size: the bars of a tower."""


@cache
def rows() -> dict[str, dict[str, Any]]:
    """Return the kit rows as they stand in the library's files."""
    made: dict[str, dict[str, Any]] = {}
    for part in (files("app.library") / "kit").iterdir():
        if part.name.endswith(".toml"):
            made |= tomllib.loads(part.read_text("utf-8"))
    return made


@pytest.mark.parametrize("key", sorted(rows()))
def test_no_figure_that_judges_stands_in_a_kit_row(key: str) -> None:
    kit = rows()[key]
    for space in kit.get("spaces", ()):
        assert not [name for name in DEPTHS if name in space], space
        assert space["side"] == "area" or row(space["recommended"]).unit == "mm"
    heights = [use.get("base", "0") for use in kit.get("uses", ())]
    typed = [height for height in heights if height.isdigit() and height != "0"]
    assert typed == [] or key in SIZES


def test_every_key_that_kit_names_is_a_row() -> None:
    for kit in kit_types().values():
        for key in keys_of(kit):
            assert row(key).value > 0


def stepping_out(free: float, **values: float) -> Plan:
    """Return a rack with so much before it, and what a household has set."""
    rack = place("mid-rack", 2500, 775, piece_id="rack")
    wall = place("other-thing", 2500, 775 + 625 + free + 250, width=1220, depth=500, piece_id="box")
    plan = make_plan(rack, wall, room=make_room(width=5000, depth=6000))
    overrides = [{"id": key, "value": value, "reason": "ours"} for key, value in values.items()]
    return Plan.model_validate({**plan.model_dump(), "overrides": overrides})


def measured(plan: Plan) -> list[tuple[float | None, float | None]]:
    """Return what is there and what is asked before the rack."""
    snags = run(build_scene(plan))
    return [(s.measured, s.required) for s in snags if s.code == "room-in-front-to-step-out"]


def test_a_household_sets_the_room_before_a_rack_in_both_directions() -> None:
    # 1300: common practice, no source
    assert measured(stepping_out(1299)) == [(1299, 1300)]
    assert measured(stepping_out(1300)) == []
    less, more = {"rack.step-out-mm": 1000.0}, {"rack.step-out-mm": 1500.0}
    assert measured(stepping_out(1000, **less)) == []
    assert measured(stepping_out(999, **less)) == [(999, 1000)]
    assert measured(stepping_out(1300, **more)) == [(1300, 1500)]
    # what one household sets is no other's
    assert measured(stepping_out(1300)) == []


def test_what_a_household_sets_is_the_source_too() -> None:
    plan = stepping_out(1300, **{"rack.step-out-mm": 1500.0})
    (snag,) = (s for s in run(build_scene(plan)) if s.code == "room-in-front-to-step-out")
    assert snag.source_keys == ("rack.step-out-mm",)


def test_nonsense_is_passed_over() -> None:
    assert measured(stepping_out(1299, **{"rack.step-out-mm": 1e9})) == [(1299, 1300)]


KEYED = sorted({key for kit in kit_types().values() for key in keys_of(kit)})


@given(st.sampled_from(KEYED), st.floats(0.3, 3.0))
def test_only_kit_that_names_a_row_changes_with_it(key: str, share: float) -> None:
    value = round(row(key).value * share, 1)
    for kit in kit_types().values():
        changed = in_force(kit, ((key, value),))
        if key not in keys_of(kit):
            assert changed is kit
            continue
        for space in changed.spaces:
            assert space.least_mm <= space.recommended_mm
            if space.recommended == key:
                assert space.recommended_mm >= value
            assert set(space_keys(space)) <= keys_of(kit)
