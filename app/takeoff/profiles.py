"""Profiles for strip: legs nested in stock lengths with the least stock, clips and end caps."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from app.errors import PlanError
from app.library.finishes import Profile, finishes
from app.model.finishing import StripRun
from app.published.register import published
from app.scene.build import Scene
from app.takeoff.calling import strip_called
from app.takeoff.counting import PIECE, counted
from app.takeoff.cutting_1d import CuttingPlan, cut_lengths
from app.takeoff.line import Bought, Gathered, Line, Step, offers
from app.units import KILO, format_short
from app.wording import in_figures, length_words, phrase

_MM = KILO
_SHORTEST_MM = 100.0
"""Shorter ones nobody sells, and each takes two clips."""
KERF_MOST_MM = 10.0
"""A saw blade takes 2 to 4 mm: what is more is a slip; common practice, no source."""


def profile_lines(scene: Scene, runs: Sequence[StripRun]) -> Gathered:
    """Return the profiles of all runs, by kind and stock length."""
    gathered = Gathered()
    groups: dict[tuple[str, float], list[StripRun]] = {}
    for run, profile, stock in in_profiles(scene, runs, gathered):
        groups.setdefault((profile.key, stock), []).append(run)
    small: list[_Small] = []
    for (key, stock), group in groups.items():
        profile = finishes().profiles[key]
        # one saw cuts all of one product: the widest cut that is typed counts for each
        kerf = max(run.kerf_mm for run in group)
        small += _group(scene, gathered, profile, stock, kerf, group)
    gathered.lines += [*_caps_and_clips(scene, small, gathered)]
    return gathered


def in_profiles(
    scene: Scene, runs: Sequence[StripRun], gathered: Gathered
) -> Iterator[tuple[StripRun, Profile, float]]:
    """Yield the runs that lie in a profile, with it and the length it is sold in, in mm.

    A run whose profile cannot be is named in the problems.
    """
    for run in runs:
        if run.profile is None:
            continue
        called = strip_called(scene, run)
        profile = finishes().profiles.get(run.profile)
        if profile is None:
            gathered.problems.append(f"{called}: there is no profile {run.profile!r}")
            continue
        stock = _stock_mm(run, profile)
        if stock < _SHORTEST_MM:
            sentence = phrase(
                "{}: a profile of {:exact} cannot be cut; give the length in which it is sold",
                called,
                stock,
            )
            gathered.problems.append(sentence.worded(scene.plan.units))
            continue
        if run.kerf_mm < 0:
            sentence = phrase("{}: a kerf of {:exact} is less than nothing", called, run.kerf_mm)
            gathered.problems.append(sentence.worded(scene.plan.units))
            continue
        if run.kerf_mm > KERF_MOST_MM:
            sentence = phrase(
                "{}: a kerf of {:exact} is wider than any saw cuts; give {:mm} or less",
                called, run.kerf_mm, KERF_MOST_MM,
            )  # fmt: skip
            gathered.problems.append(sentence.worded(scene.plan.units))
            continue
        yield run, profile, stock


@dataclass(frozen=True, slots=True)
class _Small:
    """End caps or clips of the legs of one group."""

    key: str
    item: str
    count: int
    packs: tuple[str, ...]
    step: Step
    where: str
    was: str


def _caps_and_clips(scene: Scene, small: Sequence[_Small], gathered: Gathered) -> Iterator[Line]:
    """Yield one line of each for every profile, whatever lengths it is cut from."""
    for key in dict.fromkeys(one.key for one in small):
        of = [one for one in small if one.key == key]
        yield counted(
            scene, gathered, key=key, part="strip", item=of[0].item,
            where=", ".join(dict.fromkeys(one.where for one in of)),
            net=sum(one.count for one in of), unit=PIECE, pack=of[0].packs, rate="counted",
            working=tuple(one.step for one in of), was=tuple(one.was for one in of),
        )  # fmt: skip


def _group(
    scene: Scene,
    gathered: Gathered,
    profile: Profile,
    stock: float,
    kerf: float,
    group: Sequence[StripRun],
) -> Iterator[_Small]:
    """Add the line of one profile cut from one stock length; yield its caps and clips."""
    legs = [leg for run in group for leg in pieces_on_legs(run)]
    pieces = [piece for leg in legs for piece in leg]
    try:
        # a whole length of 2501.9 is no piece of 2502
        plan = cut_lengths([(min(round(piece), stock), 1) for piece in pieces], stock, kerf)
    except PlanError as error:
        gathered.problems.append(f"{profile.name}: {error.sentence}")
        return
    where = ", ".join(strip_called(scene, run) for run in group)
    gathered.lines.append(_line(scene, gathered, profile, stock, kerf, plan, pieces, where))
    clips = sum(map(clips_of_a_piece, pieces))
    every = published("strip.clip-mm")
    old, kind = f"{profile.key}-{stock:.0f}", profile.key
    caps, spaced = Step("straight legs", len(legs)), Step("a clip every", every, "mm",
                                                           "strip.clip-mm")  # fmt: skip
    yield _Small(
        f"strip.end-caps-{kind}", "End caps", 2 * len(legs), ("end-caps-2", "end-caps-10"), caps,
        where, f"strip.end-caps-{old}",
    )  # fmt: skip
    yield _Small(
        f"strip.clips-{kind}", "Clips for the profile", clips, ("profile-clips-10",), spaced, where,
        f"strip.clips-{old}",
    )  # fmt: skip


def pieces_on_legs(run: StripRun) -> list[list[float]]:
    """Return how long the pieces of profile are on each leg of a run, in mm and in their order.

    Nothing on any leg where the run has no profile, or one that cannot be cut.
    """
    legs = [math.dist(a, b) for a, b in pairwise(run.points)]
    profile = finishes().profiles.get(run.profile or "")
    if profile is None or _stock_mm(run, profile) <= 0:
        return [[] for _ in legs]
    return [_jointed(leg, _stock_mm(run, profile)) for leg in legs]


def clips_of_a_piece(length_mm: float) -> int:
    """Return how many clips hold a piece of profile so long: one at each end too."""
    return math.ceil(length_mm / published("strip.clip-mm")) + 1


def _stock_mm(run: StripRun, profile: Profile) -> float:
    return profile.stock_mm if run.stock_mm is None else run.stock_mm


def _jointed(leg_mm: float, stock_mm: float) -> list[float]:
    """Split a leg that is longer than the stock: whole lengths first, the rest last."""
    whole = int(leg_mm // stock_mm)
    rest = leg_mm - whole * stock_mm
    return [stock_mm] * whole + ([rest] if rest >= 1 else [])


def _line(
    scene: Scene,
    gathered: Gathered,
    profile: Profile,
    stock: float,
    kerf: float,
    plan: CuttingPlan,
    pieces: Sequence[float],
    where: str,
) -> Line:
    packs, units = offers(scene.plan, [profile.pack], gathered.problems), scene.plan.units
    net = sum(pieces) / _MM
    own = stock != profile.stock_mm
    bought: tuple[Bought, ...] = ()
    if packs:
        name = f"{length_words(stock, units)} length" if own else packs[0].name
        one = packs[0]
        bought = (Bought(one.key, name, stock / _MM, plan.stock_used, one.price_minor, one.guide),)
    cuts = [
        Step(
            "one length: "
            + " + ".join(f"{n} × {format_short(length, units)}" for length, n in pattern.pieces),
            pattern.times,
            "lengths",
        )
        for pattern in plan.patterns
    ]
    proof = "no plan needs less" if plan.proven else f"at least {plan.lower_bound:g} are needed"
    return Line(
        key=f"strip.{profile.key}-{stock:.0f}",
        part="strip",
        item=profile.name if not own else f"{profile.name}, {length_words(stock, units)}",
        where=where,
        net=net,
        waste=plan.stock_used * stock / _MM - net,
        unit="m",
        bought=bought,
        mass_kg=plan.stock_used * stock / _MM * profile.kg_per_m,
        rate="cut by patterns (Gilmore and Gomory, 1961)",
        working=(Step("stock length", stock, "mm"), Step("kerf", kerf, "mm"), *cuts),
        notes=(f"{in_figures(plan.stock_used, 'length')}: {proof}.",),
    )
