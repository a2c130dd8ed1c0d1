"""Hazards of the fabric: what to know before something is drilled, as one prompt."""

from __future__ import annotations

from collections.abc import Iterator

from app.checks.snag import Snag, is_many
from app.checks.standing import snags_of_plan
from app.published.register import published
from app.scene.build import Placed, Scene
from app.wording import lower, phrase

_MASONRY = frozenset(
    {
        "solid-brick",
        "dense-block",
        "hollow-block",
        "aerated-block",
        "single-skin-block",
        "concrete",
    }
)
_ON_WALL = frozenset({"wall", "wall-and-floor"})
_SPRUNG = frozenset({"canopy", "tracks", "sectional"})


def hazards(scene: Scene) -> Iterator[Snag]:
    """Yield one note of all that applies, and ask for what decides it."""
    yield from snags_of_plan(scene, "hazards", _hazards)


def _hazards(scene: Scene) -> Iterator[Snag]:
    room = scene.plan.room
    pieces = [placed for placed in scene.order if not placed.piece.stays]
    walls = any(p.kit.fixing in _ON_WALL for p in pieces)
    ceiling = any(p.kit.fixing == "ceiling" for p in pieces)
    bolted = any(p.piece.bolted for p in pieces)
    # a ledge or a batten carries the mirrors of the fit-out, however these are held
    walls = walls or bool(scene.plan.fit_out.mirrors)
    drilled = walls or ceiling or bolted
    tanked = any(wall.tanked for wall in room.walls)
    if bolted and room.fabric.post_tensioned == "unknown":
        yield _ask(
            "slab", "whether the slab is post-tensioned (a stamp by the door), before bolting"
        )
    if bolted and room.fabric.post_tensioned == "yes":
        yield _tendons([p for p in pieces if p.piece.bolted])
    if not drilled and not tanked:
        return
    old, year = room.fabric.built_before_2000, published("hazard.asbestos-before")
    if old != "yes" and not tanked:
        age = f"whether the house is older than {year:.0f} (asbestos, lead paint) and "
        yield _ask(
            "drilling",
            f"{'' if old == 'no' else age}where cables and pipes run, before anything is drilled",
        )
        return
    clauses = []
    if drilled:
        clauses.append("trace cables and pipes")
        if old != "no":
            clauses.append(
                f"boards, coatings and tiles from before {year:.0f} may hold asbestos and old "
                "paint lead: have them tested, do not sand"
            )
        masonry = walls and any(wall.construction in _MASONRY for wall in room.walls)
        if masonry or bolted or (ceiling and room.ceiling.construction == "slab"):
            clauses.append("the dust of block and concrete needs a mask and a vacuum")
        if any(opening.kind in _SPRUNG for opening in room.openings):
            clauses.append("leave the springs of the garage door alone")
    if tanked:
        clauses.append("make no holes in tanked walls, and have radon measured below ground")
    yield Snag(
        code="hazards",
        background=True,
        severity="note",
        template="Before drilling or sanding: {}.",
        values=("; ".join(clauses),),
        parts=tuple(phrase("{:cap}.", one) for one in clauses),
        names=("the fabric of the house",),
        unit=None,
        source_keys=("hazard.asbestos-before",),
    )


def _tendons(bolted: list[Placed]) -> Snag:
    """Return the care for what is to be bolted to a slab that holds tendons under tension."""
    names = " and the ".join(dict.fromkeys(lower(placed.name) for placed in bolted))
    return Snag(
        code="tendons",
        severity="care",
        template="The {} {} to be bolted to a post-tensioned slab: never drill it. Look for the "
        "stamp by the garage door, and ask its maker or an engineer how to hold it otherwise.",
        values=(names, "are" if len(bolted) > 1 or is_many(names) else "is"),
        pieces=tuple(placed.piece.id for placed in bolted),
        names=("post-tensioned slab",),
        unit=None,
        where=bolted[0].at,
    )


def _ask(what: str, question: str) -> Snag:
    return Snag(
        code=f"ask-{what}",
        question=True,
        severity="note",
        template="{}",
        values=(question,),
        source_keys=("hazard.asbestos-before",),
    )
