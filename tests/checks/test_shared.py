"""Which stations are used at once and which in turn is said once."""

from tests.builders import found, make_person, make_plan, make_room, place


def test_two_stations_that_use_the_same_floor_are_one_note() -> None:
    plan = make_plan(
        place("dumbbell-rack-2", 2500, 1000), place("kettlebell-shelf", 2500, 3000, 180)
    )
    (snag,) = found(plan, "shared")
    assert (snag.severity, snag.measured, snag.unit) == ("note", 1, "pairs")
    assert snag.sentence == (
        "No two things here can be used together; "
        "take turns: dumbbell rack of 2 tiers / kettlebell shelf."
    )


def test_many_pairs_are_still_one_note() -> None:
    mats = (place("mat-space", 1000 + 900 * i, 2500, piece_id=f"mat-{i}") for i in range(5))
    (snag,) = found(make_plan(*mats), "shared")
    assert snag.measured == 4
    assert snag.sentence.startswith(
        "Can be used together: mat space + mat space + mat space (6 of 10 pairs);"
    )


def test_more_than_four_pairs_are_counted() -> None:
    # each of seven mats shares its floor with the next: six pairs, by hand
    mats = [
        place("mat-space", 1000 + 900 * i, 2500, piece_id=f"mat-{i}", label=f"Mat {i}")
        for i in range(7)
    ]
    for count, end in ((7, "2 more."), (6, "1 more."), (5, "mat 3 / mat 4.")):
        (snag,) = found(make_plan(*mats[:count], room=make_room(8000, 5000)), "shared")
        assert snag.measured == count - 1
        assert snag.sentence.endswith(end)
        assert snag.sentence.count(" / ") == 4


def test_places_to_load_may_be_shared() -> None:
    trees = (place("plate-tree", 900 + 1000 * i, 2500, piece_id=f"tree-{i}") for i in range(4))
    assert found(make_plan(*trees), "shared") == []


def test_stations_apart_and_pieces_of_one_station_share_nothing() -> None:
    apart = make_plan(place("plate-tree", 1000, 1000), place("bike", 4000, 4000))
    together = make_plan(place("mid-rack"), place("flat-bench", carried_by="mid-rack"))
    assert found(apart, "shared") == found(together, "shared") == []


def test_who_trains_alone_here_is_told_nothing() -> None:
    mats = [place("mat-space", x, 2500, piece_id=f"mat-{x}") for x in (2000, 2500)]
    assert found(make_plan(*mats, people=[make_person()]), "shared") == []
    two = [make_person(person_id="a"), make_person(person_id="b")]
    assert len(found(make_plan(*mats, people=two), "shared")) == 1


def test_an_empty_room_shares_nothing() -> None:
    assert found(make_plan(), "shared") == []
