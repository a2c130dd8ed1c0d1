"""Ways out for what nothing holds: kit that stands on the floor, and bolts."""

from app.arrange.remedy import WaysOut
from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.checks.snag import Snag
from app.model.kit import Piece
from app.model.money import Entry, Money
from app.model.plan import Plan
from app.model.room import Ceiling, Plane, Room
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place
from tests.checks.hanging import room_of


def trusses() -> Room:
    ceiling = Ceiling(construction="trussed-rafters", planes=(Plane(id="c", height_mm=2600),))
    return make_room().model_copy(update={"ceiling": ceiling})


def sought(plan: Plan, code: str) -> tuple[Snag, WaysOut]:
    scene = build_scene(plan)
    (snag,) = (one for one in run(scene) if one.code == code and one.severity != "note")
    return snag, ways_out(scene, (snag,))


def carried_out(plan: Plan, code: str) -> tuple[str, Plan]:
    snag, ways = sought(plan, code)
    remedy = ways.remedies[snag.key]
    for command in remedy.commands:
        plan = apply(plan, command)
    assert [one for one in run(build_scene(plan)) if one.key == snag.key] == []
    return remedy.sentence, plan


def test_a_bag_under_trusses_becomes_one_that_stands() -> None:
    plan = make_plan(place("hung-bag", 2500, 2500), room=trusses())
    sentence, after = carried_out(plan, "fixing")
    assert sentence == "Take the standing bag instead: it stands on the floor, where it fits."
    assert [piece.type for piece in after.pieces] == ["standing-bag"]


def test_a_bag_that_is_owned_is_not_taken_down() -> None:
    owned = Money(entries=(Entry(id="piece.hung-bag", standing="owned"),))
    plan = make_plan(place("hung-bag", 2500, 2500), room=trusses())
    snag, ways = sought(plan.model_copy(update={"money": owned}), "fixing")
    assert snag.key not in ways.remedies


def test_a_rack_on_a_weak_wall_takes_its_bar_and_bench_with_it() -> None:
    rack = place("folding-wall-rack", 2500, 275, piece_id="rack")
    bar = place("bar-20", 2500, 587, piece_id="bar", carried_by="rack", plate=450)
    plan = make_plan(
        rack, bar, room=room_of("single-skin-block"), people=[make_person(1750, want=["squat"])]
    )
    sentence, after = carried_out(plan, "fixing")
    assert "it stands on the floor" in sentence
    taken = after.piece("rack")
    assert (taken.id, taken.bolted) == ("rack", True)
    assert after.piece("bar").carried_by == "rack"
    assert not [one for one in run(build_scene(after)) if one.code == "bar-rests-on-nothing"]


def loose(kit: str) -> Piece:
    return place(kit, 2500, 1000, piece_id="it")


def test_a_loose_rack_is_bolted_down() -> None:
    plan = make_plan(loose("mid-rack"), people=[make_person(1700, want=["pull-up"])])
    sentence, after = carried_out(plan, "tips")
    assert sentence == "Bolt the mid rack to the floor."
    assert after.piece("it").bolted


def test_what_is_weighed_down_is_not_bolted() -> None:
    plan = make_plan(loose("dip-station"), people=[make_person(1700, want=["dip"])])
    snag, ways = sought(plan, "tips")
    assert snag.key not in ways.remedies
