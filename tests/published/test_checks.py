"""Published figures against the tool's own inputs: each with its source beside it.

Lifts: NIOSH publication 94-110 (revised 9/2021): formulas on p. 7, multipliers to two decimals in
tables 1 to 4. Reaches: 1988 Anthropometric Survey of U.S. Army Personnel, percentiles computed from
its data. Clearances: as each line names them; of those the judge is asked with a thing at the
limit and 10 mm nearer.
"""

from __future__ import annotations

import pytest

from app.checks.run import run
from app.formulas.body import grip_reach_cautious_mm, grip_reach_typical_mm
from app.formulas.headroom import demand
from app.formulas.lifting import recommended_kg
from app.library.kit import kit_types
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place

LOAD_KG = 23.0
BEST = {"H": 25.0, "V": 75.0, "D": 25.0, "A": 0.0}
"""The lift from which nothing is taken off."""
MULTIPLIERS = [
    # NIOSH 94-110, table 1
    ("H", 25, 1.00), ("H", 30, 0.83), ("H", 40, 0.63), ("H", 50, 0.50), ("H", 60, 0.42),
    ("H", 63, 0.40),
    # table 2
    ("V", 0, 0.78), ("V", 30, 0.87), ("V", 50, 0.93), ("V", 75, 1.00), ("V", 100, 0.93),
    ("V", 125, 0.85), ("V", 150, 0.78), ("V", 175, 0.70),
    # table 3
    ("D", 25, 1.00), ("D", 40, 0.93), ("D", 55, 0.90), ("D", 100, 0.87), ("D", 175, 0.85),
    # table 4
    ("A", 0, 1.00), ("A", 15, 0.95), ("A", 30, 0.90), ("A", 60, 0.81), ("A", 90, 0.71),
    ("A", 135, 0.57),
]  # fmt: skip


@pytest.mark.parametrize(("letter", "at", "multiplier"), MULTIPLIERS)
def test_multipliers_of_the_lifting_equation(letter: str, at: float, multiplier: float) -> None:
    lift = BEST | {letter: at}
    mass = recommended_kg(lift["H"], lift["V"], lift["D"], twist_deg=lift["A"])
    # printed to two decimals, halves up
    assert mass / LOAD_KG == pytest.approx(multiplier, abs=0.00501)


def test_a_printed_lift() -> None:
    # 12 kg at H 25, V 55, D 95 cm, 3 a minute (0.88), fair grip (0.95): RWL 15.68 kg, LI 0.765
    limit = recommended_kg(25, 55, 95, frequency=0.88, grip=0.95)
    assert limit == pytest.approx(15.68, abs=0.01)
    assert 12 / limit == pytest.approx(0.765, abs=0.001)


# stature and grip reach, feet flat, of the 5th, 50th and 95th percentile: ANSUR 1988 and 2012
MEN = [(1648, 1960), (1755, 2106), (1870, 2257)]
WOMEN = [(1525, 1811), (1626, 1943), (1740, 2092)]


@pytest.mark.parametrize(("stature", "reach"), MEN + WOMEN)
def test_percentiles_of_reach_lie_under_the_cautious_one(stature: float, reach: float) -> None:
    assert grip_reach_cautious_mm(stature) > reach
    # the typical one meets them to the survey's standard error of 32
    assert grip_reach_typical_mm(stature) == pytest.approx(reach, abs=32)


@pytest.mark.parametrize("stature", range(1500, 1951, 50))
def test_the_cautious_reach_covers_every_stature(stature: float) -> None:
    # 1.23 H is exceeded by 5 in 100, 1.25 H by 3 in 1,000: ANSUR 1988
    assert 1.23 * stature <= grip_reach_cautious_mm(stature) <= 1.25 * stature


# bars at 7.5 and 8 ft (TC 3-22.20, 2010, as two pages repeat it) and the tallest who hangs straight
@pytest.mark.parametrize(("bar", "stature"), [(2286, 1824), (2438, 1946)])
def test_army_bars_suit_the_statures_they_are_made_for(bar: float, stature: float) -> None:
    # hang length 1.253 H, ANSUR 1988
    assert 1.253 * stature == pytest.approx(bar, abs=1)
    over = demand("pull-up", stature, bar_height_mm=bar).least_mm - bar
    # chin to crown 0.130 H (Winter 2009, fig. 4.1), the chin 50 over the bar: practice
    assert over == pytest.approx(0.130 * stature + 50, abs=0.5)


WIDE = 9000
CLEARANCES = [
    # kit, side, free, severity 10 mm nearer
    ("running-machine", "front", 2000, "care"),  # BS EN 957-6:2010, as a trade body repeats it
    ("running-machine", "front", 1000, "stop"),  # ASTM F2115-05, as an insurer quotes it
    ("running-machine", "left", 500, "care"),  # ASTM F2115-12, as an insurer quotes it
    ("running-machine", "right", 500, "care"),  # the same
    ("curved-runner", "front", 2000, "care"),  # BS EN 957-6:2010
    ("curved-runner", "front", 1000, "stop"),  # ASTM F2115-05
    ("cross-trainer", "front", 600, "care"),  # EN ISO 20957-1, instructions for use
    ("leg-press", "front", 600, "care"),  # EN ISO 20957-1
    ("dip-station", "front", 600, "care"),  # EN ISO 20957-1
    ("mirror", "front", 150, "care"),  # NSCA Essentials, 4th ed., ch. 23: 6 in, 150 on a tape
    ("consumer-unit", "front", 914, "stop"),  # NEC 110.26: 36 in deep
]


def nearest(key: str, side: str, free: float) -> set[str]:
    """Return how grave it is that a tall thing stands so far off a piece, on one side."""
    kit = kit_types()[key]
    out = {"front": (0, 1), "left": (-1, 0), "right": (1, 0)}[side]
    half = kit.depth_mm / 2 if out[0] == 0 else kit.width_mm / 2
    on_wall = kit.fixing in ("wall", "wall-and-floor") or key == "consumer-unit"
    y = kit.depth_mm / 2 if on_wall else WIDE / 2
    off = half + free + 200
    box = place(
        "other-thing", WIDE / 2 + out[0] * off, y + out[1] * off,
        width=400, depth=400, height=1900, piece_id="box",
    )  # fmt: skip
    plan = make_plan(place(key, WIDE / 2, y, piece_id="it"), box, room=make_room(WIDE, WIDE))
    rows = run(build_scene(plan))
    return {s.severity for s in rows if s.severity != "note" and s.pieces == ("it", "box")}


@pytest.mark.parametrize(("key", "side", "free", "nearer"), CLEARANCES)
def test_clearances_hold_to_the_millimetre(key: str, side: str, free: float, nearer: str) -> None:
    milder = {"stop": {"care"} if free == 1000 else set(), "care": set()}[nearer]
    assert nearest(key, side, free) == milder
    assert nearest(key, side, free - 1) == {nearer}
    assert nearest(key, side, free - 10) == {nearer}


# EN ISO 20957-1: 0.6 m on the side from which a machine is got on; one side is enough
@pytest.mark.parametrize("key", ["bike", "bike-lying", "fan-bike", "rower", "multi-station"])
def test_a_machine_is_got_on_from_one_side(key: str) -> None:
    kit = kit_types()[key]
    middle, half = WIDE / 2, kit.width_mm / 2

    def boxes(left: float, right: float) -> set[str]:
        pair = (
            place(
                "other-thing",
                middle - half - left - 200,
                middle,
                width=400,
                depth=400,
                piece_id="l",
            ),
            place(
                "other-thing",
                middle + half + right + 200,
                middle,
                width=400,
                depth=400,
                piece_id="r",
            ),
        )
        plan = make_plan(
            place(key, middle, middle, piece_id="it"), *pair, room=make_room(WIDE, WIDE)
        )
        return {s.severity for s in run(build_scene(plan)) if s.code == "room-to-get-on-left"}

    assert boxes(600, 310) == set()
    assert boxes(310, 600) == set()
    assert boxes(599, 310) == {"care"}


def test_there_are_sixty_published_checks() -> None:
    assert len(MULTIPLIERS) + 2 + 2 * len(MEN + WOMEN) + 10 + 2 + len(CLEARANCES) + 5 >= 60
