"""A number in a section stands on its own piece as that is seen, or a line leads to it."""

from collections.abc import Iterator
from xml.etree.ElementTree import Element

import pytest
import shapely

from app.drawing.plan_sheet import station_order
from app.units import Units
from tests.drawing.reading import STILL, Matrix, Seen, matrix, parse, seen, times
from tests.drawing.sheets.judged import sample, sheet


def painted(
    element: Element, at: Matrix = STILL, piece: str = ""
) -> Iterator[tuple[str, shapely.Polygon]]:
    """Yield what is painted of pieces, in its order: which piece, and its outline on paper."""
    piece = element.get("data-piece", piece)
    if not len(element) and piece:
        for one in seen(element, at):
            if one.tag == "polygon":
                yield piece, shapely.Polygon(one.points)
            elif one.tag == "circle":
                # its outermost points across
                (x0, y), (x1, _), *_ = one.points
                yield piece, shapely.Point((x0 + x1) / 2, y).buffer((x1 - x0) / 2)
    here = times(at, matrix(element.get("transform", "")))
    for child in element:
        yield from painted(child, here, piece)


def middle(one: Seen) -> tuple[float, float]:
    xs, ys = [x for x, _ in one.points], [y for _, y in one.points]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


@pytest.mark.parametrize("units", ["metric", "feet"])
@pytest.mark.parametrize("key", ["double-garage", "single-garage", "basement", "upstairs-room"])
def test_each_number_is_on_what_is_seen_of_its_piece_or_led_to_it(key: str, units: Units) -> None:
    # ISO 128: a reference line ends in a dot within the outline that it refers to (from memory)
    of = sample(key, units)
    numbers = {str(i + 1): one.piece.id for i, one in enumerate(station_order(of.scene))}
    count = led = 0
    for svg in sheet(of, "section").inside:
        pieces = list(painted(parse(svg)))
        rings = [one for one in seen(parse(svg)) if "layer-numbers" in one.inside]
        tips = [middle(one) for one in rings if one.ink == "leader-dot"]
        starts = [one.points for one in rings if one.ink == "leader"]
        balloons = [one for one in rings if one.ink == "balloon"]
        words = [one.words for one in rings if one.ink == "numeral"]
        assert len(balloons) == len(words)
        for ring, number in zip(balloons, words, strict=True):
            at = middle(ring)
            radius = (ring.points[1][0] - ring.points[0][0]) / 2
            own = [
                tip
                for (start, _), tip in zip(starts, tips, strict=True)
                if shapely.Point(start).distance(shapely.Point(at)) < radius * 1.05
            ]
            led += len(own)
            point = shapely.Point(own[0] if own else at)
            over = [piece for piece, area in pieces if area.buffer(0.3).covers(point)]
            assert over, number
            # nothing that is painted later lies there, but at the very edge of what does
            assert numbers[number] in over, number
            later = [p for p, area in pieces if area.buffer(-0.3).covers(point)]
            assert not later or later[-1] == numbers[number], number
            count += 1
    assert count >= 4
