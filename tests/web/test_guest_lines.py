"""Strangers on the network who hold lines open or dribble: guests with a link come in all the same.

Addresses of loopback stand for those of a home; where the machine allows it, the same tests run
once more in a network of their own, with addresses of RFC 1918.
"""

import http.client
import json
import os
import select
import shutil
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, suppress
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from app.errors import ElbowroomError
from app.usecases.plans import Elbowroom
from app.usecases.sharing import make_link
from app.web.api.following import CrowdedError, Streams
from app.web.guests.lines import Limits, LineServer
from app.web.guests.server import GuestServer, _shut
from tests.browser.running import ROOT

OWN_NETWORK = "ELBOWROOM_TEST_NETWORK"
"""Set inside the network of the tests' own: the beginning of its addresses."""
NETWORK = os.environ.get(OWN_NETWORK, "127.0.0.")
SERVER, GUEST, STRANGER = (f"{NETWORK}{host}" for host in (2, 20, 66))
HELD = 320
BODY_TO_COME = b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 9999\r\n\r\n"
BEGINNINGS = (b"", b"GET /g/", BODY_TO_COME)
WAITING = 60.0
"""Seconds after which a test gives up; none takes near as long."""

MakeServer = Callable[[Limits], GuestServer]


@pytest.fixture
def serving(house: Elbowroom) -> Iterator[MakeServer]:
    with ExitStack() as ending:

        def make(limits: Limits) -> GuestServer:
            server = GuestServer(house, 0, limits=limits)
            ending.callback(server.stop)
            ending.callback(house.board.close)
            server.start(SERVER)
            return server

        yield make


class Strangers:
    """A stranger that holds many lines: some silent, some dribbling heads, some dribbling bodies.

    Lines that are ended are opened again for as long as the stranger stays.
    """

    def __init__(self, port: int) -> None:
        self._port = port
        self._lines: list[socket.socket | None] = [None] * HELD
        self._over = threading.Event()
        self.opened = 0
        self.settled = threading.Event()
        self._thread = threading.Thread(target=self._stay)

    def __enter__(self) -> "Strangers":
        self._thread.start()
        assert self.settled.wait(WAITING)
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        self._thread.join()
        for line in self._lines:
            if line is not None:
                line.close()

    def _stay(self) -> None:
        while not self._over.is_set():
            for n, line in enumerate(self._lines):
                if line is not None and not self._dribbles(line, n):
                    line.close()
                    self._lines[n] = line = None
                if line is None:
                    with suppress(OSError):
                        self._lines[n] = self._opened(n)
            self.settled.set()
            self._over.wait(0.2)

    def _opened(self, n: int) -> socket.socket:
        line = socket.create_connection((SERVER, self._port), 5, (STRANGER, 0))
        self.opened += 1
        with suppress(OSError):
            line.sendall(BEGINNINGS[n % 3])
        return line

    @staticmethod
    def _dribbles(line: socket.socket, n: int) -> bool:
        """Send one byte more, or none on a silent line; return whether the line is still open."""
        try:
            if n % 3:
                line.sendall(b"a")
            return line.recv(100, socket.MSG_DONTWAIT) != b""
        except BlockingIOError:
            return True
        except OSError:
            return False


def line_to(root: str, own: str = GUEST) -> http.client.HTTPConnection:
    parts = urlsplit(root)
    return http.client.HTTPConnection(
        str(parts.hostname), parts.port, timeout=WAITING, source_address=(own, 0)
    )


def answer(line: http.client.HTTPConnection, ask: str, path: str, **more: Any) -> int:
    line.request(ask, path, **more)
    reply = line.getresponse()
    reply.read()
    return reply.status


def news(stream: http.client.HTTPResponse) -> dict[str, Any]:
    while read := stream.readline():
        if read.startswith(b"data: ") and read != b"data: {}\n":
            told: dict[str, Any] = json.loads(read[6:])
            return told
    raise AssertionError("the stream ended")


def a_move() -> dict[str, Any]:
    pose = {"x_mm": 1200.0, "y_mm": 2000.0, "angle_deg": 0.0}
    moved = {**pose, "x_mm": 1500.0}
    change = {"path": ["pieces", "bench-1", "pose"], "before": pose, "after": moved}
    return {"command": {"name": "move", "says": "move it", "changes": [change]}, "revision": 0}


@pytest.mark.parametrize("guest", [GUEST, STRANGER], ids=["own address", "the stranger's address"])
def test_a_stranger_holding_320_lines_shuts_no_guest_out(
    house: Elbowroom, serving: MakeServer, plan_id: str, guest: str
) -> None:
    _, secret = make_link(house, plan_id, "Anna", "edit", 1)
    root = serving(Limits()).root
    assert root is not None
    inside, api = f"/g/{secret}", f"/g/{secret}/api/plans/{plan_id}"
    port = urlsplit(root).port
    assert port is not None
    with Strangers(port) as stranger, closing(line_to(root, guest)) as following:
        assert stranger.opened >= HELD
        with closing(line_to(root, guest)) as line:
            assert answer(line, "GET", f"{inside}/") == 200
        following.request("GET", f"{api}/stream", headers={"Accept": "text/event-stream"})
        with closing(following.getresponse()) as stream:
            assert news(stream)["revision"] == 0
            with closing(line_to(root, guest)) as line:
                kind = {"Content-Type": "application/json"}
                sent = json.dumps(a_move())
                assert answer(line, "POST", f"{api}/commands", body=sent, headers=kind) == 200
            assert news(stream)["revision"] == 1


@pytest.mark.parametrize("beginning", BEGINNINGS[1:], ids=["in its head", "in its body"])
def test_a_byte_now_and_then_does_not_keep_a_request_alive(
    serving: MakeServer, beginning: bytes
) -> None:
    root = serving(Limits(request_seconds=0.5)).root
    with socket.create_connection((SERVER, urlsplit(str(root)).port), 5, (STRANGER, 0)) as line:
        line.sendall(beginning)
        line.settimeout(0.1)
        end = time.monotonic() + WAITING
        ended = False
        while not ended and time.monotonic() < end:
            try:
                ended = line.recv(100) == b""
            except TimeoutError:
                with suppress(OSError):
                    line.sendall(b"a")
            except OSError:
                ended = True
        assert ended


def test_an_answer_that_is_not_taken_does_not_hold_a_line_for_ever() -> None:
    def large(environ: Any, start_response: Any) -> list[bytes]:
        start_response("200 OK", [("Content-Type", "text/plain")])
        return [b"x" * 12_000_000]

    listening = socket.create_server((SERVER, 0))
    server = LineServer(large, listening, Limits(answer_seconds=0.5), threads=1)
    running = threading.Thread(target=server.run)
    running.start()
    with socket.create_connection(listening.getsockname(), 5, (GUEST, 0)) as line:
        line.sendall(b"GET / HTTP/1.1\r\nHost: x\r\n\r\n")
        assert line.recv(1) == b"H"
        assert len(server.lines()) == 1
        end = time.monotonic() + WAITING
        while server.active_channels and time.monotonic() < end:
            assert line.recv(1)
            time.sleep(0.05)
        ended = not server.active_channels
    server.trigger.pull_trigger(lambda: _shut(server))
    running.join()
    server.task_dispatcher.shutdown()
    assert ended


def test_lines_of_one_link_are_counted_and_idle_ones_give_way(
    house: Elbowroom, serving: MakeServer, plan_id: str
) -> None:
    anna, ben = (make_link(house, plan_id, name, "look", 1)[1] for name in ("Anna", "Ben"))
    root = str(serving(Limits(busy_of_link=3)).root)
    with ExitStack() as open_ones:

        def line(own: str = GUEST) -> http.client.HTTPConnection:
            return open_ones.enter_context(closing(line_to(root, own)))

        idle = [line() for _ in range(3)]
        assert [answer(one, "GET", f"/g/{anna}/") for one in idle] == [200] * 3
        for _ in range(3):
            stream = line()
            path = f"/g/{anna}/api/plans/{plan_id}/stream"
            stream.request("GET", path, headers={"Accept": "text/event-stream"})
            reply = open_ones.enter_context(closing(stream.getresponse()))
            assert reply.status == 200, reply.read()
            assert news(reply)["who"] == ["Anna"]
        refused = line()
        assert answer(refused, "GET", f"/g/{anna}/") == 429
        assert answer(line(), "GET", f"/g/{ben}/") == 200


def test_a_page_that_is_opened_as_another_one_is_left_waits_for_its_line(
    house: Elbowroom, serving: MakeServer, plan_id: str
) -> None:
    _, secret = make_link(house, plan_id, "Anna", "look", 1)
    root = str(serving(Limits(busy_of_link=1, give_way_seconds=WAITING)).root)
    with closing(line_to(root)) as left, closing(line_to(root)) as opened:
        path = f"/g/{secret}/api/plans/{plan_id}/stream"
        left.request("GET", path, headers={"Accept": "text/event-stream"})
        stream = left.getresponse()
        assert news(stream)["revision"] == 0
        opened.request("GET", f"/g/{secret}/")
        assert select.select([opened.sock], [], [], 0.2)[0] == []
        stream.close()
        left.close()
        assert opened.getresponse().status == 200


def test_when_all_places_are_taken_the_most_crowded_address_gives_way(
    house: Elbowroom, serving: MakeServer, plan_id: str
) -> None:
    _, secret = make_link(house, plan_id, "Anna", "look", 1)
    server = serving(Limits(in_all=6, unknown_of_address=100))
    parts = urlsplit(str(server.root))
    with ExitStack() as open_ones:
        for own in (SERVER, *[STRANGER] * 5):
            line = socket.create_connection((SERVER, parts.port), WAITING, (own, 0))
            open_ones.enter_context(closing(line))
            line.sendall(b"GET /g/")
            if own == SERVER:
                alone = line
        with closing(line_to(str(server.root))) as guest:
            assert answer(guest, "GET", f"/g/{secret}/") == 200
        alone.sendall(f"{secret}/ HTTP/1.1\r\nHost: {parts.netloc}\r\n\r\n".encode())
        assert alone.recv(12) == b"HTTP/1.1 200"


def test_who_has_no_stream_yet_finds_a_place_whatever_the_others_hold() -> None:
    streams = Streams(3, 4, 4)
    for _ in range(4):
        streams.take("anna")
    with pytest.raises(CrowdedError):
        streams.take("anna")
    streams.take("ben")
    streams.take("ben")
    with pytest.raises(ElbowroomError, match="As many pages"):
        streams.take("ben")
    streams.take("cleo")
    with pytest.raises(CrowdedError):
        streams.take("dora")
    streams.leave("cleo")
    streams.take("dora")
    assert streams.count == 7


@pytest.mark.long
def test_all_of_it_once_more_in_a_network_of_its_own() -> None:
    """Run the tests of this file under addresses of a home, which nobody else can reach."""
    if OWN_NETWORK in os.environ:
        return
    begin = "ip link set lo up && for n in 2 20 66; do ip addr add 192.168.77.$n/24 dev lo; done"
    apart = [str(shutil.which("unshare")), "--map-root-user", "--net", "sh", "-c"]
    with suppress(OSError):
        if subprocess.run([*apart, begin], capture_output=True, check=False).returncode == 0:
            test = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider"]
            test.append(str(Path(__file__).relative_to(ROOT)))
            environ = {**os.environ, OWN_NETWORK: "192.168.77."}
            environ.pop("PYTEST_XDIST_WORKER", None)
            run = subprocess.run(
                [*apart, f'{begin} && exec "$@"', "sh", *test],
                cwd=ROOT, env=environ, capture_output=True, text=True, check=False, timeout=300,
            )  # fmt: skip
            assert run.returncode == 0, run.stdout
            return
    pytest.skip("this machine makes no networks of their own")
