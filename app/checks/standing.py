"""Puts snags that hang on the plan alone, and so are kept, to where their piece stands now."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from app.checks.snag import Snag
from app.scene.build import Scene


def snags_of_plan(
    scene: Scene, name: str, find: Callable[[Scene], Iterable[Snag]]
) -> Iterator[Snag]:
    """Yield what a check finds that no pose matters to: found once a revision, not in a drag."""
    for snag in scene.memo((name,), lambda: tuple(find(scene))):
        if snag.pieces:
            at = scene.placed[snag.pieces[0]].at
            yield snag if snag.where == at else replace(snag, where=at)
        else:
            yield snag
