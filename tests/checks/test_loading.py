"""A place to stand at each sleeve of a racked bar, and room between the ends of two bars.

450 x 450 at each sleeve is common practice, no source; 914 between two bars is the NSCA's 36 in.
"""

import pytest

from app.checks.loading import loading
from app.checks.snag import Snag
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Column
from app.scene.build import build_scene
from tests.builders import column, found, make_plan, make_room, place, rectangle, turned_plan
from tests.layouts import good_layout


def station(x: float = 2500, y: float = 2500, name: str = "rack") -> tuple[Piece, ...]:
    """A rack 1220 x 1250 and a bar 2200 long, its line 513 before the rack's middle."""
    return (
        place("mid-rack", x, y, piece_id=name),
        place("bar-20", x, y + 513, piece_id=f"{name}-bar", carried_by=name),
    )


def test_a_free_rack_and_an_empty_room_say_nothing() -> None:
    assert found(make_plan(*station()), "room-to-load") == []
    assert found(make_plan(), "room-to-load") == []
    assert found(good_layout(), "room-to-load") == []


def test_a_bar_that_is_out_of_the_room_for_a_while_is_loaded_nowhere() -> None:
    rack, bar = station(700)
    out = {"id": "swept", "states": [{"id": bar.id, "state": "out"}]}
    swept = Plan.model_validate(dict(make_plan(rack, bar)) | {"situations": [out]})
    assert found(make_plan(rack, bar), "outside") != []
    assert found(swept, "room-to-load") == found(make_plan(rack), "room-to-load")


def boxed(gap: float, x: float = 2500, width: float = 1400) -> list[Piece]:
    """Shelves before and behind the left sleeve, so far from the plates of the bar."""
    line, left = 3013, x - 1100
    return [
        place("shelving", left, line + 225 + gap + 200, piece_id="a", width=width, depth=400),
        place("shelving", left, line - 225 - gap - 200, piece_id="b", width=width, depth=400),
    ]


@pytest.mark.parametrize(("gap", "count"), [(450, 0), (449, 0), (435, 1), (300, 1)])
def test_shelves_before_and_behind_a_sleeve(gap: float, count: int) -> None:
    plan = make_plan(*station(), *boxed(gap), room=make_room(6000, 6000))
    snags = found(plan, "room-to-load")
    assert [snag.severity for snag in snags] == ["care"] * count
    for snag in snags:
        assert snag.pieces == ("rack-bar",)
        assert "at the left one the shelving is before, the shelving behind" in snag.sentence
        assert "right" not in snag.sentence
        assert "450 x 450" in snag.sentence


# The bar of 2200 ends at x = 1400; its sleeves are 415. Squares of 450 lie from 1175 to 1625 (over
# the end), 1365 to 1815 (in at the sleeve) and 1382.5 to 1832.5 (over its middle).
@pytest.mark.parametrize(
    ("left", "right", "count"),
    [
        (1625, 2500, 0),  # the square over the end is free
        (1605, 2500, 1),
        (0, 1383, 0),  # the one over the middle, but for half a millimetre
        (0, 1395, 1),
    ],
)
def test_what_stands_beside_a_square_leaves_it_free(left: float, right: float, count: int) -> None:
    beside = place("shelving", (left + right) / 2, 3438, width=right - left, depth=400)
    plan = make_plan(*station(), boxed(100)[1], beside, room=make_room(6000, 6000))
    assert len(found(plan, "room-to-load")) == count


@pytest.mark.parametrize("covering", [0, 20])
def test_what_is_stepped_over_is_no_matter(covering: float) -> None:
    # mats 40 high before and behind both sleeves: 50 above what lies on the floor are stepped over
    mats = [
        place("mat-space", x, y, piece_id=f"m{x}{y}", width=1400, depth=400, height=40)
        for x in (1400, 3600)
        for y in (3013 + 225 + 300, 3013 - 225 - 300)
    ]
    plan = make_plan(*station(), *mats, room=make_room(6000, 6000, covering=covering))
    assert found(plan, "room-to-load") == []


@pytest.mark.parametrize(("bottom", "count"), [(2030, 0), (2029.5, 0), (2027, 1)])
def test_what_hangs_above_heads_is_in_nobodys_way(bottom: float, count: int) -> None:
    # 2030 over a way, as 80 in are printed: ADA Standards (2010), 307.4
    # a panel 30 thick that hangs over all of the place before the sleeve
    panel = place("radiant-panel", 1400, 3013 + 525, width=1400, depth=400, height=bottom + 30)
    plan = make_plan(*station(), boxed(100)[1], panel, room=make_room(6000, 6000))
    assert len(found(plan, "room-to-load")) == count


def test_one_of_the_two_is_enough() -> None:
    plan = make_plan(*station(), boxed(100)[0], room=make_room(6000, 6000))
    assert found(plan, "room-to-load") == []


@pytest.mark.parametrize("angle", [37, 90, 211])
def test_turning_everything_changes_nothing(angle: float) -> None:
    plan = make_plan(*station(), *boxed(300), room=make_room(6000, 6000))
    turned = turned_plan(plan, angle, (700, -300))
    assert [s.key for s in found(turned, "room-to-load")] == [
        s.key for s in found(plan, "room-to-load")
    ]


@pytest.mark.parametrize(
    ("gap", "measured"),
    [(914, None), (913.6, None), (913, 913), (900, 900), (301, 301), (290, None)],
)
def test_ends_of_two_bars(gap: float, measured: int | None) -> None:
    # nearer than 300 the room beyond each end says it
    plan = make_plan(
        *station(1500), *station(1500 + 2200 + gap, name="other"), room=make_room(8000, 5000)
    )
    snags = found(plan, "bar-ends-apart")
    assert [(s.severity, s.measured) for s in snags] == (
        [] if measured is None else [("note", measured)]
    )


def test_of_a_sleeve_inside_the_wall_only_that_is_said() -> None:
    plan = make_plan(*station(1000), *boxed(100, 1000, 1800), room=make_room(6000, 6000))
    codes = {snag.code for snag in found(plan, "") if "rack-bar" in snag.pieces}
    assert "outside" in codes
    assert "room-to-load" not in codes


@pytest.mark.parametrize(("way", "name"), [(-1, "left"), (1, "right")])
def test_each_sleeve_is_looked_at_by_itself(way: int, name: str) -> None:
    # a room so narrow that the other sleeve lies in its wall, 100 deep: of this one it is told
    x = 1000 if way > 0 else 4000
    end = x + way * 1100
    shelves = [
        place("shelving", end, 3013 + side * (225 + 100 + 200), piece_id=f"s{side}", width=1300,
              depth=400)
        for side in (-1, 1)
    ]  # fmt: skip
    (snag,) = found(make_plan(*station(x), *shelves, room=make_room(5000, 6000)), "room-to-load")
    assert snag.sentence.startswith(
        f"Nowhere to stand and put plates on: at the {name} one the shelving is before"
    )


def test_both_sleeves_are_told_in_one_row() -> None:
    shelves = [
        place("shelving", 2500, 3013 + side * (225 + 100 + 200), piece_id=f"s{side}", width=4000,
              depth=400)
        for side in (-1, 1)
    ]  # fmt: skip
    (snag,) = found(make_plan(*station(), *shelves, room=make_room(6000, 6000)), "room-to-load")
    assert (
        "at the left one the shelving is before, the shelving behind, at the right" in snag.sentence
    )
    assert snag.where == (2500, 3013)


def test_a_bar_on_the_floor_and_one_on_a_folded_rack_are_not_loaded_there() -> None:
    rack, bar = station()
    room = make_room(6000, 6000)
    down = bar.model_copy(update={"on_floor": True})
    assert found(make_plan(rack, bar, *boxed(100), room=room), "room-to-load")
    assert found(make_plan(rack, down, *boxed(100), room=room), "room-to-load") == []


@pytest.mark.parametrize("angle", [0, 90, 37])
@pytest.mark.parametrize(
    ("aside", "told"),
    # ends that lie abreast by less than 450 face one another (common practice, no source)
    [(0, True), (440, True), (-440, True), (460, False), (-460, False)],
)
def test_ends_that_do_not_face_one_another_are_no_matter(
    aside: float, told: bool, angle: float
) -> None:
    room = make_room(9000, 6000)
    plan = make_plan(*station(1500), *station(4200, 2500 + aside, name="other"), room=room)
    snags = found(turned_plan(plan, angle), "bar-ends-apart")
    assert [snag.measured for snag in snags] == [500] * told


def test_of_three_bars_the_nearest_two_are_named() -> None:
    bars = [*station(1500, name="a"), *station(4400, name="b"), *station(7200, name="c")]
    (snag,) = found(make_plan(*bars, room=make_room(9000, 6000)), "bar-ends-apart")
    assert (snag.pieces, snag.measured) == (("b-bar", "c-bar"), 600)
    assert snag.sentence == (
        "600 mm between the ends of the two bars; 914 let two people load at once."
    )


LINE, END = 3013, 1400
"""Where the bar of the station lies, and its left end; it hangs above the floor in its rack."""


def block(x0: float, y0: float, x1: float, y1: float, name: str, height: float = 2000) -> Piece:
    middle = (x0 + x1) / 2, (y0 + y1) / 2
    return place(
        "shelving", *middle, piece_id=name, width=x1 - x0, depth=y1 - y0, height=height, label=name
    )


BEHIND = block(700, LINE - 725, 2100, LINE - 325, "behind")
BEFORE = block(700, LINE + 325, 2100, LINE + 725, "before")


def told(*pieces: Piece, columns: tuple[Column, ...] = ()) -> list[str]:
    room = make_room(6000, 6000, columns=columns)
    snags: list[Snag] = list(loading(build_scene(make_plan(*station(), *pieces, room=room))))
    assert {snag.code for snag in snags} <= {"room-to-load"}
    return [snag.sentence.split(": ")[1].split(". Allow")[0] for snag in snags]


BOTH = ["at the left one the before is before, the behind behind"]


@pytest.mark.parametrize(
    ("gap", "low", "high", "shut"),
    [
        # from which no plate of 95 comes off with the fingers, the room beyond the end tells: 150
        (148.6, -60, 60, True),
        (149.4, -60, 60, False),
        (20, -60, 60, True),
        # beside the line of the bar, as wide as one stands: 225 to either side
        (20, 100, 300, True),
        (20, -300, -100, True),
        (20, 160, 300, True),
        (20, -300, -160, True),
        (20, 226, 300, False),
        (20, -300, -226, False),
    ],
)
def test_of_a_sleeve_from_which_no_plate_comes_off_the_room_beyond_tells(
    gap: float, low: float, high: float, shut: bool
) -> None:
    beyond = block(END - gap - 300, LINE + low, END - gap, LINE + high, "beyond")
    assert told(BEFORE, BEHIND, beyond) == ([] if shut else BOTH)


@pytest.mark.parametrize("low", [-220, 170])
@pytest.mark.parametrize("gap", [10, 100])
def test_a_post_anywhere_beyond_a_sleeve_shuts_it_in(gap: float, low: float) -> None:
    post = block(END - gap - 40, LINE + low, END - gap, LINE + low + 50, "post")
    assert told(BEFORE, BEHIND, post) == []


@pytest.mark.parametrize(("under", "shut"), [(224, True), (226, False), (10, True)])
def test_what_ends_under_the_plates_shuts_nobody_in(under: float, shut: bool) -> None:
    # plates of 450 on the bar, which rests no lower than 1000
    low = block(END - 320, LINE - 60, END - 20, LINE + 60, "low", 1000 - under)
    assert told(BEFORE, BEHIND, low) == ([] if shut else BOTH)


@pytest.mark.parametrize(("over", "shut"), [(224, True), (226, False)])
def test_what_hangs_above_the_plates_shuts_nobody_in(over: float, shut: bool) -> None:
    # the same plates, and the bar rests no higher than 1500; a panel 30 thick
    bottom = 1500 + over
    panel = place("radiant-panel", END - 170, LINE, width=300, depth=120, height=bottom + 30)
    assert told(BEFORE, BEHIND, panel) == ([] if shut else BOTH)


def test_who_stands_clear_of_the_plates_has_what_is_under_them_beside_him() -> None:
    # between the line and 225 off it, where the plates are
    under = block(700, LINE + 20, 2100, LINE + 215, "under", 600)
    assert told(BEHIND, under) == []
    reaching = block(700, LINE + 20, 2100, LINE + 240, "under", 600)
    assert told(BEHIND, reaching) == ["at the left one the under is before, the behind behind"]


def test_what_stands_over_the_middle_of_the_sleeve_is_named() -> None:
    # squares from 1382 to 1832, from 1365 to 1815 and from 1175 to 1625: the one at 1700 is in the
    # first two, the other in the last alone
    first = block(1690, LINE + 300, 1800, LINE + 500, "first")
    last = block(1180, LINE + 300, 1280, LINE + 500, "last")
    words = ["at the left one the first is before, the behind behind"]
    assert told(BEHIND, first, last) == words
    swapped = (first.model_copy(update={"id": "z"}), last.model_copy(update={"id": "a"}))
    assert told(BEHIND, *swapped) == words
    assert told(BEHIND, first) == told(BEHIND, last) == []


def test_one_fixed_thing_on_both_sides_is_said_once() -> None:
    round_it = (
        *((700, LINE - 600), (2000, LINE - 600), (2000, LINE - 300), (1000, LINE - 300)),
        *((1000, LINE + 300), (2000, LINE + 300), (2000, LINE + 600), (700, LINE + 600)),
    )
    assert told(columns=(column(round_it),)) == ["at the left one the column is in the way"]
    two = tuple(
        column(rectangle(700, y, 2000, y + 300), name).model_copy(update={"label": name})
        for name, y in (("post", LINE - 600), ("pier", LINE + 300))
    )
    (apart,) = told(columns=two)
    assert "pier is before" in apart
    assert "post behind" in apart


def test_beyond_the_room_nobody_stands() -> None:
    # 225 for the plates and 450 to stand: 674 to the back wall are no place, 676 are
    for depth, count in ((674, 1), (676, 0)):
        y = depth - 513
        pieces = (*station(2500, y), block(700, depth + 325, 2100, depth + 725, "before"))
        snags = list(loading(build_scene(make_plan(*pieces, room=make_room(6000, 6000)))))
        assert len(snags) == count


def test_a_pair_that_does_not_face_hides_no_other() -> None:
    aside = station(4200, 4500, name="b")
    pieces = (*station(1500, name="a"), *aside, *station(4300, name="c"))
    scene = build_scene(make_plan(*pieces, room=make_room(9000, 7000)))
    (snag,) = loading(scene)
    assert (snag.pieces, snag.measured) == (("a-bar", "c-bar"), 600)


def test_a_sleeve_that_is_shut_in_hides_nothing_of_the_other() -> None:
    beyond = block(END - 320, LINE - 60, END - 20, LINE + 60, "beyond")
    right = [
        block(2900, LINE + y, 4300, LINE + y + 400, name)
        for y, name in ((-725, "rear"), (325, "front"))
    ]
    assert told(BEFORE, BEHIND, beyond, *right) == [
        "at the right one the front is before, the rear behind"
    ]
