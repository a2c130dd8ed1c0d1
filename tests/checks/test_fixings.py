"""Fixings, mirrors and the fabric of the house."""

import pytest

from app.checks.fixings import demand_of
from app.checks.run import run
from app.library.kit import kit_types
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.model.room import Room
from app.scene.build import build_scene
from app.usecases.drawing_set import sheet_of_file
from tests.builders import found, make_person, make_plan, place, severities, turned_plan
from tests.checks.hanging import but, room_of

BAR = place("pull-up-bar-wall", 2500, 300)  # 600 deep, its back on the back wall
RINGS = place("rings", 2500, 2500)
BAG = place("hung-bag", 2500, 2500)
CEILING_BAR = place("pull-up-bar-ceiling", 2500, 2500)
PEGS = place("plate-pegs", 2500, 140)
MIRROR = place("mirror", 2500, 15)


@pytest.mark.parametrize(
    ("wall", "severity"),
    [
        ("solid-brick", "note"),
        ("dense-block", "note"),
        ("concrete", "note"),
        ("timber-studs", "care"),
        ("hollow-block", "stop"),
        ("aerated-block", "stop"),
        ("single-skin-block", "stop"),
        ("metal-studs", "stop"),
        ("unknown", "stop"),
    ],
)
def test_a_person_on_a_wall(wall: str, severity: str) -> None:
    (snag,) = found(make_plan(BAR, room=room_of(wall)), "fixing")
    assert (snag.code, snag.severity) == ("fixing", severity)
    # (100 + 12) kg x 9.81 x 2 = 2197 N at 582 mm, rows 250 mm apart, 2 upper fixings
    assert snag.measured == 2558
    terms = dict(snag.working)
    assert terms["load with the factor, N"] == pytest.approx(2197.4, abs=0.1)
    # 2197.44 x 582 / 250 / 2: nothing pulls it straight out besides
    assert terms["tension of each upper fixing, N"] == pytest.approx(2557.8, abs=0.1)
    assert terms["shear of each fixing, N"] == pytest.approx(549.4, abs=0.1)
    assert terms["both together, N"] == pytest.approx(2616.2, abs=0.1)


@pytest.mark.parametrize("piece", [RINGS, BAG, CEILING_BAR], ids=lambda piece: piece.type)
@pytest.mark.parametrize(
    ("ceiling", "severity"),
    [
        ("solid-joists", "care"),
        ("i-joists", "care"),
        ("slab", "care"),
        ("trussed-rafters", "stop"),
        ("unknown", "stop"),
    ],
)
def test_what_hangs_from_a_ceiling(piece: object, ceiling: str, severity: str) -> None:
    plan = make_plan(piece, room=room_of(ceiling=ceiling))  # type: ignore[arg-type]
    assert severities(plan, "fixing") == [severity]


def test_a_slab_with_tendons_is_not_drilled() -> None:
    room = room_of(ceiling="slab", fabric={"post_tensioned": "yes"})
    assert severities(make_plan(RINGS, room=room), "fixing") == ["stop"]
    asked = room_of(ceiling="slab", fabric={"post_tensioned": "unknown"})
    assert "post-tensioned" in found(make_plan(RINGS, room=asked), "find-out")[0].sentence


def test_a_slab_with_tendons_is_not_bolted_to() -> None:
    rack = but(place("mid-rack", 2500, 2500), bolted=True)
    room = room_of(fabric={"post_tensioned": "yes"})
    (snag,) = found(make_plan(rack, room=room), "tendons")
    # common practice, no source: a tendon that is cut lets go of all that it holds
    assert (snag.severity, snag.pieces) == ("care", ("mid-rack",))
    assert "never drill it" in snag.sentence
    assert "stamp by the garage door" in snag.sentence
    assert found(make_plan(but(rack, bolted=False), room=room), "tendons") == []
    assert found(make_plan(rack, room=room_of()), "tendons") == []


@pytest.mark.parametrize("asks", [{"shared": True}])
def test_a_brick_wall_that_asks_for_more_stays_a_care(asks: dict[str, bool]) -> None:
    assert severities(make_plan(BAR, room=room_of(walls=asks)), "fixing") == ["care"]


def test_demands_from_a_ceiling() -> None:
    scene = build_scene(make_plan(RINGS, but(BAG, id="bag")))
    # (100 + 2) kg x 9.81 x 3 on two fixings; 35 kg x 9.81 x 4 on one
    assert demand_of(scene, scene.placed["rings"]).pull.tension_n == pytest.approx(1500.9, abs=0.1)
    assert demand_of(scene, scene.placed["bag"]).pull.tension_n == pytest.approx(1373.4, abs=0.1)
    plain = build_scene(make_plan(place("bike")))
    with pytest.raises(ValueError, match="hangs on nothing"):
        demand_of(plain, plain.placed["bike"])


@pytest.mark.parametrize(
    # the heaviest as typed; of whom nothing is told counts as usual (100: common practice)
    ("weights", "counted"),
    [((), 100), ((62.0,), 62), ((62.0, 131.0), 131), ((62.0, None), 100)],
)
def test_the_weight_of_the_heaviest_counts_on_verdict_and_wall_sheet(
    weights: tuple[float | None, ...], counted: float
) -> None:
    people = [
        make_person(person_id=f"p{i}").model_copy(update={"mass_kg": mass})
        for i, mass in enumerate(weights)
    ]
    rack = place("folding-wall-rack", 2500, 275, piece_id="rack")
    plan = make_plan(rack, room=room_of(), people=people)
    (snag,) = [s for s in found(plan, "fixing") if s.code == "fixing"]
    # twice the weight of rack, person, a bar of 20 and plates of 100
    load = (kit_types()["folding-wall-rack"].mass_kg + counted + 120) * 9.81 * 2
    assert dict(snag.working)["load with the factor, N"] == pytest.approx(load, abs=0.1)
    assert f"({counted:.0f} kg of person" in snag.sentence
    sheet = str([page.items for page in sheet_of_file(plan, "walls", "A3", None).pages])
    assert f"about {load / 1000:.1f} kN in all" in sheet


def test_a_tanked_and_shared_wall_says_so() -> None:
    # no test on a wall that must not be drilled: common practice, no source
    (snag,) = found(make_plan(BAR, room=room_of(walls={"tanked": True, "shared": True})), "fixing")
    assert snag.severity == "stop"
    assert snag.sentence.endswith("To settle: the wall is tanked: no holes below ground.")
    (snag,) = found(make_plan(BAR, room=room_of(walls={"shared": True})), "fixing")
    assert "nothing that thumps" in snag.sentence


def test_where_nothing_may_be_drilled_no_fixing_is_to_settle() -> None:
    pegs = place("plate-pegs", 1000, 140)
    for piece in (BAR, RINGS, pegs):
        plan = make_plan(piece, room=room_of(fabric={"may_drill": "no"}))
        (snag,) = (s for s in run(build_scene(plan)) if "drill" in s.code or "fixing" in s.code)
        assert (snag.code, snag.severity) == ("may-not-drill", "stop")
        assert snag.eased_by == {"standing"}


@pytest.mark.parametrize(
    ("construction", "severity"), [("timber-studs", "care"), ("solid-brick", "note")]
)
def test_stores_on_studs_hang_through_a_sheet(construction: str, severity: str) -> None:
    # 100 kg of plates a peg: solid walls only, into studs through a sheet: common practice
    plan = make_plan(place("plate-pegs", 1000, 140), room=room_of(construction))
    (snag,) = found(plan, "fixings")
    assert snag.severity == severity
    assert ("through a sheet 18 thick, never into board" in snag.sentence) == (severity == "care")


def test_plaster_counts_for_nothing() -> None:
    (snag,) = found(make_plan(BAR, room=room_of(walls={"finish": "plaster"})), "fixing")
    assert "behind the plaster or lining" in snag.sentence


def test_an_unknown_wall_is_asked_for() -> None:
    (snag,) = found(make_plan(BAR, room=room_of("unknown")), "find-out")
    assert "what the back wall is made of" in snag.sentence
    (snag,) = found(make_plan(RINGS, room=room_of(ceiling="unknown")), "find-out")
    assert "joists, roof trusses or a slab" in snag.sentence


@pytest.mark.parametrize(("y", "code"), [(330, "fixing"), (332, "off-the-wall")])
def test_a_wall_piece_off_the_wall(y: float, code: str) -> None:
    plan = make_plan(place("pull-up-bar-wall", 2500, y), room=room_of())
    assert [s.code for s in run(build_scene(plan)) if s.code in ("fixing", "off-the-wall")] == [
        code
    ]


@pytest.mark.parametrize(
    ("wall", "severity"), [("dense-block", "note"), ("unknown", "note"), ("aerated-block", "care")]
)
def test_what_only_hangs_is_said_once(wall: str, severity: str) -> None:
    hooks = place("bar-hooks", 2500, 4860, 180)
    (snag,) = found(make_plan(PEGS, hooks, MIRROR, room=room_of(wall)), "fixing")
    assert (snag.code, snag.severity) == ("fixings", severity)
    weak = "; the front wall and the back wall are weak: stand it on the floor or ask"
    assert (weak in snag.sentence) is (severity == "care")
    assert "mirror, 27 kg" in snag.sentence  # 1.2 x 1.5 m at 15 kg/m2
    assert set(snag.pieces) == {"plate-pegs", "bar-hooks", "mirror"}


def test_what_stays_is_not_asked_about() -> None:
    plan = make_plan(but(PEGS, stays=True), but(MIRROR, stays=True), room=room_of("unknown"))
    assert found(plan, "fixing") == []
    assert found(plan, "find-out") == []


def test_nothing_hung() -> None:
    for code in ("fixing", "mirror", "hazards", "find-out"):
        assert found(make_plan(room=room_of()), code) == []


def test_dragging_to_another_wall_judges_that_wall() -> None:
    room = room_of("hollow-block")
    scene = build_scene(make_plan(BAR, room=room))
    run(scene)
    moved = scene.moved({BAR.id: Pose(x_mm=300, y_mm=2500, angle_deg=270)})
    (snag,) = [s for s in run(moved) if s.code == "fixing"]
    assert "left wall" in snag.sentence
    assert snag.where == (300, 2500)


@pytest.mark.parametrize("angle", [17, 90, 233.5])
def test_turning_everything_changes_nothing(angle: float) -> None:
    plan = make_plan(BAR, PEGS, MIRROR, room=room_of("aerated-block"))
    as_it_was = [(s.code, s.severity, s.measured) for s in found(plan, "fixing")]
    turned = [(s.code, s.severity, s.measured) for s in found(turned_plan(plan, angle), "fixing")]
    assert turned == as_it_was


# a plate of 450 on edge on the covering, against the lower edge of the mirror at 500
@pytest.mark.parametrize(("covering", "expected"), [(50, []), (52, ["care"])])
def test_a_mirror_above_the_plates(covering: float, expected: list[str]) -> None:
    bar = place("bar-20", 2500, 4000, on_floor=True)
    plan = make_plan(MIRROR, bar, room=room_of(covering={"thickness_mm": covering}))
    assert severities(plan, "mirror") == expected
    assert severities(make_plan(MIRROR, room=plan.room), "mirror") == []


def test_of_mirrors_that_hang_too_low_the_heaviest_is_told() -> None:
    # 6 mm of glass weigh 15 kg/m2 (EN 572-1); 500 to 2000 high: 27 kg of 1200, 54 of 2400
    wide = place("mirror", 2500, 4985, 180, piece_id="wide", width=2400)
    bar = place("bar-20", 2500, 2500, on_floor=True)
    for mirrors in ((MIRROR, wide), (wide, MIRROR)):
        (snag,) = found(
            make_plan(*mirrors, bar, room=room_of(covering={"thickness_mm": 52})), "mirror"
        )
        assert "It weighs 54 kg" in snag.sentence


@pytest.mark.parametrize(("least", "asked"), [(500, None), (502, 502)])
def test_without_a_bar_a_mirror_may_hang_as_low_as_is_published(
    least: float, asked: int | None
) -> None:
    # its glass begins at 500; a household may ask for more than the published 354
    value = {"id": "mirror.bottom-low-mm", "value": least, "reason": "small children"}
    plan = make_plan(MIRROR, room=room_of())
    strict = Plan.model_validate({**plan.model_dump(), "overrides": [value]})
    assert [(s.measured, s.required) for s in found(strict, "mirror")] == (
        [] if asked is None else [(500, asked)]
    )


@pytest.mark.parametrize(
    ("offset", "height", "expected"),
    [
        (2500, 1100, ["care"]),
        (3099, 1100, ["care"]),
        (3101, 1100, []),
        (1901, 1100, ["care"]),
        (1899, 1100, []),
        (2500, 300, []),  # below the glass
    ],
)
def test_a_mirror_over_a_socket(offset: float, height: float, expected: list[str]) -> None:
    socket = {"id": "s", "wall": "back", "offset_mm": offset, "height_mm": height}
    plan = make_plan(MIRROR, room=room_of(sockets=(socket,)))
    assert severities(plan, "mirror") == expected
    if expected:
        assert "covers a socket on the back wall" in found(plan, "mirror")[0].sentence


def test_old_fabric_is_one_note() -> None:
    room = room_of(fabric={"built_before_2000": "yes"})
    (snag,) = found(make_plan(PEGS, room=room), "hazards")
    assert snag.background
    assert snag.severity == "note"
    for word in ("asbestos", "lead", "dust", "cables"):
        assert word in snag.sentence
    assert "radon" not in snag.sentence


def test_age_not_known_is_a_question() -> None:
    plan = make_plan(PEGS, room=room_of(fabric={"built_before_2000": "unknown"}))
    assert found(plan, "hazards") == []
    assert "asbestos" in found(plan, "find-out")[0].sentence


def test_below_ground() -> None:
    (snag,) = found(make_plan(room=room_of(walls={"tanked": True})), "hazards")
    assert "radon" in snag.sentence
    assert "asbestos" not in snag.sentence


@pytest.mark.parametrize("angle", [0, 33])
@pytest.mark.parametrize(
    ("bar_kg", "plates_kg", "counted"),
    [
        # nothing typed: a bar of 20 and the usual plates of 100
        (None, None, (20, 100)),
        (25, 140, (25, 140)),
        (15, None, (15, 100)),
    ],
)
def test_a_wall_rack_is_held_with_person_bar_and_plates(
    bar_kg: float | None, plates_kg: float | None, counted: tuple[float, float], angle: float
) -> None:
    # common practice, no source: twice the weight of all of them
    pieces = [place("folding-wall-rack", 2500, 275, piece_id="rack")]
    if bar_kg is not None:
        bar = place("bar-20", 2500, 587, piece_id="bar", carried_by="rack")
        pieces.append(but(bar, mass_kg=bar_kg))
    if plates_kg is not None:
        pieces.append(but(place("iron-plates", 4000, 4000), mass_kg=plates_kg))
    plan = turned_plan(make_plan(*pieces, room=room_of()), angle)
    (snag,) = [s for s in found(plan, "fixing") if s.code == "fixing"]
    working = dict(snag.working)
    assert (working["the bar, kg"], working["plates on it, kg"]) == counted
    kit_kg = kit_types()["folding-wall-rack"].mass_kg
    load = (kit_kg + 100 + sum(counted)) * 9.81 * 2
    assert working["load with the factor, N"] == pytest.approx(load, abs=0.1)
    assert f"100 kg of person, {counted[0]} of bar, {counted[1]} of plates" in snag.sentence


def test_a_pull_up_bar_holds_a_person_alone() -> None:
    (snag,) = found(make_plan(BAR, room=room_of()), "fixing")
    assert "the bar, kg" not in dict(snag.working)
    assert "of plates" not in snag.sentence


DECIDES = "the maker's data or a test on this wall decides"


@pytest.mark.parametrize(
    ("room", "to_settle"),
    [
        (room_of(), DECIDES),
        (
            room_of("timber-studs"),
            "into the studs through a sheet 18 thick, never into board; the maker's data or a "
            "test decides",
        ),
        (
            room_of("aerated-block"),
            "aerated block holds no anchor for this: bolt through to a plate behind",
        ),
        (
            room_of("hollow-block", walls={"lining_mm": 13}),
            "hollow block holds no anchor for this: bolt through to a plate behind",
        ),
        (
            room_of(walls={"lining_mm": 1}),
            f"anchors count only behind the plaster or lining; {DECIDES}",
        ),
        (
            room_of(walls={"finish": "plasterboard"}),
            f"anchors count only behind the plaster or lining; {DECIDES}",
        ),
        (
            room_of(walls={"shared": True}),
            f"{DECIDES}; it is shared: nothing that thumps",
        ),
    ],
)
def test_what_a_wall_leaves_to_settle(room: Room, to_settle: str) -> None:
    # the pull of 2558 N and the shear of 549 worked above
    (snag,) = found(make_plan(BAR, room=room), "fixing")
    assert snag.sentence == (
        "Wall pull-up bar on the back wall: with 2 times the weight each upper fixing is pulled "
        f"out with 2.6 kN and down with 0.5 kN. To settle: {to_settle}."
    )


@pytest.mark.parametrize(
    ("piece", "ceiling", "sentence"),
    [
        # (100 + 2) x 9.81 x 3 / 2 = 1501 N; 35 x 9.81 x 4 = 1373; (100 + 10) x 9.81 x 2 / 4 = 540
        (
            RINGS,
            "slab",
            "Rings on the ceiling: with 3 times the weight each fixing carries 1.5 kN. To settle: "
            "the maker's data or a test on this slab decides.",
        ),
        (
            BAG,
            "i-joists",
            "Hung bag on the ceiling: with 4 times the weight its fixing carries 1.4 kN. To "
            "settle: ask the maker of the I-joists or an engineer, and never notch them.",
        ),
        (
            CEILING_BAR,
            "unknown",
            "Ceiling pull-up bar on the ceiling: with 2 times the weight each fixing carries "
            "0.5 kN. To settle: nobody has checked yet whether joists, trusses or a slab are "
            "above.",
        ),
    ],
)
def test_what_a_ceiling_leaves_to_settle(piece: Piece, ceiling: str, sentence: str) -> None:
    (snag,) = found(make_plan(piece, room=room_of(ceiling=ceiling)), "fixing")
    assert snag.sentence == sentence
    persons = ("a person, kg", 100.0) in snag.working
    assert persons is (piece is not BAG)


def test_what_a_wall_rack_is_asked_to_hold_is_told_apart() -> None:
    # (100 + 20 + 100 + 60) x 9.81 x 2 = 5494 N: each of six carries 916
    (snag,) = found(make_plan(place("folding-wall-rack", 2500, 300), room=room_of()), "fixing")
    assert snag.severity == "care"
    assert (
        "with 2 times the weight (100 kg of person, 20 of bar, 100 of plates) each upper fixing is "
        "pulled out with 0.5 kN and down with 0.9 kN"
    ) in snag.sentence
    assert dict(snag.working)["load with the factor, N"] == pytest.approx(5493.6)
    assert dict(snag.working)["shear of each fixing, N"] == pytest.approx(915.6)
    assert [name for name, _ in snag.working][:3] == [
        "a person, kg", "the bar, kg", "plates on it, kg"
    ]  # fmt: skip


def test_of_several_pieces_that_only_hang_the_strongest_pull_is_told() -> None:
    light, heavy = place("plate-pegs", 1000, 140), but(PEGS, mass_kg=200)
    pulls = []
    for pieces in ((light,), (heavy,)):
        (snag,) = found(make_plan(*pieces, room=room_of("concrete")), "fixings")
        pulls.append(snag.measured)
    pegs = place("plate-pegs", 1000, 140, piece_id="a"), but(PEGS, mass_kg=200)
    (both,) = found(make_plan(*pegs, room=room_of("concrete")), "fixings")
    assert pulls[0] is not None
    assert both.measured == max(pull or 0 for pull in pulls)
    assert both.unit == "N"
    assert len(both.pieces) == 2
