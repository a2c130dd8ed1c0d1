"""Forms of a kit type at a real size, as plain numbers that geometry and drawing both use."""

from __future__ import annotations

from dataclasses import dataclass

from app.library.anchors import Extent, place
from app.library.kit import Form, KitType
from app.model.kit import Piece


@dataclass(frozen=True, slots=True)
class Flat:
    """A form in mm of the type's own frame: a ring of points, or a disc where radius_mm > 0."""

    points: tuple[tuple[float, float], ...]
    centre: tuple[float, float] = (0.0, 0.0)
    radius_mm: float = 0.0


def extent_of(piece: Piece, kit: KitType) -> Extent:
    """Return the real size of a piece: its own figures where given, else those of its row."""
    return Extent(
        piece.width_mm or kit.width_mm,
        piece.depth_mm or kit.depth_mm,
        piece.height_mm or kit.height_mm,
    )


def flat(form: Form, extent: Extent) -> Flat:
    """Return a form's ring or disc for a piece of this size."""
    if form.shape == "disc":
        assert form.centre is not None
        assert form.radius_mm is not None
        centre = (place(form.centre[0], extent), place(form.centre[1], extent))
        return Flat((), centre, form.radius_mm)
    if form.shape == "rect":
        assert form.x is not None
        assert form.y is not None
        x0, x1 = sorted(place(a, extent) for a in form.x)
        y0, y1 = sorted(place(a, extent) for a in form.y)
        return Flat(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
    return Flat(tuple((place(x, extent), place(y, extent)) for x, y in form.points))
