"""Lengths in feet stay whole on pages; what goes back from a form stays as it was.

That U+00A0 keeps a line from ending is the Unicode Standard's, annex 14 (class GL).
"""

import json
import re
import shutil
import subprocess
import unicodedata
from pathlib import Path
from typing import Any

import pytest

from app.model.plan import Plan
from app.units import parse_length_mm
from app.usecases.plans import Elbowroom
from app.web.whole_lengths import NO_BREAK, with_whole_lengths
from tests.web.building import plan_data

WRITTEN = Path("static/js/model/written.js")


def test_the_space_is_the_no_break_space_of_unicode() -> None:
    assert unicodedata.name(NO_BREAK) == "NO-BREAK SPACE"


@pytest.mark.parametrize(
    ("markup", "whole"),
    [
        ("<p>3&#39; 3 3/8&#34; wide</p>", "<p>3&#39;~3~3/8&#34; wide</p>"),
        ("<p>1 1/4&quot; and 7' 0\"</p>", "<p>1~1/4&quot; and 7'~0\"</p>"),
        ("<p>Ada&#39;s 2 benches, 3 1/2 hours</p>", "<p>Ada&#39;s 2 benches, 3 1/2 hours</p>"),
        ("<p>2.40 m</p>", "<p>2.40 m</p>"),
        # what goes back, is read by a script or is drawn stays as it is
        ('<input value="6&#39; 6 1/2&#34;">6&#39; 2', '<input value="6&#39; 6 1/2&#34;">6&#39;~2'),
        ("<i title=\"a > 6' 2\">6' 2</i>", "<i title=\"a > 6' 2\">6'~2</i>"),
        ("<textarea>6' 2</textarea>6' 2", "<textarea>6' 2</textarea>6'~2"),
        ("<script>\"6' 2\"</script><svg><text>6' 2</text></svg>",) * 2,
        ("<!-- it's 6' 2 -->6' 2", "<!-- it's 6' 2 -->6'~2"),
    ],
)
def test_only_running_text_is_kept_whole(markup: str, whole: str) -> None:
    assert with_whole_lengths(markup) == whole.replace("~", NO_BREAK)
    assert with_whole_lengths(with_whole_lengths(markup)) == with_whole_lengths(markup)


def test_a_page_in_feet_has_whole_lengths_and_fields_as_they_are_typed(
    client: Any, house: Elbowroom
) -> None:
    # 5000 mm are 196.85 in: 16 feet 4 7/8; 2400 mm are 94.49 in: 7 feet 10 1/2
    plan_id = house.create(Plan.model_validate(plan_data(units="feet"))).plan_id
    listed = client.get(f"/plan/{plan_id}/room?of=openings").text
    assert f"A, 16&#39;{NO_BREAK}4{NO_BREAK}7/8&#34;" in listed
    wall = client.get(f"/plan/{plan_id}/room?of=wall:back").text
    assert 'value="16&#39; 4 7/8&#34;"' in wall
    assert not re.search(f'"[^"<>]*{NO_BREAK}[^"<>]*"', wall)


@pytest.mark.parametrize("text", ["16' 4 7/8\"", "16 ft 4.875 in"])
def test_a_length_pasted_with_no_break_spaces_is_read(
    client: Any, house: Elbowroom, text: str
) -> None:
    pasted = text.replace(" ", NO_BREAK)
    # 16 x 304.8 + 4.875 x 25.4
    assert parse_length_mm(pasted, "feet") == pytest.approx(5000.625)
    plan_id = house.create(Plan.model_validate(plan_data(units="feet"))).plan_id
    body = {"edit": "wall-length", "of": "", "fields": {"wall": "back", "length": pasted}}
    assert client.post(f"/api/plans/{plan_id}/room", json=body).status_code == 200
    room = house.open(plan_id).plan.room
    assert room.wall_length_mm("back") == pytest.approx(5000.625, abs=0.7)


def test_the_desk_keeps_the_lengths_of_a_snag_whole() -> None:
    node = shutil.which("node")
    if node is None:
        pytest.skip("node is not on this machine: .ci/run puts it there")
    script = (
        "const {unbroken} = await import(process.argv[1]);"
        "console.log(JSON.stringify(unbroken(process.argv[2])))"
    )
    said = "3' 3 3/8\" to the rack; allow 1 1/4\". Ada's 2 benches."
    told = subprocess.run(
        [node, "--input-type=module", "-e", script, WRITTEN.resolve().as_uri(), said],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert json.loads(told.stdout) == with_whole_lengths(said)
    assert NO_BREAK in json.loads(told.stdout)
