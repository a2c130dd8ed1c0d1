"""The scenes of layouts in a search: each is made from the one judged before it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache, partial

from app.arranging.problem import Problem
from app.model.kit import Pose
from app.placing.layout import Layout
from app.placing.standing import station_poses
from app.scene.build import Scene

STOOD_AT_MOST = 4096
"""Stations where they stood of which the poses are remembered."""


class Scenes:
    """Makes poses and scenes of the layouts of one search: a step moves one or two of a dozen."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self._stood = lru_cache(maxsize=STOOD_AT_MOST)(partial(station_poses, problem.core.scene))
        self._near: tuple[tuple[str, ...], Mapping[str, Pose], Scene] = (), {}, problem.scene

    def poses(self, layout: Layout) -> dict[str, Pose]:
        """Return the poses of a layout."""
        there = [root for root in self.problem.free if root in layout.at]
        return {k: at for root in there for k, at in self._stood(root, layout.at[root]).items()}

    def at(self, poses: Mapping[str, Pose], missing: tuple[str, ...]) -> Scene:
        """Return the scene of poses, some stations missing, made from one a few moves off."""
        known, was, scene = self._near
        if known != missing:
            was, scene = {}, self.problem.without(missing).scene
        return scene.moved({key: pose for key, pose in poses.items() if was.get(key) != pose})

    def judged(self, poses: Mapping[str, Pose], missing: tuple[str, ...], scene: Scene) -> None:
        """Remember a scene to make the next ones from."""
        self._near = missing, poses, scene
