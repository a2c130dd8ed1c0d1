"""Floors laid piece by piece, against hand examples and the laws of any layout."""

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
import shapely.affinity
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from app.errors import PlanError
from app.model.base import json_of
from app.model.fit_out import FitOut
from app.model.flooring import FloorKind, FloorLaying, Joints
from app.model.kit import Pose
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import Scene, build_scene
from app.takeoff.cutting_2d import CutSheet
from app.takeoff.floor import Layout, covering_of, floor_layout, packs, piece_kg
from app.takeoff.floor_layout import _LAID_LATELY, Laid, lay_floor
from app.takeoff.floor_lines import lines, shifts
from app.takeoff.floor_list import compare, floors
from app.takeoff.floor_region import start_of
from app.takeoff.floor_search import _SOUGHT_LATELY
from tests.builders import column, make_plan, make_room, place, rectangle, turned_plan
from tests.rearranged import elsewhere, from_another_corner, in_reverse
from tests.takeoff.test_cutting_2d import comes_apart
from tests.thinned import one_of

# A layout takes a tenth of a second: making a failing example small would take minutes.
UNSHRUNK = (Phase.explicit, Phase.reuse, Phase.generate)
SAMPLES = sorted((Path(__file__).parents[2] / "sample_rooms").glob("*.json"))


def scene_of(width: float, depth: float, **room: object) -> Scene:
    return build_scene(make_plan(room=make_room(width, depth, **room)))  # type: ignore[arg-type]


def mat(**fields: object) -> FloorLaying:
    return FloorLaying.model_validate({"id": "mats", "start_wall": "back", **fields})


def holds(layout: Layout) -> None:
    """What any layout must keep."""
    region = layout.laid.region
    laid = shapely.union_all([m.polygon for m in layout.mats])
    assert laid.symmetric_difference(region).area < region.length * 2
    shrunk = shapely.buffer([m.polygon for m in layout.mats], -0.1)
    one, other = shapely.STRtree(shrunk).query(shrunk, predicate="intersects")
    assert (one == other).all()
    assert [m.number for m in layout.mats] == list(range(1, len(layout.mats) + 1))
    assert sorted(c.number for s in layout.sheets for c in s.cuts) == [
        m.number for m in layout.mats
    ]
    for sheet in layout.sheets:
        assert comes_apart(CutSheet(sheet.cuts, sheet.knife).rects)
        for rect in sheet.cuts:
            outline = layout.mats[rect.number - 1].outline
            assert shapely.box(-1, -1, sheet.width_mm + 1, sheet.height_mm + 1).covers(outline)
            assert outline.area <= (rect.width_mm + 1) * (rect.height_mm + 1)
            assert outline.area == pytest.approx(layout.mats[rect.number - 1].polygon.area)
    piece = layout.sheets[0].width_mm * layout.sheets[0].height_mm / 1e6
    assert layout.area_m2 <= layout.to_buy * piece + 0.01
    assert layout.waste_m2 == pytest.approx(layout.to_buy * piece - layout.area_m2)
    assert 0 <= layout.gap == layout.to_buy - layout.lower_bound
    assert layout.proven is (layout.gap == 0)


def test_mats_that_fit_are_not_cut() -> None:
    # 3016 x 2016 less a gap of 8 all round is 3 x 2 mats
    layout = floor_layout(scene_of(3016, 2016), mat(joints="straight"))
    holds(layout)
    assert (layout.to_buy, layout.laid.cut_mats, layout.proven) == (6, 0, True)
    assert layout.waste_m2 == pytest.approx(0, abs=1e-9)
    # 6 mats of 20 kg
    assert (layout.mass_kg, layout.lift_kg) == (120, 20)


def test_staggered_rows_start_with_half_a_mat() -> None:
    layout = floor_layout(scene_of(3016, 2016), mat(joints="staggered"))
    holds(layout)
    rows = [[m.size_mm[0] for m in layout.mats if m.row == row] for row in (0, 1)]
    assert rows == [[1000, 1000, 1000], [500, 1000, 1000, 500]]
    # the two halves come out of one mat
    assert layout.to_buy == 6
    # the knife touches those two and none else
    assert layout.laid.cut_mats == 2
    assert len(next(s for s in layout.sheets if s.knife).cuts) == 2


def test_where_none_is_whole_the_pieces_are_told_alone() -> None:
    # 1016 x 2016 in mats of 1100 x 1100: two of 1000 x 1000 and nothing whole; none share a mat
    laying = mat(length_mm=1100, width_mm=1100, joints="straight")
    words = floor_layout(scene_of(1016, 2016), laying, compare=False).sentence
    assert words.startswith("2 mats to buy: 2 pieces cut from 2 (from the ")


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        (
            {"joints": "staggered"},
            "6 mats to buy: 5 whole, 2 pieces cut from 1 more (from the back wall, left end, "
            "joints staggered)",
        ),
        ({"stagger": 0.3333}, "left end, joints staggered by a third of a piece)"),
        ({"stagger": 0.4}, "left end, joints staggered by 0.40 of a piece)"),
        (
            {"joints": "straight"},
            "6 mats to buy: 6 whole (from the back wall, left end, joints straight)",
        ),
    ],
)
def test_how_joints_run_is_told(fields: dict[str, object], words: str) -> None:
    laying = mat(start_end="left", first_mm=1000, first_row_mm=1000, **fields)
    assert words in floor_layout(scene_of(3016, 2016), laying, compare=False).sentence


def test_no_strip_under_150() -> None:
    # 3100 wide: three mats and 100. Two halves of 500 come out of one mat, so two rows take
    # 4 whole, 2 of 600 and 1 for the halves: 7, as 950 and 150 would; the wider strips win
    layout = floor_layout(scene_of(3116, 2016), mat(joints="straight"))
    holds(layout)
    assert [m.size_mm[0] for m in layout.mats if m.row == 0] == [500, 1000, 1000, 600]
    assert layout.laid.narrow_mats == 0
    # 3150: the strips of 150 at the far end come out of one mat too, and no row is cut twice
    layout = floor_layout(scene_of(3166, 2016), mat(joints="straight"))
    assert [m.size_mm[0] for m in layout.mats if m.row == 0] == [1000, 1000, 1000, 150]


def test_cuts_lie_at_the_far_wall_and_start_where_told() -> None:
    scene = scene_of(3416, 2016)
    left = floor_layout(scene, mat(joints="straight", start_end="left"))
    right = floor_layout(scene, mat(joints="straight", start_end="right"))
    assert [m.size_mm[0] for m in left.mats if m.row == 0] == [1000, 1000, 1000, 400]
    # laid from the right: the first lies at the right wall, the cut at the left one
    assert right.mats[0].polygon.bounds == pytest.approx((2408, 8, 3408, 1008))
    assert right.mats[3].polygon.bounds == pytest.approx((8, 8, 408, 1008))


def test_balanced_edges_are_half_a_piece_or_more() -> None:
    # ANSI A108.02 4.3: 7 tiles of 12 and a rest of 1.5 become 6 tiles and two of 6.75 (in inches)
    layout = floor_layout(
        scene_of(86.5 * 25.4, 12 * 25.4),
        mat(joints="balanced", gap_mm=0, length_mm=304.8, width_mm=304.8, door_stop_mm=0),
    )
    widths = [m.size_mm[0] for m in layout.mats]
    # 85.5 + 1: rest 2.5 of 86.5: (2.5 + 12) / 2 = 7.25
    assert widths == pytest.approx([7.25 * 25.4] + [304.8] * 6 + [7.25 * 25.4], abs=0.25)


@pytest.mark.parametrize(("wide", "turned"), [(1000, False), (500, True)])
def test_only_what_is_longer_than_wide_is_tried_the_other_way_round(
    wide: float, turned: bool
) -> None:
    layout = floor_layout(scene_of(3320, 2180), mat(width_mm=wide))
    along = {other.start.along for other in layout.alternatives}
    assert ({layout.start.along} != along) is turned


def test_balanced_edges_say_what_they_cost() -> None:
    # 5304 x 5164: 23 whole mats and cuts against 16 whole and a ring of cuts
    layout = floor_layout(scene_of(5320, 5180), mat())
    balanced = next(a for a in layout.alternatives if a.start.joints == "balanced")
    assert layout.to_buy == 28
    # 4 x 4 whole; 8 sides of 652 by 1000, 8 of 1000 by 582 and 4 corners: none share a mat
    assert balanced.to_buy == 36
    assert balanced.sentence.startswith("Edges balanced: 36 mats, 8 more; ")


def test_offcuts_are_used_again() -> None:
    # 2316 wide: strips of 300 x 1000, three of them from one mat
    layout = floor_layout(scene_of(2316, 3016), mat(joints="straight", start_end="left"))
    holds(layout)
    # 6 whole, 3 strips from one more
    assert (layout.to_buy, layout.proven) == (7, True)
    # with the maker's edge at each joint two from one, one from another
    layout = floor_layout(
        scene_of(2316, 3016), mat(joints="straight", start_end="left", factory_edges=True)
    )
    holds(layout)
    assert (layout.to_buy, layout.laid.knife_joints) == (8, 0)


def test_locking_tiles_keep_their_locks() -> None:
    # each strip needs the lock at its left: one from each tile
    layout = floor_layout(scene_of(2316, 3016), mat(kind="tile", start_end="left"))
    holds(layout)
    assert (layout.start.joints, layout.to_buy, layout.laid.knife_joints) == ("straight", 9, 0)


def test_round_a_column_and_what_stays() -> None:
    room = make_room(4016, 3016, columns=[column(rectangle(1400, 1400, 1700, 1700))])
    freezer = place("chest-freezer", 3541, 2696, width=950, depth=640, stays=True)
    scene = build_scene(make_plan(freezer, room=room))
    layout = floor_layout(scene, mat(joints="straight"))
    holds(layout)
    # 4 x 3 m less 316 x 316 for the column, less the freezer in its corner: it stands 950 x 640
    # with its edges at 3066 and 2376; the gap of 8 round it takes 3058 to 4008 and 2368 to 3008
    assert layout.area_m2 == pytest.approx(12 - 0.316**2 - 0.950 * 0.640, abs=1e-6)
    assert any(m.notched for m in layout.mats)
    under = floor_layout(scene, mat(joints="straight", under=("chest-freezer",)))
    assert under.area_m2 == pytest.approx(12 - 0.316**2, abs=1e-6)


def test_a_moved_freezer_is_laid_round_where_it_stands_now() -> None:
    freezer = place("chest-freezer", 3541, 2696, width=950, depth=640, stays=True)
    scene = build_scene(make_plan(freezer, room=make_room(4016, 3016)))
    floor_layout(scene, mat())
    moved = floor_layout(scene.moved({"chest-freezer": Pose(x_mm=2000, y_mm=1500)}), mat())
    # away from the walls the gap is all round it
    assert moved.area_m2 == pytest.approx(12 - 0.966 * 0.656, abs=1e-6)


def test_what_hangs_on_a_wall_is_laid_under() -> None:
    boiler = place("boiler", 2000, 175, stays=True)
    layout = floor_layout(build_scene(make_plan(boiler, room=make_room(4016, 3016))), mat())
    assert layout.area_m2 == pytest.approx(12)


def test_a_zone() -> None:
    zone = rectangle(1000, 1000, 3000, 2500)
    layout = floor_layout(scene_of(5000, 5000), mat(zone=zone, joints="straight"))
    holds(layout)
    # 2 x 1.5 m: two mats, two of half a mat from one more
    assert (layout.area_m2, layout.to_buy) == (3, 3)


def test_short_of_the_garage_door() -> None:
    plan = Plan.model_validate(json.loads(SAMPLES[1].read_text(encoding="utf-8")))
    scene = build_scene(plan)
    whole = floor_layout(scene, mat(under=("freezer-1",), door_stop_mm=0))
    short = floor_layout(scene, mat(under=("freezer-1",), door_stop_mm=58))
    # 5304 wide, 50 more than the gap left free
    assert whole.area_m2 - short.area_m2 == pytest.approx(5.304 * 0.05, abs=1e-6)


def test_rolls_run_along_the_start_wall() -> None:
    layout = floor_layout(scene_of(4016, 3016), mat(kind="roll", length_mm=10_000, width_mm=1500))
    holds(layout)
    # two lengths of 4 m from one roll of 10 m
    assert ([m.size_mm for m in layout.mats], layout.to_buy) == ([(4000, 1500)] * 2, 1)
    assert layout.proven


def test_mass_from_density() -> None:
    # trade: 1 m x 1 m x 20 mm of solid crumb weighs about 20 kg; at 900 kg/m3 18, at 1100 22
    assert piece_kg(mat()) == pytest.approx(20)
    assert piece_kg(mat(density_kg_m3=900)) == pytest.approx(18)
    assert piece_kg(mat(density_kg_m3=1100)) == pytest.approx(22)
    assert piece_kg(mat(mass_kg=25)) == 25


def test_headroom_is_told_of_another_thickness() -> None:
    scene = scene_of(3016, 2016, covering=20)
    assert not any("Headroom" in note for note in floor_layout(scene, mat()).notes)
    thick = floor_layout(scene, mat(thickness_mm=40))
    assert any("rubber, 20 mm; this is rubber, 40 mm" in note for note in thick.notes)
    assert covering_of(mat(thickness_mm=40)).thickness_mm == 40


def test_soft_under_a_rack_and_heavy_to_lift() -> None:
    plan = make_plan(place("half-rack", 1500, 1500), room=make_room(4016, 3016))
    notes = floor_layout(build_scene(plan), mat(material="foam", thickness_mm=20)).notes
    assert any(note.startswith("Foam is soft") for note in notes)
    notes = floor_layout(build_scene(plan), mat(length_mm=2000)).notes
    assert any(note.startswith("One mat weighs 40 kg") for note in notes)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"length_mm": 0}, "a mat without length or width cannot be laid"),
        ({"kerf_mm": -1}, "the width of the cut is less than nothing"),
        ({"thickness_mm": 0}, "a mat without thickness"),
        ({"gap_mm": -5}, "the gap along the walls is less than nothing"),
        ({"least_strip_mm": -1}, "the least strip"),
        ({"gap_mm": 3000}, "there is no floor left"),
        ({"kind": "roll", "width_mm": 100}, "a roll narrower than the narrowest strip"),
        ({"first_mm": -5}, "the first piece is less than nothing"),
        ({"start_wall": "roof"}, "the wall it starts from is not in the room"),
        (
            {"zone": ((0, 0), (900, 900), (900, 0), (0, 900))},
            "the outline of its zone crosses itself",
        ),
        ({"length_mm": 20, "width_mm": 20}, "at most 4,000 are laid out one by one"),
    ],
)
def test_what_cannot_be_laid_is_named(fields: dict[str, object], words: str) -> None:
    with pytest.raises(PlanError) as refused:
        floor_layout(scene_of(3016, 2016), mat(**fields))
    assert words in refused.value.sentence
    assert refused.value.sentence.startswith(f"the floor (rubber {fields.get('kind', 'mat')}): ")


def test_odd_sizes_are_named_and_laid_all_the_same() -> None:
    scene = scene_of(3016, 2016)
    large = floor_layout(scene, mat(length_mm=4000, width_mm=2500), compare=False)
    assert large.to_buy == 1
    assert any("is larger than the floor: check its size" in note for note in large.notes)
    # one that fills the room but for its gap was meant so
    just = floor_layout(scene_of(1016, 1016), mat(length_mm=1016, width_mm=1016), compare=False)
    assert not any("larger than the floor" in note for note in just.notes)
    bare = floor_layout(scene, mat(gap_mm=200), compare=False)
    assert any(note.startswith("A gap of 200 mm all round is wide") for note in bare.notes)
    plain = floor_layout(scene, mat(), compare=False)
    assert not any("larger than" in note or "gap of" in note for note in plain.notes)


def test_a_hole_that_no_joint_can_reach_is_slit() -> None:
    # mats of 3 x 2 m as large as the floor: the column of 300 stands 350 off the edge of the one
    room = make_room(3016, 2016, columns=[column(rectangle(1000, 366, 1300, 666))])
    scene = build_scene(make_plan(room=room))
    one = mat(
        length_mm=3000, width_mm=2000, joints="straight", first_mm=3000, first_row_mm=2000,
        along=True,
    )  # fmt: skip
    layout = floor_layout(scene, one, compare=False)
    # inside the gap of 8 at the wall and round the column: 366 - 8 - 8 = 350
    assert any(note.startswith("1 slit of 350 mm in all") for note in layout.notes)


def test_the_list_counts_the_rest() -> None:
    laid = (
        mat(id="good", price_minor=3500, label="20 mm crumb"),
        mat(id="none", pack=0),
        mat(id="thin", thickness_mm=0),
        mat(id="pack", pack=4, price_minor=500),
    )
    plan = make_plan(room=make_room(3016, 2016))
    plan = Plan.model_validate({**plan.model_dump(), "fit_out": FitOut(floors=laid).model_dump()})
    found = floors(build_scene(plan))
    assert [line.key for line in found.lines] == ["floor.good", "floor.pack"]
    assert found.lines[0].cost_minor == 6 * 3500
    # 6 tiles in packs of 4: two packs at 4 x 500
    assert found.lines[1].bought[0].count == 2
    assert found.lines[1].cost_minor == 2 * 4 * 500
    # told by their place in the list of floors and what they are, not by their ids
    assert [problem[:22] for problem in found.problems] == [
        "floor 2 (rubber mat): ",
        "floor 3 (rubber mat): ",
    ]


def test_products_side_by_side() -> None:
    rows = compare(
        scene_of(3016, 2016),
        [
            mat(label="mat", price_minor=3000, lasts_years=10),
            mat(label="tile", kind="tile", length_mm=500, width_mm=500, thickness_mm=10),
        ],
    )
    # 6 mats of 30.00 for 6 m2; 24 tiles without a price
    assert [(r.name, r.to_buy, r.per_m2_minor, r.per_m2_year_minor) for r in rows] == [
        ("mat", 6, 3000, 300),
        ("tile", 24, None, None),
    ]
    assert [r.kg_per_m2 for r in rows] == pytest.approx([20, 10])


def test_lines_and_shifts() -> None:
    assert lines(8, 3108, 8, 1000) == [8, 1008, 2008, 3008, 3108]
    assert shifts(8, 1000, [8, 3108], 150) == [0, -50]
    assert shifts(8, 1000, [8, 3158], 150) == [0]
    # a wall that begins 60 before a joint: the joint moves onto it
    assert shifts(0, 1000, [940], 150) == [0, -60]


@cache
def samples() -> tuple[tuple[str, Scene], ...]:
    return tuple(
        (file.stem, build_scene(Plan.model_validate(json.loads(file.read_text("utf-8")))))
        for file in SAMPLES
    )


PRODUCTS: tuple[tuple[FloorKind, float, float, Joints | None], ...] = (
    ("mat", 1000, 1000, None),
    ("mat", 1830, 1220, None),
    ("tile", 500, 500, None),
    ("roll", 10_000, 1250, None),
    ("board", 1285, 192, None),
    ("mat", 1000, 1000, "balanced"),
)
SLOWEST = (PRODUCTS[1], PRODUCTS[2], PRODUCTS[4])


@pytest.mark.parametrize(
    ("kind", "length", "width", "joints"),
    # those that take longest in the long run only
    [pytest.param(*one, marks=[pytest.mark.long] * (one in SLOWEST)) for one in PRODUCTS],
)
def test_every_sample_room_is_proven(
    kind: FloorKind, length: float, width: float, joints: Joints | None
) -> None:
    for name, scene in samples():
        laying = FloorLaying(id="f", kind=kind, length_mm=length, width_mm=width, joints=joints)
        layout = floor_layout(scene, laying, compare=False)
        holds(layout)
        # a saw takes 3 mm with each cut: of boards one may be open between what is bought and area
        open_by = 1 if kind == "board" else 0
        assert layout.proven or layout.to_buy - layout.lower_bound <= open_by, name


@given(
    width=st.integers(1200, 6000),
    depth=st.integers(1200, 6000),
    size=st.sampled_from([(1000, 1000), (1830, 1220), (600, 600), (2000, 1000)]),
    joints=st.sampled_from(["staggered", "straight", "balanced"]),
    end=st.sampled_from(["left", "right"]),
)
@settings(max_examples=12, deadline=None, phases=UNSHRUNK)
def test_any_rectangle(
    width: int, depth: int, size: tuple[int, int], joints: str, end: str
) -> None:
    laying = mat(length_mm=size[0], width_mm=size[1], joints=joints, start_end=end)
    holds(floor_layout(scene_of(width, depth), laying, compare=False))


@given(angle=st.floats(0, 360), wall=st.sampled_from(["w1", "w3", "w6"]))
@settings(max_examples=2, deadline=None, phases=UNSHRUNK)
def test_turning_the_room_changes_nothing(angle: float, wall: str) -> None:
    corners = ((0, 0), (4600, 0), (4600, 2600), (2400, 2600), (2400, 4400), (0, 4400))
    plan = make_plan(room=make_room(corners=corners))
    laying = mat(start_wall=wall, start_end="left")
    plain = floor_layout(build_scene(plan), laying, compare=False)
    turned = floor_layout(build_scene(turned_plan(plan, angle, (500, 90))), laying, compare=False)
    holds(turned)
    assert (turned.to_buy, turned.lower_bound) == (plain.to_buy, plain.lower_bound)
    assert [m.size_mm for m in turned.mats] == [m.size_mm for m in plain.mats]


def test_a_price_in_other_money_is_named_and_own_money_counts() -> None:
    plan = make_plan(room=make_room(3016, 2016))
    for currency, cost, problems in (("EUR", 6 * 4000, 0), ("GBP", 6 * 3500, 1)):
        own = {"id": "floor.one", "minor": 4000, "currency": currency}
        data = plan.model_dump() | {
            "currency": "EUR",
            "fit_out": FitOut(floors=(mat(id="one", price_minor=3500),)).model_dump(),
        }
        data["money"] = data["money"] | {"prices": [own]}
        found = floors(build_scene(Plan.model_validate(data)))
        assert found.lines[0].cost_minor == cost
        assert len(found.problems) == problems
        assert all("its price is in GBP" in problem for problem in found.problems)


def test_a_ramp_wider_than_what_is_left_before_the_garage_door_is_said() -> None:
    # 20 mm of mat rise at 1 in 5 over 100 mm
    door = Opening(
        id="g", wall="front", kind="tracks", offset_mm=500, width_mm=2000, height_mm=2000
    )
    plan = make_plan(room=make_room(3016, 2016, openings=[door]))
    for stop, said in ((None, False), (99, True), (100, False)):
        laying = FloorLaying(id="f", door_stop_mm=stop)
        notes = " ".join(floor_layout(build_scene(plan), laying, compare=False).notes)
        assert ("The ramp at the garage door is 100 mm wide or more" in notes) is said
        assert "Tyres mark" not in notes
    data = json_of(plan)
    data["room"]["climate"] |= {"car_kept_here": "yes"}
    plan = Plan.model_validate(data)
    notes = " ".join(floor_layout(build_scene(plan), laying, compare=False).notes)
    assert "Tyres mark rubber" in notes


def test_a_leaf_that_swings_over_the_floor_is_told_what_it_needs_under_it() -> None:
    def notes(**fields: object) -> str:
        given: dict[str, object] = {"id": "d", "wall": "back", "kind": "hinged", "offset_mm": 500,
                 "width_mm": 800, "height_mm": 2000, "label": "Side door"}  # fmt: skip
        door = Opening.model_validate(given | fields)
        scene = build_scene(make_plan(room=make_room(3016, 2016, openings=[door])))
        zone = rectangle(0, 900, 3016, 2016) if fields.get("offset_mm") == 501 else ()
        laying = FloorLaying(id="f", thickness_mm=20, zone=zone)
        return " ".join(floor_layout(scene, laying, compare=False).notes)

    # 20 of mat and 10 of air (common practice, no source)
    words = "The side door swings over it: before you buy, see that 30 mm are free under the leaf"
    assert words in notes()
    assert "swings over" not in notes(swing="out")
    assert "swings over" not in notes(kind="gap")
    # mats that end outside the swing of 800
    assert "swings over" not in notes(offset_mm=501)


def test_an_edge_beside_what_is_let_in_is_said_where_a_foot_finds_it() -> None:
    platform = place("platform", 2000, 1500, width=2000, depth=1830, height=40)
    scene = build_scene(make_plan(platform, room=make_room(4000, 3000)))
    told = {
        thick: " ".join(
            floor_layout(
                scene, FloorLaying(id="f", thickness_mm=thick, flush=("platform",)), compare=False
            ).notes
        )
        for thick in (20, 37, 43, 44)
    }
    assert "mark its outline on the bare floor first" in told[20]
    assert "the mats end at that line, without a gap" in told[20]
    words = "is 40 mm high, this mat 20 mm: its edge lies 20 mm over the floor and trips"
    assert words in told[20]
    # 3 mm trip nobody (common practice, no source)
    assert "trips" not in told[37] + told[43]
    assert "its edge lies 4 mm under the floor" in told[44]


def test_a_floor_that_falls_is_told_with_what_it_takes_to_level_it() -> None:
    def notes(per_metre: float) -> str:
        data = make_room(4016, 5016).model_dump()
        data["floor"]["planes"] = [{"id": "floor", "height_mm": 0, "rise_y": -per_metre}]
        plan = make_plan(room=type(make_room()).model_validate(data))
        return " ".join(floor_layout(build_scene(plan), FloorLaying(id="f"), compare=False).notes)

    assert "falls" not in notes(0)
    # 5 m at 10 to the metre; 20 m2 of 25 mm at 1.7 kg (common practice, no source)
    assert "falls 50 mm under it, towards the front wall" in notes(10)
    assert "would take 25 mm on average, about 850 kg" in notes(10)
    assert "falls" not in notes(0.5)


SET = {"start_end": "left", "joints": "straight"}


def test_of_a_roll_by_the_metre_lengths_are_weighed_and_paid() -> None:
    # 3.4 x 2.4 m in strips of 1 m: five lengths of 1.7 m, 20 kg to the metre
    roll = mat(**SET, kind="roll", length_mm=10_000, by_metre=True, along=True, price_minor=300)
    layout = floor_layout(scene_of(3416, 2416), roll)
    assert (layout.to_buy, layout.price_minor) == (85, 2550)
    assert (layout.mass_kg, layout.laid_kg, layout.lift_kg) == pytest.approx((170, 163.2, 34))
    assert floor_layout(scene_of(3416, 2416), mat(**SET, kind="roll")).price_minor is None
    # 8.16 m2 are 8.2 m at the least
    assert layout.sentence == (
        "8.5 m of roll to buy: let the shop cut off 5 of 1.7 m (from the back wall, left end, "
        "joints straight). By area 8.2 m of roll is the least: another way to cut may save 0.3 m "
        "of roll at the most; none was seen."
    )
    # neither staggered nor with factory edges: a roll is cut where it ends
    words = {other.name: other.sentence for other in layout.alternatives}
    assert list(words) == ["Across the start wall", "Edges balanced"]
    assert words["Edges balanced"] == "Edges balanced: 10.2 m of roll, 1.7 m more; 3 to cut."
    assert words["Across the start wall"].endswith("(not proven: 8.2 m of roll at least).")


def test_other_ways_are_told_with_what_they_cost() -> None:
    # 2 x 2 m in mats of 900: 4 whole, 5 pieces out of 2 more; strips of 200 at two walls
    small = mat(**SET, length_mm=900, width_mm=900, first_mm=900, first_row_mm=900)
    layout = floor_layout(scene_of(2016, 2016), small)
    assert (layout.to_buy, layout.laid.knife_joints) == (6, 2)
    assert [(one.name, one.to_buy, one.more, one.edged) for one in layout.alternatives] == [
        ("Joints staggered", 6, 0, False),
        ("Edges balanced", 9, 3, False),
        ("Factory edges at every joint", 7, 1, True),
    ]
    assert [one.sentence for one in layout.alternatives][1:] == [
        "Edges balanced: 9 mats, 3 more; 8 to cut.",
        "Factory edges at every joint: 7 mats, 1 more; 5 to cut.",
    ]
    every = "Factory edges at every joint take 1 mat more."
    assert any(note.endswith(every) for note in layout.notes)
    # beside the balanced one, which is larger, this one takes fewer
    even = mat(start_end="left", joints="balanced", length_mm=900, width_mm=900)
    balanced = floor_layout(scene_of(2016, 2016), even)
    straight = next(one for one in balanced.alternatives if one.name == "Joints straight")
    assert straight.more == straight.to_buy - balanced.to_buy < 0
    assert f"{-straight.more} fewer; " in straight.sentence
    # tiles lock: they are not staggered, and all have their edges
    tiles = floor_layout(scene_of(3416, 2016), mat(**SET, kind="tile"))
    assert [(one.name, one.edged) for one in tiles.alternatives] == [("Edges balanced", False)]


def test_packs_hold_all_that_is_needed() -> None:
    scene = scene_of(3416, 2016)
    for pack, count in ((1, 7), (6, 2), (7, 1), (8, 1)):
        layout = floor_layout(scene, mat(**SET, pack=pack, price_minor=100), compare=False)
        assert layout.to_buy == 7
        assert packs(layout.laid) == count
        assert layout.price_minor == 100 * pack * count
    assert floor_layout(scene, mat(**SET), compare=False).price_minor is None
    # what is bare weighs nothing, foam a tenth of rubber
    assert piece_kg(mat(material="bare")) == 0
    assert piece_kg(mat(material="foam")) == pytest.approx(2)


def test_where_factory_edges_cost_nothing_they_lie_at_every_joint() -> None:
    # rows of 600, 1000 and 500: the pieces are turned so that none has the knife's edge at a joint
    scene = scene_of(2116, 2016)
    laying = mat(**SET, along=True, first_mm=600, first_row_mm=1000)
    layout = floor_layout(scene, laying, compare=False)
    plain = lay_floor(scene, laying, layout.start)
    assert (plain.knife_joints, plain.to_buy) == (0, 5)
    assert (layout.laid.knife_joints, layout.to_buy) == (0, 5)
    # it stays the floor that was asked for
    assert layout.laid.laying == laying
    assert layout.laid.laying.factory_edges is False


RIGHT, DOWN = 7300.0, -4100.0
ELL = ((0, 0), (4600, 0), (4600, 2600), (2400, 2600), (2400, 4400), (0, 4400))
WAYS: dict[str, dict[str, object]] = {
    "staggered mats": {},
    "straight from the right": {"joints": "straight", "start_wall": "w2", "start_end": "right"},
    "balanced boards across": {"kind": "board", "joints": "balanced", "along": False,
                               "length_mm": 1830, "width_mm": 1220},
    "tiles in a zone": {"kind": "tile", "length_mm": 500, "width_mm": 500,
                        "zone": rectangle(300, 200, 2300, 3900)},
    "a roll by the metre": {"kind": "roll", "by_metre": True, "length_mm": 10_000,
                            "width_mm": 1250, "along": True},
    "factory edges": {"factory_edges": True, "length_mm": 1500, "first_mm": 700},
    "a zone askew": {"zone": ((700, 300), (2600, 700), (2300, 2000), (500, 1600))},
    "let in": {"flush": ("platform",), "first_row_mm": 600, "kerf_mm": 3},
}  # fmt: skip


def ell() -> Plan:
    """Return a room with a nook, a post, a door, a garage door and a low platform."""
    openings = (
        Opening(
            id="w", wall="w2", kind="window", offset_mm=600, width_mm=900, height_mm=900,
            sill_mm=900,
        ),
        Opening(id="d", wall="w1", kind="hinged", offset_mm=600, width_mm=900, height_mm=2000),
        Opening(id="g", wall="w6", kind="tracks", offset_mm=900, width_mm=2400, height_mm=2100),
    )  # fmt: skip
    post = column(rectangle(3300, 1500, 3550, 1750))
    platform = place("platform", 1200, 1600, width=1500, depth=1200, height=40, stays=True)
    return make_plan(platform, room=make_room(corners=ELL, openings=openings, columns=(post,)))


def here_and_far_off(way: str) -> list[tuple[Scene, FloorLaying]]:
    """Return the room with a floor to be laid, and the same elsewhere and written from the end."""
    chosen = {"start_wall": "w1", **WAYS[way]}
    zone = [(x + RIGHT, y + DOWN) for x, y in chosen.get("zone", ())]  # type: ignore[attr-defined]
    far = build_scene(elsewhere(in_reverse(ell()), RIGHT, DOWN))
    return [(build_scene(ell()), mat(**chosen)), (far, mat(**{**chosen, "zone": zone}))]


def laid_alike(one: Laid, other: Laid) -> None:
    for here, far in zip(one.mats, other.mats, strict=True):
        moved = shapely.affinity.translate(here.polygon, RIGHT, DOWN)
        assert moved.symmetric_difference(far.polygon).area < 1
        assert (here.size_mm, here.row, here.sheet, here.cut, here.narrow, here.knife_joints) == (
            far.size_mm, far.row, far.sheet, far.cut, far.narrow, far.knife_joints,
        )  # fmt: skip
    assert (one.to_buy, one.lower_bound) == (other.to_buy, other.lower_bound)


@pytest.mark.parametrize("way", WAYS)
def test_from_one_corner_a_floor_is_laid_alike_wherever_it_lies_on_the_paper(way: str) -> None:
    one, other = (
        lay_floor(scene, laying, start_of(scene, laying)) for scene, laying in here_and_far_off(way)
    )
    laid_alike(one, other)


@pytest.mark.parametrize("way", one_of(3, WAYS))
def test_the_same_floor_is_chosen_wherever_it_lies_on_the_paper(way: str) -> None:
    one, other = (
        floor_layout(scene, laying, compare=False) for scene, laying in here_and_far_off(way)
    )
    laid_alike(one.laid, other.laid)
    assert (one.sentence, one.notes) == (other.sentence, other.notes)


SQUARE = ((0, 0), (2300, 0), (2300, 2300), (0, 2300))
ROUND = [
    pytest.param(SQUARE, {"joints": "straight"}, id="straight"),
    pytest.param(SQUARE, {"length_mm": 1200}, id="oblong", marks=pytest.mark.long),
    pytest.param(SQUARE, {"kind": "roll", "length_mm": 10_000, "by_metre": True}, id="roll"),
    pytest.param(ELL, {}, id="mats", marks=pytest.mark.long),
]


@pytest.mark.parametrize(("corners", "fields"), ROUND)
def test_the_floor_hangs_on_no_order_in_which_its_room_is_written(
    corners: tuple[tuple[int, int], ...], fields: dict[str, object]
) -> None:
    posts = [column(rectangle(x, 700, x + 140, 900), f"p{x}") for x in (700, 1500)]
    laying = FloorLaying.model_validate({"id": "f", **fields})
    plan = make_plan(room=make_room(corners=corners, columns=posts))
    told = []
    for one in (plan, from_another_corner(in_reverse(plan), 1), from_another_corner(plan, 2)):
        # what was sought for the same floor before is found again: look anew each time
        _SOUGHT_LATELY.clear()
        _LAID_LATELY.clear()
        scene = build_scene(one)
        layout = floor_layout(scene, laying, compare=False)
        pieces = [(mat.sheet, *np.round(mat.polygon.bounds, 2)) for mat in layout.mats]
        # walls without a name of their own have letters as they are written
        sentence = re.sub("wall [A-F]", "the wall", layout.sentence)
        told.append((layout.start, sentence, layout.notes, pieces))
    assert [one for one in told if one != told[0]] == []


def mirrored(plan: Plan) -> Plan:
    """Return a plan as a mirror beside its room shows it; its first wall keeps its name."""
    room = json_of(plan)["room"]
    walls, count = room["walls"], len(room["walls"])
    ends = [(-walls[(1 - i) % count]["x_mm"], walls[(1 - i) % count]["y_mm"]) for i in range(count)]
    names = {f"w{i + 1}": f"w{(count - i) % count + 1}" for i in range(count)}
    for wall, (x, y) in zip(walls, ends, strict=True):
        wall |= {"x_mm": x, "y_mm": y}
    for opening in room["openings"]:
        length = plan.room.wall_length_mm(opening["wall"])
        opening["offset_mm"] = length - opening["offset_mm"] - opening["width_mm"]
        opening["wall"] = names[opening["wall"]]
    for post in room["columns"]:
        post["outline"] = [(-x, y) for x, y in post["outline"]][::-1]
    data = json_of(plan) | {"room": room}
    for piece in data["pieces"]:
        piece["pose"]["x_mm"] *= -1
        piece["pose"]["angle_deg"] *= -1
    return Plan.model_validate(data)


@pytest.mark.parametrize("end", ["left", "right"])
@pytest.mark.parametrize("way", WAYS)
def test_a_mirror_image_of_a_room_is_laid_as_a_mirror_image(way: str, end: str) -> None:
    chosen: dict[str, Any] = {"start_wall": "w1", **WAYS[way], "start_end": end}
    swapped = {"left": "right", "right": "left"}[end]
    there = dict(chosen, start_end=swapped, zone=[(-x, y) for x, y in chosen.get("zone", ())][::-1])
    # of seven walls the first is its own mirror image, the second that of the last
    turned = {"w1": "w1", "w2": "w6", "w3": "w5", "w4": "w4", "w5": "w3", "w6": "w2"}
    there["start_wall"] = turned[chosen["start_wall"]]
    one, other = (
        lay_floor(scene, laying, start_of(scene, laying))
        for scene, laying in (
            (build_scene(ell()), mat(**chosen)),
            (build_scene(mirrored(ell())), mat(**there)),
        )
    )
    for here, mirror in zip(one.mats, other.mats, strict=True):
        moved = shapely.affinity.scale(here.polygon, -1, 1, origin=(0, 0))
        assert moved.symmetric_difference(mirror.polygon).area < 1
        assert (here.size_mm, here.row, here.cut) == (mirror.size_mm, mirror.row, mirror.cut)
    assert (one.to_buy, one.lower_bound) == (other.to_buy, other.lower_bound)
