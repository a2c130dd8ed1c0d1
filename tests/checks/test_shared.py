"""Floor that stations share is said once."""

from tests.builders import found, make_plan, place


def test_two_stations_that_use_the_same_floor_are_one_note() -> None:
    plan = make_plan(
        place("dumbbell-rack-2", 2500, 1000), place("kettlebell-shelf", 2500, 3000, 180)
    )
    (snag,) = found(plan, "shared")
    assert (snag.severity, snag.measured, snag.unit) == ("note", 1, "pairs")
    assert "kettlebell shelf" in snag.sentence


def test_many_pairs_are_still_one_note() -> None:
    trees = (place("plate-tree", 900 + 1000 * i, 2500, piece_id=f"tree-{i}") for i in range(4))
    (snag,) = found(make_plan(*trees), "shared")
    assert snag.measured == 3


def test_stations_apart_and_pieces_of_one_station_share_nothing() -> None:
    apart = make_plan(place("plate-tree", 1000, 1000), place("bike", 4000, 4000))
    together = make_plan(place("mid-rack"), place("flat-bench", carried_by="mid-rack"))
    assert found(apart, "shared") == found(together, "shared") == []
