"""Lines to guests: how many there may be, and how long one may take over what it asks.

Anybody on the network can open a line; only who sends the secret of a link is known. So what
nobody is known to hold gives way: a new line ends the oldest unknown one of the same address, or
of the address with the most of them. Whoever brings a link then always gets in.
"""

from __future__ import annotations

import socket
import time
from collections import Counter
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from waitress.adjustments import Adjustments
from waitress.channel import HTTPChannel
from waitress.server import TcpWSGIServer
from waitress.task import WSGITask

from app.web.api.following import CrowdedError

LINE = "elbowroom.line"
GLANCE_SECONDS = 0.02
"""How often it is looked whether a line of the same link has come to rest."""


@dataclass(frozen=True, slots=True)
class Limits:
    """How many lines there may be and how long they may take.

    A browser opens six lines to one host; an address has room for two of them before their first
    request names a link. A system may give a program no more than 256 files.
    """

    in_all: int = 128
    unknown_of_address: int = 12
    busy_of_link: int = 16
    request_seconds: float = 20.0
    answer_seconds: float = 60.0
    give_way_seconds: float = 1.0


class _Task(WSGITask):  # type: ignore[misc]
    """A request that knows the line on which it came."""

    def get_environment(self) -> dict[str, Any]:
        environ: dict[str, Any] = super().get_environment()
        environ[LINE] = self.channel
        return environ


class Line(HTTPChannel):  # type: ignore[misc]
    """One line. `link_id` is of the link that its last request named, None for an unknown one."""

    task_class = _Task

    def __init__(self, server: Any, *others: Any, **named: Any) -> None:
        self.link_id: str | None = None
        self._waits_for: object = None
        self._waits_since = 0.0
        super().__init__(server, *others, **named)
        _make_room(self, server.lines(), server.limits)

    @property
    def idle(self) -> bool:
        """Whether nothing is being answered on it."""
        return not self.requests

    def named(self, link_id: str | None) -> None:
        """Note whose link a request on this line named. Raises CrowdedError for one too many.

        An idle line of the same link gives way first: browsers keep theirs open for a while.
        Where none is idle it waits a moment: a line whose answer was just sent, or whose page was
        just left, is busy until the server comes round to it.
        """
        self.link_id = link_id
        if link_id is None:
            return
        end = time.monotonic() + self.server.limits.give_way_seconds
        while not self._has_room():
            if time.monotonic() > end:
                raise CrowdedError("This link is in use on as many lines as can be; close a page.")
            time.sleep(GLANCE_SECONDS)

    def _has_room(self) -> bool:
        """Return whether the link may have this line too, ending an idle one of it for that."""
        lines = self.server.lines()
        others = [one for one in lines if one.link_id == self.link_id and one is not self]
        if len(others) < self.server.limits.busy_of_link:
            return True
        spare = [one for one in others if one.idle]
        if spare:
            min(spare, key=lambda one: (one.request is not None, one.last_activity)).end()
        return bool(spare)

    def end(self) -> None:
        """Let the server close the line as soon as it comes round to it."""
        # Closed at once, its number might go to a new line while the server still means the old.
        # The server comes round to what can be read or written: after this it can be.
        self.will_close = True
        with suppress(OSError):
            self.socket.shutdown(socket.SHUT_RDWR)

    def readable(self) -> bool:
        """Return whether to read on; the server asks about every line at least once a second."""
        if not self.will_close and self._took_too_long(time.monotonic()):
            self.end()
        return bool(super().readable())

    def _took_too_long(self, now: float) -> bool:
        """Return whether the other side is behind with a request, or with taking an answer.

        The whole of it counts: who sends a byte now and then is as late as who sends none.
        """
        limits = self.server.limits
        waits_for: object = None
        if self.request is not None:
            waits_for, limit = self.request, limits.request_seconds
        elif self.total_outbufs_len:
            waits_for, limit = "answer", limits.answer_seconds
        if waits_for is not self._waits_for:
            self._waits_for, self._waits_since = waits_for, now
        return waits_for is not None and now - self._waits_since > limit


class LineServer(TcpWSGIServer):  # type: ignore[misc]
    """A server on a listening socket that keeps its lines within limits."""

    channel_class = Line

    def __init__(self, app: Any, listening: socket.socket, limits: Limits, **named: Any) -> None:
        self.limits = limits
        super().__init__(
            app,
            _sock=listening,
            bind_socket=False,
            sockinfo=(listening.family, listening.type, listening.proto, listening.getsockname()),
            adj=Adjustments(
                sockets=[listening],
                # It goes on accepting when all places are taken, or nobody would give way.
                connection_limit=2 * limits.in_all,
                channel_timeout=30,
                cleanup_interval=1,
                **named,
            ),
        )

    def lines(self) -> list[Line]:
        """Return the lines that are open and not about to end."""
        return [line for line in list(self.active_channels.values()) if not line.will_close]


def _make_room(new: Line, lines: Iterable[Line], limits: Limits) -> None:
    """End one line where there are too many with the new one."""
    lines = list(lines)
    spare = [one for one in lines if one is not new and one.idle]
    unknown = [one for one in spare if one.link_id is None]
    crowd = Counter(one.addr[0] for one in unknown)
    if crowd[new.addr[0]] >= limits.unknown_of_address:
        _oldest(one for one in unknown if one.addr[0] == new.addr[0]).end()
    elif len(lines) > limits.in_all:
        if unknown:
            ((most, _),) = crowd.most_common(1)
            _oldest(one for one in unknown if one.addr[0] == most).end()
        else:
            # All are known: what is idle can be opened again.
            (_oldest(spare) if spare else new).end()


def _oldest(lines: Iterable[Line]) -> Line:
    return min(lines, key=lambda one: one.creation_time)
