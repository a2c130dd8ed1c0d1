"""The incline of a belt where nobody has said it: asked for, with what steeper ones would cost."""

from __future__ import annotations

import math
from collections.abc import Iterator

from app.checks.footing import grade_is_open
from app.checks.headroom import person_name
from app.checks.snag import Snag
from app.checks.spots import SHUT, best_spot, spots
from app.published.register import published
from app.scene.build import Placed, Scene
from app.units import PERCENT
from app.wording import Phrase, lower, phrase


def ask_grade(scene: Scene) -> Iterator[Snag]:
    """Ask at which incline a machine is run on where somebody wants to and nobody has said."""
    if not any(person.wish_for("run") in ("want", "nice") for person in scene.plan.people):
        return
    for placed in scene.order:
        if grade_is_open(placed):
            yield Snag(
                code="ask-grade",
                question=True,
                severity="note",
                template="the steepest incline at which the {} is used (taken as flat{})",
                values=(lower(placed.name), _steep(scene, placed)),
                unit=None,
                source_keys=("run.grade-assumed", "run.grade-usual-most", "run.pivot-to-foot-mm"),
            )


def _steep(scene: Scene, placed: Placed) -> Phrase:
    """Say from which incline on somebody who runs has no margin left, if others run steeper."""
    places = [one for one in spots(scene).get("run", ()) if one.placed.piece.id == placed.piece.id]
    steepest, who = published("run.grade-usual-most"), ""
    lever = published("run.pivot-to-foot-mm")
    for person in scene.plan.people if places else ():
        spare = best_spot(scene, person, tuple(places), SHUT)[0].spare_need_mm
        if person.wish_for("run") not in ("want", "nice") or not 0 <= spare < lever:
            continue
        grade = math.tan(math.asin(spare / lever))
        if grade < steepest:
            steepest, who = grade, person_name(person, scene.plan.units)
    words = "; over {:.0%} {} has no margin overhead"
    return phrase(words, math.floor(steepest * PERCENT) / PERCENT, who) if who else phrase("")
