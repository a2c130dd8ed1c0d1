"""Ways out by getting what is missing: catches, what makes a rack whole, kit where it fits."""

from __future__ import annotations

from collections.abc import Iterator

from app.arrange.outfits import whole_sets, whole_stations
from app.arrange.swaps import Proposal
from app.budget import Budget
from app.changes.commands import edits
from app.checks.alone import catch_heights, is_caught
from app.checks.goes_together import any_plates
from app.checks.snag import Snag
from app.published.register import published
from app.scene.build import Scene
from app.wording import joined, lower, phrase

_SQUAT = "squat"
_BEYOND = "rack.shaft-beyond-posts-mm"


def to_get(scene: Scene, snag: Snag, budget: Budget) -> Iterator[Proposal]:
    """Yield what to buy for a finding that says that something is missing."""
    if snag.lacks == "catches":
        yield from _catches(scene, snag)
    elif snag.lacks == "parts":
        yield from whole_stations(scene, snag, budget)
    elif snag.lacks == "kit":
        yield from whole_sets(scene, snag, budget)


def what_to_get(scene: Scene, snag: Snag) -> str | None:
    """Say what makes a rack whole where nothing of it was found to fit here; None of all else."""
    host = scene.placed[snag.pieces[0]] if snag.lacks == "parts" and snag.pieces else None
    if host is None or not host.kit.rests:
        return None
    missing: list[object] = []
    if not any(one.kit.bar is not None for one in scene.stations[host.root]):
        wider = host.extent.width_mm - host.kit.width_mm
        outside = max(rest.outside_mm for rest in host.kit.rests) + wider
        shaft = outside + published(_BEYOND)
        missing.append(phrase("a bar with a shaft of {:mm} or more", shaft))
    if not any_plates(scene):
        missing.append("plates")
    if not missing:
        return None
    words = "It takes {}. Where it stands now there is no room to use them: move it first."
    return phrase(words, joined(" and ", missing)).worded(scene.plan.units)


def _catches(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield catches that are fitted to what holds the bar, or plates that make do without them."""
    placed = scene.placed[snag.pieces[0]]
    if is_caught(scene, placed.root):
        # they are between the posts, and who lifts before those is out of their reach
        yield from _rubber_plates(scene, placed.root)
        return
    heights = catch_heights(scene, placed.root)
    name = lower(placed.name)
    use = "squat" if snag.movement == _SQUAT else "press"
    advice = phrase("Get catches for the {}, and set them before each {}.", name, use)
    if heights is not None:
        advice = phrase(
            "Get catches for the {}, and set them at {:bare} to {:mm}.",
            name,
            heights.least_mm,
            heights.most_mm,
        )
    sentence = advice.worded(scene.plan.units)
    yield sentence, edits(scene.plan, placed.piece.id, sentence, catches=True)
    if snag.movement == _SQUAT:
        yield from _rubber_plates(scene, placed.root)


def _rubber_plates(scene: Scene, root: str) -> Iterator[Proposal]:
    """Yield plates of rubber on the bar of a station: it may be dropped with them."""
    for bar in scene.stations[root]:
        if bar.kit.bar is not None and not bar.piece.bumper_plates:
            sentence = f"Use rubber plates on the {lower(bar.name)}, and drop it before you."
            yield sentence, edits(scene.plan, bar.piece.id, sentence, bumper_plates=True)
