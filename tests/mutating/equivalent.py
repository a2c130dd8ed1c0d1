"""What decides no answer: a change of it is another program that says the same.

Here are constants, in `same_lines.py` lines that may stand instead of those of the program. Each is
named with its reason. `tests/test_mutants.py` sees that it still stands in its file. What limits an
answer that somebody reads (how many names a sentence holds, how many rows a page) is not one.
"""

MEMORY = "how much is remembered: what was let go is reckoned again, alike"
_AT_A_TIME = "how many are measured in one call: the calls together measure the same"
SEARCH = "how long a search may take before a gap is stated: tests prove their answers far below"
DESCENT = "how the adjustment comes to the least: the least itself hangs on the observations alone"
ROUNDED = "what floating point leaves of nothing: orders above that, and below all that is measured"
_WALK = "where a walk to the triangle of a point sets out, and who walks alone: it ends in the same"
_PATIENCE = "how long somebody else is waited for"

EQUIVALENT: dict[str, dict[str, str]] = {
    "app/formulas/survey.py": {
        "STILL_MM": DESCENT,
        "ROUNDS_AT_MOST": DESCENT,
        "DAMPING_STEP": DESCENT,
        "DAMPING": DESCENT,
        "RANK_SHARE": ROUNDED,
    },
    "app/formulas/getting_in.py": {
        "TURN_STEPS": "how finely a turn is stepped through: finer by one moves no millimetre",
    },
    "app/formulas/low_voltage.py": {"_ROUNDING": ROUNDED},
    "app/takeoff/effort.py": {
        "STEPS_PER_MM": "how finely lengths are counted: to a hundredth of a millimetre or finer, "
        "plans keep no more",
        "PATTERNS_AT_MOST": SEARCH,
        "PATTERNS_FIRST": SEARCH,
        "PATTERNS_SOLVED": SEARCH,
        "FULL_PATTERNS_AT_MOST": SEARCH,
        "LOOKS_AT_MOST": SEARCH,
        "ROUNDS_AT_MOST": SEARCH,
        "QUICK_NODES": SEARCH,
        "SOLVER_NODES": SEARCH,
        "SOLVER_ENDS_S": SEARCH,
        "SETS_AT_MOST": SEARCH,
        "PAIRS_AT_MOST": SEARCH,
        "LOOKS_IN_ALL": SEARCH,
        "PIECES_CUT_AT_MOST": SEARCH,
        "NESTED_AT_MOST": SEARCH,
        "EDGED_AT_MOST": SEARCH,
        "OFFCUTS_AT_MOST": SEARCH,
        "STARTS_TRIED": SEARCH,
        "CUTS_NESTED_AT_MOST": SEARCH,
        "NESTED_FOR_EACH": SEARCH,
        "SLACK": ROUNDED,
    },
    "app/takeoff/counting.py": {"_HAIR": ROUNDED},
    "app/scene/overhead.py": {
        "_SLIVER_MM2": "what two parts that meet leave between them is far below, what nobody told "
        "of a ceiling far above",
    },
    "app/checks/lanes.py": {"WIDTH_DECIMALS": ROUNDED},
    "app/takeoff/floor.py": {
        "_ALIKE": "rows go on by a half or a third of a piece: what is between tells them apart",
    },
    "app/takeoff/floor_rows.py": {
        "ASKEW": SEARCH,
        "_FINE": "joints are told apart to a tenth of a millimetre, or finer",
    },
    "app/takeoff/free_edges.py": {"_HAIR_MM": "no wall is as short, and no edge lies as near"},
    "app/takeoff/ramps.py": {"_HAIR_MM": "no edge lies so little beyond the gap at a door"},
    "app/takeoff/light_places.py": {"STEP_MM": "how fine the grid is of the places that are tried"},
    "app/takeoff/offcuts.py": {
        "_NEW_COSTS": "above what all offcuts cost together, so that a new stock piece decides "
        "first: by how much does not matter",
    },
    "app/takeoff/floor_begun.py": {
        "_FAR_MM": "how far off the second point of a frame lies: its direction alone is read",
    },
    "app/takeoff/floor_layout.py": {
        "_BYTES_A_MAT": MEMORY,
        "LAID_AT_MOST": MEMORY,
        "LAID_BYTES": MEMORY,
    },
    "app/takeoff/buying.py": {
        "UNITS_COUNTED_AT_MOST": "where an integer programme takes over from counting: both prove "
        "the least",
    },
    "app/takeoff/floor_search.py": {
        "SEARCHES_AT_MOST": MEMORY,
        "_SHIFTS_AT_MOST": SEARCH,
        "_SHIFTS_A_ROW": SEARCH,
    },
    "app/takeoff/floor_fronts.py": {"_PARALLEL": ROUNDED},
    "app/takeoff/floor_shapes.py": {"_NOTHING_MM": ROUNDED},
    "app/takeoff/least_waste.py": {"LOOKS_FOR_A_BAR": SEARCH},
    "app/scene/memory.py": {
        "ANSWERS_AT_MOST": MEMORY,
        "ANSWERS_A_PIECE": MEMORY,
        "OWN_SHARE": MEMORY,
        "NESTED_SHARE": MEMORY,
        "MEMO_BYTES": MEMORY,
        "MEMO_BYTES_A_PIECE": MEMORY,
        "BYTES_A_KEY": MEMORY,
    },
    "app/scene/tolerance.py": {
        "ROUNDING": ROUNDED,
        "CHORDS_A_QUARTER": "how finely an arc is drawn: by less than a tape errs",
        "SKY_MM": "above every room: by how much does not matter",
    },
    "app/scene/triangles.py": {
        "APART_MM": ROUNDED,
        "_MIXING": "points of one number are compared by both of theirs, whatever number it is",
    },
    "app/scene/routes_graph.py": {"SET_OUT_FROM": _WALK, "FEW": _WALK},
    "app/scene/routes_lines.py": {"AREAS_AT_A_TIME": _AT_A_TIME},
    "app/scene/weight.py": {"BYTES_A_GEOMETRY": MEMORY, "BYTES_AN_OBJECT": MEMORY},
    "app/scene/shapes.py": {"SHAPES_AT_MOST": MEMORY, "SHAPES_BYTES": MEMORY},
    "app/scene/room.py": {
        "ROOMS_AT_MOST": MEMORY,
        "ROOMS_BYTES": MEMORY,
        "_BYTES_A_PART": MEMORY,
    },
    "app/checks/spots.py": {
        "BYTES_OF_CLEARS": MEMORY,
        "ALIKE_MM": "what rounding makes of heights that are alike, below all that a tape tells",
    },
    "app/checks/open_floor.py": {"PLACES_A_SIDE": "how many places are tried along a side"},
    "app/checks/getting_in.py": {"_ROOMS_AT_MOST": MEMORY},
    "app/checks/clash.py": {"PIECES_AT_A_TIME": _AT_A_TIME},
    "app/checks/together.py": {"BODIES_AT_A_TIME": _AT_A_TIME, "CONFLICTS_AT_MOST": SEARCH},
    "app/checks/crowding.py": {"OWNERS_AT_A_TIME": _AT_A_TIME},
    "app/store/history.py": {
        "SNAPSHOT_EVERY": "how often a plan is kept whole besides the log of its changes: what is "
        "read back is the same",
    },
    "app/store/record.py": {"AT_ONCE": _AT_A_TIME},
    "app/store/database.py": {
        "BUSY_SECONDS": _PATIENCE,
        "IDLE_LIMIT": "how many connections are kept open: another is opened where none is idle",
    },
    "app/store/single_instance.py": {"ASK_SECONDS": _PATIENCE},
}

ONES = {"TOLERANCE_MM": "one millimetre: to multiply by it and to divide by it is the same"}
"""Numbers that are one, wherever they stand."""

ONLY_QUICKER = {"shapely.prepare": "a shape that is prepared gives the same answers, sooner"}
"""Calls that may be left out, wherever they stand."""
