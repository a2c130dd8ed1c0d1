"""Following a plan: one stream of news for each open browser, and a limit on their number."""

from __future__ import annotations

import json
import threading
from collections import Counter
from collections.abc import Callable, Generator, Iterator

from flask import Blueprint, Response, current_app, jsonify, request

from app.errors import ElbowroomError
from app.usecases.plans import Elbowroom
from app.usecases.sharing import News, still_open
from app.web.guard.requester import author, left, link, shown_name, voice
from app.web.house import house

following = Blueprint("following", __name__)

HEARTBEAT_SECONDS = 10.0
GLANCE_SECONDS = 0.5
"""How often it is looked whether the browser is still there."""
STREAM = "text/event-stream"
STREAMS = "elbowroom-streams"


class CrowdedError(ElbowroomError):
    """Too much at once."""

    code = "crowded"


class Streams:
    """Counts open streams: one place for each of so many who follow, and more that they share.

    `each` is the most that one may have. Whoever has no stream yet takes none of the shared places,
    so however many the others open, the first one of each is there.
    """

    def __init__(self, first: int, more: int, each: int) -> None:
        self.first = first
        self.more = more
        self.each = each
        self.shut = False
        self._open: Counter[str] = Counter()
        self._lock = threading.Lock()

    def take(self, key: str) -> None:
        """Count one more. Raises CrowdedError when there are as many as may be."""
        with self._lock:
            own, all_of_them = self._open[key], len(+self._open)
            shared = self._open.total() - all_of_them
            full = own >= self.each or shared >= self.more if own else all_of_them >= self.first
            if full:
                raise CrowdedError("As many pages follow this plan as can be; close another one.")
            self._open[key] += 1

    def leave(self, key: str) -> None:
        """Count one less."""
        with self._lock:
            self._open[key] -= 1
            if self._open[key] <= 0:
                del self._open[key]

    @property
    def count(self) -> int:
        """How many are open."""
        with self._lock:
            return self._open.total()


@following.get("/api/plans/<plan_id>/stream")
def stream(plan_id: str) -> Response:
    """Return the news of a plan as they come: revision, remarks, who is looking.

    Who does not ask for a stream of events is told once how things stand.
    """
    revision = house().store.revision(plan_id)
    if request.method == "HEAD" or STREAM not in request.headers.get("Accept", ""):
        news = house().board.now(plan_id)
        return jsonify(ok=True, revision=revision, said=news.remark_count, who=news.who)
    streams = current_app.extensions[STREAMS]
    assert isinstance(streams, Streams)
    key, name = voice(), shown_name(author())
    lines = _Stream(house(), plan_id, name, revision, _over(streams, left()), streams, key)
    response = Response(lines, mimetype=STREAM)
    response.call_on_close(lines.close)
    response.headers["X-Accel-Buffering"] = "no"
    return response


def _over(streams: Streams, gone: Callable[[], bool]) -> Callable[[], bool]:
    came_by, owner_of = link(), house()

    def over() -> bool:
        if gone() or streams.shut or owner_of.board.closed:
            return True
        try:
            return came_by is not None and not still_open(owner_of, came_by)
        except ElbowroomError:
            return True

    return over


class _Stream:
    """The lines of one stream. It counts from its making until it is closed, read or not."""

    def __init__(
        self,
        elbowroom: Elbowroom,
        plan_id: str,
        name: str,
        revision: int,
        over: Callable[[], bool],
        streams: Streams,
        key: str,
    ) -> None:
        self._streams = streams
        self._key = key
        self._open = True
        streams.take(key)
        self._lines = _lines(elbowroom, plan_id, name, revision, over)

    def __iter__(self) -> Iterator[bytes]:
        return self._lines

    def close(self) -> None:
        """Leave; asked twice it leaves once."""
        if self._open:
            self._open = False
            self._lines.close()
            self._streams.leave(self._key)


def _lines(
    elbowroom: Elbowroom, plan_id: str, name: str, revision: int, over: Callable[[], bool]
) -> Generator[bytes, None, None]:
    board = elbowroom.board
    with board.looking(plan_id, name):
        # What changed between the reading of the revision and the looking would be missed.
        board.changed(plan_id, max(revision, elbowroom.store.revision(plan_id)))
        known: News | None = None
        quiet = 0.0
        yield b"retry: 2000\n\n"
        while not over():
            news = board.wait(plan_id, known, GLANCE_SECONDS)
            if news is not None:
                known, quiet = news, 0.0
                yield _event(news)
                continue
            quiet += GLANCE_SECONDS
            if quiet >= HEARTBEAT_SECONDS:
                quiet = 0.0
                # a comment would keep the line open as well, but no page could hear it
                yield b"event: beat\ndata: {}\n\n"


def _event(news: News) -> bytes:
    news_json = {"revision": news.revision, "said": news.remark_count, "who": news.who}
    return f"event: news\ndata: {json.dumps(news_json)}\n\n".encode()
