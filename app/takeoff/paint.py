"""Paint and sealers: litres net of openings, loss by tool, the cheapest tins, drying and fumes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import groupby

from app.formulas.paint import shares, wet_um
from app.library.finishes import Coating
from app.published.register import row
from app.scene.build import Scene
from app.takeoff.buying import cheapest
from app.takeoff.line import Gathered, Line, Step, offers
from app.takeoff.paint_days import says_of_drying
from app.takeoff.paint_plan import PRIMER, Coat, coats, litres_of, rate_of
from app.takeoff.paint_tools import tool_lines
from app.takeoff.surfaces import faces

KEY_LETTERS = 80
"""Longest key of a line of the list, for colours may have long names."""


_KEY_WORDS = re.compile("[a-z0-9]+")
_RULES = {
    "net": "all openings taken out",
    "over-1-m2": "openings up to 1 m2 not taken out (NRM2)",
    "over-2-5-m2": "openings up to 2.5 m2 not taken out (DIN 18363)",
}


def paint(scene: Scene) -> Gathered:
    """Return the lines of paint, what is wrong with them, and what to mind while painting."""
    gathered = Gathered()
    layers = coats(scene, gathered)
    for (_, colour), group in groupby(sorted(layers, key=_kind), key=_kind):
        gathered.lines.append(_line(scene, colour, list(group), gathered))
    gathered.lines += tool_lines(scene, layers, gathered)
    gathered.says += says_of_drying(scene, layers)
    if layers:
        gathered.says.append(
            "Tins are the cheapest that hold it; take one batch number for each colour, and keep "
            "what is left over for touching up, frost-free, for about a year."
        )
    return gathered


def paint_key(coating: str, colour: str, surface: str = "") -> str:
    """Return the key of the line of a coating in a colour; with a surface the one of old plans."""
    name = f"{surface}-{coating}" if surface else coating
    return "-".join((f"paint.{name}", *_KEY_WORDS.findall(colour.lower())))[:KEY_LETTERS]


def _kind(coat: Coat) -> tuple[str, str]:
    # What comes out of the same tins is one line: the rest of one surface does for the next.
    return coat.coating.key, coat.colour


def _line(scene: Scene, colour: str, group: Sequence[Coat], gathered: Gathered) -> Line:
    coating = group[0].coating
    net = waste = 0.0
    steps: list[Step] = []
    for coat in group:
        wet, lost = litres_of(coat)
        net, waste = net + wet, waste + lost
        steps += _steps(scene, coat, wet, lost)
    packs = offers(scene.plan, coating.packs, gathered.problems)
    bought = cheapest(net + waste, packs) if packs else ()
    volume = sum(pack.size * pack.count for pack in bought)
    if coating.mix is not None:
        base, hardener = shares(net + waste, coating.mix)
        steps += [
            Step("base", base, "L", f"{coating.mix[0]} parts"),
            Step("hardener", hardener, "L", f"{coating.mix[1]} parts"),
        ]
    name = f"{coating.name}, {colour}" if colour else coating.name
    return Line(
        key=paint_key(coating.key, colour),
        part="paint",
        item=name,
        where=", ".join(dict.fromkeys(coat.where for coat in group)),
        net=net,
        waste=waste,
        unit="L",
        bought=bought,
        mass_kg=volume * coating.kg_per_l,
        rate=_rate_words(group),
        working=tuple(steps),
        assumed=all(coat.assumed for coat in group),
        notes=_notes(scene, coating, group),
        was=tuple(dict.fromkeys(paint_key(coating.key, colour, coat.surface) for coat in group)),
    )


def _steps(scene: Scene, coat: Coat, wet: float, lost: float) -> list[Step]:
    rule = scene.plan.fit_out.measured_by
    face = next((face for face in faces(scene) if face.name == coat.where), None)
    steps = []
    if face is not None and coat.surface == "walls":
        steps.append(Step(f"{coat.where}, whole", face.gross_m2, "m2"))
        gone = face.gross_m2 - face.net_m2(rule)
        steps.append(Step(f"less openings, {_RULES[rule]}", gone, "m2", _rule_key(rule)))
    return [
        *steps,
        Step(f"{coat.where} to coat", coat.area_m2, "m2"),
        Step("coats", coat.coats, "", coat.coating.key),
        Step(f"rate on {coat.texture.name}", rate_of(coat), "m2/L", coat.texture.key),
        Step("on the surface", wet, "L"),
        Step(f"lost with the {coat.tool.replace('-', ' ')}", lost, "L", f"paint.loss.{coat.tool}"),
    ]


def _rule_key(rule: str) -> str:
    return "" if rule == "net" else f"paint.rule.{rule}"


def _rate_words(group: Sequence[Coat]) -> str:
    coating = group[0].coating
    if group[0].own_rate:
        return "your own rate"
    if group[0].film_um is not None:
        return f"solids over dry film: {row('paint.rate-per-film').title}"
    return f"{coating.source} ({coating.status}); share left by texture"


def _notes(scene: Scene, coating: Coating, group: Sequence[Coat]) -> tuple[str, ...]:
    notes = []
    if any(coat.surface == "walls" for coat in group):
        notes.append(f"Walls are measured with {_RULES[scene.plan.fit_out.measured_by]}.")
    film = group[0].film_um
    if film is not None and not group[0].own_rate:
        wet = wet_um(film, coating.solids_percent)
        notes.append(f"Lay {wet:.0f} um wet to keep {film:.0f} um dry each coat.")
    if coating.mix is not None:
        a, b = coating.mix
        notes.append(f"Mix {a} to {b} by volume, only what is laid within its pot life.")
    board = scene.plan.room.ceiling.finish_mm == 0
    if coating.key == PRIMER and board and any(coat.surface == "ceiling" for coat in group):
        notes.append(
            "A ceiling that was painted before takes none: say that its surface is smooth plaster, "
            "and it is left out."
        )
    if group[0].in_parts > 1:
        notes.append(
            f"In {group[0].in_parts} parts: each must carry before the things change over."
        )
    return tuple(notes)
