"""Every text of every sheet where a browser sets it: in the frame, upright, in no other."""

import pytest
from playwright.sync_api import Page

from app.drawing.paper import PAPERS
from app.model.base import json_of
from app.model.plan import Plan
from app.usecases.drawing_set import SET, names_of
from app.usecases.files import samples
from tests.browser.lettered import faults_of
from tests.browser.store import PlanStore
from tests.thinned import one_of

PLANS = {one.key: one.plan for one in samples()}


@pytest.mark.parametrize("which", one_of(4, ["setting-out", "plan", "walls", "section"]))
def test_words_keep_to_the_frame_and_off_one_another(
    page: Page, kept: PlanStore, which: str
) -> None:
    page.goto(f"/plan/{kept.sample('upstairs-room')}/sheet?sheet={which}&paper=A4&size=full")
    assert faults_of(page) == []
    # what stands elsewhere is seen: a text laid on another, beyond the frame, on its head, small
    page.evaluate("""() => {
        const texts = document.querySelectorAll('main text[data-ink=dimt]');
        const [one, other, beyond, head, small] = texts;
        const copy = other.cloneNode(true);
        other.after(copy);
        beyond.setAttribute('x', '-9000');
        head.setAttribute('transform', 'rotate(180)');
        small.setAttribute('font-size', String(0.5 * parseFloat(small.getAttribute('font-size'))));
    }""")
    assert {"meet", "outside", "turned", "low"} <= {kind for kind, *_ in faults_of(page)}


@pytest.mark.long
@pytest.mark.parametrize("units", ["metric", "feet"])
@pytest.mark.parametrize("paper", sorted(PAPERS))
@pytest.mark.parametrize("key", sorted(PLANS))
def test_every_sheet_on_all_papers_in_both_units(
    page: Page, kept: PlanStore, key: str, paper: str, units: str
) -> None:
    plan = Plan.model_validate({**json_of(PLANS[key]), "units": units})
    plan_id = kept.put(plan)
    found = {}
    for which, _ in names_of(plan):
        page.goto(f"/plan/{plan_id}/sheet?sheet={which}&paper={paper}&size=full")
        found[which] = faults_of(page)
    # the cover, which no other sheet has
    page.goto(f"/plan/{plan_id}/sheet?sheet={SET}&of=costs&paper={paper}&size=full")
    found[SET] = faults_of(page)
    assert {which: faults for which, faults in found.items() if faults} == {}
