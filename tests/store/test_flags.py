"""A snag keeps its flag number while its key lives."""

from hypothesis import given
from hypothesis import strategies as st

from app.store.flags import numbered, numbered_for_now

KEYS = st.lists(st.sampled_from("abcdefgh"), unique=True)


def test_new_keys_take_the_smallest_free_numbers() -> None:
    assert numbered(["a", "b", "c"], {}) == {"a": 1, "b": 2, "c": 3}
    assert numbered(["c", "x", "b", "y"], {"a": 1, "b": 2, "c": 3}) == {
        "b": 2,
        "c": 3,
        "x": 1,
        "y": 4,
    }


def test_during_a_drag_new_keys_count_on_above() -> None:
    assert numbered_for_now(["x", "b", "y"], {"a": 1, "b": 2, "c": 3}) == {"x": 4, "b": 2, "y": 5}


@given(KEYS, KEYS)
def test_a_living_key_keeps_its_number_and_no_number_stands_twice(
    before: list[str], after: list[str]
) -> None:
    first = numbered(before, {})
    second = numbered(after, first)
    assert set(second) == set(after)
    assert {k: second[k] for k in after if k in first} == {k: first[k] for k in after if k in first}
    assert len(set(second.values())) == len(after)
    for_now = numbered_for_now(after, first)
    assert len(set(for_now.values())) == len(after)
    assert set(first.values()).isdisjoint(for_now[k] for k in after if k not in first)
