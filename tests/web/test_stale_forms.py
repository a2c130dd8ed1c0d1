"""Each form of the program, sent from a page that is older than the plan.

Two tabs show the same page; the other one saves first. What it changed stays beside what the
older one saves, and what both changed is refused in a sentence with all that was typed. The plan
that must come is the one that comes when both forms are sent one after the other from fresh pages.
"""

import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache, partial
from html import unescape
from typing import Any

import pytest
from flask.testing import FlaskClient

from app.changes.commands import apply
from app.forms.figure_edits import edit_figure
from app.forms.fit_edits import EDITS as FIT
from app.forms.fit_edits import edit_fit
from app.forms.money_edits import EDITS as MONEY
from app.forms.money_edits import edit_money
from app.forms.own_kit_edits import edit_own_kit
from app.forms.people_edits import edit_people
from app.forms.room_edits import EDITS as ROOM
from app.forms.room_edits import edit
from app.model.plan import Plan
from app.model.versions import dump, load
from app.usecases.plans import Elbowroom
from app.web.app import create_app
from tests.builders import make_plan
from tests.thinned import one_of
from tests.web.building import plan_data
from tests.web.form_reader import Form, forms_of
from tests.web.test_sketch import made

PLACE = {"wall": "back", "along": "1 m", "long": "1 m", "away": "0.5 m", "wide": "0.3 m"}
FLOOR = {"kind": "mat", "material": "rubber", "length": "1 m", "width": "1 m", "thickness": "20 mm"}
GROWN = (
    (edit, "add-opening", {"wall": "right", "kind": "window", "offset": "1 m", "width": "1 m",
                           "height": "1 m", "sill": "0.9 m", "way_out": ""}),
    (edit, "add-low", {**PLACE, "kind": "beam", "bottom": "2.1 m"}),
    (edit, "add-column", {**PLACE, "along": "3 m", "long": "0.3 m"}),
    (edit, "add-circuit", {"circuit_amps": "16", "circuit_label": "sockets"}),
    (edit, "add-socket", {"wall": "left", "offset": "1 m", "circuit": "circuit-1"}),
    (edit, "add-passage", {"kind": "door", "width": "0.8 m"}),
    (edit, "add-passage", {"kind": "corridor", "width": "0.9 m"}),
    (edit, "add-situation", {"label": "car in", "trains": "yes"}),
    (edit, "add-found", {"kind": "washing-machine", "wall": "left", "along": "0.2 m"}),
    (edit, "add-found", {"kind": "boiler", "wall": "left", "along": "1 m"}),
    (edit, "add-found", {"kind": "other-thing", "fate": "goes", "label": "Sofa"}),
    (edit, "joists", {"spacing": "400 mm", "joist_width": "50 mm", "joist_depth": "100 mm"}),
    (edit, "add-over", {**PLACE, "height": "2.2 m"}),
    (edit, "add-step", {**PLACE, "height": "150 mm"}),
    (edit, "recess", {"wall": "front", "recess_at": "1 m", "recess_width": "1 m",
                      "recess_depth": "0.3 m", "into": "out"}),
    (partial(edit, photo="a" * 32), "wall-photo", {"wall": "left"}),
    (edit_fit, "add-floor", {**FLOOR, "zone": "back", "zone_long": "2 m", "zone_wide": "2 m"}),
    (edit_fit, "add-paint", {"surface": "walls"}),
    (edit_fit, "add-strip", {"wall": "back", "long": "2 m", "height": "2 m"}),
    (edit_fit, "add-mirror", {"wall": "back", "width": "2 m", "height": "1.5 m"}),
    (edit_fit, "add-projection", {"wall": "back", "middle": "2 m"}),
    (edit_fit, "light", {"wanted_lux": "300"}),
    (edit_people, "add", {"stature": "1.8 m", "with": "ada"}),
    (edit_own_kit, "add", {"name": "Sled", "width": "1 m", "depth": "1 m", "height": "1 m",
                           "mass": "60"}),
    (edit_money, "entry.piece.bench-1", {"whole": "100", "standing": "to-come"}),
    (edit_money, "price.floor.floor-1", {"price": "40"}),
    (edit_figure, "set", {"key": "route.least-mm", "value": "550", "reason": "measured"}),
)  # fmt: skip
"""A plan that holds one of everything a form can change, made by the forms' own edits."""


@cache
def grown() -> Plan:
    plan = Plan.model_validate(plan_data())
    for editor, name, fields in GROWN:
        command = editor(plan, name, fields)
        assert command is not None, name
        plan = apply(plan, command)
    return plan


@dataclass(frozen=True)
class Case:
    """One form: its page and edit, what picks it among several, what is typed into it.

    `beside` is what the other tab types into the same form, in another field; without it the
    other tab sends OTHER. `same` is what it types where both change one place.
    """

    page: str
    edit: str
    mine: dict[str, str]
    beside: dict[str, str] | None = None
    same: dict[str, str] | None = None
    pick: dict[str, str] | None = None
    rival: "Case | None" = None


AIR = Case("room?of=air", "climate", {"minutes": "61"})
AMPS = Case("room?of=electricity", "electricity", {"amps": "20"})
ZONE = {"zone": "back", "zone_long": "1 m", "zone_wide": "1 m"}
WINDOW = Case("room?of=opening:opening-1", "opening", {"label": "North"})
BEAM = Case("room?of=low:low-1", "low", {"label": "Steel"})
COLUMN = Case("room?of=column:column-1", "column", {"label": "Post"})
SOCKET = Case("room?of=socket:socket-1", "socket", {"height": "500 mm"})
PART = Case("room?of=over:part-1", "over", {"height": "2.1 m"})
STEP = Case("room?of=step:part-1", "step", {"height": "120 mm"})
FOUND = Case("room?of=found:washing-machine-1", "found.washing-machine-1", {"label": "Washer"})
PASSAGE = Case("room?of=way-in", "passage.passage-1", {"label": "Gate"})
SITUATION = Case("room?of=situations", "situation.situation-1", {"label": "Car"})
MAT = Case("quantities?of=floor:floor-1", "floor.floor-1", {"label": "Mat"})
PAINT = Case("quantities?of=paint:paint-1", "paint.paint-1", {"colour": "blue"})
RUN = Case("quantities?of=strip:strip-1", "strip.strip-1", {"label": "Run"})
MIRROR = Case("quantities?of=mirror:mirror-1", "mirror.mirror-1", {"bottom": "600 mm"})
BEAMER = Case("quantities?of=projection:projection-1", "projection.projection-1", {"lens": "2 m"})
LIGHT = Case("quantities?of=light", "light", {"wanted_lux": "500"})
SLED = Case("kit?of=own-1", "change", {"name": "Push sled"}, pick={"row": "own-1"})
BO = Case("people", "change", {"label": "Bo"}, pick={"person": "person-1"})
LEAST = Case("figures?of=route.least-mm", "set", {"value": "560"}, pick={"key": "route.least-mm"})

CASES = (
    Case("people", "add", {"stature": "1.7 m", "label": "Cy"},
         rival=Case("people", "add", {"stature": "1.6 m", "label": "Di"})),
    Case("people", "change", {"label": "Bo"}, {"stature": "1.9 m"}, {"label": "Bea"},
         {"person": "person-1"}),
    Case("people", "change", {"with": "somebody", "reach": "2.2 m"}, {"label": "Bo"},
         {"with": "alone"}, {"person": "person-1"}),
    Case("people", "remove", {}, pick={"person": "person-1"}, rival=BO),
    Case("kit", "copy", {"like": "flat-bench"}, rival=Case("kit", "copy", {"like": "bike"})),
    Case("kit", "add", {"name": "A", "width": "1 m", "depth": "1 m", "height": "1 m", "mass": "9"},
         rival=Case("kit", "add", {"name": "B", "width": "2 m", "depth": "1 m", "height": "1 m",
                                   "mass": "8"})),
    Case("kit?of=own-1", "change", {"name": "Push sled"}, {"mass": "70"}, {"name": "Sledge"},
         {"row": "own-1"}),
    Case("kit?of=own-1", "change", {"front-least": "1 m"}, {"back-least": "0.5 m"},
         {"front-least": "2 m"}, {"row": "own-1"}),
    Case("kit", "remove", {}, pick={"row": "own-1"}, rival=SLED),
    Case("figures?of=route.least-mm", "set", {"value": "560"}, {"reason": "a wheelchair"},
         {"value": "570"}, {"key": "route.least-mm"}),
    Case("figures?of=route.least-mm", "back", {}, pick={"key": "route.least-mm"}, rival=LEAST),
    Case("room?of=wall:back", "wall", {"lining": "20 mm"}, {"colour": "red"}, {"lining": "30 mm"}),
    Case("room?of=walls", "all-walls", {"construction": "solid-brick"}, None,
         {"construction": "dense-block"}),
    Case("room?of=wall:back", "wall-length", {"length": "5.2 m"}, None, {"length": "5.3 m"}),
    Case("room?of=wall:left", "split", {"at": "1 m"}, None, {"at": "2 m"}),
    Case("room?of=wall:left", "recess", {"recess_width": "0.5 m", "recess_depth": "0.2 m",
         "into": "out"}, None, {"recess_width": "0.6 m"}),
    Case("room?of=corner:back", "corner", {"x": "-100 mm"}, None, {"x": "-200 mm"}),
    Case("room?of=corner:right", "remove-corner", {},
         rival=Case("room?of=corner:right", "corner", {"x": "5.1 m"})),
    Case("room?of=openings", "add-opening", {"wall": "back", "offset": "1 m", "width": "0.8 m",
         "height": "2 m"}, rival=Case("room?of=openings", "add-opening",
         {"wall": "left", "offset": "2 m", "width": "0.8 m", "height": "1.9 m"})),
    Case("room?of=opening:opening-1", "opening", {"label": "North"}, {"width": "1.2 m"},
         {"label": "South"}),
    Case("room?of=opening:opening-1", "remove-opening", {}, rival=WINDOW),
    Case("room?of=wall:left", "remove-wall-photo", {}),
    Case("room?of=floor", "floor", {"construction": "ground-slab"}, {"covering": "10 mm",
         "material": "rubber"}, {"construction": "timber"}),
    Case("room?of=ceiling", "ceiling", {"construction": "i-joists"}, {"height": "2.5 m"},
         {"construction": "slab"}),
    Case("room?of=ceiling", "joists", {"spacing": "450 mm"}, {"first": "100 mm"},
         {"spacing": "500 mm"}),
    Case("room?of=ceiling", "no-joists", {},
         rival=Case("room?of=ceiling", "joists", {"spacing": "500 mm"})),
    Case("room?of=hanging", "add-low", {**PLACE, "kind": "duct", "bottom": "2 m"},
         rival=Case("room?of=hanging", "add-low", {**PLACE, "kind": "pipe", "bottom": "2.2 m"})),
    Case("room?of=low:low-1", "low", {"label": "Steel"}, {"bottom": "2 m"}, {"label": "Wood"}),
    Case("room?of=low:low-1", "remove-low", {}, rival=BEAM),
    Case("room?of=columns", "add-column", {**PLACE, "label": "A"},
         rival=Case("room?of=columns", "add-column", {**PLACE, "label": "B"})),
    Case("room?of=column:column-1", "column", {"label": "Post"}, {"away": "0.6 m"},
         {"label": "Pier"}),
    Case("room?of=column:column-1", "remove-column", {}, rival=COLUMN),
    Case("room?of=sockets", "add-socket", {"offset": "2 m"},
         rival=Case("room?of=sockets", "add-socket", {"offset": "3 m"})),
    Case("room?of=socket:socket-1", "socket", {"height": "500 mm"}, {"offset": "2 m"},
         {"height": "600 mm"}),
    Case("room?of=socket:socket-1", "remove-socket", {}, rival=SOCKET),
    Case("room?of=electricity", "electricity", {"amps": "16"}, {"protected": "yes"},
         {"amps": "20"}),
    Case("room?of=electricity", "add-circuit", {"circuit_amps": "10"},
         rival=Case("room?of=electricity", "add-circuit", {"circuit_amps": "20"})),
    Case("room?of=electricity", "remove-circuit", {}),
    Case("room?of=air", "climate", {"outside_c": "-5"}, {"car": "yes"}, {"outside_c": "-7"}),
    Case("room?of=things", "burns", {"fuel": "yes"}, None, {"fuel": "no"}),
    Case("room?of=building", "fabric", {"dry": "yes"}, {"old": "no"}, {"dry": "no"}),
    Case("room?of=house", "house", {"whose": "rented"}, {"heard": "nobody"}, {"whose": "own"}),
    Case("room?of=things", "full", {"full": "half"}, None, {"full": "full"}),
    Case("room?of=things", "add-found", {"kind": "boiler", "wall": "left", "along": "2 m"},
         rival=Case("room?of=things", "add-found", {"kind": "shelving", "wall": "left",
                                                    "along": "3 m"})),
    Case(FOUND.page, FOUND.edit, {"label": "Washer"}, {"height": "0.9 m"}, {"label": "Old"}),
    Case(FOUND.page, "remove-found", {}, rival=FOUND),
    Case("room?of=things", "remove-thing", {}, pick={"thing": "thing-1"}),
    Case("room?of=known", "turn", {}, pick={"way": "left"}),
    Case("room?of=way-in", "add-passage", {"width": "1 m"}),
    Case("room?of=way-in", "passage.passage-1", {"label": "Gate"}, {"width": "1.1 m"},
         {"label": "Door"}),
    Case("room?of=way-in", "remove-passage", {}, pick={"passage": "passage-1"}, rival=PASSAGE),
    Case("room?of=way-in", "passage-earlier", {}, pick={"passage": "passage-2"}),
    Case("room?of=situations", "add-situation", {"label": "car out"},
         rival=Case("room?of=situations", "add-situation", {"label": "party"})),
    Case("room?of=situations", "situation.situation-1", {"label": "Car"}, {"door_open": "yes"},
         {"label": "Van"}),
    Case("room?of=situations", "remove-situation", {}, rival=SITUATION),
    Case("room?of=measured", "tape", {"tape": "5 mm"}, None, {"tape": "8 mm"}),
    Case("room?of=ceiling", "add-over", {**PLACE, "height": "2 m"},
         rival=Case("room?of=ceiling", "add-over", {**PLACE, "height": "2.1 m"})),
    Case("room?of=over:part-1", "over", {"height": "2.1 m"}, {"wide": "0.5 m"},
         {"height": "2 m"}),
    Case("room?of=over:part-1", "remove-over", {}, rival=PART),
    Case("room?of=over:part-1", "over-corner", {"x": "1.1 m"}, None, {"x": "1.2 m"},
         {"corner": "0"}),
    Case("room?of=over:part-1", "over-corner-more", {}, pick={"corner": "0"},
         rival=Case("room?of=over:part-1", "over", {"wide": "0.6 m"})),
    Case("room?of=over:part-1", "over-corner-less", {}, pick={"corner": "0"},
         rival=Case("room?of=over:part-1", "over", {"wide": "0.6 m"})),
    Case("room?of=ceiling", "ceiling-parts", {}),
    Case("room?of=floor", "add-step", {**PLACE, "height": "100 mm"},
         rival=Case("room?of=floor", "add-step", {**PLACE, "height": "200 mm"})),
    Case("room?of=step:part-1", "step", {"height": "120 mm"}, {"wide": "0.5 m"},
         {"height": "130 mm"}),
    Case("room?of=step:part-1", "remove-step", {}, rival=STEP),
    Case("room?of=step:part-1", "step-corner", {"x": "1.1 m"}, None, {"x": "1.2 m"},
         {"corner": "0"}),
    Case("room?of=step:part-1", "step-corner-more", {}, pick={"corner": "0"},
         rival=Case("room?of=step:part-1", "step", {"wide": "0.6 m"})),
    Case("room?of=step:part-1", "step-corner-less", {}, pick={"corner": "0"},
         rival=Case("room?of=step:part-1", "step", {"wide": "0.6 m"})),
    Case("room?of=picture", "picture", {"angle": "10"}, {"faint": "50"}, {"angle": "20"}),
    Case("room?of=picture", "picture-scale", {"ax": "0", "ay": "0", "bx": "1 m", "by": "0",
         "known": "2 m"}, None, {"known": "3 m"}),
    Case("room?of=picture", "no-picture", {},
         rival=Case("room?of=picture", "picture", {"angle": "10"})),
    Case("room?of=ways", "ways", {"way": "0.9 m"}, None, {"way": "1 m"}),
    Case("quantities?of=general", "general", {"celsius": "15"}, {"percent": "50"},
         {"celsius": "16"}),
    Case("quantities?of=paint:paint-1", "paint.paint-1", {"colour": "blue"}, {"coats": "3"},
         {"colour": "red"}),
    Case("quantities?of=paint", "add-paint", {"surface": "ceiling"},
         rival=Case("quantities?of=paint", "add-paint", {"surface": "floor"})),
    Case("quantities?of=paint:paint-1", "remove-paint.paint-1", {}, rival=PAINT),
    Case("quantities?of=light", "light", {"wanted_lux": "500"}, {"dirty": "yes"},
         {"wanted_lux": "400"}),
    Case("quantities?of=light", "no-light", {}, rival=LIGHT),
    Case("quantities?of=strip:strip-1", "strip.strip-1", {"label": "Run"}, {"cable": "2 m"},
         {"label": "Line"}),
    Case("quantities?of=strip", "add-strip", {"long": "1 m", "height": "2 m"},
         rival=Case("quantities?of=strip", "add-strip", {"long": "1.5 m", "height": "2 m"})),
    Case("quantities?of=strip:strip-1", "remove-strip.strip-1", {}, rival=RUN),
    Case("quantities?of=mirror:mirror-1", "mirror.mirror-1", {"bottom": "600 mm"},
         {"held": "adhesive"}, {"bottom": "700 mm"}),
    Case("quantities?of=mirror", "add-mirror", {"wall": "left", "width": "1 m"},
         rival=Case("quantities?of=mirror", "add-mirror", {"wall": "right", "width": "1 m"})),
    Case("quantities?of=mirror:mirror-1", "remove-mirror.mirror-1", {}, rival=MIRROR),
    Case("quantities?of=projection:projection-1", "projection.projection-1", {"lens": "2 m"},
         {"lumens": "2000"}, {"lens": "1.5 m"}),
    Case("quantities?of=projection", "add-projection", {"middle": "1 m"},
         rival=Case("quantities?of=projection", "add-projection", {"middle": "1.2 m"})),
    Case("quantities?of=projection:projection-1", "remove-projection.projection-1", {},
         rival=BEAMER),
    Case("quantities?of=floor:floor-1", "floor.floor-1", {"label": "Mat"}, {"gap": "5 mm"},
         {"label": "Rug"}),
    Case("quantities?of=floor", "add-floor", {**FLOOR, **ZONE, "label": "A"}, pick={"zone": ""},
         rival=Case("quantities?of=floor", "add-floor", {**FLOOR, **ZONE, "label": "B"},
                    pick={"zone": ""})),
    Case("quantities?of=floor:floor-1", "remove-floor.floor-1", {}, rival=MAT),
    Case("cost", "terms", {"tax": "19"}, {"budget": "900"}, {"tax": "20"}),
    Case("cost", "entry.piece.bench-1", {"whole": "80"}, {"later": "yes"}, {"whole": "90"}),
    Case("cost", "entry.piece.bench-2", {"whole": "80"}, {"second_hand": "yes"}, {"whole": "90"}),
    Case("cost", "price.floor.floor-1", {"price": "30"}, {"delivery": "5"}, {"price": "31"}),
)  # fmt: skip
ADDS = frozenset(case.edit for case in CASES if case.edit.startswith(("add", "copy")))


def _page(case: Case) -> str:
    return f"{case.page}{'' if '?' in case.page else '?of=terms'}"


def form_of(client: FlaskClient, plan_id: str, case: Case) -> Form:
    """The form of a case as its page shows it now."""
    page = client.get(f"/plan/{plan_id}/{_page(case)}").get_data(as_text=True)
    return picked(forms_of(page), case)


def picked(forms: list[Form], case: Case) -> Form:
    pick = case.pick or {}
    for form in forms:
        if case.edit in form.edits() and all(
            form.fields.get(name) == text for name, text in pick.items()
        ):
            return form
    raise AssertionError(f"{case.page} has no form for {case.edit}")


class Untouched:
    """The grown plan as nobody has changed it: each of its pages is drawn once for all tests.

    Until a twin is changed its pages show the same forms, sent to an address of its own.
    """

    def __init__(self, client: FlaskClient, plan_id: str) -> None:
        self._client, self._plan_id = client, plan_id
        self._forms: dict[str, list[Form]] = {}

    def form(self, plan_id: str, case: Case) -> Form:
        """The form of a case as the page of a twin shows it at first."""
        page = _page(case)
        if page not in self._forms:
            reply = self._client.get(f"/plan/{self._plan_id}/{page}")
            self._forms[page] = forms_of(reply.get_data(as_text=True))
        form = picked(self._forms[page], case)
        return replace(form, action=form.action.replace(self._plan_id, plan_id))


@pytest.fixture(scope="module")
def untouched(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Untouched]:
    house = Elbowroom(tmp_path_factory.mktemp("untouched"))
    client = create_app(house, "the mark").test_client()
    yield Untouched(client, house.create(load(dump(grown()).encode())).plan_id)
    house.close()


def send(client: FlaskClient, form: Form, case: Case, typed: dict[str, str], **more: str) -> Any:
    strange = typed.keys() - form.names - {name for name, _ in form.buttons}
    assert not strange, f"{case.edit} has no field {strange}"
    edit_name = form.fields.get("edit") or case.edit
    return client.post(form.action, data={**form.fields, **typed, "edit": edit_name, **more})


@pytest.fixture
def twins(house: Elbowroom) -> tuple[str, str]:
    """The same plan twice: one for stale pages, one for fresh ones."""
    plan = grown()
    ids = [house.create(load(dump(plan).encode())).plan_id for _ in range(2)]
    return ids[0], ids[1]


def ready(
    client: FlaskClient, untouched: Untouched, case: Case, *plans: str
) -> Callable[[str, Case], Form]:
    """Make plans ready for a case; return what reads the forms that they show then."""
    if "picture" not in case.edit:
        return untouched.form
    for plan_id in plans:
        assert client.post(f"/api/plans/{plan_id}/picture", data=made()).status_code == 200
    return partial(form_of, client)


def plan_of(house: Elbowroom, plan_id: str) -> Plan:
    return house.open(plan_id).plan


NAMES = [f"{case.edit}-{number}" for number, case in enumerate(CASES)]


def test_every_edit_has_a_case() -> None:
    tried = {case.edit.partition(".")[0] for case in CASES}
    # neither has a form of its own: only lists of products and of ways to lay them send them; a
    # photo comes as a file, not as a field: `test_wall_photos.py`
    elsewhere = {"floor-product", "floor-way", "wall-photo"}
    assert {*ROOM, *FIT, *MONEY} - elsewhere <= tried
    assert {"add", "change", "remove", "copy", "set", "back"} <= tried


def test_a_twin_shows_the_forms_of_the_plan_that_nobody_changed(
    client: FlaskClient, twins: tuple[str, str], untouched: Untouched
) -> None:
    for case in (BO, SLED, MIRROR):
        assert untouched.form(twins[0], case) == form_of(client, twins[0], case)


@pytest.mark.parametrize("case", one_of(5, CASES), ids=NAMES)
def test_what_the_other_tab_saved_stays(
    client: FlaskClient,
    house: Elbowroom,
    twins: tuple[str, str],
    untouched: Untouched,
    case: Case,
) -> None:
    stale, fresh = twins
    first_form = ready(client, untouched, case, stale, fresh)
    other, typed = case, case.beside
    if typed is None:
        both_add = case.rival is not None and case.edit in ADDS
        other = case.rival if both_add and case.rival else AMPS if case == AIR else AIR
        typed = other.mine
    mine = first_form(stale, case)
    for plan_id in twins:
        assert send(client, first_form(plan_id, other), other, typed).status_code == 303
    before = plan_of(house, stale)
    assert send(client, mine, case, case.mine).status_code == 303
    assert send(client, form_of(client, fresh, case), case, case.mine).status_code == 303
    assert plan_of(house, stale) == plan_of(house, fresh)
    assert plan_of(house, stale) != before


def _both(case: Case) -> bool:
    return case.same is not None or (case.rival is not None and case.edit not in ADDS)


@pytest.mark.parametrize("case", one_of(4, [case for case in CASES if _both(case)]),
                         ids=lambda case: case.edit)  # fmt: skip
def test_what_both_changed_is_refused_with_all_that_was_typed(
    client: FlaskClient,
    house: Elbowroom,
    twins: tuple[str, str],
    untouched: Untouched,
    case: Case,
) -> None:
    plan_id = twins[0]
    first_form = ready(client, untouched, case, plan_id)
    mine = first_form(plan_id, case)
    other, theirs = (case.rival, case.rival.mine) if case.rival else (case, case.same or {})
    theirs = {**case.mine, **theirs} if other is case else theirs
    assert send(client, first_form(plan_id, other), other, theirs).status_code == 303
    kept = house.open(plan_id)
    reply = send(client, mine, case, case.mine)
    page = reply.get_data(as_text=True)
    assert reply.status_code == 409
    assert house.open(plan_id).plan == kept.plan
    assert "This was changed meanwhile. It is now: " in page
    again = next(form for form in forms_of(page) if any(n == "insist" for n, _ in form.buttons))
    assert again.fields["revision"] == mine.fields["revision"]
    for name, text in case.mine.items():
        if name not in {name for name, _ in mine.buttons}:
            assert unescape(again.fields[name]) == text
    insist = dict(again.buttons)["insist"]
    reply = send(client, again, case, case.mine, insist=insist)
    assert reply.status_code == 303
    assert house.open(plan_id).plan != kept.plan


def test_a_person_that_was_removed_meanwhile_is_shown_as_typed(
    client: FlaskClient, house: Elbowroom, twins: tuple[str, str]
) -> None:
    plan_id = twins[0]
    for case, gone in ((BO, "remove"), (SLED, "remove")):
        mine = form_of(client, plan_id, case)
        away = Case(case.page, gone, {}, pick=case.pick)
        assert send(client, form_of(client, plan_id, away), away, {}).status_code == 303
        page = send(client, mine, case, case.mine)
        assert page.status_code == 409
        again = next(f for f in forms_of(page.get_data(as_text=True))
                     if any(name == "insist" for name, _ in f.buttons))  # fmt: skip
        assert case.mine.items() <= again.fields.items()
        back = send(client, again, case, {}, insist=dict(again.buttons)["insist"])
        assert back.status_code == 303
    assert {"Bo", "Push sled"} <= {
        *(person.label for person in house.open(plan_id).plan.people),
        *(row.name for row in house.open(plan_id).plan.own_kit),
    }


def test_what_is_typed_for_a_thing_that_is_gone_stays_on_the_page(
    client: FlaskClient, house: Elbowroom, twins: tuple[str, str]
) -> None:
    plan_id = twins[0]
    for case, gone in (
        (WINDOW, Case(WINDOW.page, "remove-opening", {})),
        (MIRROR, Case(MIRROR.page, "remove-mirror.mirror-1", {})),
    ):
        mine = form_of(client, plan_id, case)
        assert send(client, form_of(client, plan_id, gone), gone, {}).status_code == 303
        reply = send(client, mine, case, case.mine)
        assert reply.status_code == 409
        page = reply.get_data(as_text=True)
        assert all(f"<dd>{text}</dd>" in page for text in case.mine.values())
        again = next(f for f in forms_of(page) if any(name == "insist" for name, _ in f.buttons))
        insist = dict(again.buttons)["insist"]
        assert send(client, again, case, {}, insist=insist).status_code == 303
    plan = house.open(plan_id).plan
    assert [o.label for o in plan.room.openings] == ["North"]
    assert [m.bottom_mm for m in plan.fit_out.mirrors] == [600]


def test_a_page_whose_revision_is_gone_keeps_what_was_typed(
    client: FlaskClient, house: Elbowroom, twins: tuple[str, str]
) -> None:
    mine = form_of(client, twins[0], BO)
    reply = send(client, mine, BO, {"label": "Bo"}, revision="4000")
    assert reply.status_code == 409
    page = reply.get_data(as_text=True)
    assert "What this page showed is no longer kept" in page
    again = form_of_text(page, "person-1")
    assert (again.fields["label"], again.fields["revision"]) == ("Bo", "0")
    assert send(client, again, BO, {}).status_code == 303


def form_of_text(page: str, person: str) -> Form:
    return next(f for f in forms_of(page)
                if f.fields.get("person") == person and "label" in f.fields)  # fmt: skip


def test_one_walks_round_on_an_older_page_and_the_other_tab_stays(
    client: FlaskClient, house: Elbowroom, plan_id: str
) -> None:
    address = f"/plan/{plan_id}/walk"
    mine = forms_of(client.get(address).get_data(as_text=True))[0]
    assert send(client, form_of(client, plan_id, AIR), AIR, AIR.mine).status_code == 303
    walked = {**mine.fields, "length1": "5.5 m", "length3": "5.5 m", "act": "use"}
    assert client.post(address, data=walked).status_code == 303
    room = house.open(plan_id).plan.room
    assert (room.climate.session_minutes, round(room.wall_length_mm("back"))) == (61, 5500)
    # a second page of the same age meets the outline that came meanwhile
    late = {**mine.fields, "length1": "5.8 m", "length3": "5.8 m", "act": "use"}
    reply = client.post(address, data=late)
    page = reply.get_data(as_text=True)
    assert reply.status_code == 409
    assert "This was changed meanwhile." in page
    again = forms_of(page)[0]
    assert again.fields["length1"] == "5.8 m"
    insist = dict(again.buttons)["insist"]
    assert client.post(address, data={**again.fields, "insist": insist}).status_code == 303
    assert round(house.open(plan_id).plan.room.wall_length_mm("back")) == 5800


def test_a_picture_laid_from_an_older_page_leaves_the_rest(
    client: FlaskClient, house: Elbowroom, plan_id: str
) -> None:
    page = client.get(f"/plan/{plan_id}/room?of=picture").get_data(as_text=True)
    mine = next(form for form in forms_of(page) if form.multipart)
    assert mine.fields["revision"] == "0"
    assert send(client, form_of(client, plan_id, AIR), AIR, AIR.mine).status_code == 303
    file = (io.BytesIO(made()), "sketch.png")
    reply = client.post(mine.action, data={**mine.fields, "file": file})
    assert reply.status_code == 303
    plan = house.open(plan_id).plan
    assert (plan.picture is not None, plan.room.climate.session_minutes) == (True, 61)


def test_two_tabs_that_each_add_the_first_place_on_the_way_in_both_have_theirs(
    client: FlaskClient, house: Elbowroom
) -> None:
    plan_id = house.create(make_plan()).plan_id
    case = Case("room?of=way-in", "add-passage", {"width": "1 m"})
    stale = form_of(client, plan_id, case)
    assert send(client, stale, case, case.mine).status_code == 303
    assert send(client, stale, case, {"width": "0.9 m"}).status_code == 303
    # sent again because the answer was lost, it adds nothing
    assert send(client, stale, case, case.mine).status_code == 303
    assert [one.width_mm for one in house.open(plan_id).plan.way_in] == [1000, 900]
    # what is put in another order meanwhile is one place still
    earlier = Case("room?of=way-in", "passage-earlier", {}, pick={"passage": "passage-2"})
    third = form_of(client, plan_id, case)
    assert send(client, form_of(client, plan_id, earlier), earlier, {}).status_code == 303
    assert send(client, third, case, {"width": "0.8 m"}).status_code == 409
