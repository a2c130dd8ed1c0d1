"""A section through a long hall: what is left out is nothing, and what is told stays true."""

import math
import re

import pytest

from app.drawing.sheets.sections import sections_sheet
from app.scene.build import build_scene
from tests.builders import low_thing, make_plan, make_room, place
from tests.drawing.reading import Seen, parse, seen


def drawn(
    *pieces: tuple[str, float, float], low: tuple[float, ...] = (), wide: float = 40000
) -> tuple[int, list[Seen]]:
    """The scale of the sections of a hall with such pieces at such places, and what is on them."""
    kit = [place(kind, x, y, piece_id=f"{kind}-{i}") for i, (kind, x, y) in enumerate(pieces)]
    things = [
        low_thing(((x, 0), (x + 200, 0), (x + 200, 6000), (x, 6000)), 2200, f"beam{i}")
        for i, x in enumerate(low)
    ]
    room = make_room(wide, 6000, 3000, low_things=things)
    sheet = sections_sheet(build_scene(make_plan(*kit, room=room)), "jump-box-0", paper="A3")
    return sheet.scale, [one for svg in sheet.inside for one in seen(parse(svg))]


def words(things: list[Seen]) -> list[str]:
    return [one.words for one in things if one.tag == "text"]


def test_a_hall_with_kit_at_one_end_is_drawn_as_large_as_a_room() -> None:
    scale, things = drawn(("jump-box", 2000, 3000), ("plate-tree", 4000, 3000))
    assert scale <= 50
    told = words(things)
    # the width is that of the room, not of what is left of it
    assert told.count("40000") == 1
    assert told.count("6000") == 1
    (said,) = re.findall(r"where nothing stands, (\d+) are left out", " ".join(told))
    # from 1200 beyond the tree, which is 600 wide, to 1200 before the wall
    tree = max(one.points[0][0] for one in things if one.words == "2" and one.ink == "numeral")
    assert tree > 0
    assert 33000 < int(said) < 34500


@pytest.mark.parametrize("at", [20000.0, 30000.0])
def test_what_stands_or_hangs_amid_a_hall_is_drawn(at: float) -> None:
    _, with_beam = drawn(("jump-box", 2000, 3000), low=(at,))
    _, with_tree = drawn(("jump-box", 2000, 3000), ("plate-tree", at, 3000))
    for things in (with_beam, with_tree):
        (said,) = re.findall(
            r"where nothing stands, (\d+) and (\d+) are left out", " ".join(words(things))
        )
        # 1200 are kept beside all that is there, walls too; box, beam and tree are 200 to 700 wide
        by_hand = [at - 2000 - 2400 - 350, 40000 - at - 2400 - 350]
        assert sorted(map(int, said)) == pytest.approx(sorted(by_hand), abs=400)
    assert sum(one.words == "2" and one.ink == "numeral" for one in with_tree) >= 1


def test_the_two_parts_of_a_broken_section_keep_their_scale() -> None:
    scale, things = drawn(("jump-box", 2000, 3000), ("plate-tree", 37000, 3000))
    rings = {one.words: one.points[0] for one in things if one.ink == "numeral"}
    (said,) = re.findall(r"where nothing stands, (\d+) are left out", " ".join(words(things)))
    across = max(p[0] for p in rings.values()) - min(p[0] for p in rings.values())
    # on paper they stand as far apart as they do less what is left out, give or take their rings
    assert across * scale == pytest.approx(35000 - int(said), abs=16 * scale)
    assert math.isfinite(across)


def test_a_room_that_fits_as_it_is_is_not_broken() -> None:
    _, things = drawn(("jump-box", 2000, 3000), wide=12000)
    assert "left out" not in " ".join(words(things))
