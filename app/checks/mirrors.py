"""Mirrors: their mass, how they are held, their lower edge, and the sockets behind them."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from app.checks.behind import wall_behind, wall_name
from app.checks.snag import Snag
from app.formulas.statics import glass_kg
from app.library.anchors import place
from app.model.room import Socket, WallConstruction
from app.model.situations import OUT
from app.published.register import published
from app.scales import MASS
from app.scene.build import Placed, Scene
from app.scene.tolerance import falls_short
from app.wording import Phrase, joined, lower, phrase

MIRROR = "mirror"
INTO: dict[WallConstruction, str] = {
    "timber-studs": " fixed to the studs, never to board",
    "metal-studs": " fixed to the studs, never to board",
}
"""What a ledge or batten is fixed to where the wall is board alone between."""


def mirrors(scene: Scene) -> Iterator[Snag]:
    """Yield one care for all mirrors that hang low or over a socket."""
    faulty = [(piece_id, faults) for piece_id, faults in _looked_at(scene) if faults]
    if faulty:
        yield _snag(scene, faulty)


def clean_mirrors(scene: Scene) -> dict[str, str]:
    """Return what to say of each mirror with nothing wrong, by id: its mass, how it is held."""
    return {
        piece_id: f"{lower(scene.placed[piece_id].name)}, "
        f"{MASS.words(mirror_kg(scene.placed[piece_id]), scene.plan.units)}, on a "
        f"ledge{_into(scene, piece_id)}, film behind, no glue on the film"
        for piece_id, faults in _looked_at(scene)
        if not faults
    }


def _into(scene: Scene, piece_id: str) -> str:
    wall, _ = wall_behind(scene, scene.placed[piece_id])
    return INTO.get(wall.wall.construction, "")


def _looked_at(scene: Scene) -> list[tuple[str, tuple[Phrase, ...]]]:
    looked_at = []
    for piece_id in scene.memo(("mirrors",), lambda: _mirrors(scene)):
        placed = scene.placed[piece_id]
        key = ("mirror", piece_id, *placed.at, placed.pose.angle_deg)
        looked_at.append((piece_id, scene.memo(key, partial(_faults, scene, placed))))
    return looked_at


def _mirrors(scene: Scene) -> tuple[str, ...]:
    return tuple(
        placed.piece.id
        for placed in scene.order
        if placed.kit.key == MIRROR and placed.piece.state != OUT and not placed.piece.stays
    )


def mirror_kg(placed: Placed) -> float:
    """Return the mass of a mirror in kg, of its own glass unless its mass is told."""
    # by its row: while it is out of the room it hangs nowhere and weighs as much
    ends = [place(anchor, placed.extent) for solid in placed.kit.solids for anchor in solid.z]
    thick = published("mirror.thickness-mm")
    return placed.piece.mass_kg or glass_kg(placed.extent.width_mm, max(ends) - min(ends), thick)


def edges_mm(placed: Placed) -> tuple[float, float]:
    """Return the lower and upper edge of what hangs, in mm above the bare floor."""
    lift = placed.lift_mm
    return float(placed.shape.low_mm.min()) + lift, float(placed.shape.high_mm.max()) + lift


def _least_mm(scene: Scene) -> float:
    """Return the lowest lower edge: above a plate on edge where there is a bar."""
    if not scene.bars.any():
        return published("mirror.bottom-low-mm")
    covering = scene.plan.room.floor.covering.thickness_mm
    return covering + published("plate.large-diameter-mm")


def _faults(scene: Scene, placed: Placed) -> tuple[Phrase, ...]:
    low, least = edges_mm(placed)[0], _least_mm(scene)
    faults = list(_over_sockets(scene, placed))
    if falls_short(low, least):
        why = "a plate on edge reaches {:bare}" if scene.bars.any() else "hang it from {:bare} up"
        # rounded, so that two mirrors hung alike say it once
        words = phrase("its lower edge is at {:mm}, {}", round(low, 1), phrase(why, least))
        faults.insert(0, words)
    return tuple(faults)


def _snag(scene: Scene, faulty: list[tuple[str, tuple[Phrase, ...]]]) -> Snag:
    pieces = tuple(piece_id for piece_id, _ in faulty)
    words = joined("; ", dict.fromkeys(fault for _, faults in faulty for fault in faults))
    least = _least_mm(scene)
    low = min(edges_mm(scene.placed[piece_id])[0] for piece_id in pieces)
    is_low = falls_short(low, least)
    return Snag(
        code="mirror",
        background=True,
        severity="care",
        template="{}: {}. It weighs {:kg}: ledge or channel, film behind, no glue on the film.",
        values=(
            scene.placed[pieces[0]].name,
            words,
            max(mirror_kg(scene.placed[piece_id]) for piece_id in pieces),
        ),
        pieces=pieces,
        names=("mirror",),
        measured=round(low) if is_low else None,
        required=round(least) if is_low else None,
        need=round(published("mirror.bottom-mm")) if is_low else None,
        where=scene.placed[pieces[0]].at,
        source_keys=(
            "mirror.bottom-mm",
            "mirror.bottom-low-mm",
            "mirror.glass-kg-per-m2-per-mm",
            "mirror.thickness-mm",
        ),
    )


def _over_sockets(scene: Scene, placed: Placed) -> Iterator[Phrase]:
    wall, _ = wall_behind(scene, placed)
    for _ in covered_sockets(scene, placed):
        yield phrase("it covers a socket on {}", wall_name(scene, wall))


def covered_sockets(scene: Scene, placed: Placed) -> Iterator[Socket]:
    """Yield the sockets that what hangs on a wall covers: nobody gets a plug in there."""
    wall, gap = wall_behind(scene, placed)
    if gap > published("fixing.off-wall-mm"):
        return
    start = scene.plan.room.wall_ends(wall.id)[0]
    along = wall.along
    at = (placed.at[0] - start[0]) * along[0] + (placed.at[1] - start[1]) * along[1]
    half = placed.extent.width_mm / 2
    low, high = edges_mm(placed)
    for socket in scene.plan.room.sockets:
        level = socket.wall == wall.id and low < socket.height_mm < high
        if level and abs(socket.offset_mm - at) < half:
            yield socket
