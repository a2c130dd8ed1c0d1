"""What the colours of the headroom sheet say is how high the room is there, in both units."""

import re

import pytest
import shapely

from app.units import Units, parse_length_mm
from tests.drawing.reading import own_points, parse
from tests.drawing.sheets.judged import sample, sheet


@pytest.mark.parametrize("units", ["metric", "feet"])
def test_a_colour_is_where_the_key_says_the_room_is_so_high(units: Units) -> None:
    of = sample("upstairs-room", units)
    roots = [parse(svg) for svg in sheet(of, "headroom", "Tabloid").inside]
    told = " | ".join("".join(e.itertext()) for root in roots for e in root.iter() if e.text)
    mm = r"[\d' ⁄¹²³⁴-⁹½¼¾⅛⅜⅝⅞\"/]+"
    pairs = re.findall(rf"\| ({mm}) to ({mm})(?= \|)", told)
    unit = " mm" if units == "metric" else ""
    spans = {tuple(float(parse_length_mm(one + unit)) for one in pair) for pair in pairs}
    assert len(spans) >= 2
    ceiling = [one for one in of.scene.room.training.items if one.kind == "ceiling"]
    seen = set()
    for root in roots:
        layers = [e for e in root.iter() if e.get("data-ink") == "layer-bands"]
        for element in (one for layer in layers for one in layer):
            ink = element.get("data-ink") or ""
            if not re.fullmatch(r"band-[1-4]", ink):
                continue
            points = own_points(element)
            # all over its area each colour is as high as one span of the key says
            inner = shapely.Polygon(points).representative_point()
            heights = []
            for x, y in [*points, inner.coords[0]]:
                at = shapely.Point(x, y)
                over = [one for one in ceiling if one.polygon.distance(at) < 5]
                heights.append(
                    min(a + b * x + c * y for one in over for a, b, c in [one.coefficients])
                )
            fitting = [
                (low, high)
                for low, high in spans
                if all(low - 5 <= height <= high + 5 for height in heights)
            ]
            assert len(fitting) == 1, (ink, heights)
            seen.add((ink, fitting[0]))
    # one colour, one span
    assert len(seen) == len({ink for ink, _ in seen}) == len({span for _, span in seen}) >= 2
