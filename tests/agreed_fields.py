"""What the rest of the program does with each snag: agreed by code, held by every plan judged.

Ways out are sought for what moving something can clear, an empty room is not asked about what
matters to those who train, and notes on the room as a whole or to be answered are told together.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from app.checks.snag import Snag
from app.model.plan import Plan

PLACE, TRAINING, ROOM, ASKED = "hangs_on_place", "while_training", "background", "question"
BLOCKED, DOOR, REACH = "blocked", "shuts_door", "to_reach"
FIELDS = (PLACE, TRAINING, ROOM, ASKED, BLOCKED, DOOR, REACH)

AGREED: tuple[tuple[str, frozenset[str]], ...] = tuple(
    (codes, frozenset(fields))
    for codes, *fields in (
        # where something stands or hangs: moved, it may be well
        ("bar-ends-apart|bar-lift-out|bar-rests-on-nothing|bar-too-short-for-rack", PLACE),
        (
            "across-a-step|bar-stands-too-high|beyond-an-edge|platform-(too-tall|in-part|stand-up)",
            PLACE,
        ),
        (
            "(before|below)-boiler|off-the-(mirror|wall)|outside|stand-up|too-tall|clash.*|hung-across-.*",
            PLACE,
        ),
        ("door-cut-off-.*|door-opens-.*|door-over-mat-.*", PLACE),
        (
            "handle-of-.*|opened-.*|tanked|flight|heater-under-socket|socket-reach|window-blocked-.*",
            PLACE,
        ),
        # and only people who train are in its way, or it in theirs
        (
            "(between-posts|under-machine|plate-beside-).*|bar-path|glass-behind-the-belt|heads-before|low-edge|lying|plates-way|room-to-load|squat-before-posts-here|stepping-out|step-in-the-way|platform-headroom|door-into-.*",
            PLACE,
            TRAINING,
        ),
        ("door-behind-.*", PLACE, TRAINING, ROOM),
        # a door that cannot be opened, a way that is shut
        ("door-overhead-.*", PLACE, DOOR),
        (".*-blocked", PLACE, BLOCKED),
        # matters while somebody trains, wherever things stand
        (
            "bag-at-glass|hang|headroom-unsaid|plates-at-glass-.*|shared-in-turn|squat-before-posts",
            TRAINING,
        ),
        # what is to be measured again
        ("measure-again|bar-out-of-reach|socket-behind-.*|tanked-sheet-.*",),
        # worth knowing of the room, each told once
        (
            "air|carry-in|door-balance|fixings|floor-falls|hang-form|hazards|impact|light|mirror",
            ROOM,
        ),
        ("power-own-circuit|sight-mirror|sight-screen|ways-not-easy", ROOM),
        # for the household to find out
        ("ask-.*|door-over-ceiling-.*", ASKED),
        # the house, a thing or a choice itself is to be another one
        ("bench-too-wide|catch-height|catch-setting|catch-setting-squat|children|damp-floor",),
        ("door-needs-power|find-out|floor-load|fuel-burned-here|heard|incomplete",),
        (
            "low-over-way|may-not-drill|way-out-size|child-alone|reach-not-usual|bar-above-its-rack|missing-kit|no-catches|no-way-out|plate-hole",
        ),
        (
            "mirror-across-.*|no-residual-current-protection|size-not-made|strip-hidden-.*|manual-not-used|sleeve-full|bears-too-much|soft-floor|tendons|tips",
        ),
        ("usable-with-car|will-not-stand-up|worth-knowing|power-.*|way-in-.*|window-escape-.*",),
    )
)

MET = (
    ("outside", "room"),
    ("stand-up|too-tall", "overhead"),
    ("between-posts|under-machine|clash", "kit"),
    ("plate-beside-(left|right)", "kit"),
    ("(between-posts|under-machine|clash)-column-.*", "column"),
    ("door-(over-mat|opens|open-leaf|leaf|back|overhead)-.*", "door"),
    ("window-blocked-.*", "window"),
)
"""What the thing comes up against of which a snag tells, by code; nothing for all others."""


LACKED = (
    ("no-catches|squat-before-posts(-here)?", "catches"),
    ("fixing", "fixing"),
    ("bar-rests-on-nothing", "hooks"),
    ("missing-kit", "kit"),
    ("incomplete", "parts"),
    ("bar-too-short-for-rack", "shaft"),
)
"""What is missing where something does not work, by code; nothing for all others but headroom."""

BEYOND_MM = 1500
"""Where a snag is shown lies in the room, or on what reaches out of it."""


TO_A_TENTH = frozenset({"headroom", "door-open-headroom", "fixing", "floor-load"})
"""Codes whose working is in millimetres, newtons and kilograms, each told to a tenth."""


def as_agreed(plan: Plan, snags: Iterable[Snag]) -> None:
    """See that each snag is what was agreed of its code, and is shown where there is something."""
    places = [*plan.room.corners, *((p.pose.x_mm, p.pose.y_mm) for p in plan.pieces)]
    low, high = ([edge(axis) for axis in zip(*places, strict=True)] for edge in (min, max))
    for snag in snags:
        there = zip(low, snag.where or low, high, strict=True)
        assert all(a - BEYOND_MM <= at <= b + BEYOND_MM for a, at, b in there), snag
        assert snag.unit is not None or snag.measured is None, snag
        for label, value in snag.working if snag.code in TO_A_TENTH else ():
            # to a hundredth what is in kilonewtons
            told = round(value, 2 if ", kN" in label else 1)
            assert value == told, f"{snag.code}: {label} {value}"
        met = next((met for codes, met in MET if re.fullmatch(codes, snag.code)), None)
        if snag.code in ("headroom", "door-open-headroom") and snag.pieces and snag.person:
            met = "height"
        assert snag.meets == met, f"{snag.code}: {snag.meets}, agreed {met}"
        lacked = next((lacked for codes, lacked in LACKED if re.fullmatch(codes, snag.code)), None)
        if snag.code in ("headroom", "door-open-headroom") and snag.movement:
            lacked = "height"
        assert snag.lacks == lacked, f"{snag.code}: {snag.lacks}, agreed {lacked}"
        fields = {field for field in FIELDS if getattr(snag, field)}
        wanted = _agreed(snag)
        assert wanted is None or fields == wanted, f"{snag.code}: {fields}, agreed {wanted}"


def _agreed(snag: Snag) -> frozenset[str] | None:
    """Return the fields agreed for a snag; None for codes that are not in the table."""
    if snag.code == "headroom":
        # a place of a piece may be too low; where there is no piece the whole room is
        return frozenset({PLACE, TRAINING} if snag.pieces else {TRAINING})
    if snag.code == "door-open-headroom":
        # a note of all for whom the door is shut, or one person's own under a door that stays open
        return frozenset({PLACE, ROOM if snag.background else TRAINING})
    if snag.code in ("no-way", "way-narrow"):
        # to a freezer or a fuse box one goes besides, to kit only to train
        return frozenset({PLACE, TRAINING} if snag.while_training else {PLACE})
    if snag.code.startswith("room-") and snag.code != "room-to-load":
        # before a main switch there is room also while nobody trains
        if REACH in {field for field in FIELDS if getattr(snag, field)}:
            return frozenset({REACH, PLACE} if len(snag.pieces) > 1 else {REACH})
        return frozenset({PLACE, TRAINING})
    return next((fields for codes, fields in AGREED if re.fullmatch(codes, snag.code)), None)
