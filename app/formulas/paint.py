"""How far paint goes, how thick it lies, how long it takes to dry, what evaporates.

Sources: theoretical spreading rate of coatings notes (m2/L = 10 x solids % / dry film in um),
dry film = wet film x solids (MIL-HDBK-1110, procedure 13), loss factors of a maker's note, cure
doubled for each 10 K (trade text).
"""

from __future__ import annotations

from app.published.register import published
from app.units import KILO, PERCENT

_WHOLE = PERCENT


def theoretical_rate_m2_l(solids_percent: float, dry_um: float) -> float:
    """Return the spreading rate in m2/L at this dry film.

    Raises ValueError unless both are more than nothing. Worked: 71 %, 125 um: 5.68 m2/L.
    """
    if solids_percent <= 0 or dry_um <= 0:
        raise ValueError("solids and film must be more than nothing")
    return published("paint.rate-per-film") * solids_percent / dry_um


def wet_um(dry_um: float, solids_percent: float) -> float:
    """Return the wet film to lay for a dry film. Worked: 125 um at 71 %: 176 um."""
    if solids_percent <= 0:
        raise ValueError("a coating has solids")
    return dry_um * _WHOLE / solids_percent


def practical_rate_m2_l(rate_m2_l: float, loss: float) -> float:
    """Return the rate when a share is lost. Worked: 6.0 less 30 %: 4.2 m2/L."""
    if not 0 <= loss < 1:
        raise ValueError("a loss lies from nothing to less than the whole")
    return rate_m2_l * (1 - loss)


def litres(area_m2: float, coats: int, rate_m2_l: float) -> float:
    """Return the litres that so many coats take.

    Raises ValueError for a rate of nothing or less. Worked: 33.338 m2 twice at 12: 5.556 L.
    """
    if rate_m2_l <= 0:
        raise ValueError("a spreading rate must be more than nothing")
    return area_m2 * coats / rate_m2_l


def slower(at_c: float) -> float:
    """Return how many times as long drying takes as at 20 C. Worked: 10 C: 2; 30 C: 1/2."""
    away = published("paint.reference-c") - at_c
    return float(2 ** (away / published("paint.doubling-k")))


def shares(volume_l: float, mix: tuple[int, int]) -> tuple[float, float]:
    """Return the litres of base and hardener. Worked: 7.5 L at 4 to 1: 6.0 and 1.5."""
    parts = mix[0] + mix[1]
    return volume_l * mix[0] / parts, volume_l * mix[1] / parts


def fresh_air_m3_h(solvent_g: float, hours: float) -> float:
    """Return the fresh air that keeps evaporating solvent at the limit of a workplace.

    Well mixed and even over the hours; the first hour is worse. Raises ValueError for no time.
    Worked: 2000 g over 8 h at 525 mg/m3: 476 m3/h.
    """
    if hours <= 0:
        raise ValueError("evaporating takes time")
    limit = published("paint.solvent-limit-mg-m3") / KILO
    return solvent_g / hours / limit
