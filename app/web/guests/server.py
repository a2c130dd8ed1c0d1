"""The second server: for guests, on one address of the home network, off until it is asked for."""

from __future__ import annotations

import logging
import re
import socket
import threading
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

import segno

from app.errors import ElbowroomError
from app.usecases.plans import Elbowroom
from app.usecases.sharing import Link
from app.web.api.following import Streams
from app.web.guests.addresses import home_addresses, is_home, is_loopback
from app.web.guests.app import BODY_LIMIT, create_guest_app
from app.web.guests.lines import Limits, LineServer

USUAL_PORT = 8766
PORTS_TRIED = 50
LINKS_FOLLOWING = 32
STREAMS_MORE = 16
STREAMS_EACH = 8
"""Each link has room for one stream; beyond that all links share some, up to so many for one."""
MORE_THREADS = 16
STOP_SECONDS = 6.0
WHO_CAN = (
    "Anyone on your home network who has a link can open it until it ends or is withdrawn. "
    "It is plain http: others on the same network could read along. Use it at home only."
)


class SharingError(ElbowroomError, OSError):
    """The server for guests cannot be started there."""

    code = "sharing"


@dataclass(frozen=True, slots=True)
class _Running:
    server: Any
    thread: threading.Thread
    streams: Streams
    address: str
    port: int


class GuestServer:
    """Starts and stops the server for guests, and knows the links made since the program started.

    Usable from many threads. `allowed` False: it can never be started.
    """

    def __init__(
        self,
        house: Elbowroom,
        port: int | None = None,
        allowed: bool = True,
        limits: Limits | None = None,
    ) -> None:
        self._house = house
        self._limits = limits or Limits()
        self._port = port
        self._allowed = allowed
        self._running: _Running | None = None
        self._lock = threading.Lock()
        self._secrets: dict[str, str] = {}

    @property
    def address(self) -> str | None:
        """Where guests are served now, such as "192.168.1.5"; None while it is off."""
        running = self._running
        return None if running is None else running.address

    @property
    def root(self) -> str | None:
        """The beginning of every link, without a slash at its end; None while it is off."""
        running = self._running
        return None if running is None else f"http://{running.address}:{running.port}"

    def start(self, address: str | None = None) -> str:
        """Serve guests on an address (None: the usual one) and give the beginning of links.

        Raises SharingError, also for an address that the whole internet can reach.
        """
        if not self._allowed:
            raise SharingError("Sharing cannot be switched on here.")
        if address is None:
            address = next(iter(home_addresses()), None)
            if address is None:
                raise SharingError("This machine is in no home network: there is nobody to reach.")
        if not (is_home(address) or is_loopback(address)):
            raise SharingError(f"{address[:40]} is no address of a home network.")
        with self._lock:
            if self._running is not None:
                if self._running.address == address:
                    return f"http://{address}:{self._running.port}"
                self._stop()
            self._running = self._start(address)
            return f"http://{address}:{self._running.port}"

    def stop(self) -> None:
        """Serve no guests any more; open pages are let go."""
        with self._lock:
            self._stop()

    def remember(self, link: Link, secret: str) -> None:
        """Keep a secret in memory, so that the owner can see the link again until the end."""
        self._secrets[link.id] = secret

    def forget(self, link_id: str) -> None:
        """Forget the secret of a link that was withdrawn."""
        self._secrets.pop(link_id, None)

    def url(self, link: Link) -> str | None:
        """Return the address of a link; None while the server is off or the secret is not known."""
        secret, root = self._secrets.get(link.id), self.root
        return None if secret is None or root is None else f"{root}/g/{secret}/"

    def _start(self, address: str) -> _Running:
        listening = _listen(address, self._port)
        port = int(listening.getsockname()[1])
        streams = Streams(LINKS_FOLLOWING, STREAMS_MORE, STREAMS_EACH)
        app = create_guest_app(self._house, frozenset({address}), streams)
        server = LineServer(
            app,
            listening,
            self._limits,
            threads=LINKS_FOLLOWING + STREAMS_MORE + MORE_THREADS,
            ident=None,
            channel_request_lookahead=1,
            max_request_header_size=32_768,
            max_request_body_size=4 * BODY_LIMIT,
            clear_untrusted_proxy_headers=True,
        )
        hide_secrets()
        thread = threading.Thread(target=server.run, name="guests", daemon=True)
        thread.start()
        return _Running(server, thread, streams, address, port)

    def _stop(self) -> None:
        running, self._running = self._running, None
        if running is None:
            return
        running.streams.shut = True
        # Only its own thread may touch the sockets that a server waits for.
        # If it is awake already it may close even the trigger before the pull: then it is done.
        with suppress(OSError):
            running.server.trigger.pull_trigger(lambda: _shut(running.server))
        running.thread.join(STOP_SECONDS)
        running.server.task_dispatcher.shutdown(timeout=STOP_SECONDS)


def _shut(server: Any) -> None:
    for channel in list(server._map.values()):
        with suppress(OSError):
            channel.close()
    server._map.clear()


def _listen(address: str, port: int | None) -> socket.socket:
    wanted = range(USUAL_PORT, USUAL_PORT + PORTS_TRIED) if port is None else (port,)
    for number in wanted:
        listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        exclusive = getattr(socket, "SO_EXCLUSIVEADDRUSE", None)
        option = socket.SO_REUSEADDR if exclusive is None else exclusive
        listening.setsockopt(socket.SOL_SOCKET, option, 1)
        try:
            listening.bind((address, number))
            listening.listen(socket.SOMAXCONN)
        except (OSError, OverflowError):
            listening.close()
            continue
        return listening
    raise SharingError(f"Nothing can be served on {address}; is it an address of this machine?")


def qr_svg(url: str) -> str:
    """Return a QR code as SVG markup, dark on light whatever the page is."""
    code = segno.make(url, error="m", micro=False)
    return code.svg_inline(border=4, dark="#000", light="#fff", svgclass="qr", omitsize=True)


def qr_text(url: str) -> str:
    """Return a QR code in letters for a console."""
    rows = [list(row) for row in segno.make(url, error="l", micro=False).matrix_iter(border=2)]
    if len(rows) % 2:
        rows.append([0] * len(rows[0]))
    blocks = {(0, 0): "█", (0, 1): "▀", (1, 0): "▄", (1, 1): " "}
    return "\n".join(
        "".join(blocks[(int(bool(a)), int(bool(b)))] for a, b in zip(upper, lower, strict=True))
        for upper, lower in zip(rows[::2], rows[1::2], strict=True)
    )


class _WithoutSecrets(logging.Filter):
    """Takes the secrets of links, and the word of a start, out of what is logged."""

    def filter(self, record: logging.LogRecord) -> bool:
        message = record.getMessage()
        if "/g/" in message or "/o/" in message:
            record.msg, record.args = re.sub(r"/([go])/[A-Za-z0-9_-]+", r"/\1/...", message), ()
        return True


def hide_secrets() -> None:
    """Let no logger of the servers write a secret."""
    for name in ("waitress", "waitress.queue", "elbowroom", "elbowroom-guests"):
        logger = logging.getLogger(name)
        if not any(isinstance(one, _WithoutSecrets) for one in logger.filters):
            logger.addFilter(_WithoutSecrets())
