"""Tasks that follow from linings, a screen, shelves, what stays, and from who hears the noise."""

from datetime import date
from typing import Any

import pytest

from app.model.base import json_of
from app.model.plan import Plan
from app.model.works import LoudTime, Works
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.works.lives import Lives
from app.works.needs import needs
from app.works.task import Need, Task
from tests.works.plans import SPRING, sample


def room(**changes: Any) -> dict[str, Any]:
    data: dict[str, Any] = json_of(sample("upstairs-room"))
    data["room"] = {**data["room"], **changes}
    return data


def needed(data: dict[str, Any]) -> Need:
    scene = build_scene(Plan.model_validate(data))
    return needs(scene, take_off(scene))


def by_id(need: Need) -> dict[str, Task]:
    return {task.id: task for task in need.tasks}


def waits_for(tasks: dict[str, Task], task_id: str) -> set[str]:
    """All that must come before a task, however far back."""
    found: set[str] = set()
    open_ids = [task_id]
    while open_ids:
        links = [link.id for link in tasks[open_ids.pop()].after]
        open_ids += [one for one in links if one not in found]
        found |= set(links)
    return found


def test_a_lined_wall_and_ceiling_come_after_cables_and_signal_and_before_paint() -> None:
    data = room()
    wall = data["room"]["walls"][0]
    wall["lining_mm"] = 60
    data["room"]["ceiling"]["finish_mm"] = 50
    tasks = by_id(needed(data))
    scene = build_scene(Plan.model_validate(data))
    shape = scene.room.walls[0]
    long_m = abs(shape.end[0] - shape.start[0] + shape.end[1] - shape.start[1]) / 1000
    # a row of works.md: 1.0 h a square metre of lined wall, half as long again the first time
    lined = tasks["insul-wall"]
    assert long_m < lined.quantity < 3 * long_m
    assert lined.hours == pytest.approx(lined.quantity * 1.5, rel=0.01)
    assert tasks["joint"].quantity == pytest.approx(
        lined.quantity + tasks["insul-ceil"].quantity, abs=0.02
    )
    before = waits_for(tasks, "wall-coat-1")
    assert {"joint", "insul-wall", "insul-ceil", "elec-1", "freeze"} <= before
    assert "network" in waits_for(tasks, "insul-wall")
    bare = by_id(needed(room()))
    assert not {"insul-wall", "insul-ceil", "joint"} & bare.keys()


def test_a_screen_hangs_before_kit_is_carried_in_and_shelves_are_strapped() -> None:
    data = room()
    first = data["pieces"][0]
    screen = {**first, "id": "screen-1", "type": "screen", "carried_by": None, "on_floor": False}
    screen = {k: v for k, v in screen.items() if not k.endswith("_mm") and k != "label"}
    data["pieces"] = [*data["pieces"], screen]
    tasks = by_id(needed(data))
    assert tasks["screen"].least == 2
    assert tasks["screen"].lines == ("piece.screen-1",)
    assert "screen" in waits_for(tasks, "receive")
    # its holes are drilled before the last coat, and counted there: over the mats is no drilling
    bare = by_id(needed(room()))
    assert tasks["anchors"].quantity > bare["anchors"].quantity
    assert {"anchors", "mat-cut"} <= waits_for(tasks, "screen")
    assert "mat-lay" not in waits_for(tasks, "anchors")
    drilled_late = [task.id for task in tasks.values() if task.loud and task.group == "Kit"]
    assert [task for task in drilled_late if not task.startswith("set-rack")] == []
    assert "piece.screen-1" not in tasks["receive"].lines
    (shelves,) = [task for task in tasks.values() if task.kind == "shelves"]
    assert "Strap them to the wall" in shelves.caution
    assert "receive" in waits_for(tasks, shelves.id)
    assert shelves.id in waits_for(tasks, "first-training")


def test_what_stays_is_carried_back_when_the_mats_lie() -> None:
    tasks = by_id(needed(room()))
    back = tasks["store-back"]
    assert back.quantity == tasks["store"].quantity > 0
    assert "mat-cut" in waits_for(tasks, "store-back")
    assert "store-back" in waits_for(tasks, "receive")
    empty = room()
    empty["works"]["is_empty"] = True
    assert "store-back" not in by_id(needed(empty))


def test_it_may_be_loud_at_any_hour_where_nobody_hears_it_unless_hours_were_agreed() -> None:
    data = room()
    data["room"]["fabric"]["heard_by"] = "nobody"
    assert needed(data).unheard
    data["room"]["fabric"]["heard_by"] = "neighbours"
    assert not needed(data).unheard

    def loud_days(unheard: bool, works: Works) -> set[int]:
        lives = Lives(works, SPRING, unheard=unheard)
        days = {
            lives.day(s.start).weekday() for s in lives.sessions if any(x[3] for x in s.segments)
        }
        return days

    sunday = date(2027, 4, 4).weekday()
    assert sunday in loud_days(True, Works())
    assert sunday not in loud_days(False, Works())
    agreed = Works(loud=(LoudTime(id="a", day="sat", starts="10:00", ends="12:00"),))
    assert loud_days(True, agreed) == {date(2027, 4, 3).weekday()}


def test_a_wall_picture_comes_after_the_last_coat_and_before_floor_mats_and_mirror() -> None:
    data = room()
    wall = data["room"]["walls"][0]["id"]
    data["fit_out"] = {
        **data.get("fit_out", {}),
        "paint": [
            {"id": "w", "surface": "walls"},
            {"id": "f", "surface": "floor", "coating": "floor-coating-two-part"},
        ],
        "mirrors": [
            # 200 off the floor it ends below the eaves
            {
                "id": "m",
                "wall": wall,
                "offset_mm": 300,
                "width_mm": 900,
                "bottom_mm": 200,
                "height_mm": 900,
            },
        ],
        "projections": [{"id": "p", "wall": wall, "middle_mm": 1500}],
    }
    tasks = by_id(needed(data))
    picture = tasks["mural"]
    # thrown from 3 m at 1.5 it is 2 m wide, and 16:9 high; 3.5 h a square metre, half as long again
    assert picture.quantity == pytest.approx(2.0 * 2.0 / 1.78, abs=0.01)
    assert picture.hours == pytest.approx(picture.quantity * 3.5 * 1.5, rel=0.01)
    assert "wall-coat-2" in waits_for(tasks, "mural")
    for later in ("mat-wait", "mirror", "floor-coat-1"):
        assert "mural" in waits_for(tasks, later), later
    # a floor of two parts that are mixed is laid by two, and its task keeps its id
    floor = tasks["floor-coat-2"]
    assert (floor.kind, floor.least) == ("floor-two", 2)
    assert floor.wait_min >= 7 * 24 * 60
    assert "20 to 60 minutes" in floor.caution


def test_nobody_stands_on_a_ladder_on_mats_and_a_damp_floor_is_tested_once_more() -> None:
    data = room()
    tasks = by_id(needed(data))
    for overhead in ("lights", "elec-2", "alarm"):
        assert overhead in waits_for(tasks, "mat-wait"), overhead
    cellar: dict[str, Any] = json_of(sample("basement"))
    assert "damp-test-again" not in by_id(needed(cellar))
    cellar["room"]["fabric"]["floor_dry"] = "no"
    damp = by_id(needed(cellar))
    assert "cellar-dry" in waits_for(damp, "damp-test-again")
    assert "damp-test-again" in waits_for(damp, "freeze")


def test_what_finds_no_room_beside_the_work_is_carried_to_a_store_that_is_found_first() -> None:
    data = room()
    data["works"]["stored"] = [
        {"id": f"b{i}", "width_mm": 1000, "depth_mm": 1000, "height_mm": 900} for i in range(3)
    ]
    scene = build_scene(Plan.model_validate(data))
    some = by_id(needs(scene, take_off(scene), outside_m2=1.0))
    assert some["store-outside"].quantity == 1
    assert some["store"].quantity == 2
    assert "outside" in waits_for(some, "store-outside")
    assert some["store-back"].quantity == 3
    none = by_id(needs(scene, take_off(scene)))
    assert not {"outside", "store-outside"} & none.keys()
    data["works"]["store_outside"] = True
    every = by_id(needed(data))
    assert every["store"].quantity == 3
    assert "outside" in waits_for(every, "store")


def test_a_task_that_waits_for_one_the_plan_no_longer_has_is_planned_and_it_is_said() -> None:
    data = room()
    data["works"]["tasks"] = [{"id": "lock", "after": ["freeze-walls", "ask"]}]
    need = needed(data)
    assert "ask" in {link.id for link in by_id(need)["lock"].after}
    assert any("freeze-walls" in problem for problem in need.problems)


def test_a_bolted_rack_is_drilled_before_other_kit_stands_round_it() -> None:
    garage = json_of(sample("double-garage"))
    tasks = by_id(needed(garage))
    others = [key for key in tasks if key.startswith("build-") and key != "build-rack-1"]
    assert others
    assert all("set-rack-rack-1" in waits_for(tasks, key) for key in others)
    assert tasks["try"].name == "Try each piece, set catches"
    # a room without a rack has no catches to set
    assert by_id(needed(room()))["try"].name == "Try each piece"


@pytest.mark.parametrize(
    ("key", "caution", "put_away"),
    [
        (
            "double-garage",
            "Catches are tried with an empty bar.",
            "Key out of the belt, bars down",
        ),
        ("basement", "", "Key out of the belt"),
        ("upstairs-room", "", "Put away what is not for children"),
    ],
)
def test_the_works_speak_of_catches_bars_and_belts_where_there_are_some(
    key: str, caution: str, put_away: str
) -> None:
    tasks = by_id(needed(json_of(sample(key))))
    assert tasks["try"].caution == caution
    assert tasks["lock"].name == put_away
