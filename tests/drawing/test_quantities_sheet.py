"""The list of quantities on paper: every line once, however many sheets it takes."""

from dataclasses import replace

import pytest

from app.drawing.lettering import width_of
from app.drawing.paper import PAPERS
from app.drawing.quantities_sheet import quantities_sheet
from app.drawing.sheet import Sheet
from app.model.plan import Plan
from app.takeoff.line import Bought, Line, Part, TakeOff
from tests.builders import make_plan
from tests.drawing.boxes import lettered, outside, overlaps
from tests.drawing.reading import Seen, parse, seen


def line(i: int, part: Part = "paint", item: str = "") -> Line:
    return Line(
        key=f"paint.{i}",
        part=part,
        item=item or f"Wall paint, shade {i}",
        where=f"wall {i}",
        net=10,
        waste=1,
        unit="L",
        bought=(Bought("tin", "5 L tin", 5, 3, 1000),),
        mass_kg=2,
        rate="by the tin",
    )


def sheet_of(found: TakeOff, paper: str = "A4", plan: Plan | None = None) -> Sheet:
    return quantities_sheet(plan or make_plan(name="Long list"), found, paper=paper)


def read(sheet: Sheet) -> list[list[Seen]]:
    return [list(seen(parse(svg))) for svg in sheet.svgs]


def texts(things: list[Seen]) -> list[str]:
    return [thing.words for thing in things if thing.tag == "text"]


def assert_inside_the_margins(sheet: Sheet) -> None:
    for things in read(sheet):
        for thing in things:
            if thing.ink in ("page", "centring", "zone", "hair"):
                continue
            for x, y in thing.points:
                wide = 0.0
                if thing.tag == "text":
                    bold = thing.element.get("font-weight") == "700"
                    wide = width_of(thing.words, thing.size_mm, bold=bold)
                back = {"middle": wide / 2, "end": wide}.get(
                    thing.element.get("text-anchor", ""), 0.0
                )
                assert x - back >= 10 - 0.01, thing
                assert x - back + wide <= sheet.width_mm - 10 + 0.01, thing
                assert 10 - 0.01 <= y <= sheet.height_mm - 10 + 0.01, thing


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_a_long_list_goes_on_over_sheets_with_every_line_once(paper: str) -> None:
    lines = [line(i, "floor" if i < 3 else "paint" if i < 140 else "small") for i in range(160)]
    sheet = sheet_of(TakeOff(tuple(lines)), paper)
    pages = read(sheet)
    assert len(pages) > 2
    keys = [
        e.get("data-line") for svg in sheet.svgs for e in parse(svg).iter() if e.get("data-line")
    ]
    assert keys == [one.key for one in lines]
    for i, things in enumerate(pages):
        words = texts(things)
        assert words.count("needed") == words.count("to buy") == 1
        assert ("What to buy" if i == 0 else "What to buy, more") in words
        assert f"{i + 1} of {len(pages)}" in words
        last = i + 1 == len(pages)
        assert ("Together, as far as it has prices" in words) == last
        assert ("The list continues on the next sheet." in words) == (not last)
    # 160 lines of 3 tins at 10.00 and of 2 kg
    assert {"€4,800.00", "320"} <= set(texts(pages[-1]))
    assert "Paint and sealers, more" in texts(pages[1])
    assert_inside_the_margins(sheet)


def test_a_short_list_is_one_sheet_that_says_where_each_thing_goes() -> None:
    sheet = sheet_of(TakeOff((line(1), line(2))))
    assert sheet.more == ()
    words = texts(read(sheet)[0])
    assert "wall 1; by the tin" in words
    assert "Quantities" in words


def test_a_list_that_just_fits_without_places_stays_one_sheet() -> None:
    # 40 rows of 5.2 mm fit the 242 mm of an A4, with places under them they would not
    place = "the wall that the door is in, the one across from it, " * 2
    sheet = sheet_of(TakeOff(tuple(replace(line(i), where=place) for i in range(40))))
    assert sheet.more == ()
    assert not [word for word in texts(read(sheet)[0]) if word.startswith("the wall")]


def test_a_list_without_places_still_says_which_screws_are_for_what() -> None:
    place = "the wall that the door is in, the one across from it, " * 2
    lines = [replace(line(i), where=place) for i in range(36)]
    screws = replace(line(36), part="fixings", where="floor: Mid rack")
    sheet = sheet_of(TakeOff((*lines, screws)))
    assert sheet.more == ()
    words = texts(read(sheet)[0])
    assert not [word for word in words if word.startswith("the wall")]
    assert "floor: Mid rack" in words


@pytest.mark.parametrize("paper", ["A4", "A3"])
def test_a_place_stands_beside_its_thing_where_both_go_on_one_line(paper: str) -> None:
    long = replace(line(2), where="the wall that the door is in, " * 6)
    things = read(sheet_of(TakeOff((line(1), long)), paper))[0]
    at = {thing.words: thing for thing in things if thing.tag == "text"}
    thing, beside = at["Wall paint, shade 1"], at["wall 1; by the tin"]
    assert beside.points[0][1] == pytest.approx(thing.points[0][1])
    # 2 mm clear of it, and as far from what is needed of it
    right = thing.points[0][0] + width_of(thing.words, thing.size_mm)
    assert beside.points[0][0] == pytest.approx(right + 2, abs=0.01)
    needed = next(t for t in things if t.words == "10 L")
    end = beside.points[0][0] + width_of(beside.words, beside.size_mm)
    assert end + 2 <= needed.points[0][0] - width_of("10 L", needed.size_mm) + 0.01
    under = next(word for word in at if word.startswith("the wall"))
    assert at[under].points[0][1] > at["Wall paint, shade 2"].points[0][1] + 4


def test_a_long_list_tells_its_places_and_not_where_its_rates_are_from() -> None:
    pages = read(sheet_of(TakeOff(tuple(line(i) for i in range(90)))))
    words = [word for things in pages for word in texts(things)]
    assert [word for word in words if word.startswith("wall ")] == [f"wall {i}" for i in range(90)]


def test_nothing_is_cut_short() -> None:
    many = Bought("a", "25 L drum with a lid and a tap", 25, 3, 100)
    item = "Paint for " + " and ".join(f"wall {i}" for i in range(30))
    long = replace(line(1, item=item), bought=(many, replace(many, key="b"), many), where=item)
    sheet = sheet_of(TakeOff((long, line(2))))
    told = " ".join(texts(read(sheet)[0]))
    assert "…" not in told
    assert item in told
    assert told.count("25 L drum with a lid and a tap") == 3
    assert_inside_the_margins(sheet)


def test_what_is_worth_saying_goes_on_over_sheets_and_nothing_is_left_out() -> None:
    says = tuple(f"Sentence {i} says " + "what one should know of it " * 6 + "." for i in range(90))
    sheet = sheet_of(TakeOff((line(1),), problems=("no paint for the door",), says=says))
    pages = read(sheet)
    assert len(pages) > 1
    told = " ".join(word for things in pages for word in texts(things))
    assert "Not counted: no paint for the door" in told
    for i in range(90):
        assert told.count(f"Sentence {i} says") == 1
    # the sums stand at the end of the list, which ends on the first sheet
    assert "Together, as far as it has prices" in texts(pages[0])
    assert_inside_the_margins(sheet)


def test_an_empty_list_is_a_sheet_with_nothing_to_pay() -> None:
    sheet = sheet_of(TakeOff(()))
    assert sheet.more == ()
    assert "€0.00" in texts(read(sheet)[0])


@pytest.mark.parametrize("count", [60, 75, 100])
def test_the_pages_of_a_list_end_at_about_one_height(count: int) -> None:
    sheet = sheet_of(TakeOff(tuple(line(i) for i in range(count)), (), ()))
    ticks = [sum(1 for t in texts(page) if t.startswith("Wall paint")) for page in read(sheet)]
    assert len(ticks) > 1
    assert sum(ticks) == count
    # the last has the sums too: a row or two fewer
    assert max(ticks) - min(ticks) <= 3


def test_without_prices_no_money_is_told_and_the_weight_stays() -> None:
    found = TakeOff(lines=(line(1), replace(line(2), bought=())), problems=(), says=())
    for prices in (True, False):
        sheet = quantities_sheet(make_plan(name="List"), found, prices=prices)
        words = texts([thing for things in read(sheet) for thing in things])
        money = [text for text in words if "€" in text or text in ("no price", "cost")]
        assert bool(money) is prices, money
        assert "4" in words  # 2 kg each


def test_a_list_that_is_too_long_for_upright_paper_stands_in_two_columns_of_a_lying_one() -> None:
    # by lot: the longest list that one lying sheet holds is longer than what an upright one holds
    held = {}
    for count in (60, 75, 90):
        lines = tuple(line(i) for i in range(count))
        sheet = quantities_sheet(make_plan(name="List"), TakeOff(lines, (), ()), paper="A3")
        held[count] = (len(sheet.pages), sheet.pages[0].width_mm)
        told = [t for page in read(sheet) for t in texts(page) if t.startswith("Wall paint")]
        assert len(told) == count
        for page in sheet.pages:
            words = lettered(page)
            assert not overlaps(words)
            assert not outside(page, words)
    assert (1, 420.0) in held.values()
    # A4 lying would leave no column as wide as the table needs
    small = quantities_sheet(
        make_plan(name="List"), TakeOff(tuple(line(i) for i in range(60)), (), ())
    )
    assert {page.width_mm for page in small.pages} == {210.0}
