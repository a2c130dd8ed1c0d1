"""What paint is put on with, and what keeps it off the rest: one list for the whole job."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.model.finishing import PaintTool
from app.published.register import published
from app.scene.build import Scene
from app.takeoff.buying import cheapest
from app.takeoff.counting import PIECE, counted
from app.takeoff.line import Gathered, Line, Step, offers
from app.takeoff.paint_plan import MASONRY, Coat
from app.takeoff.surfaces import faces
from app.units import KILO, MEGA
from app.wording import measure_words, phrase

_MM = KILO


def tool_lines(scene: Scene, layers: Sequence[Coat], gathered: Gathered) -> Iterator[Line]:
    """Yield rollers by pile, brushes, tape, sheets, filler and the rest that painting takes."""
    if not layers:
        return
    assumed = all(coat.assumed for coat in layers)
    rolled = [coat for coat in layers if coat.tool in ("short-roller", "long-roller")]
    for nap in sorted({coat.texture.nap_mm for coat in rolled}):
        yield _sleeves(scene, [c for c in rolled if c.texture.nap_mm == nap], nap, gathered)
    walls = [coat for coat in layers if coat.surface == "walls"]
    area = wall_m2(layers)
    floor_m2 = scene.room.free.area / MEGA
    colours = len({(coat.coating.key, coat.colour) for coat in layers})
    solvent = any(is_solvent(coat) for coat in layers)
    wanted = [
        ("roller-set", "Roller frame, tray and pole", bool(rolled), PIECE),
        ("brush-63", "Brush for edges", colours, PIECE),
        ("spray-hire-day", "Airless sprayer, hired", has_tool(layers, "spray"), "day"),
        ("masking-tape-50m", "Masking tape", _edges_m(scene), "m"),
        ("dust-sheet-12m2", "Cover sheets", floor_m2, "m2"),
        ("filler-1kg", "Filler for holes", area / published("small.filler-m2-kg"), "kg"),
        ("wall-cleaner-1l", "Wall cleaner", area / published("small.cleaner-m2-l"), "L"),
        ("gloves-10", "Thin gloves", published("small.gloves"), PIECE),
        ("abrasive-5", "Abrasive sheets", published("small.abrasive"), PIECE),
        ("rags-10", "Rags", published("small.rags") if solvent else 0, PIECE),
        ("lidded-can", "Metal can with a lid, for wet rags", solvent, PIECE),
    ]
    for pack, item, net, unit in wanted:
        if net:
            spare = published("small.waste-ratio") if pack in _TORN else 0.0
            yield counted(
                scene, gathered, key=f"paint.{pack}", part="paint", item=item, where="painting",
                net=net, waste=net * spare, unit=unit, pack=_SIZES.get(pack, pack),
                assumed=assumed,
            )  # fmt: skip
    rough = sum(coat.area_m2 for coat in walls if coat.texture.key in MASONRY)
    if rough >= published("paint.spray-from-m2"):
        gathered.says.append(
            f"{measure_words(rough, 'm2', scene.plan.units, 0)} of rough wall coats, all counted: "
            "a hired sprayer followed by a long roller saves a day, and loses about a third of the "
            "paint."
        )


_TORN = frozenset({"masking-tape-50m", "dust-sheet-12m2"})
"""What is torn off and laid over: some more of it goes than is measured."""
_SIZES = {"filler-1kg": ("filler-1kg", "filler-2kg", "filler-5kg")}
"""What shops have in bags of several sizes, common practice; its line is called by the smallest."""


def has_tool(layers: Sequence[Coat], tool: PaintTool) -> bool:
    """Return whether something is put on with this tool."""
    return any(coat.tool == tool for coat in layers)


def is_solvent(coat: Coat) -> bool:
    """Return whether a coat gives off so much solvent that fumes and fire are said."""
    return coat.coating.solvent_g_l >= published("paint.solvent-matters-g-l")


def wall_m2(layers: Sequence[Coat]) -> float:
    """Return the wall that is painted, each part of it once however many coats it has."""
    return sum({c.where: c.area_m2 for c in layers if c.surface == "walls"}.values())


def _sleeves(
    scene: Scene, group: Sequence[Coat], nap: tuple[float, float], gathered: Gathered
) -> Line:
    low, high = nap
    per = published("paint.sleeve-m2")
    kinds: dict[tuple[str, str], float] = {}
    for coat in group:
        key = coat.coating.key, coat.colour
        kinds[key] = kinds.get(key, 0.0) + coat.area_m2 * coat.coats
    count = sum(math.ceil(rolled / per) for rolled in kinds.values())
    pile = "long" if low >= published("paint.nap-long-mm") else "short or middle"
    wool = any(is_solvent(coat) for coat in group)
    packs, units = offers(scene.plan, ["roller-sleeve"], gathered.problems), scene.plan.units
    return Line(
        key=f"paint.sleeve-{low:.0f}-{high:.0f}",
        part="paint",
        item=phrase("Roller sleeve, {} pile {:bare} to {:mm}", pile, low, high).worded(units),
        where=", ".join(dict.fromkeys(coat.texture.name for coat in group)),
        net=count,
        waste=0,
        unit="pc",
        bought=cheapest(count, packs) if packs else (),
        rate="pile by texture: MIL-HDBK-1110 7.5.3 for the range, trade pages for each surface",
        working=(
            Step("rolled, all coats", sum(kinds.values()), "m2"),
            Step("kinds and colours", len(kinds)),
            Step("one sleeve does", per, "m2", "paint.sleeve-m2"),
        ),
        assumed=all(coat.assumed for coat in group),
        notes=("Lamb's wool or mohair for solvent paint, synthetic for water-based.",)
        if wool
        else (),
    )


def _edges_m(scene: Scene) -> float:
    """Return the edges to tape: round each opening, and along floor and ceiling."""
    total = 0.0
    for face in faces(scene):
        total += sum(float(hole.length) for _, hole in face.holes)
    return (total + 2 * float(scene.room.free.length)) / _MM
