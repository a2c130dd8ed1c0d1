"""What is done to a room, measured: all that tools, protection and small stuff hang on.

The works ask the same questions of the same object, so that no task asks for what is not counted.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from app.errors import PlanError
from app.model.flooring import FloorLaying
from app.published.register import published
from app.scene.build import Placed, Scene
from app.takeoff.counting import PIECE
from app.takeoff.fixings import FLOOR, Use, is_bolted, uses_of
from app.takeoff.floor import floor_layout
from app.takeoff.floor_layout import Laid
from app.takeoff.floor_trade import knife_mm, longest_cut_mm
from app.takeoff.line import Gathered, Line, Step
from app.takeoff.mirrors import areas_hung
from app.takeoff.paint_plan import MASONRY, Coat
from app.takeoff.paint_tools import wall_m2
from app.takeoff.projection import size_mm
from app.takeoff.surfaces import MM2_A_M2, ceiling_m2, faces, floor_area
from app.units import KILO

ROUGH = MASONRY | {"filled-block", "painted-masonry"}
"""Textures that are brushed down before they are painted."""

PAIR = 2
"""Hands that most tasks are done with at the best: nobody needs a third pair of goggles."""

_CUT_WITH_A_KNIFE = frozenset({"rubber", "foam", "carpet", "vinyl"})
_ON_ROLLS = frozenset({"carpet", "vinyl"})
_ROLL_WIDE_M = 2.0
"""Width of roll by which seams are reckoned where no product says one: what most are at the least;
common practice, no source."""


@dataclass(frozen=True)
class Jobs:
    """The jobs of a plan. `lines` are those that are laid, painted and hung, `coats` the coats."""

    scene: Scene
    lines: tuple[Line, ...]
    coats: tuple[Coat, ...]

    @property
    def assumed(self) -> bool:
        """Whether nothing of it was chosen by the plan."""
        return not self.scene.plan.fit_out.nothing_assumed and all(
            line.assumed for line in self.lines
        )

    @property
    def hands(self) -> int:
        """How many work: as many as live in the room's plan, two at the most."""
        return min(PAIR, max(1, len(self.scene.plan.people)))

    @property
    def on_ground(self) -> bool:
        """Whether the floor lies on the ground."""
        return self.scene.plan.room.floor.construction == "ground-slab"

    @property
    def on_slab(self) -> bool:
        """Whether the floor is a slab."""
        return self.scene.plan.room.floor.construction in ("ground-slab", "suspended-slab")

    @property
    def floor_m2(self) -> float:
        """The bare floor."""
        return float(floor_area(self.scene).area) / MM2_A_M2

    @cached_property
    def floors(self) -> list[Line]:
        """The lines of what is laid on the floor."""
        return [line for line in self.lines if line.key.startswith("floor.")]

    @property
    def dried(self) -> bool:
        """Whether the room is dried before anything is done to it: its floor is not dry."""
        return self.scene.plan.room.fabric.floor_dry == "no" and bool(self.lines)

    @property
    def floor_coated(self) -> bool:
        """Whether the floor is painted or sealed."""
        return any(coat.surface == "floor" for coat in self.coats)

    @property
    def floor_worked(self) -> bool:
        """Whether something is done to the floor, which then is looked at and cleaned first."""
        return self.floor_coated or bool(self.floors)

    @property
    def scrubbed(self) -> bool:
        """Whether the floor is scrubbed first: a slab, or any floor that is painted."""
        return self.floor_coated or (self.on_slab and self.floor_worked)

    @property
    def wall_m2(self) -> float:
        """The wall that is painted."""
        return wall_m2(self.coats)

    @property
    def rough_m2(self) -> float:
        """The wall that is brushed down before."""
        return wall_m2([coat for coat in self.coats if coat.texture.key in ROUGH])

    @property
    def ceiling_coated(self) -> bool:
        """Whether the ceiling is painted."""
        return any(coat.surface == "ceiling" for coat in self.coats)

    @property
    def boarded_ceiling_m2(self) -> float:
        """The ceiling that is boarded; nothing where none is to come."""
        return ceiling_m2(self.scene) if self.scene.plan.room.ceiling.finish_mm else 0.0

    @property
    def boarded_walls_m2(self) -> float:
        """The walls that are lined."""
        return sum(face.net_m2() for face in faces(self.scene) if face.wall.wall.lining_mm)

    @property
    def boarded_m2(self) -> float:
        """All that is boarded."""
        return self.boarded_ceiling_m2 + self.boarded_walls_m2

    @property
    def cracks_m(self) -> float:
        """The cracks of a slab that are filled before something lies on it."""
        if not (self.on_slab and self.floor_worked):
            return 0.0
        return self.floor_m2 * published("works.crack-m-m2")

    @property
    def levelled_mm(self) -> float:
        """The mean thickness of levelling compound on an uneven slab; 0 where none is poured.

        Half of the widest gap fills the hollows, and over the high places lies a least cover.
        """
        uneven = self.scene.plan.room.floor.uneven_mm
        if not (self.on_slab and self.floor_worked) or uneven <= published("floor.level-from-mm"):
            return 0.0
        return uneven / 2 + published("floor.level-cover-mm")

    @cached_property
    def fastened(self) -> tuple[Use, ...]:
        """Every use of a fastener."""
        return tuple(uses_of(self.scene, Gathered(), self.lights))

    @property
    def lights(self) -> int:
        """Light fittings to hang."""
        return sum(round(line.net) for line in self.lines if line.part == "light")

    @property
    def holes(self) -> int:
        """Holes that are drilled for fixings."""
        return sum(use.thing.count for use in self.fastened if use.drill_mm)

    @property
    def dusty_holes(self) -> int:
        """Those of them in masonry or concrete: their dust holds silica."""
        return sum(use.thing.count for use in self.fastened if use.drill_mm and use.masonry)

    @property
    def pictures_m2(self) -> list[tuple[str, float]]:
        """The pictures that are painted on walls: the wall's name and the size of each."""
        return [(wall, width * high / MM2_A_M2) for wall, width, high in self.pictures_mm]

    @property
    def pictures_mm(self) -> list[tuple[str, float, float]]:
        """The same by width and height."""
        names = {face.wall.id: face.name for face in faces(self.scene)}
        sizes = []
        for picture in self.scene.plan.fit_out.projections:
            size = size_mm(picture)
            if picture.wall in names and size is not None:
                sizes.append((names[picture.wall], *size))
        return sizes

    @property
    def in_walls(self) -> int:
        """Fixings that go into walls and ceiling before the last coat."""
        return sum(use.thing.count for use in self.drilled_first)

    @property
    def drilled_first(self) -> list[Use]:
        """What is fixed before the last coat."""
        return [use for use in self.fastened if use.first]

    @property
    def into_floor(self) -> list[Use]:
        """What is fixed to the floor."""
        return [use for use in self.fastened if use.ground == FLOOR]

    @property
    def bolted(self) -> list[Placed]:
        """Pieces that are bolted to the floor and levelled for it."""
        return [placed for placed in self.scene.order if is_bolted(self.scene, placed)]

    @cached_property
    def mirrors(self) -> int:
        """Mirrors that are hung: areas of wall, and pieces that stand on the plan."""
        return len([*areas_hung(self.scene, Gathered())]) + self._coming("mirror")

    @property
    def screens(self) -> int:
        """Screens that are hung."""
        return self._coming("screen")

    @property
    def shelves(self) -> int:
        """Shelves that are put up and strapped."""
        return self._coming("shelving")

    def _coming(self, kit_key: str) -> int:
        return sum(p.kit.key == kit_key and not p.piece.stays for p in self.scene.order)

    @property
    def _layings(self) -> list[FloorLaying]:
        """The floors that are bought; one in packs of nothing is named and left out."""
        return [laying for laying in self.scene.plan.fit_out.floors if laying.pack >= 1]

    @cached_property
    def _laid_out(self) -> list[Laid]:
        """The floors that are laid out."""
        laid = []
        for laying in self._layings:
            try:
                laid.append(floor_layout(self.scene, laying, compare=False).laid)
            except PlanError:
                # the list names what cannot be laid; nothing of it is cut
                continue
        return laid

    @property
    def _knifed(self) -> list[Laid]:
        """Those that are cut with a knife."""
        return [laid for laid in self._laid_out if laid.laying.material in _CUT_WITH_A_KNIFE]

    @property
    def _cut_by_area(self) -> str:
        """The material of a covering counted by its area alone and cut with a knife; else ""."""
        material = self.scene.plan.room.floor.covering.material
        by_area = not self.scene.plan.fit_out.floors and self.floors
        return material if by_area and material in _CUT_WITH_A_KNIFE else ""

    @cached_property
    def knife_m(self) -> float:
        """Metres that are cut with a knife: off mats and rolls, and of what lies under boards."""
        cut = sum(knife_mm(laid) for laid in self._knifed) / KILO
        if self._cut_by_area:
            around = float(self.scene.room.free.length) / KILO
            cut += around * published("works.mat-cut.share")
        if self.sawn_boards:
            # what lies under boards is cut along the walls
            cut += float(self.scene.room.free.length) / KILO
        return cut

    @property
    def longest_cut_mm(self) -> float:
        """The longest straight edge that is cut; off a roll it is as long as the longest wall."""
        longest = max((longest_cut_mm(laid) for laid in self._laid_out), default=0.0)
        if self._cut_by_area in _ON_ROLLS:
            longest = max(math.dist(wall.start, wall.end) for wall in self.scene.room.walls)
        return longest

    @property
    def thick_mm(self) -> float:
        """The thickness that the knife goes through; that of what lies under boards is little."""
        laid = self.scene.plan.fit_out.floors
        floors = [one.thickness_mm for one in laid if one.material in _CUT_WITH_A_KNIFE]
        if laid and not floors:
            return 0.0
        return max(floors) if floors else self.scene.plan.room.floor.covering.thickness_mm

    @property
    def loose_m(self) -> float:
        """The length of edge of strips too narrow to lie by themselves."""
        around = 0.0
        for laid in self._laid_out:
            around += sum(2 * sum(mat.size_mm) for mat in laid.mats if mat.narrow) / KILO
        return around

    @property
    def stuck_m(self) -> float:
        """The edges and seams of carpet and vinyl off a roll, which are taped down. Each once."""
        metres = 0.0
        for laid in self._knifed:
            if laid.laying.material in _ON_ROLLS and laid.laying.kind == "roll":
                around = sum(float(mat.polygon.length) for mat in laid.mats)
                # a seam lies along two lengths, what runs along a wall along one
                metres += (around + float(laid.region.length)) / 2 / KILO
        if self._cut_by_area in _ON_ROLLS:
            metres += float(self.scene.room.free.length) / KILO + self.floor_m2 / _ROLL_WIDE_M
        return metres

    @property
    def sawn_boards(self) -> bool:
        """Whether boards of timber are cut to fit."""
        return any(
            one.kind == "board" and one.material == "timber" for one in self._layings
        ) and bool(self.floors)

    @property
    def blades(self) -> int:
        """Knife blades: one for so many metres of mat of 20, more for a thicker one; one spare."""
        if not self.knife_m:
            return 0
        return math.ceil(self.knife_m / self._blade_m) + 1

    @property
    def blunted(self) -> tuple[Step, ...]:
        """The working of the blades."""
        return (
            Step("edges to cut", self.knife_m, "m"),
            Step("one blade cuts of this thickness", self._blade_m, "m", "floor.blade-m"),
            Step("spare", 1, PIECE),
        )

    @property
    def _blade_m(self) -> float:
        """How far a blade goes before it drags."""
        share = max(self.thick_mm / published("works.mat-cut.thick-mm"), 1 / PAIR)
        return published("floor.blade-m") / share


def jobs_of(scene: Scene, lines: Sequence[Line], coats: Sequence[Coat]) -> Jobs:
    """Return the jobs that lines and coats are made of."""
    return Jobs(scene, tuple(lines), tuple(coats))
