"""The rows of the kit library: sizes, outlines, gaps, spaces, and what the rule books give."""

from itertools import combinations, product

import pytest
import shapely
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from app.library.anchors import Extent, place
from app.library.forms import Flat, flat
from app.library.kit import Form, KitType, kit_types
from app.library.movements import movements

KITS = kit_types()
ROWS = sorted(KITS.values(), key=lambda kit: kit.key)
OUTSIDE_MM = 0.01


def size_of(kit: KitType) -> Extent:
    return Extent(kit.width_mm, kit.depth_mm, kit.height_mm)


def sizes_of(kit: KitType) -> list[Extent]:
    """The typical size and every corner of the sizes found in practice."""
    ranges = (
        kit.range.width_mm or (kit.width_mm,),
        kit.range.depth_mm or (kit.depth_mm,),
        kit.range.height_mm or (kit.height_mm,),
    )
    return [size_of(kit), *(Extent(*sizes) for sizes in product(*ranges))]


def shape(form: Flat) -> BaseGeometry:
    if form.radius_mm:
        return shapely.Point(form.centre).buffer(form.radius_mm)
    return Polygon(form.points)


def outline(kit: KitType) -> BaseGeometry:
    return shapely.union_all([shape(flat(solid, size_of(kit))) for solid in kit.solids])


def meets(key: str, thing: Polygon, low_mm: float, high_mm: float) -> list[str]:
    """The parts of a piece that a prism runs into."""
    kit = KITS[key]
    extent = size_of(kit)
    return [
        solid.part
        for solid in kit.solids
        if place(solid.z[0], extent) < high_mm
        and place(solid.z[1], extent) > low_mm
        and shape(flat(solid, extent)).intersection(thing).area > 0
    ]


def inside(form: Form, extent: Extent) -> bool:
    x0, y0, x1, y1 = shape(flat(form, extent)).bounds
    half_width = extent.width_mm / 2 + OUTSIDE_MM
    half_depth = extent.depth_mm / 2 + OUTSIDE_MM
    return x0 >= -half_width and x1 <= half_width and y0 >= -half_depth and y1 <= half_depth


def test_the_library_holds_the_kit_of_a_training_room() -> None:
    assert len(ROWS) >= 28
    groups = {kit.group for kit in ROWS}
    assert groups == {
        "Racks",
        "Benches",
        "Bars and weights",
        "Machines",
        "Bodyweight",
        "Bag and floor",
        "Of the house",
    }


@pytest.mark.parametrize("kit", ROWS, ids=lambda kit: kit.key)
def test_the_typical_size_lies_within_the_sizes_found_in_practice(kit: KitType) -> None:
    for size, ends in (
        (kit.width_mm, kit.range.width_mm),
        (kit.depth_mm, kit.range.depth_mm),
        (kit.height_mm, kit.range.height_mm),
    ):
        assert ends is None or ends[0] <= size <= ends[1]


@pytest.mark.parametrize("kit", ROWS, ids=lambda kit: kit.key)
def test_every_part_stays_whole_and_inside_at_every_size(kit: KitType) -> None:
    for extent in sizes_of(kit):
        for form in (*kit.solids, *kit.marks):
            assert inside(form, extent), (extent, form)
            assert shape(flat(form, extent)).is_valid, (extent, form)
            assert shape(flat(form, extent)).area > 0, (extent, form)
        for solid in kit.solids:
            low, high = (place(anchor, extent) for anchor in solid.z)
            assert low < high, (extent, solid)
            assert kit.bar is not None or 0 <= low < high <= extent.height_mm, (extent, solid)


@pytest.mark.parametrize("kit", ROWS, ids=lambda kit: kit.key)
def test_the_parts_reach_the_size_that_is_named(kit: KitType) -> None:
    if not kit.solids:
        return
    half_width, half_depth = kit.width_mm / 2, kit.depth_mm / 2
    assert outline(kit).bounds == pytest.approx(
        (-half_width, -half_depth, half_width, half_depth), abs=2
    )
    if kit.bar is None:
        tops = [place(solid.z[1], size_of(kit)) for solid in kit.solids]
        assert max(tops) == pytest.approx(kit.height_mm)


def test_no_two_types_share_an_outline() -> None:
    solid = [(kit.key, outline(kit)) for kit in ROWS if kit.solids]
    for (one, first), (other, second) in combinations(solid, 2):
        assert first.symmetric_difference(second).area > 1000, (one, other)


@pytest.mark.parametrize("kit", ROWS, ids=lambda kit: kit.key)
def test_an_outline_that_is_a_plain_rectangle_says_why(kit: KitType) -> None:
    if not kit.solids:
        return
    whole = box(-kit.width_mm / 2, -kit.depth_mm / 2, kit.width_mm / 2, kit.depth_mm / 2)
    plain = outline(kit).area > 0.999 * whole.area
    assert bool(kit.plain_because) == plain


def test_each_use_names_a_movement_of_the_library() -> None:
    named = {(kit.key, use.movement) for kit in ROWS for use in kit.uses}
    assert {movement for _, movement in named} <= set(movements())
    for wanted in ("standing-press", "seated-press", "kneeling-press", "pull-up", "squat", "run"):
        assert wanted in {movement for _, movement in named}


@pytest.mark.parametrize("kit", ROWS, ids=lambda kit: kit.key)
def test_the_spaces_of_a_type_can_be_told_apart(kit: KitType) -> None:
    names = [space.name for space in kit.spaces]
    assert len(names) == len(set(names))
    either = [space for space in kit.spaces if space.either]
    assert len(either) != 1


# A thing as wide and high as given that must pass through the gap, and the same thing moved
# into a part, which must be met. Boxes are x0, y0, x1, y1 in the frame of the row.
GAPS = [
    # between the posts, from front to back: 600 wide
    ("short-rack", box(-300, -700, 300, 700), 100, 1700, (300, 0), {"post"}),
    ("mid-rack", box(-300, -700, 300, 700), 100, 1900, (300, 0), {"post"}),
    ("full-rack", box(-300, -700, 300, 700), 100, 2000, (300, 0), {"post"}),
    ("tall-rack", box(-300, -700, 300, 700), 100, 2200, (300, 0), {"post"}),
    # through a side, between the posts and between the rails
    ("short-rack", box(-700, -300, 700, 300), 100, 1700, (0, 400), {"post"}),
    ("mid-rack", box(-700, -300, 700, 300), 100, 1900, (0, 400), {"post"}),
    # between the arms, up to the uprights
    ("half-rack", box(-500, -150, 500, 700), 100, 2000, (100, 0), {"arm"}),
    ("squat-stands", box(-500, -400, 500, 700), 0, 1800, (100, 0), {"post", "foot"}),
    ("folding-wall-rack", box(-500, -200, 500, 400), 0, 2000, (100, 0), {"post", "rail"}),
    # under the guided bar
    ("guided-bar", box(-550, -700, 550, 700), 100, 1180, (200, 0), {"post"}),
    # under the pad, between the feet
    ("flat-bench", box(-300, -400, 300, 400), 0, 300, (0, 200), {"foot"}),
    ("adjustable-bench", box(-300, -500, 300, 500), 0, 85, (0, 100), {"foot"}),
    ("leg-bench", box(-300, -500, 300, 300), 0, 190, (0, 200), {"foot"}),
    # beside the pad, inside the uprights
    ("upright-bench", box(-550, -760, -160, 600), 65, 1150, (30, 0), {"pad"}),
    # under a bar on the floor, between its plates
    ("bar-20", box(-550, -225, 550, 225), -220, -20, (200, 0), {"plate"}),
    # a person of 530 x 450 inside the hex bar
    ("hex-bar", box(-265, -225, 265, 225), -220, 200, (200, 0), {"frame"}),
    # beside the column and the cable
    ("cable-column", box(60, 60, 230, 390), 70, 2150, (-60, 0), {"arm"}),
    ("wall-pulley", box(-200, 0, 200, 225), 120, 1900, (0, -130), {"weights", "upright"}),
    # where one stands between the two arms
    ("double-cable", box(-250, 0, 250, 500), 100, 2000, (500, 0), {"post"}),
    ("pull-down", box(-400, 640, -60, 800), 90, 1700, (0, -200), {"seat"}),
    ("multi-station", box(230, 100, 500, 900), 90, 890, (-100, 0), {"seat", "pad"}),
    # under seats and pads
    ("leg-machine", box(-210, -500, 210, 200), 70, 470, (-60, 0), {"handle"}),
    ("leg-press", box(-420, -740, -340, 800), 80, 770, (60, 0), {"panel"}),
    ("back-extension", box(40, 115, 200, 575), 70, 740, (-60, 0), {"upright"}),
    ("glute-ham", box(50, 0, 200, 800), 80, 690, (-60, 0), {"upright"}),
    # on the belt, between the handles
    ("running-machine", box(-300, -500, 300, 900), 200, 2000, (150, 0), {"handle"}),
    ("curved-runner", box(-300, -500, 300, 850), 310, 2000, (150, 0), {"handle", "upright"}),
    ("walking-pad", box(-250, -400, 250, 700), 115, 2000, (0, -150), {"frame"}),
    ("stair-machine", box(-290, -220, 290, 600), 710, 2000, (150, 0), {"handle"}),
    # a leg beside the frame
    ("bike", box(-250, 120, -120, 480), 0, 1200, (100, 0), {"frame", "seat"}),
    ("bike-lying", box(50, 0, 200, 700), 0, 440, (-20, 0), {"frame"}),
    ("fan-bike", box(50, 80, 290, 560), 80, 890, (-20, 0), {"frame"}),
    ("rower", box(-290, -100, -160, 1100), 0, 1050, (130, 0), {"rail", "seat"}),
    ("cross-trainer", box(-110, 0, -50, 800), 0, 1400, (-60, 0), {"deck", "rail"}),
    ("pull-ergometer", box(-250, 60, 250, 300), 50, 2150, (0, -100), {"console", "handle"}),
    # between the dip bars, from the front
    ("dip-station", box(-260, -400, 260, 600), 0, 1300, (100, 0), {"handle"}),
    ("pull-up-tower", box(-380, 100, 380, 700), 0, 2100, (100, 0), {"foot", "arm"}),
    # beside the bag above its base, and under the hung one
    ("standing-bag", box(180, -100, 400, 100), 450, 1780, (-50, 0), {"body"}),
    ("hung-bag", box(180, -300, 300, 300), 0, 2000, (-50, 0), {"body"}),
    ("hung-bag", box(-300, -300, 300, 300), 0, 800, (0, 0), set()),
    # below what hangs on a wall, and under a bench top
    ("boiler", box(-225, -175, 225, 175), 0, 1050, (0, 0), set()),
    ("pull-up-bar-wall", box(-550, -300, 550, 300), 0, 1700, (0, 0), set()),
    ("mirror", box(-600, -15, 600, 15), 0, 500, (0, 0), set()),
    ("workbench", box(-630, -200, 630, 140), 0, 850, (50, 0), {"post"}),
    # along a car, behind its mirror
    ("car", box(-1000, -400, -912, 1500), 0, 2000, (0, -200), {"panel"}),
]


@pytest.mark.parametrize(("key", "thing", "low", "high", "move", "into"), GAPS)
def test_a_thing_passes_through_the_gap_and_is_met_beside_it(
    key: str,
    thing: Polygon,
    low: float,
    high: float,
    move: tuple[float, float],
    into: set[str],
) -> None:
    assert meets(key, thing, low, high) == []
    moved = shapely.transform(thing, lambda xy: xy + move)
    assert into <= set(meets(key, moved, low, high))


def test_every_rack_bench_machine_and_bag_with_a_gap_is_tried() -> None:
    tried = {row[0] for row in GAPS}
    wanted = {kit.key for kit in ROWS if kit.group in ("Racks", "Benches", "Machines")}
    assert wanted | {"standing-bag", "hung-bag"} <= tried


def test_bars_are_those_of_the_weightlifting_rules() -> None:
    # IWF Technical and Competition Rules and Regulations: men's bar 2200 long, 1310 between the
    # sleeves, sleeve 415, 28 and 50 in diameter, 20 kg; women's 2010, 1310, 320, 25 and 50, 15 kg
    men, women = KITS["bar-20"], KITS["bar-15"]
    assert men.bar is not None
    assert women.bar is not None
    assert (men.width_mm, men.mass_kg) == (2200, 20)
    assert (men.bar.shaft_mm, men.bar.sleeve_mm) == (1310, 415)
    assert (men.bar.shaft_diameter_mm, men.bar.sleeve_diameter_mm) == (28, 50)
    assert (women.width_mm, women.mass_kg) == (2010, 15)
    assert (women.bar.shaft_mm, women.bar.sleeve_mm) == (1310, 320)
    assert (women.bar.shaft_diameter_mm, women.bar.sleeve_diameter_mm) == (25, 50)
    # within 60 mm the parts make up the whole: the rest is the collars
    assert 0 <= men.width_mm - men.bar.shaft_mm - 2 * men.bar.sleeve_mm <= 60
    assert 0 <= women.width_mm - women.bar.shaft_mm - 2 * women.bar.sleeve_mm <= 60


@pytest.mark.parametrize("key", ["bar-20", "bar-15"])
def test_plates_are_450_across_and_lie_on_the_sleeves(key: str) -> None:
    # IWF Technical and Competition Rules and Regulations: discs of 10 kg and more are 450 across
    kit = KITS[key]
    assert kit.bar is not None
    plates = [solid for solid in kit.solids if solid.part == "plate"]
    assert len(plates) == 2
    for plate in plates:
        x0, y0, x1, y1 = shape(flat(plate, size_of(kit))).bounds
        assert y1 - y0 == 450
        assert place(plate.z[1], size_of(kit)) - place(plate.z[0], size_of(kit)) == 450
        inner = min(abs(x0), abs(x1))
        assert kit.width_mm / 2 - kit.bar.sleeve_mm <= inner < kit.width_mm / 2


@pytest.mark.parametrize("key", ["flat-bench", "upright-bench"])
def test_benches_are_those_of_the_powerlifting_rules(key: str) -> None:
    # IPF Technical Rules Book: pad 290 to 320 wide, 420 to 450 from the floor, at least 1220 long
    kit = KITS[key]
    pad = next(solid for solid in kit.solids if solid.part == "pad")
    x0, y0, x1, y1 = shape(flat(pad, size_of(kit))).bounds
    assert 290 <= x1 - x0 <= 320
    assert y1 - y0 >= 1220
    assert 420 <= place(pad.z[1], size_of(kit)) <= 450


def test_a_bar_goes_onto_every_rest_of_a_rack() -> None:
    # Common practice: the shaft is at least 40 longer than the outside of the posts
    shaft = KITS["bar-20"].bar
    assert shaft is not None
    rests = [(kit.key, rest) for kit in ROWS for rest in kit.rests]
    assert {key for key, _ in rests} >= {"short-rack", "mid-rack", "upright-bench"}
    for key, rest in rests:
        assert shaft.shaft_mm - rest.outside_mm >= 40, key


def test_bare_sizes_of_well_known_spaces() -> None:
    # Common practice: 1000 behind a belt at the least, 2000 recommended; 1500 for a boxer;
    # 150 beyond a bar's end at the least
    behind = next(s for s in KITS["running-machine"].spaces if s.kind == "fall-off")
    assert (behind.side, behind.least_mm, behind.recommended_mm) == ("front", 1000, 2000)
    assert behind.across is not None
    left, right = (place(a, size_of(KITS["running-machine"])) for a in behind.across)
    assert right - left == 1000
    boxer = next(s for s in KITS["standing-bag"].spaces if s.kind == "body")
    assert boxer.recommended_mm == 1500
    ends = [s for s in KITS["bar-20"].spaces if s.kind == "body"]
    assert [(s.side, s.least_mm, s.recommended_mm) for s in ends] == [
        ("left", 150, 300),
        ("right", 150, 300),
    ]


def test_the_far_side_of_a_bag_and_a_dumbbell_aisle_only_warn() -> None:
    for key in ("standing-bag", "hung-bag", "dumbbell-rack-2", "dumbbell-rack-3"):
        for space in KITS[key].spaces:
            assert space.kind == "access" or space.side == "front", (key, space.name)
    assert {s.kind for s in KITS["dumbbell-rack-2"].spaces} == {"access"}
