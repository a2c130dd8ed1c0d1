"""Finds the first start on a folder of plans, or becomes it."""

from __future__ import annotations

import sys
import threading
import time
import webbrowser
from pathlib import Path
from typing import IO

from app.errors import StoreError
from app.store.medium import may_only_be_read
from app.store.single_instance import first_address, take_lock
from app.web.guard.word import fresh_word, has_word
from app.web.guests.addresses import Share
from app.web.opening import leave_page, take_page_away

WAIT_SECONDS = 15.0
SAY_AFTER_SECONDS = 2.0
LOOK_AGAIN_SECONDS = 0.1
ONLY_SHOWN = (
    "The plans in {data} can only be read: they are shown, printed and exported, "
    "and every change is refused."
)


def serve(
    data: Path,
    port: int | None = None,
    open_browser: bool = True,
    share: Share | None = None,
    only_me: bool = False,
) -> int:
    """Serve the plans of a folder until interrupted; give the exit code.

    `port` None means 8765 or the next free one, 0 any free one. When another process serves the
    folder already, only its address is given. `share` asks for the server for guests as well.
    `only_me`: nothing is answered but to addresses that begin with the word of this start.
    Raises StoreError, PortError, SharingError.
    """
    if may_only_be_read(data):
        # no lock can be had there, nor is one needed: nobody changes anything
        print(ONLY_SHOWN.format(data=data), file=sys.stderr)
        _run(data, port, open_browser, share, only_me)
        return 0
    lock, address = _lock_or_first(data)
    if address is not None:
        greet(address, data, open_browser)
        if only_me and not has_word(address):
            print("It was started before without --only-me: end it first, then start it so.")
        if share is not None:
            print("It was started before: switch sharing on there, on the page Share of a plan.")
        return 0
    if lock is None:
        raise StoreError(f"Another program holds the plans in {data} but does not answer.")
    with lock:
        _run(data, port, open_browser, share, only_me)
    return 0


def _run(
    data: Path, port: int | None, open_browser: bool, share: Share | None, only_me: bool
) -> None:
    # the whole program is fetched only by the start that serves
    from app.web.running import run

    word = fresh_word() if only_me else None
    try:
        run(data, port, lambda address: greet(address, data, open_browser), share, word)
    finally:
        take_page_away(data)


def _lock_or_first(data: Path) -> tuple[IO[bytes] | None, str | None]:
    """Lock the folder, or ask the first start where it answers.

    It may be about to answer, or about to end: then the lock comes free.
    """
    begun, announced = time.monotonic(), False
    while True:
        lock = take_lock(data)
        address = first_address(data)
        waited = time.monotonic() - begun
        if lock is not None or address is not None or waited > WAIT_SECONDS:
            return lock, address
        if waited > SAY_AFTER_SECONDS and not announced:
            print("Waiting for the program that serves these plans to end ...", file=sys.stderr)
            announced = True
        time.sleep(LOOK_AGAIN_SECONDS)


def greet(address: str, data: Path, open_browser: bool) -> None:
    """Print the address and where the plans are, and open the browser at it."""
    print(f"Elbowroom is at {address}")
    print(f"Plans are kept in {data}")
    sys.stdout.flush()
    if open_browser:
        if has_word(address):
            address = leave_page(data, address)
        # A browser of the console would keep the server waiting.
        opening = threading.Thread(target=webbrowser.open, args=(address,), daemon=True)
        opening.start()
        opening.join(2)
