"""A typed size that a kind of kit is not made in is told, and nothing of the plan is lost."""

import pytest

from app.checks.run import run
from app.library.kit import kit_types
from app.model.plan import Plan
from app.model.versions import dump, load
from app.scene.build import build_scene
from tests.builders import judge, make_person, make_plan, make_room, place
from tests.checks.hanging import but

CODE = "size-not-made"


@pytest.mark.parametrize(
    ("height", "said"),
    [
        (1980, False),
        (2050, False),
        (1978, True),
        (2052, True),
        (900, True),
        (9000, True),
        (None, False),
    ],
)
def test_a_height_outside_the_range_is_told(height: float | None, said: bool) -> None:
    # mid racks are made 1980 to 2050 high
    plan = make_plan(
        place("mid-rack", 2500, 2500, 30, height=height), room=make_room(5000, 5000, 2800)
    )
    found = [snag for snag in judge(plan) if snag.code == CODE]
    assert bool(found) == said
    for snag in found:
        assert snag.severity == "note"
        assert snag.sentence == (
            f"Mid rack is not usual in this size: {height} high, made 1980 to 2050 mm. "
            "Measure again, or take another kind."
        )
    # what a plan file holds is opened as it is
    assert load(dump(plan).encode()) == plan


def test_every_side_is_told_in_one_row_and_of_several_in_the_plural() -> None:
    stands = place("squat-stands", 2500, 2500, width=1000, depth=2000)
    (snag,) = (one for one in judge(make_plan(stands)) if one.code == CODE)
    assert snag.sentence.startswith("Squat stands are not usual in this size: 1000 wide, made ")
    assert "; 2000 deep, made 640 to 1250 mm." in snag.sentence


def test_what_comes_in_any_size_is_not_asked_about() -> None:
    cupboard = place("other-thing", 2500, 2500, width=3000, height=100)
    assert [one for one in judge(make_plan(cupboard)) if one.code == CODE] == []


@pytest.mark.parametrize("size", [1, 20, 60])
def test_whatever_is_typed_is_judged(size: float) -> None:
    """Kit of every type, each side in turn as small as a slip of the finger leaves it."""
    people = [make_person(1750, want=("squat", "pull-up", "dip", "run", "bench-press"))]
    for key in kit_types():
        for side in ("width", "depth", "height"):
            piece = place(key, 2500, 2500).model_copy(update={f"{side}_mm": float(size)})
            found = run(build_scene(make_plan(piece, people=people)), full=False)
            assert all(snag.sentence for snag in found), (key, side)


def asking(*manual: tuple[str, float]) -> Plan:
    machine = place("running-machine", 2500, 2500, 30)
    asked = [{"space": space, "least_mm": least} for space, least in manual]
    return make_plan(but(machine, manual_mm=asked), room=make_room(5000, 8000))


@pytest.mark.parametrize("space", ["behind", "nonsense"])
def test_a_manual_that_asks_for_room_nowhere_is_told_and_by_name_where_it_may(space: str) -> None:
    (snag,) = [s for s in judge(asking((space, 2400))) if s.code == "manual-not-used"]
    assert snag.severity == "care"
    assert f"2400 mm “{space}”" in snag.sentence
    assert "“behind the belt”" in snag.sentence
    # what a plan file holds is opened as it is
    assert load(dump(asking((space, 2400))).encode()) == asking((space, 2400))


@pytest.mark.parametrize("space", ["behind the belt", "behind-the-belt", "plug and air"])
def test_a_manual_that_asks_at_a_place_of_its_kind_is_used(space: str) -> None:
    assert not [s for s in judge(asking((space, 2400))) if s.code == "manual-not-used"]
