"""A bar that rests under what hangs too low is no second row beside the lift that meets it."""

import pytest

from app.checks.run import run
from app.scene.build import build_scene
from tests.builders import low_thing, make_person, make_plan, make_room, place, rectangle


@pytest.mark.parametrize(("wish", "codes"), [("want", ["headroom"]), ("no", ["too-tall"])])
def test_one_low_duct_is_one_row(wish: str, codes: list[str]) -> None:
    # on the lowest hooks its plates reach 1000 + 225
    low = make_room(low_things=[low_thing(rectangle(0, 0, 1780, 3000), 1200, "duct")])
    movements = ("squat", "standing-press", "kneeling-press")
    wanted = movements[1:2] if wish == "want" else ()
    person = make_person(1800, want=wanted, no=[one for one in movements if one not in wanted])
    bar = place("bar-20", 2500, 1437, piece_id="bar", carried_by="rack")
    rack = place("mid-rack", 2500, 775, piece_id="rack")
    snags = run(build_scene(make_plan(rack, bar, room=low, people=[person])))
    assert [s.code for s in snags if s.severity == "stop"] == codes
