"""States of kit and of the room that are judged together; the maker's manual."""

import json

import pytest

from app.checks.situations import in_each
from app.checks.snag import Severity, Snag
from app.library.kit import kit_types
from app.library.known import check_known
from app.model.base import json_of
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Opening
from app.model.versions import load
from app.published.register import all_rows
from app.published.retired import RETIRED
from app.scene.build import Scene, build_scene
from tests.builders import judge, make_plan, make_room, place, turned_plan


def plan_with(*pieces: Piece, situations: list[dict[str, object]]) -> Plan:
    plan = make_plan(*pieces, room=make_room(6000, 5000, 2500))
    return Plan.model_validate({**plan.model_dump(mode="json"), "situations": situations})


def coded(plan: Plan, code: str) -> list[Snag]:
    return [snag for snag in judge(plan) if snag.code.startswith(code)]


RUNNER = place("running-machine", 3000, 1000, piece_id="runner")
SHELF = place("shelving", 3000, 2300, piece_id="shelf")
FAR_SHELF = place("shelving", 3000, 4300, piece_id="shelf")
CAR = place("car", 3000, 2600, piece_id="car")
RACK = place("mid-rack", 3000, 900, piece_id="rack")


def test_a_folded_machine_needs_no_room_to_use() -> None:
    in_use: dict[str, object] = {"id": "use", "states": []}
    folded: dict[str, object] = {
        "id": "away",
        "label": "put away",
        "states": [{"id": "runner", "state": "folded"}],
    }
    assert coded(plan_with(RUNNER, SHELF, situations=[in_use]), "room-behind-the-belt")
    assert not coded(plan_with(RUNNER, SHELF, situations=[folded]), "room-behind-the-belt")


def test_what_is_wrong_in_one_situation_only_names_it() -> None:
    situations: list[dict[str, object]] = [
        {"id": "use", "label": "in use"},
        {"id": "away", "label": "put away", "states": [{"id": "runner", "state": "folded"}]},
    ]
    (snag,) = coded(plan_with(RUNNER, SHELF, situations=situations), "room-behind-the-belt")
    assert snag.severity == "stop"
    assert snag.situation == "in use"
    assert snag.sentence.endswith("(In use.)")


def test_what_is_wrong_in_every_situation_is_said_once_and_names_none() -> None:
    situations: list[dict[str, object]] = [{"id": "summer"}, {"id": "winter"}]
    (snag,) = coded(plan_with(RUNNER, SHELF, situations=situations), "room-behind-the-belt")
    assert snag.situation is None


def test_nothing_is_done_in_a_situation_in_which_nobody_trains() -> None:
    night: dict[str, object] = {"id": "night", "trains": False}
    away: dict[str, object] = {"id": "day", "states": [{"id": "runner", "state": "out"}]}
    assert not coded(plan_with(RUNNER, SHELF, situations=[night, away]), "room-")


def test_with_the_car_out_nothing_meets_it_and_with_it_in_the_rest_is_named() -> None:
    situations: list[dict[str, object]] = [
        {"id": "in", "label": "car in"},
        {"id": "out", "label": "car out", "states": [{"id": "car", "state": "out"}]},
    ]
    mat = place("mat-space", 5300, 1300, piece_id="mat")
    plan = plan_with(RUNNER, CAR, mat, situations=situations)
    (clash,) = coded(plan, "clash")
    assert clash.situation == "car in"
    (usable,) = coded(plan, "usable-with-car")
    assert "mat space" in usable.sentence
    assert "running machine" not in usable.sentence


def test_the_makers_manual_wins_where_it_asks_for_more() -> None:
    plan = plan_with(RUNNER, FAR_SHELF, situations=[])
    before = coded(plan, "room-behind-the-belt")
    asked = [{"space": "behind the belt", "least_mm": 2400}]
    pieces = [
        {**piece, "manual_mm": asked} if piece["id"] == "runner" else piece
        for piece in plan.model_dump(mode="json")["pieces"]
    ]
    (after,) = coded(
        Plan.model_validate({**plan.model_dump(mode="json"), "pieces": pieces}),
        "room-behind-the-belt",
    )
    assert before == []
    assert (after.severity, after.required) == ("stop", 2400)


def test_a_value_set_otherwise_for_the_plan_is_used() -> None:
    plan = plan_with(RACK, situations=[])
    low = Plan.model_validate(
        {
            **plan.model_dump(mode="json"),
            "room": {
                **plan.room.model_dump(mode="json"),
                "ceiling": {"planes": [{"id": "c", "height_mm": 2070}]},
            },
        }
    )
    assert [snag.severity for snag in coded(low, "stand-up")] == ["care"]
    override = {"id": "rack.stand-up-spare-mm", "value": 20, "reason": "it comes with a jack"}
    relaxed = Plan.model_validate({**low.model_dump(mode="json"), "overrides": [override]})
    assert coded(relaxed, "stand-up") == []


def test_a_value_that_is_no_longer_published_is_read_and_counts_for_nothing() -> None:
    # how the geometry samples was in the register once, and a household may have set it otherwise
    plan = plan_with(RACK, situations=[])
    keys = ("scene.card-grid", "unit.kilo", "arrange.rings", "cutting.solver-s", "survey.damping")
    old = [{"id": key, "value": 1, "reason": "as we thought then"} for key in keys]
    data = json.dumps({**plan.model_dump(mode="json"), "overrides": old})
    opened = load(data.encode())
    check_known(opened)
    assert {override.id for override in opened.overrides} == set(keys)
    assert judge(opened) == judge(plan)
    assert not RETIRED & {value.key for value in all_rows()}


def test_at_night_only_what_is_not_trained_at_needs_a_way() -> None:
    # a car of 2 x 4.3 m across a room of 4.6 m leaves 0.15 m beside it to what lies behind
    car = place("car", 2300, 2500, 90, piece_id="car")
    things = (place("mid-rack", 1200, 800, piece_id="rack"),
              place("chest-freezer", 3700, 400, piece_id="freezer"))  # fmt: skip
    door = Opening(id="d", wall="front", kind="hinged", offset_mm=500, width_mm=900,
                   height_mm=2000, way_out=True)  # fmt: skip
    room = make_room(4600, 5000, 2500, openings=[door])
    day = {"id": "day", "states": [{"id": "car", "state": "out"}]}
    night = {"id": "night", "trains": False}
    data = make_plan(car, *things, room=room).model_dump(mode="json")
    plan = Plan.model_validate({**data, "situations": [day, night]})
    barred = [snag for snag in judge(plan) if snag.code in ("no-way", "way-narrow")]
    assert [snag.names for snag in barred] == [("way on foot", "the chest freezer")]
    # trained in with the car in, the rack needs its way too
    both = Plan.model_validate({**data, "situations": [{**night, "trains": True}]})
    assert any("mid rack" in " ".join(s.names) or s.blocked for s in judge(both) if "way" in s.code)


@pytest.mark.parametrize("order", [("care", "stop"), ("stop", "care")])
def test_of_what_is_wrong_in_several_ways_the_worst_is_said(order: tuple[Severity, ...]) -> None:
    plan = plan_with(RUNNER, situations=[{"id": "summer"}, {"id": "winter"}])
    verdicts = iter(order)

    def of_the_season(_: Scene) -> tuple[Snag, ...]:
        return (Snag(code="room-a", severity=next(verdicts), template="Near.", pieces=("runner",)),)

    (snag,) = in_each(build_scene(plan), of_the_season)
    worst = ("summer", "winter")[order.index("stop")]
    assert (snag.severity, snag.situation) == ("stop", worst)


def test_where_nobody_trains_in_any_situation_the_room_as_drawn_is_trained_in() -> None:
    parked: dict[str, object] = {"id": "night", "label": "at night", "trains": False}
    (alone,) = coded(make_plan(RUNNER, SHELF, room=make_room(6000, 5000, 2500)), "room-behind-the")
    (snag,) = coded(plan_with(RUNNER, SHELF, situations=[parked]), "room-behind-the-belt")
    assert (snag.severity, snag.measured, snag.sentence) == ("stop", alone.measured, alone.sentence)
    # one of that very name is not taken for it
    away: dict[str, object] = {
        **parked,
        "id": "as-drawn",
        "states": [{"id": "shelf", "state": "out"}],
    }
    assert coded(plan_with(RUNNER, SHELF, situations=[away]), "room-behind-the-belt")
    trained = {**away, "trains": True}
    assert not coded(plan_with(RUNNER, SHELF, situations=[trained]), "room-behind-the-belt")


def test_a_car_that_is_in_where_nobody_trains_is_out_where_somebody_does() -> None:
    parked: dict[str, object] = {"id": "in", "label": "car in", "trains": False}
    mat = place("mat-space", 3000, 2600, piece_id="mat")
    assert coded(plan_with(mat, CAR, situations=[]), "room-on-the-mat")
    assert not coded(plan_with(mat, CAR, situations=[parked]), "room-on-the-mat")
    (clash,) = coded(plan_with(RUNNER, CAR, situations=[parked]), "clash")
    assert clash.situation == "car in"


@pytest.mark.parametrize("state", ["out", "folded"])
def test_what_is_away_whenever_somebody_trains_is_named(state: str) -> None:
    away: dict[str, object] = {"id": "away", "states": [{"id": "runner", "state": state}]}
    (note,) = coded(plan_with(RUNNER, CAR, situations=[away]), "never-used")
    assert (note.severity, note.pieces) == ("note", ("runner",))
    assert not coded(plan_with(RUNNER, CAR, situations=[away, {"id": "use"}]), "never-used")
    # the car is out while one trains, as it should be
    out: dict[str, object] = {"id": "use", "states": [{"id": "car", "state": "out"}]}
    assert not coded(plan_with(RUNNER, CAR, situations=[out]), "never-used")
    gone = [{"id": one, "state": "out"} for one in ("runner", "rack")]
    both: dict[str, object] = {"id": "away", "states": gone}
    (note,) = coded(plan_with(RUNNER, RACK, situations=[both]), "never-used")
    assert set(note.pieces) == {"runner", "rack"}
    unused: dict[str, object] = {"id": "use", "trains": False}
    assert coded(plan_with(RUNNER, situations=[away, unused]), "never-used")
    assert not coded(plan_with(RUNNER, situations=[unused]), "never-used")


@pytest.mark.parametrize("turn", [0, 29])
@pytest.mark.parametrize(("gap", "named"), [(450, True), (448, False), (0, False)])
def test_what_leaves_no_place_to_stand_beside_the_car_cannot_be_used(
    gap: float, named: bool, turn: float
) -> None:
    # a person needs 450: before a rack one steps out with the bar
    long = kit_types()["car"].depth_mm
    plan = make_plan(
        place("mid-rack", 3000, 800, piece_id="rack", bolted=True),
        place("mat-space", 6500, 1500, piece_id="mat"),
        place("car", 3000, 1425 + gap + long / 2, piece_id="car"),
        room=make_room(8000, 8000),
    )
    data = plan.model_dump() | {"situations": [{"id": "in", "label": "car in"}]}
    (usable,) = coded(turned_plan(Plan.model_validate(data), turn), "usable-with-car")
    assert ("mid rack" in usable.sentence) == named
    assert "mat space" in usable.sentence


def of_use(*pieces: Piece, turned: float = 0, wish: str = "want", **more: object) -> list[Snag]:
    wishes = [{"movement": movement, "wish": wish} for movement in ("run", "walk")]
    people = [{"id": "a", "stature_mm": 1750, "wishes": wishes}]
    data = make_plan(*pieces, room=make_room(6000, 5000, 2500)).model_dump(mode="json")
    plan = Plan.model_validate({**data, "people": people, **more})
    said = judge(turned_plan(plan, turned) if turned else plan)
    return [snag for snag in said if snag.situation == "running machine in use"]


FOLDED = Piece.model_validate({**json_of(RUNNER), "state": "folded"})


@pytest.mark.parametrize("turned", [0, 30])
def test_what_is_drawn_folded_is_judged_in_use_too(turned: float) -> None:
    # folded 850 x 1050, in use 1850 long: the shelf is where the belt comes down, or behind it
    shelf = place("shelving", 3000, 1800, 180, piece_id="shelf")
    meets = of_use(FOLDED, shelf, turned=turned)
    assert ("clash", "stop") in {(snag.code, snag.severity) for snag in meets}
    assert all(snag.sentence.endswith("(Running machine in use.)") for snag in meets)
    behind = of_use(FOLDED, SHELF, turned=turned)
    assert [snag.severity for snag in behind if snag.code == "room-behind-the-belt"] == ["stop"]
    far = of_use(FOLDED, FAR_SHELF, turned=turned)
    assert not [snag for snag in far if snag.code in ("clash", "room-behind-the-belt")]


def test_what_nobody_uses_or_some_situation_uses_is_not_judged_in_use_besides() -> None:
    assert of_use(FOLDED, SHELF, wish="no") == []
    assert of_use(RUNNER, SHELF) == []
    out = {"id": "day", "states": [{"id": "runner", "state": "out"}]}
    assert of_use(FOLDED, SHELF, situations=[out]) == []
    night = {"id": "night", "label": "Night", "trains": False}
    assert of_use(FOLDED, SHELF, situations=[night, {"id": "day"}]) != []


def test_what_a_thing_in_use_costs_others_is_left_to_them() -> None:
    # common practice, no source: what is folded whenever the shelf is wanted is not in its way
    front = place("shelving", 4300, 2000, 90, piece_id="shelf")
    assert all(snag.pieces[0] != "shelf" for snag in of_use(FOLDED, front) if snag.code != "clash")


def test_a_machine_that_is_drawn_folded_is_the_one_that_is_run_on() -> None:
    # without one in the plan a deck of 200 is taken: 1750 + 100 + 200 is over 2000, on 120 it goes
    def judged(*pieces: Piece) -> dict[tuple[str, ...], Severity]:
        data = make_plan(*pieces, room=make_room(6000, 5000, 2000)).model_dump(mode="json")
        wishes = [{"movement": "run", "wish": "want"}, {"movement": "walk", "wish": "no"}]
        people = [{"id": "a", "stature_mm": 1750, "wishes": wishes}]
        said = judge(Plan.model_validate({**data, "people": people}))
        return {snag.pieces: snag.severity for snag in said if snag.code == "headroom"}

    low = Piece.model_validate({**json_of(FOLDED), "deck_mm": 120, "grade_percent": 0})
    assert judged() == {(): "stop"}
    assert judged(low) == {("runner",): "care"}
