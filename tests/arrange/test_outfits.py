"""What is got for what is wanted: whole sets, with what catches the bar, placed where they fit."""

from app.arrange.offer import fits
from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.checks.snag import Snag
from app.library.kit import kit_types
from app.model.kit import Piece
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place


def still_to_get(plan: Plan) -> list[Snag]:
    return [snag for snag in run(build_scene(plan)) if snag.code == "missing-kit"]


def bought(*pieces: Piece, want: list[str]) -> tuple[str, Plan]:
    plan = make_plan(*pieces, room=make_room(5000, 5000), people=[make_person(1750, want=want)])
    (snag,) = still_to_get(plan)
    remedy = ways_out(build_scene(plan), (snag,)).remedies[snag.key]
    for command in remedy.commands:
        plan = apply(plan, command)
    assert still_to_get(plan) == []
    return remedy.sentence, plan


def caught(plan: Plan) -> bool:
    return any(kit_types()[piece.type].catches is not None for piece in plan.pieces)


def test_bench_and_bar_go_into_a_rack_that_catches() -> None:
    bench = place("flat-bench", 2500, 2500, piece_id="bench")
    bar = place("bar-20", 2500, 1200, piece_id="bar", on_floor=True, plate=450)
    sentence, plan = bought(bench, bar, want=["bench-press"])
    assert sentence.startswith("Get a short rack and a stack of iron plates: ")
    assert "Lay the bar 20 kg on it. Put the flat bench in it." in sentence
    rack = next(piece for piece in plan.pieces if piece.type == "short-rack")
    assert rack.bolted
    assert [plan.piece(key).carried_by for key in ("bar", "bench")] == [rack.id, rack.id]
    assert not plan.piece("bar").on_floor
    assert [snag for snag in run(build_scene(plan)) if snag.severity == "stop"] == []


def test_one_rack_serves_all_that_is_wanted_of_an_empty_room() -> None:
    sentence, plan = bought(want=["squat", "bench-press", "pull-up"])
    assert sentence.count("rack") == 2
    assert sorted(piece.type for piece in plan.pieces) == [
        "bar-20",
        "flat-bench",
        "iron-plates",
        "mid-rack",
    ]
    hard = [snag for snag in run(build_scene(plan)) if snag.severity != "note"]
    assert hard == []


def test_what_does_not_catch_is_not_offered_under_a_bar() -> None:
    for want in ("squat", "bench-press"):
        _, plan = bought(place("bar-20", 2500, 1200, on_floor=True), want=[want])
        assert caught(plan), want


def test_what_is_hung_on_needs_nothing_besides() -> None:
    sentence, plan = bought(want=["pull-up"])
    assert sentence == "Get a pull-up tower: there is a place for it. Bolt the pull-up tower down."
    assert [piece.type for piece in plan.pieces] == ["pull-up-tower"]


def test_a_rack_stands_where_its_bar_is_loaded_at_ease() -> None:
    # a bar of 2200 with 300 beyond each end, where the room has so much, else with 150 at least
    for side, beyond in ((5000, 300), (2810, 300), (2600, 150)):
        scene = build_scene(make_plan(room=make_room(side, side)))
        at = fits(scene, 1220, 1250, 2030, "mid-rack").place
        assert at is not None
        along = at.x_mm if at.angle_deg % 180 == 0 else at.y_mm
        assert min(along, side - along) - 1100 >= beyond, (side, at)
