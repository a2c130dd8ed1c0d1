"""The list is closed: what notes, workings, cautions and tasks tell one to use stands on it, once.

Read with the eye of a fitter who holds the list in hand: see `vocabulary`.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from app.library.household import HAVE, household
from app.library.tasks import task_kinds
from app.model.plan import Plan
from app.model.room import Room
from app.scene.build import build_scene
from app.takeoff.line import TakeOff
from app.takeoff.quantities import take_off
from app.usecases.files import samples
from app.works.fumes import fumes
from app.works.needs import needs
from app.works.programme import programme
from tests.builders import make_room, place, rectangle
from tests.catalogue.plans import plan_file
from tests.takeoff.making import scene_of
from tests.thinned import one_of
from tests.works.vocabulary import VOCABULARY, asked_by

CASES = Path(__file__).resolve().parents[1] / "catalogue" / "cases"
WINTER, SUMMER = date(2027, 1, 9), date(2027, 6, 5)


def run(run_id: str, wall: str, length: float, **fields: Any) -> dict[str, Any]:
    return {"id": run_id, "wall": wall, "points": ((100, 2200), (length, 2200)), **fields}


def mirror(mirror_id: str, wall: str, **fields: Any) -> dict[str, Any]:
    return {"id": mirror_id, "wall": wall, "offset_mm": 600, "width_mm": 1800, **fields}


DOOR = {"id": "door", "wall": "left", "kind": "hinged", "offset_mm": 400, "width_mm": 900,
        "height_mm": 2000}  # fmt: skip
TRACK = {"id": "up", "wall": "front", "kind": "tracks", "offset_mm": 800, "width_mm": 2400,
         "height_mm": 2100}  # fmt: skip


def built(construction: str, finish: str, floor: str, material: str, **fit_out: Any) -> Plan:
    """Return a plan of four walls of one kind in which a good deal is chosen."""
    data = make_room(5200, 4300, 2600, covering=20).model_dump()
    for wall in data["walls"]:
        wall |= {"construction": construction, "finish": finish}
    data["openings"] = [DOOR, TRACK]
    data["floor"] |= {"construction": floor, "uneven_mm": 8}
    data["floor"]["covering"]["material"] = material
    for part in ("ceiling", "fabric"):
        data[part] |= fit_out.pop(part, {})
    pieces = (
        place("full-rack", 1500, 1500), place("hung-bag", 4200, 3000),
        place("plate-pegs", 3600, 100), place("pull-up-bar-wall", 2600, 300),
    )  # fmt: skip
    scene = scene_of(*pieces, room=type(make_room()).model_validate(data), **fit_out)
    return scene.plan


WALLS, CEILING = {"id": "w", "surface": "walls"}, {"id": "c", "surface": "ceiling"}
FLOOR = {"id": "f", "surface": "floor"}
PICTURE = {"id": "p", "wall": "back", "middle_mm": 2000}


def lined(what: str) -> Plan:
    """Return a plan in which only the walls or only the ceiling are boarded."""
    data = make_room().model_dump()
    for wall in data["walls"] if what == "walls" else ():
        wall["lining_mm"] = 60
    data["ceiling"] |= {"finish_mm": 60} if what == "ceiling" else {}
    return scene_of(room=type(make_room()).model_validate(data)).plan


def on_the_ground() -> Room:
    data = make_room(4000, 3000).model_dump()
    data["floor"] |= {"construction": "ground-slab"}
    return Room.model_validate(data)


MADE = {
    "bare-brick-solvent-glued-mirror": built(
        "solid-brick", "bare", "ground-slab", "rubber", nothing_assumed=False, painted_at_c=3,
        paint=[{**WALLS, "coating": "oil-paint"}, {**FLOOR, "coating": "floor-paint"}],
        mirrors=[mirror("m", "back", held="adhesive"), mirror("n", "right")],
        strips=[run("s", "back", 5000), run("t", "right", 900, kerf_mm=1)],
        floors=[{"id": "a", "length_mm": 1000, "width_mm": 1000, "first_mm": 40, "joints":
                 "straight", "first_row_mm": 60}],
        ceiling={"construction": "solid-joists"},
    ),
    "new-board-soft-floor": built(
        "timber-studs", "plasterboard", "timber", "foam", seal=True,
        paint=[WALLS, {**CEILING, "tool": "spray"}], light={"fitting": "panel-600"},
        floors=[{"id": "a", "material": "foam", "kind": "tile", "length_mm": 600,
                 "width_mm": 600, "thickness_mm": 15}],
        ceiling={"finish_mm": 60, "construction": "solid-joists"},
    ),
    "boards-and-zones": built(
        "hollow-block", "painted", "suspended-slab", "bare",
        paint=[{**FLOOR, "coating": "floor-coating-two-part"}],
        floors=[
            {"id": "a", "material": "timber", "kind": "board", "length_mm": 2000,
             "width_mm": 200, "thickness_mm": 14, "zone": rectangle(0, 0, 2600, 4300)},
            {"id": "b", "zone": rectangle(2600, 0, 5200, 2000)},
        ],
        mirrors=[mirror("m", "back", held="clips", foot="batten")],
        ceiling={"construction": "slab"}, fabric={"floor_dry": "no"},
    ),
    "only-a-bolted-rack": scene_of(
        place("mid-rack", 2500, 2500).model_copy(update={"bolted": True}), room=make_room()
    ).plan,
    "a-picture-on-a-wall": scene_of(room=make_room(), projections=[PICTURE]).plan,
    "a-picture-on-painted-walls": scene_of(
        room=make_room(), projections=[PICTURE], paint=[WALLS]
    ).plan,
    "two-parts-on-the-floor": scene_of(
        room=make_room(), paint=[{**FLOOR, "coating": "floor-coating-two-part"}]
    ).plan,
    "only-walls-lined": lined("walls"),
    "only-a-ceiling-boarded": lined("ceiling"),
    "a-screen": scene_of(place("screen", 2000, 100), room=make_room()).plan,
    "one-mat-in-two-zones": scene_of(
        room=make_room(4000, 3000),
        floors=[{"id": str(x), "length_mm": 1000, "width_mm": 1000,
                 "zone": rectangle(x, 0, x + 1508, 1508)} for x in (0, 2000)],
    ).plan,
    "carpet-tiles-on-a-slab": scene_of(
        room=make_room(4000, 3000),
        floors=[{"id": "a", "material": "carpet", "kind": "tile", "length_mm": 500,
                 "width_mm": 500, "thickness_mm": 6}],
    ).plan,
    "boards-on-a-ground-slab": scene_of(
        room=on_the_ground(),
        floors=[{"id": "a", "material": "timber", "kind": "board", "length_mm": 2440,
                 "width_mm": 1220, "thickness_mm": 18}],
    ).plan,
    "boards-on-an-uneven-ground-slab": built(
        "solid-brick", "bare", "ground-slab", "bare", nothing_assumed=True,
        floors=[{"id": "a", "material": "timber", "kind": "board", "length_mm": 2440,
                 "width_mm": 1220, "thickness_mm": 18}],
    ),
    "nothing": scene_of(room=make_room()).plan,
}  # fmt: skip


@cache
def plans() -> dict[str, Plan]:
    found = {one.key: one.plan for one in samples()} | MADE
    for path in sorted((CASES.parent / "plans").glob("*.json")):
        found[path.stem] = Plan.model_validate_json(path.read_text("utf-8"))
    return found


@cache
def cases() -> dict[str, Plan]:
    """Return the small plans of the catalogue: many, and alike in what is done to the room."""
    found: dict[str, Plan] = {}
    for path in sorted(CASES.glob("*.toml")):
        for name, case in tomllib.loads(path.read_text("utf-8")).items():
            if isinstance(case, dict) and isinstance(case.get("plan"), dict):
                found[name] = Plan.model_validate(plan_file(name, case["plan"]))
    return found


@cache
def counted_of(name: str) -> tuple[Plan, TakeOff]:
    plan = plans()[name] if name in plans() else cases()[name]
    return plan, take_off(build_scene(plan))


def texts(plan: Plan, take: TakeOff, day: date) -> Iterator[tuple[str, str]]:
    """Yield every text that tells somebody to do something, and where it stands."""
    scene = build_scene(plan)
    for line in take.lines:
        yield from ((line.key, note) for note in line.notes)
        yield from ((line.key, step.label) for step in line.working)
    yield from (("says", said) for said in take.says)
    need = needs(scene, take, cold=day == WINTER)
    for task in need.tasks:
        kind = task_kinds()[task.kind]
        told = (task.name, task.why, task.caution, *kind.steps)
        yield from ((task.id, text) for text in told)
    yield from (("works", said) for said in (*need.says, *need.problems))
    if any(task.solvent for task in need.tasks):
        made = programme(need, plan.works, day, {})
        yield from (("fumes", said) for said in fumes(scene, made))


_COATED = frozenset({"paint.rags-10", "paint.lidded-can", "paint.spray-hire-day"})
AS_NEEDED: dict[str, frozenset[str]] = {
    "alarm": frozenset({"small.co-alarm", "tools.ladder"}),
    "anchors": frozenset({
        "protection.masks-p3", "tools.extractor-day", "tools.hammer-drill-day", "tools.hammer",
        "tools.spanner", "tools.rcd-adaptor",
    }),
    "ceil-coat": _COATED, "floor-coat": _COATED, "stabilise": _COATED,
    "wall-coat": _COATED | {"small.sealant-310", "tools.cartridge-gun"},
    "heat": frozenset({"tools.hygrometer"}),
    "lights": frozenset({"fixings.screw-40", "small.wire-guard"}),
    "mat-cut": frozenset({"floor.mat-tape-25m", "tools.fine-saw", "tools.circular-saw-day"}),
    "mat-lay": frozenset({
        "floor.ply-18", "floor.underlay-10m2", "floor.damp-sheet-20m2", "floor.tackifier-5kg",
        "floor.board-glue",
    }),
    "set-rack": frozenset({"fixings.coach-100", "fixings.sleeve-m10*"}),
    "try": frozenset({"small.lead-*"}),
}  # fmt: skip
"""What a kind of task uses only where something else asks for it: solvent, masonry, frames, fuel,
what is loose, soft or far from a socket. A household's ladder or thermometer does as well."""
ANYWHERE = frozenset({"small.heater-week"})
"""What any task may use: heat, where it is cold and the room has none."""


def missing(name: str, day: date) -> list[str]:
    plan, take = counted_of(name)
    keys = [line.key for line in take.lines] + [f"piece.{piece.id}" for piece in plan.pieces]
    keys += [one.key for one in take.ready]
    return [
        f"{where}: {word.reads}: {text}"
        for where, text in texts(plan, take, day)
        for word in asked_by(text)
        if not any(key.startswith(word.answers) for key in keys)
    ]


def twice(texts: Iterable[str]) -> list[str]:
    return [text for text, times in Counter(texts).items() if times > 1]


@pytest.mark.parametrize("name", one_of(2, plans()))
def test_what_is_told_to_be_used_is_on_the_list_once(name: str) -> None:
    plan, take = counted_of(name)
    assert missing(name, WINTER) == []
    assert missing(name, SUMMER) == []
    lines = take.lines
    assert twice(line.item for line in lines) == []
    assert twice(key for line in lines for key in (line.key, *line.was)) == []
    assert [line.key for line in lines if line.unit == "pc" and line.net % 1] == []
    assert [line.key for line in lines if line.to_buy < line.net + line.waste - 1e-9] == []
    keys = {line.key for line in lines} | {f"piece.{piece.id}" for piece in plan.pieces}
    tasks = needs(build_scene(plan), take, cold=True).tasks
    asked = {key for task in tasks for key in (*task.lines, *task.uses)}
    assert {key for key in asked - keys if not key.startswith("trade.")} == set()


@pytest.mark.long
@pytest.mark.parametrize("name", cases())
def test_a_case_of_the_catalogue_has_a_closed_list_too(name: str) -> None:
    assert missing(name, WINTER) == []
    assert twice(line.item for line in counted_of(name)[1].lines) == []


@pytest.mark.parametrize("name", one_of(2, plans()))
@pytest.mark.parametrize("cold", [True, False])
def test_a_task_asks_for_nothing_that_is_not_on_the_list(name: str, cold: bool) -> None:
    """What a kind of task uses is on the list of every plan that has one, but for `AS_NEEDED`."""
    plan, take = counted_of(name)
    keys = {line.key for line in take.lines} | {one.key for one in take.ready}
    tasks = {task.kind for task in needs(build_scene(plan), take, cold=cold).tasks}
    kinds = [task_kinds()[key] for key in sorted(tasks)]
    told = [(kind.key, f"{HAVE}{tool}", household()[tool].instead) for kind in kinds
            for tool in kind.tools]  # fmt: skip
    told += [(kind.key, use, "") for kind in kinds for use in kind.uses
             if use not in AS_NEEDED.get(kind.key, frozenset()) | ANYWHERE]  # fmt: skip
    assert told
    lacking = [
        (kind, use) for kind, use, instead in told
        if not any(
            key in (use, instead) or (use.endswith("*") and key.startswith(use[:-1]))
            for key in keys
        )
    ]  # fmt: skip
    assert lacking == []
    assert len({one.key for one in take.ready}) == len(take.ready)


def test_whatever_a_kind_of_task_uses_is_on_some_list() -> None:
    known = {line.key for name in plans() for line in counted_of(name)[1].lines}
    told = [(kind.key, use) for kind in task_kinds().values() for use in kind.uses]
    assert len(told) > 80
    nowhere = [
        (kind, use)
        for kind, use in told
        if use not in known
        and not (use.endswith("*") and any(key.startswith(use[:-1]) for key in known))
    ]
    assert nowhere == []


def test_every_word_of_the_vocabulary_is_met_somewhere() -> None:
    every = {text for name in plans() for _, text in texts(*counted_of(name), WINTER)}
    every |= {line.item for name in plans() for line in counted_of(name)[1].lines}
    every |= {one.item for name in plans() for one in counted_of(name)[1].ready}
    met = {word for text in every for word in asked_by(text)}
    unmet = [word.reads for word in VOCABULARY if word not in met]
    assert unmet == []
