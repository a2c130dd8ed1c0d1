"""Training together: conflicts, the table of pairs, and a largest group that is proven."""

from itertools import combinations

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.checks.together import _bound, _members, largest_group, together
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place
from tests.layouts import good_layout

graphs = st.integers(0, 14).flatmap(
    lambda n: st.tuples(
        st.just(n),
        st.lists(
            st.tuples(st.integers(0, max(n - 1, 0)), st.integers(0, max(n - 1, 0))).filter(
                lambda pair: pair[0] != pair[1]
            ),
            max_size=50 if n > 1 else 0,
        ),
        st.integers(0, 14),
    )
)


@given(graph=graphs)
def test_the_largest_group_is_that_of_another_program(
    graph: tuple[int, list[tuple[int, int]], int],
) -> None:
    count, pairs, limit = graph
    group = largest_group(count, pairs, limit)
    theirs = nx.Graph(pairs)
    theirs.add_nodes_from(range(count))
    clique, _ = nx.max_weight_clique(nx.complement(theirs), weight=None)
    assert len(group) == min(limit, len(clique))
    against = {frozenset(pair) for pair in pairs}
    assert not any(frozenset(pair) in against for pair in combinations(group, 2))


def test_forty_stations_in_a_ring_are_proven() -> None:
    # a ring of 2 n things holds n that do not touch, one of 2 n + 1 no more
    assert len(largest_group(40, [(i, (i + 1) % 40) for i in range(40)], 40)) == 20
    assert len(largest_group(39, [(i, (i + 1) % 39) for i in range(39)], 39)) == 19


def bikes(apart: float) -> Plan:
    """Two mats side by side."""
    mats = [place("mat-space", x, 2500, piece_id=f"m{x:.0f}") for x in (1500, 1500 + apart)]
    return make_plan(*mats, people=[make_person(person_id=i) for i in "ab"])


@pytest.mark.parametrize(("apart", "free"), [(998, 0), (1000, 1), (1002, 1)])
def test_mats_that_touch_are_used_at_once(apart: float, free: int) -> None:
    found = together(build_scene(bikes(apart)))
    assert (found.pairs_free, found.pairs_all) == (free, 1)
    assert len(found.largest) == 1 + free
    assert found.proven


def test_a_good_double_garage() -> None:
    # common practice, no source: these go together there
    found = together(build_scene(good_layout()))
    for one, other in (
        ("rack", "running-machine"),
        ("rack", "bike"),
        ("bag", "running-machine"),
        ("dumbbells", "running-machine"),
        ("rack", "wall-pulley"),
    ):
        assert found.at_once(one, other), (one, other)
    for one, other in (("rack", "bag"), ("rack", "mat"), ("bag", "mat")):
        assert not found.at_once(one, other), (one, other)
    assert len(found.largest) == 2  # as many as there are people
    assert "freezer" not in dict(found.stations)
    assert found.pairs_free + len(found.conflicts) == found.pairs_all == 28


def test_a_solid_in_the_body_space_of_another_station_is_a_conflict() -> None:
    room = make_room(8000, 6000)
    pulley = place("wall-pulley", 3000, 300)
    far = make_plan(pulley, place("bike", 3000, 4000), room=room)
    near = make_plan(pulley, place("bike", 3000, 1700), room=room)
    assert together(build_scene(far)).pairs_free == 1
    assert together(build_scene(near)).pairs_free == 0


def test_places_to_get_on_may_be_shared() -> None:
    # two bikes 700 apart share the floor between them
    plan = make_plan(
        place("bike", 1500, 2500, piece_id="a"), place("bike", 2760, 2500, piece_id="b")
    )
    assert together(build_scene(plan)).pairs_free == 1


@pytest.mark.parametrize(("high", "free"), [(40, 1), (51, 1), (52, 0), (750, 0)])
@pytest.mark.parametrize("covering", [0, 20])
def test_what_is_stepped_over_is_in_nobodys_way(high: float, free: int, covering: float) -> None:
    # one presses 1325 before the rack, on 900 of floor: 75 of a box reach into that from beyond,
    # beside the floor before the rack itself; 50 over the covering are stepped over
    rack, bar = (
        place("full-rack", 2500, 1000, piece_id="rack"),
        place("bar-20", 2500, 1000, carried_by="rack"),
    )
    box = place("jump-box", 3370, 3000, height=high)
    plan = make_plan(rack, bar, box, room=make_room(covering=covering))
    assert together(build_scene(plan)).pairs_free == free
    away = place("jump-box", 3370, 3130, height=high)
    plan = make_plan(rack, bar, away, room=make_room(covering=covering))
    assert together(build_scene(plan)).pairs_free == 1


@pytest.mark.parametrize(
    ("x", "y", "free"),
    [
        # the floor to press kneeling is 1000 deep about 2325 and as long as the bar, 2200: from
        # 1400 to 3600, down to 2825. A box of 500 x 600 beyond it, and a hair within
        (3370, 3126, 1),
        (3370, 3123, 0),
        (1630, 3126, 1),
        (1630, 3123, 0),
        (3600 + 251, 2400, 1),
        (3600 + 248, 2400, 0),
        (1400 - 251, 2400, 1),
        (1400 - 248, 2400, 0),
    ],
)
def test_how_much_floor_a_press_takes(x: float, y: float, free: int) -> None:
    rack = place("full-rack", 2500, 1000, piece_id="rack")
    bar = place("bar-20", 2500, 1000, carried_by="rack")
    # its own floor to jump from lies away from the rack
    away = 0 if y > 3000 else 270 if x > 2500 else 90
    box = place(
        "jump-box", x, y, away, width=500 if y > 3000 else 600, depth=600 if y > 3000 else 500
    )
    assert together(build_scene(make_plan(rack, bar, box))).pairs_free == free


@pytest.mark.parametrize(("no", "free"), [((), 0), (("standing-press", "kneeling-press"), 1)])
def test_what_nobody_wants_takes_no_floor(no: tuple[str, ...], free: int) -> None:
    rack, bar = (
        place("full-rack", 2500, 1000, piece_id="rack"),
        place("bar-20", 2500, 1000, carried_by="rack"),
    )
    box = place("jump-box", 3370, 3000)
    people = [make_person(person_id="one", no=no)]
    assert together(build_scene(make_plan(rack, bar, box, people=people))).pairs_free == free
    # one of two who does is enough
    both = [*people, make_person(person_id="two")]
    assert together(build_scene(make_plan(rack, bar, box, people=both))).pairs_free == 0
    # and where nobody is named everything is wanted
    assert together(build_scene(make_plan(rack, bar, box))).pairs_free == 0


def test_a_group_is_no_larger_than_the_people() -> None:
    mats = [place("mat-space", x, 2500, piece_id=f"m{x}") for x in (600, 1700, 2800, 3900)]
    for count, size in ((0, 4), (1, 1), (3, 3), (4, 4), (5, 4)):
        people = [make_person(person_id=f"p{i}") for i in range(count)]
        found = together(build_scene(make_plan(*mats, people=people)))
        assert (len(found.largest), found.proven) == (size, True)
        assert (found.pairs_all, found.pairs_free, found.unseen) == (6, 6, 0)


def test_conflicts_and_stations_go_by_their_carriers() -> None:
    rack, bar = (
        place("full-rack", 2500, 1000, piece_id="rack"),
        place("bar-20", 2500, 1000, carried_by="rack"),
    )
    box, tree = place("jump-box", 3370, 3000), place("plate-tree", 1000, 4500)
    found = together(build_scene(make_plan(rack, bar, box, tree)))
    assert found.stations == (("jump-box", "Jump box"), ("rack", "Full rack"))
    assert found.conflicts == {frozenset(("jump-box", "rack"))}
    assert not found.at_once("rack", "jump-box")
    assert found.largest == ("jump-box",)


def test_nobody_and_nothing() -> None:
    empty = together(build_scene(make_plan()))
    assert (empty.stations, empty.largest, empty.proven, empty.pairs_all) == ((), (), True, 0)
    assert empty.unseen == 0
    alone = together(build_scene(make_plan(place("bike"))))
    assert alone.largest == ("bike",)


def test_more_than_forty_stations_are_answered_too() -> None:
    mats = [
        place("mat-space", 600 + 1100 * (i % 10), 1300 + 2600 * (i // 10), piece_id=f"m{i:02}")
        for i in range(50)
    ]
    found = together(build_scene(make_plan(*mats, room=make_room(12_000, 14_000))))
    assert len(found.stations) == 50
    assert len(found.largest) == 40
    assert not found.proven
    # one more on the first of them: that pair is told, though the table ends at forty
    over = place("mat-space", 600, 1300, piece_id="m99")
    found = together(build_scene(make_plan(*mats, over, room=make_room(12_000, 14_000))))
    assert found.conflicts == {frozenset(("m00", "m99"))}
    assert len(found.largest) == 40
    assert (found.pairs_all, found.pairs_free) == (51 * 25, 51 * 25 - 1)


def test_what_has_two_conflicts_may_have_to_stay_out() -> None:
    # by hand: 0 has the fewest conflicts and is in no largest set, for 3, 4, 5 and 6 go together
    pairs = [(0, 3), (0, 4), (1, 3), (2, 4), (1, 5), (2, 5), (1, 6), (2, 6)]
    assert largest_group(7, pairs, 7) == (3, 4, 5, 6)
    assert len(largest_group(7, pairs, 3)) == 3


@pytest.mark.parametrize(
    ("pairs", "cliques"),
    [
        # nobody against anybody; three in a ring; in a row; two pairs; a ring of four
        ([], 4),
        ([(0, 1), (1, 2), (0, 2)], 2),
        ([(0, 1), (1, 2)], 3),
        ([(0, 1), (2, 3)], 2),
        ([(0, 1), (1, 2), (2, 3), (0, 3)], 2),
        ([(a, b) for b in range(4) for a in range(b)], 1),
    ],
)
def test_no_group_is_larger_than_the_cliques_that_cover_it(
    pairs: list[tuple[int, int]], cliques: int
) -> None:
    against = [0] * 4
    for a, b in pairs:
        against[a] |= 1 << b
        against[b] |= 1 << a
    assert _bound(0b1111, against) == cliques
    assert len(largest_group(4, pairs, 4)) <= cliques
    assert _bound(0, against) == 0
    assert _bound(0b1000, against) == 1
    assert list(_members(0b1011)) == [0, 1, 3]
