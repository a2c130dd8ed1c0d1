"""Runs the server of one folder of plans, on this machine only, and that for guests beside it."""

from __future__ import annotations

import gc
import secrets
import signal
import socket
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from types import FrameType

from waitress.server import create_server

from app.errors import ElbowroomError, StoreError, one_line
from app.store.single_instance import leave_note, mark_of, take_note_away
from app.usecases.history import tidy
from app.usecases.plans import Elbowroom
from app.usecases.sharing import make_link
from app.web.app import STREAMS_OPEN, create_app
from app.web.guard.guard import BODY_LIMIT
from app.web.guard.word import root_of
from app.web.guests.addresses import Share
from app.web.guests.server import WHO_CAN, GuestServer, hide_secrets, qr_text

HOST = "127.0.0.1"
USUAL_PORT = 8765
PORTS_TRIED = 50
THREADS = 8
LINK_NAME = "Console"
LINK_HOURS = 24.0


class PortError(ElbowroomError, OSError):
    """There is no port to listen on."""

    code = "port"


def run(
    data: Path,
    port: int | None,
    greet: Callable[[str], None],
    share: Share | None,
    word: str | None = None,
) -> None:
    """Serve a folder of plans until interrupted; `greet` is told the address once it answers.

    With a `word` that address begins with it, and nothing else is answered.
    Raises StoreError, PortError, SharingError.
    """
    secret = secrets.token_hex(16)
    with _listen(port) as listening:
        address = f"http://{HOST}:{listening.getsockname()[1]}{root_of(word)}/"
        house = Elbowroom(data)
        guests = GuestServer(house, None if share is None else share.port)
        try:
            # What is long past is thinned at the start, when nobody waits for an answer.
            with suppress(StoreError):
                tidy(house)
            server = create_server(
                create_app(house, mark_of(secret), guests, word),
                sockets=[listening],
                threads=THREADS + STREAMS_OPEN,
                channel_request_lookahead=1,
                ident=None,
                # Larger ones are turned away by the application, which says so in its own way.
                max_request_body_size=8 * BODY_LIMIT,
                clear_untrusted_proxy_headers=True,
            )
            # On a full disk plans can still be looked at; a second start will not find this one.
            with suppress(StoreError):
                leave_note(data, address, secret)
            _end_on_signal(house.board.close)
            hide_secrets()
            greet(address)
            if share is not None:
                _share(house, guests, share)
            # what was read in stays: looking through it again for what may go held up every
            # tenth step of a drag by 50 ms
            gc.collect()
            gc.freeze()
            server.run()
        except KeyboardInterrupt:
            pass
        finally:
            take_note_away(data)
            # Streams end when the board closes; guests are let go before the file is.
            house.board.close()
            guests.stop()
            house.close()


def _share(house: Elbowroom, guests: GuestServer, share: Share) -> None:
    """Serve guests too; print how they come in and who else could."""
    root = guests.start(share.address)
    print(f"Guests are served at {root}")
    print(WHO_CAN)
    plans = house.list_plans()
    if not plans:
        print("There is no plan yet. Make one, then make a link on its page Share.")
    else:
        link, secret = make_link(house, plans[0].id, LINK_NAME, "look", LINK_HOURS)
        guests.remember(link, secret)
        print(f"This link lets a guest look at the plan {one_line(plans[0].name)} for a day:")
        print(f"{root}/g/{secret}/")
        print(qr_text(f"{root}/g/{secret}/"))
        print("Other plans, other rights: on the page Share of a plan.")
    sys.stdout.flush()


def _listen(port: int | None) -> socket.socket:
    wanted = range(USUAL_PORT, USUAL_PORT + PORTS_TRIED) if port is None else (port,)
    for number in wanted:
        listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        # Windows lets two programs share a port unless told otherwise.
        exclusive = getattr(socket, "SO_EXCLUSIVEADDRUSE", None)
        listening.setsockopt(
            socket.SOL_SOCKET, socket.SO_REUSEADDR if exclusive is None else exclusive, 1
        )
        try:
            listening.bind((HOST, number))
            listening.listen(socket.SOMAXCONN)
        except (OSError, OverflowError):
            listening.close()
            continue
        return listening
    if port is None:
        raise PortError(f"No port from {wanted[0]} to {wanted[-1]} is free.")
    raise PortError(f"The port {port} is not free; choose another with --port, or 0 for any.")


def _end_on_signal(close_streams: Callable[[], None]) -> None:
    """Let both ways of ending wake the streams at once: the server waits for those it serves."""

    def interrupt(number: int, frame: FrameType | None) -> None:
        # a signal may come while this very thread holds a lock
        threading.Thread(target=close_streams, daemon=True).start()
        raise KeyboardInterrupt

    if threading.current_thread() is threading.main_thread():
        for one in (signal.SIGTERM, signal.SIGINT):
            signal.signal(one, interrupt)
