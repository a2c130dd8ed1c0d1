"""What a wheel holds, and that it runs away from the checkout."""

import json
import os
import shutil
import subprocess
import sys
import tomllib
import urllib.request
from importlib.metadata import version
from pathlib import Path

import pytest

from tests.browser.running import RunningApp

ROOT = Path(__file__).resolve().parent.parent
SHIPPED = ("app", "static", "templates", "sample_rooms")
BUNDLED = ("static", "templates", "sample_rooms")

# From this release on setuptools makes wheels without a second package.
BUILDS_ALONE = (70, 1)


def files_under(folder: Path) -> set[str]:
    return {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def run(*command: str | Path, folder: Path, path: Path | None = None) -> str:
    """Run in a folder, with one more place to import from; return what it prints."""
    environment = dict(os.environ)
    environment.pop("PYTHONPATH", None)
    if path is not None:
        environment["PYTHONPATH"] = str(path)
    done = subprocess.run(
        command, cwd=folder, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that a fresh wheel was installed into, without its dependencies."""
    work = tmp_path_factory.mktemp("wheel")
    source = work / "source"
    source.mkdir()
    # A copy, because building leaves folders beside the sources.
    for name in SHIPPED:
        shutil.copytree(ROOT / name, source / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", source)
    pip = (sys.executable, "-m", "pip", "--disable-pip-version-check", "-q")
    present = tuple(int(part) for part in version("setuptools").split(".")[:2])
    alone = ["--no-build-isolation"] if present >= BUILDS_ALONE else []
    run(*pip, "wheel", "--no-deps", *alone, "-w", work / "wheels", source, folder=work)
    (wheel,) = (work / "wheels").iterdir()
    target = work / "target"
    run(*pip, "install", "--no-deps", "--target", target, wheel, folder=work)
    return target


def test_every_package_on_disk_is_listed() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    setuptools = project["tool"]["setuptools"]
    on_disk = {
        ".".join(init.parent.relative_to(ROOT).parts) for init in ROOT.glob("app/**/__init__.py")
    }
    assert sorted(on_disk | {f"app.{name}" for name in BUNDLED}) == setuptools["packages"]


def test_every_python_file_lies_in_a_package() -> None:
    assert [p for p in ROOT.glob("app/**/*.py") if not (p.parent / "__init__.py").is_file()] == []


def test_wheel_holds_the_whole_of_app(installed: Path) -> None:
    ours = {f for f in files_under(ROOT / "app") if not f.endswith((".md", ".pyc"))}
    assert ours - files_under(installed / "app") == set()


@pytest.mark.parametrize("name", BUNDLED)
def test_wheel_holds_the_folders_beside_app(installed: Path, name: str) -> None:
    ours = files_under(ROOT / name)
    assert ours
    assert files_under(installed / "app" / name) == ours


def test_wheel_brings_nothing_else(installed: Path) -> None:
    names = {path.name for path in installed.iterdir() if path.suffix != ".dist-info"}
    assert names == {"app"}


def test_installed_program_finds_its_own_folders(installed: Path, tmp_path: Path) -> None:
    code = (
        "import json; from app.resources import folder;"
        f"print(json.dumps([str(folder(name)) for name in {BUNDLED!r}]))"
    )
    found = json.loads(run(sys.executable, "-c", code, folder=tmp_path, path=installed))
    assert found == [str((installed / "app" / name).resolve()) for name in BUNDLED]


def test_installed_program_explains_itself(installed: Path, tmp_path: Path) -> None:
    text = run(sys.executable, "-m", "app", "--help", folder=tmp_path, path=installed)
    for word in ("--port", "--no-browser", "--data", "check", "draw", "schema"):
        assert word in text


def test_installed_program_serves_a_page(installed: Path, tmp_path: Path) -> None:
    with (
        RunningApp(
            tmp_path / "plans", folder=tmp_path, environment={"PYTHONPATH": str(installed)}
        ) as running,
        urllib.request.urlopen(running.url, timeout=60) as reply,
    ):
        assert reply.status == 200
        assert b"Elbowroom" in reply.read()


def test_each_line_for_windows_stands_alone_in_either_of_its_shells() -> None:
    # of the two the older one knows no "&&", and neither knows "/" in the name of a program
    block = (ROOT / "README.md").read_text("utf-8").partition("On Windows")[2].partition("It opens")
    lines = [line.strip() for line in block[0].splitlines() if line.startswith("    ")]
    assert len(lines) == 3
    assert not [line for line in lines if any(sign in line for sign in ("&", ";", "/", "$"))]
    assert [line.split()[0] for line in lines] == [
        "py",
        r".venv\Scripts\pip",
        r".venv\Scripts\python",
    ]
