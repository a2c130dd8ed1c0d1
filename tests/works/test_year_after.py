"""The year after: every look is due by its row, and nothing is named that the plan has not."""

from datetime import date, timedelta

import pytest

from app.scene.build import build_scene
from app.works.year_after import Upkeep, year_after
from tests.works.plans import sample

FIRST = date(2027, 3, 20)


def looks_of(key: str) -> list[Upkeep]:
    return list(year_after(build_scene(sample(key)), FIRST))


@pytest.mark.parametrize(
    ("key", "there", "not_there"),
    [
        ("double-garage", ("brush and oil", "door springs", "garage door", "belt:"), ("filter",)),
        ("upstairs-room", ("insurer",), ("door springs", "garage door", "belt:", "sweep the door")),
        ("basement", ("cables, straps", "belt:"), ("garage door", "brush and oil")),
    ],
)
def test_what_the_plan_has_is_looked_at_and_nothing_else(
    key: str, there: tuple[str, ...], not_there: tuple[str, ...]
) -> None:
    told = " | ".join(f"{one.name} {one.caution}" for one in looks_of(key)).lower()
    assert [word for word in there if word not in told] == []
    assert [word for word in not_there if word in told] == []


def test_looks_come_in_week_one_month_one_and_then_each_quarter() -> None:
    # works.md: bolts in week 1 and month 1, then quarterly; cables monthly
    looks = {one.id: one.on for one in looks_of("basement")}
    assert looks["bolts-first"] == FIRST + timedelta(days=7)
    assert looks["bolts-next"] == FIRST + timedelta(days=30)
    assert [day for one, day in looks.items() if one.startswith("quarter")] == [
        FIRST + timedelta(days=91 * n) for n in (1, 2, 3, 4)
    ]
    monthly = [day for one, day in looks.items() if one.startswith("cables")]
    assert len(monthly) == 12
    assert max(looks.values()) == FIRST + timedelta(days=365)
