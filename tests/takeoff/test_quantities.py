"""The whole list: each sample room reads whole, opens to its working, and costs little time."""

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest

from app.model.base import json_of
from app.model.money import Money, Price
from app.model.plan import Plan
from app.model.room import Opening
from app.model.turning import turned_plan
from app.model.versions import load
from app.published.register import all_rows
from app.scene.build import Scene, build_scene
from app.takeoff.line import Bought, Line, Ready, Step, TakeOff
from app.takeoff.quantities import COLUMNS, as_csv, as_json, as_text, take_off
from app.wording import measure_in
from tests.builders import make_room, place, rectangle
from tests.rearranged import elsewhere, from_another_corner, in_reverse
from tests.takeoff.making import counted, scene_of
from tests.takeoff.test_hung import with_walls
from tests.thinned import one_of

SAMPLES = sorted((Path(__file__).resolve().parents[2] / "sample_rooms").glob("*.json"))


def sample(path: Path) -> Scene:
    return build_scene(load(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_sample_is_priced_and_packed_and_opens_to_its_working(path: Path) -> None:
    found = take_off(sample(path))
    assert {"floor", "paint", "light", "fixings", "small"} <= {line.part for line in found.lines}
    assert len({line.key for line in found.lines}) == len(found.lines)
    known = {row.key for row in all_rows()}
    for line in found.lines:
        assert line.to_buy >= line.net + line.waste - 1e-9, line.key
        assert line.cost_minor is not None, line.key
        assert line.working, line.key
        assert line.rate, line.key
        dotted = [step.key for step in line.working if "." in step.key]
        assert [key for key in dotted if key not in known] == []


def test_the_assumed_mats_weigh_what_rubber_weighs() -> None:
    # 1 m x 1 m x 20 mm of rubber weighs about 20 kg (1000 kg/m3)
    room = make_room(1000, 1000, covering=20)
    assert counted(room=room, nothing_assumed=False).line("floor.rubber").mass_kg == 20


def test_nothing_is_assumed_when_asked_not_to() -> None:
    assert counted(place("mid-rack"), room=make_room(covering=20)).lines == ()


def test_json_holds_every_line_with_its_sources() -> None:
    data = as_json(take_off(sample(SAMPLES[1])), "EUR")
    assert json.loads(json.dumps(data, allow_nan=False)) == data
    walls = next(line for line in data["lines"] if line["key"] == "paint.emulsion")
    sources = {step["source"] for step in walls["working"]}
    assert "Loss factors, a coating maker's note (quoted)" in sources


def test_what_all_weighs_is_told_to_a_tenth() -> None:
    # 0.14 and 1.13 kg are 1.27, told as 1.3
    lines = [
        Line(key=key, part="small", item=key, where="", net=1, waste=0, unit="piece", mass_kg=mass)
        for key, mass in (("a", 0.14), ("b", 1.13))
    ]
    assert as_json(TakeOff(tuple(lines)), "EUR")["mass_kg"] == 1.3


def test_csv_has_a_line_for_each_and_no_formulas() -> None:
    found = take_off(sample(SAMPLES[1]))
    rows = list(csv.reader(io.StringIO(as_csv(found, "EUR"))))
    assert rows[0] == list(COLUMNS)
    listed = [*(line.key for line in found.lines), *(one.key for one in found.ready)]
    assert [row[0] for row in rows[1:]] == listed


WHOLE = TakeOff(
    (
        Line(
            "paint.x", "paint", "Paint", "the back wall", 12.34567, 1.2, "L",
            (Bought("tin-5l", "5 L tin", 5, 3, 2550),), 18.46, "by the tin",
            (Step("wall", 10.1234567891, "m2", "paint.waste-ratio"), Step("coats", 2)),
            notes=("Stir it.",),
        ),
        Line("light.y", "light", "Fitting", "the ceiling", 2, 0, "pc", assumed=True),
    ),
    ("the ramp: no height",),
    ("Ask first.",),
    (Ready("have.broom", "Broom", "to clear the floor"),),
)  # fmt: skip
"""15 L for 12.346 and 1.2: 1.454 are left, 76.50; the fittings have no price."""


def test_every_cell_of_the_csv() -> None:
    heading, *rows = csv.reader(io.StringIO(as_csv(WHOLE, "EUR")))
    assert {len(row) for row in (heading, *rows)} == {14}
    assert rows == [
        ["paint.x", "Paint", "the back wall", "12.346", "1.2", "L", "15", "3 × 5 L tin", "1.454",
            "18.5", "76.50", "EUR", "no", "by the tin"],
        ["light.y", "Fitting", "the ceiling", "2", "0", "pc", "0", "", "0.0", "", "", "EUR", "yes",
            ""],
        ["have.broom", "Broom", "to clear the floor", "1", "0", "pc", *[""] * 7,
            "What you likely have: have it ready"],
    ]  # fmt: skip


def test_every_field_of_the_json() -> None:
    data = as_json(WHOLE, "EUR")
    assert {key: value for key, value in data.items() if key != "lines"} == {
        "currency": "EUR",
        "problems": ["the ramp: no height"],
        "says": ["Ask first."],
        "ready": [{"key": "have.broom", "item": "Broom", "where": "to clear the floor"}],
        "mass_kg": 18.5,
    }
    paint, light = data["lines"]
    wall, coats = paint.pop("working")
    assert (wall["label"], wall["value"], wall["unit"]) == ("wall", 10.1235, "m2")
    assert coats == {"label": "coats", "value": 2, "unit": "", "key": "", "source": ""}
    assert paint == {
        "key": "paint.x", "part": "paint", "item": "Paint", "where": "the back wall",
        "net": 12.346, "waste": 1.2, "unit": "L", "to_buy": 15, "left_over": 1.454,
        "packs": [{"key": "tin-5l", "name": "5 L tin", "told": "3 × 5 L tin", "size": 5, "count": 3,
            "price_minor": 2550, "guide": WHOLE.lines[0].bought[0].guide}],
        "mass_kg": 18.5, "cost_minor": 7650, "rate": "by the tin", "assumed": False,
        "notes": ["Stir it."],
    }  # fmt: skip
    assert (light["cost_minor"], light["assumed"], light["to_buy"]) == (None, True, 0)


def test_every_row_on_the_console() -> None:
    assert as_text(WHOLE, "EUR") == [
        "Paint and sealers",
        "  Paint: 12.35 + 1.20 L -> 3 × 5 L tin, €76.50; the back wall",
        "      Stir it.",
        "Light",
        "  Fitting (assumed): 2.00 + 0.00 pc -> nothing, no price; the ceiling",
        "What you likely have: have it ready",
        "  Broom: to clear the floor",
        "not counted: the ramp: no height",
        "note: Ask first.",
    ]


@pytest.mark.parametrize(
    ("currency", "asked", "written"),
    [("EUR", 91800, "918.00"), ("JPY", 91800, "91800"), ("KWD", 91800, "91.800")],
)
def test_a_cost_stands_in_the_money_of_its_column(currency: str, asked: int, written: str) -> None:
    """Decimals by ISO 4217: two of the euro, none of the yen, three of the dinar of Kuwait."""
    line = Line(
        "small.x", "small", "Mesh", "", 27, 0, "pc", (Bought("x", "roll", 1, 27, asked // 27),)
    )
    (row,) = csv.DictReader(io.StringIO(as_csv(TakeOff((line,)), currency)))
    assert (row["cost"], row["currency"]) == (written, currency)


def test_a_name_that_looks_like_a_formula_is_kept_text() -> None:
    strip = {"id": "s", "wall": "back", "points": ((0, 1), (900, 1)), "label": "=1+1"}
    text = as_csv(counted(room=make_room(), strips=[strip]), "EUR")
    cells = {cell for row in csv.reader(io.StringIO(text)) for cell in row}
    assert "'=1+1" in cells
    assert "=1+1" not in cells


def test_a_currency_without_guide_prices_has_none() -> None:
    found = counted(room=make_room(), currency="JPY", paint=[{"id": "w", "surface": "walls"}])
    assert found.line("paint.walls-emulsion").cost_minor is None
    assert found.line("paint.walls-emulsion").to_buy > 0


@pytest.mark.parametrize(
    ("material", "metric", "feet"),
    [
        # 3 m x 2 m and a tenth more for waste: 7 whole square metres, 7 x 10.764 = 75.3 sq ft
        ("vinyl", "7 m2 from the roll", "7 m2 (75 ft²) from the roll"),
        ("rubber", "7 m2", "7 m2 (75 ft²)"),
    ],
)
def test_what_is_sold_by_the_square_metre_is_asked_for_so(
    material: str, metric: str, feet: str
) -> None:
    room = make_room(3000, 2000, covering=3)
    covering = room.floor.covering.model_copy(update={"material": material})
    floor = room.floor.model_copy(update={"covering": covering})
    found = counted(room=room.model_copy(update={"floor": floor}), nothing_assumed=False)
    line = found.line(f"floor.{material}")
    assert line.packs_worded("metric") == metric
    assert line.packs_worded("feet") == feet
    assert f"{metric}," in "\n".join(as_text(found, "EUR"))


def test_packs_are_counted_by_the_piece() -> None:
    bought = Bought("masking-tape-50m", "50 m roll", 50, 2, 400)
    assert (bought.worded("metric"), bought.worded("feet"), bought.one) == (
        "2 × 50 m roll",
        "2 × 50 m (164 ft) roll",
        "50 m roll",
    )
    by_area = Bought("mirror-sheet-6-m2", "m2, cut to size", 1, 2, 6500)
    # 2 x 10.764 = 21.5
    assert by_area.worded("metric") == "2 m2, cut to size"
    assert by_area.worded("feet") == "2 m2 (22 ft²), cut to size"
    assert by_area.one == "1 m2, cut to size"


def test_rolls_are_asked_for_by_length_and_width() -> None:
    roll = {
        "id": "r", "kind": "roll", "material": "vinyl",
        "length_mm": 20_000, "width_mm": 2000, "thickness_mm": 3,
    }  # fmt: skip
    # 4 m of a roll as wide as the floor do
    line = counted(room=make_room(4000, 2000), floors=[roll]).line("floor.r")
    assert line.packs_worded("metric") == "1 × roll of 20.00 m, 2000 mm wide"


def test_a_plan_in_feet_buys_paint_by_the_gallon() -> None:
    # 1 US gallon is 231 cubic inches, 3.785 L; 12 m2/L are 489 ft2/gal (1 ft2/gal is 0.024542 m2/L)
    room = with_walls(make_room(5000, 4000), finish="plaster")
    scene = scene_of(room=room, paint=[{"id": "w", "surface": "walls"}], currency="USD")
    feet = build_scene(Plan.model_validate({**json_of(scene.plan), "units": "feet"}))
    here, there = (take_off(one).line("paint.emulsion") for one in (scene, feet))
    assert "gal" not in here.packs_worded("metric")
    assert " L " not in there.packs_worded("feet")
    assert there.to_buy >= there.net + there.waste
    rates = {(step.value, step.unit) for step in there.working if step.unit == "m2/L"}
    assert rates == {(12, "m2/L")}
    rate, unit = measure_in(12, "m2/L", "feet")
    assert (round(rate), unit) == (489, "ft2/gal")
    gallon, unit = measure_in(3.785411784, "L", "feet")
    assert (round(gallon, 9), unit) == (1, "gal")
    row = next(r for r in csv.DictReader(io.StringIO(as_csv(take_off(feet), "USD", "feet")))
               if r["key"] == "paint.emulsion")  # fmt: skip
    assert row["unit"] == "gal"


def test_a_tin_that_the_household_has_a_price_of_is_had_whatever_the_units() -> None:
    room = with_walls(make_room(5000, 4000), finish="plaster")
    money = Money(prices=(Price(id="emulsion-5l", minor=100),))
    scene = scene_of(
        room=room, paint=[{"id": "w", "surface": "walls"}], currency="USD", money=money
    )
    feet = build_scene(Plan.model_validate({**json_of(scene.plan), "units": "feet"}))
    assert "5 L (1.3 gal) tin" in take_off(feet).line("paint.emulsion").packs_worded("feet")


@pytest.mark.parametrize("name", one_of(4, [path.stem for path in SAMPLES[2:] + SAMPLES[:2]]))
@pytest.mark.parametrize("quarters", one_of(2, [1, 2]))
def test_a_room_turned_on_the_plan_takes_the_same(name: str, quarters: int) -> None:
    plan = next(sample(path) for path in SAMPLES if path.stem == name).plan
    before, after = (
        as_json(take_off(build_scene(one)), plan.currency)["lines"]
        for one in (plan, turned_plan(plan, quarters))
    )
    for one, other in zip(before, after, strict=True):
        # the middles of lights are told from the walls as they lie then
        left_out = {"notes"} if one["key"].startswith("light.") else set()
        assert {k: v for k, v in one.items() if k not in left_out} == {
            k: v for k, v in other.items() if k not in left_out
        }


@pytest.mark.parametrize("name", one_of(4, [path.stem for path in SAMPLES[::-1]]))
def test_a_room_elsewhere_on_the_paper_takes_the_same(name: str) -> None:
    plan = next(sample(path) for path in SAMPLES if path.stem == name).plan
    before, after = (
        as_json(take_off(build_scene(one)), plan.currency)["lines"]
        for one in (plan, elsewhere(plan))
    )
    assert before == after


@pytest.mark.parametrize("name", [path.stem for path in SAMPLES])
def test_what_is_written_in_another_order_takes_the_same(name: str) -> None:
    plan = next(sample(path) for path in SAMPLES if path.stem == name).plan
    before, after = (
        {
            # sums of walls differ by the rounding of floating point
            line.key: (*(round(x, 9) for x in (line.net, line.waste, line.mass_kg)), line.bought)
            for line in take_off(build_scene(one)).lines
        }
        for one in (plan, from_another_corner(in_reverse(plan), 2))
    )
    assert before == after


CROSSED = ((0, 0), (1000, 1000), (1000, 0), (0, 1000))
GOOD: dict[str, list[dict[str, Any]]] = {
    "floors": [
        {"id": "m", "zone": rectangle(0, 0, 2500, 4000), "thickness_mm": 20},
        {"id": "n", "zone": rectangle(3000, 0, 5000, 4000), "thickness_mm": 8},
    ],
    "paint": [
        {"id": "m", "surface": "walls", "coating": "emulsion"},
        {"id": "n", "surface": "floor", "coating": "floor-paint"},
        {"id": "o", "surface": "ceiling", "coating": "emulsion"},
    ],
    "strips": [{"id": "m", "wall": "back", "points": [(0, 2000), (1870, 2000)]}],
    "mirrors": [{"id": "m", "wall": "right", "offset_mm": 500, "width_mm": 2000}],
    "projections": [{"id": "m", "wall": "left", "middle_mm": 2000, "distance_mm": 2000}],
}
FAULTY: dict[str, list[dict[str, Any]]] = {
    "floors": [{"zone": CROSSED}],
    "paint": [{"surface": "walls", "coating": "none-such"}],
    "strips": [{"wall": "none-such", "points": [(0, 1000), (1870, 1000)]}],
    "mirrors": [{"wall": "none-such", "offset_mm": 500, "width_mm": 2000}],
    "projections": [
        {"wall": "none-such", "middle_mm": 2000},
        {"wall": "left", "middle_mm": 2000, "throw_ratio": 0},
        {"wall": "left", "middle_mm": 2000, "lumens": 0},
    ],
}


@pytest.mark.parametrize("before", [True, False])
@pytest.mark.parametrize("part", FAULTY)
def test_what_is_typed_wrong_is_named_and_takes_nothing_from_the_rest(
    part: str, before: bool
) -> None:
    door = Opening(id="d", wall="front", kind="hinged", offset_mm=800, width_mm=800, height_mm=2000)
    window = Opening(
        id="a", wall="back", kind="window", offset_mm=3000, width_mm=900, height_mm=900,
        sill_mm=900,
    )  # fmt: skip
    room = make_room(5000, 4000, 2400, openings=[window, door])
    # what is chosen stands in the order of its ids
    wrong = [
        {**each, "id": f"{'az'[not before]}{number}"} for number, each in enumerate(FAULTY[part])
    ]
    plain = counted(room=room, **GOOD)
    found = counted(room=room, **{**GOOD, part: [*GOOD[part], *wrong]})

    def of(took: TakeOff) -> dict[str, tuple[object, ...]]:
        return {
            line.key: (line.net, line.waste, line.bought, line.mass_kg, line.cost_minor)
            for line in took.lines
        }

    assert of(found) == of(plain)
    assert len(found.problems) == len(plain.problems) + len(wrong)
    assert len(found.says) == len(plain.says)


@pytest.mark.parametrize("name", one_of(4, [path.stem for path in SAMPLES[1:] + SAMPLES[:1]]))
def test_all_that_is_chosen_for_a_room_is_counted_and_said_alike_elsewhere(name: str) -> None:
    data = json_of(next(sample(path) for path in SAMPLES if path.stem == name).plan)
    data["fit_out"] = {
        **GOOD,
        "light": {"dirty": True},
        "seal": True,
        "paint": [
            *GOOD["paint"],
            {"id": "p", "surface": "walls", "walls": ["back"], "colour": "Red"},
        ],
    }
    plan = Plan.model_validate(data)
    here, there, turned = (
        take_off(build_scene(one)) for one in (plan, elsewhere(plan), in_reverse(plan))
    )
    texts = [as_json(took, "USD", "feet") for took in (here, there)]
    for line in (line for text in texts for line in text["lines"]):
        # of places that are as good as one another for a light another one may be taken
        line["notes"] = [] if line["key"].startswith("light.") else line["notes"]
    assert texts[0] == texts[1]
    figures = [
        {
            (line.key, line.net, line.waste, line.bought, line.mass_kg, line.assumed, step)
            for line in took.lines
            for step in line.working
        }
        for took in (here, turned)
    ]
    assert figures[0] == figures[1]
    assert len(here.problems) == len(turned.problems)
