"""A real tab that is shut while ways out are sought for it: the search goes no further."""

from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from app.usecases.plans import Elbowroom
from tests.web.test_searches_end import PATIENCE_S, Watched, racks, served


@pytest.mark.long
def test_a_tab_that_is_shut_ends_its_search(browser: Browser, tmp_path: Path) -> None:
    with closing(Elbowroom(tmp_path / "plans")) as house:
        watched = Watched(house.board, lambda _: None)
        watched.watch()
        house.waiting = watched
        plan_id = house.create(racks()).plan_id
        house.judged(plan_id)
        with served(house) as port, closing(browser.new_context()) as context:
            page = context.new_page()
            page.goto(f"http://127.0.0.1:{port}/plan/{plan_id}")
            # nobody asked for anything: the page seeks ways out once it is at rest
            assert watched.looking.wait(PATIENCE_S)
            assert not watched.ended.is_set()
            page.close()
            assert watched.ended.wait(PATIENCE_S), watched.steps
    assert watched.after == 0
