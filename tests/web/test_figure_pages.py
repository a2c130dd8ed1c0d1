"""Training together as a page, and the published figures with the household's own."""

from flask import Flask
from flask.testing import FlaskClient

from app.usecases.plans import Elbowroom
from app.web.guests.app import RIGHTS

BAR_END = "bar-end.recommended-mm"


def sample(house: Elbowroom) -> str:
    return house.create_sample("double-garage").plan_id


def test_together_shows_pairs_group_and_ways(client: FlaskClient, house: Elbowroom) -> None:
    page = client.get(f"/plan/{sample(house)}/together")
    assert page.status_code == 200
    assert "Pair by pair" in page.text
    rows = page.text.count('<th scope="row"><b>')
    # a square table: each cell is itself, at once or in turn
    cells = page.text.count('<td class="same">') + page.text.count('<td class="at-once">')
    assert rows > 5
    assert cells + page.text.count('<td class="in-turn">') == rows * rows
    assert "between the" in page.text


def test_together_of_an_empty_plan(client: FlaskClient, house: Elbowroom) -> None:
    plan = house.open(sample(house)).plan
    bare = house.create(type(plan)(name="Bare", room=plan.room)).plan_id
    assert "Nothing on this plan is trained at yet." in client.get(f"/plan/{bare}/together").text


def test_figures_behind_the_snags_and_a_search(client: FlaskClient, house: Elbowroom) -> None:
    plan_id = sample(house)
    text = client.get(f"/plan/{plan_id}/figures").text
    assert 'id="door.leave-angle-deg"' in text
    assert 'id="kettle"' not in text
    found = client.get(f"/plan/{plan_id}/figures?q=swung+glass").text
    assert 'id="flight.swing-mm"' in found
    assert 'id="door.leave-angle-deg"' not in found
    assert "No figure is found." in client.get(f"/plan/{plan_id}/figures?q=zeppelin").text


def test_a_value_is_set_counts_and_is_taken_back(client: FlaskClient, house: Elbowroom) -> None:
    plan_id = sample(house)
    key = "door.leave-angle-deg"
    before = next(s for s in house.judged(plan_id).snags if s.code == "door-opens-side-door")
    assert (before.severity, before.measured) == ("stop", 44)
    form = {"edit": "set", "key": key, "value": "40", "reason": "the leaf is wide"}
    answer = client.post(f"/plan/{plan_id}/figures", data=form)
    assert answer.status_code == 303
    assert answer.location.endswith(f"/figures?of={key}#{key}")
    after = next(s for s in house.judged(plan_id).snags if s.code == "door-opens-side-door")
    assert after.severity == "care"
    text = client.get(f"/plan/{plan_id}/figures").text
    assert "Set otherwise because: the leaf is wide" in text
    client.post(f"/plan/{plan_id}/figures", data={"edit": "back", "key": key})
    assert house.open(plan_id).plan.overrides == ()
    house.undo(plan_id)
    assert [one.value for one in house.open(plan_id).plan.overrides] == [40]


def test_what_is_wrong_is_said_beside_the_field(client: FlaskClient, house: Elbowroom) -> None:
    plan_id = sample(house)
    for value, reason, said in [
        ("wide", "x", "Type one number, in mm"),
        ("nan", "x", "Type one number, in mm"),
        ("0", "x", "too far from the published 300 mm"),
        ("99999999", "x", "too far from the published 300 mm"),
        ("140", "x", "less than the least figure, 150 mm"),
        ("310", " ", "Say why"),
        ("310", "x" * 501, "this has 501 letters".capitalize()),
    ]:
        form = {"edit": "set", "key": BAR_END, "value": value, "reason": reason}
        answer = client.post(f"/plan/{plan_id}/figures", data=form)
        assert answer.status_code == 400, value
        assert said in answer.text, value
    assert house.open(plan_id).plan.overrides == ()


def test_how_the_program_computes_is_not_to_be_set(client: FlaskClient, house: Elbowroom) -> None:
    plan_id = sample(house)
    for key in ("scene.touch-tolerance-mm",):
        form = {"edit": "set", "key": key, "value": "2", "reason": "x"}
        answer = client.post(f"/plan/{plan_id}/figures", data=form)
        assert answer.status_code == 400
        assert "how the program itself computes" in answer.text
    for key in ("no.such-figure", "unit.kilo"):
        gone = {"edit": "set", "key": key, "value": "2", "reason": "x"}
        assert "There is no such figure." in client.post(f"/plan/{plan_id}/figures", data=gone).text
    assert house.open(plan_id).plan.overrides == ()


def test_nothing_typed_becomes_markup(client: FlaskClient, house: Elbowroom) -> None:
    plan_id = sample(house)
    text = client.get(f"/plan/{plan_id}/figures?q=<script>alert(1)</script>").text
    assert "<script>alert" not in text


def test_guests_do_not_come_here(application: Flask) -> None:
    mine = {rule.endpoint for rule in application.url_map.iter_rules()}
    pages = {name for name in mine if name.startswith("figure_pages.")}
    assert len(pages) == 3
    assert not pages & set(RIGHTS)
