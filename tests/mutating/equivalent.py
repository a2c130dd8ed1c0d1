"""Constants that decide no answer: a change of them is another program that says the same.

Each is named with its reason. `tests/test_mutants.py` sees that it still stands in its file. What
limits an answer that somebody reads (how many names a sentence holds, how many rows a page) is not
among them.
"""

_MEMORY = "how much is remembered: what was let go is reckoned again, alike"
_AT_A_TIME = "how many are measured in one call: the calls together measure the same"
_SEARCH = "how long a search may take before a gap is stated: tests prove their answers far below"
_DESCENT = "how the adjustment comes to the least: the least itself hangs on the observations alone"
_PATIENCE = "how long somebody else is waited for"

EQUIVALENT: dict[str, dict[str, str]] = {
    "app/formulas/survey.py": {
        "STILL_MM": _DESCENT,
        "ROUNDS_AT_MOST": _DESCENT,
        "DAMPING_STEP": _DESCENT,
        "DAMPING": _DESCENT,
    },
    "app/takeoff/effort.py": {
        "STEPS_PER_MM": "how finely lengths are counted: to a hundredth of a millimetre or finer, "
        "plans keep no more",
        "PATTERNS_AT_MOST": _SEARCH,
        "PATTERNS_FIRST": _SEARCH,
        "PATTERNS_SOLVED": _SEARCH,
        "FULL_PATTERNS_AT_MOST": _SEARCH,
        "LOOKS_AT_MOST": _SEARCH,
        "ROUNDS_AT_MOST": _SEARCH,
        "QUICK_NODES": _SEARCH,
        "SOLVER_NODES": _SEARCH,
        "SOLVER_ENDS_S": _SEARCH,
        "SETS_AT_MOST": _SEARCH,
        "PAIRS_AT_MOST": _SEARCH,
    },
    "app/takeoff/buying.py": {
        "UNITS_COUNTED_AT_MOST": "where an integer programme takes over from counting: both prove "
        "the least",
    },
    "app/scene/memory.py": {
        "ANSWERS_AT_MOST": _MEMORY,
        "MEMO_BYTES": _MEMORY,
        "MEMO_BYTES_A_PIECE": _MEMORY,
        "BYTES_A_KEY": _MEMORY,
    },
    "app/scene/weight.py": {"BYTES_A_GEOMETRY": _MEMORY, "BYTES_AN_OBJECT": _MEMORY},
    "app/scene/shapes.py": {"SHAPES_AT_MOST": _MEMORY, "SHAPES_BYTES": _MEMORY},
    "app/scene/room.py": {
        "ROOMS_AT_MOST": _MEMORY,
        "ROOMS_BYTES": _MEMORY,
        "_BYTES_A_PART": _MEMORY,
    },
    "app/checks/spots.py": {"BYTES_OF_CLEARS": _MEMORY},
    "app/checks/getting_in.py": {"_ROOMS_AT_MOST": _MEMORY},
    "app/checks/clash.py": {"PIECES_AT_A_TIME": _AT_A_TIME},
    "app/checks/together.py": {"BODIES_AT_A_TIME": _AT_A_TIME},
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
