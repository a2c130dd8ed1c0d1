"""All tests loaded once: a function is changed where it stands, in a fork, and the tests are run.

Loading program and tests anew for each mutant would take longer than most of the tests that kill
it. What a change of a function cannot do, because it runs while the program is loaded, is left to
`tests.mutating.running`.
"""

from __future__ import annotations

import gc
import json
import os
import sys
from collections import Counter
from collections.abc import Callable
from functools import _lru_cache_wrapper, partial
from pathlib import Path
from types import CodeType, FunctionType

import pytest

from tests.mutating.running import (
    FAULT,
    LOADED_WITHIN_S,
    Asked,
    ends_after,
    ends_after_test,
    in_child,
    load_libraries,
    without_shrinking,
)
from tests.mutating.tracing import Traced

NOT_IN_PLACE = "not in place"
"""The answer where a change is none of a function that has been loaded."""

Key = tuple[str, int]
"""A function of a file: its qualified name, and which of those of this name."""


class Loaded(Asked):
    """A process that has loaded tests of some folders in a copy of the project."""

    def __init__(self, copy: Path, folders: list[str]) -> None:
        super().__init__(copy, "tests.mutating.loaded", *folders)
        self._answer()  # all is loaded: from now on a file may change

    def fails(self, file: str, before: str, after: str, tests: list[Traced]) -> str | None:
        """Return the first test that fails when a file's functions are those of `after`.

        None if all pass, "no end" for a test that hangs, `NOT_IN_PLACE` where it must be loaded.
        """
        return self._asked(file, before, after, [(each.test, each.seconds) for each in tests])


def functions_of(source: str, path: str) -> dict[Key, CodeType]:
    """Return the compiled functions and classes of a file, in their order."""
    of: dict[Key, CodeType] = {}
    count: Counter[str] = Counter()

    def walk(code: CodeType) -> None:
        for each in code.co_consts:
            if isinstance(each, CodeType):
                of[each.co_qualname, count[each.co_qualname]] = each
                count[each.co_qualname] += 1
                walk(each)

    walk(compile(source, path, "exec", dont_inherit=True))
    return of


class Functions:
    """Every function that stands loaded, by its file, and whatever remembers answers of one."""

    def __init__(self) -> None:
        gc.unfreeze()
        self._of: dict[str, list[FunctionType]] = {}
        self._remembering: list[_lru_cache_wrapper[object]] = []
        for each in gc.get_objects():
            if isinstance(each, FunctionType):
                self._of.setdefault(each.__code__.co_filename, []).append(each)
            elif isinstance(each, _lru_cache_wrapper):
                self._remembering.append(each)
        gc.freeze()

    def change(self, path: str, before: str, after: str) -> bool:
        """Change the functions of a file; return whether there was one, or nothing, to change."""
        if before == after:
            return True
        old, new = functions_of(before, path), functions_of(after, path)
        if list(old) != list(new):
            return False
        wanted = {key: code for key, code in new.items() if code != old[key]}
        keys: dict[tuple[str, int], list[Key]] = {}
        for key, code in old.items():
            keys.setdefault((code.co_qualname, code.co_firstlineno), []).append(key)
        changed = False
        for function in self._of.get(path, []):
            code = function.__code__
            alike = keys.get((code.co_qualname, code.co_firstlineno), [])
            if len(alike) == 1 and alike[0] in wanted:
                instead = wanted[alike[0]]
                if instead.co_freevars != code.co_freevars:
                    return False
                function.__code__ = instead
                changed = True
        for each in self._remembering:
            each.cache_clear()
        return changed


class _Served:
    """A plugin of pytest: when all is collected, answers what is asked instead of running it."""

    def __init__(self, questions: int, answers: int) -> None:
        self._questions, self._answers = questions, answers

    @pytest.hookimpl(trylast=True)
    def pytest_configure(self) -> None:
        """Let laws fail with the first example that does."""
        without_shrinking()

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Answer line by line till nothing more is asked."""
        functions = Functions()
        items = {item.nodeid: item for item in session.items}
        with os.fdopen(self._questions) as questions, os.fdopen(self._answers, "w") as answers:
            fault = f"{FAULT} tests cannot be loaded" if session.testsfailed else None
            print(json.dumps(fault), file=answers, flush=True)
            for line in questions:
                file, before, after, tests = json.loads(line)
                path = str(Path.cwd() / file)
                change = partial(functions.change, path, before, after)
                work = partial(_first_failure, session, items, change, tests)
                print(json.dumps(in_child(work)), file=answers, flush=True)
        return True


def _first_failure(
    session: pytest.Session,
    items: dict[str, pytest.Item],
    change: Callable[[], bool],
    tests: list[tuple[str, float]],
) -> str | None:
    """Return the first test that fails after a change; what cannot be loaded is not there."""
    ends_after(LOADED_WITHIN_S)
    if not change():
        return NOT_IN_PLACE
    failed: list[str] = []

    class Noted:
        def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
            if report.failed:
                failed.append(report.nodeid)

    session.config.pluginmanager.register(Noted())
    asked = [(items[name], seconds) for name, seconds in tests if name in items]
    if not asked:
        return None
    following = [item for item, _ in asked[1:]]
    for (item, seconds), after in zip(asked, [*following, None], strict=True):
        ends_after_test(seconds)
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
        if failed:
            return failed[0]
    return None


def _main(folders: list[str]) -> None:
    load_libraries()
    questions, answers = os.dup(0), os.dup(1)
    silent = os.open(os.devnull, os.O_RDWR)
    os.dup2(silent, 0)
    os.dup2(silent, 1)
    pytest.main(["-q", "-p", "no:cacheprovider", *folders], plugins=[_Served(questions, answers)])


if __name__ == "__main__":
    _main(sys.argv[1:])
