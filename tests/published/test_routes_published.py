"""Widths and heights of ways against their sources."""

import pytest

from app.published.register import published, row
from app.scene.outlines import SAMPLE_MM


@pytest.mark.parametrize(
    ("key", "value", "status"),
    [
        # common practice, no source: sideways, at ease, carrying
        ("route.least-mm", 450, "practice"),
        ("route.recommended-mm", 600, "practice"),
        ("route.easy-mm", 760, "practice"),
        ("plate-store.way-mm", 760, "practice"),
        ("route.step-over-mm", 50, "practice"),
        # 2010 ADA Standards 307.4: 80 in over a way, printed as 2030 mm
        ("route.overhead-note-mm", 2030, "read"),
        # National Electrical Code 110.26: 30 in wide, 36 in deep, 6 ft 6 in high
        ("meter.width-mm", 760, "quoted"),
        ("meter.depth-mm", 914, "quoted"),
        ("meter.height-mm", 1981, "quoted"),
    ],
)
def test_the_register_holds_what_the_sources_say(key: str, value: float, status: str) -> None:
    assert (published(key), row(key).status) == (value, status)


def test_the_samples_are_closer_than_the_least_way_is_wide() -> None:
    # so that no way as wide as the least can pass between two samples of one outline
    assert published("route.least-mm") > 2 * SAMPLE_MM


def test_inches() -> None:
    assert published("meter.depth-mm") == pytest.approx(36 * 25.4, abs=1)
    assert published("meter.height-mm") == pytest.approx(78 * 25.4, abs=1)
    assert published("route.overhead-note-mm") == pytest.approx(80 * 25.4, abs=2)
