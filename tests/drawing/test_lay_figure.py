"""The picture of a cut as the phone shows it: what the tape says is in it, none on another."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import combinations

import pytest
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from app.drawing.lay_figure import cut_picture
from app.drawing.lettering import width_of
from app.scene.build import build_scene
from app.takeoff.floor import floor_layout
from app.takeoff.lay_steps import lay_step
from app.units import Units
from app.usecases.files import samples

PLANS = {sample.key: sample.plan for sample in samples()}
RISES = 0.7
"""How high figures rise above their line, of the size of the letters; from memory."""


def figures(picture: str) -> tuple[list[tuple[str, BaseGeometry]], tuple[float, ...]]:
    """Return the box of each figure of the tape, and the box of the picture."""
    root = ET.fromstring(picture)
    left, top, wide, high = map(float, root.attrib["viewBox"].split())
    em = float(root.attrib["font-size"])
    found: list[tuple[str, BaseGeometry]] = []
    for text in root.iter():
        if "lay-tape" not in text.attrib.get("class", ""):
            continue
        words = "".join(text.itertext())
        x, y = float(text.attrib["x"]), float(text.attrib["y"])
        width = width_of(words, em, bold=True)
        anchor = text.attrib.get("text-anchor", "start")
        begins = x - {"start": 0, "middle": width / 2, "end": width}[anchor]
        found.append((words, box(begins, y - em * RISES, begins + width, y)))
    return found, (left, top, left + wide, top + high)


@pytest.mark.parametrize("units", ["metric", "feet"])
@pytest.mark.parametrize("key", sorted(PLANS))
def test_what_the_tape_says_is_inside_and_apart(key: str, units: Units) -> None:
    scene = build_scene(PLANS[key].model_copy(update={"units": units}))
    seen = 0
    for laying in scene.plan.fit_out.floors:
        layout = floor_layout(scene, laying, compare=False)
        for mat in layout.mats:
            step = lay_step(scene, layout.laid, mat)
            if not step.straight:
                continue
            told, (left, top, right, bottom) = figures(cut_picture(step, units, "cut"))
            assert len(told) == 2 * len(step.straight)
            seen += 1
            for words, place in told:
                x0, y0, x1, y1 = place.bounds
                assert (x0 >= left, y0 >= top, x1 <= right, y1 <= bottom) == (True,) * 4, words
            for (one, here), (other, there) in combinations(told, 2):
                assert not here.intersects(there), (mat.number, one, other)
    assert seen
