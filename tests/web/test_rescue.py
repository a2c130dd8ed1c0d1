"""A plan that cannot be drawn, or not even be read: what the browser says and lets one do."""

import io
import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from app.changes.commands import edits
from app.errors import UnbuildableError
from app.model.versions import BYTE_LIMIT, load
from app.store.plans import Store
from app.usecases.plans import Elbowroom
from tests.web.building import plan_data, text


@pytest.fixture
def stuck(house: Elbowroom, plan_id: str, tmp_path: Path) -> str:
    """A plan whose last change names a kit type that is gone, as an older program kept it."""
    unchecked = Store(tmp_path / "plans")
    unchecked.do(plan_id, edits(unchecked.read(plan_id).plan, "bench-1", type="gone-for-good"))
    unchecked.close()
    return plan_id


def test_a_plan_that_cannot_be_built_opens_with_a_sentence_and_is_undone(
    client: FlaskClient, house: Elbowroom, stuck: str
) -> None:
    with pytest.raises(UnbuildableError):
        house.judged(stuck)
    page = client.get(f"/plan/{stuck}")
    assert page.status_code == 200
    assert "cannot be drawn or judged any more" in page.text
    assert client.get(f"/plan/{stuck}/history").status_code == 200
    assert client.get(f"/api/plans/{stuck}/export").status_code == 200
    said = client.get(f"/api/plans/{stuck}")
    assert (said.status_code, said.json["error"]["code"]) == (409, "unbuildable")  # type: ignore[index]
    form = re.search(r'<form method="post" action="([^"]*)"', page.text)
    assert form is not None
    undone = client.post(form[1])
    assert (undone.status_code, undone.headers["Location"]) == (303, f"/plan/{stuck}")
    assert 'id="drawing"' in client.get(f"/plan/{stuck}").text


def test_a_backup_names_the_plans_that_cannot_be_read_before_it_is_given(
    client: FlaskClient, house: Elbowroom, plan_id: str
) -> None:
    house.create(load(text(plan_data(name="Whole"))))
    assert client.post("/backup").mimetype == "application/octet-stream"
    house.rename(plan_id, "Spoilt <b>")
    with house.store.database.writing() as db:
        db.execute("UPDATE snapshots SET plan = '{' WHERE plan_id = ?", (plan_id,))
    told = client.post("/backup")
    assert told.mimetype == "text/html"
    assert "1 of 2 plans cannot be read" in told.text
    assert "Spoilt &lt;b&gt;" in told.text
    assert "Whole" not in told.text
    taken = client.post("/backup", data={"known": "1"})
    assert taken.mimetype == "application/octet-stream"
    assert taken.data.startswith(b"SQLite format 3")


def test_limits_are_told_with_the_figure_that_breaks_them(
    client: FlaskClient, plan_id: str
) -> None:
    def said(path: str, data: dict[str, object]) -> str:
        reply = client.post(path, json=data)
        assert reply.status_code == 400
        error = reply.json["error"]  # type: ignore[index]
        return f"{error['message']} {error['fields']}"

    api = f"/api/plans/{plan_id}"
    assert "has 201 letters; 200 is the most" in said(f"{api}/name", {"name": "x" * 201})
    milestone = {"revision": 0, "name": "x" * 230}
    assert "1 to 200 letters, not 230" in said(f"{api}/milestones", milestone)
    people = [{"id": f"person-{i}", "stature_mm": 1700} for i in range(41)]
    crowd = client.post(
        "/import",
        data={"file": (io.BytesIO(text(plan_data(people=people))), "plan.json")},
    )
    assert "people: holds 41 of them; 40 is the most" in crowd.text
    large = client.post("/import", data=b" " * (BYTE_LIMIT + 100_000), content_type="text/plain")
    assert f"has {BYTE_LIMIT / 1e6 + 0.1:.1f} MB; at most" in large.text
