"""A tab that is shut ends what it asked for: the line goes, and the search goes no further."""

import json
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from waitress.server import create_server

from app.errors import EndingError
from app.model.plan import Plan
from app.usecases.plans import Elbowroom
from app.usecases.waiting import Gone, Waiting
from app.web.app import create_app
from tests.builders import make_plan, make_room, place

PATIENCE_S = 120
"""A test that waits so long for what must come has failed."""
ASKED = {
    "remedies": ("GET", "api/plans/{}/remedies", None),
    "mend all": ("GET", "api/plans/{}/mending", None),
    "each wall": ("GET", "api/plans/{}/walls/rack-0", None),
    "an offer": (
        "POST",
        "api/plans/{}/fits",
        {"width_mm": 1220, "depth_mm": 1250, "height_mm": 2140, "type": "mid-rack"},
    ),
    "a starter set": ("GET", "plan/{}/start?set=strength-first", None),
}


class Watched(Waiting):
    """Looks whether anybody waits, as the program does, and lets a test see it."""

    def watch(self) -> None:
        self.looking, self.ended = threading.Event(), threading.Event()
        self.steps = self.after = 0

    def look(self, plan_id: str, plan: Plan, gone: Gone) -> None:
        self.steps += 1
        self.after += self.ended.is_set()
        self.looking.set()
        try:
            super().look(plan_id, plan, gone)
        except EndingError:
            self.ended.set()
            raise


def racks() -> Plan:
    """Two dozen racks into one another: seconds of any search."""
    crowd = [
        place("full-rack", 700 + i % 6 * 900, 700 + i // 6 * 900, piece_id=f"rack-{i}")
        for i in range(24)
    ]
    return make_plan(*crowd, room=make_room(9000, 7000))


@contextmanager
def served(house: Elbowroom) -> Iterator[int]:
    """Serve a house as the program does; gives the port."""
    listening = socket.create_server(("127.0.0.1", 0))
    port = int(listening.getsockname()[1])
    server = create_server(
        create_app(house, "the mark"), sockets=[listening], threads=4, channel_request_lookahead=1
    )
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    try:
        yield port
    finally:
        house.board.close()
        # by its own thread: under a poll that has begun no line may be shut
        server.trigger.pull_trigger(server.close)
        thread.join(PATIENCE_S)


@pytest.mark.parametrize("what", ASKED)
def test_a_search_ends_with_the_line_of_who_asked(house: Elbowroom, what: str) -> None:
    watched = Watched(house.board, lambda _: None)
    watched.watch()
    house.waiting = watched
    state = house.create(racks())
    house.judged(state.plan_id)
    method, address, sent = ASKED[what]
    body = b"" if sent is None else json.dumps(sent).encode()
    with served(house) as port:
        line = socket.create_connection(("127.0.0.1", port))
        line.sendall(
            f"{method} /{address.format(state.plan_id)} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n"
            f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n".encode()
            + body
        )
        assert watched.looking.wait(PATIENCE_S)
        assert not watched.ended.is_set()
        line.close()
        assert watched.ended.wait(PATIENCE_S), watched.steps
    assert watched.after == 0
