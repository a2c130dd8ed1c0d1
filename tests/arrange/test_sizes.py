"""Another size of a piece as a way out: boxes as the judge counts them, and how it is said."""

import pytest

from app.arrange.sizes import for_floor
from app.arrange.ways_out import ways_out
from app.checks.run import run
from app.checks.snag import Snag
from app.library.kit import kit_types
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place, turned_plan


def _said(movement: str, ceiling: float, typed: float | None) -> str:
    """What is offered for the one finding of a person of 1.80 m under a ceiling, on a box."""
    plan = make_plan(
        place("jump-box", 3000, 4000, height=typed),
        room=make_room(6000, 8000, ceiling),
        people=[make_person(1800, want=[movement])],
    )
    scene = build_scene(plan)
    snags = run(scene)
    (stop,) = (snag for snag in snags if snag.severity == "stop")
    return ways_out(scene, snags).remedies[stop.key].sentence


@pytest.mark.parametrize("typed", [None, 500])
@pytest.mark.parametrize(
    ("movement", "ceiling", "height"),
    [
        # a step-up on 500 needs 2300 here and 2425 with its margin, each less by what the box is
        ("step-up", 2290, 360),
        # with the margin it would have to be 220, and none is made so low: the highest that is
        # no stop, 2300 - 500 + 350 = 2150
        ("step-up", 2150, 350),
        ("box-jump", 2150, 350),
        ("step-up", 2100, 300),
        # under 2100 a jump is a stop on the lowest box that is made, 50 short instead of 200
        ("box-jump", 2100, 300),
    ],
)
def test_the_highest_box_that_fits_is_named_as_the_judge_counts_it(
    movement: str, ceiling: float, height: float, typed: float | None
) -> None:
    said = _said(movement, ceiling, typed)
    assert said.startswith(f"Take a lower jump box instead, of {height} mm"), said


@pytest.mark.parametrize(("key", "ceiling"), [("wall-bars", 2200), ("squat-stands", 1700)])
def test_lower_ones_of_several_are_told_in_the_plural(key: str, ceiling: float) -> None:
    kit = kit_types()[key]
    piece = place(key, 3000, kit.depth_mm / 2 if kit.for_wall else 3000)
    scene = build_scene(make_plan(piece, room=make_room(6000, 6000, ceiling)))
    (tall,) = (snag for snag in run(scene) if snag.code == "too-tall")
    said = ways_out(scene, (tall,)).remedies[tall.key].sentence
    assert said.startswith(f"Take lower {kit.name.lower()} instead, of "), said


@pytest.mark.parametrize("turn", [0, 37])
@pytest.mark.parametrize(
    ("key", "offered"),
    [
        ("folding-wall-rack", "Set the pull-up bar of the folding wall rack "),
        ("pull-up-bar-wall", "Set the wall pull-up bar "),
    ],
)
def test_what_stands_on_its_posts_is_hung_no_lower(key: str, offered: str, turn: float) -> None:
    """One of 2290 on its posts stays as high wherever it is bolted: its bar goes lower in them."""
    kit = kit_types()[key]
    piece = place(key, 3000, kit.depth_mm / 2, height=2290)
    plan = make_plan(
        piece, room=make_room(6000, 6000, 2310), people=[make_person(1800, want=["pull-up"])]
    )
    scene = build_scene(turned_plan(plan, turn))
    (stop,) = (s for s in run(scene) if s.code == "headroom" and s.severity == "stop")
    assert ways_out(scene, [stop]).remedies[stop.key].sentence.startswith(offered)


@pytest.mark.parametrize(
    ("stature", "wants", "depths"),
    [
        # 1.27 H: 2184 of 1720, in whole steps of 10; of 1880 2388 and no less than the mat has
        (1720, ["floor-work"], {2190}),
        (1880, ["floor-work"], set()),
        # nobody who lies down there needs it long
        (1720, ["squat"], {1500}),
    ],
)
def test_a_mat_is_offered_no_shorter_than_who_lies_on_it(
    stature: float, wants: list[str], depths: set[float]
) -> None:
    """With arms overhead, by the row of the register that `app.checks.lying` asks for."""
    mat = place("mat-space", 2500, 2500)
    plan = make_plan(mat, people=[make_person(stature, want=wants)])
    scene = build_scene(plan)
    snag = Snag(code="room", severity="care", template="", pieces=("mat-space",))
    told = [says for says, _ in for_floor(scene, snag) if says.endswith("deep instead.")]
    assert told == [f"Take a mat space {depth} mm deep instead." for depth in depths]


@pytest.mark.parametrize(("ceiling", "height"), [(2198, 2050), (2200, 2100)])
def test_a_column_is_no_taller_than_is_stood_up_with_the_error_of_the_tape(
    ceiling: float, height: float
) -> None:
    """15 by a tape (memory, see its row): 2100 over a side of 600 sweep 2184."""
    column = place("cable-column", 2500, 1000, height=2150)
    scene = build_scene(make_plan(column, room=make_room(5000, 5000, ceiling)))
    snags = run(scene)
    (snag,) = (one for one in snags if one.code == "will-not-stand-up")
    assert ways_out(scene, snags).remedies[snag.key].sentence == (
        f"Take a lower cable column instead, of {height} mm."
    )
