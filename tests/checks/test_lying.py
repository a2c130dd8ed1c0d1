"""Floor to lie on, by hand: 1.268 of the stature from heel to fingertip (ANSUR 1988): 2219 of 1750.

A mat 2000 long in the middle of 5000 x 5000; boxes of 500 x 600 stand beyond its ends.
"""

import pytest

from app.checks.snag import Snag
from app.model.kit import Piece
from tests.builders import found, make_person, make_plan, make_room, place


def mat(length: float = 2000, angle: float = 0, at: float = 2500) -> Piece:
    return place("mat-space", at, 2500, angle, depth=length, piece_id=f"mat-{at:g}")


def box(x: float, y: float, number: int = 0, kit: str = "jump-box", angle: float = 0) -> Piece:
    return place(kit, x, y, angle, piece_id=f"box-{number}")


def told(*pieces: Piece, stature: float = 1750, wish: str = "want") -> list[Snag]:
    person = make_person(stature, **{wish: ["floor-work"]})  # type: ignore[arg-type]
    return found(make_plan(*pieces, room=make_room(), people=[person]), "lying")


def ends(ahead: float, behind: float) -> tuple[Piece, Piece]:
    """Boxes so far from the ends of the mat, which lie at 1500 and 3500."""
    return box(2500, 3500 + ahead + 300), box(2500, 1500 - behind - 300, 1)


@pytest.mark.parametrize(
    ("ahead", "behind", "free"),
    # 100 + 2000 + 119 are enough, 2 mm less are not; nothing beyond one end is room beyond it
    [(100, 119, None), (119, 100, None), (100, 117, 2217), (50, 0, 2050), (0, 900, None)],
)
def test_what_is_free_along_the_mat(ahead: float, behind: float, free: float | None) -> None:
    snags = told(mat(), *ends(ahead, behind))
    assert [snag.measured for snag in snags] == ([] if free is None else [free])
    for snag in snags:
        assert (snag.severity, snag.required, snag.pieces) == ("care", 2219, ("mat-2500",))
        assert f"takes 2219 mm; {free} mm are free along the mat" in snag.sentence


@pytest.mark.parametrize("angle", [90, 180, 270])
def test_turned_with_the_mat(angle: float) -> None:
    sideways = box(3500 + 50 + 250, 2500), box(1500 - 20 - 250, 2500, 1)
    pieces = ends(50, 20) if angle == 180 else sideways
    (snag,) = told(mat(angle=angle), *pieces)
    assert snag.measured == 2070


def test_a_mat_that_is_wider_than_deep_is_lain_on_across() -> None:
    wide = place("mat-space", 2500, 2500, width=2000, depth=1000)
    (snag,) = told(wide, box(3500 + 50 + 250, 2500), box(1500 - 20 - 250, 2500, 1))
    assert snag.measured == 2070


def test_walls_end_the_floor() -> None:
    # at y from 300 to 2300 of a room whose wall is 300 before one end, a box 10 beyond the other
    near = place("mat-space", 2500, 1300, depth=2000)
    assert told(near, box(2500, 2300 + 10 + 300)) == []
    nearer = place("mat-space", 2500, 1100, depth=2000)
    (snag,) = told(nearer, box(2500, 2100 + 10 + 300))
    assert snag.measured == 2110


def test_what_lies_beside_low_or_high_takes_nothing() -> None:
    # the mat is 1000 wide: a box touches its strip at 3250, 10 nearer it stands in it
    behind = ends(50, 50)[1]
    assert told(mat(), box(3250, 3850), behind) == []
    assert len(told(mat(), box(3240, 3850), behind)) == 1
    # a mat is 10 high, and a bag hangs 800 above the floor
    low = place("mat-space", 2500, 4200, depth=1500, piece_id="low")
    assert told(mat(), low, behind) == []
    assert told(mat(), box(2500, 3700, kit="hung-bag"), behind) == []


def test_what_stands_on_the_mat_itself_is_told_elsewhere() -> None:
    assert told(mat(), box(2500, 2500)) == []
    # reaching over its end by 2 is on it, by half a millimetre beside it
    assert told(mat(), box(2500, 3500 - 2 + 300), box(2500, 1200, 1)) == []
    (snag,) = told(mat(), box(2500, 3500 - 0.5 + 300), box(2500, 1200, 1))
    assert snag.measured == 2000


def test_the_longest_of_several_counts_and_each_person_by_length() -> None:
    short = mat(1600, at=1000)
    pieces = (short, *(box(1000, 2500 + side * 1120, n) for n, side in enumerate((1, -1))))
    (snag,) = told(*pieces)
    assert snag.measured == 1640
    assert told(*pieces, mat(at=3500)) == []
    # 1.268 x 1293 = 1640
    assert told(*pieces, stature=1293) == []
    assert len(told(*pieces, stature=1296)) == 1
    # who has not asked for it lies nowhere
    assert told(*pieces, wish="nice") == []
    assert told() == []


@pytest.mark.parametrize("side", [-1, 1])
@pytest.mark.parametrize("way", [-1, 1])
@pytest.mark.parametrize("angle", [0, 90])
def test_what_stands_at_any_corner_of_the_strip_ends_it(side: int, way: int, angle: float) -> None:
    # a post of 100 beside the middle, 50 beyond one end of a mat 1000 wide; a box 20 beyond the
    # other; both turned with the mat
    def at(across: float, along: float) -> tuple[float, float]:
        return (2500 + across, 2500 + along) if angle == 0 else (2500 - along, 2500 + across)

    long = place("mat-space", 2500, 2500, angle, width=1000, depth=2000, piece_id="mat")
    post = place("other-thing", *at(side * 430, way * 1100), width=100, depth=100, height=900)
    other = place("jump-box", *at(0, -way * (1000 + 20 + 300)), angle, width=500, depth=600)
    (snag,) = told(long, post, other)
    assert snag.measured == 2070
