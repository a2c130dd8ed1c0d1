"""Children, animals, and a garage door as the only way out. Common practice, no source."""

import pytest

from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import build_scene
from app.works.asking import to_ask
from tests.builders import found, judge, make_person, make_plan, make_room, place, turned_plan


def lived_in(said: str, *pieces: Piece) -> Plan:
    data = make_plan(*pieces).model_dump(mode="json")
    data["room"]["fabric"]["children_or_animals"] = said
    return Plan.model_validate(data)


def asked(plan: Plan, words: str) -> bool:
    return any(words in snag.sentence for snag in judge(plan) if snag.code == "find-out")


def storing(*pieces: Piece, **fields: object) -> Plan:
    """Two bicycles of 1800 x 900 and a mower of 1400 x 600 that are in the room today."""
    data = make_plan(*pieces).model_dump(mode="json")
    sizes = {"Two bicycles": (1800, 900), "Mower": (1400, 600)}
    data["works"]["stored"] = [
        {"id": f"t-{i}", "label": label, "width_mm": width, "depth_mm": depth, **fields}
        for i, (label, (width, depth)) in enumerate(sizes.items())
    ]
    return Plan.model_validate(data)


def test_where_what_stays_is_to_stand_is_asked_till_it_is_drawn() -> None:
    # 1.8 x 0.9 + 1.4 x 0.6 = 2.46
    words = "where what stays is to stand (two bicycles and mower, 2.46 square metres of floor)"
    assert asked(storing(), words)
    bicycle, mower = (place("bike-stored", 2500, 1000), place("other-thing", 1500, 4000))
    called = mower.model_copy(update={"label": "Mower"})
    assert asked(storing(bicycle), "(mower, 0.84 square metres of floor)")
    assert asked(storing(bicycle, mower), "(mower, 0.84 square metres of floor)")
    assert not asked(storing(bicycle, called), "what stays")


@pytest.mark.parametrize("fate", ["house", "sell", "give", "tip"])
def test_what_leaves_the_room_is_not_asked_for(fate: str) -> None:
    assert not asked(storing(becomes=fate), "what stays")


def test_a_room_that_is_empty_holds_nothing() -> None:
    data = storing().model_dump(mode="json")
    data["works"]["is_empty"] = True
    assert not asked(Plan.model_validate(data), "what stays")


@pytest.mark.parametrize(
    ("kit", "words"),
    [
        ("running-machine", "take the key out"),
        ("bar-holder", "strap it"),
        ("rubber-plates", "flat or keep it on pegs"),
    ],
)
def test_what_hurts_a_child_is_a_care_where_one_lives(kit: str, words: str) -> None:
    piece = place(kit, 2500, 2500)
    (snag,) = found(lived_in("yes", piece), "children")
    assert (snag.severity, snag.pieces) == ("care", (kit,))
    assert words in snag.sentence
    assert found(lived_in("no", piece), "children") == []
    assert not asked(lived_in("no", piece), "children or animals")
    assert found(lived_in("unknown", piece), "children") == []
    assert asked(lived_in("unknown", piece), "children or animals")


@pytest.mark.parametrize(("stature", "asks"), [(1449, False), (1450, True)])
def test_whoever_trains_a_child_here_is_not_asked_for_one(stature: float, asks: bool) -> None:
    """Under 1450 somebody is taken for a child: common practice, no source."""
    plan = lived_in("unknown", place("running-machine", 2500, 2500))
    plan = Plan.model_validate(
        {**plan.model_dump(mode="json"), "people": [make_person(stature).model_dump(mode="json")]}
    )
    assert asked(plan, "children or animals") is asks
    assert len(found(plan, "children")) == (not asks)


@pytest.mark.parametrize(
    ("kept", "kit", "asks"),
    [("yes", (), True), ("no", (), False), ("unknown", (), False), ("yes", ("car",), False)],
)
def test_where_a_car_stands_that_is_kept_here_is_asked(
    kept: str, kit: tuple[str, ...], asks: bool
) -> None:
    data = make_plan(*(place(key, 2500, 2500) for key in kit)).model_dump(mode="json")
    data["room"]["climate"]["car_kept_here"] = kept
    assert asked(Plan.model_validate(data), "where the car stands") is asks


@pytest.mark.parametrize(("height", "count"), [(None, 1), (230, 0), (448, 0), (450, 1), (600, 1)])
def test_plates_that_are_typed_lower_than_they_are_across_lie_flat(
    height: float | None, count: int
) -> None:
    plates = place("rubber-plates", 2500, 2500, 30, height=height)
    assert len(found(lived_in("yes", plates), "children")) == count


def test_a_machine_without_a_motor_and_a_mat_ask_nothing() -> None:
    for kit in ("curved-runner", "mat-space", "flat-bench"):
        plan = lived_in("yes", place(kit, 2500, 2500))
        assert found(plan, "children") == []


def leaving(said: str, *others: Opening, kind: str = "roller") -> Plan:
    garage = Opening.model_validate(
        {"id": "g", "wall": "front", "kind": kind, "offset_mm": 500, "width_mm": 2400}
        | {"height_mm": 2100, "opens_without_power": said}
    )
    return make_plan(place("mat-space", 2500, 1500), room=make_room(openings=[garage, *others]))


SIDE = Opening(
    id="s", wall="left", kind="hinged", offset_mm=500, width_mm=838, height_mm=1981, swing="out"
)


@pytest.mark.parametrize("angle", [0, 31])
@pytest.mark.parametrize("kind", ["roller", "sectional", "canopy"])
def test_a_garage_door_that_is_the_only_way_out_opens_without_power(
    kind: str, angle: float
) -> None:
    (snag,) = found(turned_plan(leaving("no", kind=kind), angle), "door-needs-power")
    assert snag.severity == "care"
    assert found(leaving("yes", kind=kind), "door-needs-power") == []
    assert asked(leaving("unknown", kind=kind), "by hand")
    assert not asked(leaving("yes", kind=kind), "by hand")


def test_with_another_way_out_nothing_is_asked_of_the_garage_door() -> None:
    assert found(leaving("no", SIDE), "door-needs-power") == []
    assert not asked(leaving("unknown", SIDE), "by hand")


def test_where_the_room_is_lined_the_balance_of_a_sprung_door_is_a_fitters() -> None:
    def lined(kind: str, finish: float) -> Plan:
        data = leaving("yes", kind=kind).model_dump(mode="json")
        data["room"]["ceiling"]["finish_mm"] = finish
        return Plan.model_validate(data)

    (snag,) = found(lined("sectional", 40), "door-balance")
    assert snag.severity == "note"
    assert "fitter" in snag.sentence
    # however thin
    assert len(found(lined("sectional", 1), "door-balance")) == 1
    assert found(lined("sectional", 0), "door-balance") == []
    assert found(lined("roller", 40), "door-balance") == []


def test_an_empty_room_says_nothing() -> None:
    assert found(lived_in("yes"), "children") == []
    assert found(lived_in("unknown"), "door-") == []


KNOWN = (
    "The insurer",
    "Building control",
    "An electrician",
    "Whoever has the drawings of the building, or a structural engineer",
)
"""Who is asked about every room of which little is said."""


def of_house(*pieces: Piece, **said: str) -> Plan:
    data = make_plan(*pieces).model_dump(mode="json")
    data["room"]["fabric"] |= said
    return Plan.model_validate(data)


def test_where_nothing_may_be_drilled_what_hangs_on_fixings_is_a_stop() -> None:
    bar, rack = place("pull-up-bar-wall", 2500, 300), place("mid-rack", 2500, 3000)
    (snag,) = found(of_house(bar, rack, may_drill="no"), "may-not-drill")
    assert (snag.severity, snag.pieces) == ("stop", ("pull-up-bar-wall",))
    for said in ({"may_drill": "yes"}, {"may_drill": "unknown"}):
        assert found(of_house(bar, **said), "may-not-drill") == []
    assert asked(of_house(bar, whose="rented"), "may be drilled")
    assert not asked(of_house(bar, whose="own"), "may be drilled")
    assert not asked(of_house(rack, whose="rented"), "may be drilled")
    # what hangs there already was drilled by somebody else
    boiler = place("pull-up-bar-wall", 2500, 300, stays=True)
    assert found(of_house(boiler, may_drill="no"), "may-not-drill") == []


@pytest.mark.parametrize(
    ("heard", "when", "severity"),
    [
        ("neighbours", "evening", "care"),
        ("neighbours", "night", "care"),
        ("neighbours", "day", None),
        ("household", "night", "note"),
        ("household", "evening", None),
        ("nobody", "night", None),
        ("unknown", "night", None),
        ("neighbours", "unknown", None),
    ],
)
def test_what_drums_is_heard_while_others_rest(heard: str, when: str, severity: str | None) -> None:
    plan = of_house(place("running-machine"), place("flat-bench", 1000, 1000), heard_by=heard,
                    trains_when=when)  # fmt: skip
    said = [s for s in found(plan, "heard") if s.pieces == ("running-machine",)]
    assert [s.severity for s in said] == ([severity] if severity else [])


def test_the_list_to_ask_names_what_hangs_and_for_whom() -> None:
    bar = place("pull-up-bar-wall", 2500, 300)
    lists = {a.who: a.questions for a in to_ask(build_scene(of_house(bar, whose="rented")))}
    assert any("wall-mounted" in q or "pull-up bar" in q for q in lists["The landlord"])
    assert to_ask_whom(of_house(bar, whose="own")) == KNOWN
    loud = of_house(place("running-machine"), heard_by="neighbours", whose="shared")
    assert to_ask_whom(loud) == ("The other owners", *KNOWN, "Who hears you")


def test_what_no_householder_can_know_is_asked_of_who_does() -> None:
    data = of_house().model_dump(mode="json")
    said, room = data["room"]["fabric"], data["room"]

    def about(words: str) -> str:
        lists = to_ask(build_scene(Plan.model_validate(data)))
        return next((one.who for one in lists for q in one.questions if words in q), "")

    assert about("amperes") == about("trip switch") == "An electrician"
    assert "drawings" in about("asbestos")
    said["built_before_2000"] = "no"
    assert about("asbestos") == ""
    for carries, cables, asked_of in (
        ("ground-slab", "unknown", ""),
        ("suspended-slab", "unknown", "structural engineer"),
        ("suspended-slab", "no", ""),
        ("suspended-slab", "yes", ""),
    ):
        room["floor"]["construction"], room["ceiling"]["construction"] = carries, "solid-joists"
        said["post_tensioned"] = cables
        assert asked_of in about("cables")
        assert bool(about("cables")) == bool(asked_of)
    data["room"]["electricity"] |= {
        "feed": "one-circuit", "amps": 16, "residual_current_protection": "yes"
    }  # fmt: skip
    assert about("amperes") == about("trip switch") == ""


def to_ask_whom(plan: Plan) -> tuple[str, ...]:
    return tuple(each.who for each in to_ask(build_scene(plan)))


@pytest.mark.parametrize(
    ("kit", "what_to_do"),
    [
        ("hung-bag", "agree hours with them, and hang it on a spring"),
        ("running-machine", "agree hours with them, and stand it on a thick mat"),
        ("mid-rack", "set weights down, never drop them, on thick rubber"),
    ],
)
def test_who_hears_it_when_and_what_is_done_about_it(kit: str, what_to_do: str) -> None:
    def said(**fabric: str) -> str:
        (snag,) = found(of_house(place(kit, 2500, 2500), **fabric), "heard")
        return snag.sentence.split(snag.names[0].lower(), 1)[1]

    next_door = f": {what_to_do}, away from their wall."
    assert said(heard_by="neighbours", trains_when="evening") == f" in the evening{next_door}"
    night = said(heard_by="neighbours", trains_when="night")
    assert night == f" early or late, while they sleep{next_door}"
    within = said(heard_by="household", trains_when="night")
    assert within == f" early or late, while others sleep: {what_to_do}."
    stays = place(kit, 2500, 2500, stays=True)
    assert found(of_house(stays, heard_by="neighbours", trains_when="night"), "heard") == []


def test_a_machine_with_its_motor_taken_out_is_no_danger() -> None:
    # a power typed as nought is none
    still = place("running-machine", 2500, 2500).model_copy(update={"power_w": 0.0})
    assert found(lived_in("yes", still), "children") == []
    pad = place("walking-pad", 2500, 2500)
    assert len(found(lived_in("yes", pad), "children")) == 1


def test_what_is_asked_once_is_told_of_each() -> None:
    both = (place("bar-holder", 1000, 1000), place("running-machine", 2500, 3000))
    first, second = found(lived_in("yes", place("flat-bench", 4000, 4000), *both), "children")
    assert {first.pieces, second.pieces} == {("bar-holder",), ("running-machine",)}
    assert first.where == (1000, 1000)


@pytest.mark.parametrize("lined", [(), ("left",), ("left", "right")])
@pytest.mark.parametrize("kind", ["canopy", "sectional", "roller"])
@pytest.mark.parametrize("thick", [50, 1])
def test_one_wall_that_is_lined_may_bring_panels_on_a_sprung_door(
    lined: tuple[str, ...], kind: str, thick: float
) -> None:
    data = leaving("yes", kind=kind).model_dump(mode="json")
    for wall in data["room"]["walls"]:
        wall["lining_mm"] = thick if wall["id"] in lined else 0
    notes = found(Plan.model_validate(data), "door-balance")
    # a roller door winds up without springs that are set to its weight (common practice)
    assert len(notes) == int(bool(lined) and kind != "roller")


@pytest.mark.parametrize(("stature", "told"), [(1200, True), (1700, False)])
def test_who_has_a_child_that_trains_is_not_asked_for_children(stature: float, told: bool) -> None:
    plan = lived_in("unknown", place("running-machine"))
    plan = plan.model_copy(update={"people": (make_person(stature),)})
    assert asked(plan, "children or animals") == (not told)
    said = [snag.sentence for snag in found(plan, "children")]
    assert [words.startswith("A child trains here: ") for words in said] == [True] * told
    # what the household said itself stands
    no = lived_in("no", place("running-machine"))
    assert found(no.model_copy(update={"people": plan.people}), "children") == []
