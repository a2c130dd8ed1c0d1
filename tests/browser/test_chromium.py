"""The search for a browser takes only what runs, and says so when told a wrong one."""

import sys
from pathlib import Path

import pytest

from tests.browser.chromium import CHOICE, NoBrowserError, answers, find

unix_only = pytest.mark.skipif(sys.platform == "win32", reason="programs there are not scripts")


def program(path: Path, text: str) -> Path:
    path.write_text(f"#!/bin/sh\n{text}\n", encoding="utf-8")
    path.chmod(0o755)
    return path


@unix_only
def test_a_program_that_tells_its_version_answers(tmp_path: Path) -> None:
    assert answers(program(tmp_path / "chromium", "echo Chromium 130.0"))


@unix_only
def test_a_stub_that_asks_to_install_does_not_answer(tmp_path: Path) -> None:
    assert not answers(program(tmp_path / "chromium", "echo install 1 package >&2; exit 1"))


def test_a_missing_program_does_not_answer(tmp_path: Path) -> None:
    assert not answers(tmp_path / "chromium")


@unix_only
def test_the_chosen_browser_comes_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    chosen = program(tmp_path / "mine", "echo Mine 1.0")
    monkeypatch.setenv(CHOICE, str(chosen))
    assert find() == chosen


def test_a_wrong_choice_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(CHOICE, str(tmp_path / "nothing"))
    with pytest.raises(NoBrowserError, match="nothing, which does not run"):
        find()
