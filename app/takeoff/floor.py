"""The floor covering: the layout chosen, other starts beside it, what it weighs, costs and asks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from app.errors import Fault, PlanError
from app.model.base import json_of
from app.model.flooring import FloorLaying, Joints
from app.model.room import Covering
from app.published.register import published
from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.calling import floor_called
from app.takeoff.floor_going import going_on, going_words
from app.takeoff.floor_layout import Laid, Mat, StockSheet, lay_floor
from app.takeoff.floor_notes import floor_notes
from app.takeoff.floor_region import (
    THIRD,
    Start,
    gap_of,
    start_of,
    start_words,
)
from app.takeoff.floor_search import search_floor
from app.takeoff.floor_site import DECIDE, is_sawn, lost_mm
from app.takeoff.floor_ways import Searched
from app.takeoff.stock_words import fewer_words, lengths_words, off_roll_words, stock_words
from app.units import KILO, MEGA, Units
from app.wording import in_figures, phrase

JOINT_NAMES: dict[Joints, str] = {
    "staggered": "joints staggered",
    "straight": "joints straight",
    "balanced": "edges balanced",
}
_ALIKE = 0.01
"""Staggers this near to one another, in pieces, are called alike."""


@dataclass(frozen=True, slots=True)
class Alternative:
    """Another way to lay the same product; `more` counts stock pieces beyond the layout's.

    `edged` is the one that has factory edges at every joint, where the layout has not.
    """

    name: str
    start: Start
    to_buy: int
    more: int
    proven: bool
    cut_mats: int
    narrow_mats: int
    sentence: str
    edged: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """A floor as it is to be laid. Masses in kg, the price in minor units of the plan's money.

    `mass_kg` is what is delivered, `laid_kg` what stays on the floor, `lift_kg` one stock piece.
    """

    laid: Laid
    mass_kg: float
    laid_kg: float
    lift_kg: float
    price_minor: int | None
    sentence: str
    notes: tuple[str, ...]
    alternatives: tuple[Alternative, ...]
    searched: Searched | None = None

    @property
    def start(self) -> Start:
        """Where the first piece lies and how the others follow."""
        return self.laid.start

    @property
    def mats(self) -> tuple[Mat, ...]:
        """The pieces in laying order."""
        return self.laid.mats

    @property
    def sheets(self) -> tuple[StockSheet, ...]:
        """The stock pieces in the order in which they are opened."""
        return self.laid.sheets

    @property
    def to_buy(self) -> int:
        """How many stock pieces are needed."""
        return self.laid.to_buy

    @property
    def lower_bound(self) -> int:
        """What no cutting of this layout can beat."""
        return self.laid.lower_bound

    @property
    def proven(self) -> bool:
        """Return whether fewer are impossible for this start, direction and joints."""
        return self.laid.proven

    @property
    def gap(self) -> int:
        """How many fewer might be possible."""
        return self.laid.gap

    @property
    def area_m2(self) -> float:
        """The floor covered."""
        return self.laid.area_m2

    @property
    def waste_m2(self) -> float:
        """What is bought and not laid."""
        return self.laid.waste_m2


def floor_layout(scene: Scene, laying: FloorLaying, compare: bool = True) -> Layout:
    """Lay a floor as chosen, and unless told otherwise the named alternatives beside it.

    Raises PlanError naming the floor for what cannot be laid. A layout is kept with its room.
    """
    stand = tuple((p.piece, p.pose) for p in scene.order)
    key = ("floor layout", laying, compare, stand, *(published(name) for name in DECIDE))
    return scene.memo(key, lambda: _laid_out(scene, laying, compare))


def _laid_out(scene: Scene, laying: FloorLaying, compare: bool) -> Layout:
    if laying.pack < 1:
        sentence = f"a pack of {laying.pack} holds nothing; say how many"
        raise PlanError(Fault(floor_called(laying), sentence))
    if laying.laid:
        return _gone_on(scene, laying)
    if laying.spoiled:
        sentence = "a piece of it is spoiled, and nothing is kept of the others: begin it anew"
        raise PlanError(Fault(floor_called(laying), sentence))
    if compare:
        # The same layout, with others beside it: what is asked for both ways is laid once.
        plain = floor_layout(scene, laying, compare=False)
        others = tuple(_alternatives(scene, plain.laid))
        edged = next((other.more for other in others if other.edged), None)
        notes = tuple(floor_notes(scene, plain.laid, plain.lift_kg, edged))
        return replace(plain, notes=notes, alternatives=others)
    searched = search_floor(scene, laying)
    start = start_of(scene, laying) if searched is None else searched.best.start
    laid = lay_floor(scene, laying, start)
    free = not laying.factory_edges and not laying.sold_by_metre and laying.kind != "tile"
    if laid.knife_joints and free:
        laid = _edged(scene, laid)
    return _layout(scene, laid, _sentence(scene, laid, searched), searched)


def _layout(scene: Scene, laid: Laid, sentence: str, searched: Searched | None) -> Layout:
    laying = laid.laying
    each = piece_kg(laying)
    price = None if laying.price_minor is None else laying.price_minor * laying.pack * packs(laid)
    mass, lift = laid.to_buy * each, each
    if laid.step_mm:
        # a length that is cut off is carried alone; the price is for a metre
        a_mm = each / laying.length_mm
        mass = laid.to_buy * laid.step_mm * a_mm
        lift = max(sheet.long_mm for sheet in laid.sheets) * a_mm
        if laying.price_minor is not None:
            price = round(laying.price_minor * laid.to_buy * laid.step_mm / KILO)
    return Layout(
        laid,
        mass,
        laid.area_m2 * each / piece_m2(laying),
        lift,
        price,
        sentence,
        tuple(floor_notes(scene, laid, lift)),
        (),
        searched,
    )


def _gone_on(scene: Scene, laying: FloorLaying) -> Layout:
    """Return a floor that is being laid: there is no other way to lay what lies."""
    laid = going_on(scene, laying)
    return _layout(scene, laid, going_words(laid, scene.plan.units), None)


def _edged(scene: Scene, laid: Laid) -> Laid:
    """Return the same floor with the maker's edges at all joints, where that costs nothing."""
    try:
        edged = lay_floor(scene, _with(laid.laying, factory_edges=True), laid.start)
    except PlanError:
        # A piece with joints at both sides that is cut between them has no such edges.
        return laid
    return replace(edged, laying=laid.laying) if edged.to_buy <= laid.to_buy else laid


def packs(laid: Laid) -> int:
    """Return how many packs hold what is needed; a pack of one piece is the piece."""
    return -(-laid.to_buy // laid.laying.pack)


def piece_kg(laying: FloorLaying) -> float:
    """Return the mass of one stock piece: as typed, else density x volume.

    Worked: 1 m x 1 m x 20 mm at 1000 kg/m3 weighs 20 kg.
    """
    if laying.mass_kg is not None:
        return laying.mass_kg
    density = laying.density_kg_m3
    if density is None:
        bare = laying.material == "bare"
        density = 0.0 if bare else published(f"covering.density.{laying.material}")
    return density * piece_m2(laying) * laying.thickness_mm / KILO


def covering_of(laying: FloorLaying) -> Covering:
    """Return the covering from which headroom is to be counted with this floor."""
    return Covering(material=laying.material, thickness_mm=laying.thickness_mm)


def piece_m2(laying: FloorLaying) -> float:
    """Return the area of one stock piece."""
    return laying.length_mm * laying.width_mm / MEGA


def _sentence(scene: Scene, laid: Laid, searched: Searched | None) -> str:
    units = scene.plan.units
    what = f"{stock_words(laid, laid.to_buy, units)} to buy: "
    if laid.step_mm:
        what += f"let the shop cut off {lengths_words(laid, units)}"
    else:
        # a whole one with a notch is cut too
        whole = sum(not mat.cut for mat in laid.mats)
        from_cuts, cut = laid.to_buy - whole, laid.cut_mats
        if not whole:
            what += f"{in_figures(cut, 'piece')} cut from {from_cuts}"
        else:
            what += f"{whole} whole"
            if cut:
                what += f", {in_figures(cut, 'piece')} cut from {from_cuts} more"
    how = f"{start_words(scene, laid.start)}, {_joint_words(laid.start)}"
    each = "each cut counted as a rectangle and knife cuts edge to edge"
    if is_sawn(laid.laying):
        saw = phrase("each cut counted as a rectangle, {:mm} lost at each", lost_mm(laid.laying))
        each = saw.worded(units)
    fewer = fewer_words(laid)
    looked = 0 if searched is None else searched.looked_at
    if searched is not None and looked > 1 and laid.to_buy <= searched.bound and laid.proven:
        gaps = _gap_words(laid, searched, units)
        return f"{what} ({how}). {fewer} over all {looked:,} layouts searched{gaps}, {each}."
    if laid.proven:
        words = f"{what} ({how}). {fewer} with this start, direction and joints, {each}"
        return f"{words}; {_over_all(laid, searched, units)}." if looked > 1 else f"{words}."
    if laid.step_mm:
        least, gap = (stock_words(laid, n, units) for n in (laid.lower_bound, laid.gap))
        whole = laid.laying.joints is None and laid.start.joints == "straight"
        seen = "none was seen without joints across the lengths" if whole else "none was seen"
        return (
            f"{what} ({how}). By area {least} is the least: another way to cut may save {gap} at "
            f"the most; {seen}."
        )
    return (
        f"{what} ({how}). By area {laid.lower_bound} is the least: another way to cut may save "
        f"{laid.gap} at the most; none was seen."
    )


def _gap_words(laid: Laid, searched: Searched, units: Units) -> str:
    """Say between which gaps at the walls layouts were sought, where these are more than one."""
    gap, (less, more) = gap_of(laid.laying), searched.wider_mm
    if more - less <= TOLERANCE_MM:
        return ""
    return phrase(" with {:mm} to {:mm} free at the walls", gap + less, gap + more).worded(units)


def _over_all(laid: Laid, searched: Searched | None, units: Units) -> str:
    if searched is None:
        return ""
    fewer, bound = "fewer", str(searched.bound)
    if laid.step_mm:
        fewer, bound = "less", stock_words(laid, searched.bound, units)
    return (
        f"of {searched.looked_at:,} layouts searched none was seen to need {fewer}, and by area "
        f"one could not need {fewer} than {bound}"
    )


def _joint_words(start: Start) -> str:
    words = JOINT_NAMES[start.joints]
    third = start.joints == "staggered" and start.stagger != 1 / 2
    if not third:
        return words
    by = (
        "a third of a piece"
        if abs(start.stagger - THIRD) < _ALIKE
        else f"{start.stagger:.2f} of a piece"
    )
    return f"{words} by {by}"


def _alternatives(scene: Scene, chosen: Laid) -> Iterator[Alternative]:
    """Lay the same product otherwise: direction and joints, factory edges.

    Each is what one gets who asks for it: sought with the same effort as the floor itself.
    """
    laying, start = chosen.laying, chosen.start
    tries: list[tuple[str, FloorLaying]] = []
    if laying.length_mm != laying.width_mm:
        name = "Across" if start.along else "Along"
        other = _with(laying, start_wall=start.wall, along=not start.along)
        tries.append((f"{name} the start wall", other))
    for joints, name in JOINT_NAMES.items():
        if joints == start.joints or (laying.kind == "tile" and joints == "staggered"):
            continue
        tries.append((name.capitalize(), _with(laying, joints=joints)))
    free = not laying.factory_edges and not laying.sold_by_metre and laying.kind != "tile"
    if chosen.knife_joints and free:
        tries.append(("Factory edges at every joint", _with(laying, factory_edges=True)))
    for name, what in tries:
        try:
            laid = floor_layout(scene, what, compare=False).laid
        except PlanError:
            # A board too long to lie that way; the others still stand.
            continue
        if laying.kind == "roll" and laid.start.joints == "staggered" != start.joints:
            if laid.to_buy >= chosen.to_buy:
                # joints across the lengths show, so that they must save something
                continue
            name = "With joints across the lengths, staggered"
        yield _beside(name, laid, chosen, scene.plan.units)


def _with(laying: FloorLaying, **fields: object) -> FloorLaying:
    return FloorLaying.model_validate({**json_of(laying), **fields})


def _beside(name: str, laid: Laid, chosen: Laid, units: Units) -> Alternative:
    more = laid.to_buy - chosen.to_buy
    fewer, apart = "fewer", str(abs(more))
    if laid.step_mm:
        fewer, apart = "less", off_roll_words(abs(more) * laid.step_mm, units)
    cost = f"{apart} {'more' if more > 0 else fewer}" if more else f"no more and no {fewer}"
    sentence = f"{name}: {stock_words(laid, laid.to_buy, units)}, {cost}; {laid.cut_mats} to cut"
    if laid.narrow_mats:
        sentence += f", {laid.narrow_mats} of them narrow strips"
    if not laid.proven:
        least = laid.lower_bound if not laid.step_mm else stock_words(laid, laid.lower_bound, units)
        sentence += f" (not proven: {least} at least)"
    return Alternative(
        name,
        laid.start,
        laid.to_buy,
        more,
        laid.proven,
        laid.cut_mats,
        laid.narrow_mats,
        f"{sentence}.",
        laid.laying.factory_edges and not chosen.laying.factory_edges,
    )
