"""The server for guests on an address of its own: switched on and off, links withdrawn, streams."""

import http.client
import json
import re
import shutil
import socket
import subprocess
import threading
from collections.abc import Callable, Iterator
from contextlib import closing
from typing import Any
from urllib.parse import urlsplit

import pytest

from app.usecases.plans import Elbowroom
from app.usecases.sharing import add_remark, make_link, withdraw
from app.web.app import create_app
from app.web.guests.addresses import home_addresses, interfaces, is_home, is_loopback
from app.web.guests.server import GuestServer, SharingError, qr_svg, qr_text

SECOND_LOOPBACK = "127.0.0.2"

# Nothing that happens at all takes this long, on however busy a machine.
PATIENCE_S = 60.0


def own_address() -> str:
    """An address that is not 127.0.0.1: of the home network, else a second loopback one."""
    return next(iter(home_addresses()), SECOND_LOOPBACK)


@pytest.fixture
def server(house: Elbowroom) -> Iterator[GuestServer]:
    server = GuestServer(house, 0)
    yield server
    house.board.close()
    server.stop()


def line_to(root: str) -> http.client.HTTPConnection:
    parts = urlsplit(root)
    return http.client.HTTPConnection(str(parts.hostname), parts.port, timeout=60)


def status(root: str, path: str) -> int:
    with closing(line_to(root)) as line:
        line.request("GET", path)
        return line.getresponse().status


Follow = Callable[[str, str, str], http.client.HTTPResponse]


@pytest.fixture
def follow() -> Iterator[Follow]:
    """A way to open streams; the lines are hung up at the end."""
    lines: list[http.client.HTTPConnection | http.client.HTTPResponse] = []

    def open_one(root: str, secret: str, plan_id: str) -> http.client.HTTPResponse:
        line = line_to(root)
        lines.append(line)
        path = f"/g/{secret}/api/plans/{plan_id}/stream"
        line.request("GET", path, headers={"Accept": "text/event-stream"})
        reply = line.getresponse()
        lines.append(reply)
        return reply

    yield open_one
    for one in lines:
        one.close()


def next_news(stream: http.client.HTTPResponse) -> dict[str, Any]:
    """Return the next news; those that waited for a heartbeat of the stream fail."""
    while line := stream.readline():
        assert not line.startswith(b":"), "a heartbeat came first"
        if line.startswith(b"data: ") and line != b"data: {}\n":
            told: dict[str, Any] = json.loads(line[6:])
            return told
    raise AssertionError("the stream ended")


def test_guests_are_served_only_while_it_is_on(
    house: Elbowroom, server: GuestServer, plan_id: str
) -> None:
    link, secret = make_link(house, plan_id, "Anna", "look", 1)
    server.remember(link, secret)
    assert (server.root, server.url(link)) == (None, None)
    root = server.start(own_address())
    assert server.url(link) == f"{root}/g/{secret}/"
    assert status(root, f"/g/{secret}/") == 200
    server.stop()
    with pytest.raises(OSError, match=r"refused|timed out|reset"):
        status(root, f"/g/{secret}/")
    again = server.start(own_address())
    assert status(again, f"/g/{secret}/") == 200


def test_a_stream_tells_of_changes_and_remarks_at_once(
    house: Elbowroom, server: GuestServer, plan_id: str, follow: Follow
) -> None:
    _, secret = make_link(house, plan_id, "Anna", "look", 1)
    stream = follow(server.start(own_address()), secret, plan_id)
    assert next_news(stream) == {"revision": 0, "said": 0, "who": ["Anna"]}
    house.rename(plan_id, "Another name")
    assert next_news(stream)["revision"] == 1
    add_remark(house, plan_id, 0, 0, "here", "owner", "owner")
    assert next_news(stream)["said"] == 1


def test_a_withdrawn_link_ends_its_streams_before_the_next_heartbeat(
    house: Elbowroom, server: GuestServer, plan_id: str, follow: Follow
) -> None:
    link, secret = make_link(house, plan_id, "Anna", "look", 1)
    root = server.start(own_address())
    stream = follow(root, secret, plan_id)
    next_news(stream)
    withdraw(house, plan_id, link.id)
    # a heartbeat would be a line of its own
    assert stream.read().strip() == b""
    assert follow(root, secret, plan_id).status == 404


def test_who_goes_away_is_soon_seen_no_more(
    house: Elbowroom, server: GuestServer, plan_id: str, follow: Follow
) -> None:
    _, secret = make_link(house, plan_id, "Anna", "look", 1)
    root = server.start(own_address())
    stream = follow(root, secret, plan_id)
    next_news(stream)
    seen = house.board.now(plan_id)
    stream.close()
    news = house.board.wait(plan_id, seen, PATIENCE_S)
    assert news is not None
    assert news.who == ()


def test_stopping_lets_open_streams_go(
    house: Elbowroom, server: GuestServer, plan_id: str, follow: Follow
) -> None:
    _, secret = make_link(house, plan_id, "Anna", "look", 1)
    streams = [follow(server.start(own_address()), secret, plan_id) for _ in range(3)]
    for stream in streams:
        next_news(stream)
    server.stop()
    # had a stream held on, the server would have been given up and still be there
    assert "guests" not in {thread.name for thread in threading.enumerate()}
    assert house.board.now(plan_id).who == ()


def test_it_listens_on_the_chosen_address_only(house: Elbowroom) -> None:
    with closing(socket.socket()) as ours:
        # Ours without listening, so that no other program can be the one that answers there.
        ours.bind(("127.0.0.1", 0))
        port = int(ours.getsockname()[1])
        server = GuestServer(house, port)
        try:
            assert server.start(SECOND_LOOPBACK) == f"http://{SECOND_LOOPBACK}:{port}"
            with socket.socket() as caller, pytest.raises(OSError, match="refused"):
                caller.connect(("127.0.0.1", port))
        finally:
            server.stop()


# 0.0.0.0/8, 224.0.0.0/4, 240.0.0.0/4 and 255.255.255.255 name no machine: RFC 1122, 3.2.1.3
@pytest.mark.parametrize(
    "address",
    [
        *("0.0.0.0", "0.1.2.3", "8.8.8.8", "224.0.0.1", "239.255.255.250", "240.0.0.1"),
        *("255.255.255.255", "127.255.255.255", "127.0.0.0", "home.example", "", "::", "fe80::1"),
    ],
)
def test_it_is_not_started_for_the_whole_world(server: GuestServer, address: str) -> None:
    with pytest.raises(SharingError):
        server.start(address)
    assert server.root is None


def test_the_ends_of_this_machines_own_networks_are_refused(server: GuestServer) -> None:
    nets = [one.network for one in interfaces() if one.network.prefixlen < 31]
    assert nets
    for end in (end for net in nets for end in (net.network_address, net.broadcast_address)):
        assert not is_home(str(end))
        with pytest.raises(SharingError, match="is no address of a home network"):
            server.start(str(end))


def test_interfaces_are_those_that_the_system_names() -> None:
    """As the system's own tool lists them, where there is one."""
    tool = shutil.which("ip")
    if tool is None:
        pytest.skip("there is no tool that lists interfaces")
    listed = subprocess.run([tool, "-4", "-o", "addr"], capture_output=True, text=True, check=True)
    named = set(re.findall(r"inet (\d+\.\d+\.\d+\.\d+/\d+)", listed.stdout))
    assert {str(one) for one in interfaces()} == named


def test_an_address_of_somebody_else_is_refused(server: GuestServer) -> None:
    with pytest.raises(SharingError, match="is it an address of this machine"):
        server.start("192.168.255.254")


def test_which_addresses_are_of_a_home() -> None:
    # RFC 1918 and RFC 3927 name these ranges; 8.8.8.8 and 1.1.1.1 are of the internet
    assert all(is_home(a) for a in ("192.168.1.5", "10.0.0.7", "172.16.3.4", "169.254.1.1"))
    assert not any(is_home(a) for a in ("8.8.8.8", "1.1.1.1", "127.0.0.1", "0.0.0.0", "x"))
    assert is_loopback(SECOND_LOOPBACK)
    assert all(is_home(address) for address in home_addresses())


def test_the_switch_and_the_links_on_the_owners_page(
    house: Elbowroom, server: GuestServer, plan_id: str
) -> None:
    client = create_app(house, guest_server=server).test_client()
    page = f"/plan/{plan_id}/share"
    assert "Only this machine can open plans." in client.get(page).text
    client.post(f"{page}/on", data={"address": SECOND_LOOPBACK})
    made = client.post(
        f"{page}/links",
        data={"name": "<b>Anna", "rights": "comment", "hours": "24"},
        follow_redirects=True,
    )
    assert "It is plain http" in made.text
    assert "Anyone on your home network who has a link" in made.text
    assert "&lt;b&gt;Anna" in made.text
    (link,) = house.store.sharing.links(plan_id)
    url = server.url(link)
    assert url is not None
    assert made.text.count(url) == 2
    assert 'class="qr"' in made.text
    assert status(str(server.root), urlsplit(url).path) == 200
    client.post(f"{page}/links/{link.id}/withdraw")
    assert status(str(server.root), urlsplit(url).path) == 404
    assert "&lt;b&gt;Anna" not in client.get(page).text
    client.post(f"{page}/off")
    assert server.root is None


def test_the_first_link_may_switch_sharing_on(
    house: Elbowroom, server: GuestServer, plan_id: str
) -> None:
    client = create_app(house, guest_server=server).test_client()
    page = f"/plan/{plan_id}/share"
    form = {"name": "Anna", "rights": "look", "hours": "2"}
    assert client.post(f"{page}/links", data={"address": SECOND_LOOPBACK}).status_code == 400
    assert server.root is None
    made = client.post(f"{page}/links", data={**form, "address": SECOND_LOOPBACK})
    assert made.status_code == 303
    (link,) = house.store.sharing.links(plan_id)
    url = server.url(link)
    assert url is not None
    assert status(str(server.root), urlsplit(url).path) == 200
    # an address of another machine: the link is kept, and why it is not on is said
    client.post(f"{page}/off")
    reply = client.post(f"{page}/links", data={**form, "name": "Bo", "address": "192.0.2.99"})
    assert reply.status_code == 400
    assert 'class="faults"' in reply.text
    assert (server.root, len(house.store.sharing.links(plan_id))) == (None, 2)


def test_after_a_restart_one_press_makes_a_link_a_new_address(
    house: Elbowroom, server: GuestServer, plan_id: str
) -> None:
    # the server has not seen this link made: so it is after a restart
    link, lost = make_link(house, plan_id, "Anna", "comment", 24, ticks=True)
    client = create_app(house, guest_server=server).test_client()
    page = f"/plan/{plan_id}/share"
    client.post(f"{page}/on", data={"address": SECOND_LOOPBACK})
    root = str(server.root)
    assert "Its address was shown when it was made, and is not stored" in client.get(page).text
    assert status(root, f"/g/{lost}/") == 200
    client.post(f"{page}/links/{link.id}/renew")
    url = server.url(link)
    assert url is not None
    assert client.get(page).text.count(url) == 2
    assert (status(root, urlsplit(url).path), status(root, f"/g/{lost}/")) == (200, 404)
    # the same link: what Anna said and voted stays hers
    assert house.store.sharing.links(plan_id) == (link,)
    withdraw(house, plan_id, link.id)
    assert client.post(f"{page}/links/{link.id}/renew").status_code == 404
    assert status(root, urlsplit(url).path) == 404


@pytest.mark.parametrize(
    "form", [{}, {"name": "A", "rights": "look"}, {"name": "A", "rights": "all", "hours": "2"}]
)
def test_a_form_that_does_not_do_makes_no_link(
    client: Any, house: Elbowroom, plan_id: str, form: dict[str, str]
) -> None:
    assert client.post(f"/plan/{plan_id}/share/links", data=form).status_code == 400
    assert house.store.sharing.links(plan_id) == ()


def test_an_application_without_a_server_for_guests_starts_none(client: Any, plan_id: str) -> None:
    reply = client.post(f"/plan/{plan_id}/share/on", data={"address": SECOND_LOOPBACK})
    assert reply.status_code == 400
    assert "cannot be switched on here" in reply.text


def test_a_qr_code_is_drawn_for_the_page_and_the_console() -> None:
    svg, lines = qr_svg("http://192.168.1.5:8766/g/x/"), qr_text("http://192.168.1.5/").split("\n")
    assert svg.startswith("<svg")
    assert "style=" not in svg
    # ISO/IEC 18004: version 1 has 21 modules a side, 25 letters of upper case at level L;
    # 17 bytes at level L, so these 19 need version 2: 25 modules, and 2 of border on each side
    assert {len(line) for line in lines} == {29}
    assert len(lines) == 15
