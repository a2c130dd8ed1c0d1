"""Pictures of kit as one sees it from before it: true in height, all whole, at one scale."""

import re
from xml.etree import ElementTree

import pytest

from app.drawing.in_front import in_front, seen_from_its_side
from app.library.kit import KitType, kit_types

PX_PER_M = 40.0
KITS = kit_types()
POINTS = re.compile(r"-?\d+(?:\.\d+)?")


def drawn(kit: KitType) -> ElementTree.Element:
    return ElementTree.fromstring(in_front(kit, PX_PER_M, "2030"))


def heights(svg: ElementTree.Element) -> list[float]:
    """Return how far above the bottom edge each corner lies, px."""
    foot = float(svg.attrib["height"])
    rings = [
        e.attrib.get("points") or e.attrib.get("d", "")
        for e in svg.iter()
        if "thing" in e.attrib.get("class", "") or "dark" in e.attrib.get("class", "")
    ]
    return [foot - float(y) for ring in rings for y in POINTS.findall(ring)[1::2]]


def test_a_rack_is_as_high_as_it_is_and_shows_its_back_posts_drawn_in() -> None:
    kit = KITS["mid-rack"]
    svg = drawn(kit)
    # its front posts are in the plane that is drawn true: 40 px a metre, and 1 px of rim
    assert max(heights(svg)) == pytest.approx(kit.height_mm * PX_PER_M / 1000 + 1, abs=0.6)
    tops = {round(high) for high in heights(svg) if high > 60}
    # what is 1250 further off is seen at 6500 / 7750 of its height above the eye
    assert len(tops) > 1
    assert "".join(svg.itertext()).strip() == "2030"


def test_what_is_long_is_seen_from_its_side_but_racks_from_the_front() -> None:
    assert seen_from_its_side(KITS["flat-bench"])
    assert not any(seen_from_its_side(kit) for kit in KITS.values() if kit.group == "Racks")
    assert float(drawn(KITS["flat-bench"]).attrib["width"]) > KITS["flat-bench"].depth_mm * 0.04


@pytest.mark.parametrize("px", [0.0, -1.0])
def test_a_scale_of_nothing_is_refused(px: float) -> None:
    with pytest.raises(ValueError, match="show nothing"):
        in_front(KITS["mid-rack"], px, "")


def test_every_kit_type_has_a_picture_that_fits_the_shelf() -> None:
    for kit in KITS.values():
        svg = drawn(kit)
        assert len(svg), kit.key
        # the shelf is 106 px high; a thing that hangs is drawn where it hangs
        assert float(svg.attrib["height"]) <= 106, kit.key
