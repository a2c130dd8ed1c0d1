"""A drawing over several papers: nothing of it is lost, nothing stands on two of them."""

import re
from collections.abc import Iterator, Sequence

import pytest
import shapely
from shapely import LineString, Polygon

from app.drawing.clipped import clipped, word_boxes
from app.drawing.figures_placed import Figure
from app.drawing.match_lines import MOST_PARTS, parted
from app.drawing.medium import Medium
from app.drawing.paper import PAPERS
from app.drawing.primitives import Arc, Circle, Group, Item, Line, Region, Strokes, Text
from app.drawing.primitives import Polygon as Ring
from tests.builders import make_plan, make_room, place
from tests.drawing.boxes import lettered
from tests.drawing.sheets.judged import sample, sheet, subjects
from tests.drawing.sheets.test_every_sheet import faults

BOX = ((0.0, 0.0), (8000.0, 0.0), (8000.0, 4000.0), (0.0, 4000.0))
WHOLE: tuple[Item, ...] = (
    Line((100, 100), (7900, 100), "dim"),
    Strokes((((0, 300), (8000, 300)), ((200, 0), (200, 4000))), "hatch-line"),
    Ring(((1000, 1000), (6000, 1000), (6000, 3000), (1000, 3000)), "thing"),
    Region((BOX, ((500, 500), (7000, 500), (7000, 3500))), ""),
    Group((Line((0, 0), (3000, 0), "thin"),), "turned", move=(4000, 3800), turn_deg=-90, scale=1.2),
    Text((4000, 2000), "in the middle of it all", "dimt"),
    Text((1500, 2200), "left", "dimt"),
    Circle((4000, 2500), 30, "balloon"),
    Circle((4200, 2500), 900, "thing"),
)  # fmt: skip


def test_both_sides_of_a_cut_together_are_the_whole() -> None:
    left, right = shapely.box(-100, -100, 4100, 4100), shapely.box(4100, -100, 8100, 4100)
    halves = [clipped(WHOLE, side, 20.0) for side in (left, right)]
    # strokes: 7800 + 8000 + 4000 + 3000 drawn 1.2 as long
    assert sum(length(half) for half in halves) == pytest.approx(7800 + 8000 + 4000 + 3600)
    # surfaces by hand: 5000 x 2000; 8000 x 4000 less a right triangle of 6500 x 3000; a disc
    wanted = 5000 * 2000 + 8000 * 4000 - 6500 * 3000 / 2 + 3.14159265 * 900**2
    assert sum(area(half) for half in halves) == pytest.approx(wanted, rel=1e-3)
    for half, side in zip(halves, (left, right), strict=True):
        for item in half:
            if isinstance(item, Line):
                assert side.covers(LineString([item.start, item.end]))
    # words and a number's ring stay whole, each on one side
    words = [[t.words for t in half if isinstance(t, Text)] for half in halves]
    assert words == [["in the middle of it all", "left"], []]
    rings = [[c for c in half if isinstance(c, Circle) and c.radius < 100] for half in halves]
    assert [len(some) for some in rings] == [1, 0]
    assert len(list(word_boxes(WHOLE, 20.0))) == 3


def test_a_quarter_circle_is_cut_where_it_crosses() -> None:
    # from (1000, 0) to (0, 1000) round the origin, as y runs down clockwise
    arc = Arc((1000, 0), (0, 1000), 1000, True, "swing")
    (whole,) = clipped((arc,), shapely.box(-1, -1, 1001, 1001), 1.0)
    assert whole == arc
    (part,) = clipped((arc,), shapely.box(-1, -1, 500, 1001), 1.0)
    xs = [(x, y) for x, y in part.points]  # type: ignore[union-attr]
    assert all(abs(x * x + y * y - 1e6) < 5e3 for x, y in xs)
    # at x 500 it is 866 down: the sine of 60 degrees
    assert max(xs)[1] == pytest.approx(866, abs=4)


def length(items: Sequence[Item], by: float = 1.0) -> float:
    found = 0.0
    for item in items:
        if isinstance(item, Group):
            found += length(item.children, by * item.scale)
        elif isinstance(item, Line):
            found += LineString([item.start, item.end]).length * by
        elif isinstance(item, Strokes):
            found += sum(LineString(line).length for line in item.lines) * by
    return found


def area(items: Sequence[Item]) -> float:
    found = 0.0
    for item in items:
        if isinstance(item, Ring):
            found += Polygon(item.points).area
        elif isinstance(item, Region):
            rings = sorted((Polygon(ring).area for ring in item.rings), reverse=True)
            found += rings[0] - sum(rings[1:])
        elif isinstance(item, Circle) and item.radius > 100:
            found += 3.14159265 * item.radius**2
    return found


def test_what_fits_or_takes_too_many_papers_is_not_cut() -> None:
    def draw(medium: Medium, at: int) -> Figure:
        return Figure(WHOLE, (0.0, 0.0, 8000.0, 4000.0))

    # 8 m at 1:25 are 320 mm: on A3, which lies 379 wide inside its frame
    assert parted([draw], [draw], PAPERS["A3"], 25, "metric") is None
    assert parted([draw], [draw], PAPERS["A3"], None, "metric") is None
    assert parted([draw, draw], [draw, draw], PAPERS["A3"], 10, "metric") is None
    # at 1:10 on A4, 277 by 180 inside its frame, it would be 800 by 400: more than four papers; at
    # 1:20 it is 400 by 200
    smaller = parted([draw], [draw], PAPERS["A4"], 10, "metric")
    assert smaller is not None
    assert smaller.scale == 20
    assert "at 1:10 the room does not fit on A4" in smaller.note
    assert f"at 1:20 it takes {len(smaller.figures)} sheets of A4" in smaller.note
    # at 1:50 it fits: what is asked at that is not cut
    assert parted([draw], [draw], PAPERS["A4"], 50, "metric") is None
    parts = parted([draw], [draw], PAPERS["A3"], 20, "metric")
    assert parts is not None
    assert len(parts.figures) == 2
    assert "2 sheets of A3" in parts.note


CASES = [
    ("double-garage", "plan", "A3", 20, 2),
    ("double-garage", "setting-out", "A4", 25, 4),
    ("single-garage", "headroom", "A3", 10, 3),
]


@pytest.mark.parametrize(("key", "which", "paper", "scale", "count"), CASES)
def test_a_room_over_several_papers(
    key: str, which: str, paper: str, scale: int, count: int
) -> None:
    of = sample(key)
    drawn = sheet(of, which, paper, scale)
    assert drawn.scale == scale
    assert f"{count} sheets of {paper}" in drawn.note
    assert count <= MOST_PARTS
    assert faults(drawn) == []
    told = [[one.words for one in lettered(page)] for page in drawn.pages]
    # each line of two parts stands on just these two, and names the other one
    joins = sorted(
        (found[1], number + 1, int(found[2]))
        for number, words in enumerate(told)
        for one in words
        if (found := re.fullmatch(r"Match line ([A-Z]): part (\d)", one))
    )
    letters = sorted({letter for letter, _, _ in joins})
    assert len(letters) == (count if count == 4 else count - 1)
    for letter in letters:
        (_, a, b), (_, c, d) = [join for join in joins if join[0] == letter]
        assert (a, b) == (d, c)
    # every figure of the drawing on a paper that holds it is on these papers too, and once
    large = sheet(of, which, "Tabloid" if paper == "A3" else "A3")
    wanted = sorted(re.findall(r"^\d{3,4}$", "\n".join(_of_figure(large.pages[0].items)), re.M))
    found_ = sorted(
        re.findall(
            r"^\d{3,4}$", "\n".join(w for page in drawn.pages for w in _of_figure(page.items)), re.M
        )
    )
    if which == "setting-out":
        assert found_ == wanted
    else:
        # at a larger scale there is room for more figures, and none is lost
        assert not set(wanted) - set(found_)


def test_a_scale_too_large_for_four_papers_gives_way_to_the_next_that_four_hold() -> None:
    drawn = sheet(sample("single-garage"), "plan", "A4", 10)
    # the garage is 5 m long: 250 mm at 1:20, of the 277 that A4 has inside its frame, and lettering
    assert drawn.scale in (20, 25)
    assert "at 1:10 the room does not fit on A4" in drawn.note
    assert "match lines" in drawn.note
    assert faults(drawn) == []


def _of_figure(items: Sequence[Item]) -> Iterator[str]:
    for item in items:
        if isinstance(item, Group):
            if item.ink == "figure":
                yield from _texts(item.children)
            else:
                yield from _of_figure(item.children)


def _texts(items: Sequence[Item]) -> Iterator[str]:
    for item in items:
        if isinstance(item, Group):
            yield from _texts(item.children)
        elif isinstance(item, Text):
            yield item.words


@pytest.mark.parametrize("which", ["plan", "setting-out"])
def test_a_long_hall_stands_in_two_parts_on_one_paper_at_twice_the_scale(which: str) -> None:
    # 40 m at 1:100 are 400 mm of the 390 that A3 has inside its frame (420 less 20 and 10)
    room = make_room(40_000, 5000)
    of = subjects(make_plan(place("rower", 36_000, 2500), room=room))
    drawn = sheet(of, which, "A3")
    assert (drawn.scale, len(drawn.pages), drawn.note) == (100, 1, "")
    assert faults(drawn) == []
    words = list(_texts(drawn.pages[0].items))
    assert "Match line A: part 2" in words
    assert "Match line A: part 1" in words
    # one that fits at 1:100 is not cut
    short = subjects(make_plan(place("rower", 26_000, 2500), room=make_room(30_000, 5000)))
    whole = sheet(short, which, "A3")
    assert whole.scale == 100
    assert not [word for word in _texts(whole.pages[0].items) if word.startswith("Match line")]
