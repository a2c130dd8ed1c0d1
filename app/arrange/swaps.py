"""Ways out that change what is done or used: another movement, smaller plates, another piece."""

from __future__ import annotations

import math
from collections.abc import Iterator
from collections.abc import Set as AbstractSet

from app.arrange.effort import ROUNDING_MM
from app.arrange.exchanged import exchanged
from app.arrange.joining import ways_in
from app.arrange.sense import may_be_another, may_move
from app.changes.commands import Change, Command, edits, wishes
from app.changes.difference import difference
from app.checks.bars import rest_pose
from app.checks.headroom import person_name, served_movements
from app.checks.snag import Snag
from app.checks.spot import PULL_UP_TUBE_MM
from app.library.anchors import place
from app.library.forms import extent_of
from app.library.kit import KitType, kit_types
from app.library.movements import movements
from app.model.base import json_of
from app.model.kit import Pose
from app.model.phases import without as leaving_out
from app.published.register import published
from app.scene.bar_lengths import shaft_range_mm
from app.scene.build import Placed, Scene, build_scene
from app.scene.footing import ON_A_BELT, bar_mm, grade_ratio
from app.scene.shapes import turn
from app.units import HALF_TURN_DEG, WHOLE_TURN_DEG
from app.wording import in_a_row, lower, phrase

Proposal = tuple[str, Command]
ASKEW_DEG = 1.0
"""A bench that is turned by more than this out of the line of its rack lies askew: nobody sets one
down more exactly."""


def proposals(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield what might mend a snag, the mildest first; each still goes before the full judge."""
    yield from _into_the_rack(scene, snag)
    yield from _straight_in_the_rack(scene, snag)
    yield from _stay_flat(scene, snag)
    if snag.meets == "height":
        yield from _in_front_of_it(scene, snag)
    elif snag.lacks == "hooks":
        yield from _onto_a_rest(scene, snag)
    elif snag.lacks == "shaft":
        yield from _other_bars(scene, snag)


def _into_the_rack(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Let a bench that stands alone between the posts of a rack be used with that rack."""
    racks = [p for p in scene.order if p.kit.rests and p.root == p.piece.id]
    for bench in scene.order:
        if bench.kit.group != "Benches" or bench.kit.rests or bench.root != bench.piece.id:
            continue
        for rack in racks:
            both = {bench.piece.id, rack.piece.id} <= set(snag.pieces)
            lacks = snag.lacks == "parts" and rack.piece.id in snag.pieces
            if not (both or lacks) or not _within(bench, rack):
                continue
            sentence = f"Use the {lower(bench.name)} with the {lower(rack.name)}, as one station."
            yield sentence, edits(scene.plan, bench.piece.id, sentence, carried_by=rack.piece.id)


def _straight_in_the_rack(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Turn a bench that lies across the rack it is used in to where one presses there."""
    for piece_id in snag.pieces:
        bench = scene.placed[piece_id]
        host = scene.placed.get(bench.piece.carried_by or "")
        if host is None or bench.kit.group != "Benches" or bench.kit.rests:
            continue
        poses = ways_in(host, bench.kit)
        now_deg = bench.pose.angle_deg
        askew_deg = [(now_deg - one.angle_deg + HALF_TURN_DEG) % WHOLE_TURN_DEG for one in poses]
        if poses and all(abs(one - HALF_TURN_DEG) > ASKEW_DEG for one in askew_deg):
            sentence = f"Turn the {lower(bench.name)} straight in the {lower(host.name)}."
            yield sentence, onto(scene, bench, host, poses[0], sentence)


def _stay_flat(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Use a belt flat whose incline lifts the runner into what hangs above."""
    if snag.meets != "height" or snag.movement not in ON_A_BELT:
        return
    for placed in scene.stations[snag.pieces[0]]:
        if grade_ratio(placed) > 0:
            sentence = f"Stay flat: use the {lower(placed.name)} without its incline."
            yield sentence, edits(scene.plan, placed.piece.id, sentence, grade_percent=0)


def _within(piece: Placed, host: Placed) -> bool:
    """Return whether the middle of a piece lies in the rectangle of its host."""
    x, y = turn(piece.at[0] - host.at[0], piece.at[1] - host.at[1], -host.pose.angle_deg)
    return abs(x) <= host.extent.width_mm / 2 and abs(y) <= host.extent.depth_mm / 2


def smaller_plates(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Use plates of less across on the bar of a station."""
    movement = movements().get(snag.movement or "")
    if movement is None or movement.held != "bar" or movement.shouldered:
        # who holds no bar lifts no plates
        return
    bar = next(
        (
            placed
            for placed in scene.order
            if placed.kit.bar is not None and snag.pieces and placed.root == snag.pieces[0]
        ),
        None,
    )
    small = published("plate.iron-10-diameter-mm")
    if bar is None or (bar.piece.plate_mm or published("plate.large-diameter-mm")) <= small:
        return
    sentence = phrase("Use plates of {:mm} across.", small).worded(scene.plan.units)
    yield sentence, edits(scene.plan, bar.piece.id, sentence, plate_mm=small)


def other_racks(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield racks and towers to get instead of one in which, or under which, the head meets."""
    if snag.meets == "height":
        yield from taller_racks(scene, snag)
        yield from _lower_racks(scene, snag)


def _in_front_of_it(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Hang a bar before the posts of a rack in which it is too low to squat."""
    # for a margin over the head nobody gives up what catches the bar
    shouldered = snag.movement and movements()[snag.movement].shouldered
    if snag.severity != "stop" or not shouldered:
        return
    rack = scene.placed[snag.pieces[0]]
    bars = [one for one in scene.stations[rack.piece.id] if one.kit.bar is not None]
    for rest in rack.kit.rests if bars and may_move(scene, rack.piece.id) else ():
        if place(rest.y, rack.extent) >= rack.extent.depth_mm / 2:
            x, y, angle = rest_pose(rack, rest)
            there = f"Hang the bar on the hooks in front of the {lower(rack.name)}"
            pose = Pose(x_mm=x, y_mm=y, angle_deg=angle)
            sentence = f"{there}, and squat there."
            yield sentence, onto(scene, bars[0], rack, pose, sentence)
            if not bars[0].piece.bumper_plates:
                # before the posts nothing catches it but the floor
                path = ("pieces", bars[0].piece.id, "bumper_plates")
                sentence = f"{there}, and squat there with rubber plates."
                rubber = Change(path=path, before=False, after=True)
                yield sentence, onto(scene, bars[0], rack, pose, sentence, rubber)


def taller_racks(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Take a rack whose rails and crossmember are higher over who lifts inside it."""
    host = scene.placed[snag.pieces[0]]
    inside = any(use.movement == snag.movement and use.inside for use in host.kit.uses)
    if not inside or not host.kit.rests or not may_be_another(scene, host):
        return
    taller = [
        kit
        for kit in kit_types().values()
        if kit.group == host.kit.group
        and kit.height_mm > host.extent.height_mm
        and kit.fixing == host.kit.fixing
        and kit.rests
        and any(use.movement == snag.movement and use.inside for use in kit.uses)
    ]
    for kit in sorted(taller, key=lambda kit: kit.height_mm):
        advice = phrase("Take the {} instead, {:mm} high.", lower(kit.name), kit.height_mm)
        yield instead(scene, host, kit, advice.worded(scene.plan.units))
        hung = next((use for use in host.kit.uses if use.movement == "pull-up"), None)
        if hung is not None and any(use.movement == "pull-up" for use in kit.uses):
            for bar in _bars_over(snag, host, bar_mm(host, hung)):
                words = "Take the {} instead, {:mm} high, with its pull-up bar at {:bare}."
                advice = phrase(words, lower(kit.name), kit.height_mm, bar)
                yield instead(scene, host, kit, advice.worded(scene.plan.units), bar_height_mm=bar)


def _bars_over(snag: Snag, host: Placed, bar: float) -> tuple[float, ...]:
    """Return how high the pull-up bar of another rack may be set: as now, for who hangs from it.

    Or higher, where who lifts under it needs that: with the margin first, then just so.
    """
    half = PULL_UP_TUBE_MM / 2 - host.lift_mm
    asked = [mark + half for mark in (snag.need, snag.required) if mark is not None]
    over = [max(math.ceil(one / ROUNDING_MM) * ROUNDING_MM, bar) for one in asked]
    return tuple(dict.fromkeys(over or [bar]))


def _lower_racks(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Take a rack or tower whose bar hangs lower under what the head meets over it."""
    host = scene.placed[snag.pieces[0]]
    wanted = {use.movement for use in host.kit.uses} & {
        wish.movement for person in scene.plan.people for wish in person.wishes if wish.wish != "no"
    }
    if snag.movement != "pull-up" or host.kit.for_wall or not may_be_another(scene, host):
        return
    lower_ones = [
        kit
        for kit in kit_types().values()
        if kit.group == host.kit.group
        and kit.height_mm < host.extent.height_mm
        and kit.fixing == host.kit.fixing
        and bool(kit.rests) == bool(host.kit.rests)
        and wanted <= {use.movement for use in kit.uses}
    ]
    for kit in sorted(lower_ones, key=lambda kit: -kit.height_mm):
        advice = phrase("Take the {} instead, {:mm} high.", lower(kit.name), kit.height_mm)
        yield instead(scene, host, kit, advice.worded(scene.plan.units))


def other_movements(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield movements of the same pattern for which something is here, the nearest first.

    What somebody has said no to comes last, and is told as that.
    """
    if snag.lacks != "height" or snag.severity != "stop":
        return
    assert snag.person is not None
    assert snag.movement is not None
    # what would need more kit mends nothing here
    served = served_movements(scene)
    (person,) = (one for one in scene.plan.people if one.id == snag.person)
    who = person_name(person, scene.plan.units)
    wanted = {movement for movement in movements() if person.wish_for(movement) == "want"}
    every = movements()[snag.movement].substitutes
    for other in sorted(every, key=lambda one: person.wish_for(one) == "no"):
        # what is wanted anyway stands for nothing else
        if other not in served or other in wanted:
            continue
        # read in a list of steps as well, where nothing beside it names who or what
        sentence = (
            f"{who} gives up {lower(movements()[snag.movement].name)} for "
            f"{lower(movements()[other].name)}."
        )
        if person.wish_for(other) == "no":
            sentence = f"{sentence.removesuffix('.')}, to which {who} has said no so far."
        words = {snag.movement.replace("-", "_"): "no", other.replace("-", "_"): "want"}
        yield sentence, wishes(scene.plan, snag.person, sentence, **words)


def put_away(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield what is in the way folded or put away while it is not used."""
    for piece_id in snag.pieces[1:]:
        placed = scene.placed[piece_id]
        for state in placed.kit.states if placed.piece.state is None else ():
            if not state.usable:
                sentence = f"Keep the {lower(placed.name)} {state.name} while it is not used."
                yield sentence, edits(scene.plan, piece_id, sentence, state=state.key)


def left_out(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield each station of a finding that may be moved left out of the plan, the smallest first.

    What it carries goes with it.
    """
    named = dict.fromkeys(scene.placed[piece].root for piece in snag.pieces)
    roots = [root for root in named if may_move(scene, root)]
    for root in sorted(roots, key=lambda root: scene.placed[root].footprint.area):
        pieces = [placed.piece for placed in scene.stations[root]]
        more = " with what it carries" if len(pieces) > 1 else ""
        lost = _served_by_it_alone(scene, {piece.id for piece in pieces})
        price = f": nothing else here is for {in_a_row(lost)}" if lost else ""
        sentence = f"Leave out the {lower(scene.placed[root].name)}{more}{price}."
        # what is carried first: nothing is carried by what is gone
        changes = tuple(
            Change(path=("pieces", piece.id), before=json_of(piece), after=None)
            for piece in sorted(pieces, key=lambda piece: piece.id == root)
        )
        yield sentence, Command(name="remove", says=sentence, changes=changes)


def _served_by_it_alone(scene: Scene, pieces: AbstractSet[str]) -> list[str]:
    """Return the names of wanted movements that nothing serves once some pieces are gone."""
    wanted = dict.fromkeys(
        key for person in scene.plan.people for key in movements() if person.wish_for(key) == "want"
    )
    rest = served_movements(build_scene(leaving_out(scene.plan, pieces)))
    lost = served_movements(scene) - rest
    return [lower(movements()[key].name) for key in wanted if key in lost]


def without(scene: Scene, snag: Snag) -> Proposal:
    """Return what is left when nothing else helps: the person does without the movement."""
    assert snag.person is not None
    assert snag.movement is not None
    sentence = f"Do without {lower(movements()[snag.movement].name)}."
    words = {snag.movement.replace("-", "_"): "no"}
    return sentence, wishes(scene.plan, snag.person, sentence, **words)


def _onto_a_rest(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    bar = scene.placed[snag.pieces[0]]
    hosts = [placed for placed in scene.order if placed.kit.rests and placed is not bar]
    taken = {p.piece.carried_by for p in scene.order if p.kit.bar is not None and p is not bar}
    own = bar.piece.carried_by
    hosts.sort(key=lambda host: (host.piece.id != own, _apart(bar, host)))
    for host in hosts:
        if host.piece.id in taken:
            continue
        for rest in host.kit.rests:
            x, y, angle = rest_pose(host, rest)
            sentence = f"Lay it on the {rest.name} of the {lower(host.name)}."
            pose = Pose(x_mm=x, y_mm=y, angle_deg=angle)
            yield sentence, onto(scene, bar, host, pose, sentence)


def onto(
    scene: Scene, bar: Placed, host: Placed, pose: Pose, sentence: str, *more: Change
) -> Command:
    """Build the command that makes a host carry a bar at a pose, with what else is changed."""
    piece = scene.plan.piece(bar.piece.id)
    where = ("pieces", piece.id)
    return Command(
        name="carry",
        says=sentence,
        changes=(
            Change(path=(*where, "pose"), before=json_of(piece.pose), after=json_of(pose)),
            Change(path=(*where, "carried_by"), before=piece.carried_by, after=host.piece.id),
            *more,
        ),
    )


def _apart(one: Placed, other: Placed) -> float:
    return abs(one.at[0] - other.at[0]) + abs(one.at[1] - other.at[1])


def _other_bars(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    bar = scene.placed[snag.pieces[0]]
    if bar.kit.bar is None:
        return
    shaft, _ = shaft_range_mm(bar)
    longer = [
        kit
        for kit in kit_types().values()
        if kit.bar is not None and kit.group == bar.kit.group and kit.bar.shaft_mm > shaft
    ]
    # of its own type, as long as that is made, before another
    longer.sort(key=lambda kit: (kit.key != bar.kit.key, kit.width_mm))
    for kit in longer:
        advice = phrase("Take a {} instead, {:mm} long.", lower(kit.name), kit.width_mm)
        yield instead(scene, bar, kit, advice.worded(scene.plan.units))


def lower_ones(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield lower types that serve for what is too tall, the most alike first."""
    if snag.meets != "overhead":
        return
    tall = scene.placed[snag.pieces[0]]
    if not may_be_another(scene, tall):
        return
    uses = {use.movement for use in tall.kit.uses}
    height = extent_of(tall.piece, tall.kit).height_mm
    lower_ones = [
        kit
        for kit in kit_types().values()
        if kit.group == tall.kit.group
        and kit.height_mm < height
        and bool(kit.rests) == bool(tall.kit.rests)
        and kit.fixing == tall.kit.fixing
        and uses & {use.movement for use in kit.uses}
    ]
    # what serves the same movements comes first, then the tallest
    lower_ones.sort(
        key=lambda kit: (len(uses ^ {use.movement for use in kit.uses}), -kit.height_mm)
    )
    for kit in lower_ones:
        sold = phrase("Take the {} instead: {:mm} high, that fits.", lower(kit.name), kit.height_mm)
        sentence = sold.worded(scene.plan.units)
        yield instead(scene, tall, kit, sentence)


def instead(
    scene: Scene, placed: Placed, kit: KitType, sentence: str, **fields: object
) -> Proposal:
    """Take another row for a piece; what was typed of the old one goes."""
    plan = exchanged(scene.plan, placed.piece.id, kit, **fields)
    command = difference(scene.plan, plan, "edit", sentence)
    assert command is not None
    return sentence, command
