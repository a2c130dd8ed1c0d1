"""A piece exchanged for another type: nothing that was measured of the old one stands of the new.

Common practice, no source: who gets another machine measures, weighs and pays it anew.
"""

import pytest

from app.arrange.exchanged import KEPT, exchanged
from app.arrange.swaps import instead
from app.changes.commands import apply
from app.checks.run import run
from app.costs.cost import costs
from app.library.kit import kit_types
from app.model.kit import ManualSpace, Piece, Pose
from app.model.money import Entry, Money
from app.model.plan import PieceState, Plan, Situation, owned
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from tests.builders import found, make_person, make_plan, make_room, place, turned_plan

OLD = Piece(
    id="machine",
    type="running-machine",
    pose=Pose(x_mm=2500, y_mm=2300, angle_deg=12),
    label="by the window",
    note="ask Ann",
    width_mm=900,
    depth_mm=1900,
    height_mm=1300,
    deck_mm=120,
    grade_percent=15,
    bar_height_mm=1000,
    catches=True,
    mass_kg=80,
    power_w=2500,
    manual_mm=(ManualSpace(space="behind-the-belt", least_mm=2500),),
    price_minor=12300,
    state="folded",
    later=True,
    circuit="ring",
    plate_mm=280,
    bumper_plates=True,
    bolted=True,
    on_floor=True,
)
OF_THE_OLD = {
    "width_mm",
    "depth_mm",
    "height_mm",
    "deck_mm",
    "grade_percent",
    "bar_height_mm",
    "catches",
    "mass_kg",
    "power_w",
    "manual_mm",
    "price_minor",
    "state",
}
CURVED = kit_types()["curved-runner"]


def test_each_field_of_a_piece_is_either_kept_or_of_the_old_one() -> None:
    assert {"type"} | OF_THE_OLD | KEPT == {*Piece.model_fields}
    assert not OF_THE_OLD & KEPT


def test_what_was_measured_weighed_and_paid_goes_and_where_it_stands_stays() -> None:
    (new,) = exchanged(make_plan(OLD), "machine", CURVED).pieces
    fresh = Piece(id="machine", type="curved-runner", pose=OLD.pose)
    for field in OF_THE_OLD:
        assert getattr(OLD, field) != getattr(fresh, field), f"{field} is not typed here"
        assert getattr(new, field) == getattr(fresh, field), field
    for field in KEPT:
        assert getattr(new, field) == getattr(OLD, field), field


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(("ceiling", "stops"), [(2200, 0), (2199, 1)])
def test_the_head_is_judged_on_the_deck_of_the_new_machine(
    ceiling: float, stops: int, turn: float
) -> None:
    """1.80 m on a deck of 300 rise 100 in running (practice sheet, section 4): 2200."""
    machine = place("running-machine", 2500, 2300, deck=160, grade=10, piece_id="machine")
    person = make_person(1800, want=["run"])
    plan = turned_plan(
        make_plan(machine, room=make_room(5000, 6000, ceiling), people=[person]), turn
    )
    says, command = instead(build_scene(plan), build_scene(plan).placed["machine"], CURVED, "Take.")
    after = apply(plan, command)
    assert says == command.says
    assert [s.severity for s in found(after, "headroom")].count("stop") == stops
    # as if it had never been another one
    asked = place("curved-runner", 2500, 2300, piece_id="machine")
    anew = turned_plan(make_plan(asked, room=make_room(5000, 6000, ceiling), people=[person]), turn)
    assert run(build_scene(after)) == run(build_scene(anew))


def test_the_new_one_is_bought_whoever_owned_the_old_one() -> None:
    entries = (
        Entry(id="piece.machine", standing="owned", minor=50000, later=True),
        Entry(id="piece.other", standing="owned"),
    )
    plan = _with(make_plan(OLD, place("bike", 1000, 1000, piece_id="other")), entries)
    assert owned(plan, "machine")
    after = exchanged(plan, "machine", CURVED)
    assert not owned(after, "machine")
    assert owned(after, "other")
    assert after.money.entries[0] == Entry(id="piece.machine", later=True)
    scene = build_scene(after)
    (line,) = (one for one in costs(scene, take_off(scene)).lines if one.key == "piece.machine")
    assert (line.standing, line.asked_minor) == ("to-come", CURVED.price_minor)


def _with(plan: Plan, entries: tuple[Entry, ...]) -> Plan:
    return plan.model_copy(update={"money": Money(entries=entries)})


def test_a_state_that_both_have_stays_and_others_go_in_situations_too() -> None:
    rack = kit_types()["folding-wall-rack"]
    folded = place("running-machine", piece_id="machine")
    states = (PieceState(id="machine", state="folded"),)
    out = (PieceState(id="machine", state="out"),)
    plan = make_plan(folded.model_copy(update={"state": "folded"})).model_copy(
        update={
            "situations": (
                Situation(id="a", label="a", states=states),
                Situation(id="b", label="b", states=out),
            )
        }
    )
    assert any(state.key == "folded" for state in rack.states)
    both = exchanged(plan, "machine", rack)
    assert both.pieces[0].state == "folded"
    assert both.situations == plan.situations
    gone = exchanged(plan, "machine", CURVED)
    assert gone.pieces[0].state is None
    assert [one.states for one in gone.situations] == [(), out]
    # a plan that cannot be read back is none
    assert build_scene(gone).placed["machine"].in_use
