"""Pictures of what is bought: sizes and counts by hand from the plan and its list."""

import re

from app.drawing.quantity_pictures import lamps, painted_walls, tins
from app.model.finishing import LightChoice, PaintJob
from app.model.fit_out import FitOut
from app.model.room import Room
from app.scene.build import Scene, build_scene
from app.takeoff.line import Bought, Line
from tests.builders import make_plan, make_room
from tests.forms.test_room_edits import door


def fitted(room: Room, fit_out: FitOut) -> Scene:
    return build_scene(make_plan(room=room).model_copy(update={"fit_out": fit_out}))


def numbers(path: str) -> set[tuple[int, int]]:
    return {(int(x), int(y)) for x, y in re.findall(r"(-?\d+)[ ,](-?\d+)", path)}


def test_a_painted_wall_is_laid_flat_with_its_opening_and_counts_its_coats() -> None:
    room = make_room(4000, 3000, 2400, openings=(door(wall="left", width_mm=900, height_mm=2000),))
    jobs = (
        PaintJob(id="seal", surface="walls", coating="masonry-sealer", coats=1),
        PaintJob(id="white", surface="walls", coats=2),
    )
    scene = fitted(room, FitOut(paint=jobs, nothing_assumed=True))
    walls = list(painted_walls(scene))
    assert [one.count for one in walls] == [3] * 4
    (opened,) = [one.svg for one in walls if "drawn-hole" in one.svg]
    # 3 m of wall 2.4 m high, y downwards; the door 0.9 m wide from its sill on the floor
    at = room.openings[0].offset_mm
    outline, hole = re.findall(r'(?:points|d)="([^"]+)"', opened)
    assert numbers(outline) == {(0, 0), (3000, 0), (3000, -2400), (0, -2400)}
    assert numbers(hole) == {(x, y) for x in (int(at), int(at) + 900) for y in (0, -2000)}


def test_tins_are_as_many_as_the_list_says_and_bottles_are_none() -> None:
    packs = (
        Bought("a", "10 L tin", 10, 3, 100),
        Bought("b", "2.5 L can", 2.5, 1, 50),
        Bought("c", "1 L bottle", 1, 2, 20),
        Bought("d", "1 L tin", 1, 30, 20),
    )
    drawn = list(tins(Line("k", "paint", "Paint", "all", 30, 2, "L", packs)))
    assert [one.count for one in drawn] == [3, 1, 30]
    # of very many eight are drawn: the words beside them say how many there are
    assert [one.svg.count("drawn-tin") for one in drawn] == [3, 1, 8]


def test_lamps_hang_where_the_list_hangs_them_and_only_where_they_were_chosen() -> None:
    room = make_room(4000, 3000, 2400)
    bare = fitted(room, FitOut(nothing_assumed=True))
    assert lamps(bare) is None
    chosen = FitOut(light=LightChoice(), nothing_assumed=True)
    seen = lamps(fitted(room, chosen))
    assert seen is not None
    assert seen.svg.count("drawn-lamp") == seen.count > 0
