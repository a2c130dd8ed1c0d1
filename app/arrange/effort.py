"""How hard the searches for places and ways out try, in which steps, and what a judgement costs.

The work of a search is counted in solids judged by the checks of a place alone; what other checks
take beside those was measured in halls of 30 to 300 pieces under beams.
"""

from __future__ import annotations

from app.scene.build import Scene

RING_MM = 50
"""How much farther each try along a ray goes: what a household would call the next place."""

RINGS = 60
"""Distances tried along each ray: 3 m, beyond which the grid over the room goes on."""

MESH_MM = 250
"""Mesh of the grid of shifts over the whole room; halving it makes four times the tries."""

ROUNDING_MM = 10
"""Moves are worded and made in whole steps of this: nobody puts a rack down to the millimetre."""

MOVES_JUDGED_AT_MOST = 12
"""Tries of one way out that go before the full judge, who costs as much as all the rest."""

STEPS_AT_MOST = 16
"""Ways out taken one after another: more than a bad plan has stops, and an end for two that undo
one another."""

SCREENED = 1
"""Steps for each solid of a plan that is judged by the checks of a place alone: the measure."""

QUICK = 2
"""Steps for each solid of a plan that is judged as in a drag: it took twice as long."""

FULL = 10
"""Steps for each solid of a plan that is judged in full: it took ten times as long."""

WAYS_OUT_STEPS = 1_000_000
"""What ways out of one plan may cost: a quarter of it is enough for a garage, and in a hall of 300
pieces it is some fifteen seconds."""

MEND_ALL_STEPS = 2_000_000
"""What mending all of a plan may cost: its ways out are sought anew after each step."""

OFFER_STEPS = 500_000
"""What looking for one place may cost that somebody waits for."""

FOUR_WALLS_STEPS = 500_000
"""What trying each wall may cost: somebody waits for it, too."""

STARTER_STEPS = 2_000_000
"""What placing a set of a dozen stations may cost."""

OFFER_GRID_MM = 100
"""How far apart the places lie that an offered piece tries."""

PLACES_JUDGED_AT_MOST = 24
"""Of those places, how many go before the full judge: about what a hand waits for."""

PAIRS_A_STEP = 400
"""Pairs of solids for which what a place must keep to is found in the time of one step: nothing in
a garage; among 3,000 things in one place a single such way would take half a minute."""

NUDGE_MM = 200.0
"""A push of no more than this ends the search where it takes a stop away: nobody turns a chest
round, or carries it off, who can push it aside a hand's breadth."""


def work_of(scene: Scene, each: int) -> int:
    """Return the steps of one judgement of a scene, at so many for `each` of its solids."""
    return max(each * len(scene.solids.owner), 1)


def work_of_way(scene: Scene) -> int:
    """Return the steps of finding out what one station must keep to, among all others."""
    return max(len(scene.solids.owner) ** 2 // PAIRS_A_STEP, 1)
