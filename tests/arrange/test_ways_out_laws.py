"""Laws of ways out, on plans that nobody has tidied: what is offered does what it says."""

import re

from hypothesis import given, settings
from hypothesis import strategies as st

from app.arrange.better import mends, outcome
from app.arrange.mend_all import mend_all
from app.arrange.sense import at_a_wall, backed
from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.checks.snag import Snag
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place

PLACES = st.integers(3, 27).map(lambda steps: steps * 100.0)
ANGLES = st.sampled_from([0.0, 90.0, 180.0, 270.0, 20.0])


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    """A small room with up to three pieces set down anywhere, one of which may be pinned."""
    kits = draw(
        st.lists(
            st.sampled_from(["standing-bag", "plate-tree", "bike", "flat-bench", "jump-box"]),
            min_size=1,
            max_size=2,
            unique=True,
        )
    )
    pieces = [place(kit, draw(PLACES), draw(PLACES), draw(ANGLES)) for kit in kits]
    if draw(st.booleans()):
        pieces[0] = pieces[0].model_copy(update={"pinned": True})
    person = make_person(1880, want=("step-up", "bag"))
    return make_plan(*pieces, room=make_room(3000, 3000, 2400), people=[person])


def same_trouble(one: Snag, other: Snag) -> bool:
    """The same of the same thing or person, whatever is in the way now."""
    if one.code != other.code or one.movement != other.movement:
        return False
    if other.person is not None and other.movement is not None:
        return one.person == other.person
    return one.pieces[:1] == other.pieces[:1]


@given(plans())
@settings(max_examples=6, deadline=None)
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
            name = re.escape(worse.called or worse.who[:1].lower() + worse.who[1:])
            said = re.search(f"then (also )?(the )?{name}", remedy.sentence)
            assert said or worse.code == snag.code, (remedy.sentence, worse.sentence)
        for piece in plan.pieces:
            if piece.pinned:
                assert changed.piece(piece.id).pose == piece.pose
        for root in remedy.moved:
            assert backed(later, root) or not backed(scene, root), remedy.sentence
            assert at_a_wall(later, root) or not at_a_wall(scene, root), remedy.sentence


@given(plans())
@settings(max_examples=6, deadline=None)
def test_mend_all_never_leaves_more(plan: Plan) -> None:
    def counts(one: Plan) -> tuple[int, int]:
        severities = [snag.severity for snag in run(build_scene(one))]
        return severities.count("stop"), severities.count("care")

    mending = mend_all(plan)
    mended = plan if mending.command is None else apply(plan, mending.command)
    assert counts(mended) == (mending.stops_left, mending.cares_left)
    assert counts(mended) <= counts(plan)
