"""Seals, ramps and caulk by hand: a garage door of 2400 x 2100, a door of 900 x 2000, a window."""

from typing import Any

import pytest

from app.model.room import Opening
from app.takeoff.line import TakeOff
from tests.builders import make_room
from tests.takeoff.making import counted


def opening(kind: str, wall: str, width: float, height: float, **fields: Any) -> Opening:
    given = {"id": f"{kind}-{wall}", "wall": wall, "kind": kind, "offset_mm": 1000}
    return Opening.model_validate({**given, "width_mm": width, "height_mm": height, **fields})


GARAGE = opening("canopy", "front", 2400, 2100, label="Garage door")
DOOR = opening("hinged", "back", 900, 2000, label="Door")
WINDOW = opening("window", "left", 1200, 600, sill_mm=1000, label="Window")
GAP = opening("gap", "right", 1000, 2000, label="Gap")
PAINT = [{"id": "walls", "surface": "walls", "tool": "long-roller"}]


def took(*openings: Opening, **fit_out: Any) -> TakeOff:
    return counted(room=make_room(openings=openings), **fit_out)


def net(found: TakeOff) -> dict[str, float]:
    packs = ("threshold-seal-5m", "door-seal-5m", "edge-ramp-1m", "ramp-glue", "sealant-310")
    return {
        pack: round(line.net, 2)
        for line in found.lines
        for pack in packs
        if line.key == f"small.{pack}"
    }


def test_a_garage_door_is_sealed_below_and_round_it() -> None:
    # 2.4 below; 2.4 and twice 2.1 round it
    found = took(GARAGE, DOOR, seal=True)
    assert net(found) == {"threshold-seal-5m": 2.4, "door-seal-5m": 6.6}
    assert not found.line("small.door-seal-5m").assumed
    second = GARAGE.model_copy(update={"id": "g2", "wall": "left", "width_mm": 3000})
    assert net(took(GARAGE, second, seal=True)) == {"threshold-seal-5m": 5.4, "door-seal-5m": 13.8}
    # nobody asked for it: assumed, or left out
    assert net(took(GARAGE)) == {}
    assumed = took(GARAGE, nothing_assumed=False)
    assert assumed.line("small.threshold-seal-5m").assumed
    assert net(took(DOOR, seal=True)) == {}


@pytest.mark.parametrize(
    ("openings", "metres"),
    [
        # a ramp as wide as each way that is walked; a window is none
        ((DOOR,), 0.9),
        ((GAP,), 1.0),
        ((DOOR, GAP, WINDOW), 1.9),
        # before a garage door it ends 100 short of the whole wall; one walks in through its opening
        ((GARAGE,), 2.4),
        ((WINDOW,), None),
        ((), None),
    ],
)
def test_a_floor_that_ends_at_a_door_has_a_ramp(
    openings: tuple[Opening, ...], metres: float | None
) -> None:
    found = took(*openings, floors=[{"id": "f", "thickness_mm": 20}])
    ramps = net(found)
    if metres is None:
        assert "edge-ramp-1m" not in ramps
        return
    # the mat ends a little beside the posts
    assert ramps["edge-ramp-1m"] == pytest.approx(metres, abs=0.02)
    # a cartridge for 4 m (common practice, no source)
    assert ramps["ramp-glue"] == -(-metres // 4)
    line = found.line("small.edge-ramp-1m")
    # 1 in 5 to 1 in 8 of 20 mm (common practice, no source)
    stop = " At the garage door 100 mm at the most: there the door shuts."
    told = "An edge that trips nobody rises 1 in 5 to 1 in 8: 100 to 160 mm wide."
    assert line.notes == (told + stop * (GARAGE in openings),)
    assert line.item == "Edge ramp, 20 mm"
    assert not line.assumed
    assert [name for name in ("Door", "Gap", "Garage door") if name.lower() in line.where.lower()]


@pytest.mark.parametrize("thick", [3, 5, 5.1])
def test_a_thin_covering_takes_a_threshold_strip(thick: float) -> None:
    # no ramp is made up to 5 mm (common practice, no source)
    found = took(DOOR, floors=[{"id": "f", "thickness_mm": thick, "material": "vinyl"}])
    line, glue = found.line("small.edge-ramp-1m"), found.line("small.ramp-glue")
    thin = thick <= 5
    assert line.net == pytest.approx(0.9, abs=0.02)
    assert line.item == (f"Threshold strip for {thick} mm" if thin else "Edge ramp, 5.1 mm")
    assert ("wide" in line.notes[0]) == (not thin)
    assert glue.item == ("Glue for the threshold strips" if thin else "Glue for the ramps")


def test_an_edge_in_the_room_has_one_too() -> None:
    half = ((0, 0), (2500, 0), (2500, 5000), (0, 5000))
    found = took(floors=[{"id": "f", "zone": half}, {"id": "g", "zone": half, "thickness_mm": 35}])
    line = found.line("small.edge-ramp-1m")
    # 5 m less 8 mm at either wall; as high as the thicker one
    assert line.net == pytest.approx(4.984, abs=0.005)
    assert net(found)["ramp-glue"] == 2
    assert (line.where, line.item) == ("where it ends in the room", "Edge ramp, 35 mm")


def test_frames_are_caulked_where_it_is_painted() -> None:
    # 2 x (0.9 + 2.0) and 2 x (1.2 + 0.6) are 9.4 m, a cartridge gives 12; a gap and a garage door
    # have no frame to caulk
    found = took(DOOR, WINDOW, GAP, GARAGE, paint=PAINT)
    line = found.line("small.sealant-310")
    assert (line.net, line.where.lower()) == (1, "door, window")
    wide = WINDOW.model_copy(update={"width_mm": 2600})
    assert took(DOOR, wide, paint=PAINT).line("small.sealant-310").net == 2
    assert net(took(DOOR, WINDOW)) == {}
    assert net(took(GAP, GARAGE, paint=PAINT)) == {}
