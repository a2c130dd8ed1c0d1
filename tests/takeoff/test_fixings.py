"""Fixings by hand: a ledge is screwed every 300, a profile clipped every 500, a tenth gets lost.

Four hold a piece of which nothing is told, two a light fitting (common practice, no source).
"""

from typing import Any

import pytest

from app.model.room import Room
from app.scene.build import build_scene
from app.takeoff.fixings import FLOOR, Use, fixings, uses_of, wall_behind
from app.takeoff.line import Gathered
from tests.builders import make_plan, make_room, place
from tests.checks.hanging import room_of
from tests.takeoff.making import scene_of

MIRROR = {"id": "m", "wall": "back", "offset_mm": 500, "width_mm": 2400}
STRIP = {"id": "s", "wall": "back", "points": [[0, 2000], [3000, 2000], [3000, 1000]]}


def counts(gathered: Gathered) -> dict[str, tuple[float, float]]:
    return {line.key.removeprefix("fixings."): (line.net, line.waste) for line in gathered.lines}


def took(*pieces: Any, lights: int = 0, **asked: Any) -> Gathered:
    return fixings(scene_of(*pieces, **asked), lights)


def test_a_mirror_and_lights() -> None:
    # 2400 / 300 + 1 screws of the ledge and 3 x 3 clips: 18 and 1.8 to spare, upwards
    found = took(room=room_of("solid-brick"), mirrors=[MIRROR], lights=5)
    assert counts(found) == {"plug-8": (18, 2), "screw-40": (10, 1), "drill-bit": (1, 0)}
    plugs, screws, bit = found.lines
    assert plugs.where == (
        "solid brick: ledge of the mirror on the back wall, clips of the mirror on the back wall"
    )
    assert [step.value for step in plugs.working] == [9, 9, 2]
    assert (screws.where, bit.item) == ("ceiling: light fittings", "Drill bits 8 mm")
    # a wider one: 2410 / 300 is 8.03
    wide = took(room=room_of("solid-brick"), mirrors=[{**MIRROR, "width_mm": 2402}])
    assert wide.lines[0].working[0].value == 10
    glued = took(room=room_of("solid-brick"), mirrors=[{**MIRROR, "held": "adhesive"}])
    assert counts(glued)["plug-8"] == (9, 1)


def test_strips_and_lights_on_concrete_share_their_plugs() -> None:
    # five fittings: ten; ledge and clips of the mirror: 18
    found = took(room=room_of("concrete", ceiling="slab"), mirrors=[MIRROR], lights=5)
    assert counts(found) == {"plug-6": (28, 3), "drill-bit": (1, 0)}
    assert found.lines[0].was == ("fixings.concrete-light", "fixings.screws-100")


@pytest.mark.parametrize(
    ("wall", "by", "bits"),
    [
        ("concrete", "plug-5", 1), ("solid-brick", "plug-5", 1), ("hollow-block", "plug-5", 1),
        ("timber-studs", "plug-board", 0), ("metal-studs", "plug-board", 0),
    ],
)  # fmt: skip
def test_clips_of_a_profile_take_small_screws(wall: str, by: str, bits: int) -> None:
    # 3 + 1 m of profile in pieces of 2, 1 and 1 m: 5 + 3 + 3 clips, whose holes take 3 to 3.5 mm
    found = counts(took(room=room_of(wall), strips=[STRIP]))
    assert found == {by: (11, 2)} | ({"drill-bit": (1, 0)} if bits else {})


def test_glass_on_studs_hangs_on_the_studs_and_its_clips_on_the_board() -> None:
    # studs 400 apart: 2400 cross seven, two screws in each; 9 clips lie between them
    found = took(room=room_of("timber-studs"), mirrors=[MIRROR])
    assert counts(found)["screw-60"] == (14, 2)
    assert counts(found)["hollow-m5"] == (9, 1)
    (ledge,) = (line for line in found.lines if line.key == "fixings.screw-60")
    assert "Find the studs first" in ledge.notes[0]
    # nothing in the board of a metal stud carries it: that is said, and nothing bought for it
    metal = took(room=room_of("metal-studs"), mirrors=[MIRROR])
    assert counts(metal) == {"hollow-m5": (9, 1), "drill-bit": (1, 0)}
    assert "anchors in board do not carry glass" in metal.problems[0]


def test_a_strip_without_a_profile_takes_no_screws() -> None:
    bare = took(room=room_of("concrete", ceiling="slab"), strips=[{**STRIP, "profile": None}])
    assert counts(bare) == {}


def test_what_is_bolted_to_the_floor() -> None:
    rack = place("half-rack", 1500, 4000, bolted=True)
    slab = took(rack, room=room_of())
    # four posts: four anchors, which come in a pack of four; bolts have none to spare
    assert counts(slab) == {"sleeve-m10": (4, 0), "drill-bit": (1, 0)}
    assert slab.lines[0].notes == (
        "Into the slab, 60 mm deep at the least: the maker's sheet decides.",
    )
    assert slab.says[0].startswith("Before bolting Half rack down: pipes and damp membrane")
    timber = took(rack, room=room_of(floor="timber"))
    assert counts(timber) == {"coach-100": (4, 0), "drill-bit": (1, 0)}
    assert timber.lines[0].notes == ("Into the floor joists.",)
    assert counts(took(place("half-rack", 1500, 4000), room=room_of())) == {}
    # where it is usual it is assumed; what stays is there already
    assumed = took(place("half-rack", 1500, 4000), room=room_of(), nothing_assumed=False)
    assert counts(assumed)["sleeve-m10"] == (4, 0)
    assert assumed.lines[0].assumed
    stays = rack.model_copy(update={"stays": True})
    assert counts(took(stays, room=room_of(), nothing_assumed=False)) == {}


@pytest.mark.parametrize(
    ("thick", "anchor", "cut"),
    [
        # 60 in the slab, 5 for the foot, 12 for washer and nut (common practice, no source)
        (8, "sleeve-m10", False),
        (23, "sleeve-m10", False),
        (23.5, "sleeve-m10-120", False),
        (43, "sleeve-m10-120", False),
        (44, "sleeve-m10-150", False),
        (73, "sleeve-m10-150", False),
        (74, "sleeve-m10", True),
    ],
)
def test_an_anchor_is_as_long_as_the_covering_it_goes_through_asks(
    thick: float, anchor: str, cut: bool
) -> None:
    rack = place("half-rack", 1500, 4000, bolted=True)
    floor = {"id": "f", "thickness_mm": thick}
    found = took(rack, room=room_of(), floors=[floor])
    assert counts(found) == {anchor: (4, 0), "drill-bit": (1, 0)}
    assert ("Cut the covering out" in found.lines[0].notes[0]) == cut
    # a zone elsewhere lies under nothing
    away = floor | {"zone": [[0, 0], [600, 0], [600, 600], [0, 600]]}
    assert "sleeve-m10" in counts(took(rack, room=room_of(), floors=[away]))


def test_what_a_person_pulls_at_is_counted_exactly_under_a_ceiling() -> None:
    bag = place("hung-bag", 2500, 2500)
    found = took(bag, room=room_of(ceiling="slab"))
    assert counts(found) == {"sleeve-m10": (1, 0), "drill-bit": (1, 0)}
    # with a rack bolted by the same anchors: as many as there are holes
    rack = place("half-rack", 1500, 4000, bolted=True)
    both = took(bag, rack, room=room_of(ceiling="slab"))
    assert counts(both)["sleeve-m10"] == (5, 0)
    assert both.lines[0].where == "ceiling: Hung bag; floor: Half rack"
    joists = took(bag, room=room_of())
    assert counts(joists)["spreader-m10"] == (1, 0)


def uses(*pieces: Any, lights: int = 0, **asked: Any) -> list[Use]:
    return list(uses_of(scene_of(*pieces, **asked), Gathered(), lights))


@pytest.mark.parametrize(
    ("wall", "masonry", "hammer"),
    [
        ("solid-brick", True, True),
        ("concrete", True, True),
        ("aerated-block", True, False),
        ("timber-studs", False, False),
        ("metal-studs", False, False),
    ],
)
def test_what_gives_off_the_dust_of_stone(wall: str, masonry: bool, hammer: bool) -> None:
    (one,) = uses(place("plate-pegs", 2500, 140), room=room_of(wall))
    assert (one.masonry, one.hammer, one.first) == (masonry, hammer, True)
    assert one.how.endswith("with hammer." if hammer else "without hammer.")


def test_floor_and_light_are_drilled_after_the_last_coat() -> None:
    rack = place("half-rack", 1500, 4000, bolted=True)
    floor, light = uses(rack, room=room_of(), lights=1)
    assert (floor.ground, floor.first, floor.hammer, floor.masonry) == (FLOOR, False, True, True)
    assert (light.first, light.drill_mm, light.hammer, light.masonry) == (False, 0, False, False)
    (joists,) = uses(rack, room=room_of(floor="timber"))
    assert (joists.first, joists.hammer, joists.masonry) == (False, False, False)
    (slab,) = uses(room=room_of(ceiling="slab"), lights=1)
    assert (slab.drill_mm, slab.hammer, slab.masonry) == (6, True, True)
    (bag,) = uses(place("hung-bag", 2500, 2500), room=room_of(ceiling="slab"))
    assert (bag.first, bag.hammer, bag.masonry, bag.drill_mm) == (True, True, True, 12)
    (bag,) = uses(place("hung-bag", 2500, 2500), room=room_of())
    assert (bag.hammer, bag.masonry) == (False, False)


def test_what_pulls_at_a_wall_is_told_to_be_tried() -> None:
    (bar,) = uses(place("pull-up-bar-wall", 2500, 300), room=room_of("solid-brick"))
    assert bar.how.endswith("The maker's manual and a test in this wall decide.")
    assert (bar.fastener, bar.was, bar.drill_mm) == ("sleeve-m10", "fixings.solid-brick-heavy", 12)
    (pegs,) = uses(place("plate-pegs", 2500, 140), room=room_of("solid-brick"))
    assert "decide" not in pegs.how
    assert (pegs.was, pegs.drill_mm, pegs.thing.count) == ("fixings.solid-brick-light", 8, 4)


@pytest.mark.parametrize(
    ("x", "y", "angle", "wall"),
    [
        # pegs 280 deep: their back edge decides, not their middle
        (2500, 140, 0, "back"),
        (4860, 2500, 90, "right"),
        (2500, 4860, 180, "front"),
        (140, 2500, 270, "left"),
        # in a corner the wall at its back: 10 from the left edge, its back to the back wall
        (460, 140, 0, "back"),
        (140, 460, 270, "left"),
        # away from all the nearest
        (2500, 1500, 0, "back"),
        (2500, 1500, 180, "back"),
        (1000, 2600, 0, "left"),
    ],
)
def test_the_wall_behind_is_the_nearest_to_the_back_edge(
    x: float, y: float, angle: float, wall: str
) -> None:
    scene = build_scene(make_plan(place("plate-pegs", x, y, angle)))
    assert wall_behind(scene, scene.order[0]).id == wall


def test_a_wall_ends_at_its_corners() -> None:
    # an L: the short wall at y = 2000 ends at x = 3000; 1000 beyond it another one is nearer
    corners = [(0, 0), (6000, 0), (6000, 2000), (3000, 2000), (3000, 5000), (0, 5000)]
    room: Room = make_room(corners=corners)

    def behind(x: float, y: float, angle: float) -> str:
        scene = build_scene(make_plan(place("plate-pegs", x, y, angle), room=room))
        return wall_behind(scene, scene.order[0]).id

    # w3 from (6000, 2000) to (3000, 2000), w6 on the left; its line would go on at y = 2000
    assert behind(1200, 2140, 0) == "w6"
    assert behind(4000, 1860, 180) == "w3"
    assert behind(2860, 3000, 90) == "w4"


def test_what_no_anchor_of_a_wall_holds_is_told_with_what_does() -> None:
    bar, pegs = place("pull-up-bar-wall", 2500, 300), place("plate-pegs", 1000, 140)
    weak = took(bar, pegs, room=room_of("metal-studs"))
    (problem,) = weak.problems
    assert problem.startswith("fixings: Wall pull-up bar on ")
    assert problem.endswith(": a frame to the floor: metal studs and board do not hold this")
    # the pegs are hung all the same
    assert [net for key, (net, _) in counts(weak).items() if key != "drill-bit"] == [4]
    assert took(bar, room=room_of("solid-brick")).problems == []
    assert took(pegs, room=room_of("metal-studs")).problems == []


def test_a_strip_with_a_leg_of_nothing_has_its_clips_all_the_same() -> None:
    # a leg that is shorter than a millimetre has no profile
    plain = {**STRIP, "points": [[0, 2000], [3000, 2000]]}
    bent = {**STRIP, "points": [[0, 2000], [3000, 2000], [3000, 1999.5]]}
    one, other = (counts(took(room=room_of("concrete"), strips=[strip])) for strip in (plain, bent))
    assert one == other
    assert one


def test_what_was_one_line_is_named_by_one_of_those_that_it_became() -> None:
    """Money that a household put down for a line goes where most of it went, and never twice."""
    found = took(room=room_of("solid-brick"), mirrors=[MIRROR], strips=[STRIP])
    was = {line.key: line.was for line in found.lines if line.was}
    assert was == {"fixings.plug-8": ("fixings.solid-brick-light",)}
    # where only clips are left they take it
    (clips, _) = took(room=room_of("solid-brick"), strips=[STRIP]).lines
    assert set(clips.was) == {"fixings.solid-brick-light", "fixings.plug-8"}
    rack = place("half-rack", 1500, 4000, bolted=True)
    (long, _) = took(rack, room=room_of(), floors=[{"id": "f", "thickness_mm": 43}]).lines
    assert long.key == "fixings.sleeve-m10-120"
    assert set(long.was) == {"fixings.anchors-heavy-4-floor", "fixings.sleeve-m10"}
    # two of two lengths share no key
    zones = [
        {"id": "f", "thickness_mm": 43, "zone": [[0, 0], [5000, 0], [5000, 2600], [0, 2600]]},
        {"id": "g", "thickness_mm": 8, "zone": [[0, 2600], [5000, 2600], [5000, 5000], [0, 5000]]},
    ]
    other = place("half-rack", 3500, 1000, bolted=True, piece_id="other")
    both = took(rack, other, room=room_of(), floors=zones).lines
    keys = [key for line in both for key in (line.key, *line.was)]
    assert len(keys) == len(set(keys))
    assert {"fixings.sleeve-m10", "fixings.sleeve-m10-120"} <= set(keys)
