"""Gathers and sorts what all checks find. To add a check, write its file and name it here."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import chain
from weakref import WeakKeyDictionary

from app.checks.air import air_and_damp
from app.checks.alone import alone, tipping
from app.checks.bag_at_glass import bag_at_glass
from app.checks.bar_path import bar_paths
from app.checks.bars import bars
from app.checks.bearing import bearing
from app.checks.before_posts import before_posts
from app.checks.between_posts import between_posts
from app.checks.boilers import boilers
from app.checks.clash import clashes
from app.checks.door_behind import door_behind, door_into
from app.checks.door_handle import door_handle
from app.checks.doors import doors
from app.checks.electricity import electricity
from app.checks.fixings import fixings
from app.checks.flight import flight
from app.checks.floors import floors
from app.checks.getting_in import getting_in
from app.checks.glass_behind import glass_behind
from app.checks.goes_together import goes_together
from app.checks.grades import ask_grade
from app.checks.hazards import hazards
from app.checks.headroom import headroom, served_movements
from app.checks.heads_before import heads_before
from app.checks.household import household
from app.checks.hung_across import hung_across
from app.checks.levels import levels
from app.checks.lift_out import lift_out
from app.checks.light import light
from app.checks.loading import loading
from app.checks.low_edges import low_edges
from app.checks.lying import lying
from app.checks.manuals import manuals
from app.checks.mirror_areas import off_mirrors
from app.checks.mirrors import mirrors
from app.checks.mirrors_across import mirrors_across
from app.checks.missing_kit import missing_kit
from app.checks.one_fault import each_fault_once
from app.checks.open_floor import wanted_without_kit
from app.checks.opened import opened
from app.checks.out_of_reach import out_of_reach
from app.checks.outside import ask_hung_height, outside, under_ceiling
from app.checks.plates_at_glass import plates_at_glass
from app.checks.platforms import platforms
from app.checks.room_to_use import room_to_use
from app.checks.routes import walking, ways_not_easy
from app.checks.shared import shared
from app.checks.shut_offs import shut_offs
from app.checks.side_up import side_up
from app.checks.sight import sight
from app.checks.situations import in_each
from app.checks.sizes_made import manuals_read, sizes_made
from app.checks.sleeves import beside_sleeves
from app.checks.snag import SEVERITIES, Snag
from app.checks.squat_catches import catches_set
from app.checks.stepping_out import stepping_out
from app.checks.strips_hidden import strips_hidden
from app.checks.tanked import tanked_walls
from app.checks.under_machines import under_machines
from app.checks.who_trains import who_trains
from app.checks.windows import windows
from app.published.register import overridden
from app.scene.build import Scene
from app.wording import joined, phrase


def _wanted(scene: Scene) -> Iterator[Snag]:
    return wanted_without_kit(scene, served_movements(scene))


Check = Callable[[Scene], Iterator[Snag]]

CHECKS: tuple[Check, ...] = (
    outside,
    under_ceiling,
    ask_hung_height,
    lift_out,
    opened,
    clashes,
    between_posts,
    under_machines,
    bars,
    loading,
    beside_sleeves,
    bar_paths,
    doors,
    door_behind,
    door_handle,
    door_into,
    windows,
    room_to_use,
    levels,
    glass_behind,
    plates_at_glass,
    bag_at_glass,
    shut_offs,
    boilers,
    headroom,
    side_up,
    stepping_out,
    heads_before,
    before_posts,
    platforms,
    lying,
    low_edges,
    ask_grade,
    _wanted,
    missing_kit,
    alone,
    catches_set,
    tipping,
    goes_together,
    sizes_made,
    manuals_read,
    manuals,
    bearing,
    fixings,
    tanked_walls,
    hung_across,
    mirrors,
    off_mirrors,
    strips_hidden,
    mirrors_across,
    flight,
    floors,
    hazards,
    household,
    who_trains,
    electricity,
    air_and_damp,
    sight,
    out_of_reach,
    getting_in,
)

# too slow for every step of a drag
AFTER_DROP: tuple[Check, ...] = (walking, ways_not_easy, shared, light)

NOTES_ALONE: tuple[Check, ...] = (ways_not_easy, shared, light)
"""Of those the checks that say no more than notes: who weighs stops and cares need not ask them."""

ASK_NO_WISHES: tuple[Check, ...] = (
    outside,
    under_ceiling,
    lift_out,
    opened,
    clashes,
    doors,
    windows,
    shut_offs,
    boilers,
    fixings,
    tanked_walls,
    electricity,
    air_and_damp,
    sight,
    getting_in,
    walking,
)
"""Checks that say the same whatever people want to do, of those that take long."""

OUTRIGHT: tuple[Check, ...] = (outside, clashes)
"""Checks of places whose rows stand whatever else is said: no row of another tells of them."""

OF_PLACES: tuple[Check, ...] = (
    *OUTRIGHT,
    between_posts,
    under_machines,
    beside_sleeves,
    room_to_use,
    glass_behind,
    shut_offs,
    levels,
    platforms,
)
"""Checks whose rows say less or more of one another, and of no others: asked alone they say what
they say among all."""


_judged: WeakKeyDictionary[Scene, dict[Check, tuple[Snag, ...]]] = WeakKeyDictionary()


def judged_by(checks: Iterable[Check], scene: Scene) -> tuple[Snag, ...]:
    """Return what some checks say of a scene; each is asked once, and kept as long as the scene.

    The values that the plan sets otherwise must be in force.
    """
    by_check = _judged.setdefault(scene, {})
    for check in checks:
        if check not in by_check:
            by_check[check] = tuple(check(scene))
    return tuple(chain.from_iterable(by_check[check] for check in checks))


def judged_as(scene: Scene, other: Scene) -> None:
    """Let what checks said of another scene, with the same things at the same places, stand."""
    _judged[scene] = _judged.setdefault(other, {})


def judged_but_for_wishes(scene: Scene, other: Scene) -> None:
    """Let what checks said of another scene stand that ask for no wishes: nothing else differs."""
    said = _judged.get(other, {})
    known = {check: said[check] for check in ASK_NO_WISHES if check in said}
    _judged.setdefault(scene, {}).update(known)


def run(scene: Scene, full: bool = True, weighed: bool = False) -> tuple[Snag, ...]:
    """Judge a scene: every snag, worst first, then by code and pieces. Pure: same in, same out.

    With `full` false the checks of `AFTER_DROP` are left out, as while something is dragged; with
    `weighed` those of `NOTES_ALONE`, where only stops and cares count. A plan with situations is
    judged in each of them.
    """
    checks = CHECKS + AFTER_DROP if full else CHECKS
    if weighed:
        checks = tuple(check for check in checks if check not in NOTES_ALONE)

    def judge(one: Scene) -> tuple[Snag, ...]:
        return tuple(asked_once(tuple(each_fault_once(judged_by(checks, one)))))

    with overridden({override.id: override.value for override in scene.plan.overrides}):
        snags = in_each(scene, judge)
    return in_order(snags)


def run_places(scene: Scene) -> tuple[Snag, ...]:
    """Return what the checks `OF_PLACES` say of a scene without situations, in no order."""
    with overridden({override.id: override.value for override in scene.plan.overrides}):
        return tuple(each_fault_once(judged_by(OF_PLACES, scene)))


def each_outright(scene: Scene) -> Iterator[tuple[Snag, ...]]:
    """Yield what each of the checks `OUTRIGHT` says of a scene without situations, in turn."""
    for check in OUTRIGHT:
        with overridden({override.id: override.value for override in scene.plan.overrides}):
            said = judged_by((check,), scene)
        yield said


def in_order(snags: Iterable[Snag]) -> tuple[Snag, ...]:
    """Sort snags: worst first, then by code and pieces."""
    rank = {severity: i for i, severity in enumerate(SEVERITIES)}
    return tuple(sorted(snags, key=lambda snag: (rank[snag.severity], snag.code, snag.key)))


def asked_once(snags: tuple[Snag, ...]) -> Iterator[Snag]:
    """Gather what the household must still find out into one note; the questions are its parts."""
    asked = [snag for snag in snags if snag.question]
    yield from (snag for snag in snags if not snag.question)
    if asked:
        questions = tuple(dict.fromkeys(snag.wording for snag in asked))
        yield Snag(
            code="find-out",
            severity="note",
            template="Still to find out: {}.",
            values=(joined("; ", questions),),
            parts=tuple(phrase("{:cap}.", question) for question in questions),
            names=("questions",),
            unit=None,
            source_keys=tuple(dict.fromkeys(k for snag in asked for k in snag.source_keys)),
        )


def in_few_words(snags: tuple[Snag, ...]) -> tuple[Snag, ...]:
    """Put what is only worth knowing of the room as a whole into one note, for people to read."""
    quiet = [snag for snag in snags if _is_quiet(snag)]
    if len(quiet) < 2:
        return snags
    one = Snag(
        code="worth-knowing",
        severity="note",
        template="{}",
        values=(joined(" ", (phrase("{}: {}", snag.who, snag.wording) for snag in quiet)),),
        parts=tuple(
            phrase("{}: {}", snag.who, part)
            for snag in quiet
            for part in snag.parts or (snag.wording,)
        ),
        names=("worth knowing",),
        unit=None,
        source_keys=tuple(dict.fromkeys(key for snag in quiet for key in snag.source_keys)),
        working=tuple(term for snag in quiet for term in snag.working),
    )
    return (*(snag for snag in snags if not _is_quiet(snag)), one)


def _is_quiet(snag: Snag) -> bool:
    return snag.severity == "note" and snag.background
