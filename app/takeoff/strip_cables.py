"""The cable of light strip in whole lengths, and what joins it to the strip at each feed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from app.scene.build import Scene
from app.takeoff.buying import cheapest_lengths
from app.takeoff.counting import PIECE, counted
from app.takeoff.line import Gathered, Line, Step, offers
from app.takeoff.strip_feeds import cable_words
from app.units import KILO
from app.wording import in_figures, phrase

RINGS = ("cable-low-volt-10m", "cable-low-volt-25m", "cable-low-volt-50m")
OFF_THE_DRUM = "cable-low-volt-m"
CONNECTOR_MOST_MM2 = "2.5"
"""Thicker cable goes into no connector for light strip; common practice, no source."""
READ = "BS 7671 Tables 4F3A and 4F3B, as a wholesaler repeats them"


def cable_line(
    scene: Scene,
    gathered: Gathered,
    size: str,
    lengths_mm: Sequence[float],
    where: str,
    working: tuple[Step, ...],
    notes: tuple[str, ...],
) -> Line:
    """Return the line of one size of cable: each feed's lies in one length, never joined."""
    plan = scene.plan
    lengths = [mm / KILO for mm in lengths_mm]
    rings = offers(plan, RINGS, gathered.problems)
    # what is longer than any ring a wholesaler cuts off the drum
    drums = offers(plan, [OFF_THE_DRUM], gathered.problems)
    drum = min(drums, key=lambda one: (one.price_minor or 0) / one.size, default=None)
    can_be = drum or (rings and max(lengths) <= max(ring.size for ring in rings))
    cut = f"Cut it into {_lengths_words(scene, lengths_mm)}: no feed is joined on its way."
    return Line(
        key=f"strip.cable-{size.replace('.', '-')}",
        part="strip",
        item=f"Two-core flexible copper cable {cable_words(size, plan.units)}",
        where=where,
        net=sum(lengths),
        waste=0,
        unit="m",
        bought=cheapest_lengths(lengths, rings, drum) if can_be else (),
        rate=READ,
        working=working,
        notes=(*notes, cut) if len(lengths) > 1 else notes,
    )


def _lengths_words(scene: Scene, lengths_mm: Sequence[float]) -> str:
    units = scene.plan.units
    longest_first = sorted(lengths_mm, reverse=True)
    counts = {mm: longest_first.count(mm) for mm in dict.fromkeys(longest_first)}
    words = [
        phrase("{} of {:metres}" if count > 1 else "{1:metres}", count, mm).worded(units)
        for mm, count in counts.items()
    ]
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def joint_lines(
    scene: Scene,
    gathered: Gathered,
    feeds: int,
    corners: int,
    terminals: Mapping[str, int],
    where: str,
) -> Iterator[Line]:
    """Yield connectors for feeds and corners, and a terminal for each feed that fits in none.

    `terminals` counts those feeds by the cross-section of their cable.
    """
    units = scene.plan.units
    note = ""
    if terminals:
        most = cable_words(CONNECTOR_MOST_MM2, units)
        note = (
            f"A connector takes one cable of {most} at the most: at "
            f"{in_figures(sum(terminals.values()), 'feed')} the cable ends in a terminal, and the "
            "connector's own leads begin there. Take connectors with leads for them."
        )
    yield counted(
        scene, gathered, key="strip.connectors", part="strip", item="Connectors, feed and corner",
        where=where, net=feeds + 2 * corners, unit=PIECE, pack=("connectors-2", "connectors-10"),
        rate="counted", working=(Step("feeds", feeds), Step("corners", corners)),
        notes=(note,) if note else (),
    )  # fmt: skip
    for size, count in sorted(terminals.items()):
        yield counted(
            scene, gathered, key=f"strip.terminal-{size.replace('.', '-')}", part="strip",
            item=f"Screw terminal in a box, two-pole, for cable of {cable_words(size, units)}",
            where=where, net=count, unit=PIECE, pack="terminal-in-box", rate="counted",
            working=(Step("feeds of cable that fits in no connector", count),),
        )  # fmt: skip
