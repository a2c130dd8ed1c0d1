"""What the mutants of ``python -m tests.mutants`` are: other programs, and never idle ones."""

import ast
from pathlib import Path
from types import ModuleType

import pytest

from app.scene.tolerance import TOLERANCE_MM
from tests.mutants import ROOT, copied, every_mutant
from tests.mutating.changes import all_of, draw, mutants_of
from tests.mutating.equivalent import EQUIVALENT
from tests.mutating.loaded import Functions
from tests.mutating.same_lines import INSTEAD
from tests.mutating.tracing import Coverage, Traced

IDLE = '''"""Of 3 lengths + 1."""

from __future__ import annotations

import math

Way: TypeAlias = tuple[int, 2]


@cache(maxsize=3)
class Thing:
    """1 + 2."""

    __slots__ = ("one", "two" + "three")
    size: Literal[1, 2]

    def grow(self, by: Literal[3]) -> Annotated[float, 4]:
        """Return 1 + 2."""
        for one, two in zip(self.ones, self.twos, strict=True):
            raise ValueError("more than " + str(2 + 1))
        assert by > 0, "by > 0"
        return f"{1 + 2:.3f}"
'''


def changes(tmp_path: Path, source: str) -> list[tuple[str, str]]:
    file = tmp_path / "file.py"
    file.write_text(source, encoding="utf-8")
    return [(each.before, each.after) for each in mutants_of(file, "app/it/file.py")]


@pytest.mark.long
def test_every_change_is_another_program() -> None:
    for mutant in draw(every_mutant(ROOT, ["formulas", "store"]), 60, 1):
        source = (ROOT / mutant.file).read_text(encoding="utf-8")
        changed = mutant.written(source)
        assert ast.dump(ast.parse(changed)) != ast.dump(ast.parse(source)), str(mutant)


def test_the_same_seed_draws_the_same_lines_each_once() -> None:
    every = every_mutant(ROOT, ["formulas"])
    drawn = draw(every, 50, 7)
    assert drawn == draw(every, 50, 7)
    assert drawn != draw(every, 50, 8)
    assert len({(each.file, each.line) for each in drawn}) == 50


def test_what_becomes_of_the_project_since_reaches_no_copy(tmp_path: Path) -> None:
    file = tmp_path / "app" / "formulas" / "sums.py"
    file.parent.mkdir(parents=True)
    file.write_text("size = 1 + 2\n", encoding="utf-8")
    with copied(tmp_path) as copies:
        file.write_text("", encoding="utf-8")
        for copy in copies:
            (sums, *_) = every_mutant(copy, ["formulas"])
            assert (sums.file, sums.before) == ("app/formulas/sums.py", "1 + 2")
    assert not any(copy.exists() for copy in copies)


def test_what_no_test_can_notice_is_never_changed(tmp_path: Path) -> None:
    assert changes(tmp_path, IDLE) == []


@pytest.mark.parametrize("file", EQUIVALENT)
def test_what_decides_no_answer_is_named_stands_there_and_is_never_changed(file: str) -> None:
    body = ast.parse((ROOT / file).read_text(encoding="utf-8")).body
    named = {
        target.id: range(each.lineno, (each.end_lineno or each.lineno) + 1)
        for each in body
        if isinstance(each, ast.Assign)
        for target in each.targets
        if isinstance(target, ast.Name)
    }
    assert EQUIVALENT[file].keys() <= named.keys()
    changed = {each.line for each in mutants_of(ROOT / file, file)}
    assert not [name for name in EQUIVALENT[file] if changed & {*named[name]}]


@pytest.mark.parametrize("file", INSTEAD)
def test_lines_that_say_the_same_are_changes_of_their_file(file: str) -> None:
    source = (ROOT / file).read_text(encoding="utf-8")
    assert INSTEAD[file].keys() <= {each.line_written(source) for each in all_of(source, file)}
    left = {each.line_written(source) for each in mutants_of(ROOT / file, file)}
    assert not left & INSTEAD[file].keys()


def test_by_one_nothing_is_multiplied_and_what_only_makes_quicker_is_left(tmp_path: Path) -> None:
    assert TOLERANCE_MM == 1
    source = "shapely.prepare(area)\nfar = 2.0 * TOLERANCE_MM + size / TOLERANCE_MM\n"
    assert changes(tmp_path, source) == [
        ("2.0 * TOLERANCE_MM + size / TOLERANCE_MM", "(2.0 * TOLERANCE_MM - size / TOLERANCE_MM)"),
        ("2.0", "(3.0)"),
    ]
    assert len(changes(tmp_path, "TOLERANCE_MM / size\nTOLERANCE_MM + 1\n")) == 3


def test_conditions_sums_and_results_are_turned_round(tmp_path: Path) -> None:
    source = "def f(a: int) -> bool:\n    if a:\n        a += 2\n    return a < 3 and not a\n"
    assert changes(tmp_path, source) == [
        ("a", "not (a)"),
        ("2", "(3)"),
        ("a += 2", "a -= 2"),
        ("a < 3 and not a", "(a < 3 or not a)"),
        ("a < 3", "(a >= 3)"),
        ("3", "(4)"),
        ("not a", "(a)"),
        ("a < 3 and not a", "not (a < 3 and (not a))"),
    ]


def test_letters_of_more_than_a_byte_do_not_shift_the_change(tmp_path: Path) -> None:
    file = tmp_path / "file.py"
    source = 'name = "Länge"; size = 1 + 2\n'
    file.write_text(source, encoding="utf-8")
    (sums, *_) = mutants_of(file, "app/it/file.py")
    assert sums.written(source) == 'name = "Länge"; size = 1 + 2\n'.replace("1 + 2", "(1 - 2)")


def test_what_another_system_runs_is_never_changed(tmp_path: Path) -> None:
    source = "if sys.platform == 'win32':\n    x = 1\nelse:\n    x = 2\n"
    assert changes(tmp_path, source) == [("2", "(3)")]


def test_all_tests_of_the_namesake_are_asked() -> None:
    # the first makes what is remembered, and the second looks at it: no line is traced to it
    first, second, other = (
        Traced(f"tests/scene/test_{name}", 0.1, lines)
        for name, lines in (
            ("doors.py::test_one", {"app/scene/doors.py": frozenset({7})}),
            ("doors.py::test_two", {}),
            ("walls.py::test_three", {}),
        )
    )
    coverage = Coverage((other, second, first), {})
    assert coverage.running("app/scene/doors.py", range(7, 8), False) == [second, first]


LOADED = """\
from functools import cache

RATE = 3

@cache
def cost(hours: int) -> int:
    return hours * RATE

class Job:
    def days(self, hours: int) -> list[int]:
        return [each for each in range(hours) if each > 1]
"""


def test_a_function_is_changed_where_it_stands_also_what_is_remembered_of_it(
    tmp_path: Path,
) -> None:
    file = tmp_path / "work.py"
    file.write_text(LOADED, encoding="utf-8")
    work = ModuleType("work")
    exec(compile(LOADED, str(file), "exec"), vars(work))
    functions = Functions()
    assert (work.cost(6), work.Job().days(4)) == (18, [2, 3])

    assert functions.change(str(file), LOADED, LOADED.replace("hours * RATE", "hours - RATE"))
    assert (work.cost(6), work.Job().days(4)) == (3, [2, 3])
    assert functions.change(str(file), LOADED, LOADED.replace("each > 1", "each <= 1"))
    assert (work.cost(6), work.Job().days(4)) == (3, [0, 1])
    # what runs on loading has run: such a change must be loaded
    assert not functions.change(str(file), LOADED, LOADED.replace("RATE = 3", "RATE = 4"))
