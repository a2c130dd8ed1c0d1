"""A snag: its key, its sentences, and where its figures come from."""

from dataclasses import fields

import pytest

from app.checks.snag import Snag, agreeing, is_many, source
from app.library.kit import kit_types
from app.published.register import all_rows
from app.wording import lower, phrase
from tests.builders import judge, make_person, make_plan, place


def test_a_key_names_all_that_a_snag_is_about() -> None:
    bare = Snag(code="outside", severity="stop", template="")
    assert bare.key == "outside||||"
    full = Snag(
        code="headroom",
        severity="care",
        template="",
        pieces=("a", "b"),
        person="anna",
        movement="squat",
        situation="open",
    )
    assert full.key == "headroom|a+b|anna|squat|open"


def test_sentences_are_in_the_units_of_the_plan() -> None:
    # 25.4 mm are an inch
    snag = Snag(code="x", severity="note", template="It is {:mm} off.", values=(254,))
    assert snag.sentence == "It is 254 mm off."
    assert "10" in snag.worded("feet")
    assert snag.unit == "mm"


def test_only_several_things_make_a_list() -> None:
    one, two = phrase("{:mm} here.", 10), phrase("{:mm} there.", 20)
    assert Snag(code="x", severity="note", template="", parts=(one,)).lines("metric") == ()
    both = Snag(code="x", severity="note", template="", parts=(one, two))
    assert both.lines("metric") == ("10 mm here.", "20 mm there.")


def test_a_title_begins_with_a_capital() -> None:
    snag = Snag(code="x", severity="note", template="", names=("the bench", "Rack"))
    assert snag.who == "The bench, Rack"
    assert (lower("Rack"), lower("")) == ("rack", "")


def test_sources_of_the_register_say_their_year_where_there_is_one() -> None:
    dated = next(row for row in all_rows() if row.year is not None)
    plain = next(row for row in all_rows() if row.year is None)
    assert source(dated.key).title == f"{dated.title}, {dated.year}"
    assert source(plain.key).title == plain.title
    assert source(dated.key).status == dated.status
    with pytest.raises(KeyError):
        source("no.such.row")


def test_sources_of_kit_are_those_of_their_spaces() -> None:
    kit = next(kit for kit in kit_types().values() if kit.spaces)
    space = kit.spaces[0]
    of_space = source(f"kit:{kit.key}:{space.key}")
    assert (of_space.title, of_space.status) == (
        f"{space.source} ({kit.name}, {space.name})",
        space.status,
    )
    assert source(f"kit:{kit.key}:parcel").title == f"{kit.source} ({kit.name})"
    own = source("own:entered by hand")
    assert (own.title, own.status) == ("entered by hand", "read")


@pytest.mark.parametrize(
    ("name", "many"),
    [
        ("Mid rack", False),
        ("Squat stands", True),
        ("Wall plate pegs", True),
        ("Rings", True),
        ("Stack of rubber plates", False),
        ("Bench with uprights", False),
        ("Bar hooks on the wall", True),
        ("Leg press", False),
        ("Gas", False),
        ("Dad's", False),
        ("", False),
    ],
)
def test_a_name_of_several_things_is_known_by_its_head(name: str, many: bool) -> None:
    assert is_many(name) is many


def test_sentences_of_several_things_are_grammar() -> None:
    stands = make_plan(place("squat-stands", 600 - 100, 2500), people=[make_person(want=["squat"])])
    said = {snag.code: snag.sentence for snag in judge(stands)}
    assert said["outside"] == "Squat stands are 110 mm inside the left wall."
    assert said["tips"].startswith("Squat stands are not bolted down and only 45 kg: they can tip.")
    assert said["incomplete"].startswith("These squat stands have no bar and no plates")


def test_a_plain_snag_carries_no_mark() -> None:
    bare = Snag(code="outside", severity="stop", template="")
    marks = {field.name for field in fields(Snag) if field.type == "bool"}
    assert marks == {
        *("hangs_on_place", "while_training", "background", "question", "blocked", "to_reach"),
        *("shuts_door", "flanked", "all_round"),
    }
    assert {mark: getattr(bare, mark) for mark in marks} == dict.fromkeys(marks, False)


def test_a_verb_goes_with_its_name() -> None:
    assert agreeing("Squat stands", "is", "are") == "Squat stands are"
    assert agreeing("The left wall", "is", "are") == "The left wall is"
    assert agreeing("Stack of iron plates", "reaches", "reach") == "Stack of iron plates reaches"
    assert agreeing("Leg press", "hangs", "hang") == "Leg press hangs"
