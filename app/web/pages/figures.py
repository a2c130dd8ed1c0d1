"""Who trains beside whom, and the published figures behind a plan, with the household's own."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import partial
from typing import Any
from urllib.parse import quote

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from app.checks.narrowest import narrowest, stands_outside
from app.checks.routes import at_its_own_place
from app.checks.situations import situation_name
from app.checks.together import STATIONS_IN_TABLE_AT_MOST, Together, together
from app.checks.way_words import between
from app.forms.figure_edits import SENTENCE_SOURCES, edit_figure, may_be_set
from app.model.plan import Plan
from app.model.situations import training
from app.published.register import PublishedValue, all_rows, overridden
from app.scales import MASS, TEMPERATURE
from app.scene.build import Scene
from app.scene.routes import NO_WAY, routes
from app.units import Units, format_short
from app.usecases.carrying_out import Outcome
from app.web.house import house
from app.web.pages.typed_forms import Refused, take_form
from app.wording import length_words, lower

figure_pages = Blueprint("figure_pages", __name__)

SHOWN_AT_MOST = 60
STATUS_WORDS = {
    "read": "read in the source",
    "quoted": "quoted by others",
    "derived": "computed from other figures",
    "practice": "common practice, no source",
    "memory": "from memory, not looked up",
}


@figure_pages.get("/plan/<plan_id>/together")
def at_once(plan_id: str) -> str:
    """The table of pairs, the largest group, what is shared in turn, the narrowest ways."""
    seen = house().judged(plan_id)
    scene, plan = seen.scene.in_training(), seen.state.plan
    trains = training(plan)
    with overridden({one.id: one.value for one in plan.overrides}):
        pairs = together(scene)
        table = STATIONS_IN_TABLE_AT_MOST
        ways, worst = table_of_ways(scene), narrowest(scene)
    stations = pairs.stations[:table]
    names = dict(pairs.stations)
    return render_template(
        "together.html",
        plan_id=plan_id,
        plan=plan,
        pairs=pairs,
        stations=stations,
        left_out=len(pairs.stations) - len(stations),
        group=[names[key] for key in pairs.largest],
        turns=_turns(pairs, stations),
        ways=ways,
        worst=worst.wording.worded(plan.units),
        situation="" if trains is None else situation_name(trains),
    )


def _turns(pairs: Together, stations: tuple[tuple[str, str], ...]) -> list[tuple[str, list[str]]]:
    """Return each station with those that are used in turn with it, where there are any."""
    listed = [
        (name, [other for that, other in stations if that != key and not pairs.at_once(key, that)])
        for key, name in stations
    ]
    return [(name, others) for name, others in listed if others]


def table_of_ways(scene: Scene) -> list[dict[str, Any]]:
    """Return the widest way to each station, the narrowest of them first."""
    ways = routes(scene)
    if not ways.ways_out:
        return []
    rows, outside = [], stands_outside(scene, ways)
    for number, stand in enumerate(ways.stands):
        way = ways.best(number)
        wide = math.isinf(way.width_mm)
        there = between(scene, way) if way.between else ""
        if there and at_its_own_place(scene, ways, number, way):
            there = f"{there}, where it is used"
        if number in outside:
            way, wide, there = NO_WAY, False, "no place to use it lies in the room"
        rows.append(
            {
                "name": scene.order[stand.number].name,
                "order": way.width_mm,
                "width": "wide"
                if wide
                else _wide(way.width_mm, scene.plan.units)
                if way.width_mm > 0
                else "no way",
                "where": there,
            }
        )
    return sorted(rows, key=lambda one: one["order"])


def _wide(width_mm: float, units: Units) -> str:
    """Write widths that stand in a column all in one unit, mm or feet and inches."""
    return f"{format_short(width_mm, units)}{'' if units == 'feet' else ' mm'}"


@figure_pages.get("/plan/<plan_id>/figures")
def figures(plan_id: str) -> str:
    """The figures behind this plan's snags, or those that a search finds."""
    return _figures(plan_id, Refused())


@figure_pages.post("/plan/<plan_id>/figures")
def change(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Set a figure otherwise or take the published one again, or say what is wrong."""
    return take_form(plan_id, edit_figure, partial(_figures, plan_id), _lead)


def _lead(form: Mapping[str, str], _: Outcome) -> str:
    key = quote(form.get("key", ""))
    return f"figures?of={key}#{key}"


def _figures(plan_id: str, refused: Refused) -> str:
    seen = house().judged(plan_id)
    plan = seen.state.plan
    asked = " ".join((request.args.get("q") or refused.typed.get("q", "")).split())[:80]
    of = request.args.get("of") or refused.typed.get("key", "")
    behind: dict[str, list[str]] = {}
    for snag in seen.snags:
        for key in snag.source_keys:
            behind.setdefault(key, []).append(snag.who)
    own = {one.id: one for one in plan.overrides}
    rows = all_rows()
    if asked:
        matching = [one for one in rows if _meant(one, asked.lower().split())]
    else:
        matching = [one for one in rows if one.key in behind or one.key in own or one.key == of]
    shown = matching[:SHOWN_AT_MOST]
    return render_template(
        "figures.html",
        plan_id=plan_id,
        plan=plan,
        asked=asked,
        more=len(matching) - len(shown),
        of=of,
        rows=[_row(one, plan, behind) for one in shown],
        own=own,
        refused=refused,
        revision=seen.state.revision,
    )


def _meant(one: PublishedValue, words: list[str]) -> bool:
    text = f"{one.key} {one.applies_to} {one.title} {one.clause}".lower()
    return all(word in text for word in words)


_SCALES = {"kg": MASS, "C": TEMPERATURE}
"""What is counted otherwise in feet, by the unit of the register."""


def _in_feet(value: float, unit: str, units: Units) -> str:
    """Write a figure of a source in inches, lb or °F beside its own unit, for plans in feet."""
    if units == "metric":
        return ""
    if unit in _SCALES:
        return f" ({_SCALES[unit].words(value, units)})"
    return f" ({length_words(value, units)})" if unit == "mm" else ""


def _row(one: PublishedValue, plan: Plan, behind: dict[str, list[str]]) -> dict[str, Any]:
    title = one.title if one.year is None else f"{one.title}, {one.year}"
    status = STATUS_WORDS[one.status]
    where = [text for text in (title, one.clause) if text and text != status]
    own = next((own for own in plan.overrides if own.id == one.key), None)
    return {
        "key": one.key,
        "about": one.applies_to[:1].upper() + one.applies_to[1:],
        "value": f"{one.value:g}",
        "unit": "" if one.unit == "ratio" else one.unit,
        "inches": _in_feet(one.value, one.unit, plan.units),
        "own_inches": "" if own is None else _in_feet(own.value, one.unit, plan.units),
        "source": ", ".join(where),
        "status": status,
        "behind": [lower(name) for name in dict.fromkeys(behind.get(one.key, ()))],
        "own": own,
        "may": may_be_set(one.key),
        "sentence_only": one.key in SENTENCE_SOURCES,
    }
