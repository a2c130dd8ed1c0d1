"""The SVG writer: what a name holds stays a name, whatever it holds."""

from hypothesis import given
from hypothesis import strategies as st

from app.drawing.ink import Style
from app.drawing.primitives import Circle, Group, Line, Pattern, Text
from app.drawing.svg import document, fragment
from tests.drawing.reading import SVG, parse


@given(st.text(max_size=40))
def test_any_words_stay_words(words: str) -> None:
    root = parse(fragment([Text((1, 2), words, "label")], {}))
    text = root.find(f"{SVG}text")
    assert text is not None
    assert list(text) == []
    kept = (text.text or "").replace("\r", "\n")
    shown = [c for c in words if c.isprintable()]
    assert [c for c in kept if c.isprintable()] == shown


def test_markup_in_a_name_is_escaped() -> None:
    svg = fragment([Text((0, 0), "<script>alert(1)</script>", "label")], {"class": "figure"})
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in svg
    assert "<script" not in svg


def test_inks_are_classes_in_a_page_and_attributes_in_a_file() -> None:
    line = [Line((0, 0), (1, 0), "wall cut")]
    look = {"wall": Style(stroke="#111", width_mm=2), "cut": Style(width_mm=3)}
    in_page = parse(fragment(line, {}))[0].attrib
    in_file = parse(document(line, {}, look, title="t")).find(f"{SVG}line")
    assert in_page["class"] == "wall cut"
    assert "stroke" not in in_page
    assert in_file is not None
    assert "class" not in in_file.attrib
    assert (in_file.get("stroke"), in_file.get("stroke-width")) == ("#111", "3")


def test_groups_move_turn_and_scale_in_that_order() -> None:
    group = Group(
        (Circle((0, 0), 5, "dark"),), "piece", (("piece", "rack-1"),), (10, 20), 30, 1 / 48
    )
    made = parse(fragment([group], {}))[0]
    assert made.get("transform") == "translate(10 20) rotate(30) scale(0.0208333333333)"
    assert made.get("data-piece") == "rack-1"


def test_patterns_have_the_ids_they_are_given() -> None:
    pattern = Pattern("hatch-wall", 100, 45, (((0, 0), (0, 100)),), "hatch-line")
    made = parse(fragment([], {}, [pattern])).find(f"{SVG}defs/{SVG}pattern")
    assert made is not None
    assert made.get("id") == "hatch-wall"
    assert made.get("patternTransform") == "rotate(45)"


def test_numbers_inside_a_scale_are_as_fine_on_the_paper_as_those_outside() -> None:
    inside = Line((1234.56789, -0.001), (0.0, 100.0), "dim")
    made = parse(document([Group((inside,), scale=1 / 100), inside], {}, {}, title="t"))
    scaled, bare = made.findall(f".//{SVG}line")
    assert [scaled.get(key) for key in ("x1", "y1", "x2", "y2")] == ["1234.57", "0", "0", "100"]
    assert [bare.get(key) for key in ("x1", "y1")] == ["1234.5679", "-0.001"]
