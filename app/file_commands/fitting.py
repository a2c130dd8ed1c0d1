"""What fits into the room of a plan file, and the best set of a wish list."""

from __future__ import annotations

import argparse
import json
import math
import re

from app.arranging.best_set import BestSet, Wanted, WishListError, best_set, usual_station
from app.arranging.new_places import Spot
from app.arranging.whatfits import fits
from app.errors import one_line
from app.file_commands.plan_file import read, write
from app.forms.typed_fields import Typed
from app.forms.typed_money import typed_sum
from app.library.kit import kit_types
from app.model.base import json_of
from app.model.plan import Plan
from app.units import format_money
from app.wording import length_words, lower

_NUMBER = re.compile(r"\d{1,4}(?:\.\d+)?")
_PLACE = re.compile(r"(-?\d{1,6}(?:\.\d+)?),(-?\d{1,6}(?:\.\d+)?)")
USUAL_WORTH = 1.0
"""What a thing of a wish list is worth when nothing is said: as much as any other."""


def fitting(asked: argparse.Namespace) -> int:
    """Say what fits into the room of a plan file beside what stands there.

    The exit code is 1 where nothing of a wish list finds a place. Raises PlanError for a sum
    that is none, WishListError for a place or a list that cannot be used.
    """
    plan = read(asked.plan)
    if asked.want:
        return _wish_list(asked, plan)
    answer = fits(plan, _spot(asked.at) if asked.at else None)
    if asked.json:
        data = {
            "kit": [
                {
                    "type": one.kit.key,
                    "name": one.kit.name,
                    "fits": one.use,
                    "for": list(one.people),
                    "lacking": round(one.lacking, 3),
                    "then": one.then,
                    "why": one.why,
                    "pose": None if one.pose is None else json_of(one.pose),
                }
                for one in answer.kit
            ],
            "tallest_rack": None
            if answer.tallest_rack_mm is None
            else math.floor(answer.tallest_rack_mm),
            "longest_bar": None if answer.longest_bar is None else answer.longest_bar.key,
            "racks": [
                {
                    "name": one.name,
                    "bars": [kit.key for kit in one.bars],
                    "benches": [kit.key for kit in one.benches],
                }
                for one in answer.racks
            ],
            "open_floor": None
            if answer.mat is None
            else [round(answer.mat.long_mm), round(answer.mat.short_mm)],
        }
        print(json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False))
        return 0
    for word, title in (
        ("full", "Fits, with all the room it asks for:"),
        ("tight", "Fits with less room than recommended:"),
        ("crowded", "Stands here, with hardly any room to use it:"),
        ("none", "No place for it here:"),
    ):
        some = sorted((one for one in answer.kit if one.use == word), key=lambda one: one.lacking)
        if some:
            print(title)
        for one in some:
            who = f", for {' and '.join(one.people)}" if one.people else ""
            rest = "; ".join(words for words in (one.then, one.why) if words)
            print(one_line(f"    {one.kit.name}{who}{': ' * bool(rest)}{rest}"))
    if answer.tallest_rack_mm is not None:
        print(f"A rack may be {math.floor(answer.tallest_rack_mm)} mm high at most.")
    for rack in answer.racks:
        bars = ", ".join(lower(kit.name) for kit in rack.bars) or "no bar has room where it stands"
        benches = ", ".join(kit.name for kit in rack.benches) or "no bench"
        print(one_line(f"For the {lower(rack.name)} that stands here: {bars}; {benches}."))
    bar = answer.longest_bar
    print(
        "No rack with a bar finds a place."
        if bar is None
        else f"The longest bar: {lower(bar.name)}, {length_words(bar.width_mm, plan.units)}."
    )
    if answer.mat is not None:
        print(f"The largest open floor: {answer.mat.words} m.")
    return 0


def _spot(text: str) -> Spot:
    match = _PLACE.fullmatch(text.replace(" ", ""))
    if match is None:
        raise WishListError(f"“{text}” is no place: write it as 1200,2500, in mm of the plan.")
    return float(match[1]), float(match[2])


def _wanted(text: str) -> Wanted:
    kind, _, worth_text = text.partition("=")
    if kind not in kit_types():
        raise WishListError(f"There is no kit type “{kind}”; `fits` without a list names them all.")
    if worth_text and not _NUMBER.fullmatch(worth_text):
        raise WishListError(f"“{text}”: after = goes what it is worth, a number like 3.")
    return Wanted(usual_station(kind), float(worth_text or USUAL_WORTH))


def _wish_list(asked: argparse.Namespace, plan: Plan) -> int:
    typed = Typed({"--sum": asked.sum or ""}, plan.units)
    sum_minor = typed_sum(typed, "--sum", "the sum", plan.currency)
    typed.done()
    best = best_set(plan, [_wanted(text) for text in asked.want], sum_minor)
    if asked.output is not None and best.pieces:
        text = json.dumps(json_of(best.plan), indent=1, ensure_ascii=False)
        write(asked.output, text + "\n")
    if asked.json:
        print(json.dumps(_as_data(best), indent=1, ensure_ascii=False, allow_nan=False))
        return 0 if best.chosen else 1
    about = format_money(best.minor, plan.currency)
    print(f"Goes in together, about {about}:" if best.chosen else "Nothing of the list goes in.")
    for one in best.chosen:
        print(f"    {one_line(one.name)}")
    for left in best.left_out:
        print(f"Left out: {one_line(left.wanted.name)}: {one_line(left.why.worded(plan.units))}")
    if not best.proven:
        print("Not every better set was tried in the time there was.")
    return 0 if best.chosen else 1


def _as_data(best: BestSet) -> dict[str, object]:
    return {
        "set": [one.station.type for one in best.chosen],
        "about_minor": best.minor,
        "pieces": [json_of(piece) for piece in best.pieces],
        "left_out": [
            {"type": one.wanted.station.type, "why": one.why.worded(best.plan.units)}
            for one in best.left_out
        ],
        "proven": best.proven,
    }
