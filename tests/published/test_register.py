"""The register of published values: its rows, its refusals, and rows as printed at the source."""

import pytest

from app.published.register import (
    RegisterError,
    all_rows,
    build_table,
    overridden,
    published,
    remembered_by_bytes,
    row,
)
from app.scene.swept import parts, usual_bar

SOURCES = 'sources.book = { title = "A book", year = 1999 }\n'
ROW = 'key = "some.length-mm", value = 3, unit = "mm", applies_to = "a thing"'


def one(extra: str, head: str = ROW) -> str:
    return f"{SOURCES}rows = [ {{ {head}, {extra} }} ]"


def test_a_row_carries_title_year_clause_and_status() -> None:
    found = row("accessible.route-mm")
    # 2010 ADA Standards 403.5.1: 36 in (915 mm)
    assert (found.value, found.unit, found.clause, found.year) == (915, "mm", "403.5.1", 2010)
    assert found.title == "2010 ADA Standards for Accessible Design"
    assert found.status == "read"


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("body.grip-reach.typical-ratio", 1.204),  # Winter 2009 fig. 4.1, chained
        ("body.chin-to-crown-ratio", 0.130),  # Winter 2009 fig. 4.1: 1 - 0.870
        ("route.overhead-note-mm", 2030),  # ADA 307.4 prints 80 in (2030)
        ("running.behind.recommended-mm", 2000),  # EN 957-6:2010
        ("running.side.recommended-mm", 500),  # ASTM F2115-12, 19.7 in
        ("access.recommended-mm", 600),  # EN ISO 20957-1
        ("bar-end.walk-past-mm", 914),  # NSCA 4th ed. ch. 23, 36 in
        ("bar.long.length-mm", 2200),  # IWF men's bar
        ("plate.large-diameter-mm", 450),  # IWF discs of 10 kg and more
        ("bar-end.least-mm", 150),  # common practice, no source
        ("bar-end.recommended-mm", 300),  # common practice, no source
        ("rack.hook-line-tolerance-mm", 70),  # common practice, no source
        ("door.leave-angle-deg", 60),  # common practice, no source
    ],
)
def test_values_are_those_of_the_source(key: str, value: float) -> None:
    assert published(key) == value


def test_bar_parts_make_the_bar() -> None:
    # IWF: 2200, shaft 1310 and two sleeves of 415; the rest is the two collars
    assert 2200 - published("bar.long.shaft-mm") - 2 * published("bar.long.sleeve-mm") == 60


def test_grip_reach_is_the_chain_of_its_segments() -> None:
    shoulder, upper, fore, hand = (
        published(f"body.{part}-ratio")
        for part in ("shoulder-height", "upper-arm", "forearm", "hand")
    )
    # Winter 2009 fig. 4.1: grip 1.204 H with half the hand
    assert shoulder + upper + fore + hand / 2 == pytest.approx(1.204)


def test_practice_and_memory_rows_say_so_and_the_rest_name_a_source() -> None:
    titles = {"practice": "common practice, no source", "memory": "from memory, not looked up"}
    for found in all_rows():
        if found.status == "practice":
            assert found.title == titles["practice"], found.key
        elif found.status != "memory":
            assert found.title not in titles.values(), found.key


def test_rows_come_in_key_order_without_repeats() -> None:
    keys = [found.key for found in all_rows()]
    assert keys == sorted(set(keys))
    assert len(keys) > 200


def test_unknown_key_is_a_key_error_that_names_it() -> None:
    with pytest.raises(KeyError, match=r"no published value has the key 'body\.wings'"):
        published("body.wings")


def test_a_key_given_twice_is_refused_across_files() -> None:
    text = one('source = "book", status = "read"')
    with pytest.raises(RegisterError, match=r"two\.toml: the key 'some\.length-mm' is given twice"):
        build_table([("one.toml", text), ("two.toml", text)])


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (one('status = "read"'), "names no source"),
        (one('source = "leaf", status = "read"'), "unknown source 'leaf'"),
        (one('source = "book", status = "heard"'), "status"),
        (one('source = "book", status = "read", colour = "red"'), "colour"),
        (one('status = "practice"', ROW.replace("= 3", "= inf")), "value"),
        (one('status = "practice"', ROW.replace("some.length-mm", "Some Length")), "key"),
    ],
)
def test_a_wrong_row_is_refused_with_file_row_and_fault(text: str, says: str) -> None:
    with pytest.raises(RegisterError, match=says) as caught:
        build_table([("one.toml", text)])
    assert str(caught.value).startswith("one.toml: the row '")


def test_what_is_remembered_under_other_values_is_not_handed_on() -> None:
    # a household that says its hands stand higher on a bar is alone in that
    held = usual_bar()
    plain = parts("standing-press", held)
    with overridden({"held.hands-on-bar-mm": 80.0}):
        assert [part.held_mm for part in parts("standing-press", held) if part.name == "hands"] == [
            80
        ]
        assert parts("standing-press", held) is parts("standing-press", held)
    assert parts("standing-press", held) is plain
    assert [part.held_mm for part in plain if part.name == "hands"] == [35]


def test_what_is_remembered_by_bytes_goes_when_they_are_too_many_and_is_each_households_own() -> (
    None
):
    asked: list[int] = []

    def size(made: str, given: tuple[int, ...]) -> int:
        return len(made) + given[0]

    @remembered_by_bytes(100, 1000, size)
    def answer(number: int) -> str:
        asked.append(number)
        return "x" * number + str(published("held.hands-on-bar-mm"))

    plain = [answer(number) for number in (100, 200, 100)]
    assert asked == [100, 200]
    with overridden({"held.hands-on-bar-mm": 80.0}):
        assert answer(100) != plain[0]
    # 300 with what it was asked with pushes out what is older
    answer(300)
    answer(200)
    assert asked == [100, 200, 100, 300, 200]
