"""Backup and restore from the command line: also while served, never under a running program."""

import json
import urllib.request
from pathlib import Path

import pytest

from app.cli import main
from app.model.versions import load
from app.usecases.plans import Elbowroom
from tests.browser.running import RunningApp
from tests.browser.store import PlanStore
from tests.web.building import plan_data, text


def test_there_and_back(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    house = Elbowroom(tmp_path / "plans")
    plan_id = house.create(load(text(plan_data(name="Kept")))).plan_id
    house.close()
    data, file = str(tmp_path / "plans"), str(tmp_path / "all.backup")
    assert main(["--data", data, "backup", file]) == 0
    assert capsys.readouterr().out == f"1 plan written to {file}\n"
    house = Elbowroom(tmp_path / "plans")
    house.rename(plan_id, "Changed")
    house.close()
    assert main(["--data", data, "restore", file]) == 0
    first, second = capsys.readouterr().out.splitlines()
    assert first == f"1 plan restored into {data}"
    assert second.startswith(f"The plans that were there before are kept in {data}")
    house = Elbowroom(tmp_path / "plans")
    assert house.open(plan_id).plan.name == "Kept"
    house.close()


def test_a_plan_that_cannot_be_read_is_named_and_the_exit_code_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    house = Elbowroom(tmp_path / "plans")
    whole = house.create(load(text(plan_data(name="Whole")))).plan_id
    spoilt = house.create(load(text(plan_data(name="Spoilt")))).plan_id
    with house.store.database.writing() as db:
        db.execute("UPDATE snapshots SET plan = '{' WHERE plan_id = ?", (spoilt,))
    house.close()
    data, file = str(tmp_path / "plans"), str(tmp_path / "all.backup")
    for command, told in (
        ("backup", "Not to be read whole, but copied as it is: Spoilt\n"),
        ("restore", "Not to be opened, and left out: Spoilt\n"),
    ):
        assert main(["--data", data, command, file]) == 1
        assert capsys.readouterr().err == told
    house = Elbowroom(tmp_path / "plans")
    assert house.open(whole).plan.name == "Whole"
    house.close()


def test_where_a_backup_went_is_said_whole(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    Elbowroom(tmp_path / "plans").close()
    monkeypatch.chdir(tmp_path)
    assert main(["--data", str(tmp_path / "plans"), "backup", "bk1"]) == 0
    assert capsys.readouterr().out == f"0 plans written to {tmp_path / 'bk1'}\n"


def test_what_cannot_be_done_is_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data, rubbish = str(tmp_path / "plans"), tmp_path / "rubbish"
    rubbish.write_bytes(b"my tax papers")
    for arguments, words in (
        (["backup", str(tmp_path / "b")], "There are no plans in"),
        (["restore", str(rubbish)], "is no backup of Elbowroom. Nothing was changed."),
        (["restore", str(tmp_path / "none")], "cannot be read"),
    ):
        assert main(["--data", data, *arguments]) == 2
        said = capsys.readouterr().err
        assert words in said
        assert said.count("\n") == 1
    assert rubbish.read_bytes() == b"my tax papers"


def test_under_a_running_program(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data, file = str(tmp_path / "plans"), str(tmp_path / "all.backup")
    with RunningApp(tmp_path / "plans") as running:
        plan_id = PlanStore(running.url).sample("basement")
        assert main(["--data", data, "backup", file]) == 0
        assert main(["--data", data, "restore", file]) == 2
        assert "stop it first. Nothing changed." in capsys.readouterr().err
        with urllib.request.urlopen(f"{running.url}api/plans", timeout=60) as reply:
            assert [p["id"] for p in json.load(reply)["plans"]] == [plan_id]
    assert main(["--data", data, "restore", file]) == 0
