"""Plan files bent at every joint: read, or refused in a sentence; no traceback and no hang."""

import copy
import json
import random
import time
from collections.abc import Iterator
from typing import Any

import pytest

from app.errors import PlanError
from app.model.base import json_of
from app.usecases.files import judge, read_plan, samples
from tests.web.building import plan_data

FILES, FILES_LONG = 500, 10_000
JUDGED_ONE_IN = 10
LONGEST_S = 2.0
"""Of the processor's time, so that a busy machine is no fault of the code."""

DEEP = "as deep as a well"
WELL = b"[" * 3000 + b"]" * 3000

Place = tuple[Any, Any]
EXTREMES: tuple[Any, ...] = (
    0,
    -1,
    1,
    0.004,
    -0.0,
    90,
    1e-9,
    99_999.99,
    100_000,
    -100_000,
    1e9,
    1e300,
    10**400,
    2**53 + 1,
    True,
    False,
    None,
    "",
    "x",
    "bench-1",
    "\x00",
    "\ud800",
    "🏋" * 200,
    "<script>",
    "x" * 100_000,
    [],
    {},
    [[]],
    [0, 0],
    [[0, 0], [0, 0], [0, 0]],
    {"id": "x"},
)


def places(data: Any) -> Iterator[Place]:
    """Every place in the data, as its holder and the key in it."""
    keys: Any = ()
    if isinstance(data, dict):
        keys = list(data)
    elif isinstance(data, list):
        keys = range(len(data))
    for key in keys:
        yield data, key
        yield from places(data[key])


def bend(data: Any, draw: random.Random) -> None:
    """Change one place of the data in one of many ways."""
    found = list(places(data))
    if not found:
        return
    numbers = [(h, k) for h, k in found if isinstance(h[k], float)]
    if numbers and draw.randrange(2):
        # Milder, so that more of the files are read and built.
        holder, key = draw.choice(numbers)
        holder[key] = holder[key] * draw.choice([-1, 0, 0.001, 0.5, 1.0001, 2, 10])
        return
    holder, key = draw.choice(found)
    value = holder[key]
    way = draw.randrange(10)
    if way < 4:
        holder[key] = copy.deepcopy(draw.choice(EXTREMES))
    elif way == 4:
        del holder[key]
    elif way == 5 and isinstance(value, int | float):
        holder[key] = value * draw.choice([-1, 0.001, 10, 1000, 1.0001])
    elif way == 6 and isinstance(holder, list):
        holder.extend(copy.deepcopy(value) for _ in range(draw.choice([1, 2, 60])))
    elif way == 7:
        other, place = draw.choice(found)
        holder[key] = copy.deepcopy(other[place])
    elif way == 8 and isinstance(holder, dict):
        holder[draw.choice(["id", "extra", "carried_by", "outline", "height_mm"])] = value
    elif way == 9 and isinstance(value, list):
        draw.shuffle(value)
    else:
        holder[key] = draw.choice([[value], [[[value]]], DEEP])


def seeds() -> list[Any]:
    return [plan_data(), *(json_of(sample.plan) for sample in samples())]


def bent(number: int, from_these: list[Any]) -> bytes:
    """The file with this number; the same number makes the same file."""
    draw = random.Random(number)
    data = copy.deepcopy(from_these[number % len(from_these)])
    for _ in range(draw.choice([1, 1, 1, 2, 3, 6])):
        bend(data, draw)
    whole = json.dumps(data).encode().replace(json.dumps(DEEP).encode(), WELL)
    if draw.randrange(12) == 0:
        at = draw.randrange(len(whole))
        whole = whole[:at] + draw.choice([b"", b"\xff", b"}", b'"', b"9e999"]) + whole[at + 1 :]
    return whole


@pytest.mark.parametrize("part", range(10))
def test_a_bent_plan_is_read_or_refused(part: int, request: pytest.FixtureRequest) -> None:
    count = (FILES_LONG if request.config.getoption("--long") else FILES) // 10
    from_these = seeds()
    read = refused = 0
    for number in range(part * count, (part + 1) * count):
        whole = bent(number, from_these)
        start = time.process_time()
        try:
            plan = read_plan(whole)
        except PlanError as error:
            refused += 1
            said = error.sentence
        else:
            read += 1
            said = plan.name
            if number % JUDGED_ONE_IN == 0 and len(plan.pieces) < 4:
                said = judge(plan)["plan"]
        taken = time.process_time() - start
        # Which number makes the file is the first thing to know of a failure.
        assert said, number
        assert taken < LONGEST_S, (number, taken)
    assert read > count // 20
    assert refused > count // 3
