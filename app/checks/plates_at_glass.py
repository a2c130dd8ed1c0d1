"""Glass beside the plates of a bar in its rack: what slides off a sleeve, or rolls, meets it."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import LineString
from shapely.affinity import translate

from app.checks.loading import SLEEVES, racked
from app.checks.sleeves import heights_of_plates, slid_over
from app.checks.snag import Snag
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.doors import OpeningShape
from app.scene.tolerance import HALF_MM, falls_short
from app.wording import lower

_AMPLE = "bar-end.ample-mm"


def plates_at_glass(scene: Scene) -> Iterator[Snag]:
    """Yield a note for each end of a bar beside whose plates there is glass of the room.

    Mirrors are the business of `mirrors`.
    """
    panes = [shape for shape in scene.room.openings if shape.opening.has_glass]
    for bar in scene.order if panes else ():
        if not racked(scene, bar):
            continue
        low, high = heights_of_plates(bar)
        for name, way in SLEEVES:
            plates = translate(slid_over(bar, way), *bar.at)
            near = [
                (plates.distance(LineString([pane.left, pane.right])) - HALF_MM, i)
                for i, pane in enumerate(panes)
                if pane.opening.sill_mm < high
                and pane.opening.sill_mm + pane.opening.height_mm > low
            ]
            away, number = min(near, default=(float("inf"), 0))
            if falls_short(away, published(_AMPLE)):
                yield _snag(bar, name, panes[number], max(away, 0.0))


def _snag(bar: Placed, name: str, pane: OpeningShape, away_mm: float) -> Snag:
    opening = pane.opening
    return Snag(
        code=f"plates-at-glass-{name}",
        while_training=True,
        severity="note",
        template="Plates at its {} end come as near as {:mm} to the glass of the {}: keep {:bare}, "
        "or hang a board before it.",
        values=(
            name,
            away_mm,
            lower(opening.label or ("window" if opening.kind == "window" else "door")),
            published(_AMPLE),
        ),
        pieces=(bar.piece.id,),
        names=(bar.name, f"{name} end"),
        measured=round(away_mm),
        required=round(published(_AMPLE)),
        where=bar.at,
        opening=opening.id,
        source_keys=(_AMPLE,),
    )
