"""How hard the searches for places and ways out try, and in which steps."""

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

WORK_AT_MOST = 400_000
"""Solids judged in all while ways out of one plan are sought: some seconds, even in a hall."""

OFFER_GRID_MM = 100
"""How far apart the places lie that an offered piece tries."""

PLACES_JUDGED_AT_MOST = 24
"""Of those places, how many go before the full judge: about what a hand waits for."""

SCREENED_AT_MOST = 600
"""Shifts of one station that go before the checks of the place alone, the smallest first."""

NUDGE_MM = 200.0
"""A push of no more than this ends the search where it takes a stop away: nobody turns a chest
round, or carries it off, who can push it aside a hand's breadth."""
