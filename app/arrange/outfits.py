"""Kit for what is wanted and cannot be done here: whole, with what goes with it, where it fits.

A rack is no way to press or squat without its bar, and a press none without a bench: what is bought
for it is all of that, or what lies about here goes on it. Nothing is offered under a bar that does
not catch it.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import Any

from pydantic import JsonValue

from app.arrange.exchanged import exchanged
from app.arrange.joining import joined, usual_bar, ways_in
from app.arrange.offer import fits
from app.arrange.sense import may_be_another
from app.arrange.swaps import Proposal
from app.budget import Budget
from app.changes.commands import adds, apply, edits
from app.changes.difference import difference
from app.checks.alone import is_caught
from app.checks.goes_together import any_plates
from app.checks.missing_kit import still_to_get_for
from app.checks.snag import Snag, is_many
from app.checks.spots import served
from app.library.kit import KitType, kit_types
from app.model.base import json_of
from app.model.kit import Piece, Pose
from app.model.people import Person
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

    def edit(self, piece_id: str, **fields: JsonValue) -> None:
        """Have a piece otherwise."""
        self.plan = apply(self.plan, edits(self.plan, piece_id, "", **fields))

    def says_for(self, name: str) -> str:
        """What is to be got for a piece that is there already, and what is then to be done."""
        first = f"Get {_listed(self.got)} for the {name}." if self.got else ""
        return " ".join([first, *(f"{one}." for one in self.then)]).strip()

    @property
    def says(self) -> str:
        """What is to be got, and what is then to be done with it."""
        them = "them" if self.got[1:] else "it"
        first = f"Get {_listed(self.got)}: there is a place for {them}."
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
        ) and _still_served(scene, outfit, person, budget):
            command = difference(scene.plan, outfit.plan, "edit", outfit.says)
            if command is not None:
                yield outfit.says, command


def whole_stations(scene: Scene, snag: Snag, budget: Budget) -> Iterator[Proposal]:
    """Yield what makes a rack whole that lacks its bar, plates or bench.

    With what catches the bar, where somebody wants to be under it; for each pair of its hooks.
    Where that would leave somebody with a bar and nothing to press in, a rack comes in its place.
    """
    host = scene.placed[snag.pieces[0]]
    wanted = {key for key in _CAUGHT if any(p.wish_for(key) == "want" for p in scene.plan.people)}
    served_here = {use.movement for use in host.kit.uses}
    for hooks in range(len(host.kit.rests)):
        outfit = _Outfit(scene.plan)
        if not _barred(outfit, host, budget, hooks):
            continue
        if wanted & served_here and not is_caught(scene, host.root):
            outfit.edit(host.piece.id, catches=True)
            outfit.got.append("catches")
        after = served(build_scene(outfit.plan))
        pressed = "bench-press" in wanted & served_here and "bench-press" not in after
        if not pressed or _benched(outfit, host):
            yield from _as_one(scene, outfit, outfit.says_for(lower(host.name)))
    if wanted <= served_here or not may_be_another(scene, host):
        return
    wanted |= {"pull-up"} & served_here
    for kit in _made_for("bench-press"):
        if kit.group != host.kit.group or kit.for_wall or not wanted <= _movements(kit):
            continue
        outfit = _Outfit(scene.plan)
        outfit.plan = exchanged(outfit.plan, host.piece.id, kit, bolted=True)
        outfit.then.append(f"Bolt the {lower(kit.name)} down")
        rack = build_scene(outfit.plan).placed[host.piece.id]
        if _barred(outfit, rack, budget) and _benched(outfit, rack):
            got = [f"a {lower(kit.name)}", *outfit.got]
            first = f"Get {_listed(got)} in place of the {lower(host.name)}."
            yield from _as_one(
                scene, outfit, " ".join([first, *(f"{one}." for one in outfit.then)])
            )


def _still_served(scene: Scene, outfit: _Outfit, person: Person | None, budget: Budget) -> bool:
    """Give back what a person could do before a bar was taken from it. Returns if it could."""
    lost = served(scene) - served(build_scene(outfit.plan))
    mine = [key for key in sorted(lost & _CAUGHT) if person and person.wish_for(key) == "want"]
    return all(_got(outfit, movement, _made_for(movement), budget) for movement in mine)


def _it(host: Placed) -> str:
    return "them" if is_many(host.name) else "it"


def _as_one(scene: Scene, outfit: _Outfit, says: str) -> Iterator[Proposal]:
    command = difference(scene.plan, outfit.plan, "edit", says)
    if command is not None:
        yield says, command


def _movements(kit: KitType) -> set[str]:
    return {use.movement for use in kit.uses}


def _listed(things: list[str]) -> str:
    *more, last = things
    return f"{', '.join(more)} and {last}" if more else last


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


def _barred(outfit: _Outfit, host: Placed, budget: Budget, hooks: int = 0) -> bool:
    """Give a rack its bar, one that lies about before a new one, and plates. Returns if it could.

    What has a bar of its own takes none. `hooks` is the pair of them on which it comes to lie.
    """
    scene = build_scene(outfit.plan)
    if not host.kit.rests:
        return True
    if not any(p.kit.bar for p in scene.stations[host.root]):
        for placed in chain(_loose(scene), _uncaught(scene, host)):
            poses = ways_in(host, placed.kit) if placed.kit.bar is not None else ()
            if hooks < len(poses):
                outfit.lay(placed, host.piece.id, poses[hooks], f"Lay the {{}} on {_it(host)}")
                break
        else:
            kit, poses = usual_bar(scene, host) or (None, ())
            if kit is None or hooks >= len(poses):
                return False
            outfit.add(kit, poses[hooks], carried_by=host.piece.id)
    elif hooks:
        return False
    if not any_plates(scene):
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
            outfit.lay(placed, host.piece.id, poses[0], f"Put the {{}} in {_it(host)}")
            return True
    kit = kit_types()[_BENCH]
    poses = ways_in(host, kit)
    if not poses:
        return False
    outfit.add(kit, poses[0], carried_by=host.piece.id)
    return True


def _uncaught(scene: Scene, host: Placed) -> Iterator[Placed]:
    """Yield the bars on other stations where nothing catches them, as on a bench with uprights."""
    for placed in scene.order:
        if (
            placed.kit.bar is None
            or placed.kit.rests
            or placed.root in (placed.piece.id, host.root)
        ):
            continue
        if not (placed.piece.stays or placed.piece.pinned or is_caught(scene, placed.root)):
            yield placed


def _loose(scene: Scene) -> Iterator[Placed]:
    """Yield what is carried by nothing, carries nothing and may be moved."""
    for placed in scene.order:
        alone = len(scene.stations[placed.root]) == 1
        if alone and not (placed.piece.stays or placed.piece.pinned):
            yield placed
