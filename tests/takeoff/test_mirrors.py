"""Mirrors worked by hand: 6 mm glass is 15 kg/m2 (EN 572-1), a gap of 2 mm between sheets.

Sheets are 1200 x 2000 (6 mm) or 1000 x 1800 (4 mm); a socket takes 75 mm each way, sheets under
200 mm are not hung, clips stand 600 apart at most (common practice, no source).
"""

from collections.abc import Sequence
from typing import Any

import pytest

from app.library.finishes import finishes
from app.model.finishing import MirrorArea
from app.model.room import Opening, Room, Socket
from app.published.register import overridden
from app.scene.build import Scene, build_scene
from app.takeoff.line import Gathered
from app.takeoff.mirrors import clips_of, clips_of_piece, is_hung, mirrors, sheets_across, spans_of
from tests.builders import make_plan, make_room, place
from tests.takeoff.making import scene_of


def area(**fields: Any) -> MirrorArea:
    given = {"id": "m", "wall": "back", "offset_mm": 500, "width_mm": 2400, **fields}
    return MirrorArea.model_validate(given)


def hung(*areas: MirrorArea, room: Room | None = None) -> Gathered:
    return mirrors(scene_of(room=room, mirrors=[one.model_dump() for one in areas]))


def said(gathered: Gathered) -> dict[str, tuple[float, str]]:
    return {line.key: (round(line.net, 6), line.unit) for line in gathered.lines}


def sold(gathered: Gathered) -> dict[str, str]:
    return {line.item: line.bought[0].key for line in gathered.lines}


def with_sockets(*places: tuple[float, float], wall: str = "back") -> Scene:
    sockets = tuple(
        Socket(id=f"s{i}", wall=wall, offset_mm=along, height_mm=up)
        for i, (along, up) in enumerate(places)
    )
    return build_scene(make_plan(room=make_room().model_copy(update={"sockets": sockets})))


def test_two_sheets_beside_each_other() -> None:
    # (2400 - 2) / 2 = 1199 wide, 1500 high: 1.199 x 1.5 x 15 = 26.98 kg, two carry from 25 on
    found = hung(area())
    assert said(found) == {
        "mirrors.mirror-sheet-6": (3.597, "m2"),
        "mirrors.ledge": (2.4, "m"),
        # at 1500 of height three on each outer side, and three at the joint that hold both
        "mirrors.clips": (9, "pc"),
    }
    assert sold(found) == {
        "Mirror, 6 mm with film, 2 sheets": "mirror-sheet-6-m2",
        "Ledge that carries it, about 50 × 20 mm": "ledge-2m",
        "Mirror clips": "mirror-clips-4",
    }
    glass = found.lines[0]
    assert glass.mass_kg == pytest.approx(2 * 26.9775)
    assert glass.waste == 0
    assert glass.notes[0] == (
        "2 sheets, 1.5 m of joints, the heaviest 27 kg, carried by two on edge."
    )
    assert glass.notes[-1] == "Let the shop cut 2 of 1199 × 1500 mm, width × height."
    assert [(step.value, step.unit) for step in glass.working] == [
        (3.6, "m2"),
        (1199, "mm"),
        (1500, "mm"),
        (pytest.approx(26.9775), "kg"),
    ]
    assert sum(bought.count * bought.size for bought in glass.bought) == 4


def test_sheets_above_one_another() -> None:
    # 1800 x 2000 of sheets of 1000 x 1800: two by two of 899 x 999, 0.899 x 0.999 x 10 = 8.98 kg;
    # joints 2.00 up and 1.80 across; 999 high takes two clips on each side of each
    four = area(width_mm=1800, height_mm=2000, bottom_mm=300, sheet="mirror-sheet-4")
    found = hung(four)
    glass = found.lines[0]
    assert glass.item.endswith("4 sheets")
    assert glass.net == pytest.approx(4 * 0.899 * 0.999)
    assert glass.mass_kg == pytest.approx(4 * 8.98101)
    assert glass.notes[0] == "4 sheets, 3.8 m of joints, the heaviest 9 kg, carried on edge."
    assert glass.notes[-1] == "Let the shop cut 4 of 899 × 999 mm, width × height."
    # two at each of three edges of both rows
    assert said(found)["mirrors.clips"] == (12, "pc")


def test_glued_on_a_batten() -> None:
    # 3.597 m2 at a cartridge a square metre: 4
    found = hung(area(held="adhesive", foot="batten"))
    assert said(found)["mirrors.adhesive"] == (4, "pc")
    assert said(found)["mirrors.batten"] == (2.4, "m")
    assert "mirrors.clips" not in said(found)
    assert sold(found) == {
        "Mirror, 6 mm with film, 2 sheets": "mirror-sheet-6-m2",
        "Batten that carries it, about 50 × 20 mm": "batten-timber-2-4m",
        "Adhesive for mirrors": "mirror-adhesive",
    }
    assert "made for mirrors" in found.lines[0].notes[1]
    assert {old for line in found.lines for old in line.was} == {
        "mirrors.m",
        "mirrors.m-foot",
        "mirrors.m-adhesive",
    }
    assert clips_of(scene_of(), area(held="adhesive")) == 0


def test_equal_sheets_of_two_walls_are_one_line_and_no_note_comes_twice() -> None:
    found = hung(area(), area(id="n", wall="left"), area(id="o", wall="left", offset_mm=3000,
        width_mm=600, sheet="mirror-sheet-4"))  # fmt: skip
    six, four = found.lines[:2]
    assert (six.item, six.where) == (
        "Mirror, 6 mm with film, 4 sheets",
        "the back wall, the left wall",
    )
    assert six.mass_kg == pytest.approx(4 * 26.9775)
    assert six.was == ("mirrors.m", "mirrors.n")
    assert len(six.notes) == 3
    assert six.notes[-1] == "Let the shop cut 4 of 1199 × 1500 mm, width × height."
    assert four.item == "Mirror, 4 mm with film, 1 sheet"
    # 2.4 + 2.4 + 0.6 m of ledge; 9 + 9 clips and 2 x 3 for the single sheet
    assert said(found)["mirrors.ledge"] == (5.4, "m")
    assert said(found)["mirrors.clips"] == (24, "pc")


@pytest.mark.parametrize(("limit_kg", "words"), [(15, "carried by two"), (15.01, "carried on")])
def test_from_the_limit_on_two_carry(limit_kg: float, words: str) -> None:
    # 1000 x 1000 of 6 mm weigh 15 kg
    with overridden({"mirror.two-carry-kg": limit_kg}):
        (note, *_) = hung(area(width_mm=1000, height_mm=1000)).lines[0].notes
    assert words in note


@pytest.mark.parametrize(
    ("width_mm", "count"), [(1, 1), (1200, 1), (1201, 2), (2402, 2), (2403, 3), (3604, 3)]
)
def test_the_fewest_sheets_with_their_gaps(width_mm: float, count: int) -> None:
    assert sheets_across(width_mm, finishes().sheets["mirror-sheet-6"]) == count


@pytest.mark.parametrize(
    ("sockets", "spans"),
    [
        ([], [(500, 2900)]),
        # 1625 to 1775 are taken
        ([(1700, 1100)], [(500, 1625), (1775, 2900)]),
        # just below and just above the area, from 500 to 2000 with 75 each way
        ([(1700, 425), (1700, 2075)], [(500, 2900)]),
        ([(1700, 426)], [(500, 1625), (1775, 2900)]),
        ([(1700, 2074)], [(500, 1625), (1775, 2900)]),
        # two that lie near to each other, in whichever order they stand in the plan
        ([(1800, 1100), (1700, 1100)], [(500, 1625), (1875, 2900)]),
        # what lies before or behind it takes nothing, what reaches in takes its end
        ([(300, 1100), (3000, 1100)], [(500, 2900)]),
        ([(450, 1100), (2960, 1100)], [(525, 2885)]),
        # 200 at an end are hung, 199 are not
        ([(775, 1100)], [(500, 700), (850, 2900)]),
        ([(774, 1100)], [(849, 2900)]),
        ([(2625, 1100)], [(500, 2550), (2700, 2900)]),
        ([(2626, 1100)], [(500, 2551)]),
    ],
)
def test_what_sockets_leave(
    sockets: Sequence[tuple[float, float]], spans: list[tuple[float, float]]
) -> None:
    assert list(spans_of(with_sockets(*sockets), area())) == spans


def test_a_socket_of_another_wall_takes_nothing() -> None:
    assert spans_of(with_sockets((1700, 1100), wall="left"), area()) == ((500, 2900),)


def test_clips_count_for_each_sheet_that_sockets_leave() -> None:
    # 1125 on both sides of the socket: one sheet each with 2 x 3 clips
    assert clips_of(with_sockets((1700, 1100)), area()) == 12
    assert clips_of(with_sockets(), area(sheet="nobody-knows")) == 0


@pytest.mark.parametrize(("height_mm", "clips"), [(500, 4), (1200, 4), (1201, 6), (1801, 8)])
def test_clips_stand_six_hundred_apart_at_most(height_mm: float, clips: int) -> None:
    one = area(width_mm=1000, height_mm=height_mm, bottom_mm=0)
    assert clips_of(with_sockets(), one) == clips


def test_a_mirror_that_stands_on_the_plan_needs_what_holds_it_unless_it_hangs_there() -> None:
    # 1.5 m of ledge, its top 500 up: 1200 of glass takes two clips on each side, 1201 three
    new = place("mirror", 2500, 20, width=1500, height=1701)
    found = mirrors(scene_of(new))
    assert said(found) == {"mirrors.ledge": (1.5, "m"), "mirrors.clips": (6, "pc")}
    old = place("mirror", 2500, 20, stays=True)
    assert mirrors(scene_of(old)).lines == []
    (piece,) = build_scene(make_plan(place("mirror", 2500, 20, height=1700))).order
    assert clips_of_piece(piece) == 4
    assert not any(map(is_hung, build_scene(make_plan(place("plate-tree"), old)).order))


def window(wall: str, offset_mm: float) -> Opening:
    return Opening(id="w", wall=wall, kind="window", offset_mm=offset_mm, width_mm=800,
        height_mm=600, sill_mm=1000, label="Window")  # fmt: skip


@pytest.mark.parametrize("wall", ["back", "right", "front", "left"])
def test_glass_touches_an_opening_and_covers_none_of_it(wall: str) -> None:
    room = make_room(openings=[window(wall, 3000)])
    for offset, width, free in [
        *((600, 2400, True), (610, 2400, False)),
        *((3800, 1000, True), (3790, 1000, False)),
    ]:
        found = hung(area(wall=wall, offset_mm=offset, width_mm=width), room=room)
        assert (bool(found.lines), bool(found.problems)) == (free, not free)
    # under its sill, over its head: 1000 and 1600
    for bottom, height, free in [
        *((200, 800, True), (200, 810, False)),
        *((1600, 900, True), (1590, 900, False)),
    ]:
        one = area(wall=wall, offset_mm=2000, bottom_mm=bottom, height_mm=height)
        assert bool(hung(one, room=room).lines) is free


def test_glass_covers_a_wall_from_corner_to_corner_and_nothing_beyond() -> None:
    whole = {"offset_mm": 0, "width_mm": 5000, "bottom_mm": 0, "height_mm": 2600}
    assert hung(area(**whole)).problems == []
    for beyond in ({"width_mm": 5010}, {"height_mm": 2610}, {"offset_mm": 10}, {"bottom_mm": 10}):
        assert hung(area(**whole | beyond)).problems == [
            "the mirror on the back wall: it reaches beyond the wall; move it or make it smaller"
        ]


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"sheet": "nobody-knows"}, "there is no sheet 'nobody-knows'"),
        ({"wall": "attic"}, "its wall is not in the room"),
    ],
)
def test_what_cannot_be_is_named_and_the_rest_is_counted(
    fields: dict[str, str], words: str
) -> None:
    found = hung(area(**fields), area(id="n", wall="left"))
    (problem,) = found.problems
    assert words in problem
    assert found.lines[0].was == ("mirrors.n",)


def test_a_small_sheet_weighs_what_it_weighs_and_has_no_joint() -> None:
    # 0.2 x 0.3 m of 6 mm: 0.06 x 15 = 0.9 kg
    glass = hung(area(width_mm=200, height_mm=300)).lines[0]
    assert glass.notes[0] == "1 sheet, the heaviest 1 kg, carried on edge."
    assert glass.mass_kg == pytest.approx(0.9)
