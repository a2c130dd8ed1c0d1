"""What only lies on the floor: a mat or platform that is low enough to step over and stand on."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from app.library.kit import Space
from app.published.register import published
from app.scene.build import Placed, Scene

PLATFORM = "platform"
"""The type of a lifting platform."""


def is_layer(placed: Placed) -> bool:
    """Return whether a piece is a mere layer on the floor, however thick the covering under it.

    What is all deck and mat is stood on as high as it is made.
    """
    low = placed.extent.height_mm <= published("route.step-over-mm")
    return low or (placed.kit.key == PLATFORM and placed.in_use)


def is_floor(space: Space) -> bool:
    """Return whether a working space is floor that somebody moves on and that is all the piece."""
    return space.side == "area" and space.kind == "body"


def layers(scene: Scene) -> NDArray[np.bool_]:
    """Return which owners of solids are mere layers; fixed things are not. Nothing moves that."""
    return scene.memo(("layers",), lambda: _layers(scene))


def _layers(scene: Scene) -> NDArray[np.bool_]:
    low = [is_layer(placed) for placed in scene.order]
    return np.array([*low, *(False for _ in scene.fixed_names)], dtype=bool)
