"""A figure as it is shown: its markup, and which part of the plane it shows."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Framed:
    """An `<svg>` and its view box: left, top, width and height in mm, as the markup has them."""

    svg: str
    view_box: str


def through(figure: Framed, view_box: str) -> Framed:
    """Return a figure that shows another part of the plane."""
    was, wanted = f'viewBox="{figure.view_box}"', f'viewBox="{view_box}"'
    return Framed(figure.svg.replace(was, wanted, 1), view_box)
