"""The register of published values: one row per number, with source and status.

Rows stand in the ``*.toml`` files beside this module. Each file names its sources once
(``sources.<id> = { title, year }``) and lists ``rows``; a row of common practice or from
memory needs no source id.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache, lru_cache, wraps
from importlib.resources import files
from operator import itemgetter
from types import MappingProxyType
from typing import Any, Literal, ParamSpec, Self, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from app.published.retired import RETIRED
from app.recent import Recent

Asked = ParamSpec("Asked")
Answer = TypeVar("Answer")

Status = Literal["read", "quoted", "derived", "practice", "memory"]
"""``read`` in the source itself or in its data; ``quoted`` in a second source; ``derived`` is
computed from figures, as its row says, and only as good as the worst of them; ``practice`` is
common practice without a source; ``memory`` was never looked up."""
WORSE_AND_WORSE: tuple[Status, ...] = ("read", "quoted", "practice", "memory")
_KEY = re.compile(r"[a-z][a-z0-9.-]*[a-z0-9]")

UNSOURCED: Mapping[str, str] = {
    "practice": "common practice, no source",
    "memory": "from memory, not looked up",
}


FARTHEST = 100
"""How many times larger or smaller than the published value a household's may be."""
MOST_MM = 100_000
"""The longest that anything of a plan may be: what is longer no document and no kit type holds."""


class RegisterError(ValueError):
    """A data file of the register is wrong: the sentence names the file and the row."""


class PublishedValue(BaseModel):
    """One row: dotted lower-case key, finite value, its unit, what it applies to, where it stands.

    ``year`` is ``None`` for an undated source; ``clause`` may be empty. ``least`` and ``most`` are
    what a household may set it to, where that is narrower than for any row. ``computed`` is how a
    derived value comes of other rows, by their keys, and of figures of its own source.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    key: str = Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*(\.[a-z0-9]+(-[a-z0-9]+)*)+$")
    value: float = Field(allow_inf_nan=False)
    unit: str = Field(min_length=1)
    applies_to: str = Field(min_length=1)
    title: str = Field(min_length=1)
    year: int | None = None
    clause: str = ""
    status: Status
    computed: str = ""
    least: float | None = Field(default=None, allow_inf_nan=False)
    most: float | None = Field(default=None, allow_inf_nan=False)

    @model_validator(mode="after")
    def _says_how(self) -> Self:
        if (self.status == "derived") != bool(self.computed):
            raise ValueError("a derived value, and no other, says what it is computed from")
        return self

    @property
    def inputs(self) -> tuple[str, ...]:
        """The keys of the rows that it is computed from."""
        return tuple(_KEY.findall(self.computed))

    @property
    def bounds(self) -> tuple[float, float]:
        """The least and the most that a household may set it to, in the row's own unit."""
        far = max(FARTHEST, FARTHEST * abs(self.value))
        # what is more than nothing stays so: it may be divided by
        positive = (self.value / FARTHEST, self.value * FARTHEST)
        low, high = positive if self.value > 0 else (-far, far)
        if self.unit == "mm":
            low, high = max(low, -MOST_MM), min(high, MOST_MM)
        return (
            low if self.least is None else self.least,
            high if self.most is None else self.most,
        )


_instead: ContextVar[Mapping[str, float]] = ContextVar("instead", default=MappingProxyType({}))


@contextmanager
def overridden(values: Mapping[str, float]) -> Iterator[None]:
    """Use other values for some keys while the block runs, as a household may decide.

    Only this thread sees them. Retired keys are passed over, and so is a value outside the bounds
    of its row: an old plan may hold one. Unknown key: ``KeyError``.
    """
    living = {key: value for key, value in values.items() if key not in RETIRED}
    token = _instead.set({key: value for key, value in living.items() if can_stand(key, value)})
    try:
        yield
    finally:
        _instead.reset(token)


def in_force() -> frozenset[tuple[str, float]]:
    """Return the values that stand instead of rows just now, each with its key."""
    return frozenset(_instead.get().items())


def remembered(most: int) -> Callable[[Callable[Asked, Answer]], Callable[Asked, Answer]]:
    """Make a function remember its last `most` answers, apart for each set of overridden values.

    For whatever asks the register on its way: a plain cache would hand the answer of one
    household's values to another. Arguments must be hashable.
    """

    def decorate(answer: Callable[Asked, Answer]) -> Callable[Asked, Answer]:
        def by_values(_: frozenset[tuple[str, float]], *args: Any, **words: Any) -> Answer:
            return answer(*args, **words)

        cached: Any = lru_cache(maxsize=most)(by_values)

        @wraps(answer)
        def ask(*args: Asked.args, **words: Asked.kwargs) -> Answer:
            result: Answer = cached(in_force(), *args, **words)
            return result

        return ask

    return decorate


def remembered_by_bytes(
    most: int, most_bytes: int, size: Callable[[Answer, tuple[Any, ...]], int]
) -> Callable[[Callable[Asked, Answer]], Callable[Asked, Answer]]:
    """Make a function remember answers as `remembered` does, of at most so many bytes together.

    `size` says how many an answer holds, from the answer and the arguments without names that it
    was asked with, which are held along with it.
    """

    def decorate(answer: Callable[Asked, Answer]) -> Callable[Asked, Answer]:
        answers = Recent[tuple[object, ...], tuple[Answer, int]](most, most_bytes, itemgetter(1))

        @wraps(answer)
        def ask(*args: Asked.args, **words: Asked.kwargs) -> Answer:
            def make() -> tuple[Answer, int]:
                made = answer(*args, **words)
                return made, size(made, args)

            key = (in_force(), args, *words.items())
            return answers.made(key, make)[0]

        return ask

    return decorate


def published(key: str) -> float:
    """Value of the row ``key`` in the row's own unit. Unknown key: ``KeyError``.

    Inside ``overridden`` it is the value given there, if there is one.
    """
    value = _instead.get().get(key)
    if value is None:
        value = _values().get(key)
    # a key that nobody knows is told by the row
    return row(key).value if value is None else value


def can_stand(key: str, value: float) -> bool:
    """Return whether a value may stand in the place of the row's own. Unknown key: ``KeyError``."""
    low, high = row(key).bounds
    return low <= value <= high


def row(key: str) -> PublishedValue:
    """Whole row ``key``. Unknown key: ``KeyError`` with a sentence naming it."""
    value = _table().get(key)
    if value is None:
        raise KeyError(f"no published value has the key {key!r}")
    return value


def rests_on(key: str) -> Status:
    """Return how good a row is: its status, or the worst of what it is computed from.

    Figures that are no rows stand in the source that the row names, as others quote it.
    """
    value = row(key)
    if value.status != "derived":
        return value.status
    inputs = [rests_on(one) for one in value.inputs] or ["quoted"]
    return max(inputs, key=WORSE_AND_WORSE.index)


def all_rows() -> tuple[PublishedValue, ...]:
    """Every row of the register, in key order."""
    table = _table()
    return tuple(table[key] for key in sorted(table))


def build_table(documents: Iterable[tuple[str, str]]) -> dict[str, PublishedValue]:
    """Rows by key from ``(file name, TOML text)`` pairs.

    Raises ``RegisterError`` for a key given twice, a source that the file does not name,
    or a row that does not hold to ``PublishedValue``.
    """
    table: dict[str, PublishedValue] = {}
    for name, text in documents:
        document = tomllib.loads(text)
        sources: Mapping[str, Mapping[str, Any]] = document.get("sources", {})
        for raw in document.get("rows", []):
            value = _read_row(name, raw, sources)
            if value.key in table:
                raise RegisterError(f"{name}: the key {value.key!r} is given twice")
            table[value.key] = value
    return table


def _read_row(
    name: str, raw: Mapping[str, Any], sources: Mapping[str, Mapping[str, Any]]
) -> PublishedValue:
    fields = dict(raw)
    source_id = fields.pop("source", None)
    key = fields.get("key", "without a key")
    if source_id is None:
        title = UNSOURCED.get(fields.get("status", ""))
        if title is None:
            raise RegisterError(f"{name}: the row {key!r} names no source")
        fields["title"] = title
    elif source_id in sources:
        fields |= sources[source_id]
    else:
        raise RegisterError(f"{name}: the row {key!r} names the unknown source {source_id!r}")
    try:
        return PublishedValue.model_validate(fields)
    except ValidationError as fault:
        raise RegisterError(f"{name}: the row {key!r} is not valid: {fault}") from fault


@cache
def _values() -> Mapping[str, float]:
    """Return the value of each row alone: it is asked for thousands of times a verdict."""
    return {key: value.value for key, value in _table().items()}


@cache
def _table() -> Mapping[str, PublishedValue]:
    here = files(__package__ or "app.published")
    documents = sorted(
        (item for item in here.iterdir() if item.name.endswith(".toml")),
        key=lambda item: item.name,
    )
    return build_table((item.name, item.read_text(encoding="utf-8")) for item in documents)
