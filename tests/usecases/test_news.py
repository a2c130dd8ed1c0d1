"""The board: news come at once, nobody who left is shown, nothing is kept for nobody."""

import threading
import time

from app.usecases.news import Board, News

# Nobody who is woken waits this long, on however busy a machine.
FOR_LONG_S = 60.0


def test_news_wakes_who_waits() -> None:
    board, heard = Board(), []
    with board.looking("p", "Anna"):
        known = board.now("p")

        def wait() -> None:
            started = time.monotonic()
            heard.append((board.wait("p", known, FOR_LONG_S), time.monotonic() - started))

        waiting = threading.Thread(target=wait)
        waiting.start()
        time.sleep(0.05)
        board.changed("p", 7)
        waiting.join(FOR_LONG_S)
    ((news, took),) = heard
    assert news == News(7, 0, ("Anna",))
    assert took < FOR_LONG_S / 2


def test_an_older_revision_is_no_news() -> None:
    board = Board()
    with board.looking("p", "Anna"):
        board.changed("p", 7)
        board.changed("p", 6)
        assert board.now("p").revision == 7


def test_plans_are_apart() -> None:
    board = Board()
    with board.looking("p", "Anna"), board.looking("q", "Ben"):
        board.said("q")
        assert board.now("p") == News(None, 0, ("Anna",))
        assert board.now("q") == News(None, 1, ("Ben",))


def test_who_leaves_is_gone_and_one_name_stands_once() -> None:
    board = Board()
    with board.looking("p", "Anna"):
        with board.looking("p", "Anna"), board.looking("p", "Ben"):
            assert board.now("p").who == ("Anna", "Ben")
        assert board.now("p").who == ("Anna",)
    assert board.now("p") == News(None, 0, ())


def test_waiting_ends_by_itself_and_at_the_end() -> None:
    board = Board()
    assert board.wait("p", News(None, 0, ()), 0.05) is None
    board.close()
    started = time.monotonic()
    assert board.wait("p", None, FOR_LONG_S) is None
    assert time.monotonic() - started < FOR_LONG_S / 2
