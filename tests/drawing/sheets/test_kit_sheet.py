"""The kit on paper by hand: what is alike in one row, what is owned, and none of the house."""

import re
from dataclasses import replace

import pytest

from app.costs.cost import costs
from app.drawing.sheets.kit import kit_sheet
from app.model.kit import Piece
from app.model.money import Entry, Money
from app.scene.build import Scene
from app.takeoff.quantities import take_off
from app.units import Units
from app.usecases.drawing_set import draw_named
from tests.builders import place
from tests.drawing.sheets.judged import sample
from tests.drawing.sheets.test_costs_sheet import words_of
from tests.takeoff.making import scene_of

KIT = (
    place("jump-box", 1000, 1000, piece_id="a").model_copy(update={"mass_kg": 25.0}),
    place("jump-box", 2000, 1000, piece_id="b").model_copy(update={"mass_kg": 25.0}),
    place("bar-20", 1000, 3000, piece_id="c"),
    place("bike", 3000, 3000, piece_id="d").model_copy(
        update={"label": "Old bike", "mass_kg": 41.5}
    ),
    place("chest-freezer", 4500, 4500, piece_id="e", stays=True),
)
OWNED = Entry(id="piece.d", standing="owned")
PAID = Entry(id="piece.c", standing="bought", minor=9900)


def told(scene: Scene, money: bool = True, **when: str) -> list[str]:
    priced = costs(scene, take_off(scene))
    return words_of(kit_sheet(scene, priced, when, money=money).pages[0].items)


def kept(*pieces: Piece) -> Scene:
    return scene_of(*pieces, money=Money(entries=(PAID, OWNED)))


def test_each_thing_has_its_size_mass_price_standing_and_day() -> None:
    words = told(kept(*KIT), a="order by 1 March 2027", b="order by 1 March 2027", d="never")
    at = words.index("2 × Jump box")
    # two boxes of 80 at the library's guide price, each 25 kg
    assert words[at + 1] == "€160.00"
    assert words[at + 2] == "500 × 600 × 750 mm, 25 kg each; order by 1 March 2027"
    at = words.index("Bar 20 kg")
    assert (words[at + 1], words[at + 2]) == ("€99.00", "2200 × 450 × 450 mm, 20 kg; paid")
    at = words.index("Old bike")
    assert words[at + 1] == "owned"
    assert words[at + 2].endswith("41.5 kg; owned")
    assert not any("freezer" in word.lower() for word in words)


def test_a_mirror_is_bought_by_its_glass_not_by_how_high_it_hangs() -> None:
    hung = place("mirror", 2000, 15, piece_id="m", width=800)
    words = told(kept(hung))
    # by hand: from its ledge at 500 up to 2000; 0.8 × 1.5 m of 6 mm at 2.5 kg/m² a mm are 18 kg
    # (2500 kg/m³: EN 572-1, soda-lime glass, from memory)
    assert words[words.index("Mirror") + 2] == "800 × 30 × 1500 mm, 18 kg; to be ordered"
    assert words[words.index("To be ordered, 1") + 1].endswith(", 18 kg")


def test_what_it_comes_to_by_how_it_stands() -> None:
    words = told(kept(*KIT))
    for row, sums in (
        ("To be ordered, 2", "€160.00, 50 kg"),
        ("Paid, 1", "€99.00, 20 kg"),
        ("Owned already, 1", "42 kg"),
    ):
        assert words[words.index(row) + 1] == sums
    assert "Ordered, 0" not in words
    # nothing at all is said too
    assert "No kit stands on this plan yet." in told(kept(KIT[-1]))


def test_boxes_that_are_ordered_on_two_days_stand_in_two_rows() -> None:
    words = told(kept(*KIT), a="order by 1 March 2027")
    assert words.count("Jump box") == 2
    assert "2 × Jump box" not in words


def test_whoever_may_not_see_money_sees_none() -> None:
    words = told(kept(*KIT), money=False)
    assert "2 × Jump box" in words
    assert not any("€" in word for word in words)
    of = sample("upstairs-room")
    assert "€" not in "".join(
        draw_named(replace(of, money=False, prices=False), "kit", "A4", None).inside
    )


@pytest.mark.parametrize(("units", "size"), [("metric", " mm, "), ("feet", '", ')])
def test_sizes_are_in_the_units_of_the_plan(units: Units, size: str) -> None:
    of = sample("upstairs-room", units)
    inside = "".join(draw_named(of, "kit", "A4", None).inside)
    # what is still to come says its day, for whoever may change the plan
    assert "order by " in inside
    assert "order by " not in "".join(
        draw_named(replace(of, fields=replace(of.fields, statures=False)), "kit", "A4", None).inside
    )
    assert size in "".join(words_of(draw_named(of, "kit", "A4", None).pages[0].ground))


def test_masses_are_in_pounds_where_sizes_are_in_feet() -> None:
    # 1 lb = 0.45359237 kg (the international pound, 1959): 25 kg are 55.1 lb, 20 kg 44.1
    scene = sample("single-garage", "feet").scene
    words = words_of(kit_sheet(scene, costs(scene, take_off(scene)), {}).pages[0].items)
    masses = [word for word in words if " lb; " in word]
    assert len(masses) == sum(1 for one in scene.order if not one.piece.stays)
    assert not any(re.search(r"\d kg;", word) for word in words)
    total = sum(one.piece.mass_kg or one.kit.mass_kg for one in scene.order) / 0.45359237
    assert any(word.endswith(f", {total:.0f} lb") for word in words)
    assert "Bar 20 kg (44 lb)" in words
