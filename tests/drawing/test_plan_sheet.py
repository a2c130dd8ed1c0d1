"""The plan sheet: true to scale, whole, and nothing outside its frame."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.checks.run import in_few_words, run
from app.drawing.lettering import width_of
from app.drawing.marks import Severity
from app.drawing.paper import PAPERS, SheetError
from app.drawing.plan_sheet import MOST_FLAGS, plan_sheet
from app.drawing.sheet import Sheet, TitleFields
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import build_scene
from app.units import Units
from tests.builders import make_person, make_plan, make_room, place
from tests.drawing.boxes import lettered
from tests.drawing.reading import Point, Seen, parse, seen
from tests.drawing.sheets.judged import sample, sheet
from tests.layouts import garage, good_layout, rack_moved

# corners of an L, clockwise as drawn, in mm
L_CORNERS = ((0, 0), (4200, 0), (4200, 2400), (2600, 2400), (2600, 5000), (0, 5000))


@dataclass(frozen=True)
class Told:
    """A snag as a sheet shows it."""

    key: str
    severity: Severity
    who: str
    where: tuple[float, float] | None

    def worded(self, units: Units) -> str:
        return "something is in the way"

    def lines(self, units: Units) -> tuple[str, ...]:
        return ()


def sheet_of(plan: Plan, paper: str = "A3", scale: int | None = None, flags: bool = True) -> Sheet:
    scene = build_scene(plan)
    snags = run(scene) if flags else ()
    return plan_sheet(scene, snags, paper=paper, scale=scale, flags=flags)


def everything(sheet: Sheet) -> list[Seen]:
    return list(seen(parse(sheet.svg)))


def in_group(things: Sequence[Seen], ink: str) -> list[Seen]:
    return [thing for thing in things if ink in thing.inside]


def corners_of(things: Sequence[Seen], ink: str) -> tuple[Point, ...]:
    (found,) = [thing for thing in things if thing.ink == ink]
    return found.points


def spread(points: Sequence[Point]) -> tuple[float, float]:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return max(xs) - min(xs), max(ys) - min(ys)


def box_of(thing: Seen) -> list[Point]:
    """The corners of what an element covers; lettering by its width, cautiously."""
    if thing.tag != "text":
        return list(thing.points)
    ((x, y),) = thing.points
    bold = thing.element.get("font-weight") == "700"
    wide = width_of(thing.words, thing.size_mm, bold=bold)
    back = {"middle": wide / 2, "end": wide}.get(thing.element.get("text-anchor", ""), 0.0)
    if "rotate" in thing.element.get("transform", ""):
        return [(x - thing.size_mm, y - wide), (x + thing.size_mm * 0.25, y + wide)]
    return [(x - back, y - thing.size_mm * 0.75), (x - back + wide, y + thing.size_mm * 0.2)]


def assert_inside_the_frame(sheet: Sheet) -> None:
    for page in sheet.pages:
        assert_inside(page.as_svg(alone=False), sheet)


def assert_inside(svg: str, sheet: Sheet) -> None:
    for thing in seen(parse(svg)):
        if thing.ink in ("page", "centring", "zone", "hair"):
            continue
        for x, y in box_of(thing):
            assert 20 - 0.01 <= x <= sheet.width_mm - 10 + 0.01, thing
            assert 10 - 0.01 <= y <= sheet.height_mm - 10 + 0.01, thing


@pytest.mark.parametrize(
    ("paper", "wide", "high"),
    # ISO 216 and ASME Y14.1, lying: this garage is wider than deep with its chains
    [("A3", "420mm", "297mm"), ("A4", "297mm", "210mm"), ("Letter", "279.4mm", "215.9mm")],
)
def test_the_file_has_the_size_of_the_paper(paper: str, wide: str, high: str) -> None:
    sheet = sheet_of(make_plan(room=garage()), paper)
    root = parse(sheet.svg)
    assert {root.get("width"), root.get("height")} == {wide, high}
    assert root.get("viewBox") == f"0 0 {sheet.width_mm:g} {sheet.height_mm:g}"


@pytest.mark.parametrize("scale", [25, 50, 32, 48])
def test_the_room_is_true_to_scale(scale: int) -> None:
    things = everything(sheet_of(make_plan(room=garage()), "A3", scale))
    # the garage is 5320 x 5180 mm between its walls
    assert spread(corners_of(things, "floor")) == pytest.approx(
        (5320 / scale, 5180 / scale), abs=1e-3
    )


def test_the_line_to_measure_is_100_mm() -> None:
    for paper in PAPERS:
        things = everything(sheet_of(good_layout(), paper))
        (line,) = [t for t in things if t.element.get("data-measure") == "100"]
        assert math.dist(*line.points) == pytest.approx(100, abs=1e-9)
        assert line.points[0][1] == line.points[1][1]


def test_scale_bar_is_true() -> None:
    things = in_group(everything(sheet_of(good_layout(), "A3", 25)), "scale-bar")
    fields = [t for t in things if t.tag == "polygon"]
    # 2 m at 1:25 are 80 mm
    assert spread([p for t in fields for p in t.points])[0] == pytest.approx(80)
    assert [t.words for t in things if t.tag == "text"] == ["0", "0.5", "1", "1.5", "2 m"]


def test_widths_of_line_are_of_the_series_and_capitals_of_2_5_mm() -> None:
    things = everything(sheet_of(good_layout(), "A3", 25))
    weight = {ink: t.stroke_mm for t in things for ink in t.ink.split() if t.tag != "text"}
    assert weight["wall"] == pytest.approx(0.5, abs=1e-3)
    assert weight["thing"] == pytest.approx(0.25, abs=1e-3)
    assert weight["dim"] == pytest.approx(0.13, abs=1e-3)
    assert weight["frame"] == pytest.approx(0.7, abs=1e-3)
    # the series of ISO 128-2
    series = (0, 0.13, 0.18, 0.25, 0.35, 0.5, 0.7)
    for ink, width in weight.items():
        assert min(abs(width - each) for each in series) < 1e-3, ink
    # the font's capitals are 1462 of 2048 parts of its size high
    sizes = {t.size_mm for t in things if t.tag == "text"}
    assert min(sizes) * 1462 / 2048 >= 2.5 - 1e-3


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_every_piece_has_a_number_and_a_line_in_the_key(paper: str) -> None:
    sheet = sheet_of(good_layout(), paper)
    elements = [e for svg in sheet.svgs for e in parse(svg).iter()]
    numbers = [e.get("data-number") for e in elements if e.get("data-of")]
    key = [e.get("data-key") for e in elements if e.get("data-key")]
    assert len(numbers) == len(key) == 14
    assert sorted(numbers, key=str) == sorted(key, key=str)


@pytest.mark.long
def test_a_crowd_of_pieces_goes_on_to_further_sheets() -> None:
    pieces = [place("plate-tree", 300 + 40 * i, 300, piece_id=f"p-{i}") for i in range(100)]
    sheet = sheet_of(make_plan(*pieces), "A4", flags=False)
    assert len(sheet.svgs) > 1
    key = [e.get("data-key") for svg in sheet.svgs for e in parse(svg).iter() if e.get("data-key")]
    assert key == [str(i) for i in range(1, 101)]
    assert sheet.note == ""


def test_snags_that_find_no_room_go_on_whole_and_once() -> None:
    plan = good_layout(*rack_moved(-700))
    scene = build_scene(plan)
    snags = in_few_words(run(scene))
    sheet = plan_sheet(scene, snags, paper="A4")
    assert len(sheet.more) == 2
    lists = [
        [t for t in seen(parse(svg)) if t.tag == "text" and "snags" in t.inside]
        for svg in sheet.svgs
    ]
    numbers = [
        int(t.words) for things in lists for t in things if t.words.isdigit() and "list-" in t.ink
    ]
    assert numbers == list(range(1, len(snags) + 1))
    told = " ".join(t.words for things in lists for t in things if t.ink == "small")
    for snag in snags:
        sentences = [f"{snag.who}:", *snag.lines("metric")]
        if len(sentences) == 1:
            sentences = [f"{snag.who}: {snag.sentence}"]
        for sentence in sentences:
            assert told.count(sentence) == 1, sentence
    assert "…" not in told
    words = {t.words for svg in sheet.svgs for t in seen(parse(svg))}
    assert {"1 of 3", "2 of 3", "3 of 3"} <= words
    assert_inside_the_frame(sheet)


def test_one_long_answer_is_divided_between_columns_and_nothing_of_it_lost() -> None:
    words = [f"word-{i}" for i in range(3000)]
    sheet = plan_sheet(build_scene(good_layout()), (), paper="A4", settled=[(7, " ".join(words))])
    assert len(sheet.more) > 1
    told = " ".join(
        t.words
        for svg in sheet.svgs
        for t in seen(parse(svg))
        if t.ink == "small" and "snags" in t.inside
    )
    assert [word for word in told.split() if word.startswith("word-")] == words
    assert_inside_the_frame(sheet)


def test_what_says_several_things_is_a_list() -> None:
    scene = build_scene(good_layout())
    (turns,) = [snag for snag in run(scene) if snag.code == "shared-in-turn"]
    sheet = plan_sheet(scene, [turns], paper="A3")
    things = [t for svg in sheet.svgs for t in seen(parse(svg))]
    listed = [t.words for t in in_group(things, "snags") if t.ink == "small"]
    assert listed[0] == "Taking turns:"
    assert listed.count("–") == len(turns.parts) > 2


def test_flags_on_and_off() -> None:
    plan = good_layout(*rack_moved(-700))
    scene = build_scene(plan)
    snags = run(scene)
    with_flags, without = sheet_of(plan, flags=True), sheet_of(plan, flags=False)
    planted = [e for e in parse(with_flags.svg).iter() if e.get("data-severity")]
    assert len(planted) == sum(1 for snag in snags if snag.where is not None) > 3
    told = " ".join(words.words for page in with_flags.pages for words in lettered(page))
    assert snags[0].sentence[:30] in told
    assert "data-severity" not in without.svg
    assert "Open snags" not in "".join(without.svgs)


def test_flags_carry_the_numbers_they_are_given() -> None:
    scene = build_scene(good_layout(*rack_moved(-700)))
    snags = run(scene)
    numbers = {snag.key: 40 + i for i, snag in enumerate(snags)}
    root = parse(plan_sheet(scene, snags, numbers=numbers).svg)
    flags = {e.get("data-number") for e in root.iter() if e.get("data-severity")}
    assert flags == {str(numbers[s.key]) for s in snags if s.where is not None}


def test_settled_snags_are_listed_and_not_flagged() -> None:
    sheet = plan_sheet(build_scene(good_layout()), (), settled=[(7, "Tried it, it fits.")])
    assert "Settled: Tried it, it fits." in "".join(sheet.svgs)
    assert "data-severity" not in sheet.svg


def test_plans_in_feet_have_their_own_scales() -> None:
    plan = Plan(name="Feet", units="feet", room=make_room(2400, 2400))
    sheet = sheet_of(plan, "Letter")
    assert sheet.scale == 24
    assert "1/2 in to the foot (1:24)" in sheet.svg
    # 2400 mm are 7 ft 10.488 in, to the nearest sixteenth 7' 10 1/2"
    assert "7' 10 1/2\"" in sheet.svg
    assert " ft<" in sheet.svg


def test_a_room_too_large_for_the_scale_is_drawn_smaller_and_says_so() -> None:
    # at 1:25 it takes four sheets of A4, which join; at 1:10 more than anybody lays together, and
    # the next scale that four hold is taken
    assert sheet_of(make_plan(room=garage()), "A4", 25).scale == 25
    sheet = sheet_of(make_plan(room=garage()), "A4", 10)
    assert (sheet.scale, sheet.note[:28]) == (20, "at 1:10 the room does not fi")
    assert "; at 1:20 it takes 4 sheets of A4" in sheet.note
    assert "1:20 on A4" in sheet.svg
    with pytest.raises(SheetError, match="no scale 1:7"):
        sheet_of(make_plan(room=garage()), "A4", 7)


def test_markup_in_names_stays_text() -> None:
    name = "<script>alert(1)</script>"
    plan = make_plan(place("plate-tree", label=name), name=name)
    svg = plan_sheet(build_scene(plan), fields=TitleFields("<i>", "<b>", "<u>")).svg
    assert "<script" not in svg
    assert "&lt;script&gt;" in svg
    assert "&lt;u&gt;" in svg


def test_title_block_says_what_it_is_given() -> None:
    plan = make_plan(people=[make_person(1880), make_person(1640, person_id="two", alone=False)])
    sheet = plan_sheet(build_scene(plan), fields=TitleFields("14", "3 March", "the house"))
    things = everything(sheet)
    block = {t.words for t in in_group(things, "title-block")}
    # the fields of ISO 7200 that must be there, and what stands in them
    assert {
        "Legal owner", "Identification", "Date of issue", "Sheet", "Title", "Approved by",
        "Created by", "Document type", "Revision", "Scale",
    } <= block  # fmt: skip
    assert {
        "14",
        "3 March",
        "the house",
        "1 of 1",
        f"1:{sheet.scale} on A3",
        "Plan",
        "drawing",
    } <= block
    assert "A (1.88 m, trains alone) and B (1.64 m)" in {t.words for t in things}


def test_cautions_stand_on_every_sheet() -> None:
    for paper in PAPERS:
        sheet = sheet_of(good_layout(), paper, flags=False)
        things = [t for svg in sheet.svgs for t in seen(parse(svg))]
        words = " ".join(t.words for t in in_group(things, "cautions"))
        subjects = ("Overhead loads", "Lifting alone", "Fixings", "Electricity", "Fumes", "Glass")
        for subject in (*subjects, "Escape", "Asbestos", "maker"):
            assert subject in words


def test_every_wall_of_a_crooked_outline_gets_its_length() -> None:
    things = everything(sheet_of(make_plan(room=make_room(corners=L_CORNERS))))
    told = sorted(t.words for t in things if t.ink == "dimt")
    assert told == sorted(["4200", "2400", "1600", "2600", "2600", "5000"])


def test_openings_make_a_chain() -> None:
    window = Opening(
        id="w", wall="back", kind="window", offset_mm=700, width_mm=1200, height_mm=900
    )
    things = everything(sheet_of(make_plan(room=make_room(4000, 3000, openings=[window]))))
    told = sorted(t.words for t in things if t.ink == "dimt")
    # 4000 - 700 - 1200 = 2100
    # and under the width of the window its height
    assert told == sorted(["700", "1200", "2100", "4000", "3000", "h 900"])


def test_a_door_is_drawn_open_with_its_swing() -> None:
    door = Opening(id="d", wall="left", kind="hinged", offset_mm=500, width_mm=800, height_mm=2000)
    things = everything(sheet_of(make_plan(room=make_room(4000, 3000, openings=[door])), scale=25))
    (leaf,) = [t for t in things if t.ink == "leaf"]
    assert math.dist(*leaf.points) == pytest.approx(800 / 25)
    (swing,) = [t for t in things if t.ink == "swing"]
    # from the tip of the open leaf to its shut place: the diagonal of a square of 800
    assert math.dist(*swing.points) == pytest.approx(800 * math.sqrt(2) / 25, abs=1e-3)


def test_height_under_the_open_garage_door_is_told() -> None:
    svg = sheet_of(good_layout()).svg
    # 2130 less the 100 that such a door takes of its opening
    assert "Garage door when open 2030" in svg
    assert "Under joists 2310" in svg


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_nothing_stands_outside_the_frame(paper: str) -> None:
    assert_inside_the_frame(sheet_of(good_layout(*rack_moved(-700)), paper))


def test_what_is_outside_the_room_is_told_not_drawn() -> None:
    sheet = sheet_of(make_plan(place(x=50_000, label="Lost tree"), place("bike", -200)))
    assert_inside_the_frame(sheet)
    words = " ".join(t.words for t in everything(sheet) if "key" in t.inside)
    assert "Lost tree (outside the room, not drawn)" in words
    assert 'data-piece="plate-tree"' not in sheet.svg
    assert 'data-piece="bike"' in sheet.svg


@given(
    width=st.integers(1200, 9000),
    depth=st.integers(1200, 9000),
    paper=st.sampled_from(sorted(PAPERS)),
    name=st.text(min_size=1, max_size=60),
)
def test_any_room_lies_within_the_frame(width: int, depth: int, paper: str, name: str) -> None:
    plan = make_plan(place(x=width / 2, y=depth / 2), room=make_room(width, depth), name=name)
    sheet = sheet_of(plan, paper)
    assert_inside_the_frame(sheet)
    wide, high = spread(corners_of(everything(sheet), "floor"))
    assert (wide * sheet.scale, high * sheet.scale) == pytest.approx((width, depth), abs=0.1)


def test_the_same_plan_gives_the_same_file() -> None:
    assert sheet_of(good_layout()).svg == sheet_of(good_layout()).svg


def test_a_long_name_in_the_key_runs_on_and_is_not_shortened() -> None:
    long = "Grandfather's old plate tree with the bent peg " * 2 + "mended at last"
    plain = [place("plate-tree", 600 + 700 * i, 600, piece_id=f"p-{i}") for i in range(3)]
    named = plain[1].model_copy(update={"label": long})
    for paper in ("A4", "A3"):
        sheet = sheet_of(make_plan(plain[0], named, plain[2]), paper, flags=False)
        things = [t for svg in sheet.svgs for t in seen(parse(svg))]
        key = [t for t in things if t.ink == "row" and "key" in t.inside]
        assert " ".join(t.words for t in key) == f"Plate tree {long} Plate tree"
        # every line stands clear under the one before it: letters are 2.5 mm or larger
        feet = [t.points[0][1] for t in key]
        assert all(b - a >= 2.5 for a, b in pairwise(feet))
        assert_inside_the_frame(sheet)


def test_of_very_many_flags_the_gravest_are_planted_and_the_list_has_all() -> None:
    scene = build_scene(good_layout())
    many = [
        Told(f"care-{i}", "care", "a piece", (400.0 + 20 * i, 900.0)) for i in range(MOST_FLAGS)
    ] + [Told("stop", "stop", "another piece", (1500.0, 1500.0))]
    sheet = plan_sheet(scene, many)
    planted = {e.get("data-number") for e in parse(sheet.svg).iter() if e.get("data-severity")}
    # the one stop is numbered last and planted first
    assert len(planted) == MOST_FLAGS
    assert str(len(many)) in planted
    told = " ".join(words.words for page in sheet.pages for words in lettered(page))
    assert f"the flags of the first {MOST_FLAGS} of {len(many)} alone" in told
    assert told.count("is in the way") == len(many)


def test_walls_called_by_a_letter_are_named_where_they_are_and_slopes_told_in_the_key() -> None:
    of = sample("upstairs-room")
    (page, *_) = sheet(of, "plan").inside
    lettered_walls = re.compile("Wall [A-Z]")
    named = {t.words: t.points[0] for t in seen(parse(page)) if lettered_walls.fullmatch(t.words)}
    assert set(named) == {"Wall C", "Wall D"}
    # by the sample: the slope begins 1000 from the back wall
    words = " ".join(t.words for t in seen(parse(page)))
    assert "parts of the ceiling meet, 1000 from the back wall" in words
    for key in ("single-garage", "basement"):
        whole = sheet(sample(key), "plan").inside[0]
        assert not [t.words for t in seen(parse(whole)) if lettered_walls.fullmatch(t.words)]
