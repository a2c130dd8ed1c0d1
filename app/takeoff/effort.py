"""How hard the solvers of cutting and laying try before they state a gap instead of a proof."""

STEPS_PER_MM = 100
"""Whole steps in which lengths are cut, so that sums are exact: plans keep lengths to 0.01 mm."""

SLACK = 1e-6
"""Share of a cost that counts as rounding of the solver: it works to about 1e-9 itself."""

CUTS_AT_MOST = 1_000_000
"""Pieces of one cut list; a house has thousands, and sums stay exact far beyond this."""

LENGTHS_AT_MOST = 400
"""Different lengths of one cut list: each is a row of the solver's table."""

PATTERNS_AT_MOST = 30_000
"""Ways to cut one stock length that are listed; their number grows without measure."""

PATTERNS_FIRST = 1_000
"""Of those, the ones that lose least, which are tried first and mostly hold the answer."""

PATTERNS_SOLVED = 5_000
"""Of those, the most that are given to the integer solver at once."""

FULL_PATTERNS_AT_MOST = 3_000
"""Ways to cut almost without waste, tried before all others."""

LOOKS_AT_MOST = 400_000
"""Steps of one search for ways to cut a stock length: about a tenth of a second."""

LOOKS_IN_ALL = 6_000_000
"""Steps of all such searches of one list together: some seconds, so that every list ends."""

ROUNDS_AT_MOST = 600
"""Ways to cut that are added one after the other while they make the bound better."""

QUICK_NODES = 50
"""First try of the integer solver, with the patterns of the linear bound: branches it may open.

Counted in branches and not in seconds, so that a busy machine proves what an idle one proves. The
lists of a house are settled at the first.
"""

SOLVER_NODES = 1_000
"""Branches that the integer solver may open before a gap is stated: a second or two."""

SOLVER_ENDS_S = 15.0
"""When the integer solver is stopped though it has branches left: ten times what it takes on a
machine with nothing else to do, so that nothing ever waits without end."""

SETS_AT_MOST = 3_000
"""Sets of cuts weighed for one stock piece, beyond which only a gap is stated."""

PAIRS_AT_MOST = 60_000
"""Ways to part sets of cuts in two that are weighed for one stock piece."""

OFFCUTS_AT_MOST = 24
"""Offcuts, the largest first, that are weighed for what is still to be cut: more lie on no pile."""

PIECES_LAID_AT_MOST = 4_000
"""Pieces of one laid floor: more are a size typed wrong, and no drawing would show them."""

STARTS_TRIED = 4
"""Walls from which a floor is laid for comparison: the longest ones, where one begins anyway."""

PIECES_CUT_AT_MOST = 12_000
"""Pieces cut from rows while the best way to lay a floor is sought, for each direction of rows, way
that the pieces lie and kind of joints: a tenth of a second. The same for each, however much a
household has settled by hand, so that it gets what was shown beside the best."""

NESTED_AT_MOST = 2_000
"""Ways to lay a floor whose cuts are nested while the best is sought, the likeliest first.

Few do not do: in a small room hundreds of ways could take one piece fewer by area, and only nesting
tells which do. Nesting ten cuts takes a tenth of a millisecond.
"""

CUTS_NESTED_AT_MOST = 12_000
"""Cuts of all these together, so that a large floor is sought as quickly as a small one. Of pieces
as narrow as a finger there are a thousand each, and then few ways are nested."""

EDGED_AT_MOST = 6
"""The same where joints ask for the maker's edges: each is laid out in full."""

NESTED_FOR_EACH = 4
"""Ways that are nested for each thing that another floor may be better at."""
