"""Starts the server: one for a folder of plans, on this machine only."""

from __future__ import annotations

import secrets
import signal
import socket
import sys
import threading
import time
import webbrowser
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

from waitress.server import create_server

from app.errors import ElbowroomError, StoreError
from app.keeping import tidy
from app.service import Elbowroom
from app.sharing import make_link
from app.web.app import STREAMS_OPEN, create_app
from app.web.first import first_address, leave_note, mark_of, take_lock, take_note_away
from app.web.guard import BODY_LIMIT
from app.web.guest_server import WHO_CAN, GuestServer, hide_secrets, qr_text

HOST = "127.0.0.1"
USUAL_PORT = 8765
PORTS_TRIED = 50
THREADS = 8
WAIT_SECONDS = 15.0
LOOK_AGAIN_SECONDS = 0.1


LINK_NAME = "Console"
LINK_HOURS = 24.0


@dataclass(frozen=True, slots=True)
class Share:
    """How to serve guests: on which own address (None: the usual) and port (None: 8766 on)."""

    address: str | None = None
    port: int | None = None


class PortError(ElbowroomError, OSError):
    """There is no port to listen on."""

    code = "port"


def serve(
    data: Path, port: int | None = None, open_browser: bool = True, share: Share | None = None
) -> int:
    """Serve the plans of a folder until interrupted; give the exit code.

    `port` None means 8765 or the next free one, 0 any free one. When another process serves the
    folder already, only its address is given. `share` asks for the server for guests as well.
    Raises StoreError, PortError, SharingError.
    """
    lock = take_lock(data)
    address = first_address(data) if lock is not None else _await_first(data)
    if address is not None:
        _greet(address, data, open_browser)
        return 0
    if lock is None:
        raise StoreError(f"Another program holds the plans in {data} but does not answer.")
    with lock:
        _serve(data, port, open_browser, share)
    return 0


def _serve(data: Path, port: int | None, open_browser: bool, share: Share | None) -> None:
    secret = secrets.token_hex(16)
    with _listen(port) as listening:
        address = f"http://{HOST}:{listening.getsockname()[1]}/"
        house = Elbowroom(data)
        guests = GuestServer(house, None if share is None else share.port)
        try:
            # What is long past is thinned at the start, when nobody waits for an answer.
            with suppress(StoreError):
                tidy(house)
            server = create_server(
                create_app(house, mark_of(secret), guests),
                sockets=[listening],
                threads=THREADS + STREAMS_OPEN,
                channel_request_lookahead=1,
                ident=None,
                # Larger ones are turned away by the application, which says so in its own way.
                max_request_body_size=8 * BODY_LIMIT,
                clear_untrusted_proxy_headers=True,
            )
            leave_note(data, address, secret)
            _end_on_signal()
            hide_secrets()
            _greet(address, data, open_browser)
            if share is not None:
                _share(house, guests, share)
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


def one_line(text: str) -> str:
    """Show control characters by their codes, so that a name cannot write over the console."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


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


def _await_first(data: Path) -> str | None:
    """Ask the first start where it answers; it may be about to."""
    end = time.monotonic() + WAIT_SECONDS
    while (address := first_address(data)) is None and time.monotonic() < end:
        time.sleep(LOOK_AGAIN_SECONDS)
    return address


def _greet(address: str, data: Path, open_browser: bool) -> None:
    print(f"Elbowroom is at {address}")
    print(f"Plans are kept in {data}")
    sys.stdout.flush()
    if open_browser:
        # A browser of the console would keep the server waiting.
        opening = threading.Thread(target=webbrowser.open, args=(address,), daemon=True)
        opening.start()
        opening.join(2)


def _end_on_signal() -> None:
    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGTERM, _interrupt)


def _interrupt(number: int, frame: FrameType | None) -> None:
    raise KeyboardInterrupt
