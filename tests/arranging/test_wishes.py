"""Wishes: what they say, how far a layout fulfils them, and what is said at once."""

import pytest

from app.arranging.arrange import ArrangeError, ready
from app.arranging.problem import Problem, Task
from app.arranging.typed_wish import WishError, typed_wish
from app.arranging.wishes import MET_SHARE, Wish, faults, share_of, words_of
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.arranging.hand_made import sample
from tests.arranging.test_search import searched
from tests.builders import make_plan, make_room, place

ROOM = make_room(5000, 4000)
LEFT, BACK = (f"wall:{ROOM.walls[k].id}" for k in (3, 0))
FACES = Wish("bike", "faces", "piece:screen")


def lounge(bike_turn: float = 0, bike_x: float = 2500, bike_y: float = 2500) -> Plan:
    """A bike that looks to the wall y = 0 at turn 0, and a screen in its middle."""
    return make_plan(
        place("bike", bike_x, bike_y, bike_turn, piece_id="bike"),
        place("screen", 2500, 30, piece_id="screen", stays=True),
        room=ROOM,
    )


def share(wish: Wish, plan: Plan) -> float:
    found = share_of(wish, build_scene(plan))
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("turn", "least", "most"),
    # 30 degrees beside it is sight enough, 90 and more is not, and evenly between
    [(0, 1, 1), (29.9, 1, 1), (60, 0.49, 0.51), (90, 0, 0.01), (180, 0, 0)],
)
def test_facing_is_by_the_angle(turn: float, least: float, most: float) -> None:
    assert least <= share(FACES, lounge(turn)) <= most


def test_near_and_far_are_by_the_outline() -> None:
    near, far = Wish("bike", "near", LEFT), Wish("bike", "far", LEFT)
    half = build_scene(lounge()).placed["bike"].extent.width_mm / 2
    # near up to 1200, not at 4000; far from 2000 on
    for off, shares in (
        (1200, (1, 0.6)),
        (2000, (1 - 800 / 2800, 1)),
        (3000, (1 - 1800 / 2800, 1)),
    ):
        plan = lounge(bike_x=half + off)
        assert (share(near, plan), share(far, plan)) == pytest.approx(shares)


def test_a_back_is_at_the_wall_it_has_behind_it() -> None:
    wish = Wish("bike", "at", BACK)
    deep = build_scene(lounge()).placed["bike"].extent.depth_mm / 2
    assert share(wish, lounge(bike_y=deep + 100)) == 1
    assert share(wish, lounge(180, bike_y=4000 - deep - 100)) == 0


def test_the_highest_part_is_the_high_wall_of_a_slope() -> None:
    plan = sample("single-garage")  # 2050 at x = 0, 2750 at x = 2700
    wish = Wish("rack-1", "highest")
    low, high = (
        share(wish, plan.model_copy(update={"pieces": tuple(_at(plan, x))})) for x in (700, 1990)
    )
    assert low < high
    assert share(Wish("bike", "highest"), lounge()) == 1


def _at(plan: Plan, x: float) -> list[object]:
    turned = {"x_mm": x, "y_mm": 2000.0, "angle_deg": 90.0}
    return [
        piece.model_copy(update={"pose": piece.pose.model_copy(update=turned)})
        if piece.id == "rack-1"
        else piece
        for piece in plan.pieces
    ]


def test_what_is_not_there_is_no_wish_any_more() -> None:
    assert share_of(Wish("rower", "near", LEFT), build_scene(lounge())) is None


@pytest.mark.parametrize(
    ("wishes", "words"),
    [
        ((Wish("bike", "near", LEFT), Wish("bike", "far", LEFT)), "contradict one another"),
        (
            (Wish("bike", "near", "piece:screen"), Wish("screen", "far", "piece:bike")),
            "contradict one another",
        ),
        ((Wish("bike", "at", LEFT), Wish("bike", "at", BACK)), "contradict one another"),
        ((Wish("bike", "at", LEFT), Wish("bike", "far", LEFT)), "contradict one another"),
        ((Wish("rower", "near", LEFT),), "no such piece"),
        (
            (Wish("bike", "near"),),
            "^“upright bike near …”: choose a piece, a wall, a door or a window of this room",
        ),
        ((Wish("bike", "far", "piece:gone"),), "“upright bike far from the gone”: choose a piece"),
        ((Wish("bike", "near", "piece:bike"),), "cannot stand by itself"),
        ((Wish("bike", "at", "piece:screen"),), "a back goes to a wall"),
        ((Wish("screen", "far", BACK),), "neither of the two may move"),
    ],
)
def test_what_cannot_be_wished_is_said_at_once(wishes: tuple[Wish, ...], words: str) -> None:
    with pytest.raises(ArrangeError, match=words):
        ready(Task(lounge(), wishes=wishes))


def test_what_can_be_wished_together_is_not_refused() -> None:
    problem = Problem(Task(lounge()))
    wishes = (FACES, Wish("bike", "near", LEFT), Wish("bike", "far", BACK))
    assert list(faults(wishes, problem.scene, problem.free)) == []
    assert words_of(FACES, problem.scene) == "upright bike faces the wall screen"


@pytest.mark.parametrize("target", [LEFT, BACK])
def test_layouts_follow_wishes(target: str) -> None:
    wish = Wish("bike", "at", target)
    plan = lounge(bike_x=3500)
    search = searched(plan, 12, task=Task(plan, wishes=(wish,)))
    best = search.layouts.best
    assert best is not None
    met = share_of(wish, search.problem.at(best.poses))
    assert met is not None
    assert met >= MET_SHARE


@pytest.mark.parametrize(
    ("text", "wish"),
    [
        ("The bike faces the screen.", FACES),
        ("upright bike is near the left wall", Wish("bike", "near", LEFT)),
        ("bike far from screen", Wish("bike", "far", "piece:screen")),
        ("bike against the back wall", Wish("bike", "at", BACK)),
        ("bike under the highest part", Wish("bike", "highest")),
    ],
)
def test_a_wish_is_read_as_people_say_it(text: str, wish: Wish) -> None:
    assert typed_wish(text, build_scene(lounge())) == wish


def test_the_party_wall_is_the_one_that_is_shared() -> None:
    room = make_room(5000, 4000)
    walls = tuple(w.model_copy(update={"shared": w.id == "left"}) for w in room.walls)
    plan = lounge().model_copy(update={"room": room.model_copy(update={"walls": walls})})
    wish = typed_wish("bike far from the party wall", build_scene(plan))
    assert wish == Wish("bike", "far", LEFT)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("bike dances", "is no wish that is understood"),
        ("rower near the door", "^“rower near the door”: there is no “rower” in this room.$"),
        ("bike near the spaceship", "^“bike near the spaceship”: there is no “the spaceship” in"),
        ("bike near", "^“bike near”: add a piece, a wall, a door or a window of this room.$"),
        ("Bike faces the.", "^“Bike faces the.”: add a piece"),
        ("bike at wall", "^“bike at wall”: “wall” may be any of: wall screen"),
        ("bike far from the party wall", "there is no “the party wall”"),
    ],
)
def test_what_is_not_understood_is_said(text: str, words: str) -> None:
    with pytest.raises(WishError, match=words):
        typed_wish(text, build_scene(lounge()))
