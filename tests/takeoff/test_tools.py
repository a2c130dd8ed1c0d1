"""What each job is done with and what protects whoever does it, by hand in rooms of 5 x 5 m.

Common practice, no source: masks for a shift of 8 h, 0.35 h a hole.
"""

from __future__ import annotations

from typing import Any

import pytest

from app.library.tasks import task_kinds
from app.model.room import Opening, Room
from app.published.register import published
from app.takeoff.line import TakeOff
from app.takeoff.supplies import shifts
from tests.builders import make_person, make_plan, make_room, place
from tests.checks.hanging import room_of
from tests.takeoff.making import counted
from tests.takeoff.test_supplies import (
    ALARMS,
    DRILLED,
    HUNG,
    MASONRY,
    MIRROR,
    PAINT,
    keys,
    net,
)


@pytest.mark.parametrize(
    ("construction", "more"),
    # studs take wood screws: no hammer, no stone dust
    [("solid-brick", MASONRY), ("concrete", MASONRY), ("timber-studs", set())],
)
def test_a_mirror_hung(construction: str, more: set[str]) -> None:
    took = counted(room=room_of(construction), mirrors=[MIRROR])
    assert keys(took) == ALARMS | HUNG | DRILLED | {"tools.drill-driver"} | more
    # two carry glass, with two grips each
    assert (net(took, "tools.suction-grip"), net(took, "protection.gloves-cut")) == (4, 2)


def test_a_house_with_a_trip_switch_and_no_fire_takes_neither_adaptor_nor_alarm() -> None:
    data = room_of("timber-studs").model_dump()
    data["electricity"]["residual_current_protection"] = "yes"
    data["climate"]["fuel_burned_here"] = "no"
    room = type(make_room()).model_validate(data)
    took = keys(counted(room=room, mirrors=[MIRROR]))
    assert took == (ALARMS | HUNG | DRILLED | {"tools.drill-driver"}) - {
        *("tools.rcd-adaptor", "small.co-alarm")
    }


@pytest.mark.parametrize(("hours", "masks"), [(0, 1), (8, 1), (8.1, 2), (16, 2), (17, 3)])
def test_a_mask_for_each_shift(hours: float, masks: int) -> None:
    assert shifts(hours) == masks


def test_each_pair_of_hands_has_its_own() -> None:
    from app.model.plan import Plan
    from app.scene.build import build_scene
    from app.takeoff.quantities import take_off

    def hands(count: int) -> tuple[float, float, float]:
        people = [make_person(person_id=f"p{i}") for i in range(count)]
        data = make_plan(room=room_of("solid-brick"), people=people).model_dump()
        data["fit_out"] = {"nothing_assumed": True, "mirrors": [MIRROR]}
        took = take_off(build_scene(Plan.model_validate(data)))
        which = ("goggles", "ear-defenders", "masks-p3")
        one, two, three = (net(took, f"protection.{key}") for key in which)
        return one, two, three

    # nobody named still works alone; of three two work. 12 clips and the ledge: under a shift
    assert hands(0) == hands(1) == (1, 1, 1)
    assert hands(2) == hands(3) == (2, 2, 2)


@pytest.mark.parametrize(
    ("per_metre", "bolted", "packers"),
    [
        # a rack of 1250 deep: 12.5 mm at 10 to the metre are three packers of 5 under two feet
        (10, False, 6), (10, True, 8 + 6), (0, True, 8), (0, False, None),
        # 2 mm under a rack are not worth packing
        (1.6, False, None),
    ],
)  # fmt: skip
def test_a_rack_on_a_floor_that_falls_is_packed_level(
    per_metre: float, bolted: bool, packers: float | None
) -> None:
    data = room_of().model_dump()
    data["floor"]["planes"] = [{"id": "floor", "height_mm": 0, "rise_y": -per_metre}]
    room = type(make_room()).model_validate(data)
    rack = place("mid-rack", 2500, 2500, depth=1250).model_copy(update={"bolted": bolted})
    took = counted(rack, room=room)
    if packers is None:
        assert "tools.packers-20" not in keys(took)
        return
    assert net(took, "tools.packers-20") == packers
    note = "Mid rack: the floor falls 12 mm under it."
    assert took.line("tools.packers-20").notes == ((note,) if per_metre else ())


def test_of_most_tools_there_is_one() -> None:
    # everything at once: an uneven slab, a lining, paint, mats, a mirror and a rack bolted down
    data = room_of("solid-brick").model_dump()
    data["floor"]["uneven_mm"] = 8
    for wall in data["walls"][:1]:
        wall["lining_mm"] = 25
    room = type(make_room()).model_validate(data)
    took = counted(
        place("short-rack", 2500, 2500, bolted=True), room=room, mirrors=[{**MIRROR,
            "wall": "left"}], floors=[{"id": "f"}], **PAINT,
    )  # fmt: skip
    nets = {line.key: line.net for line in took.lines if line.part in ("tools", "protection")}
    once = {
        *("knife", "straightedge", "fine-saw", "detector", "hammer-drill-day", "drill-driver"),
        *("extractor-day", "rcd-adaptor", "level-600", "ladder", "scrub-brush", "mixing-set"),
        *("spiked-roller", "bucket-sponge", "wire-brush", "hygrometer", "chalk-line"),
        *("filling-knives", "hammer", "spanner", "squeegee", "scraper", "mixing-drill-day"),
    }
    assert once == {key[6:] for key in nets if key.startswith("tools.") and nets[key] == 1}
    assert nets["tools.suction-grip"] == 4
    assert nets["protection.gloves-cut"] == 2


def test_one_coat_with_solvent_among_others_is_enough() -> None:
    oil = {"id": "walls", "surface": "walls", "coating": "oil-paint"}
    ceiling = {"id": "ceiling", "surface": "ceiling"}

    def on_the_list(*jobs: dict[str, str]) -> set[str]:
        """Every item of the list with what is said of it."""
        lines = counted(room=room_of(), paint=jobs).lines
        return {text for line in lines for text in (line.item, *line.notes)}

    plain, alone, both = on_the_list(ceiling), on_the_list(oil), on_the_list(ceiling, oil)
    of_solvent = {text for text in alone - plain if "solvent" in text.lower()}
    assert "It holds back dust, no solvent." in of_solvent
    assert of_solvent <= both


ROLL = {"id": "f", "kind": "roll", "by_metre": True, "length_mm": 10_000, "width_mm": 1250,
        "thickness_mm": 8}  # fmt: skip


@pytest.mark.parametrize(
    ("room", "floor", "pack"),
    [
        # mats of 1 m: no cut is longer; cuts of 1.48 and 2.88 m off the roll
        ((3200, 2200), {"id": "f", "joints": "straight"}, "straightedge"),
        ((1900, 1500), ROLL, "straightedge-2m"),
        ((2900, 2200), ROLL, "straightedge-3m"),
    ],
)
def test_a_straightedge_is_as_long_as_the_longest_cut(
    room: tuple[int, int], floor: dict[str, object], pack: str
) -> None:
    took = counted(room=make_room(*room), floors=[floor])
    line = took.line("tools.straightedge")
    assert [one.key for one in line.bought] == [pack]
    # the rows are laid along one, cuts need none
    assert net(took, "tools.chalk-line") == 1
    assert line.notes == ()


def test_a_rip_longer_than_any_straightedge_has_a_chalk_line() -> None:
    took = counted(room=make_room(4400, 2200), floors=[ROLL])
    line = took.line("tools.straightedge")
    assert [one.key for one in line.bought] == ["straightedge-2m"]
    (note,) = line.notes
    assert note.startswith("The longest cut is 4.4 m: snap the chalk line")
    assert net(took, "tools.chalk-line") == 1


def test_one_short_cut_takes_a_knife() -> None:
    # 766 x 516 less 8 all round: one tile of 500, and one of 250 that is cut along 500
    small = {"id": "f", "length_mm": 500, "width_mm": 500, "joints": "straight", "gap_mm": 8}
    took = counted(room=make_room(766, 516), floors=[small])
    assert keys(took) >= {"tools.knife", "tools.blades-10", "tools.straightedge"}
    assert net(took, "tools.blades-10") == 2
    whole = counted(room=make_room(516, 516), floors=[small])
    assert not keys(whole) & {"tools.knife", "tools.blades-10", "tools.straightedge"}


def test_what_comes_in_cartridges_takes_a_gun() -> None:
    took = counted(room=room_of("solid-brick"), mirrors=[{**MIRROR, "held": "adhesive"}])
    gun = took.line("tools.cartridge-gun")
    assert (gun.net, gun.where, gun.part) == (1, "mirrors", "tools")
    assert "tools.cartridge-gun" not in keys(counted(room=room_of(), mirrors=[MIRROR]))


@pytest.mark.parametrize("coating", ["floor-paint", "floor-coating-two-part"])
def test_eyes_are_protected_from_what_is_mixed_among_other_coats(coating: str) -> None:
    jobs = [*PAINT["paint"], {"id": "floor", "surface": "floor", "coating": coating}]
    took = counted(room=room_of("timber-studs"), paint=jobs)
    # cleaner splashes too, whatever is painted on what was scrubbed
    where = took.line("protection.goggles").where.split(", ")
    assert "scrubbing" in where
    assert ("two part coating" in where) is (coating == "floor-coating-two-part")


@pytest.mark.parametrize(("uneven_mm", "jobs"), [(0, "scrubbing"), (8, "scrubbing, levelling")])
def test_who_scrubs_or_levels_has_long_gloves_and_goggles(uneven_mm: float, jobs: str) -> None:
    """Alkaline cleaner and wet cement burn: labels of both say so (common practice, no source)."""
    room = room_of("timber-studs").model_dump()
    room["floor"] |= {"uneven_mm": uneven_mm}
    took = counted(room=Room.model_validate(room), floors=[{"id": "f"}])
    assert took.line("protection.gloves-wet").where == jobs
    assert set(jobs.split(", ")) <= set(took.line("protection.goggles").where.split(", "))
    # nothing is scrubbed where boards are only laid on
    dry = keys(counted(room=room_of("timber-studs", floor="timber"), floors=[{"id": "f"}]))
    assert not dry & {"protection.gloves-wet", "protection.goggles"}


def test_tasks_name_the_weight_that_two_carry_as_the_floor_sheet_does() -> None:
    assert f"over {published('lift.guide-kg'):g} kg" in task_kinds()["mat-wait"].caution


STRIP = {"id": "s", "wall": "left", "points": [[500, 2000], [2500, 2000]]}
JOBS: dict[str, Any] = {
    "mirrors": [MIRROR],
    "strips": [STRIP],
    "paint": [{"id": "walls", "surface": "walls"}, {"id": "c", "surface": "ceiling"}],
    "floors": [{"id": "f"}],
}


@pytest.mark.parametrize("job", JOBS)
def test_what_one_job_takes_it_takes_among_others_too(job: str) -> None:
    # studs take wood screws, the slab takes anchors: one that is drilled with a hammer is enough
    doors = [
        Opening.model_validate(
            {"id": f"d{i}", "wall": wall, "kind": kind, "offset_mm": 500, "width_mm": 2400}
            | {"height_mm": 2000}
        )
        for i, (wall, kind) in enumerate((("front", "tracks"), ("right", "gap")))
    ]
    room = room_of("timber-studs", openings=doors)
    rack = place("half-rack", 1500, 3500, bolted=True)
    plain = counted(room=room, **{job: JOBS[job]})
    bolted = counted(rack, room=room)
    every = counted(rack, place("plate-tree", 3500, 3500, stays=True), room=room, **JOBS)

    def things(took: TakeOff) -> set[str]:
        listed = {line.key for line in took.lines if line.part in ("tools", "protection")}
        return listed | {one.key for one in took.ready}

    # what is bought or hired is not had ready besides
    missing = (things(plain) | things(bolted)) - things(every)
    assert missing <= {"have.thermometer", "have.step-ladder", "have.pencil"}
