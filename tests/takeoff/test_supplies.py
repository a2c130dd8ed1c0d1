"""What each job takes beside its material, by hand in rooms of 5 x 5 m, 2600 high.

Rates are common practice, no source: degreaser 15 m2/L, cracks 0.18 m/m2 filled with 0.3 kg/m,
three spots of 457 looked at for damp, masks for a shift of 8 h, 0.35 h a hole.
"""

from typing import Any

import pytest

from app.model.room import Opening, Room
from app.published.register import overridden
from app.takeoff.line import TakeOff
from tests.builders import make_room, place, rectangle
from tests.checks.hanging import room_of
from tests.takeoff.making import counted

MIRROR = {"id": "m", "wall": "back", "offset_mm": 500, "width_mm": 2400}
PICTURE = {"id": "p", "wall": "back", "middle_mm": 2500}
SMALL = ("small", "tools", "protection", "linings")
ALARMS = {"small.smoke-alarm", "small.co-alarm"}
LOOKED = {"small.clear-sheet", "small.cloth-tape-25m", "small.mesh-roll"}
CLEANED = {"small.degreaser-1l", "small.slab-filler-5kg", "tools.scrub-brush",
    "tools.bucket-sponge", "tools.filling-knives", "tools.squeegee", "protection.goggles",
    "protection.gloves-wet"}  # fmt: skip
LAID = {"tools.chalk-line"}
CUT = {"tools.knife", "tools.blades-10", "tools.straightedge", "protection.gloves-cut"}
HUNG = {"tools.level-600", "tools.suction-grip", "protection.gloves-cut"}
DRILLED = {"tools.detector", "tools.rcd-adaptor", "protection.goggles",
    "protection.ear-defenders"}  # fmt: skip
MASONRY = {"tools.hammer-drill-day", "tools.extractor-day", "protection.masks-p3"}


def keys(took: TakeOff) -> set[str]:
    return {line.key for line in took.lines if line.part in SMALL}


def net(took: TakeOff, key: str) -> float:
    return took.line(key).net


def test_mats_on_a_slab_on_the_ground() -> None:
    took = counted(room=room_of(), floors=[{"id": "f"}])
    assert keys(took) == ALARMS | LOOKED | CLEANED | LAID | CUT | {"protection.masks-5"}
    # 25 m2 / 15; 25 x 0.18 x 0.3; 3 spots x 4 sides x 0.457
    assert net(took, "small.degreaser-1l") == pytest.approx(1.667, abs=1e-3)
    assert net(took, "small.slab-filler-5kg") == pytest.approx(1.35)
    assert net(took, "small.cloth-tape-25m") == pytest.approx(5.484)
    assert (net(took, "small.clear-sheet"), net(took, "protection.gloves-cut")) == (1, 1)
    assert net(took, "small.mesh-roll") == 1


def test_mats_on_other_floors() -> None:
    above = counted(room=room_of(floor="suspended-slab"), floors=[{"id": "f"}])
    # nothing rises from below and no mouse comes in; the slab is cleaned all the same
    assert keys(above) == ALARMS | CLEANED | LAID | CUT
    boards = counted(room=room_of(floor="timber"), floors=[{"id": "f"}])
    assert keys(boards) == ALARMS | LAID | CUT


def test_blades_by_metres_and_thickness() -> None:
    # five mats are cut across for the last row of 500: 5 m, a blade for 3 m of 20 mm: 1.7, upwards,
    # and one to spare; of 40 mm 3.3; of 5 mm as of 10: 0.8
    def blades(thick: float) -> float:
        laid = {"id": "f", "joints": "straight", "start_wall": "back", "thickness_mm": thick}
        room = room_of(width=5016, depth=4516)
        return net(counted(room=room, floors=[laid]), "tools.blades-10")

    assert [blades(thick) for thick in (20, 40, 5)] == [3, 5, 2]
    # nothing is cut: no knife
    whole = counted(
        room=room_of(width=5016, depth=4016), floors=[{"id": "f", "joints": "straight"}]
    )
    assert not keys(whole) & CUT


def test_boards_lie_on_an_underlay_and_are_sawn() -> None:
    laid = {"id": "f", "material": "timber", "kind": "board", "length_mm": 2000, "width_mm": 500}
    took = counted(room=room_of(), floors=[laid])
    sawn = {"tools.fine-saw", "tools.circular-saw-day", "tools.straightedge",
            "tools.rcd-adaptor", "protection.goggles", "protection.ear-defenders"}  # fmt: skip
    # coverings are no small things; the sheet under the boards goes with them
    masks = {"protection.masks-5"}
    # and is cut along the walls with a knife
    knife = {"tools.knife", "tools.blades-10", "protection.gloves-cut"}
    assert keys(took) == ALARMS | LOOKED | CLEANED | LAID | sawn | masks | knife
    assert took.line("floor.damp-sheet-20m2").net == pytest.approx(24.84, abs=0.01)
    # 4.984 x 4.984 and a tenth of it
    under = took.line("floor.underlay-10m2")
    assert under.net == pytest.approx(24.84, abs=0.01)
    assert under.waste == pytest.approx(2.48, abs=0.01)


def test_a_rack_on_a_soft_floor_stands_on_ply() -> None:
    # 1220 x 1250 of the rack; two that overlap in part count once
    foam = [{"id": "f", "material": "foam"}]
    rack = place("short-rack", 1500, 1500)
    took = counted(rack, room=room_of(), floors=foam)
    assert net(took, "floor.ply-18") == pytest.approx(1.22 * 1.25)
    assert "Plywood, 18 mm" in took.line("floor.ply-18").item
    two = counted(rack, place("short-rack", 3500, 3500, piece_id="b"), room=room_of(), floors=foam)
    assert net(two, "floor.ply-18") == pytest.approx(2 * 1.22 * 1.25)
    hard = counted(rack, room=room_of(), floors=[{"id": "f"}])
    assert "floor.ply-18" not in {line.key for line in hard.lines}


def test_a_rack_bolted_to_a_slab() -> None:
    took = counted(place("short-rack", 2500, 2500, bolted=True), room=room_of())
    anchors = {"tools.level-600", "tools.packers-20", "tools.hammer", "tools.spanner"}
    assert keys(took) == ALARMS | DRILLED | MASONRY | anchors
    assert net(took, "tools.packers-20") == 8
    assert took.line("tools.packers-20").where == "Short rack"


def test_linings_to_come() -> None:
    # 25 off each wall: 4 x 4.95 x 2.6 = 51.48 m2; battens every 400, 15 screws, 0.3 kg, 1.2 m a m2
    took = counted(room=make_room(lining=25))
    by_key = {line.key.removeprefix("linings."): line for line in took.lines
        if line.part == "linings"}  # fmt: skip
    nets = {key: round(line.net, 2) for key, line in by_key.items()}
    assert nets == {
        "board-sheet": 51.48,
        "batten-25x50-2-4m": 128.7,
        "insulation-roll-6m2": 51.48,
        "vapour-sheet-20m2": 51.48,
        "board-screws-200": 773,
        "joint-filler-5kg": 15.44,
        "joint-tape-50m": 61.78,
    }
    assert {key: round(line.waste, 2) for key, line in by_key.items() if line.waste} == {
        "board-sheet": 5.15,
        "vapour-sheet-20m2": 5.15,
    }
    assert {line.where for line in by_key.values()} == {"walls"}
    assert keys(took) >= {"tools.fine-saw", "tools.drill-driver", "tools.level-600",
        "protection.goggles", "protection.ear-defenders", "protection.masks-5"}  # fmt: skip
    # nobody fills a joint 2.6 m up from the floor
    assert "tools.ladder" in keys(took)
    assert "tools.prop-week" not in keys(took)


def test_a_garage_door_is_sealed_while_it_is_cold() -> None:
    # 2400 x 2100: 5.04 m2, one sheet of 6; its edge is 9 m; with three spots 14.484
    door = Opening(id="g", wall="front", kind="canopy", offset_mm=300, width_mm=2400,
        height_mm=2100)  # fmt: skip
    took = counted(room=room_of(openings=[door]), floors=[{"id": "f"}])
    assert net(took, "small.clear-sheet") == 2
    assert net(took, "small.cloth-tape-25m") == pytest.approx(14.484)
    assert took.line("small.clear-sheet").where == "damp test, garage door while it is cold"
    wide = door.model_copy(update={"width_mm": 3000})
    above = counted(room=room_of(floor="suspended-slab", openings=[wide]), floors=[{"id": "f"}])
    # 6.3 m2: two sheets
    assert net(above, "small.clear-sheet") == 2
    assert above.line("small.clear-sheet").where == "garage door while it is cold"
    assert "small.mesh-roll" not in keys(above)
    # nothing is done: nothing is sealed
    assert "small.clear-sheet" not in keys(counted(room=room_of(openings=[door]),
        mirrors=[MIRROR]))  # fmt: skip


def test_a_damp_room_is_dried_for_four_weeks() -> None:
    damp = room_of(fabric={"floor_dry": "no"})
    assert net(counted(room=damp, mirrors=[MIRROR]), "small.dryer-week") == 4
    # a week's hire is paid that was begun
    with overridden({"works.cellar-dry.wait-days": 22}):
        assert net(counted(room=damp, mirrors=[MIRROR]), "small.dryer-week") == 4
    assert "small.dryer-week" not in keys(counted(room=damp))
    assert "small.dryer-week" not in keys(counted(room=room_of(), mirrors=[MIRROR]))


PAINT: dict[str, Any] = {"paint": [{"id": "walls", "surface": "walls", "tool": "long-roller"}]}


def test_paint_in_the_cold_takes_a_heater_where_none_stands() -> None:
    cold = counted(room=room_of(), painted_at_c=2, painted_at_percent=50, **PAINT)
    assert net(cold, "small.heater-week") == 1
    warm = counted(room=room_of(), painted_at_c=18, painted_at_percent=50, **PAINT)
    assert "small.heater-week" not in keys(warm)
    owned = place("heater", 2500, 2500)
    own = counted(owned, room=room_of(), painted_at_c=2, painted_at_percent=50, **PAINT)
    assert "small.heater-week" not in keys(own)
    # walls are painted from a ladder, dust and drops are kept off
    assert keys(warm) >= {"tools.ladder", "tools.bucket-sponge", "protection.masks-5"}
    assert "tools.scrub-brush" not in keys(warm)


def test_each_figure_names_the_row_it_is_made_with() -> None:
    took = counted(room=room_of(), floors=[{"id": "f"}])
    rows = {line.key: line.working[0].key for line in took.lines if line.part == "small"}
    assert rows["small.cloth-tape-25m"] == "small.damp-sheet-mm"
    assert rows["small.degreaser-1l"] == "small.degreaser-m2-l"
    door = Opening(id="g", wall="front", kind="canopy", offset_mm=300, width_mm=2400,
        height_mm=2100)  # fmt: skip
    above = counted(room=room_of(floor="suspended-slab", openings=[door]), floors=[{"id": "f"}])
    # round a door alone its own edge is measured
    assert above.line("small.cloth-tape-25m").working[0].key == ""
    assert net(above, "small.cloth-tape-25m") == pytest.approx(9)


@pytest.mark.parametrize("materials", [("foam", "rubber"), ("rubber", "foam")])
def test_one_soft_floor_of_two_asks_for_ply_under_the_racks(materials: tuple[str, str]) -> None:
    left, right = rectangle(0, 0, 2500, 5000), rectangle(2500, 0, 5000, 5000)
    floors = [
        {"id": f"f{i}", "material": material, "zone": zone}
        for i, (material, zone) in enumerate(zip(materials, (left, right), strict=True))
    ]
    took = counted(place("mid-rack", 2500, 2500), room=room_of(), floors=floors)
    # 1.22 x 1.25 m
    assert net(took, "floor.ply-18") == pytest.approx(1.525)
    hard = [{**floor, "material": "rubber"} for floor in floors]
    bare = counted(place("mid-rack", 2500, 2500), room=room_of(), floors=hard)
    assert "floor.ply-18" not in {line.key for line in bare.lines}


def test_a_picture_on_a_wall() -> None:
    # from 3 m at 1.5 it is 2 m wide, 16:9: 2.25 m2 in two coats of 10 m2/L are 0.45 L, less than a
    # tin of 0.25 L in each of five colours; a sheet of 2 m along it
    took = counted(room=room_of(floor="timber"), projections=[PICTURE])
    assert {line.key for line in took.lines} - ALARMS == {
        "projection.projector-day", "projection.colours", "projection.brushes",
        "paint.dust-sheet-12m2", "tools.ladder",
    }  # fmt: skip
    assert (net(took, "projection.colours"), net(took, "paint.dust-sheet-12m2")) == (5, 4)
    # 6 m wide: 20.25 m2, 4.05 L, 0.81 L of each colour: four tins
    near = {**PICTURE, "distance_mm": 9000}
    assert net(counted(room=room_of(), projections=[near]), "projection.colours") == 20
    # what is painted has sheets over the whole floor
    walls = [{"id": "w", "surface": "walls"}]
    both = counted(room=room_of(), projections=[PICTURE], paint=walls)
    assert net(both, "paint.dust-sheet-12m2") == pytest.approx(25)
    assert "projection.brushes" in {line.key for line in both.lines}


def test_two_parts_are_mixed_with_a_paddle_in_two_buckets() -> None:
    coat = {"id": "c", "surface": "floor", "coating": "floor-coating-two-part"}
    took = counted(room=room_of(), paint=[coat])
    assert (net(took, "tools.stirring-paddle"), net(took, "tools.mixing-bucket")) == (1, 2)
    assert net(took, "tools.drill-driver") == 1
    assert "tools.mixing-set" not in keys(took)


def test_levelling_compound_is_stopped_at_the_doors() -> None:
    # 25 m2 by 7 mm, half of 8 and 3 over the high places, 1.7 kg a m2 and mm; 0.15 L of primer a m2
    doors = [
        Opening(id=f"d{i}", wall=wall, kind="hinged", offset_mm=500, width_mm=width, height_mm=2000)
        for i, (wall, width) in enumerate((("back", 900), ("left", 800)))
    ]
    window = Opening(
        id="w", wall="front", kind="window", offset_mm=500, width_mm=1200, height_mm=900,
        sill_mm=900,
    )  # fmt: skip

    def levelled(*openings: Opening, construction: str = "ground-slab") -> TakeOff:
        data = room_of(floor=construction, openings=openings).model_dump()
        data["floor"]["uneven_mm"] = 8
        return counted(room=type(make_room()).model_validate(data), floors=[{"id": "f"}])

    took = levelled(*doors, window)
    assert net(took, "small.levelling-25kg") == pytest.approx(25 * 7 * 1.7)
    assert net(took, "small.levelling-primer-5l") == pytest.approx(25 * 0.15)
    board = took.line("small.stop-board")
    assert board.net == pytest.approx(1.7)
    assert (board.unit, board.where) == ("m", "doorways")
    assert "small.stop-board" not in keys(levelled(window))
    assert "small.stop-board" not in keys(levelled(*doors, construction="timber"))


def test_carpet_is_held_as_its_kind_asks() -> None:
    """Tiles by tackifier and never on an underlay, lengths by tape; common practice, no source."""
    tile = {"id": "f", "kind": "tile", "material": "carpet", "length_mm": 500, "width_mm": 500,
            "thickness_mm": 6}  # fmt: skip
    tiled = counted(room=make_room(4016, 3016), floors=[tile])
    assert "floor.underlay-10m2" not in {line.key for line in tiled.lines}
    # 4 x 3 m inside the gap, 0.12 kg a square metre
    assert net(tiled, "floor.tackifier-5kg") == pytest.approx(12 * 0.12)
    roll = {**tile, "kind": "roll", "by_metre": True, "length_mm": 20_000, "width_mm": 2000,
            "along": True, "joints": "straight", "start_wall": "back"}  # fmt: skip
    rolled = counted(room=make_room(4016, 4016), floors=[roll])
    assert "floor.tackifier-5kg" not in {line.key for line in rolled.lines}
    assert net(rolled, "floor.underlay-10m2") == pytest.approx(16)
    # round the floor, and the seam between two lengths
    assert net(rolled, "floor.mat-tape-25m") == pytest.approx(4 * 4 + 4)
    vinyl = counted(room=make_room(4016, 4016), floors=[{**roll, "material": "vinyl"}])
    assert net(vinyl, "floor.mat-tape-25m") == pytest.approx(4 * 4 + 4)
    # counted by area alone: round the room, and a seam for each two metres of width
    data = make_room(4000, 4000, covering=3).model_dump()
    data["floor"]["covering"]["material"] = "vinyl"
    by_area = counted(room=Room.model_validate(data), nothing_assumed=False)
    assert net(by_area, "floor.mat-tape-25m") == pytest.approx(4 * 4 + 16 / 2)
    assert "floor.underlay-10m2" not in {line.key for line in vinyl.lines}


def test_boards_on_a_slab_take_a_sheet_and_a_saw_with_what_protects() -> None:
    board = {"id": "f", "kind": "board", "material": "timber", "length_mm": 2440,
             "width_mm": 1220, "thickness_mm": 18}  # fmt: skip
    took = counted(room=room_of(width=4016, depth=3016), floors=[board])
    assert net(took, "floor.damp-sheet-20m2") == pytest.approx(12)
    # 12 m2 at 10 a bottle (common practice, no source)
    assert net(took, "floor.board-glue") == 2
    sawn = {"tools.circular-saw-day", "tools.straightedge", "protection.goggles",
            "protection.ear-defenders", "protection.masks-5", "tools.rcd-adaptor"}  # fmt: skip
    assert sawn <= keys(took)
    upstairs = counted(room=room_of(floor="timber", width=4016, depth=3016), floors=[board])
    assert "floor.damp-sheet-20m2" not in {line.key for line in upstairs.lines}
    assert sawn <= keys(upstairs)
    # mats are cut with a knife
    mats = counted(room=room_of(width=4016, depth=3316), floors=[{"id": "f"}])
    assert "tools.circular-saw-day" not in keys(mats)
