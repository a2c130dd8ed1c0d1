"""Each form of the works and of the months, sent from a page that is older than the plan.

As `test_stale_forms.py`: what somebody else saved meanwhile stays beside it. What must come is
reckoned by the edits themselves, one after the other, so that no page is drawn anew for it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

import pytest
from flask.testing import FlaskClient

from app.changes.commands import apply
from app.forms.phasing_edits import EDITS as PHASING
from app.forms.phasing_edits import edit_phasing
from app.forms.works_edits import EDITS as WORKS
from app.forms.works_edits import edit_works
from app.model.plan import Plan
from app.model.versions import dump, load
from app.usecases.carrying_out import Editor
from app.usecases.plans import Elbowroom
from app.web.app import create_app
from tests.web.building import plan_data
from tests.web.form_reader import Form, forms_of

HOURS = {"starts": "8", "ends": "18"}
SIZES = {"width": "1 m", "depth": "1 m"}
GROWN = (
    (edit_works, "start", {"starts_on": "2031-04-05", "first_time": "yes"}),
    (edit_works, "add-free", {"day": "sat", "people": "2", **HOURS}),
    (edit_works, "add-free", {"day": "sun", "people": "2", **HOURS}),
    (edit_works, "add-extra", {"on": "2031-04-10", **HOURS}),
    (edit_works, "add-loud", {"day": "sat", **HOURS}),
    (edit_works, "add-off", {"first": "2031-05-01"}),
    (edit_works, "add-stored", {"label": "Boxes", **SIZES}),
    (edit_works, "add-task", {"label": "Hang the clock", "hours": "0.5"}),
    (edit_works, "add-task", {"label": "Sweep", "hours": "0.5"}),
    (edit_works, "tick", {"task": "own-2", "done_on": "2031-04-05"}),
    (partial(edit_works, photo="a" * 32), "photo", {"task": "own-1"}),
    (edit_works, "pace", {"pace": "1.5"}),
    (edit_phasing, "purse", {"put_by": "900", "months": "12", "first": "2031-04"}),
    (edit_phasing, "thing.piece.bench-1", {"month": "2031-05"}),
)
"""A plan that holds one of everything these forms can change, made by their own edits."""


@dataclass(frozen=True)
class Case:
    """One form: the page it stands on, its edit, and what is typed into it."""

    page: str
    edit: str
    mine: dict[str, str]

    @property
    def editor(self) -> Editor:
        return edit_phasing if self.page.startswith("months") else edit_works


START = Case("works?of=times", "start", {"store_outside": "yes"})
BENCH = "thing.piece.bench-1"
PURSE = Case("months?of=purse", "purse", {"a_month": "50"})
CASES = (
    START,
    Case("works?of=times", "add-free", {"day": "mon", **HOURS}),
    Case("works?of=times", "remove-free", {}),
    Case("works?of=times", "add-extra", {"on": "2031-04-11", **HOURS}),
    Case("works?of=times", "remove-extra", {}),
    Case("works?of=times", "add-loud", {"day": "mon", **HOURS}),
    Case("works?of=times", "remove-loud", {}),
    Case("works?of=times", "add-off", {"first": "2031-06-01", "label": "away"}),
    Case("works?of=times", "remove-off", {}),
    Case("works?of=contents", "add-stored", {"label": "Bicycle", **SIZES}),
    Case("works?of=contents", "stored.thing-1", {"becomes": "tip"}),
    Case("works?of=contents", "remove-stored", {}),
    Case("works?of=task.own-1", "task", {"hours": "0.75"}),
    Case("works?of=tasks", "add-task", {"label": "Wash the window", "hours": "1"}),
    Case("works?of=task.own-1", "tick", {"done_on": "2031-04-06", "diary": "Hangs."}),
    Case("works?of=task.own-2", "untick", {}),
    Case("works?of=task.own-1", "forget", {}),
    Case("works?of=order.piece.bench-1", "delivery", {"lead": "9"}),
    Case("works?of=order.piece.bench-1", "bought", {"paid": "99", "came_on": "2031-05-01"}),
    Case("works?of=task.own-1", "remove-photo", {}),
    Case("works?of=diary", "pace", {}),
    Case("today?on=2031-04-05", "tick", {"done_on": "2031-04-06"}),
    PURSE,
    Case("months?of=thing:piece.bench-1", BENCH, {"worth": "7"}),
    Case("months?of=thing:piece.bench-1", "back.piece.bench-1", {}),
    Case("months?of=things", "free", {}),
)
NAMES = [f"{case.edit}-{number}" for number, case in enumerate(CASES)]


def edited(plan: Plan, editor: Editor, name: str, fields: dict[str, str]) -> Plan:
    command = editor(plan, name, fields)
    assert command is not None, name
    return apply(plan, command)


class Pages:
    """A grown plan, its pages as nobody has changed it, and twins of it to send their forms to."""

    def __init__(self, house: Elbowroom) -> None:
        self.plan = Plan.model_validate(plan_data())
        for editor, name, fields in GROWN:
            self.plan = edited(self.plan, editor, name, fields)
        self.house = house
        self.client: FlaskClient = create_app(house, "the mark").test_client()
        self._first = self.twin()
        self._forms: dict[str, list[Form]] = {}

    def twin(self) -> str:
        """A plan that is the same."""
        return self.house.create(load(dump(self.plan).encode())).plan_id

    def form(self, case: Case) -> Form:
        """The form of a case, as its page shows it at first."""
        if case.page not in self._forms:
            reply = self.client.get(f"/plan/{self._first}/{case.page}")
            self._forms[case.page] = forms_of(reply.text)
        found = [form for form in self._forms[case.page] if case.edit in form.edits()]
        assert found, f"{case.page} has no form for {case.edit}"
        return found[0]

    def send(self, plan_id: str, case: Case) -> tuple[Any, dict[str, str]]:
        """Send a form as it stands on the first page to a twin; return reply and fields."""
        form = self.form(case)
        assert case.mine.keys() <= form.names
        fields = {**form.fields, **case.mine, "edit": case.edit}
        reply = self.client.post(form.action.replace(self._first, plan_id), data=fields)
        beside = ("edit", "of", "revision")
        return reply, {name: text for name, text in fields.items() if name not in beside}


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Pages]:
    house = Elbowroom(tmp_path_factory.mktemp("stale-works"))
    yield Pages(house)
    house.close()


def test_every_edit_has_a_case() -> None:
    # a photo comes as a file, not as a field: `test_works_done.py`
    assert {*WORKS, *PHASING} - {"photo"} == {case.edit.partition(".")[0] for case in CASES}


@pytest.mark.parametrize("case", CASES, ids=NAMES)
def test_what_the_other_tab_saved_stays(pages: Pages, case: Case) -> None:
    plan_id, want = pages.twin(), pages.plan
    for one in (START if case is PURSE else PURSE, case):
        reply, fields = pages.send(plan_id, one)
        assert reply.status_code == 303, reply.text
        want = edited(want, one.editor, one.edit, fields)
    assert pages.house.open(plan_id).plan == want


@pytest.mark.parametrize(
    ("case", "theirs"),
    [
        (Case("works?of=task.own-1", "task", {"hours": "0.75"}), {"hours": "3"}),
        (PURSE, {"a_month": "60"}),
    ],
)
def test_what_both_changed_is_refused_with_all_that_was_typed(
    pages: Pages, case: Case, theirs: dict[str, str]
) -> None:
    plan_id = pages.twin()
    assert pages.send(plan_id, Case(case.page, case.edit, theirs))[0].status_code == 303
    kept = pages.house.open(plan_id).plan
    reply, fields = pages.send(plan_id, case)
    assert reply.status_code == 409
    assert "This was changed meanwhile. It is now: " in reply.text
    assert pages.house.open(plan_id).plan == kept
    again = next(f for f in forms_of(reply.text) if any(n == "insist" for n, _ in f.buttons))
    assert case.mine.items() <= again.fields.items()
    insist = dict(again.buttons)["insist"]
    data = {**again.fields, "edit": case.edit, "insist": insist}
    assert pages.client.post(again.action, data=data).status_code == 303
    assert pages.house.open(plan_id).plan == edited(kept, case.editor, case.edit, fields)
