"""Which coats go where, by what a painter does to bare walls, boards, slabs and joists."""

from typing import Any

import pytest

from app.model.finishing import PaintJob
from app.model.room import Joists, Room, Wall
from app.scene.build import Scene
from app.takeoff.line import Gathered
from app.takeoff.paint_plan import Coat, coats, litres_of, rate_of, texture_of, usual_paint
from tests.builders import column, make_room, rectangle
from tests.checks.hanging import room_of
from tests.takeoff.making import scene_of

WALLS = {"id": "walls", "surface": "walls"}
CEILING = {"id": "c", "surface": "ceiling"}
FLOOR = {"id": "f", "surface": "floor", "coating": "dust-sealer"}


@pytest.mark.parametrize(
    ("fields", "texture"),
    [
        ({"construction": "solid-brick"}, "brick"),
        ({"construction": "hollow-block"}, "open-block"),
        ({"construction": "concrete"}, "concrete"),
        ({"construction": "timber-studs"}, "timber-board"),
        ({"construction": "unknown"}, "dense-block"),
        # what lies on it is what is painted: a finish before a lining, a lining before the wall
        ({"construction": "solid-brick", "lining_mm": 25}, "plasterboard"),
        ({"construction": "solid-brick", "finish": "plaster"}, "smooth-plaster"),
        ({"construction": "solid-brick", "finish": "painted", "lining_mm": 25}, "painted-masonry"),
    ],
)
def test_the_texture_that_a_wall_shows(fields: dict[str, Any], texture: str) -> None:
    assert texture_of(Wall(id="w", x_mm=0, y_mm=0, **fields)) == texture


def usual(room: Room) -> list[tuple[str, str, tuple[str, ...]]]:
    jobs: list[PaintJob] = list(usual_paint(scene_of(room=room)))
    return [(job.surface, job.coating, job.walls) for job in jobs]


def test_what_one_would_paint_who_chose_nothing() -> None:
    every = ("back", "right", "front", "left")
    emulsion, seal = "emulsion", ("floor", "dust-sealer", ())
    walls, ceiling = ("walls", emulsion, ()), ("ceiling", emulsion, ())
    sealer = ("walls", "masonry-sealer", every)
    assert usual(room_of("solid-brick")) == [sealer, walls, ceiling, seal]
    # no bare masonry, no sealer; only where it is bare
    assert usual(room_of("timber-studs")) == [walls, ceiling, seal]
    data = room_of("timber-studs").model_dump()
    data["walls"][1]["construction"] = "concrete"
    mixed = usual(Room.model_validate(data))
    assert mixed[0] == ("walls", "masonry-sealer", ("right",))
    # joists that show are left; a slab alone is sealed, and only where nothing lies on it
    joists = Joists(direction_deg=0, spacing_mm=400, width_mm=45, depth_mm=150, first_mm=200)
    assert usual(room_of("timber-studs", joists=joists)) == [walls, seal]
    assert usual(room_of("timber-studs", floor="suspended-slab")) == [walls, ceiling, seal]
    assert usual(room_of("timber-studs", floor="timber")) == [walls, ceiling]
    assert usual(room_of("timber-studs", covering={"material": "rubber"})) == [walls, ceiling]


def made(room: Room, *jobs: dict[str, Any], **fit_out: Any) -> tuple[list[Coat], Gathered]:
    gathered = Gathered()
    scene: Scene = scene_of(room=room, paint=list(jobs), **fit_out)
    return coats(scene, gathered), gathered


def told(room: Room, *jobs: dict[str, Any], **fit_out: Any) -> list[tuple[str, str, str]]:
    found = made(room, *jobs, **fit_out)[0]
    return [(coat.where, coat.coating.key, coat.texture.key) for coat in found]


def test_the_plans_own_choice_and_the_usual_for_the_rest() -> None:
    room = room_of("timber-studs")
    chosen = told(room, {**CEILING, "coating": "emulsion"}, nothing_assumed=False)
    assert ("ceiling", "emulsion", "plasterboard") in chosen
    # its primer and its paint, each once
    assert len([where for where, *_ in chosen if where == "ceiling"]) == 2
    assert ("floor", "dust-sealer", "concrete") in chosen
    assumed = {coat.where: coat.assumed for coat in made(room, CEILING, nothing_assumed=False)[0]}
    assert (assumed["ceiling"], assumed["floor"]) == (False, True)
    assert told(room, CEILING)[1:] == [("ceiling", "emulsion", "plasterboard")]


@pytest.mark.parametrize(
    ("room", "texture"),
    [
        (room_of(), "plasterboard"),
        (room_of(ceiling="slab"), "concrete"),
        (
            room_of(
                joists=Joists(
                    direction_deg=0, spacing_mm=400, width_mm=45, depth_mm=150, first_mm=200
                )
            ),
            "joists",
        ),
    ],
)
def test_what_is_painted_overhead(room: Room, texture: str) -> None:
    assert told(room, CEILING)[-1:] == [("ceiling", "emulsion", texture)]


def test_bare_board_is_primed_and_what_is_painted_is_not() -> None:
    primer = ("board-primer", "plasterboard")
    lined = told(make_room(lining=25), WALLS)
    assert [coat[1:] for coat in lined[:2]] == [primer, ("emulsion", "plasterboard")]
    assert len(lined) == 8
    plaster = make_room().model_dump()
    for wall in plaster["walls"]:
        wall |= {"finish": "plasterboard"}
    # what primes needs no primer
    assert {coat[1] for coat in told(make_room(lining=25), {**WALLS, "coating": "masonry-sealer"})
        } == {"masonry-sealer"}  # fmt: skip
    # a ceiling of board is primed, and one that is said to be smooth, painted before, is not
    assert [coat[1] for coat in told(make_room(), CEILING)] == ["board-primer", "emulsion"]
    smooth = {**CEILING, "texture": "smooth-plaster"}
    assert [coat[1] for coat in told(make_room(), smooth)] == ["emulsion"]
    data = make_room().model_dump()
    for thick in (40, 1):
        data["ceiling"]["finish_mm"] = thick
        boarded = told(Room.model_validate(data), CEILING)
        assert boarded == [("ceiling", *primer), ("ceiling", "emulsion", "plasterboard")]
    # under a slab that is boarded it is the board that is painted
    data["ceiling"]["construction"] = "slab"
    boarded = told(Room.model_validate(data), CEILING)
    assert boarded == [("ceiling", *primer), ("ceiling", "emulsion", "plasterboard")]


def test_filler_on_masonry_alone() -> None:
    filled = told(room_of("hollow-block"), {**WALLS, "filler": True, "walls": ["back"]})
    assert filled == [
        ("the back wall", "block-filler", "open-block"),
        ("the back wall", "emulsion", "filled-block"),
    ]
    studs = told(room_of("timber-studs"), {**WALLS, "filler": True, "walls": ["back"]})
    assert studs == [("the back wall", "emulsion", "timber-board")]


def test_floors_whole_in_part_and_of_timber() -> None:
    room = room_of()
    (whole,) = made(room, FLOOR)[0]
    assert (whole.where, whole.area_m2, whole.texture.key) == ("floor", 25, "concrete")
    part = {**FLOOR, "outline": rectangle(0, 0, 2000, 9000)}
    (some,) = made(room, part)[0]
    # 2 x 5 of it lie in the room
    assert (some.where, some.area_m2) == ("part of the floor", 10)
    off = {**FLOOR, "outline": rectangle(6000, 0, 7000, 1000)}
    none, gathered = made(room, off)
    assert none == []
    assert gathered.problems[0].endswith("its outline lies off the floor")
    assert told(room_of(floor="timber"), FLOOR) == [("floor", "dust-sealer", "timber-board")]


def test_columns_are_painted_with_all_walls_and_not_with_some() -> None:
    # a column of 300 x 400 in a room 2600 high: 1.4 m round it
    room = make_room(columns=[column(rectangle(1000, 1000, 1300, 1400))])
    (last,) = [coat for coat in made(room, WALLS)[0] if coat.where == "columns and piers"]
    assert last.area_m2 == pytest.approx(1.4 * 2.6)
    assert last.texture.key == "dense-block"
    # a pipe that is boxed in, 50 x 50: 0.2 m round it
    thin = make_room(columns=[column(rectangle(1000, 1000, 1050, 1050))])
    (last,) = [coat for coat in made(thin, WALLS)[0] if coat.where == "columns and piers"]
    assert last.area_m2 == pytest.approx(0.2 * 2.6)
    some = made(room, {**WALLS, "walls": ["back", "left"]})[0]
    assert [coat.where for coat in some] == ["the back wall", "the left wall"]


def test_a_typed_rate_stands_and_others_follow_the_texture() -> None:
    block = room_of("hollow-block")
    (plain,) = made(block, {**WALLS, "walls": ["back"]})[0]
    (typed,) = made(block, {**WALLS, "walls": ["back"], "rate_m2_l": 9})[0]
    assert rate_of(plain) == pytest.approx(plain.rate_m2_l * plain.texture.factor)
    assert rate_of(plain) < plain.rate_m2_l
    assert (typed.own_rate, rate_of(typed)) == (True, 9)
    # 13 m2 twice at 9 m2/L are 2.889 L; 15 % of what is taken stays in the long roller
    net, lost = litres_of(typed)
    assert net == pytest.approx(2 * 13 / 9)
    assert lost == pytest.approx(net / 0.85 - net)
    (once,) = made(block, {**WALLS, "walls": ["back"], "rate_m2_l": 9, "coats": 1})[0]
    assert litres_of(once)[0] == pytest.approx(13 / 9)
    # a litre 5 mm deep at the most, and a film of any thickness above nothing
    for key, least in (("rate_m2_l", 0.2), ("film_um", 1), ("film_um", 5000)):
        assert len(made(block, {**WALLS, "walls": ["back"], key: least})[0]) == 1
    for fields, word in (
        ({"rate_m2_l": 0.19}, "a spreading rate of 0.19 m2/L covers nothing"),
        ({"rate_m2_l": 0.25, "film_um": 5001}, "a film of 5,001 um is none"),
        ({"rate_m2_l": 0}, "a spreading rate of 0 m2/L covers nothing"),
        ({"coating": "floor-coating-two-part", "film_um": 0}, "a film of 0 um is none"),
        ({"coating": "gold"}, "there is no coating 'gold'"),
        ({"texture": "velvet"}, "there is no texture 'velvet'"),
        ({"walls": ["attic"]}, "one of its walls is not in the room"),
    ):
        found, gathered = made(block, {**WALLS, **fields})
        assert found == []
        assert word in gathered.problems[0]
    assert (
        "is not made for the ceiling"
        in made(block, {**CEILING, "coating": "dust-sealer"})[1].says[0]
    )


def test_a_typed_film_is_that_of_the_coating_it_was_typed_for() -> None:
    # masonry is sealed first, with a film of its own
    every = made(room_of("dense-block"), {**WALLS, "walls": ["back"]})[0]
    typed = made(room_of("dense-block"), {**WALLS, "walls": ["back"], "film_um": 90})[0]
    assert [coat.coating.key for coat in typed] == [coat.coating.key for coat in every]
    for coat, before in zip(typed, every, strict=True):
        own = coat.coating.key == "emulsion"
        assert coat.film_um == (90 if own else before.film_um)
        assert (coat.rate_m2_l == before.rate_m2_l) is not own
