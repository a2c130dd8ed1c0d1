"""Tools that jobs are done with, and what keeps dust, noise and edges off those who do them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from app.library.finishes import finishes
from app.published.register import published
from app.scene.floor_fall import fall_under, falls, stands_level
from app.takeoff.counting import PIECE, counted
from app.takeoff.jobs import PAIR, Jobs
from app.takeoff.line import Gathered, Line, Part, Step
from app.takeoff.paint_tools import is_solvent
from app.takeoff.supplies import shifts
from app.wording import phrase


@dataclass(frozen=True, slots=True)
class _Tool:
    """One tool: how many, and the jobs that ask for it, in words."""

    pack: str
    item: str
    count: float
    jobs: tuple[str, ...]
    part: Part = "tools"
    notes: tuple[str, ...] = ()
    was: tuple[str, ...] = ()
    key: str = ""
    """What its line is called where packs of several sizes have one line."""
    working: tuple[Step, ...] = ()


STRAIGHTEDGES = {1000: "straightedge", 2000: "straightedge-2m", 3000: "straightedge-3m"}
"""Packs of straightedges by their length in mm: what shops have, common practice, no source."""
IN_CARTRIDGES = {"ramp-glue": "ramps", "sealant-310": "caulk", "mirror-adhesive": "mirrors"}
"""Packs that come out of a gun, and what for."""
MOVED_MM = 2000
"""The one that is moved along a chalk line where a cut is longer than any: one person holds it."""


def tools(jobs: Jobs) -> Gathered:
    """Return a line for each tool and each piece of protection that a job asks for."""
    gathered = Gathered()
    gathered.lines += [
        _line(jobs, gathered, tool)
        for tool in (*_tools(jobs), *_protection(jobs))
        if tool.count and tool.jobs
    ]
    return gathered


def _line(jobs: Jobs, gathered: Gathered, tool: _Tool) -> Line:
    return counted(
        jobs.scene, gathered, key=f"{tool.part}.{tool.key or tool.pack}", part=tool.part,
        item=tool.item, where=", ".join(tool.jobs), net=tool.count, unit=PIECE, pack=tool.pack,
        working=tool.working, assumed=jobs.assumed, notes=tool.notes, was=tool.was,
    )  # fmt: skip


def _some(**done: object) -> tuple[str, ...]:
    """Return the names of the jobs that are done."""
    return tuple(name.replace("_", " ") for name, is_done in done.items() if is_done)


def _instead_of(key: str) -> str:
    pack = finishes().packs.get(key)
    return key if pack is None or pack.of is None else pack.of


def _tools(jobs: Jobs) -> Iterator[_Tool]:
    hammer = any(use.hammer for use in jobs.fastened)
    drilled = any(use.drill_mm for use in jobs.fastened)
    cut = jobs.knife_m > 0
    profile = any(line.part == "strip" and "profile" in line.key for line in jobs.lines)
    ramps = any(line.key == "small.edge-ramp-1m" for line in jobs.lines)
    # a pack that is had instead of another where people measure otherwise is used like it
    packs = {_instead_of(pack.key) for line in jobs.lines for pack in line.bought}
    boards = any(one.material == "timber" for one in jobs.scene.plan.fit_out.floors)
    yield _Tool("knife", "Knife with blades that change", 1, _some(floor_covering=cut))
    yield _Tool(
        "blades-10", "Knife blades", jobs.blades, _some(floor_covering=cut), working=jobs.blunted
    )
    yield from _rules(jobs)
    yield _Tool(
        "fine-saw", "Fine-toothed saw", 1,
        _some(profiles=profile, ramps=ramps, boards=boards, ceiling=jobs.boarded_m2),
    )  # fmt: skip
    # long straight cuts through boards no fine-toothed saw makes
    yield _Tool("circular-saw-day", "Circular saw, hired", 1, _some(boards=jobs.sawn_boards))
    yield _Tool(
        "cartridge-gun", "Cartridge gun", 1,
        _some(**{job: pack in packs for pack, job in IN_CARTRIDGES.items()}),
    )  # fmt: skip
    yield _Tool(
        "filling-knives", "Filling knives", 1,
        _some(
            painting=any(line.key.startswith("paint.filler") for line in jobs.lines),
            floor=jobs.cracks_m, linings=jobs.boarded_m2,
        ),
    )  # fmt: skip
    # an anchor is tapped in through what it holds, and drawn tight
    anchored = _some(anchors=any(not use.driven for use in jobs.fastened))
    yield _Tool("hammer", "Hammer", 1, anchored)
    yield _Tool("spanner", "Adjustable spanner", 1, anchored)
    yield _Tool("detector", "Detector for cables and pipes", 1, _some(drilling=drilled))
    yield _Tool("hammer-drill-day", "Hammer drill, hired", 1, _some(drilling=hammer))
    # a plug in masonry has a screw too, and a hammer drill drives none
    screwed = any(use.driven for use in jobs.fastened) or jobs.boarded_m2
    two_part = any(coat.coating.mix for coat in jobs.coats)
    turned = _some(screwing=screwed, mixing_two_part_coat=two_part)
    yield _Tool("drill-driver", "Cordless drill with screw bits", 1, turned)
    yield _Tool(
        "extractor-day", "Dust extractor, class M, hired", 1,
        _some(drilling_in_masonry=jobs.dusty_holes),
    )  # fmt: skip
    yield _Tool(
        "rcd-adaptor", "Plug-in trip switch (RCD adaptor)", 1,
        _some(power_tools=drilled or screwed or jobs.sawn_boards) if _unprotected(jobs) else (),
    )  # fmt: skip
    levelled = _some(
        racks=jobs.bolted, mirrors=jobs.mirrors, fixings=jobs.in_walls,
        linings=jobs.boarded_m2, shelves=jobs.shelves, screens=jobs.screens,
    )  # fmt: skip
    yield _Tool("level-600", "Spirit level", 1, levelled)
    packed = [*_packed(jobs)]
    yield _Tool(
        "packers-20", "Packers for uneven floor", sum(count for _, count, _ in packed),
        tuple(name for name, _, _ in packed), notes=tuple(note for *_, note in packed if note),
    )  # fmt: skip
    overhead = _some(
        ceiling=jobs.ceiling_coated or jobs.boarded_ceiling_m2,
        lights=jobs.lights,
        walls=jobs.wall_m2 or jobs.boarded_walls_m2,
        picture=jobs.pictures_m2,
    )
    yield _Tool("ladder", "Step ladder", 1, overhead)
    # the notes on painting tell how warm air and wall must be, measured every few hours
    thermometer = "Thermometer for air, humidity and walls"
    yield _Tool("hygrometer", thermometer, 1, _some(painting=jobs.coats))
    yield _Tool("scrub-brush", "Scrubbing brush with a handle", 1, _some(floor=jobs.scrubbed))
    yield _Tool("mixing-set", "Tub and mixing paddle", 1, _some(levelling=jobs.levelled_mm))
    yield _Tool(
        "mixing-drill-day", "Slow drill for the paddle, hired", 1, _some(levelling=jobs.levelled_mm)
    )
    mixed = _some(two_part_coat=two_part)
    yield _Tool("stirring-paddle", "Stirring paddle for a drill", 1, mixed)
    yield _Tool("mixing-bucket", "Bucket to mix in", PAIR, mixed)
    yield _Tool("spiked-roller", "Spiked roller", 1, _some(levelling=jobs.levelled_mm))
    rough = _some(walls=jobs.rough_m2)
    yield _Tool("wire-brush", "Stiff brush for walls", 1, rough)
    yield _Tool("scraper", "Scraper", 1, rough)
    yield _Tool("squeegee", "Squeegee for the floor", 1, _some(floor=jobs.scrubbed))
    propped = _some(ceiling=jobs.boarded_ceiling_m2)
    yield _Tool("prop-week", "Props for ceiling board, hired", PAIR, propped)
    washed = _some(walls=jobs.wall_m2, floor=jobs.scrubbed)
    yield _Tool("bucket-sponge", "Bucket and sponge", 1, washed)
    yield _Tool("suction-grip", "Suction grip for glass", 2 * PAIR, _some(mirrors=jobs.mirrors))


def _rules(jobs: Jobs) -> Iterator[_Tool]:
    """Yield a chalk line for the rows and a straightedge as long as the longest cut.

    Where none is as long it goes along the chalk line.
    """
    longest = jobs.longest_cut_mm
    mats = _some(floor_covering=jobs.knife_m > 0, boards=jobs.sawn_boards)
    long_enough = [mm for mm in STRAIGHTEDGES if mm >= round(longest)]
    notes: tuple[str, ...] = ()
    if not long_enough:
        words = phrase(
            "The longest cut is {:metres}: snap the chalk line there, and move the straightedge "
            "along it.", longest,
        )  # fmt: skip
        notes = (words.worded(jobs.scene.plan.units),)
    # the first row is laid along one, whatever is cut
    rows = _some(floor_covering=jobs.floors or not long_enough)
    yield _Tool("chalk-line", "Chalk line", 1, rows)
    pack = STRAIGHTEDGES[min(long_enough, default=MOVED_MM)]
    yield _Tool(pack, "Straightedge", 1, mats, notes=notes, key="straightedge")


def _packed(jobs: Jobs) -> Iterator[tuple[str, float, str]]:
    """Yield what is packed level: its name, how many packers, what to mind where the floor falls.

    What is bolted takes some for an uneven floor; where the floor falls under it, or under what a
    bar lies on, the two lower feet are raised by the fall.
    """
    scene = jobs.scene
    bolted = {placed.piece.id for placed in jobs.bolted}
    for placed in scene.order:
        count, note = 0.0, ""
        if placed.piece.id in bolted:
            count = published("tools.packers-piece")
        coming = stands_level(placed) and not placed.piece.stays
        fall = fall_under(scene, placed)[0] if coming and falls(scene) else 0.0
        if fall and fall >= published("floor.pack-least-mm"):
            count += PAIR * math.ceil(fall / published("tools.packer-mm"))
            words = phrase("{}: the floor falls {:mm} under it.", placed.name, fall)
            note = words.worded(scene.plan.units)
        if count:
            yield placed.name, count, note


def _unprotected(jobs: Jobs) -> bool:
    protection = jobs.scene.plan.room.electricity.residual_current_protection
    return protection != "yes"


def _protection(jobs: Jobs) -> Iterator[_Tool]:
    drilling = jobs.dusty_holes * published("works.anchors.h")
    coated = any(coat.coating.mix for coat in jobs.coats)
    solvent = any(is_solvent(coat) for coat in jobs.coats)
    lungs = "Class P3 (EN 149 FFP3, N100): stone dust scars lungs."
    yield _Tool(
        "masks-p3", "Breathing mask, class P3", shifts(drilling) * jobs.hands,
        _some(drilling_in_masonry=jobs.dusty_holes), "protection", (lungs,),
        working=(
            Step("holes in masonry", jobs.dusty_holes, PIECE),
            Step("one takes", published("works.anchors.h"), "h", "works.anchors.h"),
            Step("a mask lasts", published("tools.mask-h"), "h", "tools.mask-h"),
            Step("people", jobs.hands),
        ),
    )  # fmt: skip
    brushed = _some(
        brushing=jobs.rough_m2,
        sanding=jobs.wall_m2 or jobs.ceiling_coated or jobs.boarded_m2,
        sweeping=jobs.on_ground and jobs.floor_worked,
        painting=jobs.coats,
        levelling=jobs.levelled_mm,
        sawing=jobs.sawn_boards,
    )
    mind = ("It holds back dust, no solvent.",) if solvent else ()
    yield _Tool(
        "masks-5", "Dust mask, class P2", published("small.masks"), brushed, "protection", mind,
        ("paint.masks-5",),
    )  # fmt: skip
    eyes = _some(
        drilling=jobs.holes, two_part_coating=coated, ceiling=jobs.ceiling_coated,
        boards=jobs.boarded_m2 or jobs.sawn_boards, brushing=jobs.rough_m2,
        levelling=jobs.levelled_mm, scrubbing=jobs.scrubbed,
    )  # fmt: skip
    yield _Tool("goggles", "Goggles", jobs.hands, eyes, "protection")
    loud = _some(drilling=jobs.holes, boards=jobs.boarded_m2 or jobs.sawn_boards)
    yield _Tool("ear-defenders", "Ear protection", jobs.hands, loud, "protection")
    sharp = _some(mirrors=jobs.mirrors, knife=jobs.knife_m)
    pairs = PAIR if jobs.mirrors else jobs.hands
    yield _Tool("gloves-cut", "Gloves that resist cuts", pairs, sharp, "protection")
    # cleaner and wet cement burn skin, and run into what ends at the wrist
    wet = _some(scrubbing=jobs.scrubbed, levelling=jobs.levelled_mm)
    yield _Tool("gloves-wet", "Long rubber gloves", jobs.hands, wet, "protection")
