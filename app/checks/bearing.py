"""What kit bears: who stands or lies on it, with bar and plates, against the usual largest load."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from app.checks.body_mass import USUAL, heaviest_kg
from app.checks.goes_together import plates_kg
from app.checks.snag import Snag
from app.library.kit import Bears
from app.published.register import published
from app.scene.build import Placed, Scene
from app.wording import joined, phrase

_BENCH_PRESS = "bench-press"
_BODY, _BAR = "body", "bar"
Part = tuple[str, float, str]
"""Of a load: what it is, its mass in kg, and the row it is of where nobody typed it, else empty."""


def bearing(scene: Scene) -> Iterator[Snag]:
    """Yield a `care` for each piece that is asked to bear more than is usual for its kind.

    What its maker says may be set in place of the usual figure. Poses do not matter.
    """
    for snag in scene.memo(("bearing", _stations(scene)), lambda: tuple(_all(scene))):
        yield replace(snag, where=scene.placed[snag.pieces[0]].at)


def _stations(scene: Scene) -> tuple[str, ...]:
    return tuple(placed.root for placed in scene.order)


def _all(scene: Scene) -> Iterator[Snag]:
    for placed in scene.order:
        bears = placed.kit.bears
        if bears is None:
            continue
        parts = _borne(scene, placed, bears)
        whole, most = sum(kg for _, kg, _ in parts), published(bears.most)
        if whole > most:
            yield _snag(placed, parts, whole, bears.most)


def _borne(scene: Scene, placed: Placed, bears: Bears) -> list[Part]:
    """Return what a piece bears at the most: a body, a loaded bar, or one lying under the other."""
    parts: list[Part] = []
    if _BODY in bears.what:
        typed = any(person.mass_kg for person in scene.plan.people)
        parts.append(("of person", heaviest_kg(scene), "" if typed else USUAL))
    if _BAR in bears.what:
        parts += _loaded_bar(scene, placed, lying=_BODY in bears.what)
    return parts


def _loaded_bar(scene: Scene, placed: Placed, *, lying: bool) -> list[Part]:
    """Return the bar that is lifted at a piece and the plates that there are; none where none is.

    Over a bench it counts where somebody presses lying.
    """
    people = scene.plan.people
    if lying and people and all(one.wish_for(_BENCH_PRESS) == "no" for one in people):
        return []
    own = [one for one in scene.stations[placed.root] if one.kit.bar is not None]
    bars = own or [one for one in scene.order if one.kit.bar is not None and lying]
    if not bars:
        return []
    bar = max(one.piece.mass_kg or one.kit.mass_kg for one in bars)
    plates = plates_kg(scene)
    usual = "floor.plates-on-bar-kg"
    return [
        ("of bar", bar, ""),
        ("of plates", published(usual) if plates is None else plates, usual * (plates is None)),
    ]


def _snag(placed: Placed, parts: list[Part], whole: float, key: str) -> Snag:
    most = published(key)
    loads = joined(", ", (phrase("{:kg} " + what, kg) for what, kg, _ in parts))
    if len(parts) > 1:
        loads = phrase("{} come to {:kg}", loads, whole)
    return Snag(
        code="bears-too-much",
        severity="care",
        template="{}: {} on it; kit of its kind is usually made for {:bare-kg}. Read what its "
        "maker allows, and enter that figure, before it is loaded so.",
        values=(placed.name, loads, most),
        pieces=(placed.piece.id,),
        names=(placed.name, "largest load"),
        measured=round(most),
        required=round(whole),
        unit="kg",
        source_keys=(key, *(row for _, _, row in parts if row)),
        working=tuple((what.removeprefix("of "), kg) for what, kg, _ in parts),
    )
