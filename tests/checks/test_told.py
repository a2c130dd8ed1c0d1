"""What a snag says in feet and inches, by the letters of its walls, and as a list of short lines.

1 in = 25.4 mm exactly; sixteenths are counted by hand beside each sentence.
"""

from __future__ import annotations

import pytest

from app.checks.run import in_few_words
from app.checks.snag import Snag
from app.model.plan import Plan
from app.model.room import Opening
from app.wording import phrase
from tests.builders import found, judge, make_person, make_plan, make_room, place
from tests.checks.test_routes import barred

L_SHAPE = ((0, 0), (5000, 0), (5000, 2000), (2000, 2000), (2000, 5000), (0, 5000))


def only(plan: Plan, code: str) -> Snag:
    (snag,) = found(plan, code)
    return snag


def in_wall(**room: object) -> Plan:
    """A box of 500 mm, 118 mm deep in the wall on its left."""
    return make_plan(place("jump-box", 132, 2500), room=make_room(**room))  # type: ignore[arg-type]


CASES = [
    # 118 mm: 4.646 in, 74.3 sixteenths
    (in_wall(), "outside", 'Jump box is 4 5/8" inside the left wall.'),
    # 80 mm, the post's whole thickness: 3.150 in, 50.4 sixteenths
    (
        make_plan(place("jump-box"), place("plate-tree", 2700)),
        "clash",
        'Jump box and plate tree overlap by 3 1/8".',
    ),
    # 30, 2030, 2000, 1950 and 1980 mm: 1.181, 79.921, 78.740, 76.772 and 77.953 in
    (
        make_plan(place("mid-rack"), room=make_room(height=2000)),
        "too-tall",
        'Mid rack is 1 3/16" higher than the room here: 6\' 7 15/16", '
        "and the ceiling is at 6' 6 3/4\". The tallest that fits here is 6' 4 3/4\"; usual ones "
        "are 6' 5 15/16\" or more.",
    ),
    # 89, 2400 and 2489 mm: 3.50, 94.488 and 97.99 in
    (
        make_plan(
            place("mid-rack"),
            room=make_room(height=2400),
            people=[make_person(1880, want=["standing-press"])],
        ),
        "headroom",
        '3 1/2" too low: 7\' 10 1/2" of the 8\' 2" needed.',
    ),
    # 2.2 m, to the inch: 87 in
    (
        make_plan(place("mid-rack")),
        "find-out",
        "Still to find out: the doors, turns and stairs on the way in (the longest part is "
        "7' 3\").",
    ),
    # 550 and 600 mm: 21.654 and 23.622 in
    (
        barred(550),
        "way-narrow",
        "The way to the upright bike is 1' 9 5/8\" wide between the shelving and the right wall. "
        "Allow 1' 11 5/8\".",
    ),
]


@pytest.mark.parametrize(("plan", "code", "sentence"), CASES, ids=[case[1] for case in CASES])
def test_a_snag_in_feet(plan: Plan, code: str, sentence: str) -> None:
    snag = only(plan, code)
    assert snag.worded("feet") == sentence
    assert snag.sentence == snag.worded("metric")
    assert '"' not in snag.sentence


def test_walls_go_by_the_letters_of_the_drawing() -> None:
    snag = only(in_wall(corners=L_SHAPE), "outside")
    assert snag.sentence == "Jump box is 118 mm inside wall F."
    doors = [
        Opening(
            id=f"door-{i}", wall=wall, kind="hinged", offset_mm=300, width_mm=800, height_mm=2000,
            way_out=True,
        )
        for i, wall in enumerate(("w2", "w5"))
    ]  # fmt: skip
    room = make_room(corners=L_SHAPE, openings=doors)
    blocked = judge(make_plan(place("jump-box", 4700, 700), place("rower", 1000, 1000), room=room))
    said = " ".join(snag.sentence for snag in blocked)
    assert "door in wall B" in said
    assert "w2" not in said


def test_a_persons_stature_is_told_in_the_units_of_the_plan() -> None:
    plan = make_plan(
        place("mid-rack"),
        room=make_room(height=2400),
        people=[make_person(1880, want=["standing-press"])],
    )
    feet = Plan.model_validate(plan.model_dump() | {"units": "feet"})
    # 1880 mm: 74.016 in
    assert only(plan, "headroom").names[1] == "1.88 m"
    assert only(feet, "headroom").names[1] == "6' 2\""


def test_a_note_of_several_things_is_a_list_too() -> None:
    people = [make_person(1880, want=["pull-up"])]
    plan = make_plan(place("mid-rack"), room=make_room(height=2400), people=people)
    (note,) = (s for s in in_few_words(judge(plan)) if s.code == "worth-knowing")
    lines = note.lines("metric")
    assert lines[0] == (
        "Air and damp: Iron at 5 °C gets wet after training, because moisture settles on anything "
        "below 10 °C (the dew point): wipe it, air the room, or dry the air."
    )
    heads = ["Air and damp", "Getting it in", "Pull-ups, 1.88 m"]
    assert [line.partition(":")[0] for line in lines] == heads
    assert all(line.partition(": ")[2] in note.sentence for line in lines)


def test_of_notes_put_together_each_line_keeps_its_who() -> None:
    def note(who: str, *parts: str) -> Snag:
        return Snag(
            code="quiet",
            severity="note",
            template="{}",
            values=(" ".join(parts),),
            parts=tuple(phrase("{}", part) for part in parts) if len(parts) > 1 else (),
            names=(who,),
            background=True,
        )

    (one,) = in_few_words((note("air", "Wipe.", "Dry."), note("door", "It sticks.")))
    assert one.lines("metric") == ("Air: Wipe.", "Air: Dry.", "Door: It sticks.")


def test_what_says_one_thing_is_no_list() -> None:
    assert only(in_wall(), "outside").lines("metric") == ()
    assert only(make_plan(place("mid-rack")), "find-out").lines("feet") == ()


def test_pairs_that_share_are_a_list() -> None:
    people = [make_person(person_id="a"), make_person(1650, person_id="b")]
    plan = make_plan(place("rower", 2500, 1500), place("jump-box", 2800, 2700), people=people)
    snag = only(plan, "shared-in-turn")
    assert snag.lines("metric") == (
        "No two things here can be used together.",
        "Take turns: jump box / rower.",
    )
