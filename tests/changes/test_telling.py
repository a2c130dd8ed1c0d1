"""What changed, as a person would say it."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.changes.commands import (
    Change,
    Command,
    adds,
    apply,
    edits,
    moves,
    wishes,
)
from app.changes.difference import difference
from app.changes.telling import tell
from app.model.base import json_of
from app.model.kit import Piece, Pose
from app.model.plan import Plan, Settled
from tests.changes.test_commands import PLAN, commands
from tests.commands import removes, settles

NAMES = {"rack-1": "Rack", "bar-1": "Bar", "bag-2": "Bag", "ada": "Ada", "bo": "Bo"}


def told(command: Command, units: Any = "metric") -> tuple[str, ...]:
    return tell(command.changes, NAMES, units)


def to(**poses: tuple[float, float, float]) -> Command:
    return moves(
        PLAN,
        {
            key.replace("_", "-"): Pose(x_mm=x, y_mm=y, angle_deg=a)
            for key, (x, y, a) in poses.items()
        },
    )


@pytest.mark.parametrize(
    ("pose", "phrase"),
    [
        ((760, 900, 0), "Rack moved 240 mm left"),
        ((1240, 900, 0), "Rack moved 240 mm right"),
        ((1000, 850, 0), "Rack moved 50 mm to the back"),
        ((1000, 2100, 0), "Rack moved 1.20 m to the front"),
        ((900, 1000, 0), "Rack moved 100 mm left and 100 mm to the front"),
        ((1000, 900, 90), "Rack turned by 90°"),
        ((1000, 900, 270), "Rack turned by 90° to the left"),
        ((1240, 900, 15), "Rack moved 240 mm right, turned by 15°"),
        ((1000.3, 900, 0), "Rack moved by less than a millimetre"),
    ],
)
def test_a_move_is_told_as_it_is_seen(pose: tuple[float, float, float], phrase: str) -> None:
    assert told(to(rack_1=pose)) == (phrase,)


def test_what_moves_alike_is_told_once() -> None:
    station = to(rack_1=(760, 900, 0), bar_1=(760, 900, 0), bag_2=(3000, 1000, 0))
    assert told(station) == ("Rack and Bar moved 240 mm left", "Bag moved 900 mm to the back")


def test_feet_and_inches() -> None:
    # 254 mm are 10 inches.
    assert told(to(rack_1=(746, 900, 0)), "feet") == ('Rack moved 10" left',)


def test_coming_going_and_many_at_once() -> None:
    bags = [Piece(id=f"bag-{n}", type="bag", pose=Pose(x_mm=n, y_mm=0)) for n in range(20, 26)]
    assert told(adds(bags)) == ("Bag 20, bag 21, bag 22 and 3 more added",)
    assert told(removes(PLAN, ["rack-1"])) == ("Rack removed", "Bar is on its own")


@pytest.mark.parametrize(
    ("command", "phrase"),
    [
        (edits(PLAN, "bag-2", width_mm=400), "Bag: width not given, now 400 mm"),
        (edits(PLAN, "bag-2", price_minor=12_900), "Bag: price not given, now €129.00"),
        (edits(PLAN, "bag-2", label="Old one"), "Bag is now called “Old one”"),
        (edits(PLAN, "bag-2", pinned=True), "Bag pinned down"),
        (edits(PLAN, "bag-2", carried_by="rack-1"), "Bag now belongs to Rack"),
        (wishes(PLAN, "ada", pull_up="want"), "Ada wants pull up"),
        (wishes(PLAN, "bo", pull_up=None), "Bo no longer says anything of pull up"),
        (
            Command(name="rename", changes=(Change(path=("name",), before="Room", after="Gym"),)),
            "Renamed “Gym”",
        ),
    ],
)
def test_a_field_is_told_by_its_name(command: Command, phrase: str) -> None:
    assert told(command) == (phrase,)


def test_kit_that_is_exchanged_is_told_by_both_names() -> None:
    (change,) = edits(PLAN, "bag-2", type="bike").changes
    names = {f"type {change.before}": "Hung bag", "type bike": "Upright bike"}
    assert tell((change,), names) == ("Hung bag exchanged for upright bike",)


def test_the_room_is_told_by_its_parts() -> None:
    data = json_of(PLAN)
    data["room"]["ceiling"]["planes"][0]["height_mm"] = 2310
    door = {
        "id": "door",
        "wall": "back",
        "kind": "hinged",
        "offset_mm": 100,
        "width_mm": 800,
        "height_mm": 2000,
        "label": "Garden door",
    }
    data["room"]["openings"] = [door]
    data["room"]["walls"][0]["x_mm"] = -50
    command = difference(PLAN, Plan.model_validate(data), "room")
    assert command is not None
    assert set(told(command)) == {
        "Ceiling 2.40 m, now 2.31 m",
        "Doors and windows: Garden door added",
        "Walls: wall A changed",
    }


def test_settling_is_told_with_its_reason() -> None:
    from datetime import date

    settled = Settled(id="a|b", reason="We looked.", on=date(2026, 3, 14))
    assert told(settles(PLAN, settled)) == ("A snag settled: “We looked.”",)


@given(st.data())
def test_every_change_is_told_in_short_words(data: st.DataObject) -> None:
    after = apply(PLAN, data.draw(commands(PLAN)))
    command = difference(PLAN, after, "edit")
    phrases = () if command is None else told(command)
    assert bool(phrases) == (after != PLAN)
    assert all(0 < len(phrase) < 400 and "\n" not in phrase for phrase in phrases)


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=6,
)
HEADS = st.sampled_from(["pieces", "people", "settled", "room", "name", "money", "x"])
TAILS = st.lists(st.sampled_from(["rack-1", "pose", "wishes", "ceiling", "label", "y"]), max_size=5)


@given(HEADS, TAILS, JSON, JSON)
def test_whatever_the_log_holds_is_told_somehow(
    head: str, tail: list[str], before: Any, after: Any
) -> None:
    phrases = tell([Change(path=(head, *tail), before=before, after=after)], NAMES)
    assert all(phrases)


def test_a_floor_that_is_laid_is_told_piece_by_piece() -> None:
    path = ("fit_out", "floors", "mats")
    pieces = [{"id": "1", "down": False}, {"id": "2", "down": True}]
    laid = [{"id": "1", "down": True}, {"id": "2", "down": False}]

    def phrases(field: str, before: Any, after: Any) -> tuple[str, ...]:
        change = Change(path=(*path, field), before=before, after=after)
        return tell((change,), NAMES, "metric")

    assert phrases("laid", pieces, laid) == ("Floor: piece 1 laid, piece 2 taken up",)
    five = [{"id": str(n), "down": True} for n in range(5)]
    assert phrases("laid", [], five) == ("Floor: 5 pieces laid",)
    assert phrases("laid", pieces, pieces[:1] + pieces[1:]) == (
        "Floor: what is left is planned anew",
    )
    assert phrases("spoiled", [], [{}]) == ("Floor: a piece spoiled",)
    assert phrases("begun", None, {}) == ("Floor: begun to lay",)
    assert phrases("name", "a", "b") == ("Fit-out changed",)


def test_works_are_told_by_what_was_done() -> None:
    data = json_of(PLAN)
    data["works"]["tasks"] = [{"id": "wall-coat-1", "done_on": "2027-05-08", "done_hours": 5}]
    data["works"]["stored"] = [{"id": "box", "label": "Boxes", "width_mm": 900, "depth_mm": 600}]
    data["works"]["starts_on"] = "2027-04-03"
    command = difference(PLAN, Plan.model_validate(data), "edit")
    assert command is not None
    assert set(told(command)) == {
        "Wall coat 1 done on 8 May 2027",
        "Wall coat 1 took 5 h",
        "Things that stand in the room: “Boxes” added",
        "Works start on 3 April 2027",
    }
    after = Plan.model_validate(data)
    data["works"]["tasks"] = []
    gone = difference(after, Plan.model_validate(data), "edit")
    assert gone is not None
    assert told(gone) == ("Task wall coat 1 is as the plan makes it",)


def whole(*path: str, before: Any, after: Any) -> tuple[str, ...]:
    return tell([Change(path=path, before=before, after=after)], NAMES)


@pytest.mark.parametrize(
    ("path", "before", "after", "phrases"),
    [
        (
            ("room", "fabric"),
            {"whose": "unknown", "may_drill": "unknown", "heard_by": "nobody"},
            {"whose": "own", "may_drill": "yes", "heard_by": "nobody"},
            (
                "Whose house it is: not said, now ours",
                "Walls and ceiling may be drilled: not said, now yes",
            ),
        ),
        (("works", "full"), "unknown", "half", ("The room is half full today",)),
        (
            ("money",),
            {"prices": [], "entries": [], "budget_minor": None},
            {
                "prices": [{"id": "batten-1500", "minor": 2900}],
                "entries": [{"id": "piece.rack-1", "standing": "bought", "later": None}],
                "budget_minor": 150_000,
            },
            (
                "Batten 1500: price: not said, now €29.00",
                "Rack: status: not said, now paid",
                "What may be spent: not said, now €1,500.00",
            ),
        ),
        (
            ("room", "floor"),
            {"construction": "unknown", "planes": []},
            {"construction": "slab-on-ground", "planes": []},
            ("Floor: made of: not said, now slab on ground",),
        ),
        (
            ("room", "walls"),
            [{"id": "left", "x_mm": 0}, {"id": "back", "x_mm": 0, "photos": [], "colour": ""}],
            [
                {"id": "left", "x_mm": 0},
                {"id": "back", "x_mm": 0, "photos": ["a"], "colour": "red"},
            ],
            ("Wall B: photos added", "Wall B: colour: not said, now red"),
        ),
        (
            ("room", "openings"),
            [{"id": "door", "kind": "hinged", "width_mm": 800}],
            [{"id": "door", "kind": "hinged", "width_mm": 838}],
            ("Door: width: 800 mm, now 838 mm",),
        ),
        (("fit_out",), {"paint": []}, {"paint": [{"id": "paint-1"}]}, ("Paint added",)),
    ],
)
def test_what_is_kept_whole_is_told_by_what_differs_in_it(
    path: tuple[str, ...], before: Any, after: Any, phrases: tuple[str, ...]
) -> None:
    assert whole(*path, before=before, after=after) == phrases


def test_things_of_one_name_are_counted_and_a_door_comes_before_the_turn_it_makes() -> None:
    bikes = [
        Change(path=("pieces", f"bike-{n}"), before=None, after={"id": f"bike-{n}"}) for n in (1, 2)
    ]
    assert tell(bikes, {"bike-1": "Stored bicycle", "bike-2": "Stored bicycle"}) == (
        "Two stored bicycles added",
    )
    door: dict[str, Any] = {"id": "opening-1", "kind": "tracks", "label": ""}
    turned = Change(path=("quarter_turns",), before=0, after=3)
    opened = Change(path=("room", "openings"), before=[], after=[door])
    assert tell([turned, opened], NAMES) == (
        "Doors and windows: garage door added",
        "Drawing turned by a quarter or more",
    )
