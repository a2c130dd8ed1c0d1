"""The table of dangers in DEVELOPERS.md: each line names a test that is there."""

import ast
import re
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent


def section() -> str:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    found = re.search(r"^## Guard$(.*?)(?=^## |\Z)", text, re.DOTALL | re.MULTILINE)
    assert found, "DEVELOPERS.md has no section Guard"
    return found[1]


def rows() -> list[list[str]]:
    lines = [line for line in section().splitlines() if line.startswith("|")]
    cells = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    return cells[2:]


def test_each_line_names_a_test_that_is_there() -> None:
    table = rows()
    assert len(table) >= 18
    for row in table:
        assert len(row) == 4, row
        named = re.findall(r"`([\w/]+\.py)::(\w+)`", row[3])
        assert named, row
        for file, function in named:
            tree = ast.parse((ROOT / "tests" / file).read_text(encoding="utf-8"))
            there = {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}
            assert function in there, (row[0], file, function)


def test_each_cheat_sheet_stands_once_or_more() -> None:
    sheets = {row[1] for row in rows()}
    assert sheets >= {
        "Content Security Policy",
        "Cross-Site Request Forgery Prevention",
        "Cross Site Scripting Prevention",
        "Denial of Service",
        "Error Handling",
        "File Upload",
        "HTTP Headers",
        "Input Validation",
        "Logging",
        "SQL Injection Prevention",
    }
