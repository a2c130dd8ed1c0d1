"""Light strip is where the plan has it: on the plan, in section and picture."""

import numpy as np
import pytest

from app.drawing.picture import picture
from app.drawing.picture_view import View
from app.drawing.primitives import Polyline
from app.drawing.wall_strips import lit_runs
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample, sheet


@pytest.mark.parametrize("key", ["basement", "double-garage"])
def test_a_strip_is_drawn_along_its_wall(key: str) -> None:
    of = sample(key)
    room = of.scene.room
    for one in lit_runs(of.scene):
        wall = next(w for w in room.walls if w.id == one.run.wall)
        for (x, y, z), (along, high) in zip(one.corners, one.run.points, strict=True):
            assert z == high
            # so far along the wall from its corner, a little off its face
            past = np.array([x - wall.wall.x_mm, y - wall.wall.y_mm])
            assert past @ np.array(wall.along) == pytest.approx(along)
            assert 0 < past @ np.array(wall.inward) - wall.wall.lining_mm < 50
    drawn = sheet(of, "plan")
    lines = [
        t
        for svg in drawn.inside
        for element in parse(svg).iter()
        if element.get("data-strip") is not None
        for t in seen(element)
    ]
    assert len(lines) == len(of.plan.fit_out.strips) > 0
    (run,) = of.plan.fit_out.strips
    long = sum(abs(b[0] - a[0]) for a, b in zip(run.points, run.points[1:], strict=False))
    wide = np.ptp(np.array(lines[0].points), axis=0).max()
    assert wide == pytest.approx(long, abs=1)
    assert "light strip" in [t.words for svg in drawn.svgs for t in seen(parse(svg))]


def test_a_strip_is_in_the_picture_at_its_height() -> None:
    scene = sample("double-garage").scene
    (one,) = lit_runs(scene)
    view = View(0)
    wanted = [tuple(map(round, point)) for point in view.flat(np.array(one.corners)).tolist()]
    ghosts = [g for g in picture(scene, view).ghosts.children if isinstance(g, Polyline)]
    assert wanted in [[tuple(map(round, point)) for point in g.points] for g in ghosts]


def test_a_section_that_looks_at_its_wall_shows_it() -> None:
    of = sample("double-garage")
    (one,) = lit_runs(of.scene)
    drawn = sheet(of, "section")
    lines = [
        t
        for svg in drawn.inside
        for element in parse(svg).iter()
        if element.get("data-strip") == one.run.id
        for t in seen(element)
    ]
    # the back wall is looked at across the room alone
    assert len(lines) == len(one.corners) - 1
    heights = {round(-y) for t in lines for _, y in t.points}
    assert heights == {round(z) for _, _, z in one.corners}
