"""Profiles of light strip: stock of its own length, several runs, what cannot be cut; by hand."""

from __future__ import annotations

import pytest

from app.takeoff.profiles import profile_lines
from tests.takeoff.making import scene_of
from tests.takeoff.test_strips import ROOM, found, run


def test_stock_of_another_length_is_named_by_it() -> None:
    usual = found(run((0, 2000), (1200, 2000))).line("strip.profile-surface-2000")
    assert usual.item == "Surface profile with cover"
    own = found(run((0, 2000), (1200, 2000), stock_mm=2500)).line("strip.profile-surface-2500")
    assert own.item == "Surface profile with cover, 2500 mm"
    assert own.bought[0].name == "2500 mm length"
    assert own.bought[0].size == 2.5
    assert (own.net, own.waste) == pytest.approx((1.2, 1.3))
    assert [(step.label, step.value) for step in own.working[:2]] == [
        ("stock length", 2500), ("kerf", 3),
    ]  # fmt: skip


@pytest.mark.parametrize(
    "first",
    [
        {"profile": None}, {"profile": "profile-of-nobody"}, {"stock_mm": 0}, {"kerf_mm": -1},
        {"kerf_mm": 1200},
    ],
)  # fmt: skip
def test_what_cannot_be_cut_hides_no_other(first: dict[str, object]) -> None:
    took = found(
        run((0, 1000), (1200, 1000), run_id="first", **first),
        run((0, 2000), (1200, 2000), run_id="second"),
    )
    line = took.line("strip.profile-surface-2000")
    assert line.net == pytest.approx(1.2)
    assert line.bought[0].count == 1
    assert bool([p for p in took.problems if "profile" in p or "kerf" in p]) is (
        first != {"profile": None}
    )


def test_each_leg_has_two_caps_and_its_clips() -> None:
    # a corner: legs of 1200 and 700 a segment each of 100; a clip every 500 and one more
    took = found(run((0, 2000), (1200, 2000), (1200, 1300)))
    assert took.line("strip.end-caps-profile-surface").net == 4
    assert took.line("strip.clips-profile-surface").net == (3 + 1) + (2 + 1)


def test_the_lengths_say_that_fewer_cannot_be() -> None:
    # 1200 out of one of 2000; two of them do not come out of one
    one = found(run((0, 2000), (1200, 2000))).line("strip.profile-surface-2000")
    assert one.notes == ("1 length: no plan needs less.",)
    two = found(run((0, 2000), (1200, 2000)), run((0, 1000), (1200, 1000), run_id="b"))
    line = two.line("strip.profile-surface-2000")
    assert line.notes == ("2 lengths: no plan needs less.",)
    assert [(step.label, step.value) for step in line.working[2:]] == [
        ("one length: 1 × 1200", 2)
    ]  # fmt: skip
    # what is bought weighs, not what is used of it
    assert line.mass_kg == pytest.approx(2 * (one.mass_kg or 0))


@pytest.mark.parametrize(("kerfs", "lengths"), [((3, 3), 1), ((3, 5), 2), ((5, 3), 2)])
def test_the_widest_cut_that_is_typed_counts_for_all(kerfs: tuple[int, int], lengths: int) -> None:
    # two of 900 out of 1803: they take 1800 and a cut between them
    runs = (
        run((0, z), (900, z), run_id=f"r{z}", kerf_mm=kerf, stock_mm=1803)
        for z, kerf in zip((1000, 2000), kerfs, strict=True)
    )
    line = found(*runs).line("strip.profile-surface-1803")
    assert line.bought[0].count == lengths


@pytest.mark.parametrize(("stock", "whole"), [(2501.9, 2), (2438.4, 2), (2999.5, 1)])
def test_a_leg_longer_than_a_stock_of_no_whole_millimetres_is_jointed(
    stock: float, whole: int
) -> None:
    # 98 1/2 in, 8 ft: two whole lengths and what is left of 5600
    took = found(run((0, 1000), (5600, 1000), stock_mm=stock))
    assert not [one for one in took.problems if "profile" in one]
    line = took.line(f"strip.profile-surface-{stock:.0f}")
    assert line.bought[0].count == whole + 1


def zigzag(shortest: int, count: int, name: str) -> dict[str, object]:
    """So many legs along a wall, each a millimetre longer than the last one."""
    points = [(5000.0, 1000.0)]
    for length in range(shortest, shortest + count):
        x = points[-1][0]
        points.append((x - length if x >= 3000 else x + length, 1000.0))
    return run(*points, run_id=name)


def test_more_lengths_than_are_cut_in_one_list_are_told_and_hide_no_other() -> None:
    # 402 of them, and 400 are cut
    legs = [zigzag(1000 + 134 * n, 134, f"z{n}") for n in range(3)]
    other = run((0, 2000), (1200, 2000), run_id="other", profile="profile-surface-long")
    scene = scene_of(room=ROOM, strips=(*legs, other))
    gathered = profile_lines(scene, scene.plan.fit_out.strips)
    (told,) = gathered.problems
    assert told.startswith("Surface profile with cover: ")
    assert "lengths at once" in told
    assert {line.key for line in gathered.lines if line.key.startswith("strip.profile")} == {
        "strip.profile-surface-long-3000"
    }
