"""Fit-out and money by typed fields: one command each, undone exactly, faults by field."""

import pytest

from app.changes.commands import apply, inverse
from app.errors import CommandError, PlanError
from app.forms.fit_edits import edit_fit
from app.forms.fit_edits_floor import low_pieces
from app.forms.money_edits import edit_money
from app.forms.typed_fields import Typed
from app.forms.typed_money import typed_sum, written_sum
from app.model.plan import Plan
from tests.builders import make_plan, make_room, place

PLAN = make_plan(
    place("chest-freezer", 4000, 600, piece_id="freezer", stays=True),
    place("flat-bench", 1500, 2000, piece_id="bench"),
    room=make_room(5000, 4000),
)
MAT = {
    "kind": "mat", "material": "rubber", "length": "1 m", "width": "1 m", "thickness": "20 mm",
    "price": "34", "pack": "1",
}  # fmt: skip


def done(name: str, plan: Plan = PLAN, /, **fields: str) -> Plan:
    command = edit_fit(plan, name, fields)
    assert command is not None
    after = apply(plan, command)
    assert apply(after, inverse(command)) == plan
    return after


def faults(name: str, plan: Plan = PLAN, /, **fields: str) -> dict[str, str]:
    with pytest.raises(PlanError) as caught:
        edit_fit(plan, name, fields)
    return {fault.field: fault.sentence for fault in caught.value.faults}


def test_a_floor_is_added_and_the_headroom_counts_with_its_thickness() -> None:
    after = done("add-floor", **MAT)
    (laying,) = after.fit_out.floors
    assert (laying.id, laying.length_mm, laying.price_minor) == ("floor-1", 1000, 3400)
    assert after.room.floor.covering.material == "rubber"
    assert after.room.floor.covering.thickness_mm == 20


def test_a_zone_leaves_the_room_covering_alone() -> None:
    zone = {"zone": "back", "zone_long": "2 m", "zone_wide": "1.5 m", "zone_along": "0.5"}
    after = done("add-floor", **MAT, **zone)
    # from the back left corner (0, 0) 500 along the back wall, 2000 long, 1500 into the room
    assert after.fit_out.floors[0].zone == ((500, 0), (2500, 0), (2500, 1500), (500, 1500))
    assert after.room.floor.covering.material == "bare"


def test_a_low_thing_is_let_into_a_floor_and_no_other() -> None:
    data = PLAN.model_dump()
    own = (
        place("platform", 2500, 2500, height=40),
        place("platform", 2500, 2500, piece_id="high", height=80),
        place("mat-space", 1000, 3000, piece_id="space"),
        place("bar-20", 2500, 2500, piece_id="bar", on_floor=True),
    )
    room = Plan.model_validate(data | {"pieces": [*data["pieces"], *(p.model_dump() for p in own)]})
    assert {piece.id for piece in low_pieces(room)} >= {"platform", "high"}
    assert not {piece.id for piece in low_pieces(room)} & {"bench", "freezer", "bar"}
    plan = done("add-floor", room, **MAT)
    after = done("floor.floor-1", plan, **MAT, flush_platform="yes", flush_bench="yes")
    assert after.fit_out.floors[0].flush == ("platform",)
    assert done("floor.floor-1", after, **MAT).fit_out.floors[0].flush == ()


def test_how_a_floor_is_laid() -> None:
    plan = done("add-floor", **MAT)
    how = {"start_wall": "right", "start_end": "left", "along": "across", "joints": "balanced"}
    after = done("floor.floor-1", plan, **MAT, **how, gap="10 mm", under_freezer="yes")
    laying = after.fit_out.floors[0]
    assert (laying.start_wall, laying.start_end, laying.along) == ("right", "left", False)
    assert (laying.joints, laying.gap_mm, laying.under) == ("balanced", 10, ("freezer",))


def test_another_product_keeps_the_way_of_laying() -> None:
    plan = done("floor.floor-1", done("add-floor", **MAT), **MAT, start_wall="right", turns="yes")
    tile = {**MAT, "kind": "tile", "length": "500 mm", "width": "500 mm"}
    laying = done("floor-product.floor-1", plan, **tile).fit_out.floors[0]
    assert (laying.kind, laying.length_mm, laying.start_wall) == ("tile", 500, "right")


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"pack": "0"}, "pack", "1 or more"),
        ({"kerf": "-3"}, "kerf", "less than nothing"),
        ({"length": "long"}, "length", "cannot be read as a length"),
        ({"thickness": ""}, "thickness", "missing"),
        ({"price": "12 GBP"}, "price", "is in GBP, the plan's money is EUR"),
        ({"price": "-4"}, "price", "less than nothing"),
        ({"mass": "0"}, "mass", "more than nothing"),
        ({"zone": "north"}, "zone", "choose a wall"),
    ],
)
def test_what_is_wrong_with_a_floor_names_its_field(
    changes: dict[str, str], field: str, words: str
) -> None:
    plan = done("add-floor", **MAT)
    assert words in faults("floor.floor-1", plan, **{**MAT, **changes})[field]


def test_paint_on_some_walls() -> None:
    fields = {"surface": "walls", "wall_back": "yes", "coating": "oil-paint", "coats": "3"}
    (job,) = done("add-paint", **fields, colour="white", film_um="40").fit_out.paint
    assert (job.walls, job.coating, job.coats) == (("back",), "oil-paint", 3)
    assert (job.colour, job.film_um, job.rate_m2_l) == ("white", 40, None)


def test_paint_on_all_walls_names_none() -> None:
    every = {f"wall_{wall.id}": "yes" for wall in PLAN.room.walls}
    (job,) = done("add-paint", surface="walls", **every).fit_out.paint
    assert job.walls == ()


def test_a_rate_of_nothing_covers_nothing() -> None:
    assert "covers nothing" in faults("add-paint", surface="walls", rate_m2_l="0")["rate_m2_l"]
    assert "whole" in faults("add-paint", surface="walls", coats="1.5")["coats"]


def test_strip_mirror_and_projection() -> None:
    plan = done("add-strip", wall="back", **{"from": "0.5"}, long="3 m", height="2.2", kerf="2 mm")
    run = plan.fit_out.strips[0]
    assert (run.points, run.kerf_mm) == (((500, 2200), (3500, 2200)), 2)
    plan = done("add-mirror", plan, wall="right", offset="1 m", width="2.4 m", height="1.5 m")
    assert plan.fit_out.mirrors[0].width_mm == 2400
    plan = done("add-projection", plan, wall="left", middle="2 m", aspect="4:3")
    assert plan.fit_out.projections[0].aspect == 1.33
    plan = done("remove-mirror.mirror-1", plan)
    assert plan.fit_out.mirrors == ()


def test_a_strip_past_the_end_of_its_wall() -> None:
    said = faults("add-strip", wall="back", long="6 m", height="2.2")["long"]
    assert said == "it would end 6.00 m along a wall that is 5.00 m long"


def test_light_and_measuring() -> None:
    plan = done("light", wanted_lux="400", fitting="panel-600", other="batten-1500")
    assert plan.fit_out.light is not None
    assert plan.fit_out.light.wanted_lux == 400
    assert done("no-light", plan).fit_out.light is None
    plan = done("general", measured_by="over-2-5-m2", celsius="12")
    assert plan.fit_out.nothing_assumed
    assert plan.fit_out.painted_at_c == 12


def test_nothing_changed_is_no_command() -> None:
    plan = done("add-floor", **MAT)
    assert edit_fit(plan, "floor.floor-1", {**MAT, "turns": "yes"}) is None


def test_what_is_gone_is_a_conflict_in_words() -> None:
    with pytest.raises(CommandError, match="no longer in the plan"):
        edit_fit(PLAN, "remove-paint.paint-7", {})
    with pytest.raises(CommandError):
        edit_fit(PLAN, "roof", {})


@pytest.mark.parametrize(
    ("text", "currency", "minor"),
    [
        ("32.50", "EUR", 3250),
        ("32,5", "EUR", 3250),
        ("€1,234.50", "EUR", 123450),
        ("1 234,50", "EUR", 123450),
        ("12 eur", "EUR", 1200),
        ("- 0 €", "EUR", 0),
        ("1’234’567", "EUR", 123456700),
        ("1\u202f234,50 EUR", "EUR", 123450),
        ("1200", "JPY", 1200),
        ("1.234", "KWD", 1234),
        ("0", "GBP", 0),
    ],
)
def test_sums_as_people_write_them(text: str, currency: str, minor: int) -> None:
    typed = Typed({"price": text}, "metric")
    assert typed_sum(typed, "price", "the price", currency) == minor
    assert typed.faults == []
    again = Typed({"price": written_sum(minor, currency)}, "metric")
    assert typed_sum(again, "price", "the price", currency) == minor


@pytest.mark.parametrize(
    ("text", "currency"),
    [("1.234", "EUR"), ("12.345", "EUR"), ("1.5", "JPY"), ("cheap", "EUR"), ("nan", "EUR"),
     ("1e5", "EUR"), ("12€50", "EUR"), ("1.2.3", "EUR"), ("9" * 30, "EUR")],
)  # fmt: skip
def test_sums_that_cannot_be_read(text: str, currency: str) -> None:
    typed = Typed({"price": text}, "metric")
    assert typed_sum(typed, "price", "the price", currency) is None
    assert len(typed.faults) == 1


@pytest.mark.parametrize("text", ["12 13", "12 EUR 13", "12\n13", "12'13", "12 345 6", "1 234.5 6"])
def test_two_sums_in_one_field_are_refused_and_never_joined(text: str) -> None:
    typed = Typed({"price": text}, "metric")
    assert typed_sum(typed, "price", "the price", "EUR") is None
    (fault,) = typed.faults
    assert fault.sentence == "the price holds more than one number: give one sum, like 1234.50"


@pytest.mark.parametrize(
    "text", ["lots", "two hundred", "about 1500", "cheap", "600 all in", "12 abc", "EURO 5"]
)
def test_words_are_no_money_of_another_country(text: str) -> None:
    typed = Typed({"price": text}, "metric")
    assert typed_sum(typed, "price", "the price", "EUR") is None
    (fault,) = typed.faults
    assert fault.sentence == "the price cannot be read: write it like 1234.50"


@pytest.mark.parametrize(("text", "code"), [("12 GBP", "GBP"), ("chf 5", "CHF"), ("£5", "£")])
def test_a_sum_in_other_money_says_whose_it_is(text: str, code: str) -> None:
    typed = Typed({"price": text}, "metric")
    assert typed_sum(typed, "price", "the price", "EUR") is None
    (fault,) = typed.faults
    assert fault.sentence == f"the price is in {code}, the plan's money is EUR: give it in EUR"


def money(name: str, plan: Plan = PLAN, /, **fields: str) -> Plan:
    command = edit_money(plan, name, fields)
    assert command is not None
    after = apply(plan, command)
    assert apply(after, inverse(command)) == plan
    return after


def test_a_price_is_typed_and_taken_back() -> None:
    plan = money("price.emulsion-5l", price="42,50", delivery="4.90")
    (price,) = plan.money.prices
    assert (price.id, price.minor, price.delivery_minor) == ("emulsion-5l", 4250, 490)
    assert money("price.emulsion-5l", plan, price="").money.prices == ()


def test_where_a_piece_stands() -> None:
    plan = money("entry.piece.bench", standing="bought", second_hand="yes", whole="80")
    (entry,) = plan.money.entries
    assert (entry.id, entry.standing, entry.second_hand) == ("piece.bench", "bought", True)
    assert entry.minor == 8000
    # as it would count anyway is not kept
    assert money("entry.piece.bench", plan, standing="to-come").money.entries == ()


def test_terms() -> None:
    fields = {"tax": "19", "with_tax": "no", "rounding": "total-down", "budget": "2000"}
    plan = money("terms", **fields, contingency="12,5")
    told = plan.money
    assert (told.tax_percent, told.prices_with_tax, told.budget_minor) == (19, False, 200000)
    assert (told.tax_rounding, told.contingency_percent) == ("total-down", 12.5)
    with pytest.raises(PlanError, match="three letters"):
        edit_money(PLAN, "terms", {"currency": "EURO"})


def test_a_pack_of_nothing_and_a_pack_without_a_price() -> None:
    with pytest.raises(PlanError, match="holds nothing"):
        edit_money(PLAN, "price.emulsion-5l", {"price": "40", "pack": "0"})
    with pytest.raises(PlanError, match="the price is missing"):
        edit_money(PLAN, "price.emulsion-5l", {"price": "", "delivery": "5"})
