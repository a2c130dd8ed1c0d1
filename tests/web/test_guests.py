"""Every route of the guests' application with every right, and what keeps guests in their place."""

import io
import logging
import time
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from flask import Flask
from PIL import Image
from werkzeug.routing import Rule

from app.changes.difference import difference
from app.forms.room_edits_sketch import laid
from app.model.base import json_of
from app.model.versions import load
from app.usecases.options import copy_as_option, votes_of
from app.usecases.picture_reading import read_picture
from app.usecases.plans import Elbowroom
from app.usecases.sharing import add_remark, make_link, withdraw
from app.usecases.sharing import links as sharing_links
from app.web.api.following import Streams
from app.web.app import create_app
from app.web.guests.app import create_guest_app
from app.web.guests.limits import Buckets
from app.web.guests.server import hide_secrets
from app.wording import open_words
from tests.web.building import plan_data, text

HOME = "http://192.168.1.5:8766"
RANK = {"look": 0, "comment": 1, "edit": 2}

# Written down here anew, so that a change of the rights has to be meant.
OPEN_FROM = {
    "look": {
        "static", "guests.page", "api.show", "api.drawing", "following.stream", "remarks.listed",
        "sheets.choose", "sheets.page", "sheets.svg", "sheets.pdf", "pages.cautions",
        "sketch.picture", "guest_options.page", "work_pages.show", "work_pages.today_page",
        "shopping_pages.show", "lay_pages.show", "guests.picture",
    },
    "comment": {
        "remarks.add", "remarks.reply", "remarks.settle", "remarks.vote", "guest_options.vote",
    },
    "edit": {
        "pages.desk", "pages.people", "room_pages.room", "room_pages.change", "room_pages.parts",
        "room_pages.ask",
        "room_pages.command", "pictures.section", "pictures.region", "pictures.ways",
        "pictures.picture_now",
        "api.command", "api.undo", "api.redo", "api.rename", "api.try_moves", "api.remedies",
        "api.mending", "api.mending_now", "api.walls", "api.length", "api.fits", "api.look",
        "api.at_revision", "api.places", "pages.shelf", "work_pages.change", "work_pages.tick",
        "work_pages.photo",
        "shopping_pages.tick", "lay_pages.tick",
        "walk.show", "walk.use", "walk.look",
    },
}  # fmt: skip


@pytest.fixture
def guests(house: Elbowroom) -> Flask:
    app = create_guest_app(house, frozenset({"192.168.1.5"}), Streams(3, 3, 2))
    app.extensions["elbowroom-buckets"] = Buckets(1e6, 1e6)
    app.extensions["elbowroom-strangers"] = Buckets(1e6, 1e6)
    return app


@pytest.fixture
def other_id(house: Elbowroom) -> str:
    """Another plan, which no link of these tests opens."""
    return house.create(load(text(plan_data(name="Private")))).plan_id


def door(house: Elbowroom, plan_id: str, rights: str) -> str:
    return f"/g/{make_link(house, plan_id, 'Anna', rights, 1)[1]}"


def path_of(rule: Rule, plan_id: str, remark: int) -> str:
    path = rule.rule
    for name, value in (
        ("<plan_id>", plan_id), ("<number>", str(remark)), ("<int:number>", "0"),
        ("<path:filename>", "css/tokens.css"), ("<piece_id>", "bench-1"),
        ("<key>", "single-garage"), ("<link_id>", "x"),
    ):  # fmt: skip
        path = path.replace(name, value)
    return path


def asks(app: Flask, plan_id: str, remark: int) -> list[tuple[str, str, str]]:
    """Each endpoint with each of its methods and an address of it.

    The list of plans has no address for guests: there they find their own page.
    """
    return [
        (rule.endpoint, method, path_of(rule, plan_id, remark))
        for rule in app.url_map.iter_rules()
        if rule.endpoint != "pages.home"
        for method in sorted((rule.methods or set()) - {"OPTIONS"})
    ]


def shut(reply: Any) -> bool:
    """Whether the answer is that of an address that is not there for this guest."""
    return reply.status_code == 404 and b"There is nothing at this address." in reply.data


@pytest.mark.parametrize("rights", ["look", "comment", "edit"])
def test_every_route_with_every_right(
    house: Elbowroom, guests: Flask, plan_id: str, rights: str
) -> None:
    remark = add_remark(house, plan_id, 0, 0, "here", "x", "Ben")
    inside, client = door(house, plan_id, rights), guests.test_client()
    least = {endpoint: right for right, some in OPEN_FROM.items() for endpoint in some}
    seen = set()
    for endpoint, method, path in asks(guests, plan_id, remark):
        address = inside + ("/" if endpoint == "guests.page" else path)
        with client.open(address, method=method, base_url=HOME, data=b"{}") as reply:
            status, closed = reply.status_code, shut(reply)
        told = (endpoint, method, status)
        assert status < 500, told
        if endpoint not in least:
            assert status == 404, told
            assert closed or method == "HEAD", told
        elif RANK[rights] < RANK[least[endpoint]]:
            assert status == 403, told
        else:
            assert status != 403, told
            assert not closed, told
        seen.add(endpoint)
    assert least.keys() <= seen
    assert len(seen) >= 45


@pytest.mark.parametrize("rights", ["look", "comment", "edit"])
def test_no_route_leads_to_another_plan(
    house: Elbowroom, guests: Flask, plan_id: str, other_id: str, rights: str
) -> None:
    inside, client = door(house, plan_id, rights), guests.test_client()
    before = house.open(other_id)
    tried = 0
    for endpoint, method, path in asks(guests, other_id, 1):
        if other_id not in path:
            continue
        with client.open(inside + path, method=method, base_url=HOME, data=b"{}") as reply:
            assert reply.status_code == 404, (endpoint, method)
            assert b"Private" not in reply.data
        tried += 1
    assert tried >= 40
    assert house.open(other_id) == before


@pytest.mark.parametrize("knock", ["", "/g", "/g/", "/g/short", "/g/" + "A" * 32, "/g/../.."])
def test_without_a_link_there_is_nothing(
    guests: Flask, plan_id: str, house: Elbowroom, knock: str
) -> None:
    make_link(house, plan_id, "Anna", "edit", 1)
    client = guests.test_client()
    for endpoint, method, path in asks(guests, plan_id, 1):
        reply = client.open(knock + path, method=method, base_url=HOME, data=b"{}")
        assert reply.status_code in (308, 404), (endpoint, method)
        assert b"Room" not in reply.data


def test_a_link_ends_in_its_time_and_at_once_when_withdrawn(
    house: Elbowroom, guests: Flask, plan_id: str
) -> None:
    client = guests.test_client()
    ends = datetime.now(UTC) + timedelta(seconds=0.5)
    short, brief = house.store.sharing.make_link(plan_id, "Anna", "look", ends)
    link, secret = make_link(house, plan_id, "Ben", "look", 1)
    assert client.get(f"/g/{secret}/", base_url=HOME).status_code == 200
    withdraw(house, plan_id, link.id)
    assert client.get(f"/g/{secret}/", base_url=HOME).status_code == 404
    while datetime.now(UTC) < short.ends:
        time.sleep(0.01)
    assert client.get(f"/g/{brief}/", base_url=HOME).status_code == 404


def test_the_list_of_plans_is_the_guests_own_page(
    house: Elbowroom, guests: Flask, plan_id: str, other_id: str
) -> None:
    page = guests.test_client().get(door(house, plan_id, "edit") + "/", base_url=HOME)
    assert (page.status_code, "Private" in page.text, other_id in page.text) == (200, False, False)


def test_a_deleted_plan_is_gone_for_guests(house: Elbowroom, guests: Flask, plan_id: str) -> None:
    inside = door(house, plan_id, "edit")
    house.delete(plan_id)
    for path in ("/", f"/plan/{plan_id}", f"/api/plans/{plan_id}", f"/api/plans/{plan_id}/stream"):
        assert guests.test_client().get(inside + path, base_url=HOME).status_code == 404


@pytest.mark.parametrize("host", ["127.0.0.1:8766", "evil.example:8766", "192.168.1.5:80", ""])
def test_guests_come_to_the_chosen_address_only(
    house: Elbowroom, guests: Flask, plan_id: str, host: str
) -> None:
    reply = guests.test_client().get(
        door(house, plan_id, "edit") + "/", base_url=HOME, headers={"Host": host}
    )
    assert reply.status_code in (400, 403)


def test_guests_change_things_from_their_own_pages_only(
    house: Elbowroom, guests: Flask, plan_id: str
) -> None:
    address = f"{door(house, plan_id, 'comment')}/api/plans/{plan_id}/remarks"
    body = {"x_mm": 1, "y_mm": 2, "text": "here"}
    client = guests.test_client()
    evil = client.post(address, base_url=HOME, json=body, headers={"Origin": "http://evil.example"})
    own = client.post(address, base_url=HOME, json=body, headers={"Origin": HOME})
    assert (evil.status_code, own.status_code) == (403, 201)


def test_the_headers_are_those_of_the_desk(house: Elbowroom, guests: Flask, plan_id: str) -> None:
    inside, client = door(house, plan_id, "edit"), guests.test_client()
    for path in ("/", f"/plan/{plan_id}", f"/api/plans/{plan_id}", "/nowhere"):
        headers = client.get(inside + path, base_url=HOME).headers
        assert "default-src 'self'" in headers["Content-Security-Policy"]
        assert "unsafe" not in headers["Content-Security-Policy"]
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Referrer-Policy"] == "same-origin"
        assert headers["Cache-Control"] == "no-store"


def test_a_guest_can_send_two_megabytes_and_not_more(
    house: Elbowroom, guests: Flask, plan_id: str
) -> None:
    address = f"{door(house, plan_id, 'edit')}/api/plans/{plan_id}/commands"
    reply = guests.test_client().post(address, base_url=HOME, data=b"x" * 2_000_001)
    assert reply.status_code == 413
    assert b'"too-large"' in reply.data


def test_too_many_requests_are_put_off(house: Elbowroom, guests: Flask, plan_id: str) -> None:
    guests.extensions["elbowroom-buckets"] = Buckets(5, 0.01)
    inside, client = door(house, plan_id, "look"), guests.test_client()
    path = f"{inside}/api/plans/{plan_id}/remarks"
    statuses = [client.get(path, base_url=HOME).status_code for _ in range(8)]
    assert statuses == [200] * 5 + [429] * 3
    other = f"{door(house, plan_id, 'look')}/api/plans/{plan_id}/remarks"
    assert client.get(other, base_url=HOME).status_code == 200


def test_strangers_that_try_secrets_are_put_off(guests: Flask) -> None:
    guests.extensions["elbowroom-strangers"] = Buckets(3, 0.01)
    client = guests.test_client()
    statuses = [client.get(f"/g/{'A' * 31}{i}/", base_url=HOME).status_code for i in range(5)]
    assert statuses == [404, 404, 404, 429, 429]


def test_a_guest_has_so_many_streams_and_no_more(
    house: Elbowroom, guests: Flask, plan_id: str
) -> None:
    address = f"{door(house, plan_id, 'look')}/api/plans/{plan_id}/stream"
    ask: dict[str, Any] = {"base_url": HOME, "headers": {"Accept": "text/event-stream"}}
    clients = [guests.test_client() for _ in range(4)]
    one, two = (client.get(address, **ask) for client in clients[:2])
    assert clients[2].get(address, **ask).status_code == 429
    assert clients[2].head(address, **ask).status_code == 200
    one.close()
    three = clients[3].get(address, **ask)
    assert three.status_code == 200
    lines = three.iter_encoded()
    next(lines)
    assert b'"revision": 0' in next(lines)
    two.close()
    three.close()
    assert guests.extensions["elbowroom-streams"].count == 0
    assert house.board.now(plan_id).who == ()


def test_what_guests_do_carries_their_name(house: Elbowroom, guests: Flask, plan_id: str) -> None:
    inside, client = door(house, plan_id, "edit"), guests.test_client()
    pose = {"x_mm": 1200.0, "y_mm": 2000.0, "angle_deg": 0.0}
    change = {
        "path": ["pieces", "bench-1", "pose"],
        "before": pose,
        "after": {**pose, "x_mm": 1500},
    }
    body = {"command": {"name": "move", "says": "move it", "changes": [change]}, "revision": 0}
    reply = client.post(f"{inside}/api/plans/{plan_id}/commands", base_url=HOME, json=body)
    assert reply.status_code == 200
    assert house.store.log.revision(plan_id, 1)[0].author == "Anna"


def test_names_and_remarks_are_written_as_text(
    house: Elbowroom, guests: Flask, plan_id: str
) -> None:
    mark = "<img src=x onerror=alert(1)>"
    inside = f"/g/{make_link(house, plan_id, mark, 'edit', 1)[1]}"
    add_remark(house, plan_id, 0, 0, f"{mark}</script>", "x", mark)
    page = guests.test_client().get(f"{inside}/", base_url=HOME).text
    assert "<img src=x" not in page
    assert page.count("</script>") == page.count("<script ")


def test_secrets_stay_out_of_the_log(caplog: pytest.LogCaptureFixture) -> None:
    hide_secrets()
    for name in ("waitress", "elbowroom-guests"):
        with caplog.at_level(logging.ERROR):
            logging.getLogger(name).error("Exception while serving %s", "/g/S3cr3t_x-y/api/plans/1")
    assert "S3cr3t" not in caplog.text
    assert caplog.text.count("/g/.../api/plans/1") == 2


def test_options_are_seen_as_pictures_and_figures_and_nothing_else_of_them(
    house: Elbowroom, guests: Flask, plan_id: str, other_id: str
) -> None:
    second = copy_as_option(house, plan_id, "<b>Bench out</b>").plan_id
    inside, client = door(house, plan_id, "look"), guests.test_client()
    assert "2 options side by side" in client.get(f"{inside}/", base_url=HOME).text
    page = client.get(f"{inside}/guest/options", base_url=HOME).text
    assert "&lt;b&gt;Bench out&lt;/b&gt;" in page
    assert "<b>Bench out" not in page
    assert page.count('<svg class="figure') == 2
    counts = house.verdict(second)["counts"]
    assert page.count(f"<dd>{open_words(counts, ('stop', 'care'))}</dd>") == 2
    # neither the id of the other option nor anything of a plan outside the family, and no vote
    assert (second in page, "Private" in page, "<form" in page) == (False, False, False)
    for path in (f"/plan/{second}/sheet.svg", f"/api/plans/{second}"):
        assert shut(client.get(inside + path, base_url=HOME))


def test_what_the_kit_costs_is_seen_by_a_link_that_shares_it_and_by_no_other(
    house: Elbowroom, guests: Flask, plan_id: str
) -> None:
    owner, client = create_app(house).test_client(), guests.test_client()
    form = {"rights": "look", "hours": "2"}
    for name, more in (("Anna", {}), ("Ben", {"money": "yes"})):
        made = owner.post(f"/plan/{plan_id}/share/links", data={**form, "name": name, **more})
        assert made.status_code == 303
    shared = {link.name: link.money for link in sharing_links(house, plan_id)}
    assert shared == {"Anna": False, "Ben": True}
    assert owner.get(f"/plan/{plan_id}/share").text.count("prices shared") == 1
    for rights in ("look", "comment"):
        for money in (False, True):
            inside = f"/g/{make_link(house, plan_id, 'Cleo', rights, 1, money=money)[1]}"
            pages = [client.get(f"{inside}{path}", base_url=HOME).text
                     for path in ("/", "/guest/options", f"/api/plans/{plan_id}")]  # fmt: skip
            assert ("What the kit costs" in pages[0], "Kit now" in pages[1]) == (money, money)
            # the plan itself, with every price in it, stays with who may change it
            assert "minor" not in pages[2]


def test_who_may_only_look_sees_the_picture_under_this_plan_and_no_other(
    house: Elbowroom, guests: Flask, plan_id: str, other_id: str
) -> None:
    for each, colour in ((plan_id, "red"), (other_id, "blue")):
        photo = io.BytesIO()
        Image.new("RGB", (30, 20), colour).save(photo, "PNG")
        drawn = read_picture(photo.getvalue())
        house.store.pictures.keep(drawn.id, drawn.data)
        after = laid(house.open(each).plan, drawn.id, drawn.width_px, drawn.height_px)
        asked = difference(house.open(each).plan, after, "room", "a picture")
        assert asked is not None
        house.do(each, asked, "owner")
    inside, client = door(house, plan_id, "look"), guests.test_client()
    own, other = (house.open(each).plan.picture for each in (plan_id, other_id))
    assert own is not None
    assert other is not None
    page = client.get(f"{inside}/", base_url=HOME).text
    assert f'"id":"{own.id}"' in page.replace(" ", "")
    shown = client.get(f"{inside}/api/plans/{plan_id}/picture/{own.id}", base_url=HOME)
    assert (shown.status_code, shown.mimetype) == (200, "image/jpeg")
    for path in (f"{plan_id}/picture/{other.id}", f"{other_id}/picture/{other.id}"):
        assert client.get(f"{inside}/api/plans/{path}", base_url=HOME).status_code == 404
    # nor does one who may change this plan come to see it by laying it under this one
    inside = door(house, plan_id, "edit")
    mine, strange = json_of(own), json_of(other)
    for change, status in (
        ({"path": ["picture"], "before": mine, "after": strange}, 403),
        ({"path": ["picture", "id"], "before": own.id, "after": other.id}, 403),
        ({"path": ["picture", "faint"], "before": own.faint, "after": 0.5}, 200),
        ({"path": ["picture"], "before": {**mine, "faint": 0.5}, "after": None}, 200),
    ):
        body = {"command": {"name": "edit", "says": "x", "changes": [change]}}
        address = f"{inside}/api/plans/{plan_id}"
        assert client.post(f"{address}/commands", base_url=HOME, json=body).status_code == status
        assert client.get(f"{address}/picture/{other.id}", base_url=HOME).status_code == 404


def test_a_guest_has_one_vote_for_an_option(
    house: Elbowroom, guests: Flask, plan_id: str, other_id: str
) -> None:
    second = copy_as_option(house, plan_id, "").plan_id
    anna, client = door(house, plan_id, "comment"), guests.test_client()
    look = door(house, plan_id, "look")

    def asked(inside: str, letter: str) -> int:
        address = f"{inside}/guest/options"
        return client.post(address, base_url=HOME, data={"letter": letter}).status_code

    assert [asked(anna, "A"), asked(anna, "B"), asked(look, "A")] == [303, 303, 403]
    assert [asked(anna, letter) for letter in ("C", "", "a", other_id, second)] == [400] * 5
    (vote,) = votes_of(house, second)
    assert (vote.author, vote.letter, vote.revision) == ("Anna", "B", 0)
    assert "You are for B" in client.get(f"{anna}/guest/options", base_url=HOME).text
    house.rename(second, "Later")
    page = client.get(f"{look}/guest/options", base_url=HOME).text
    assert "1: Anna (on revision 0)" in page
    owner = create_app(house).test_client().get(f"/plan/{plan_id}/options").text
    assert "1: Anna (on revision 0)" in owner
    house.delete(second)
    assert votes_of(house, plan_id) == ()
    # alone there is nothing to vote on
    assert asked(anna, "A") == 400
    evil = client.post(
        f"{anna}/guest/options", base_url=HOME, data={"letter": "A"},
        headers={"Origin": "http://evil.example"},
    )  # fmt: skip
    assert evil.status_code == 403
