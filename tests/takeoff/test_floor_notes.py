"""What is worth saying of a floor, by hand: each note on both sides of what decides it."""

from typing import Any

import pytest

from app.model.base import json_of
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Opening, Room
from app.scene.build import build_scene
from app.takeoff.floor import floor_layout
from app.takeoff.floor_layout import lay_floor
from app.takeoff.floor_notes import floor_notes
from app.takeoff.floor_region import start_of
from tests.builders import column, make_room, place, rectangle
from tests.takeoff.making import scene_of

# the gap is 8 mm at each wall: 3 x 2 m of floor
EVEN = make_room(3016, 2016, covering=20)
LAID = {"id": "f", "start_wall": "back", "start_end": "left", "joints": "straight", "along": True}
WARM = "Let the rubber lie in the room for 24 hours before it is cut."


ROLL: dict[str, Any] = {"kind": "roll", "by_metre": True, "length_mm": 20_000, "width_mm": 2000,
        "material": "vinyl", "thickness_mm": 3}  # fmt: skip


def test_a_narrow_lane_of_a_roll_is_cheaper_cut_across_it() -> None:
    # 4084 x 6184 inside 8 mm: three lanes of 2000 and one of 184, which takes 4.1 m by itself; cut
    # across the roll it is three pieces, each 0.2 m off it
    room, lane = make_room(4100, 6200), rectangle(0, 6008, 4100, 6200)
    (said,) = [one for one in notes(room=room, **ROLL) if "lane" in one]
    assert said == (
        "The lane of 184 mm, piece 4, takes 4.1 m of roll by itself. Cut across the roll it takes "
        "0.6 m, with 2 joints in it: end this floor before it, and lay it as a floor of its own."
    )
    # and that is what one gets: 12.3 and 0.6 m for 16.4
    wide = {"id": "a", **ROLL, "zone": rectangle(0, 0, 4100, 6008)}
    for laying, tenths in (({"id": "f", **ROLL}, 164), (wide, 123), ({**wide, "zone": lane}, 6)):
        scene = scene_of(room=room, floors=[laying])
        assert floor_layout(scene, scene.plan.fit_out.floors[0], compare=False).to_buy == tenths
    # the pile of carpet shows; of a lane of 1200 three pieces take 3.6 m for 4.1: too little
    assert not any("lane" in one for one in notes(room=room, **{**ROLL, "material": "carpet"}))
    for deep, told in ((7216, False), (7516, False), (6416, True)):
        found = notes(room=make_room(4100, deep), **ROLL)
        assert any("lane" in one for one in found) == told, deep


def notes(
    *pieces: Piece,
    room: Room = EVEN,
    lift: float = 20.0,
    edged: int | None = None,
    car: str = "no",
    **laid: Any,
) -> list[str]:
    """The notes but the one that every rubber floor has."""
    data = json_of(scene_of(*pieces, room=room, floors=[LAID | laid]).plan)
    data["room"]["climate"] |= {"car_kept_here": car}
    scene = build_scene(Plan.model_validate(data))
    (laying,) = scene.plan.fit_out.floors
    said = list(floor_notes(scene, lay_floor(scene, laying, start_of(scene, laying)), lift, edged))
    if laying.material == "rubber":
        assert said.count(WARM) == 1
        said.remove(WARM)
    assert WARM not in said
    return said


def begun(said: list[str]) -> list[str]:
    """The first four words of each note."""
    return [" ".join(note.split()[:4]) for note in said]


def garage(**fields: Any) -> Room:
    given = {"id": "g", "wall": "front", "kind": "tracks", "offset_mm": 500, "width_mm": 2000}
    door = Opening.model_validate(given | {"height_mm": 2000} | fields)
    return make_room(3016, 2016, covering=20, openings=[door])


def test_a_floor_that_fits_says_nothing_but_to_let_it_warm_up() -> None:
    assert notes() == []


def test_headroom_counted_with_another_covering() -> None:
    words = (
        "Headroom is counted with rubber, 20 mm; this is {}: change the covering of the room."
    ).format
    assert notes(thickness_mm=21) == [words("rubber, 21 mm")]
    assert notes(material="foam") == [words("foam, 20 mm")]


@pytest.mark.parametrize("material", ["foam", "carpet"])
def test_what_is_soft_lets_a_rack_lean(material: str) -> None:
    rack = place("half-rack", 1500, 1000)
    said = begun(notes(rack, material=material))
    assert said == ["Headroom is counted with", f"{material.capitalize()} is soft: half"]
    assert begun(notes(material=material)) == ["Headroom is counted with"]
    assert begun(notes(place("flat-bench", 1500, 1000), material=material)) == said[:1]
    assert notes(rack) == []


def test_narrow_pieces() -> None:
    def strip(wide: float) -> list[str]:
        return notes(zone=rectangle(1000, 500, 1000 + wide, 1500))

    assert strip(150) == []
    assert strip(140) == [
        "1 piece narrower than 150 mm cannot be avoided with this start: glue or tape them down."
    ]


@pytest.mark.parametrize(
    ("corners", "begins"),
    [
        # at the corner of four mats, in the corner of the room, within one mat
        ((900, 900, 1100, 1100), ["4 pieces are more"]),
        ((0, 0, 200, 200), ["1 piece is more"]),
        ((1300, 600, 1500, 800), ["1 piece is more", "1 slit of 200"]),
    ],
)
def test_notches_and_slits(corners: tuple[float, float, float, float], begins: list[str]) -> None:
    # mats lie from 8 on: the second ends at 1008, 200 past the gap of 8 round the last column
    room = make_room(3016, 2016, covering=20, columns=[column(rectangle(*corners))])
    said = notes(room=room)
    assert begun(said) == begins
    assert all("the piece itself against what stands there." in note for note in said[:1])
    both = [column(rectangle(x, 600, x + 200, 800), str(x)) for x in (1300, 2300)]
    said = notes(room=make_room(3016, 2016, covering=20, columns=both))
    assert said[1].startswith("2 slits of 400 mm in all, drawn dashed")


def test_edges_cut_at_a_joint_and_what_others_would_take() -> None:
    # 3.1 m in pieces of a metre: no strip of 100, so that pieces are shorter and one is cut twice
    room = make_room(3116, 2016, covering=20)
    told = "3 edges at a joint to be cut by knife: lay the maker's edge where it shows."
    # turned to their joints none shows a knife's edge there; what has a face up cannot be turned
    assert notes(room=room) == []
    assert notes(room=room, turns=False) == [told]
    every = "Factory edges at every joint take"
    assert notes(room=room, turns=False, edged=0) == [f"{told} {every} no more."]
    assert notes(room=room, turns=False, edged=1) == [f"{told} {every} 1 mat more."]
    assert notes(room=room, turns=False, edged=2) == [f"{told} {every} 2 mats more."]
    assert notes(edged=1) == []


def test_what_is_heavy_is_carried_by_as_many_as_it_takes() -> None:
    # 25 kg for one person (L23 fig. 20)
    assert notes(lift=25) == []
    assert notes(lift=26) == [
        "One mat weighs 26 kg, above the 25 kg of the guideline for one person: carry it by two."
    ]
    # none of them more than the 25 kg of one
    for kg, words in ((50, "by two"), (51, "by three"), (100, "by four")):
        assert notes(lift=kg)[0].endswith(f"carry it {words}."), kg
    assert notes(lift=101)[0].endswith("ask for smaller ones, or have it brought in.")
    roll: dict[str, Any] = {"kind": "roll", "length_mm": 10_000, "by_metre": True}
    (said,) = notes(lift=60, **roll)
    assert said.startswith("The longest length, 3.0 m, weighs 60 kg")
    # of 2.5 m in the recess and 3.5 m beside it the longer one
    ell = ((0, 0), (3516, 0), (3516, 1008), (2516, 1008), (2516, 2016), (0, 2016))
    room = make_room(corners=ell, covering=20)
    said = next(
        one for one in notes(room=room, lift=70, start_wall="w1", **roll) if "longest" in one
    )
    assert said.startswith("The longest length, 3.5 m,")


@pytest.mark.parametrize(
    ("stop", "thick", "begins"),
    [
        # 50 short of the line (common practice, no source), and a ramp of five times the thickness
        (49, 10, ["Stop 50 mm or", "The ramp at the"]),
        (49, 9, ["Stop 50 mm or"]),
        (50, 10, []),
        (50, 11, ["The ramp at the"]),
        # more than 300 leaves floor bare (common practice, no source)
        (300, 20, []),
        (301, 20, ["It ends 301 mm"]),
        (1008, 20, ["It ends 1008 mm"]),
        (None, 20, []),
        (None, 60, []),
    ],
)
def test_short_of_a_garage_door(stop: float | None, thick: float, begins: list[str]) -> None:
    room = garage().model_copy(update={"floor": make_room(covering=thick).floor})
    asked: dict[str, Any] = {"thickness_mm": thick, "door_stop_mm": stop}
    assert begun(notes(room=room, **asked)) == begins
    # a zone ends where it is told to, and another door asks for none of it
    assert notes(room=room, zone=rectangle(0, 0, 2000, 1000), **asked) == []
    gap = garage(kind="gap").model_copy(update={"floor": room.floor})
    assert notes(room=gap, **asked) == []


def test_tyres_mark_rubber_where_a_car_comes_in() -> None:
    short: dict[str, Any] = {"door_stop_mm": 100}
    assert begun(notes(room=garage(), car="yes", **short)) == ["Tyres mark rubber for"]
    assert notes(room=garage(), car="no", **short) == []
    assert notes(car="yes", **short) == []
    # one that stands on the plan on this floor, whatever is kept; beside a zone it marks nothing
    for kit in ("car", "motorbike"):
        there = place(kit, 1500, 1000, stays=True)
        assert "Tyres mark rubber for" in begun(notes(there, room=garage(), **short))
    beside = notes(place("motorbike", 600, 1000), zone=rectangle(2000, 0, 3016, 2016))
    assert "Tyres mark rubber for" not in begun(beside)
    foam = begun(notes(room=garage(), car="yes", material="foam", **short))
    assert foam == ["Headroom is counted with"]


@pytest.mark.parametrize(
    ("over", "fields", "said"),
    [
        # past the end of a leaf of 800 a covering of 800 - 50 lies under 94 cm2 of it, one of
        # 800 - 56 under 112 cm2: two thirds of the depth times the root of twice 800 times it
        (50, {}, False),
        (56, {}, True),
        (800, {}, True),
        (800, {"swing": "out"}, False),
        (800, {"kind": "gap"}, False),
    ],
)
def test_a_leaf_over_more_than_a_hand_of_floor(
    over: float, fields: dict[str, Any], said: bool
) -> None:
    given = {"id": "d", "wall": "back", "kind": "hinged", "offset_mm": 500, "width_mm": 800}
    door = Opening.model_validate(given | {"height_mm": 2000, "label": "Side door"} | fields)
    room = make_room(3016, 2016, covering=20, openings=[door])
    told = notes(room=room, zone=rectangle(0, 800 - over, 3016, 2016))
    # 20 of mat and 10 of air (common practice, no source)
    words = "The side door swings over it: before you buy, see that 30 mm are free under the leaf"
    assert sum(note.startswith(words) for note in told) == said


def test_a_wide_gap_is_found_by_a_foot() -> None:
    assert notes(gap_mm=50) == []
    assert notes(gap_mm=51) == [
        "A gap of 51 mm all round is wide: a foot finds the edge. 8 mm is usual."
    ]


@pytest.mark.parametrize(
    ("kind", "long", "wide", "said"),
    [
        # the room is 3016 x 2016: only what is larger both ways is a slip of the pen
        ("mat", 3017, 2017, True),
        ("mat", 2017, 3017, True),
        ("mat", 3016, 2017, False),
        ("mat", 3017, 2016, False),
        ("roll", 3017, 2017, False),
    ],
)
def test_one_piece_larger_than_the_floor(kind: str, long: float, wide: float, said: bool) -> None:
    told = notes(kind=kind, length_mm=long, width_mm=wide)
    words = f"One mat of {long} mm by {wide} mm is larger than the floor: check its size."
    assert told == [words] * said


@pytest.mark.parametrize(
    ("thick", "edge"), [(36, "4 mm over"), (37, ""), (43, ""), (44, "4 mm under")]
)
def test_an_edge_beside_what_is_let_in(thick: float, edge: str) -> None:
    # 3 mm trip nobody (common practice, no source)
    platform = place("platform", 2000, 1500, width=2000, depth=1830, height=40)
    room = make_room(4000, 3000, covering=thick)
    first, *others = notes(platform, room=room, thickness_mm=thick, flush=("platform",))
    assert first.startswith("The lifting platform is let in: mark its outline on the bare floor")
    assert first.endswith(f"as if it lay on the covering: there are {thick} mm more.")
    assert [note for note in others if "trips" in note] == [
        f"The lifting platform is 40 mm high, this mat {thick} mm: its edge lies {edge} the floor "
        "and trips. Take one as thick as the other."
    ] * bool(edge)


def test_what_stays_is_laid_round() -> None:
    freezer = place("chest-freezer", 500, 350, width=900, depth=600, stays=True)
    words = "Laid round the chest freezer, which stays."
    assert words in notes(freezer)
    assert words not in notes(freezer.model_copy(update={"stays": False}))


@pytest.mark.parametrize(
    ("per_metre", "words"),
    [
        # 2 m within the gap; 3 mm and more are worth packing (common practice, no source)
        (1.4, ""),
        (1.6, "falls 3 mm under it, towards the front wall"),
        # 20 mm over 2 m, 10 on average: 6 m2 at 1.7 kg for a millimetre are 102 kg
        (10, "would take 10 mm on average, about 100 kg"),
    ],
)
def test_a_floor_that_falls(per_metre: float, words: str) -> None:
    data = EVEN.model_dump()
    data["floor"]["planes"] = [{"id": "floor", "height_mm": 0, "rise_y": -per_metre}]
    said = notes(room=Room.model_validate(data))
    assert len(said) == bool(words)
    assert all(words in note for note in said)


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize("stays", [True, False])
def test_what_a_floor_is_laid_round_is_marked_before_it_where_it_is_carried_away(
    stays: bool, turned: float
) -> None:
    freezer = place("chest-freezer", 1500, 1000, turned, stays=stays)
    said = " ".join(notes(freezer))
    assert ("mark its corners on the bare floor, as on the sheet Setting out" in said) == stays


def test_a_piece_at_a_wall_that_runs_askew_is_tapered_and_not_notched() -> None:
    corners = ((0, 0), (2016, 0), (2086, 2016), (0, 2016))
    said = notes(room=make_room(corners=corners, covering=20))
    assert [words for words in said if "askew along a wall: cut the rectangle first" in words]
    assert not [words for words in said if "notch" in words]
