"""The list of plans: samples, copies, names, deletion with a way back, files in and out."""

import json
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from app.model.versions import dump, load
from tests.browser.conftest import Watch
from tests.browser.desk import Desk
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore


def row(page: Page, plan_id: str) -> Locator:
    """The line of one plan on the list."""
    return page.locator(".plan-list > li", has=page.locator(f'a[href="/plan/{plan_id}"]'))


def home(page: Page, plan_id: str) -> Locator:
    page.goto("/")
    return row(page, plan_id)


def test_a_sample_is_opened_as_a_plan_of_ones_own(page: Page, kept: PlanStore) -> None:
    before = kept.plans()
    page.goto("/")
    page.locator('form[action="/samples/basement"] button').click()
    page.wait_for_url("**/plan/*")
    Desk(page, kept, page.url.split("/")[-1]).ready()
    new = set(kept.plans()) - set(before)
    assert new == {page.url.split("/")[-1]}
    assert kept.pieces(new.pop())


@pytest.mark.long
def test_a_copy_stands_beside_its_original(page: Page, kept: PlanStore) -> None:
    plan_id = kept.put(workshop(name="First"))
    home(page, plan_id).get_by_role("button", name="Copy First").click()
    expect(page.get_by_role("link", name="Copy of First", exact=True)).to_be_visible()
    copies = [one for one, name in kept.plans().items() if name == "Copy of First"]
    assert len(copies) == 1
    assert kept.pieces(copies[0]) == kept.pieces(plan_id)


@pytest.mark.long
def test_a_plan_gets_another_name(page: Page, kept: PlanStore) -> None:
    plan_id = kept.put(workshop(name="Old name"))
    line = home(page, plan_id)
    line.locator("summary").click()
    line.get_by_label("New name").fill("New name of it")
    line.get_by_role("button", name="Save").click()
    expect(row(page, plan_id).locator(".plan-name")).to_have_text("New name of it")
    assert kept.plans()[plan_id] == "New name of it"


def test_a_plan_is_renamed_on_the_desk_and_that_is_undone(page: Page, kept: PlanStore) -> None:
    plan_id = kept.put(workshop(name="Before"))
    desk = Desk(page, kept, plan_id).open()
    page.locator(".plan-name").click()
    page.get_by_label("Name of the plan").fill("After")
    with desk.one_command():
        page.get_by_label("Name of the plan").press("Enter")
    assert kept.plans()[plan_id] == "After"
    with desk.one_command():
        page.get_by_role("button", name="Undo").click()
    assert kept.plans()[plan_id] == "Before"


@pytest.mark.long
def test_a_deleted_plan_comes_back(page: Page, kept: PlanStore) -> None:
    plan_id = kept.put(workshop(name="To lose"))
    whole = kept.plan(plan_id)
    home(page, plan_id).get_by_role("button", name="Delete To lose").click()
    back = page.get_by_role("button", name="Put back To lose")
    expect(back).to_be_visible()
    assert plan_id not in kept.plans()
    assert plan_id in kept.deleted()
    back.click()
    expect(row(page, plan_id)).to_be_visible()
    assert kept.plans()[plan_id] == "To lose"
    assert plan_id not in kept.deleted()
    assert kept.plan(plan_id) == whole


def test_a_file_goes_out_and_comes_in_again(page: Page, kept: PlanStore, tmp_path: Path) -> None:
    plan = workshop(name="On a stick")
    plan_id = kept.put(plan)
    with page.expect_download() as coming:
        home(page, plan_id).get_by_role("link", name="Export On a stick as a file").click()
    file = tmp_path / "plan.json"
    coming.value.save_as(file)
    assert coming.value.suggested_filename == "on-a-stick.json"
    assert load(file.read_bytes()) == plan
    before = kept.plans()
    page.locator('input[type="file"]').set_input_files(file)
    page.wait_for_url("**/plan/*")
    new = set(kept.plans()) - set(before)
    assert new == {page.url.split("/")[-1]}
    assert kept.plan(new.pop()) == kept.plan(plan_id)


@pytest.mark.long
def test_a_bad_file_is_refused_in_one_sentence(
    page: Page, kept: PlanStore, watch: Watch, tmp_path: Path
) -> None:
    watch.expect("400")
    before = kept.plans()
    data = json.loads(dump(workshop()))
    data["pieces"][0]["type"] = "time-machine"
    file = tmp_path / "bad.json"
    file.write_text(json.dumps(data), encoding="utf-8")
    page.goto("/")
    page.locator('input[type="file"]').set_input_files(file)
    fault = page.get_by_role("alert")
    expect(fault).to_contain_text("pieces[0].type: there is no kit type 'time-machine'")
    assert "Traceback" not in page.content()
    assert kept.plans() == before
