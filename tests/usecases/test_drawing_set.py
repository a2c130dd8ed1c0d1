"""The set: every sheet by its name, all of them numbered through behind a cover."""

import io
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest

from app.cli import SHEETS, main
from app.drawing.sheets.templates import has_templates
from app.errors import NotFoundError
from app.usecases.drawing_set import DRAWN, SET, draw_named, names_of, usual_paper
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample, sheet


def test_the_command_line_offers_what_there_is() -> None:
    assert (*DRAWN, SET) == SHEETS


def test_sheets_are_numbered_through_and_listed_on_the_cover() -> None:
    of = sample("upstairs-room")
    chosen = ("plan", "headroom", "quantities")
    whole = draw_named(of, SET, "A3", None, chosen)
    count = len(whole.pages)
    assert [page.number for page in whole.pages] == [f"{i + 1} of {count}" for i in range(count)]
    words = [t.words for t in seen(parse(whole.inside[0]))]
    listed = [words[words.index(name) - 1] for name in ("Plan", "Headroom", "Quantities")]
    # a sheet of the set leaves to the cover what that says
    under = replace(of, fields=replace(of.fields, cover=True))
    for number, key in zip(listed, chosen, strict=True):
        single = sheet(under, key).pages[0]
        assert whole.pages[int(number) - 1].width_mm == single.width_mm
        assert whole.pages[int(number) - 1].ground == single.ground
    assert "Setting out" not in words


@pytest.mark.long
def test_the_set_is_one_pdf(tmp_path: Path) -> None:
    plan = Path(__file__).resolve().parents[2] / "sample_rooms" / "upstairs-room.json"
    out = tmp_path / "set.pdf"
    assert main(["draw", str(plan), "--sheet", "set", "--paper", "A3", "-o", str(out)]) == 0
    pages = pypdf.PdfReader(io.BytesIO(out.read_bytes())).pages
    assert len(pages) > len(DRAWN)
    told = " ".join(pages[0].extract_text().split())
    assert "Cover" in told
    assert f"1 of {len(pages)}" in told


def test_what_things_cost_is_drawn_only_where_it_may_be_seen() -> None:
    of = sample("upstairs-room")
    assert ("costs", "Costs") in names_of(of.plan)
    assert ("costs", "Costs") not in names_of(of.plan, money=False)
    shut = type(of)(of.judged, of.account, of.fields, money=False)
    with pytest.raises(NotFoundError):
        draw_named(shut, "costs", "A4", None)
    with pytest.raises(NotFoundError):
        draw_named(of, "sofa", "A4", None)


def test_lists_are_printed_on_the_small_paper() -> None:
    assert usual_paper("metric", "quantities") == "A4"
    assert usual_paper("feet", "costs") == "Letter"
    assert usual_paper("metric", "plan") == "A3"
    assert usual_paper("feet", "set") == "Tabloid"


def test_the_cover_tells_what_all_of_it_comes_to_and_when_it_is_ready() -> None:
    of = sample("upstairs-room")
    words = [t.words for t in seen(parse(draw_named(of, SET, "A3", None).inside[0]))]
    sums = [t.words for svg in sheet(of, "costs").inside for t in seen(parse(svg))]
    assert words[words.index("all of it together") + 1] == sums[sums.index("Together") + 1]
    charts = [t.words for svg in sheet(of, "works").inside for t in seen(parse(svg))]
    day = words[words.index("first training") + 1]
    assert f"First training: {day}" in charts
    # in full size and left out of a whole set: the cover says that there are some
    assert ("Templates, printed by themselves" in words) is has_templates(of.plan)
    # what is not among the chosen sheets is not told, nor money to who may not see it
    few = draw_named(of, SET, "A3", None, ("plan",)).inside[0]
    assert "all of it together" not in few
    assert "first training" not in few
    shy = draw_named(
        replace(of, money=False, prices=False), SET, "A3", None, ("plan", "costs")
    ).inside[0]
    assert "all of it together" not in shy


def test_costs_and_kit_share_a_sheet_of_the_set_and_tell_each_piece_once() -> None:
    of = sample("double-garage")
    whole = draw_named(of, SET, "A3", None, ("costs", "kit"))
    words = [t.words for t in seen(parse(whole.inside[-1]))]
    assert "Costs and kit" in words
    # fourteen pieces, of which the freezer stays where it is: no kit to be bought
    bought = [placed for placed in of.scene.order if not placed.piece.stays]
    assert len(bought) == 13
    for placed in bought:
        at = words.index(placed.name)
        assert words.count(placed.name) == 1
        assert words[at + 1].startswith("€")
    # both sums of the kit are the same, and one of the two parts of all
    together = words[words.index("Kit") + 1]
    assert words[words.index("To be ordered, 13") + 1].startswith(f"{together}, ")
    listed = [t.words for t in seen(parse(whole.inside[0]))]
    assert listed[listed.index("Costs and kit") - 1] == str(len(whole.pages))
    # who may not see money has the kit alone
    shy = draw_named(replace(of, money=False, prices=False), SET, "A3", None, ("costs", "kit"))
    assert "€" not in "".join(shy.inside)
