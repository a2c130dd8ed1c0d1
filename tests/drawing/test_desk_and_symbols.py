"""The desk's figure and the shelf's symbols keep what the page's scripts and styles rely on."""

import re

import pytest
import shapely

from app.drawing.desk import desk_figure
from app.drawing.lettering import width_of
from app.drawing.symbol import symbol
from app.library.kit import kit_types
from app.model.situations import with_out
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place
from tests.drawing.reading import SVG, parse
from tests.layouts import good_layout


def test_layers_of_the_desk() -> None:
    root = parse(desk_figure(build_scene(good_layout())).svg)
    assert root.get("class") == "figure"
    layers = [element.get("class") for element in root.findall(f"{SVG}g")]
    assert layers == [
        "layer-floor",
        "layer-walls",
        "layer-mats",
        "layer-low",
        "layer-doors",
        "layer-dims",
        "layer-spaces",
        "layer-kit",
        "layer-notes",
    ]
    assert root.get("data-room") == "0.00 0.00 5320.00 5180.00"
    ids = {element.get("id") for element in root.iter(f"{SVG}pattern")}
    assert ids == {"hatch-space", "hatch-wall", "hatch-stay"}


def test_pieces_can_be_moved_by_their_transform() -> None:
    root = parse(desk_figure(build_scene(good_layout())).svg)
    pieces = {e.get("data-piece"): e for e in root.iter() if e.get("class") == "piece"}
    assert len(pieces) == 14
    assert pieces["bar"].get("data-station") == "rack"
    assert pieces["dumbbells"].get("transform") == "translate(290 3150) rotate(270)"
    (layer,) = [e for e in root if e.get("class") == "layer-spaces"]
    spaces = {e.get("data-piece"): e.get("transform") for e in layer}
    assert spaces == {key: e.get("transform") for key, e in pieces.items()}


def test_a_station_is_named_once_and_upright() -> None:
    root = parse(desk_figure(build_scene(good_layout())).svg)
    names = {}
    for piece in (e for e in root.iter() if e.get("class") == "piece"):
        for name in (e for e in piece if e.get("class") == "name"):
            names[piece.get("data-piece")] = (name[0].text, name.get("transform"))
    assert names["rack"] == ("Mid rack and 3 more", None)
    assert names["dumbbells"] == ("Dumbbell rack of 2 tiers", "rotate(-270)")
    assert len(names) == 11


def test_low_things_are_drawn_under_high_ones() -> None:
    root = parse(desk_figure(build_scene(good_layout())).svg)
    order = [e.get("data-piece") for e in root.iter() if e.get("class") == "piece"]
    assert order[0] == "mat"
    assert order.index("bench") < order.index("bar") < order.index("rack")


def test_a_car_that_is_out_while_people_train_hides_nothing_of_what_is_there_then() -> None:
    car, mat = place("car", 1500, 2500), place("mat-space", 1500, 1000, piece_id="mat")
    plan = make_plan(
        car, mat, place("flat-bench", 1500, 2500, piece_id="bench"), room=make_room(3000, 5200)
    )
    away = plan.model_copy(update={"situations": with_out(plan, "car", "Car")})
    for each, expected in ((plan, ["mat", "bench", "car"]), (away, ["mat", "car", "bench"])):
        root = parse(desk_figure(build_scene(each)).svg)
        order = [e.get("data-piece") for e in root.iter() if e.get("class") == "piece"]
        assert order == expected


def test_no_style_or_colour_in_the_page() -> None:
    svg = desk_figure(build_scene(good_layout())).svg
    assert "style" not in svg
    assert not re.search(r"#[0-9a-f]{3,6}\b(?!\))", svg)
    assert re.findall(r'fill="(?!url\(#hatch-)[^"]*"', svg) == []


def test_names_with_markup_stay_text() -> None:
    svg = desk_figure(build_scene(make_plan(place(label="<script>x</script>")))).svg
    assert "<script" not in svg
    assert "&lt;script&gt;" in svg


def test_plates_are_drawn_as_large_as_they_are() -> None:
    plan = make_plan(place("bar-20", plate=280, on_floor=True), room=make_room(6000, 6000))
    root = parse(desk_figure(build_scene(plan)).svg)
    (bar,) = [e for e in root.iter() if e.get("class") == "piece"]
    tall = []
    for shape in bar.iter(f"{SVG}polygon"):
        ys = [float(pair.split(",")[1]) for pair in (shape.get("points") or "").split()]
        tall.append(max(ys) - min(ys))
    # 280 mm: iron plates of 10 kg, common practice
    assert max(tall) == pytest.approx(280)


def test_what_stays_is_hatched() -> None:
    svg = desk_figure(build_scene(make_plan(place("chest-freezer", stays=True)))).svg
    assert 'class="thing stay"' in svg
    assert 'fill="url(#hatch-stay)"' in svg


@pytest.mark.parametrize("key", sorted(kit_types()))
def test_symbols_are_to_one_scale(key: str) -> None:
    kit = kit_types()[key]
    one, two = parse(symbol(kit, 31)), parse(symbol(kit, 62))
    assert one.get("aria-hidden") == "true"
    assert len(list(one)) >= 1
    # a pixel of air on each side does not grow with the scale
    wide_one, wide_two = float(one.get("width", "0")) - 2, float(two.get("width", "0")) - 2
    assert wide_two == pytest.approx(2 * wide_one, abs=0.3)
    assert wide_one <= kit.width_mm * 31 / 1000 * 1.3 + 1


def test_a_symbol_needs_a_scale() -> None:
    with pytest.raises(ValueError, match="show nothing"):
        symbol(kit_types()["plate-tree"], 0)


def test_a_note_on_a_height_hides_no_piece_but_what_lies_flat() -> None:
    scene = build_scene(good_layout())
    root = parse(desk_figure(scene).svg)
    (layer,) = [e for e in root if e.get("class") == "layer-notes"]
    (note,) = [e for e in layer.iter() if (e.text or "").startswith("Garage door when open")]
    # fifty-two letters go across the 5.32 m, notes are 0.85 of that size
    em = 5320 / 52 * 0.85
    wide, x, y = (width_of(note.text or "", em), *(float(note.get(a, "")) for a in "xy"))
    left = x - wide * {"middle": 0.5, "end": 1.0}.get(note.get("text-anchor", ""), 0.0)
    words = shapely.box(left, y - em * 0.7, left + wide, y + em * 0.2)
    met = {p.piece.id for p in scene.order if p.footprint.intersection(words).area > 0}
    # a mat is 10 mm high: words are read on it
    assert met <= {"mat"}
