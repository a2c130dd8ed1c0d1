"""Everybody under their ceiling: pictures in one order, to scale, that say what the card says."""

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from app.checks.open_floor import PersonCard, card
from app.drawing.frieze import PX_PER_MM, Pictured, frieze, in_order
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.browser.rooms import workshop


@pytest.fixture(scope="module")
def plan() -> Plan:
    return workshop()


@pytest.fixture(scope="module")
def cards(plan: Plan) -> tuple[PersonCard, ...]:
    return card(build_scene(plan))


def pictures(plan: Plan, cards: tuple[PersonCard, ...], n: int) -> tuple[Pictured, ...]:
    floor = plan.room.floor.covering.thickness_mm
    return frieze(cards[n], plan.people[n], in_order(cards), floor)


def level(one: Pictured, ink: str) -> float:
    """Return the height of a line of a picture above its bare floor, mm."""
    svg = ElementTree.fromstring(one.svg)
    (line,) = [e for e in svg.iter() if e.get("class", "").split()[:1] == [ink]]
    foot = float(svg.attrib["height"]) - 50 * PX_PER_MM
    return (foot - float(line.attrib["y1"])) / PX_PER_MM


def test_marks_and_ceiling_are_where_the_card_has_them(
    plan: Plan, cards: tuple[PersonCard, ...]
) -> None:
    for one in pictures(plan, cards, 0):
        assert one.line.clear_mm is not None
        # a tenth of a pixel is a good millimetre
        assert level(one, "clear") == pytest.approx(one.line.clear_mm, abs=2)
        assert level(one, "least") == pytest.approx(one.line.least_mm, abs=2)
        assert level(one, "need") == pytest.approx(one.line.need_mm, abs=2)


def test_figures_say_what_is_missing_of_the_least_or_the_margin_or_what_is_to_spare(
    plan: Plan, cards: tuple[PersonCard, ...]
) -> None:
    signs = {"does-not": -1, "tight": -1, "fits": 1}
    for one in pictures(plan, cards, 0):
        assert one.by_mm is not None
        assert one.by_mm * signs[one.line.verdict] >= -1
        assert ("lack" in one.svg) == (one.line.verdict != "fits")


def test_all_stand_in_the_order_of_the_tallest_worst_first(
    plan: Plan, cards: tuple[PersonCard, ...]
) -> None:
    order = in_order(cards)
    tallest = max(cards, key=lambda one: one.stature_mm)
    verdicts = {line.movement: line.verdict for line in tallest.lines}
    ranks = [("does-not", "tight", "fits").index(verdicts[key]) for key in order]
    assert ranks == sorted(ranks)
    for n in range(len(cards)):
        assert [one.line.movement for one in pictures(plan, cards, n)] == list(order)
    assert in_order(()) == ()


def test_under_the_open_sky_there_is_no_ceiling_and_no_figure(
    plan: Plan, cards: tuple[PersonCard, ...]
) -> None:
    lines = tuple(replace(line, clear_mm=None, verdict="fits") for line in cards[0].lines)
    (one, *_) = frieze(replace(cards[0], lines=lines), plan.people[0], in_order(cards), 0)
    assert one.by_mm is None
    assert "clear" not in one.svg
