"""What doors, windows and free edges of the floor ask for: seals, ramps, caulk."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from app.published.register import published
from app.scene.build import Scene
from app.scene.naming import opening_name
from app.takeoff.counting import PIECE, counted
from app.takeoff.line import Gathered, Line
from app.takeoff.ramps import before_the_door, is_thin, ramp_widths_mm, ramps_by_height
from app.units import KILO
from app.wording import Phrase, phrase

_MM = KILO
EDGE_RAMP = "edge-ramp-1m"
"""The pack that ramps are sold in, whatever their height."""


def openings(scene: Scene, lines: Sequence[Line]) -> Gathered:
    """Return seals and caulk, and ramps where a floor that is laid ends at a door.

    `lines` are those counted so far. Seals and caulk nobody asked for are assumed or left out.
    """
    gathered = Gathered()
    fit_out, room = scene.plan.fit_out, scene.plan.room
    called = {s.opening.id: opening_name(scene, s) for s in scene.room.openings}
    garage = [o for o in room.openings if o.is_garage_door]
    frames = [o for o in room.openings if not o.is_garage_door and o.kind != "gap"]
    assumed = not fit_out.nothing_assumed
    wanted: list[tuple[str, str, str, float, str, bool]] = []
    if garage and (assumed or fit_out.seal):
        names = ", ".join(called[o.id] for o in garage)
        wide = sum(o.width_mm for o in garage) / _MM
        sides = sum(o.width_mm + 2 * o.height_mm for o in garage) / _MM
        wanted += [
            ("threshold-seal-5m", "Floor seal with its glue", names, wide, "m", not fit_out.seal),
            ("door-seal-5m", "Brush or lip seal, sides and top", names, sides, "m",
             not fit_out.seal),
        ]  # fmt: skip
    laid = [line for line in lines if line.key.startswith("floor.")]
    own = all(line.assumed for line in laid)
    heights = ramps_by_height(scene) if laid else {}
    gathered.lines += _ramps(scene, gathered, heights, own)
    if heights:
        places = dict.fromkeys(place for some in heights.values() for place in some)
        wide = sum(sum(some.values()) for some in heights.values())
        tubes = wide / published("small.ramp-glue-m")
        wanted.append(("ramp-glue", _glue_of(heights), ", ".join(places), tubes, PIECE, own))
    painted = any(line.part == "paint" for line in lines)
    if frames and painted:
        bead = sum(2 * (o.width_mm + o.height_mm) for o in frames) / _MM
        where = ", ".join(called[o.id] for o in frames)
        tubes = bead / published("small.sealant-m")
        item = "Caulk that takes paint, round frames"
        wanted.append(("sealant-310", item, where, tubes, PIECE, assumed))
    gathered.lines += [
        counted(
            scene, gathered, key=f"small.{pack}", part="small", item=item, where=where, net=net,
            unit=unit, pack=pack, assumed=own,
        )
        for pack, item, where, net, unit, own in wanted
    ]  # fmt: skip
    return gathered


def _ramps(
    scene: Scene, gathered: Gathered, heights: Mapping[float, Mapping[str, float]], assumed: bool
) -> Iterator[Line]:
    """Yield a line for the ramps of each height: a ramp fits one height only."""
    for number, (high, places) in enumerate(heights.items()):
        yield counted(
            scene, gathered,
            # the highest keeps the plain key, which prices typed for it hang on
            key=f"small.{EDGE_RAMP}" if not number else f"small.{EDGE_RAMP}.{high:g}",
            part="small", item=_called(high).worded(scene.plan.units),
            where=", ".join(places), net=sum(places.values()), unit="m", pack=EDGE_RAMP,
            assumed=assumed, notes=(_ramp_words(scene, high, places),),
        )  # fmt: skip


def _glue_of(heights: Iterable[float]) -> str:
    kinds = dict.fromkeys("threshold strips" if is_thin(high) else "ramps" for high in heights)
    return f"Glue for the {' and '.join(kinds)}"


def _called(high_mm: float) -> Phrase:
    return phrase(
        "Threshold strip for {:sold}" if is_thin(high_mm) else "Edge ramp, {:sold}", high_mm
    )


def _ramp_words(scene: Scene, high_mm: float, places: Iterable[str]) -> str:
    units = scene.plan.units
    if is_thin(high_mm):
        return "A flat strip over the edge of a thin covering: no ramp is made so low."
    words = phrase(
        "An edge that trips nobody rises 1 in {:g} to 1 in {:g}: {:bare} to {:mm} wide.",
        published("flooring.ramp-run-least"),
        published("flooring.ramp-run-most"),
        *ramp_widths_mm(high_mm),
    )
    return words.worded(units) + before_the_door(scene, high_mm, places, units)
