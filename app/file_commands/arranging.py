"""Arrange the kit of a plan file."""

from __future__ import annotations

import argparse
import json
import math
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from app.arranging.arrange import Answers, Arranged, ArrangeError, begin
from app.arranging.failure import too_much_floor, ways_to_a_layout
from app.arranging.problem import Problem, Task
from app.arranging.shown import Shown, way_words
from app.arranging.too_much import crowded, crowded_words, lighter
from app.arranging.typed_wish import typed_wish
from app.arranging.wishes import Wish, wishes_of
from app.errors import one_line
from app.file_commands.plan_file import can_be_written, read, write
from app.model.base import json_of
from app.model.plan import Plan
from app.scene.build import build_scene

NOT_FOUND = "Not found is not impossible: more time may find one. What helped when it was tried:"
USUAL_WORTH = 8.0
"""What a piece is worth that may be left out, in points of the score, when nothing is said."""
WORTH_AT_MOST = 100.0
"""More than that is no optional piece: a whole layout has 100 points."""
SECONDS = 10.0
"""How long is looked when nothing is said: what somebody waits for who has just asked."""


def arrange(asked: argparse.Namespace) -> int:
    """Arrange a plan file; the exit code is 0 with a layout, 1 where none was found.

    What is wrong with the request is said before the search, so that nothing found is lost.
    """
    plan = read(asked.plan)
    if asked.keep < 1:
        raise ArrangeError(f"--keep: {asked.keep} layouts are none to show; write 1 or more.")
    if asked.output is not None:
        can_be_written(asked.output)
    seconds = SECONDS if asked.seconds is None and asked.steps is None else asked.seconds
    wishes = dict.fromkeys((*wishes_of(plan), *_wishes(asked.wish, plan)))
    task = Task(plan, worths=_worths(asked.optional), wishes=tuple(wishes))
    crew = begin(task, asked.seed, asked.steps, seconds)
    crew.join()
    problem = Problem(task)
    answer = Answers(problem).so_far(crew, asked.keep)
    if asked.json:
        data = as_data(answer)
        print(json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False))
    else:
        _tell(problem, answer, asked.keep)
    for number, one in enumerate(answer.layouts, 1):
        if asked.output is not None:
            path: Path = asked.output
            name = path.name if number == 1 else f"{path.stem}-{number}{path.suffix}"
            left_out = one.layout.looks.left_out if one.layout else ()
            made = problem.plan_with(one.poses, left_out)
            text = json.dumps(json_of(made), indent=1, ensure_ascii=False)
            write(path.with_name(name), text + "\n")
    if not answer.layouts:
        print(too_much_floor(problem) or NOT_FOUND, file=sys.stderr)
        for way in ways_to_a_layout(task):
            print(one_line(way.sentence), file=sys.stderr)
    _tell_of_too_much(problem, answer)
    return 0 if answer.layouts else 1


def _tell_of_too_much(problem: Problem, answer: Arranged) -> None:
    """Say where the kit is too much for the room, and without what fewer cares were left."""
    best = crowded(problem.task, (one.layout for one in answer.layouts if one.layout is not None))
    if best is not None:
        count = len(problem.scene.stations) - len(best.looks.left_out)
        found = tuple(lighter(problem.task, best))
        print(crowded_words(count, best.cares, found, tried=True), file=sys.stderr)


def _worths(texts: Sequence[str]) -> tuple[tuple[str, float], ...]:
    """Read pieces that may be left out, with what it is worth to have each: "bike-1=8"."""
    worths: dict[str, float] = {}
    for text in texts:
        piece, _, points = text.partition("=")
        try:
            worth = float(points or USUAL_WORTH)
        except ValueError:
            worth = math.nan
        if not 0 <= worth <= WORTH_AT_MOST:
            raise ArrangeError(f"“{text}”: after = goes a number from 0 to {WORTH_AT_MOST:.0f}.")
        worths[piece] = worth
    return tuple(sorted(worths.items()))


def _wishes(texts: Sequence[str], plan: Plan) -> tuple[Wish, ...]:
    scene = build_scene(plan) if texts else None
    return tuple(typed_wish(text, scene) for text in texts) if scene else ()


def as_data(answer: Arranged) -> dict[str, Any]:
    """Return an answer as JSON data."""
    return {
        "now": _layout(answer.now),
        "layouts": [_layout(one) for one in answer.layouts],
        "moves": [{"pieces": m.count, "gain": round(m.gain, 1)} for m in answer.moves],
        "unmended": list(answer.unmended),
        "missing": list(answer.missing),
        "steps": answer.steps,
    }


def _layout(one: Shown) -> dict[str, Any]:
    way = one.narrowest_mm
    return {
        "name": one.name,
        "score": round(one.total, 2),
        "reasons": list(one.reasons),
        "price": one.price,
        "left_out": list(one.left_out),
        "wishes_met": list(one.met),
        "wishes_not_met": list(one.unmet),
        "stops": one.stops,
        "unmendable": one.unmendable,
        "cares": one.cares,
        "open_floor": None
        if one.floor is None
        else [round(one.floor.long_mm), round(one.floor.short_mm)],
        "narrowest": None if way is None or math.isinf(way) else round(way),
        "moved": list(one.moved),
        "poses": {key: json_of(pose) for key, pose in sorted(one.poses.items())},
    }


def _tell(problem: Problem, answer: Arranged, keep: int) -> None:
    if not answer.layouts:
        names = [problem.scene.placed[root].name for root in answer.missing]
        more = f" No place was found for: {', '.join(names)}." if names else ""
        print(f"No layout without a stop was found in {answer.steps} steps.{more}")
    for number, one in enumerate((answer.now, *answer.layouts)):
        floor = "-" if one.floor is None else f"{one.floor.words} m"
        wide = way_words(one, problem.plan.units)
        print(
            f"{number or 'now':>3} {one_line(one.name):44} {one.stops} stop {one.cares} care  "
            f"floor {floor:12} way {wide:18} {len(one.moved)} moved"
        )
        lines = [f"{one.unmendable} of them no layout mends"] if one.unmendable else []
        lines += [*(f"as you wish: {words}" for words in one.met), *one.reasons]
        lines += [f"not as you wish: {words}" for words in one.unmet]
        lines += [f"left out: {name}" for name in one.left_out]
        prices = [words for words in (one.price, one.shut) if words]
        for reason in (*lines, *prices, *one.seated):
            print(f"{'':8}{one_line(reason)}")
    if answer.few and len(answer.layouts) < keep:
        print(answer.few)
    for sentence in answer.unmended:
        print(f"No layout mends this: {one_line(sentence)}", file=sys.stderr)
