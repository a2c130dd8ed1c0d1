"""Kit of one's own: made into kit types that are placed, drawn and judged like the library's."""

import pytest

from app.changes.commands import Command, apply, inverse
from app.changes.difference import difference
from app.checks.snag import source, space_sources
from app.costs.cost import costs
from app.errors import CommandError, PlanError
from app.forms.own_kit_edits import OWN, edit_own_kit
from app.library.kit import kit_types
from app.library.known import check_known
from app.library.own import kit_of, kits_of
from app.model.base import json_of
from app.model.kit import Piece
from app.model.own_kit import OwnKit, OwnSpace
from app.model.plan import Plan
from app.model.versions import dump, load
from app.scene.build import build_scene
from app.takeoff.line import TakeOff
from tests.builders import found, make_person, make_plan, make_room, place

BOX = OwnKit(
    id="own-1",
    name="Sled",
    group="Machines",
    width_mm=700,
    depth_mm=1000,
    height_mm=900,
    mass_kg=40,
    price_minor=12345,
    spaces=(OwnSpace(side="front", kind="body", least_mm=900, recommended_mm=1500),),
)
RACK = OwnKit(
    id="own-2",
    name="Uncle's rack",
    group="Racks",
    like="mid-rack",
    width_mm=1300,
    depth_mm=1400,
    height_mm=1950,
    mass_kg=90,
    spaces=(OwnSpace(side="front", kind="body", least_mm=500, recommended_mm=800),),
)


def plan_with(*rows: OwnKit, pieces: tuple[Piece, ...] = (), currency: str = "EUR") -> Plan:
    made = make_plan(*pieces, room=make_room(5000, 5000), people=(make_person(),))
    data = {**json_of(made), "own_kit": [json_of(row) for row in rows], "currency": currency}
    return Plan.model_validate(data)


def done(before: Plan, command: Command | None) -> Plan:
    assert command is not None
    after = apply(before, command)
    assert apply(after, inverse(command)) == before
    check_known(after)
    return after


def own_place(kit: str, *at: float) -> dict[str, object]:
    return json_of(place("plate-tree", *at, piece_id="mine")) | {"type": kit}


def with_piece(plan: Plan, kit: str, *at: float) -> Plan:
    return Plan.model_validate({**json_of(plan), "pieces": [own_place(kit, *at)]})


def test_the_library_is_untouched_and_nothing_is_made_without_own_kit() -> None:
    assert kits_of(plan_with()) is kit_types()
    assert "own-1" in kits_of(plan_with(BOX))
    assert "own-1" not in kit_types()


def test_what_is_entered_is_a_box_that_says_so() -> None:
    kit = kit_of(BOX)
    assert (kit.key, kit.own, kit.name) == ("own-1", "own-1", "Sled")
    assert kit.plain_because
    scene = build_scene(with_piece(plan_with(BOX), "own-1", 2000, 2000))
    (outline,) = scene.order[0].polygons()
    assert outline.bounds == (1650, 1500, 2350, 2500)
    assert (scene.solids.low_mm[0], scene.solids.high_mm[0]) == (0, 900)


def test_a_copy_keeps_outline_and_uses_at_its_own_sizes() -> None:
    kit, base = kit_of(RACK), kit_types()["mid-rack"]
    assert (kit.key, kit.own, kit.uses, kit.rests) == ("mid-rack", "own-2", base.uses, base.rests)
    assert len(kit.solids) == len(base.solids)
    scene = build_scene(with_piece(plan_with(RACK), "own-2", 2000, 2000))
    assert scene.order[0].footprint.bounds == (1350, 1300, 2650, 2700)
    assert scene.solids.high_mm[: scene.piece_solids].max() == 1950


def test_room_is_replaced_on_its_side_and_kept_on_the_others() -> None:
    spaces = {space.side: space for space in kit_of(RACK).spaces}
    assert (spaces["front"].least_mm, spaces["front"].recommended_mm) == (500, 800)
    assert spaces["front"].across == ("l", "r")
    assert spaces["back"] == {s.side: s for s in kit_types()["mid-rack"].spaces}["back"]
    none = RACK.model_copy(update={"spaces": (OwnSpace(side="back"),)})
    assert [space.side for space in kit_of(none).spaces] == ["front"]


def test_the_manual_wins_where_it_asks_for_more_and_is_named() -> None:
    asked = OwnSpace(side="front", kind="body", least_mm=900, recommended_mm=1500, manual_mm=1800)
    kit = kit_of(BOX.model_copy(update={"spaces": (asked,)}))
    (space,) = kit.spaces
    assert (space.least_mm, space.recommended_mm) == (1800, 1800)
    told = source(*space_sources(kit, space))
    assert told.title == "the maker's manual, as entered for this plan (Sled, in front)"
    assert told.status == "read"
    less = asked.model_copy(update={"manual_mm": 700})
    (space,) = kit_of(BOX.model_copy(update={"spaces": (less,)})).spaces
    assert (space.least_mm, space.recommended_mm) == (900, 1500)
    assert source(*space_sources(kit, space)).title.startswith("entered for this plan")


def test_own_kit_is_judged_like_any_other() -> None:
    # 1000 deep, its front edge 500 from the middle: 4100 leaves 400 to the wall at 5000.
    plan = with_piece(plan_with(BOX), "own-1", 2500, 4100)
    (snag,) = found(plan, "room-in-front")
    assert (snag.severity, snag.measured, snag.required) == ("stop", 400, 900)
    free = with_piece(plan_with(BOX), "own-1", 2500, 2000)
    assert not found(free, "room-in-front")


def test_a_changed_row_gives_another_shape_to_the_same_name() -> None:
    narrow = with_piece(plan_with(BOX), "own-1", 2000, 2000)
    wide = with_piece(plan_with(BOX.model_copy(update={"width_mm": 1700.0})), "own-1", 2000, 2000)
    assert [build_scene(p).order[0].footprint.area for p in (narrow, wide, narrow)] == [
        700_000,
        1_700_000,
        700_000,
    ]


@pytest.mark.parametrize("currency", ["EUR", "SEK"])
def test_its_price_counts_in_any_currency(currency: str) -> None:
    plan = with_piece(plan_with(BOX, currency=currency), "own-1", 2000, 2000)
    (line,) = costs(build_scene(plan), TakeOff(())).lines
    assert (line.asked_minor, line.guide) == (12345, False)


def test_edits_are_commands_and_files_hold_the_rows() -> None:
    before = plan_with()
    copied = done(before, edit_own_kit(before, "copy", {"like": "rower"}))
    (row,) = copied.own_kit
    assert (row.id, row.name, row.like) == ("own-1", "My rower", "rower")
    shown = OWN.texts(copied, row)
    assert edit_own_kit(copied, "change", {"row": "own-1", **shown}) is None
    typed = {**shown, "row": "own-1", "depth": "2,20 m", "price": "450", "left-manual": "70 cm"}
    changed = done(copied, edit_own_kit(copied, "change", typed))
    (row,) = changed.own_kit
    assert (row.depth_mm, row.price_minor) == (2200, 45000)
    assert [(s.side, s.manual_mm) for s in row.spaces] == [("left", 700)]
    assert load(dump(changed)) == changed
    step = difference(copied, changed, "edit")
    assert step is not None
    assert apply(copied, step) == changed
    assert done(changed, edit_own_kit(changed, "remove", {"row": "own-1"})) == before


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"name": ""}, "name"),
        ({"width": "wide"}, "width"),
        ({"height": "30 m"}, "height"),
        ({"mass": "0"}, "mass"),
        ({"price": "-5"}, "price"),
        ({"front-least": "900 mm", "front-wanted": "500 mm"}, "front-wanted"),
        ({"manual": "x" * 501}, "manual"),
        ({"group": "Toys"}, "group"),
    ],
)
def test_a_fault_names_its_field(typed: dict[str, str], field: str) -> None:
    good = {"name": "Sled", "width": "0.7", "depth": "1 m", "height": "90 cm", "mass": "40"}
    with pytest.raises(PlanError) as refused:
        edit_own_kit(plan_with(), "add", {**good, **typed})
    assert [fault.field for fault in refused.value.faults] == [field]


def test_what_stands_on_the_plan_is_not_taken_from_under_it() -> None:
    plan = with_piece(plan_with(BOX), "own-1", 2000, 2000)
    with pytest.raises(CommandError, match="One piece on the plan is of this kind"):
        edit_own_kit(plan, "remove", {"row": "own-1"})
    with pytest.raises(CommandError, match="no longer"):
        edit_own_kit(plan, "change", {"row": "own-7"})
    with pytest.raises(CommandError, match="which kit"):
        edit_own_kit(plan, "copy", {"like": "time-machine"})


def test_a_plan_that_names_what_is_not_there_is_refused() -> None:
    for row, field in (
        (RACK.model_copy(update={"like": "time-machine"}), "own_kit[0].like"),
        (BOX.model_copy(update={"group": "Toys"}), "own_kit[0].group"),
    ):
        with pytest.raises(PlanError) as refused:
            check_known(plan_with(row))
        assert refused.value.faults[0].field == field
    with pytest.raises(PlanError, match="own-9"):
        check_known(with_piece(plan_with(BOX), "own-9", 1, 1))
