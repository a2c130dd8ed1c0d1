"""How much of a covering is bought, in words: so many mats, or so many metres off a roll."""

from __future__ import annotations

from collections import Counter

from app.takeoff.floor_layout import Laid
from app.units import KILO, Units
from app.wording import in_figures, length_words


def stock_words(laid: Laid, count: int, units: Units) -> str:
    """Say a count of stock pieces: "28 mats", "1 roll"; of a roll by the metre "20.5 m of roll"."""
    if laid.step_mm:
        return f"{off_roll_words(count * laid.step_mm, units)} of {laid.laying.kind}"
    return in_figures(count, laid.laying.kind)


def off_roll_words(long_mm: float, units: Units) -> str:
    """Say a length as a shop measures it off, by tenths of a metre: "4.4 m (14' 5 1/4")"."""
    metres = f"{long_mm / KILO:.1f} m"
    return metres if units == "metric" else f"{metres} ({length_words(long_mm, units)})"


def fewer_words(laid: Laid) -> str:
    """Say that no plan takes less."""
    return "Less is impossible" if laid.step_mm else "Fewer are impossible"


def lengths_of(laid: Laid) -> list[tuple[float, int]]:
    """Return the lengths that a shop cuts off the roll in m, each with its count; longest first."""
    counts = Counter(round(sheet.long_mm) for sheet in laid.sheets)
    return [(long / KILO, counts[long]) for long in sorted(counts, reverse=True)]


def lengths_words(laid: Laid, units: Units) -> str:
    """Say them: "4 of 4.1 m and 1 of 2.6 m"."""
    phrases = [
        f"{count} of {off_roll_words(long * KILO, units)}" for long, count in lengths_of(laid)
    ]
    return " and ".join([", ".join(phrases[:-1]), phrases[-1]] if len(phrases) > 1 else phrases)
