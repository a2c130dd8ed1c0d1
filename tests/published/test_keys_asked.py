"""Every key that the code asks the register for has its row; keys put together are not seen."""

import ast
from pathlib import Path

import pytest

import app
from app.published.register import all_rows

ROOT = Path(app.__file__).parent
REGISTER = "app.published.register"
ASKING = {"published", "row", "rests_on"}
FILES = sorted(path for path in ROOT.rglob("*.py"))


def keys_asked(path: Path) -> set[str]:
    """Keys that calls of the register write out, or name as a constant of the module."""
    text = path.read_text(encoding="utf-8")
    if REGISTER not in text:
        return set()
    tree = ast.parse(text)
    constants = {
        target.id: node.value
        for node in tree.body
        if isinstance(node, ast.Assign)
        for target in node.targets
        if isinstance(target, ast.Name)
    }
    taken = {
        name.name
        for node in tree.body
        if isinstance(node, ast.ImportFrom) and node.module == REGISTER
        for name in node.names
    }
    asked = set()
    for call in ast.walk(tree):
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.args:
            key: ast.expr | None = call.args[0]
            if isinstance(key, ast.Name):
                key = constants.get(key.id)
            if call.func.id in ASKING & taken and isinstance(key, ast.Constant):
                asked.add(str(key.value))
    return asked


def test_every_key_that_is_asked_for_has_its_row() -> None:
    known = {one.key for one in all_rows()}
    lacking = {(path.name, key) for path in FILES for key in keys_asked(path) - known}
    assert lacking == set()


@pytest.mark.parametrize(
    "text", ['published("a.b")', "f\"{published('a.b'):.0f} mm\"", 'KEY = "a.b"\nrow(KEY)']
)
def test_keys_are_seen_however_they_are_written(tmp_path: Path, text: str) -> None:
    taken = "from app.published.register import published, row\n"
    (tmp_path / "asks.py").write_text(taken + text)
    assert keys_asked(tmp_path / "asks.py") == {"a.b"}
