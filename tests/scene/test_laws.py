"""Laws that hold for any room and any kit: turning, the cache, removing, heights, order."""

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from app.checks.room_to_use import room_to_use
from app.checks.run import run
from app.checks.snag import Snag
from app.checks.spots import OPEN, SHUT, judge, spots
from app.library.kit import kit_types
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.model.room import Joists, Opening, Plane, Room
from app.scene.build import Scene, build_scene
from app.scene.drop import dropped
from tests.builders import (
    column,
    low_thing,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
    with_poses,
)

ANGLES = st.integers(0, 359_999).map(lambda thousandths: thousandths / 1000)
# hundredths, so that no two lengths agree to the tolerance by chance of round numbers
METRES = st.integers(0, 600_000).map(lambda hundredths: hundredths / 100)
SHIFTS = st.tuples(
    *(st.integers(-20_000_00, 20_000_00).map(lambda hundredths: hundredths / 100),) * 2
)
OUTLINES = (
    rectangle(0, 0, 6000, 5000),
    # an L, out of square
    ((0, 0), (6030, -110), (5980, 2510), (2890, 2470), (2950, 5200), (-70, 5130)),
    # notched for a chimney breast, its walls running the other way round
    ((0, 4900), (5900, 5000), (6000, 0), (3700, 0), (3700, 450), (2500, 450), (2500, 0), (0, 0)),
    # a trapezium
    ((0, 0), (6200, 600), (5600, 5400), (300, 4700)),
)
KIT = (
    "mid-rack",
    "half-rack",
    "flat-bench",
    "bar-20",
    "plate-tree",
    "dumbbell-rack-2",
    "running-machine",
    "bike",
    "rower",
    "wall-pulley",
    "standing-bag",
    "jump-box",
    "mat-space",
    "skipping-space",
    "pull-up-bar-wall",
    "radiant-panel",
    "chest-freezer",
    "car",
)
PEOPLE = (
    make_person(1880, person_id="a", want=["squat", "standing-press", "pull-up", "run", "skip"]),
    make_person(1640, person_id="b", want=["step-up", "bag"], nice=["pull-up", "seated-press"]),
)


@st.composite
def rooms(draw: st.DrawFn, height: float | None = None) -> Room:
    corners = draw(st.sampled_from(OUTLINES))
    high = height or draw(st.integers(2000, 3000))
    name = "back" if len(corners) == 4 else "w1"
    door = Opening(
        id="door",
        wall=name,
        kind=draw(st.sampled_from(["hinged", "pair", "tracks", "sectional", "canopy", "roller"])),
        offset_mm=300,
        width_mm=2100,
        height_mm=1990,
        hinge=draw(st.sampled_from(["left", "right"])),
    )
    rise = draw(st.sampled_from([0, 0, 120.5]))
    joists = (
        Joists(direction_deg=draw(st.sampled_from([0, 33.7, 90]))) if draw(st.booleans()) else None
    )
    return make_room(
        corners=corners,
        covering=draw(st.sampled_from([0, 20])),
        openings=[door] if draw(st.booleans()) else [],
        planes=[Plane(id="ceiling", height_mm=high, rise_x=rise)],
        joists=joists,
        low_things=[low_thing(rectangle(1500, 0, 1720, 4000), 1903)] * draw(st.integers(0, 1)),
        columns=[column(rectangle(2000, 3000, 2311, 3290))] * draw(st.integers(0, 1)),
    )


@st.composite
def poses(draw: st.DrawFn) -> Pose:
    return Pose(x_mm=draw(METRES), y_mm=draw(METRES), angle_deg=draw(ANGLES))


@st.composite
def plans(draw: st.DrawFn, height: float | None = None, least: int = 0) -> Plan:
    kinds = draw(st.lists(st.sampled_from(KIT), min_size=least, max_size=6))
    pieces: list[Piece] = []
    for number, kind in enumerate(kinds):
        pose = draw(poses())
        host = pieces[-1].id if pieces and draw(st.integers(0, 3)) == 0 else None
        pieces.append(
            place(
                kind,
                pose.x_mm,
                pose.y_mm,
                pose.angle_deg,
                piece_id=f"p{number}",
                carried_by=host,
            )
        )
    return make_plan(*pieces, room=draw(rooms(height)), people=PEOPLE)


def said(snag: Snag) -> tuple[str, ...]:
    about = (snag.person, snag.movement, snag.situation, snag.unit)
    return snag.code, snag.severity, *snag.pieces[:1], *(word or "" for word in about)


def apart(snags: tuple[Snag, ...]) -> list[Snag]:
    """Return what is said besides clashes of pieces that do not run into one another.

    Where several stand in one place, which of them is in the way of what hangs on hundredths of a
    millimetre, and those are lost where places are kept to 0.01 mm.
    """
    clashing = {piece for snag in snags if snag.code == "clash" for piece in snag.pieces}
    return [snag for snag in snags if snag.code == "clash" or not clashing & set(snag.pieces)]


@given(plan=plans(), turn=ANGLES, shift=SHIFTS)
def test_turning_and_moving_everything_changes_nothing(
    plan: Plan, turn: float, shift: tuple[float, float]
) -> None:
    before = sorted(apart(run(build_scene(plan))), key=said)
    after = sorted(apart(run(build_scene(turned_plan(plan, turn, shift)))), key=said)
    assert [said(snag) for snag in before] == [said(snag) for snag in after]
    for one, other in zip(before, after, strict=True):
        for name in ("measured", "required", "need"):
            a, b = getattr(one, name), getattr(other, name)
            assert (a is None) == (b is None)
            assert a is None or abs(a - b) <= 1, (one.sentence, other.sentence)


@given(plan=plans(least=1), data=st.data())
def test_the_law_of_the_cache(plan: Plan, data: st.DataObject) -> None:
    scene = build_scene(plan)
    run(scene)
    stands: dict[str, Pose] = {}
    ids = st.sampled_from([piece.id for piece in plan.pieces])
    for step in range(data.draw(st.integers(1, 4), label="steps")):
        names = set(data.draw(st.lists(ids, min_size=1, max_size=2), label=f"moved in {step}"))
        moved = {name: data.draw(poses(), label=name) for name in sorted(names)}
        if data.draw(st.booleans(), label="back to where it stood"):
            moved = {name: plan.piece(name).pose for name in moved}
        stands |= moved
        then = with_poses(plan, stands)
        # dragged there, or dropped there: as if it had always stood so
        after = scene.moved(moved) if data.draw(st.booleans(), label="drag") else None
        after = after or dropped(scene, then)
        assert after is not None
        scene = after
        assert run(scene) == run(build_scene(then))


def test_a_station_dragged_away_takes_its_own_top_along() -> None:
    room = make_room(6000, 6000, 2600, low_things=[low_thing(rectangle(3000, 0, 3300, 6000), 1950)])
    plan = make_plan(
        place("full-rack", 1500, 1500, piece_id="rack"),
        place("bar-20", 1500, 2013, piece_id="bar", carried_by="rack"),
        room=room,
        people=PEOPLE,
    )
    scene = build_scene(plan)
    stands = {"rack": Pose(x_mm=3100, y_mm=1500), "bar": Pose(x_mm=3100, y_mm=2013)}
    assert run(scene.moved(stands)) == run(build_scene(with_poses(plan, stands)))
    assert run(scene.moved(stands)) != run(scene)


def free(scene: Scene) -> dict[tuple[str, str], float]:
    """The least that is measured in each working space that something reaches into.

    Choices count as one; in a ring two things may be told of.
    """
    result: dict[tuple[str, str], float] = {}
    for snag in room_to_use(scene):
        kit = scene.placed[snag.pieces[0]].kit
        space = next(s for s in kit.spaces if s.key == snag.space)
        name = "one of them" if space.either else space.name
        measured = -1.0 if snag.measured is None else snag.measured
        key = snag.pieces[0], name
        result[key] = min(measured, result.get(key, measured))
    return result


@given(plan=plans(least=2), data=st.data())
def test_taking_a_piece_away_never_narrows_a_space(plan: Plan, data: st.DataObject) -> None:
    gone = data.draw(st.sampled_from([piece.id for piece in plan.pieces]))
    kept: list[Piece] = []
    for piece in plan.pieces:
        # what it carries goes with it; what carries stands before what it carries in these plans
        on_it = piece.carried_by is not None and piece.carried_by not in {p.id for p in kept}
        if piece.id != gone and not on_it:
            kept.append(piece)
    before = free(build_scene(plan))
    after = free(build_scene(make_plan(*kept, room=plan.room, people=PEOPLE)))
    for space, measured in after.items():
        assert before[space] <= measured


def spares(plan: Plan, stature: float = 1750) -> dict[tuple[str, str, str], float]:
    """What one person has to spare in each movement at each place, door shut and open."""
    scene = build_scene(plan)
    person = make_person(stature)
    return {
        (movement, f"{spot.placed.piece.id} {spot.use.at}", situation): judge(
            scene, person, spot, situation
        ).spare_least_mm
        for movement, places in spots(scene).items()
        for spot in places
        for situation in (SHUT, OPEN)
    }


@given(plan=plans(height=2600, least=1), lower=st.integers(1, 500))
def test_a_lower_ceiling_never_gives_more_to_spare(plan: Plan, lower: int) -> None:
    data = plan.model_dump()
    data["room"]["ceiling"]["planes"][0]["height_mm"] -= lower
    high, low = spares(plan), spares(Plan.model_validate(data))
    assert high.keys() == low.keys()
    assert all(low[key] <= high[key] for key in high)


@given(plan=plans(least=1), stature=st.integers(1400, 2000), taller=st.integers(1, 200))
def test_a_taller_person_never_has_more_to_spare(plan: Plan, stature: int, taller: int) -> None:
    small, tall = spares(plan, stature), spares(plan, stature + taller)
    assert all(tall[key] <= small[key] for key in small)


@given(plan=plans(least=2), data=st.data())
def test_what_pieces_are_called_does_not_matter(plan: Plan, data: st.DataObject) -> None:
    """What is said is the same, but for left or right.

    One gap between two pieces of a kind, beyond the left end of the one and the right end of the
    other, is told once: of which of them only their names can decide.
    """

    def kind(code: str) -> str:
        return code.replace("left", "").replace("right", "")

    ids = [piece.id for piece in plan.pieces]
    new = dict(zip(ids, data.draw(st.permutations(ids)), strict=True))
    renamed = plan.model_dump()
    for piece in renamed["pieces"]:
        piece["id"] = new[piece["id"]]
        piece["carried_by"] = new.get(piece["carried_by"])
    other = run(build_scene(Plan.model_validate(renamed)))

    def shape(snags: tuple[Snag, ...]) -> Counter[tuple[object, ...]]:
        return Counter((kind(s.code), s.severity, s.person, s.movement, s.measured) for s in snags)

    assert shape(run(build_scene(plan))) == shape(other)


def test_the_kit_of_these_laws_is_in_the_library() -> None:
    assert set(KIT) <= set(kit_types())
