"""What paint is put on with, and what keeps it off the rest: one list for the whole job."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.published.register import published
from app.scene.build import Scene
from app.takeoff.buying import cheapest
from app.takeoff.line import Gathered, Line, Step, offers
from app.takeoff.paint_plan import MASONRY, Coat
from app.takeoff.surfaces import faces
from app.units import KILO, MEGA
from app.wording import phrase

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
    area = sum({coat.where: coat.area_m2 for coat in walls}.values())
    floor_m2 = scene.room.free.area / MEGA
    if rolled:
        yield _plain(scene, gathered, "roller-set", "Roller frame, tray and pole", 1, "pc", assumed)
    colours = len({(coat.coating.key, coat.colour) for coat in layers})
    yield _plain(scene, gathered, "brush-63", "Brush for edges", colours, "pc", assumed)
    if any(coat.tool == "spray" for coat in layers):
        yield _plain(scene, gathered, "spray-hire-day", "Airless sprayer, hired", 1, "day", assumed)
    tape = _edges_m(scene)
    yield _plain(scene, gathered, "masking-tape-50m", "Masking tape", tape, "m", assumed, True)
    yield _plain(scene, gathered, "dust-sheet-12m2", "Cover sheets", floor_m2, "m2", assumed, True)
    if area:
        kilos = area / published("small.filler-m2-kg")
        yield _plain(scene, gathered, "filler-1kg", "Filler for holes", kilos, "kg", assumed)
    if any(coat.surface == "floor" for coat in layers):
        cleaner = floor_m2 / published("small.degreaser-m2-l")
        yield _plain(scene, gathered, "degreaser-1l", "Degreaser", cleaner, "L", assumed)
    for key, item in (("masks", "Dust masks"), ("gloves", "Gloves"), ("abrasive", "Abrasive")):
        pack = {"masks": "masks-5", "gloves": "gloves-10", "abrasive": "abrasive-5"}[key]
        yield _plain(scene, gathered, pack, item, published(f"small.{key}"), "pc", assumed)
    rough = sum(coat.area_m2 for coat in walls if coat.texture.key in MASONRY)
    if rough >= published("paint.spray-from-m2"):
        gathered.says.append(
            f"{rough:.0f} m2 of rough wall coats, all counted: a hired sprayer followed by a long "
            "roller saves a day, and loses about a third of the paint."
        )


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
    wool = any(c.coating.solvent_g_l > published("paint.solvent-matters-g-l") for c in group)
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


def _plain(
    scene: Scene,
    gathered: Gathered,
    pack: str,
    item: str,
    net: float,
    unit: str,
    assumed: bool,
    spare: bool = False,
) -> Line:
    waste = net * published("small.waste-ratio") if spare else 0.0
    packs = offers(scene.plan, [pack], gathered.problems)
    return Line(
        key=f"paint.{pack}",
        part="paint",
        item=item,
        where="painting",
        net=net,
        waste=waste,
        unit=unit,
        bought=cheapest(net + waste, packs) if packs else (),
        rate="common practice, no source",
        working=(Step("needed", net, unit), Step("beyond what is measured", waste, unit)),
        assumed=assumed,
    )
