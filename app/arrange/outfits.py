"""Kit for what is wanted and cannot be done here: whole, with what goes with it, where it fits.

A rack is no way to press or squat without its bar, and a press none without a bench: what is bought
for it is all of that, or what lies about here goes on it. Nothing is offered under a bar that does
not catch it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from app.arrange.joining import joined, usual_bar, ways_in
from app.arrange.offer import fits
from app.arrange.swaps import Proposal
from app.budget import Budget
from app.changes.commands import adds, apply
from app.changes.difference import difference
from app.checks.goes_together import is_plates
from app.checks.missing_kit import still_to_get_for
from app.checks.snag import Snag
from app.library.kit import KitType, kit_types
from app.model.base import json_of
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.model.room_walls import fresh_id
from app.scene.build import Placed, Scene, build_scene
from app.wording import lower

KITS_AT_MOST = 3
"""Kinds of kit that are tried for a movement, those that cost least first: of what stands, and of
what hangs on a wall."""
_CAUGHT = frozenset({"bench-press", "squat"})
"""Movements with a bar over a body."""
_PLATES, _BENCH, _BENCHES = "iron-plates", "flat-bench", "Benches"


class _Outfit:
    """A plan as it becomes piece by piece, and what was got for it in words."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.got: list[str] = []
        self.then: list[str] = []

    def add(self, kit: KitType, pose: Pose, **fields: Any) -> str:
        """Put a new piece into the plan. Returns its id."""
        key = fresh_id(kit.key, {piece.id for piece in self.plan.pieces})
        piece = Piece(id=key, type=kit.key, pose=pose, **fields)
        self.plan = apply(self.plan, adds([piece]))
        self.got.append(f"a {lower(kit.name)}")
        return key

    def lay(self, placed: Placed, host: str, pose: Pose, words: str) -> None:
        """Put a piece that lies about into or onto another."""
        data = json_of(self.plan)
        for piece in data["pieces"]:
            if piece["id"] == placed.piece.id:
                piece |= {"pose": json_of(pose), "carried_by": host, "on_floor": False}
        self.plan = Plan.model_validate(data)
        self.then.append(words.format(lower(placed.name)))

    @property
    def says(self) -> str:
        """What is to be got, and what is then to be done with it."""
        *more, last = self.got
        what = f"{', '.join(more)} and {last}" if more else last
        them = "them" if more else "it"
        first = f"Get {what}: there is a place for {them}."
        return " ".join([first, *(f"{one}." for one in self.then)])


def whole_sets(scene: Scene, snag: Snag, budget: Budget) -> Iterator[Proposal]:
    """Yield what to get for all that a person wants and that no kit here is made for."""
    person = next((one for one in scene.plan.people if one.id == snag.person), None)
    wanted = still_to_get_for(scene, person) if person is not None else ()
    for kit in _made_for(wanted[0]) if wanted else ():
        outfit = _Outfit(scene.plan)
        if all(
            _got(outfit, movement, [kit] if number == 0 else _made_for(movement), budget)
            for number, movement in enumerate(wanted)
        ):
            command = difference(scene.plan, outfit.plan, "edit", outfit.says)
            if command is not None:
                yield outfit.says, command


def place_for(scene: Scene, kit: KitType, budget: Budget) -> Pose | None:
    """Return where a kit type goes, beside or on what it belongs to first; None for nowhere."""
    there = joined(scene, kit.key, budget=budget)
    if there is not None:
        return there.pose
    offer = fits(scene, kit.width_mm, kit.depth_mm, kit.height_mm, kit.key, budget)
    return offer.place if offer.fits else None


def _made_for(movement: str) -> list[KitType]:
    """Return the kinds of kit for a movement, what stands before what a wall has to hold."""
    made = [kit for kit in kit_types().values() if _serves(kit, movement)]
    made.sort(key=lambda kit: (kit.price_minor is None, kit.price_minor or 0))
    standing = [kit for kit in made if not kit.for_wall][:KITS_AT_MOST]
    return standing + [kit for kit in made if kit.for_wall][:KITS_AT_MOST]


def _got(outfit: _Outfit, movement: str, kits: list[KitType], budget: Budget) -> bool:
    """Put kit for a movement into a plan, unless what was got serves. Returns if it could."""
    scene = build_scene(outfit.plan)
    host = next((p for p in scene.order if _serves(p.kit, movement)), None)
    if host is None:
        for kit in kits:
            pose = place_for(scene, kit, budget)
            if pose is not None:
                key = outfit.add(kit, pose, bolted=kit.fixing == "bolt")
                if kit.fixing == "bolt":
                    outfit.then.append(f"Bolt the {lower(kit.name)} down")
                host = build_scene(outfit.plan).placed[key]
                break
        else:
            return False
    if movement not in _CAUGHT:
        return True
    barred = bool(host.kit.bar) or _barred(outfit, host, budget)
    return barred and (movement != "bench-press" or _benched(outfit, host))


def _serves(kit: KitType, movement: str) -> bool:
    """Return whether a kind of kit is made for a movement, and catches what is over a body."""
    return any(use.movement == movement for use in kit.uses) and (
        movement not in _CAUGHT or kit.catches is not None
    )


def _barred(outfit: _Outfit, host: Placed, budget: Budget) -> bool:
    """Give a rack its bar, one that lies about before a new one, and plates. Returns if it could.

    What has a bar of its own takes none.
    """
    scene = build_scene(outfit.plan)
    if not host.kit.rests or any(p.kit.bar for p in scene.stations[host.root]):
        return True
    for placed in _loose(scene):
        poses = ways_in(host, placed.kit) if placed.kit.bar is not None else ()
        if poses:
            outfit.lay(placed, host.piece.id, poses[0], "Lay the {} on it")
            break
    else:
        usual = usual_bar(scene, host)
        if usual is None:
            return False
        kit, poses = usual
        outfit.add(kit, poses[0], carried_by=host.piece.id)
    if not any(is_plates(placed) for placed in scene.order):
        stack = kit_types()[_PLATES]
        pose = place_for(build_scene(outfit.plan), stack, budget)
        if pose is None:
            return False
        outfit.add(stack, pose)
    return True


def _benched(outfit: _Outfit, host: Placed) -> bool:
    """Give a rack its bench, one that stands about before a new one. Returns if it could."""
    scene = build_scene(outfit.plan)
    if any(p.kit.group == _BENCHES for p in scene.stations[host.root]):
        return True
    for placed in _loose(scene):
        poses = ways_in(host, placed.kit) if placed.kit.group == _BENCHES else ()
        if poses:
            outfit.lay(placed, host.piece.id, poses[0], "Put the {} in it")
            return True
    kit = kit_types()[_BENCH]
    poses = ways_in(host, kit)
    if not poses:
        return False
    outfit.add(kit, poses[0], carried_by=host.piece.id)
    return True


def _loose(scene: Scene) -> Iterator[Placed]:
    """Yield what is carried by nothing, carries nothing and may be moved."""
    for placed in scene.order:
        alone = len(scene.stations[placed.root]) == 1
        if alone and not (placed.piece.stays or placed.piece.pinned):
            yield placed
