"""Light strip: cut to its own segments, profiles nested in stock lengths, supply, feeds, cable."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from app.formulas.low_voltage import (
    cut_length_mm,
    longest_fed_m,
    rating_w,
    strip_drop_v,
    warm_share,
)
from app.library.finishes import Strip, Supply, finishes
from app.model.finishing import StripRun
from app.published.register import published, row
from app.scales import TEMPERATURE
from app.scene.build import Scene
from app.takeoff.buying import cheapest
from app.takeoff.calling import NO_WALL, in_front, strip_called
from app.takeoff.counting import counted
from app.takeoff.line import Bought, Gathered, Line, Step, offers
from app.takeoff.profiles import profile_lines
from app.takeoff.strip_cables import CONNECTOR_MOST_MM2, cable_line, joint_lines
from app.takeoff.strip_feeds import Feeding, cable_words, feeding, guard_words, needs_fuse
from app.takeoff.strip_ways import way_says
from app.units import KILO, Units
from app.wording import joined, length_words, phrase

_MM = KILO


@dataclass(frozen=True, slots=True)
class Leg:
    """One straight piece of a run: what there is room for and the strip cut for it, in mm."""

    room_mm: float
    strip_mm: float


@dataclass(frozen=True, slots=True)
class Fed:
    """One run worked out: its legs, load, feeds and cable.

    `name` is what people call it; `amps` is the load of all feeds together.
    """

    run: StripRun
    name: str
    strip: Strip
    legs: tuple[Leg, ...]
    watts: float
    amps: float
    drop_v: float
    feeding: Feeding

    @property
    def cable(self) -> tuple[str, float] | None:
        """The cross-section of its cable in mm2 and the voltage lost in it."""
        return self.feeding.cable

    @property
    def feeds_mm(self) -> tuple[float, ...]:
        """The places of the feeds along the strip."""
        return tuple(place * _MM for place in self.feeding.places_m)

    @property
    def strip_mm(self) -> float:
        """The strip of all legs together."""
        return sum(leg.strip_mm for leg in self.legs)


def strips(scene: Scene) -> Gathered:
    """Return the lines of all runs; a run that cannot be is named and left out."""
    gathered = Gathered()
    fed = [*fed_runs(scene, gathered)]
    if not fed:
        return gathered
    for key in sorted({run.strip.key for run in fed}):
        gathered.lines.append(_reels(scene, [r for r in fed if r.strip.key == key], gathered))
    gathered.take(profile_lines(scene, [run.run for run in fed]))
    for volts in sorted({run.strip.volts for run in fed}):
        of = [run for run in fed if run.strip.volts == volts]
        gathered.lines.append(_supply(scene, volts, of, gathered))
    gathered.lines += _small(scene, fed, gathered)
    gathered.says += _says(fed, scene.plan.units)
    for one in fed:
        gathered.says += way_says(scene, one.run)
    return gathered


def fed_runs(scene: Scene, gathered: Gathered) -> Iterator[Fed]:
    """Yield the runs that can be fed; the others are named in the problems.

    Where the supply of all together outdoes a cable, that is one for which a fuse is made.
    """
    every = (_fed(scene, run, gathered) for run in scene.plan.fit_out.strips)
    runs = [fed for fed in every if fed is not None]
    for fed in runs:
        outdone = needs_fuse(fed.feeding, _supply_amps(runs, fed.strip.volts))
        if outdone and fed.feeding.fuse_a is None:
            yield replace(fed, feeding=_feeding(scene, fed.run, fed.strip, fed.strip_mm, True))
        else:
            yield fed


def _fed(scene: Scene, run: StripRun, gathered: Gathered) -> Fed | None:
    strip, called = finishes().strips.get(run.strip), strip_called(scene, run)
    if strip is None:
        gathered.problems.append(f"{called}: there is no strip {run.strip!r}")
        return None
    walls = {wall.id for wall in scene.plan.room.walls}
    if run.wall is not None and run.wall not in walls:
        gathered.problems.append(f"{called}: {NO_WALL}")
        return None
    legs = []
    for a, b in zip(run.points, run.points[1:], strict=False):
        length = math.dist(a, b)
        legs.append(Leg(length, cut_length_mm(length, strip.segment_mm)))
    whole_m = sum(leg.strip_mm for leg in legs) / _MM
    if whole_m <= 0:
        gathered.problems.append(
            f"{called}: its legs are shorter than one segment of "
            f"{length_words(strip.segment_mm, scene.plan.units)}"
        )
        return None
    amps_m = strip.watts_m / strip.volts
    fed = _feeding(scene, run, strip, whole_m * _MM)
    return Fed(
        run,
        called,
        strip,
        tuple(legs),
        strip.watts_m * whole_m,
        amps_m * whole_m,
        strip_drop_v(fed.reach_m, strip.ohm_m, amps_m),
        fed,
    )


def _feeding(
    scene: Scene, run: StripRun, strip: Strip, strip_mm: float, fused: bool = False
) -> Feeding:
    whole_m, amps_m = strip_mm / _MM, strip.watts_m / strip.volts
    longest = longest_fed_m(strip.volts, strip.ohm_m, amps_m)
    amps, cable_m = amps_m * whole_m, run.cable_mm / _MM
    return feeding(whole_m, longest, amps, strip.volts, cable_m, _air_c(scene), fused)


def _air_c(scene: Scene) -> float:
    """Return the warmest air that a cable lies in."""
    climate = scene.plan.room.climate
    return max(climate.outside_c, climate.wanted_c, climate.unheated_c)


def _reels(scene: Scene, runs: Sequence[Fed], gathered: Gathered) -> Line:
    strip = runs[0].strip
    steps = []
    for run in runs:
        for number, leg in enumerate(run.legs, 1):
            steps.append(Step(f"{run.name}, leg {number}", leg.room_mm, "mm"))
            steps.append(Step("cut to whole segments", leg.strip_mm, "mm", strip.key))
    net = sum(run.strip_mm for run in runs) / _MM
    pieces = [leg for run in runs for leg in run.legs if leg.strip_mm]
    packs = offers(scene.plan, [strip.pack], gathered.problems)
    bought: tuple[Bought, ...] = ()
    if packs:
        # strip is soldered or plugged together at its segments, so reels count as one length
        bought = cheapest(net, packs)
    return Line(
        key=f"strip.{strip.key}",
        part="strip",
        item=strip.name,
        where=", ".join(run.name for run in runs),
        net=net,
        waste=0,
        unit="m",
        bought=bought,
        mass_kg=net * strip.kg_per_m,
        rate=f"{strip.source} ({strip.status})",
        working=(*steps, Step("pieces", len(pieces))),
        notes=(
            f"Cut only at the marks, every {length_words(strip.segment_mm, scene.plan.units)}.",
        ),
    )


def _supplies(load_w: float) -> list[Supply]:
    """Return the supplies for a load, the largest first."""
    known = sorted(finishes().supplies.values(), key=lambda supply: supply.watts)
    chosen: list[Supply] = []
    left = rating_w(load_w)
    while left > known[-1].watts:
        chosen.append(known[-1])
        left -= known[-1].watts
    chosen.append(next(supply for supply in known if supply.watts >= left))
    return chosen


def _supply_amps(runs: Sequence[Fed], volts: float) -> float:
    """Return the most that the largest supply of one voltage gives, in A."""
    load = sum(run.watts for run in runs if run.strip.volts == volts)
    return _supplies(load)[0].watts / volts


def _supply(scene: Scene, volts: float, runs: Sequence[Fed], gathered: Gathered) -> Line:
    load = sum(run.watts for run in runs)
    least = rating_w(load)
    chosen = _supplies(load)
    bought: list[Bought] = []
    for supply in dict.fromkeys(chosen):
        packs = offers(scene.plan, [supply.pack], gathered.problems)
        bought += [packs[0].times(chosen.count(supply))] if packs else []
    counts = Counter(supply.watts for supply in chosen)
    words = " + ".join(
        f"{count} × {watts:.0f} W" if count > 1 else f"{watts:.0f} W"
        for watts, count in counts.items()
    )
    return Line(
        key=f"strip.supply-{volts:.0f}v",
        part="strip",
        item=f"Supply {volts:.0f} V, {words}",
        where=", ".join(run.name for run in runs),
        net=len(chosen),
        waste=0,
        unit="pc",
        bought=tuple(bought),
        rate=f"{row('strip.load-ratio').title} {row('strip.load-ratio').clause}",
        working=(
            *(Step(run.name, run.watts, "W", run.strip.key) for run in runs),
            Step("together", load, "W"),
            Step("load at most this share", published("strip.load-ratio"), "", "strip.load-ratio"),
            Step("rating at least", least, "W"),
        ),
        notes=("Where it can be reached and cooled; its mains side is an electrician's work.",),
    )


def _small(scene: Scene, runs: Sequence[Fed], gathered: Gathered) -> list[Line]:
    lines = []
    by_size: dict[str, list[float]] = {}
    terminals: Counter[str] = Counter()
    most_volts = max(strip.volts for strip in finishes().strips.values())
    for run in runs:
        if run.cable is None:
            gathered.problems.append(
                _too_hot(run.name, _air_c(scene), scene.plan.units)
                if warm_share(_air_c(scene)) == 0
                else phrase(
                    "{}: no cable in the table carries {:.1f} A over {:metres}, fed from its "
                    "start, its middle, both ends or twice as often, nor do two side by side; "
                    "bring the supply nearer{}",
                    run.name,
                    run.amps,
                    run.run.cable_mm,
                    " or use 24 V" if run.strip.volts < most_volts else "",
                ).worded(scene.plan.units)
            )
            continue
        lengths = [run.run.cable_mm + feed for feed in run.feeds_mm] * run.feeding.side_by_side
        by_size.setdefault(run.cable[0], []).extend(lengths)
        if run.feeding.side_by_side > 1 or float(run.cable[0]) > float(CONNECTOR_MOST_MM2):
            terminals[run.cable[0]] += len(run.feeds_mm)
    for size, lengths in by_size.items():
        steps = [
            step
            for r in runs
            if r.cable is not None and r.cable[0] == size
            for step in (
                Step(f"{r.name}: in each cable", r.feeding.amps_a_cable, "A"),
                Step(
                    "the cable carries", r.feeding.carries_a, "A", f"strip.cable.{_key(size)}-amps"
                ),
                Step("lost in it", r.cable[1], "V", f"strip.cable.{_key(size)}-ohm-km"),
            )
        ]
        guards = [
            f"{in_front(r.name)}: {_guard(r, runs, scene.plan.units)}."
            for r in runs
            if r.cable is not None and r.cable[0] == size
        ]
        where = ", ".join(r.name for r in runs if r.cable is not None and r.cable[0] == size)
        lines.append(cable_line(scene, gathered, size, lengths, where, tuple(steps), tuple(guards)))
    lines.extend(_fuses(scene, runs, gathered))
    feeds = sum(len(run.feeds_mm) for run in runs)
    corners = sum(len(run.legs) - 1 for run in runs)
    every = ", ".join(run.name for run in runs)
    lines += joint_lines(scene, gathered, feeds, corners, terminals, every)
    return lines


def _too_hot(name: str, air_c: float, units: Units) -> str:
    """Say that the air is warmer than any figure for a cable: nearer or with more volts is none."""
    step = 2 * published("strip.cable.air-step-c")
    most = TEMPERATURE.words(published("strip.cable.air-c") + step, units)
    return (
        f"{name}: the air is {TEMPERATURE.words(air_c, units)}, and what a cable carries is known "
        f"up to {most} alone; lead cable and strip where it is cooler"
    )


def _fuses(scene: Scene, runs: Sequence[Fed], gathered: Gathered) -> Iterator[Line]:
    """Yield a line for each size of fuse: one in each feed whose cable the supply outdoes."""
    guarded: dict[float, list[Fed]] = {}
    for run in runs:
        fuse = run.feeding.fuse_a
        if fuse is not None and needs_fuse(run.feeding, _supply_amps(runs, run.strip.volts)):
            guarded.setdefault(fuse, []).append(run)
    for amps, some in sorted(guarded.items()):
        words = (f"Fuse of {amps:g} A in a holder, at the supply", "pc", "fuse-in-holder")
        each = [(run, len(run.feeds_mm) * run.feeding.side_by_side) for run in some]
        steps = [Step(f"{run.name}: cables to feeds", cables) for run, cables in each]
        count = sum(cables for _, cables in each)
        yield _line(scene, gathered, f"fuse-{_key(f'{amps:g}')}", words, count, some, steps)


def _guard(run: Fed, runs: Sequence[Fed], units: Units) -> str:
    return guard_words(run.feeding, _supply_amps(runs, run.strip.volts), units)


def _key(size: str) -> str:
    return size.replace(".", "-")


def _line(
    scene: Scene,
    gathered: Gathered,
    key: str,
    words: tuple[str, str, str | tuple[str, ...]],
    net: float,
    runs: Sequence[Fed],
    steps: Sequence[Step],
    notes: Sequence[str] = (),
) -> Line:
    item, unit, pack = words
    return counted(
        scene, gathered, key=f"strip.{key}", part="strip", item=item,
        where=", ".join(run.name for run in runs), net=net, unit=unit, pack=pack,
        rate="counted", working=tuple(steps), notes=tuple(notes),
    )  # fmt: skip


def _says(runs: Sequence[Fed], units: Units) -> list[str]:
    sentences = ["Light strip is trim: the light to train by are the fittings."]
    for run in runs:
        *first, last = run.feeds_mm
        feeds = (*(phrase("{:bare-fine}", feed) for feed in first), phrase("{:fine}", last))
        along = phrase("{} along", joined(" and ", feeds))
        sentences.append(
            phrase(
                "{}: {:fine}, {:.0f} W, {:.1f} A; feed it {}; its far end loses {:.2f} V of "
                "{:.0f}.",
                in_front(run.name),
                run.strip_mm,
                run.watts,
                run.amps,
                "at its start" if run.feeds_mm == (0.0,) else along,
                run.drop_v,
                run.strip.volts,
            ).worded(units)
        )
        if run.cable is not None:
            sentences.append(
                f"{in_front(run.name)}: cable of {cable_words(run.cable[0], units)}; "
                f"{_guard(run, runs, units)}."
            )
        if run.strip.lamps_m < published("strip.dots-lamps-m"):
            sentences.append(
                f"{in_front(run.name)}: {run.strip.lamps_m:.0f} lamps a metre show as dots "
                f"under a cover; {published('strip.dots-lamps-m'):.0f} show fewer."
            )
    if any(run.run.profile for run in runs):
        sentences.append(
            "Strip and cable in a closed profile run hot, and a cable in air above "
            f"{TEMPERATURE.words(published('strip.cable.air-c'), units)} carries less: lead the "
            "cable outside the profile, and ask the maker what the profile may hold."
        )
    return sentences
