"""What was made lately: the bounds, which one goes, and many threads at once."""

import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.recent import Recent
from app.scene.build import build_scene
from tests.builders import make_plan

KEYS = st.integers(0, 9)


@contextmanager
def threads_that_change_often() -> Iterator[None]:
    """Let the interpreter go from thread to thread after every few steps."""
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    try:
        yield
    finally:
        sys.setswitchinterval(before)


@given(asked=st.lists(KEYS, max_size=60), most=st.integers(1, 6))
def test_the_keys_asked_for_last_are_there(asked: list[int], most: int) -> None:
    recent = Recent[int, str](most)
    for key in asked:
        assert recent.made(key, partial(str, key)) == str(key)
    newest = list(dict.fromkeys(reversed(asked)))[:most]
    assert len(recent) == len(newest)
    assert [recent.get(key) is not None for key in range(10)] == [k in newest for k in range(10)]


@given(sizes=st.lists(st.integers(0, 50), min_size=1, max_size=40))
def test_bytes_are_bounded_but_for_the_last_value(sizes: list[int]) -> None:
    recent = Recent[int, int](1000, most_bytes=100, size=lambda value: value)
    for number, size in enumerate(sizes):
        recent.put(number % 7, size)
    held = [value for value in recent.get_all(range(7)) if value is not None]
    assert sum(held) <= 100
    assert sizes[-1] in held
    recent.put(8, 5000)
    assert (len(recent), recent.get(8)) == (1, 5000)
    recent.put(8, 1)
    recent.put(9, 99)
    assert len(recent) == 2


def test_what_is_put_again_or_forgotten_counts_once() -> None:
    recent = Recent[str, int](10, most_bytes=10, size=lambda value: value)
    for _ in range(5):
        recent.put("a", 9)
    recent.forget("a")
    recent.forget("a")
    recent.put_all(["b", "c"], [5, 5])
    assert recent.get_all(["a", "b", "c"]) == [None, 5, 5]
    recent.clear()
    recent.put_all(["d", "e"], [5, 5])
    assert recent.get_all(["b", "d", "e"]) == [None, 5, 5]


@pytest.mark.parametrize("bounds", [(0, None, None), (1, 5, None), (1, None, hash)])
def test_bounds_that_hold_nothing_or_cannot_be_measured_are_refused(
    bounds: tuple[int, int | None, Callable[[object], int] | None],
) -> None:
    with pytest.raises(ValueError, match="bound"):
        Recent(*bounds)


def test_a_value_that_is_made_may_ask_for_others() -> None:
    recent = Recent[int, int](2)

    def of(number: int) -> int:
        return recent.made(number, lambda: 1 if number == 0 else 1 + of(number - 1))

    assert of(9) == 10


class SlowKey:
    """A key that lets other threads run whenever it is looked up."""

    def __init__(self, number: int) -> None:
        self.number = number

    def __hash__(self) -> int:
        time.sleep(0.002)
        return self.number

    def __eq__(self, other: object) -> bool:
        return self is other


def test_threads_get_what_was_made_though_others_push_it_out() -> None:
    # another thread asks for so much that whatever was made is pushed out between two look-ups
    scene = build_scene(make_plan())
    done = threading.Event()

    def push_out() -> None:
        for number in count():
            if done.is_set():
                break
            scene.memo(("new", number), partial(str, number))

    other = threading.Thread(target=push_out)
    other.start()
    try:
        answers = [scene.memo(("slow", SlowKey(n)), partial(str, n)) for n in range(20)]
    finally:
        done.set()
        other.join()
    assert answers == [str(number) for number in range(20)]


def test_threads_that_change_often_get_their_own_answers() -> None:
    recent = Recent[int, str](3)
    answers: list[tuple[int, str]] = []

    def ask(start: int) -> None:
        answers.extend((n % 5, recent.made(n % 5, partial(str, n % 5))) for n in range(start, 3000))

    with threads_that_change_often():
        threads = [threading.Thread(target=ask, args=(start,)) for start in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert len(answers) == 3000 + 2999 + 2998 + 2997
    assert {(key, answer) for key, answer in answers if str(key) != answer} == set()
    assert len(recent) == 3
