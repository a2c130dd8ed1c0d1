"""The board: news come at once, nobody who left is shown, nothing is kept for nobody."""

import threading
import time

from app.usecases.news import Board, News

# Who is not woken waits this long, and nobody has the patience for that on any machine.
FOR_LONG_S = 3600.0
PATIENCE_S = 60.0


def test_news_wakes_who_waits() -> None:
    board, heard = Board(), []
    with board.looking("p", "Anna"):
        known = board.now("p")

        def wait() -> None:
            heard.append(board.wait("p", known, FOR_LONG_S))

        waiting = threading.Thread(target=wait, daemon=True)
        waiting.start()
        # so that it is waiting; where it comes too late it need not be woken
        time.sleep(0.05)
        board.changed("p", 7)
        waiting.join(PATIENCE_S)
    assert heard == [News(7, 0, ("Anna",))]


def test_an_older_revision_is_no_news() -> None:
    board = Board()
    with board.looking("p", "Anna"):
        board.changed("p", 7)
        board.changed("p", 6)
        assert board.now("p").revision == 7


def test_plans_are_apart() -> None:
    board = Board()
    with board.looking("p", "Anna"), board.looking("q", "Ben"):
        board.remarked("q")
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
    waiting = threading.Thread(target=lambda: board.wait("p", None, FOR_LONG_S), daemon=True)
    waiting.start()
    waiting.join(PATIENCE_S)
    assert not waiting.is_alive()
    assert board.wait("p", None, 0) is None
