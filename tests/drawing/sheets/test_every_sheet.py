"""Every sheet of every sample: words in the frame, upright, none in another; nothing cut."""

import pytest

from app.drawing.paper import PAPERS
from app.drawing.sheet import Sheet
from app.drawing.sheets.setting_out import setting_out_sheet
from app.drawing.sheets.walls import walls_sheet
from app.model.base import json_of
from app.model.plan import Plan
from app.scene.build import build_scene
from app.units import Units
from app.usecases.drawing_set import DRAWN, SET, draw_named, names_of
from app.usecases.files import samples
from tests.builders import make_person, make_plan, make_room, place
from tests.drawing.boxes import lettered, outside, overlaps
from tests.drawing.crossing import crossed, strayed
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample, sheet, subjects

KEYS = [one.key for one in samples()]
LONG = "Grandfather's old plate tree with the bent peg that " * 4


def faults(drawn: Sheet, meet: bool = True) -> list[object]:
    found: list[object] = []
    for page in drawn.pages:
        words = lettered(page)
        found += outside(page, words)
        found += strayed(page)
        found += [one.words for one in words if not one.upright]
        found += [one.words for one in words if one.capital_mm < 2.5 - 1e-3]
        if meet:
            found += overlaps(words)
            found += crossed(page)
    return found


@pytest.mark.parametrize(
    ("key", "paper", "which"),
    [
        (key, paper, which)
        for key, paper in (("double-garage", "A3"), ("upstairs-room", "A4"))
        for which in DRAWN
        # the works of one sample will do: to plan them takes longer than to draw them
        if which != "floor" and (which, key) != ("works", "double-garage")
    ],
)
def test_words_keep_to_the_frame_and_off_one_another(key: str, paper: str, which: str) -> None:
    assert faults(sheet(sample(key), which, paper)) == []


@pytest.mark.parametrize("paper", ["A3", "Tabloid"])
def test_the_name_of_a_narrow_thing_stands_off_the_words_that_it_is_too_high(paper: str) -> None:
    # in feet its sizes are as long as the shelving is high, and its words in red stand in it too
    drawn = sheet(sample("upstairs-room", "feet"), "walls", paper)
    assert faults(drawn) == []
    words = [one.words for page in drawn.pages for one in lettered(page)]
    assert {'2 3/8" too high', "Shelving", 'bottom 3/8"'} <= set(words)


@pytest.mark.long
@pytest.mark.parametrize("units", ["metric", "feet"])
@pytest.mark.parametrize("paper", sorted(PAPERS))
@pytest.mark.parametrize("key", KEYS)
def test_on_all_papers_in_both_units(key: str, paper: str, units: Units) -> None:
    of = sample(key, units)
    for which, _ in names_of(of.plan):
        assert faults(sheet(of, which, paper)) == [], which


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_by_its_line_a_sheet_says_on_which_paper_its_scale_is_true(paper: str) -> None:
    units: Units = "metric" if paper.startswith("A") else "feet"
    rack = place("mid-rack", 1500, 1500, piece_id="rack")
    data = json_of(make_plan(rack, room=make_room(4000, 3000)))
    of = subjects(Plan.model_validate({**data, "units": units}))
    for which in ("walls", "templates"):
        (page, *_) = sheet(of, which, paper).pages
        words = [one.words for one in lettered(page)]
        (line,) = [one for one in words if "not 100 mm" in one]
        assert line.endswith(f"the scale is not true: print at 100 %, on {paper}")
        assert any(one.endswith(f" on {paper}") and one != line for one in words)


def test_a_picture_gives_way_before_the_cautions_of_a_cover_go_on_another_sheet() -> None:
    # 8 snags, 4 questions and all cautions: at 1:30, the largest, they would need a second sheet
    drawn = draw_named(sample("double-garage"), SET, "A3", None, ())
    covers = [page for page in drawn.pages if ": cover" in page.title]
    assert (len(covers), drawn.scale) == (1, 45)
    words = [one.words for one in lettered(covers[0])]
    assert "Cautions" in words
    assert "Cautions, more" not in words
    # few words leave the picture as large as it can be
    assert draw_named(sample("upstairs-room"), SET, "A3", None, ()).scale == 30


def test_words_of_a_cover_keep_to_the_frame_and_off_one_another() -> None:
    for paper in ("A3", "A4"):
        first = draw_named(sample("upstairs-room"), SET, paper, None, ("costs",)).pages[0]
        assert ": cover" in first.title
        assert faults(Sheet((first,), paper, 1)) == []


@pytest.mark.long
@pytest.mark.parametrize("paper", sorted(PAPERS))
@pytest.mark.parametrize("key", KEYS)
def test_a_whole_set_with_its_cover_on_all_papers(key: str, paper: str) -> None:
    units: Units = "metric" if paper.startswith("A") else "feet"
    drawn = sheet(sample(key, units), SET, paper)
    assert faults(drawn) == []
    # the cover says on which sheet each begins: no page is without its number
    assert len(drawn.pages) > len(names_of(sample(key).plan))


def test_what_has_room_on_one_paper_stands_on_one() -> None:
    # as counted by eye: words stand under a figure too, and beside long walls
    scene = build_scene(next(one.plan for one in samples() if one.key == "basement"))
    assert len(setting_out_sheet(scene, paper="A3").pages) == 1
    assert len(walls_sheet(scene, paper="A3").pages) == 2


@pytest.mark.parametrize("which", ["plan", "setting-out", "section", "headroom", "power"])
def test_half_an_inch_to_the_foot_on_one_paper_before_three_quarters_on_two(which: str) -> None:
    # 5000 / 24 = 208 with its walls and lengths: half of a Tabloid is free for the words
    drawn = sheet(sample("single-garage", "feet"), which, "Tabloid")
    assert (drawn.scale, len(drawn.pages)) == (24, 1)


def test_names_of_200_signs_from_the_right_and_with_pictures_are_whole() -> None:
    names = (
        LONG[:200],
        "מתקן משקולות ליד הקיר",
        "Rack \N{WEIGHT LIFTER} of \N{WHITE SMILING FACE}",
    )
    pieces = [
        place("plate-tree", 800 + 900 * i, 800, piece_id=f"p{i}").model_copy(
            update={"label": name[:200]}
        )
        for i, name in enumerate(names)
    ]
    of = subjects(make_plan(*pieces, name=LONG[:200], people=[make_person(1800)]))
    for which in ("plan", "setting-out"):
        drawn = sheet(of, which)
        assert faults(drawn, meet=False) == []
        assert drawn.pdf().startswith(b"%PDF")
    told = " ".join(t.words for svg in sheet(of, "plan").inside for t in seen(parse(svg)))
    assert "[weight lifter]" in told
    assert "מתקן" in told
    assert "Grandfather's" in told


def called_at_length(key: str, unbroken: bool = False) -> Plan:
    """A sample where the plan, its owner and all that has a name is called by 200 letters."""
    data = json_of({one.key: one for one in samples()}[key].plan)

    def called(what: str) -> str:
        return (what + ("mWW" * 80 if unbroken else f" {LONG}"))[:200]

    def call(part: object) -> None:
        if isinstance(part, dict):
            for name, value in part.items():
                if name == "label":
                    part[name] = called(str(value or "thing"))
                call(value)
        for each in part if isinstance(part, list) else ():
            call(each)

    call(data)
    for piece in data["pieces"]:
        # two pieces of one name are told as one
        piece["label"] = called(piece["id"])
    return Plan.model_validate({**data, "name": called("Plan"), "drawn_for": called("House")})


@pytest.mark.parametrize(
    ("key", "paper", "which", "unbroken"),
    [
        ("double-garage", "A4", "walls", False),
        ("basement", "Letter", "plan", False),
        *(
            pytest.param(*one, marks=pytest.mark.long)
            for one in (
                ("double-garage", "A4", SET, False),
                ("double-garage", "A4", SET, True),
                ("basement", "Letter", SET, False),
                ("basement", "Letter", "setting-out", False),
                ("upstairs-room", "Tabloid", SET, False),
                ("double-garage", "A4", "picture", True),
            )
        ),
    ],
)
def test_where_all_is_called_at_length_names_keep_to_the_frame(
    key: str, paper: str, which: str, unbroken: bool
) -> None:
    drawn = draw_named(subjects(called_at_length(key, unbroken)), which, paper, None)
    assert faults(drawn) == []


def test_a_name_that_is_cut_short_in_a_drawing_is_told_whole_in_its_words() -> None:
    plan = called_at_length("basement")
    beam = next(one.label for one in plan.room.low_things)
    of = subjects(plan)
    for which, whole in (("plan", beam), ("headroom", beam), ("picture", beam), ("walls", beam),
                         ("plan", plan.name), ("plan", plan.drawn_for)):  # fmt: skip
        words = [one.words for page in sheet(of, which).pages for one in lettered(page)]
        # on several lines, each as it is broken there
        assert whole in " ".join(words), (which, whole)


@pytest.mark.parametrize(
    "plan",
    [
        make_plan(room=make_room(2000, 1500)),
        make_plan(room=make_room(40_000, 5000)),
        make_plan(
            place("mid-rack", 3000, 1500),
            place("rower", 36_000, 2500),
            room=make_room(40_000, 5000),
            people=[make_person(1800)],
        ),
        make_plan(room=make_room(900, 12_000, height=1900)),
    ],
    ids=["empty", "40 m", "40 m with a person", "narrow and low"],
)
def test_rooms_out_of_the_common_are_drawn_whole(plan: Plan) -> None:
    of = subjects(plan)
    for which in ("plan", "setting-out", "section", "walls"):
        assert faults(sheet(of, which, "A4"), meet=False) == [], which


@pytest.mark.long
def test_300_pieces_are_all_in_the_key_and_set_out() -> None:
    pieces = [
        place("plate-tree", 700 + 900 * (i % 20), 700 + 900 * (i // 20), piece_id=f"p{i:03}")
        for i in range(300)
    ]
    of = subjects(make_plan(*pieces, room=make_room(19_000, 15_000)))
    key = [
        e.get("data-key")
        for svg in sheet(of, "plan").inside
        for e in parse(svg).iter()
        if e.get("data-key")
    ]
    assert key == [str(i) for i in range(1, 301)]
    marks = [
        e.get("data-mark")
        for svg in sheet(of, "setting-out").inside
        for e in parse(svg).iter()
        if e.get("data-mark")
    ]
    assert len(set(marks)) == 1200


def test_numbers_of_300_pieces_in_a_heap_keep_off_one_another_and_what_is_left_out_is_said() -> (
    None
):
    # 300 mm apart at 1:50 or less: rings are 6.4 mm wide, so most find no room
    pieces = [
        place("plate-tree", 700 + 300 * (i % 20), 700 + 300 * (i // 20), piece_id=f"p{i:03}")
        for i in range(300)
    ]
    of = subjects(make_plan(*pieces, room=make_room(7000, 6000)), flags=False)
    pages = sheet(of, "plan", "A3").pages
    words = [one for page in pages for one in lettered(page)]
    numbers = [one for one in lettered(pages[0]) if one.ink == "numeral" and one.words.isdigit()]
    assert overlaps(numbers) == []
    assert "are left out of the drawing" in " ".join(one.words for one in words)
    # a piece further apart than rings are wide has its own, few as there are
    assert 20 < len({one.words for one in numbers}) < 300
