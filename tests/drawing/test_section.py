"""Sections: the person drawn is as tall as the sum behind the verdict, under the real ceiling."""

import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from app.checks.run import run
from app.checks.snag import Snag
from app.drawing.body import bend, silhouette
from app.drawing.section import drawn_section, headroom_section
from app.drawing.section_bay import fitting_bay, open_bay, snag_bay
from app.drawing.section_cut import ceiling, overhead, swept
from app.drawing.section_frame import Disc, Given, Slab
from app.drawing.section_pose import stance
from app.formulas.headroom import demand
from app.library.movements import movements
from app.model.base import json_of
from app.model.people import Person
from app.model.plan import Plan
from app.model.room import Plane
from app.scene.build import Scene, build_scene
from tests.builders import low_thing, make_person, make_plan, make_room, place, rectangle
from tests.drawing.reading import SVG, parse
from tests.layouts import garage, good_layout

FLOOR = 20.0
BAR = {"pull-up": 2000.0, "dip": 1320.0}
ON = {"seated-press": 440.0, "bench-press": 440.0}


def words(svg: str) -> list[str]:
    return [element.text or "" for element in parse(svg).iter(f"{SVG}text")]


def headroom_snag(movement: str, person: str = "one") -> Snag:
    """A snag of a movement that no piece serves."""
    return Snag(
        code="headroom",
        severity="stop",
        template="",
        person=person,
        movement=movement,
        lacks="height",
    )


def scene_of(person: Person, **room: object) -> Scene:
    return build_scene(make_plan(room=make_room(**room), people=(person,)))  # type: ignore[arg-type]


def given(movement: str, stature: float, plate: float = 450) -> Given:
    bar = BAR.get(movement)
    asked = demand(movement, stature, floor_mm=FLOOR, bar_height_mm=bar)
    terms = {term.label: term.mm for term in asked.least}
    above = terms.get("held above the grip", 0.0) + terms.get("plates square to the bar", 0.0)
    top = asked.least_mm
    feet = FLOOR + ON.get(movement, 0.0)
    return Given(stature, top, top - above, FLOOR, feet, bar or 0.0, plate, "bent", False)


def joined(movement: str, drawn: Given) -> BaseGeometry:
    """The person and what they hold, without what stands behind them."""
    posed = stance(movement, drawn)
    person = silhouette(posed.joints)
    held = [
        shapely.Point(thing.at).buffer(thing.radius_mm)
        if isinstance(thing, Disc)
        else shapely.Polygon(thing.corners)
        for thing in (*posed.held, *posed.behind)
        if isinstance(thing, Disc) or (isinstance(thing, Slab) and thing.ink == "plate")
    ]
    return shapely.union_all([person.near, person.far, *held])


@pytest.mark.parametrize("stature", [1500, 1750, 2000])
@pytest.mark.parametrize("movement", sorted(movements()))
def test_what_is_drawn_is_as_tall_as_the_sum(movement: str, stature: float) -> None:
    drawn = given(movement, stature)
    _, low, _, high = joined(movement, drawn).bounds
    # a bar's end is drawn past the plates of an angled press, a thumb past the grip
    assert high == pytest.approx(drawn.top_mm, abs=45 if movement == "landmine-press" else 15)
    assert low > FLOOR - 12


def test_limbs_keep_their_length_until_they_are_too_short() -> None:
    """A 3-4-5 triangle: from (0, 0) to (0, 5) the joint of 3 and 4 lies at (-2.4, 1.8)."""
    assert bend((0, 0), (0, 5), 3, 4, 1) == pytest.approx((-2.4, 1.8))
    assert bend((0, 0), (0, 5), 3, 4, -1) == pytest.approx((2.4, 1.8))
    assert bend((0, 0), (0, 14), 3, 4, 1) == pytest.approx((0, 6))


def test_a_press_under_joists_is_told_with_its_numbers_and_what_fits() -> None:
    """1880 on 20 with plates of 450: 20 + 2263.5 + 225 = 2508.5, 199 over joists at 2310."""
    person = make_person(1880, person_id="a", want=("standing-press",))
    plan = good_layout()
    wanted = Plan.model_validate({**json_of(plan), "people": [json_of(person)]})
    scene = build_scene(wanted)
    (snag,) = [s for s in run(scene) if s.code == "headroom" and s.movement == "standing-press"]
    told = words(headroom_section(scene, snag))
    assert {"199", "2509", "2310", "199 mm too low", "Standing press", "rubber 20"} <= set(told)
    assert "joist 2310" in told
    assert any(line.startswith("fits, ") and line.endswith(" mm to spare") for line in told)


def test_an_ink_is_a_class_and_nothing_carries_a_style() -> None:
    scene = scene_of(make_person(1880, want=("standing-press",)), height=2300)
    root = parse(headroom_section(scene, headroom_snag("standing-press")))
    assert root.get("class") == "section"
    assert [e for e in root.iter() if e.get("style") or e.get("fill") or e.get("stroke")] == []
    inks = {word for e in root.iter() for word in (e.get("class") or "").split()}
    assert {"body", "far", "plate", "cut", "wash", "stop", "dim", "fig", "verdict"} <= inks


@pytest.mark.parametrize("movement", sorted(movements()))
def test_every_movement_has_a_section_within_its_picture(movement: str) -> None:
    person = make_person(1700, want=(movement,))
    scene = build_scene(make_plan(room=garage(2250), people=(person,)))
    drawn = drawn_section(scene, headroom_snag(movement))
    x0, y0, x1, y1 = drawn.bounds
    assert 2500 < x1 - x0 < 6500
    assert y0 < -2400
    assert y1 > 300
    assert drawn.title.count(":") in (1, 2)


@pytest.mark.parametrize(
    ("rise", "beam"), [((0, 0), None), ((180, 0), None), ((-60, 90), None), ((0, 0), 2050)]
)
def test_the_ceiling_is_cut_as_low_as_the_verdict_says(
    rise: tuple[float, float], beam: float | None
) -> None:
    person = make_person(1750, want=("stretch",))
    plane = Plane(id="c", height_mm=2300, at=(2000, 2000), rise_x=rise[0], rise_y=rise[1])
    beams = (low_thing(rectangle(0, 1900, 5000, 2300), beam),) if beam else ()
    scene = scene_of(person, width=4000, depth=3800, planes=(plane,), low_things=beams)
    bay = open_bay(scene, person, movements()["stretch"])
    assert bay is not None
    left, right = swept(bay)
    hung = overhead(scene, bay, left, right)
    lowest = min(z for one in hung for _, z in one.under)
    # the verdict draws the swept area in by half the tolerance of 1 mm
    assert lowest == pytest.approx(bay.clear_mm, abs=0.5)


def test_of_two_planes_over_one_another_only_the_lower_is_cut() -> None:
    person = make_person(1750, want=("stretch",))
    planes = (
        Plane(id="flat", height_mm=2400),
        Plane(
            id="slope", height_mm=3000, at=(0, 0), rise_x=-400, outline=rectangle(0, 0, 4000, 4000)
        ),
    )
    scene = scene_of(person, width=4000, depth=4000, planes=planes)
    bay = open_bay(scene, person, movements()["stretch"])
    assert bay is not None
    hung = overhead(scene, bay, -1000, 1000)
    assert len(hung) == 2
    _, (run_of,) = ceiling(hung)
    assert max(z for _, z in run_of) <= 2400.01


def test_under_its_own_rails_the_piece_is_drawn() -> None:
    """Tucked pull-ups on a rack of 2000 under a ceiling of 2250: the head meets the ceiling."""
    rack = place("mid-rack", 2500, 2500, piece_id="rack")
    person = make_person(1880, want=("pull-up",))
    plan = make_plan(rack, room=make_room(5000, 5000, 2250, covering=20), people=(person,))
    scene = build_scene(plan)
    (snag,) = [s for s in run(scene) if s.code == "headroom" and s.movement == "pull-up"]
    bay = snag_bay(scene, snag)
    assert bay is not None
    assert (round(bay.clear_mm), round(bay.demand.least_mm)) == (snag.measured, snag.required)
    inks = {e.get("class") for e in parse(headroom_section(scene, snag)).iter()}
    assert "seen" in inks


def test_what_was_declined_is_shown_only_when_nothing_else_fits() -> None:
    row = movements()["standing-press"]
    free = make_person(1800)
    scene = scene_of(free, height=2350)
    bays = [
        fitting_bay(scene, person, row)
        for person in (free, make_person(1800, no=("seated-press",)))
    ]
    assert [bay.movement.key for bay in bays if bay] == ["seated-press", "kneeling-press"]


def test_a_plan_in_feet_is_told_in_feet() -> None:
    person = make_person(1880, want=("standing-press",))
    plan = make_plan(room=make_room(height=2300), people=(person,))
    scene = build_scene(Plan.model_validate({**json_of(plan), "units": "feet"}))
    told = words(headroom_section(scene, headroom_snag("standing-press")))
    # 2300 / 25.4 = 90.55 inches
    assert "ceiling 7' 6 9/16\"" in told


def test_a_name_with_markup_stays_text() -> None:
    person = Person.model_validate(
        {**json_of(make_person(1880, want=("standing-press",))), "label": "<b>A</b>"}
    )
    svg = headroom_section(scene_of(person, height=2300), headroom_snag("standing-press"))
    assert "<b>" not in svg
    assert "<b>A</b>, on the open floor" in words(svg)


def test_what_has_no_section_is_refused() -> None:
    scene = scene_of(make_person(1880))
    for snag in (
        Snag(code="clash", severity="stop", template=""),
        headroom_snag("standing-press", "nobody"),
    ):
        with pytest.raises(ValueError, match="no section"):
            headroom_section(scene, snag)
