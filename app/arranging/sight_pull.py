"""What places promise of screens that are looked at, before a whole layout is scored."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from app.arranging.measures_around import HALF, SCREENS, looked_from, seen_well_mm
from app.placing.layout import Layout
from app.published.register import published
from app.scene.build import Scene
from app.scene.shapes import turn

Floats = NDArray[np.float64]


class SightPulls:
    """Says how well screens are seen where one of them or a machine stands, for one room."""

    def __init__(self, scene: Scene) -> None:
        machines = [placed.root for placed in looked_from(scene)]
        screens = [placed.root for placed in scene.order if placed.kit.key in SCREENS]
        self.of_machine = dict.fromkeys(machines, screens) if screens else {}
        self.of_screen = dict.fromkeys(screens, machines) if machines else {}
        self.scene = scene
        self.each = published("layout.sight.weight") / max(len(machines) * len(screens), 1)

    def of(self, root: str, turn_deg: float, points: Floats, layout: Layout) -> Floats:
        """Return what a station at each of some places gains by sight, in points, (n,)."""
        gained = np.zeros(len(points))
        for screen in self.of_machine.get(root, ()):
            at = layout.at.get(screen)
            if at is not None:
                there = np.array([(at.x_mm, at.y_mm)])
                gained += self._share(screen, there, at.turn_deg, points, turn_deg)
        for machine in self.of_screen.get(root, ()):
            at = layout.at.get(machine)
            if at is not None:
                there = np.array([(at.x_mm, at.y_mm)])
                gained += self._share(root, points, turn_deg, there, at.turn_deg)
        return self.each * gained

    def _share(
        self, screen: str, at: Floats, turn_deg: float, eyes: Floats, faces_deg: float
    ) -> Floats:
        """Return how well a screen is seen from where somebody looks one way, (n,)."""
        towards = at - eyes
        away = np.hypot(towards[:, 0], towards[:, 1])
        off = np.maximum(away, 1.0)
        ahead = towards @ np.array(turn(0.0, -1.0, faces_deg)) / off
        before = -towards @ np.array(turn(0.0, 1.0, turn_deg)) / off
        seen = (ahead >= np.cos(np.radians(published("layout.sight.aside-deg")))) & (
            before >= np.cos(np.radians(published("sight.screen.edge-on-deg")))
        )
        near, far = seen_well_mm(self.scene.placed[screen])
        share: Floats = np.where((away >= near) & (away <= far), 1.0, HALF) * seen
        return share
