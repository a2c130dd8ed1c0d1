"""Who else lives in the house, and leaving by a garage door: what is asked, and what follows."""

from __future__ import annotations

from collections.abc import Iterator

from app.checks.goes_together import is_plates
from app.checks.snag import Snag, lower
from app.checks.standing import kept_snags
from app.scene.build import Placed, Scene
from app.scene.naming import opening_name
from app.scene.routes import ways_out

_BELTS = frozenset({"run", "walk"})
_ON_END = "bar-holder"
_SPRUNG = frozenset({"canopy", "tracks", "sectional"})


def household(scene: Scene) -> Iterator[Snag]:
    """Yield a care for what hurts children and animals and for a way out that wants power.

    What the household has not said is asked where it matters.
    """
    yield from kept_snags(scene, "household", _household)


def _household(scene: Scene) -> Iterator[Snag]:
    yield from _children(scene)
    yield from _way_out(scene)
    yield from _balance(scene)


def _children(scene: Scene) -> Iterator[Snag]:
    said = scene.plan.room.fabric.children_or_animals
    for placed in scene.order:
        danger = None if said == "no" else _danger(placed)
        if danger is None:
            continue
        if said == "unknown":
            yield _ask("children", "whether children or animals live in the house")
            return
        yield Snag(
            code="children",
            severity="care",
            template="Children or animals live in the house: {}.",
            values=(danger,),
            pieces=(placed.piece.id,),
            names=(placed.name, "children and animals"),
            unit=None,
            where=placed.at,
        )


def _danger(placed: Placed) -> str | None:
    """Say what to do about a piece that hurts a child or an animal, None where it is no such."""
    kit, name = placed.kit, lower(placed.name)
    belt = (placed.piece.power_w or kit.power_w) and any(u.movement in _BELTS for u in kit.uses)
    if belt:
        return f"take the key out of the {name} and pull its plug when nobody trains"
    if kit.key == _ON_END:
        return f"a bar that stands on end or leans falls: strap it to the {name}, or lay it down"
    if is_plates(placed):
        return f"lay the {name} flat or keep it on pegs: a plate on edge rolls and falls"
    return None


def _way_out(scene: Scene) -> Iterator[Snag]:
    """Yield what concerns a garage door that is the only way out."""
    out = ways_out(scene)
    if not out or not all(shape.opening.is_garage_door for shape in out):
        return
    said = [shape.opening.opens_without_power for shape in out]
    if "yes" in said:
        return
    if "unknown" in said:
        yield _ask(
            "door-power", "whether the garage door, the only way out, opens from inside by hand"
        )
        return
    door = lower(opening_name(scene, out[0]))
    yield Snag(
        code="door-needs-power",
        severity="care",
        template="The {} is the only way out and does not open from inside without power: have a "
        "release fitted that is reached from inside.",
        values=(door,),
        names=(door, "way out"),
        unit=None,
        where=out[0].left,
    )


def _balance(scene: Scene) -> Iterator[Snag]:
    """Yield a note where the room is being lined and a sprung door may be lined with it."""
    room = scene.plan.room
    lined = room.ceiling.finish_mm > 0 or any(wall.lining_mm > 0 for wall in room.walls)
    if lined and any(opening.kind in _SPRUNG for opening in room.openings):
        yield Snag(
            code="door-balance",
            background=True,
            severity="note",
            template="Panels hung on the garage door change its balance: a garage door fitter sets "
            "it, and nobody else touches the springs.",
            names=("garage door",),
            unit=None,
        )


def _ask(what: str, question: str) -> Snag:
    return Snag(
        code=f"ask-{what}", question=True, severity="note", template="{}", values=(question,)
    )
