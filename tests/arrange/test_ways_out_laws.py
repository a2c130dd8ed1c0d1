"""Laws of ways out, on plans that nobody has tidied: what is offered does what it says."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arrange.better import mends, outcome
from app.arrange.mend_all import mend_all
from app.arrange.sense import at_a_wall, backed
from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.checks.snag import Snag
from app.model.plan import Plan, Situation
from app.model.room import Opening, Plane
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place

PLACES = st.integers(3, 36).map(lambda steps: steps * 100.0)
ANGLES = st.sampled_from([0.0, 90.0, 180.0, 270.0, 20.0])
KITS = ("standing-bag", "plate-tree", "bike", "flat-bench", "jump-box", "running-machine")
WIDTH, DEPTH, HEIGHT = 3900.0, 3900.0, 2400.0
DOOR = Opening(
    id="door", wall="left", kind="hinged", offset_mm=300, width_mm=850, height_mm=2000, swing="in"
)
GARAGE = Opening(id="g", wall="front", kind="tracks", offset_mm=600, width_mm=2400, height_mm=2000)
SLOPE = (Plane(id="roof", height_mm=2650, rise_x=-0.15),)


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    """A small room with one to three things set down anywhere, one of which may be pinned.

    Doors, a slope, a rack with its bar and what opens and shuts come with some of them.
    """
    kits = draw(st.lists(st.sampled_from(KITS), min_size=1, max_size=2, unique=True))
    pieces = [place(kit, draw(PLACES), draw(PLACES), draw(ANGLES)) for kit in kits]
    if draw(st.booleans()):
        x, y = draw(PLACES), draw(PLACES)
        pieces.append(place("mid-rack", x, y, piece_id="rack", bolted=draw(st.booleans())))
        if draw(st.booleans()):
            # 37 before its front of 625: on the hooks
            pieces.append(place("bar-20", x, y + 662, piece_id="bar", carried_by="rack"))
    if draw(st.booleans()):
        pieces[0] = pieces[0].model_copy(update={"pinned": True})
    doors = draw(st.sampled_from([(), (DOOR,), (DOOR, GARAGE)]))
    planes = draw(st.sampled_from([(), SLOPE]))
    room = make_room(WIDTH, DEPTH, HEIGHT, openings=doors, planes=planes)
    person = make_person(1880, want=("step-up", "bag", "squat"))
    plan = make_plan(*pieces, room=room, people=[person])
    if GARAGE in doors and draw(st.booleans()):
        training = Situation(id="training", label="training", door_open=True, trains=True)
        plan = plan.model_copy(update={"situations": (training,)})
    return plan


def same_trouble(one: Snag, other: Snag) -> bool:
    """The same of the same thing or person, whatever is in the way now."""
    if one.code != other.code or one.movement != other.movement:
        return False
    if other.person is not None and other.movement is not None:
        return one.person == other.person
    return one.pieces[:1] == other.pieces[:1]


@given(plans())
def test_each_way_out_does_what_it_says_and_nothing_unsaid(plan: Plan) -> None:
    scene = build_scene(plan)
    before = run(scene)
    stations = {piece_id: placed.root for piece_id, placed in scene.placed.items()}
    found = ways_out(scene, before)
    for snag in before:
        remedy = found.remedies.get(snag.key)
        assert snag.severity == "note" or (remedy is None) == (snag.key in found.tried)
        if remedy is None or remedy.gives_up:
            continue
        changed = plan
        for command in remedy.commands:
            changed = apply(changed, command)
        later = build_scene(changed)
        after = run(later)
        result = outcome(before, after, stations)
        assert mends(result, snag, stations), remedy.sentence
        left = [one for one in after if one.severity != "note" and same_trouble(one, snag)]
        assert remedy.clears == (not left), remedy.sentence
        for worse in result.worse:
            if snag.severity == worse.severity == "note":
                continue  # what is got brings notes of its own: how it comes in, what holds it
            name = re.escape(worse.called or worse.who[:1].lower() + worse.who[1:])
            said = re.search(f"then (also )?(the )?{name}", remedy.sentence)
            assert said or worse.code == snag.code, (remedy.sentence, worse.sentence)
        for piece in plan.pieces:
            if piece.pinned:
                assert changed.piece(piece.id).pose == piece.pose
        for root in remedy.moved:
            assert backed(later, root) or not backed(scene, root), remedy.sentence
            assert at_a_wall(later, root) or not at_a_wall(scene, root), remedy.sentence


@pytest.mark.long
@given(plans())
def test_what_a_care_moves_is_not_left_with_a_stop_for_which_it_is_moved_too(plan: Plan) -> None:
    """A fitter carries a rack once, to where it may stay."""
    scene = build_scene(plan)
    before = run(scene)
    found = ways_out(scene, before)
    moved = [(s, found.remedies[s.key].moved) for s in before if s.key in found.remedies]
    for care, roots in moved:
        if care.severity != "care":
            continue
        changed = plan
        for command in found.remedies[care.key].commands:
            changed = apply(changed, command)
        left = [one for one in run(build_scene(changed)) if one.severity == "stop"]
        for stop, others in moved:
            if stop.severity == "stop" and roots & others:
                said = found.remedies[care.key].sentence, stop.sentence
                assert not any(same_trouble(one, stop) for one in left), said


@given(plans())
def test_mend_all_never_leaves_more(plan: Plan) -> None:
    def counts(one: Plan) -> tuple[int, int]:
        severities = [snag.severity for snag in run(build_scene(one))]
        return severities.count("stop"), severities.count("care")

    mending = mend_all(plan)
    mended = plan if mending.command is None else apply(plan, mending.command)
    assert counts(mended) == (mending.stops_left, mending.cares_left)
    assert counts(mended) <= counts(plan)
