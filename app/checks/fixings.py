"""Fixings: what pulls at walls and ceilings, and what these are made of. Never a pass.

The result is a demand by statics; whether a wall or ceiling bears it is for the maker's data, a
test there or an engineer. Body-weight, swings and bags on trusses, hollow, aerated or single-skin
walls or on what nobody has looked at stay a `stop` until somebody records how it was settled.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from app.checks.behind import wall_behind, wall_name
from app.checks.body_mass import USUAL, heaviest_kg
from app.checks.goes_together import plates_kg
from app.checks.hung_across import LIVE, hung_across_of, off_wall
from app.checks.mirror_areas import hung_sheets
from app.checks.mirrors import clean_mirrors
from app.checks.snag import Severity, Snag
from app.checks.tanked import on_tanked
from app.formulas.statics import Pull, hung_pull, wall_pull, weight_n
from app.library.anchors import place
from app.model.room import CeilingConstruction, WallConstruction
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.tolerance import falls_short
from app.scene.walls import WallShape
from app.units import KILO
from app.wording import Phrase, lower, phrase

_HUNG_ON = frozenset({"strict", "swinging"})
_WEAK_WALLS: dict[WallConstruction, str] = {
    "hollow-block": "hollow block holds no anchor for this: bolt through to a plate behind",
    "aerated-block": "aerated block holds no anchor for this: bolt through to a plate behind",
    "single-skin-block": "one skin of block cracks along its joints: use a frame to the floor",
    "metal-studs": "metal studs and board do not hold this: use a frame to the floor",
    "unknown": "nobody has checked yet what this wall is made of",
}
_CEILINGS: dict[CeilingConstruction, tuple[Severity, str]] = {
    "trussed-rafters": ("stop", "roof trusses carry nothing that moves without an engineer's word"),
    "unknown": ("stop", "nobody has checked yet whether joists, trusses or a slab are above"),
    "i-joists": ("care", "ask the maker of the I-joists or an engineer, and never notch them"),
    "solid-joists": (
        "care",
        "bolt through the middle third of two joists with a spreader, never into board; an "
        "engineer or the maker's data decides",
    ),
    "slab": ("care", "the maker's data or a test on this slab decides"),
}
_SOLID_WALLS: frozenset[WallConstruction] = frozenset({"solid-brick", "dense-block", "concrete"})
"""Masonry that takes anchors for a body that hangs still: common practice, no source."""
OF_PERSON = "{:kg} of person"
_BOARD = "fixing.board-mm"
_TENDONS = "a post-tensioned slab must not be drilled"


@dataclass(frozen=True, slots=True)
class Demand:
    """What one piece asks of its fixings: the whole load in N and the share of the worst one."""

    placed: Placed
    load_n: float
    pull: Pull


def fixings(scene: Scene) -> Iterator[Snag]:
    """Yield a snag for each piece that a person or bag hangs on, and one for all that only hang."""
    hung = scene.memo(("hung",), lambda: _hung(scene))
    steady = []
    for piece_id in hung:
        placed = scene.placed[piece_id]
        key = ("fixing", piece_id, *placed.at, placed.pose.angle_deg)
        snag, demand = scene.memo(key, partial(_judged, scene, placed))
        if scene.plan.room.fabric.may_drill == "no":
            # that is said of each piece, so no anchor and no test is to be thought of
            if snag is not None and snag.lacks != "fixing":
                yield snag
            continue
        if snag is not None:
            yield snag
        elif demand is not None and not on_tanked(scene, placed):
            steady.append(demand)
        yield from _asked(scene, placed)
    clean, panes = clean_mirrors(scene), tuple(hung_sheets(scene))
    glass = {one: said for one, said in clean.items() if not on_tanked(scene, scene.placed[one])}
    if steady or glass or panes:
        yield _steady(scene, steady, glass, panes)


@dataclass(frozen=True, slots=True)
class BarLoad:
    """What lies on a rack besides who trains there, in kg."""

    bar_kg: float
    plates_kg: float


def bar_load(scene: Scene, placed: Placed) -> BarLoad | None:
    """Return the bar and plates a wall rack is loaded with; None for what holds no bar.

    Masses typed for the bar on it and for the stacks of plates here count; where there are none,
    the usual bar and the usual load.
    """
    if placed.kit.fixed is None or not placed.kit.rests or placed.kit.fixed.use not in _HUNG_ON:
        return None
    bars = [one for one in scene.stations[placed.root] if one.kit.bar is not None]
    bar = max(
        (one.piece.mass_kg or one.kit.mass_kg for one in bars),
        default=published("bar.long.mass-kg"),
    )
    plates = plates_kg(scene)
    return BarLoad(bar, published("floor.plates-on-bar-kg") if plates is None else plates)


def demand_of(scene: Scene, placed: Placed) -> Demand:
    """Return what a piece asks of its fixings: with the heaviest on it, and a bar if it holds one.

    Raises ValueError for one that hangs on nothing.
    """
    kit, fixed = placed.kit, placed.kit.fixed
    if fixed is None:
        raise ValueError(f"{kit.key} hangs on nothing")
    mass = placed.piece.mass_kg or kit.mass_kg
    if fixed.use in _HUNG_ON:
        mass += heaviest_kg(scene)
    loaded = bar_load(scene, placed)
    if loaded is not None:
        mass += loaded.bar_kg + loaded.plates_kg
    factor, level = published(f"fixing.factor.{fixed.use}"), 0.0
    if fixed.use == "pull":
        pulled = published("fixing.pulled-mass-kg")
        mass, level = mass + pulled, weight_n(pulled, factor)
    load = weight_n(mass, factor)
    if fixed.rows is None:
        return Demand(placed, load, hung_pull(load, fixed.count))
    out = place(fixed.line, placed.extent) - place("b", placed.extent)
    lower_row, upper_row = (place(row, placed.extent) for row in fixed.rows)
    drop = max(upper_row - lower_row, 1.0)
    return Demand(placed, load, wall_pull(load, out, drop, fixed.top, fixed.count, level))


def _hung(scene: Scene) -> tuple[str, ...]:
    return tuple(p.piece.id for p in scene.order if p.kit.fixed is not None and not p.piece.stays)


def _judged(scene: Scene, placed: Placed) -> tuple[Snag | None, Demand | None]:
    fixed = placed.kit.fixed
    assert fixed is not None
    demand = demand_of(scene, placed)
    if fixed.rows is None:
        severity, words = _ceiling_words(scene)
        return _snag(scene, demand, severity, words, "the ceiling"), None
    wall, gap = wall_behind(scene, placed)
    if falls_short(published("fixing.off-wall-mm"), gap):
        return off_wall(placed, gap), None
    if fixed.use not in LIVE:
        return None, demand
    if any(across.severity == "stop" for across in hung_across_of(scene, placed)):
        return None, None
    severity, words = _wall_words(scene, wall)
    # a rack asks its anchors to hold a loaded bar too, which is worth more than a note
    body_alone = fixed.use == "strict" and placed.kit.group != "Racks"
    solid = wall.wall.construction in _SOLID_WALLS
    if severity == "care" and body_alone and solid and not (wall.wall.tanked or wall.wall.shared):
        severity = "note"
    return _snag(scene, demand, severity, words, wall_name(scene, wall)), None


def _ceiling_words(scene: Scene) -> tuple[Severity, Phrase]:
    construction = scene.plan.room.ceiling.construction
    if construction == "slab" and scene.plan.room.fabric.post_tensioned == "yes":
        return "stop", phrase(_TENDONS)
    severity, words = _CEILINGS[construction]
    return severity, phrase(words)


def _wall_words(scene: Scene, wall: WallShape) -> tuple[Severity, Phrase]:
    made, severity = wall.wall, "care"
    if made.tanked:
        return "stop", phrase("the wall is tanked: no holes below ground")
    words = phrase(_WEAK_WALLS.get(made.construction, ""))
    if words.template:
        severity = "stop"
    elif made.construction == "timber-studs":
        words = phrase(
            "into the studs through a sheet {:bare} thick, never into board; the maker's data or "
            "a test decides",
            published(_BOARD),
        )
    else:
        words = phrase("the maker's data or a test on this wall decides")
        if made.lining_mm > 0 or made.finish in ("plaster", "plasterboard"):
            words = phrase("anchors count only behind the plaster or lining; {}", words)
    if made.shared:
        words = phrase("{}; it is shared: nothing that thumps", words)
    return ("stop" if severity == "stop" else "care"), words


def _snag(scene: Scene, demand: Demand, severity: Severity, words: Phrase, where: str) -> Snag:
    placed, pull = demand.placed, demand.pull
    fixed, loaded = placed.kit.fixed, bar_load(scene, placed)
    assert fixed is not None
    kilo = KILO
    share = f"{pull.tension_n / kilo:.1f} kN"
    if fixed.rows is None:
        each = "its fixing carries" if fixed.count == 1 else "each fixing carries"
        shares = f"{each} {share}"
    else:
        shares = (
            f"each upper fixing is pulled out with {share} and down with "
            f"{pull.shear_n / kilo:.1f} kN"
        )
    factor = f"fixing.factor.{fixed.use}"
    keys: tuple[str, ...] = (factor, USUAL, "statics.gravity-m-s2")
    masses: tuple[tuple[str, float], ...] = ()
    if fixed.use in _HUNG_ON:
        masses = (("a person, kg", heaviest_kg(scene)),)
    counted: str | Phrase = ""
    if loaded is not None:
        masses += (("the bar, kg", loaded.bar_kg), ("plates on it, kg", loaded.plates_kg))
        of_person = phrase(OF_PERSON, masses[0][1])
        rest = (mass for _, mass in masses[1:])
        counted = phrase(" ({}, {:bare-kg} of bar, {:bare-kg} of plates)", of_person, *rest)
        keys += ("floor.plates-on-bar-kg", "bar.long.mass-kg")
    return Snag(
        code="fixing",
        lacks="fixing",
        eased_by=frozenset({"standing"}),
        hangs_on_place=fixed.rows is not None,
        severity=severity,
        template="{} on {}: with {:.0f} times the weight{} {}. To settle: {}.",
        values=(placed.name, where, published(factor), counted, shares, words),
        pieces=(placed.piece.id,),
        names=(placed.name, "fixings"),
        measured=round(pull.tension_n),
        unit="N",
        where=placed.at,
        source_keys=keys,
        working=(
            *masses,
            ("load with the factor, N", round(demand.load_n, 1)),
            ("tension of each upper fixing, N", round(pull.tension_n, 1)),
            ("shear of each fixing, N", round(pull.shear_n, 1)),
            ("both together, N", round(pull.resultant_n, 1)),
        ),
    )


def _steady(
    scene: Scene, demands: list[Demand], glass: dict[str, str], panes: tuple[str, ...]
) -> Snag:
    """Say once what the pieces that only hang ask for; on a weak wall it is a care.

    `glass` tells of mirrors that are pieces, by id, `panes` of those of the fit-out.
    """
    kilo, sentences = KILO, [*glass.values(), *panes]
    weak: list[str] = []
    studs: list[str] = []
    for demand in demands:
        wall, _ = wall_behind(scene, demand.placed)
        pull = f"{demand.pull.tension_n / kilo:.1f}"
        sentences.append(f"{lower(demand.placed.name)}, {pull} kN pull on each upper fixing")
        known_weak = wall.wall.construction in _WEAK_WALLS
        if known_weak and wall.wall.construction != "unknown":
            weak.append(wall_name(scene, wall))
        elif wall.wall.construction == "timber-studs":
            studs.append(wall_name(scene, wall))
    walls, verb = " and ".join(dict.fromkeys(weak)), "are" if len(set(weak)) > 1 else "is"
    tail = f"; {walls} {verb} weak: stand it on the floor or ask" if weak else ""
    held = phrase(tail)
    if studs:
        in_walls = " and ".join(dict.fromkeys(studs))
        into = "; {}: into the studs through a sheet {:bare} thick, never into board{}"
        held = phrase(into, in_walls, published(_BOARD), tail)
    pieces = (*glass, *(demand.placed.piece.id for demand in demands))
    return Snag(
        code="fixings",
        background=True,
        severity="care" if weak or studs else "note",
        template="To hang on walls: {}. The maker's data or a test on the wall decides{}.",
        values=("; ".join(sentences), held),
        parts=tuple(phrase("{:cap}.", one) for one in sentences),
        pieces=pieces,
        names=("wall fixings",),
        measured=round(max(d.pull.tension_n for d in demands)) if demands else None,
        unit="N" if demands else None,
        where=scene.placed[pieces[0]].at if pieces else None,
        source_keys=(
            "fixing.factor.steady",
            "fixing.factor.pull",
            "fixing.pulled-mass-kg",
            "mirror.glass-kg-per-m2-per-mm",
            "mirror.thickness-mm",
        ),
    )


def _asked(scene: Scene, placed: Placed) -> Iterator[Snag]:
    fixed, room = placed.kit.fixed, scene.plan.room
    assert fixed is not None
    if fixed.rows is not None:
        wall, _ = wall_behind(scene, placed)
        if wall.wall.construction == "unknown":
            yield _ask("wall", f"what {wall_name(scene, wall)} is made of")
    elif room.ceiling.construction == "unknown":
        yield _ask("ceiling", "what the ceiling is: joists, roof trusses or a slab")
    elif room.ceiling.construction == "slab" and room.fabric.post_tensioned == "unknown":
        yield _ask("tendons", "whether the slab above is post-tensioned, before drilling it")


def _ask(what: str, question: str) -> Snag:
    return Snag(
        code=f"ask-{what}",
        question=True,
        severity="note",
        template="{}",
        values=(question,),
        source_keys=(USUAL,),
    )
