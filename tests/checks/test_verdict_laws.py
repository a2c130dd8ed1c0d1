"""Laws of a verdict: mirror images, what is far away, what only gets taller, lower or bigger."""

from __future__ import annotations

from collections import Counter
from dataclasses import fields
from pathlib import Path

import pytest
import shapely
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from app.checks.run import run
from app.checks.snag import SEVERITIES, Snag
from app.library.kit import kit_types
from app.library.movements import movements
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Opening
from app.model.turning import turned_plan
from app.model.versions import load
from app.scene.build import build_scene
from app.scene.shapes import shape_of
from tests.builders import (
    column,
    low_thing,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
)
from tests.rearranged import elsewhere, in_reverse
from tests.thinned import one_of

SAMPLES = Path(__file__).resolve().parents[2] / "sample_rooms"
CATALOGUE = Path(__file__).resolve().parents[1] / "catalogue" / "plans"

FEW = settings(max_examples=max(settings.default.max_examples // 4, 6) if settings.default else 6)
"""Each example is two verdicts: a quarter as many in a long run, no fewer than in a short one."""
WIDTH, DEPTH, HEIGHT = 6000, 5000, 2350
ROUNDING_MM = 1
WANT = ("squat", "run", "bag", "step-up", "deadlift", "skip", "floor-work", "dumbbell-press")


def is_symmetric(key: str) -> bool:
    """Return whether a kit type's solids and spaces are alike on both sides of its middle."""
    kit = kit_types()[key]
    if kit.fixing in ("wall", "ceiling", "wall-and-floor") or kit.bar is not None:
        return False
    shape = shape_of(place(key), 0.0, kit)
    spaces = [one.polygon for one in shape.spaces]
    rows = [*zip(shape.polygons, shape.low_mm, shape.high_mm, strict=True)]
    rows += [(polygon, 0.0, 0.0) for polygon in spaces]
    levels = {(low, high) for _, low, high in rows}
    for low, high in levels:
        level = shapely.union_all([p for p, a, b in rows if (a, b) == (low, high)])
        mirrored = shapely.transform(level, lambda xy: xy * (-1, 1))
        if shapely.area(shapely.symmetric_difference(level, mirrored)) > 1:
            return False
    return all(use.at[0] == "c" for use in kit.uses)


HEAPED = ("clash", "outside")
EITHER = {s.key for kit in kit_types().values() for s in kit.spaces if s.either}
SYMMETRIC = sorted(key for key in kit_types() if is_symmetric(key))
PLACES = st.tuples(
    st.integers(300, WIDTH - 300), st.integers(300, DEPTH - 300), st.sampled_from([0, 90, 180, 33])
)
KIT = st.lists(st.tuples(st.sampled_from(SYMMETRIC), PLACES), min_size=1, max_size=4)

FIVES = st.tuples(
    st.integers(60, (WIDTH - 300) // 5).map(lambda n: 5 * n),
    st.integers(60, (DEPTH - 300) // 5).map(lambda n: 5 * n),
    st.sampled_from([0, 90, 180, 33]),
)
"""Sizes and places in fives: nothing is exactly as far over a wall as is let pass (1 mm), where
rounding decides and a mirror image is rounded otherwise."""
APART = st.lists(
    st.tuples(st.sampled_from(SYMMETRIC), FIVES), min_size=1, max_size=4,
    unique_by=lambda one: (one[1][0] > WIDTH / 2, one[1][1] > DEPTH / 2),
)  # fmt: skip
"""One in each quarter of the room: of what is thrown anywhere most lies in heaps."""


def pieces(kit: list[tuple[str, tuple[int, int, int]]]) -> list[Piece]:
    return [place(key, x, y, angle, piece_id=f"p{i}") for i, (key, (x, y, angle)) in enumerate(kit)]


def garage(
    *kit: Piece, width: float = WIDTH, height: float = HEIGHT, stature: float = 1800
) -> Plan:
    """Return a room with a door in the middle of its front wall, opening out, and one person."""
    door = Opening(
        id="door", wall="front", kind="hinged", offset_mm=(WIDTH - 900) / 2, width_mm=900,
        height_mm=2000, swing="out", way_out=True,
    )  # fmt: skip
    room = make_room(width, DEPTH, height, openings=[door])
    person = make_person(stature, want=WANT)
    return make_plan(*kit, room=room, people=[person])


def judged(plan: Plan) -> tuple[Snag, ...]:
    return run(build_scene(plan))


def hard(snags: tuple[Snag, ...]) -> list[Snag]:
    return [snag for snag in snags if snag.severity != "note"]


def other_side(code: str) -> str:
    return code.replace("left", "?").replace("right", "left").replace("?", "right")


def told(snag: Snag, mirrored: bool) -> tuple[object, ...]:
    """Return what a row says, its sides swapped where it is that of a mirror image.

    A row of several sides of which one is enough goes by the first of them in the kit's own row,
    and one of a thing that touches several sides by the first that asks for most.
    """
    code = other_side(snag.code) if mirrored else snag.code
    if snag.space in EITHER or (snag.space and (snag.measured or 0) <= ROUNDING_MM):
        code = code.replace("-right", "").replace("-left", "")
    return snag.severity, code, snag.pieces[:1], snag.person, snag.movement


@FEW
@given(APART)
# its narrow place is as narrow all along the wall: which part of it is named hangs on rounding
@example([("fridge", (300, 516, 180))])
# there is more room at one of the places where one stands than in the narrow one
@example([("squat-stands", (2623, 4068, 33))])
def test_a_mirror_image_has_a_mirror_image_verdict(
    kit: list[tuple[str, tuple[int, int, int]]],
) -> None:
    there = pieces(kit)
    mirrored = [
        place(p.type, WIDTH - p.pose.x_mm, p.pose.y_mm, -p.pose.angle_deg, piece_id=p.id)
        for p in there
    ]
    one, other = hard(judged(garage(*there))), hard(judged(garage(*mirrored)))
    # of several things that a heap has in one place which is named hangs on their order
    assume(not any(s.code in HEAPED for s in one))
    assert Counter(told(s, False) for s in one) == Counter(told(s, True) for s in other)
    figures = [sorted(s.measured for s in rows if s.measured is not None) for rows in (one, other)]
    assert all(abs(a - b) <= ROUNDING_MM for a, b in zip(*figures, strict=True))


@FEW
@given(KIT, st.integers(0, 2000))
def test_a_thing_far_away_changes_no_row_of_place(
    kit: list[tuple[str, tuple[int, int, int]]], off: int
) -> None:
    # a hall twice as wide, its far half empty but for one box
    far = place(
        "other-thing", 2 * WIDTH + off, 4000, width=300, depth=300, height=300, piece_id="far"
    )
    alone = judged(garage(*pieces(kit), width=3 * WIDTH))
    with_it = judged(garage(*pieces(kit), far, width=3 * WIDTH))

    def of_place(snags: tuple[Snag, ...]) -> Counter[tuple[object, ...]]:
        rows = [s for s in hard(snags) if s.hangs_on_place]
        return Counter((s.key, s.severity, s.sentence) for s in rows)

    assert of_place(with_it) == of_place(alone)


def heaviest(snags: tuple[Snag, ...]) -> dict[tuple[object, ...], tuple[int, float]]:
    """Return the worst of each piece's clashes, spaces and headroom: severity, then shortfall."""
    worst: dict[tuple[object, ...], tuple[int, float]] = {}
    for snag in hard(snags):
        if snag.code in ("headroom", "clash", "outside", "too-tall"):
            what: tuple[object, ...] = (snag.code, snag.pieces[:1], snag.person, snag.movement)
        elif snag.space is not None:
            what = ("room", snag.pieces[:1])
        else:
            continue
        wanted = snag.need or snag.required or 0.0
        short = max(0.0, wanted - (snag.measured or 0.0))
        weight = (len(SEVERITIES) - SEVERITIES.index(snag.severity), short)
        worst[what] = max(worst.get(what, weight), weight)
    return worst


def no_milder(before: Plan, after: Plan) -> None:
    was, now = heaviest(judged(before)), heaviest(judged(after))
    for what, (severity, short) in was.items():
        crossing = {(code, what[1], None, None) for code in HEAPED} & now.keys()
        # where two things cross now that says more than the room that was between them
        if what[0] == "room" and crossing - was.keys():
            continue
        if what not in now:
            assert what[0] == "room"
            assert crossing
            continue
        assert now[what][0] >= severity, what
        if now[what][0] == severity:
            assert now[what][1] >= short - ROUNDING_MM, what


@FEW
@given(KIT, st.integers(1, 200))
def test_a_taller_person_is_judged_no_milder(
    kit: list[tuple[str, tuple[int, int, int]]], more: int
) -> None:
    there = pieces(kit)
    no_milder(garage(*there, stature=1700), garage(*there, stature=1700 + more))


@FEW
@given(KIT, st.integers(1, 300))
def test_a_lower_ceiling_is_judged_no_milder(
    kit: list[tuple[str, tuple[int, int, int]]], less: int
) -> None:
    there = pieces(kit)
    no_milder(garage(*there), garage(*there, height=HEIGHT - less))


@FEW
@given(KIT, PLACES, st.integers(0, 300), st.integers(0, 300), st.integers(0, 300))
def test_a_bigger_thing_is_judged_no_milder(
    kit: list[tuple[str, tuple[int, int, int]]],
    at: tuple[int, int, int],
    wider: int,
    deeper: int,
    higher: int,
) -> None:
    x, y, angle = at
    small, big = (
        place(
            "other-thing", x, y, angle, piece_id="thing",
            width=400 + more * wider, depth=400 + more * deeper, height=900 + more * higher,
        )
        for more in (0, 1)
    )  # fmt: skip
    no_milder(garage(small, *pieces(kit)), garage(big, *pieces(kit)))


def test_there_is_much_kit_that_is_symmetric() -> None:
    assert len(SYMMETRIC) >= 25


def all_it_says(snag: Snag) -> tuple[object, ...]:
    """Return all of a row but where it is, figures to a thousandth."""
    fixed = (
        field.name for field in fields(Snag) if field.name not in ("where", "values", "working")
    )
    working = tuple((label, round(value, 3)) for label, value in snag.working)
    return snag.sentence, working, *(getattr(snag, name) for name in fixed)


@pytest.mark.parametrize("name", one_of(2, ["single-garage", "basement", "upstairs-room"]))
def test_a_room_turned_by_a_quarter_has_the_same_verdict(name: str) -> None:
    plan = load((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    turned = judged(turned_plan(plan, 1))
    assert [all_it_says(s) for s in turned] == [all_it_says(s) for s in judged(plan)]


def one_of_each() -> Plan:
    """Return a low hall with one of every kit type, ways in, glass, beams, and three people."""
    step, a_row = 2300, 9
    kinds = sorted(kit_types())
    pieces = [
        place(
            key, 1500 + step * (i % a_row), 1500 + step * (i // a_row), (0, 90, 180, 37)[i % 4],
            piece_id=f"p-{key}",
        )
        for i, key in enumerate(kinds)
    ]  # fmt: skip
    openings = [
        Opening.model_validate(
            {
                "id": f"o{i}", "wall": wall, "kind": kind, "offset_mm": offset, "width_mm": width,
                "height_mm": height, "sill_mm": sill, "way_out": kind == "hinged",
            }
        )
        for i, (wall, kind, offset, width, height, sill) in enumerate(
            [
                ("front", "hinged", 3000, 900, 2000, 0),
                ("front", "sectional", 9000, 2400, 2100, 0),
                ("back", "window", 2000, 1500, 1000, 900),
                ("back", "window", 9000, 1800, 1900, 100),
                ("left", "hinged", 5000, 800, 2000, 0),
                ("right", "window", 4000, 1500, 1000, 300),
            ]
        )
    ]  # fmt: skip
    beams = [
        low_thing(rectangle(x, 0, x + 200, 9000), bottom, f"beam-{x}")
        for x, bottom in ((2000, 2150), (8000, 2050))
    ]
    posts = [column(rectangle(at, at, at + 300, at + 300), f"post-{at}") for at in (6000, 9000)]
    deep = step * len(kinds) / a_row + 2500
    room = make_room(
        step * a_row + 600, deep, 2350, openings=openings, low_things=beams, columns=posts
    )
    every = list(movements())
    people = [
        make_person(1650, person_id="small", want=every[::2]),
        make_person(1950, person_id="tall", want=every, alone=False),
        make_person(1800, person_id="other", want=every[1::2], no=every[::2]),
    ]
    return make_plan(*pieces, room=room, people=people)


def row_by_row(plan: Plan, off: tuple[float, float] = (0, 0)) -> Counter[tuple[object, ...]]:
    """Return what is found, in any order: the figures of each row, what it is about and where."""
    return Counter(
        (
            *(s.severity, s.code, s.person, s.movement, s.measured, s.required, s.need),
            *(frozenset(s.pieces), s.space, s.flanked, s.all_round, s.opening, s.circuit),
            *(s.blocked, s.to_reach, s.shuts_door, s.background, s.question, s.eased_by),
            *(frozenset(s.working), frozenset(s.names), frozenset(s.source_keys)),
            # along a straight edge every place is as near as the next
            None
            if s.space or not s.where
            else tuple(round(at - by) for at, by in zip(s.where, off, strict=True)),
        )
        for s in judged(plan)
    )


PLANS = sorted([*SAMPLES.glob("*.json"), *CATALOGUE.glob("*.json")])


@pytest.mark.parametrize("path", [None, *PLANS], ids=lambda path: path.stem if path else "each")
def test_neither_the_place_on_the_paper_nor_the_order_in_the_file_decides(
    path: Path | None,
) -> None:
    plan = load(path.read_text(encoding="utf-8")) if path else one_of_each()
    off = (7300.0, -4100.0)
    assert row_by_row(elsewhere(in_reverse(plan), *off), off) == row_by_row(plan)
