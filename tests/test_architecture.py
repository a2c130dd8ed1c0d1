"""The house rules that a machine can hold: who imports whom, sizes, literals, words."""

import ast
import re
from collections.abc import Collection, Iterator
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
APP = ROOT / "app"

APP_FILES = sorted(APP.rglob("*.py"))
TEST_FILES = sorted((ROOT / "tests").rglob("*.py"))
SCRIPTS_AND_STYLES = sorted(p for p in (ROOT / "static").rglob("*") if p.suffix in {".js", ".css"})
SHOWN_SUFFIXES = {".css", ".html", ".js", ".json", ".svg", ".toml", ".txt", ".webmanifest"}
SHOWN_FILES = sorted(
    path
    for folder in ("app", "static", "templates", "sample_rooms")
    for path in (ROOT / folder).rglob("*")
    if path.suffix in SHOWN_SUFFIXES
)

LONGEST = 400
PLAIN_NUMBERS = (0, 1, 2)
CAPITALS = re.compile(r"_?[A-Z][A-Z0-9_]*$")
WITHOUT_LITERALS = ("arrange", "checks", "formulas", "scene", "takeoff")
VAGUE_NAMES = {"common", "helper", "helpers", "misc", "util", "utils"}
AT_HOME = {"flask": "web/", "werkzeug": "web/", "sqlite3": "store/", "svgwrite": "drawing/svg.py"}
PROMISE = re.compile(r"\bsafe(ly)?\b(?!-area)", re.IGNORECASE)


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def imports(tree: ast.AST) -> Iterator[str]:
    """Each module that is imported, dotted; ``from app import x`` gives ``app.x``."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"relative import in line {node.lineno}"
            module = node.module or ""
            if module == "app":
                yield from (f"app.{alias.name}" for alias in node.names)
            else:
                yield module


def in_files(tree: ast.AST, modules: Collection[str]) -> set[str]:
    """The files that are imported, dotted, also as ``from app.scene import build``."""
    named = set(imports(tree))
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom):
            named |= {f"{node.module}.{alias.name}" for alias in node.names}
    return named & set(modules)


def at_load(tree: ast.Module) -> ast.Module:
    """The module without the bodies of its functions: what runs when it is imported."""

    class Shell(ast.NodeTransformer):
        def visit_FunctionDef(self, node: ast.FunctionDef) -> None: ...

        def visit_AsyncFunctionDef(self, node: ast.AsyncFunctionDef) -> None: ...

    shell = Shell().visit(ast.parse(ast.unparse(tree)))
    assert isinstance(shell, ast.Module)
    return shell


def numbers(text: str) -> Iterator[tuple[int, complex]]:
    """Each numeric literal that is not a constant of its module with a name and a reason.

    A constant stands at module level, its name in capitals; its reason is a docstring below it or
    a comment above or beside it. Quantities come from the register all the same: a constant is a
    count, an angle, a tolerance, tuning, or how a unit is defined.
    """
    tree, lines = ast.parse(text), text.splitlines()
    for node, after in zip(tree.body, [*tree.body[1:], None], strict=True):
        if not (_is_constant(node) and _has_reason(node, after, lines)):
            yield from _literals(node)


def _literals(tree: ast.AST) -> Iterator[tuple[int, complex]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant):
            value = node.value
            if isinstance(value, bool) or not isinstance(value, int | float | complex):
                continue
            if value not in PLAIN_NUMBERS:
                yield node.lineno, value


def _is_constant(node: ast.stmt) -> bool:
    if isinstance(node, ast.Assign):
        names = node.targets
    elif isinstance(node, ast.AnnAssign):
        names = [node.target]
    else:
        return False
    return all(isinstance(name, ast.Name) and CAPITALS.match(name.id) for name in names)


def _has_reason(node: ast.stmt, after: ast.stmt | None, lines: list[str]) -> bool:
    above, beside = lines[max(node.lineno - 2, 0)], lines[(node.end_lineno or 0) - 1]
    if above.startswith("# ") or "  # " in beside:
        return True
    below = after.value if isinstance(after, ast.Expr) else None
    return isinstance(below, ast.Constant) and isinstance(below.value, str)


def disguises(tree: ast.AST) -> Iterator[int]:
    """The lines where a number is made of plain ones, so as not to be written down; 1 / 2 is one.

    Turning pi into degrees, which is 180, is another way to do it.
    """
    for node in ast.walk(tree):
        if not isinstance(node, ast.BinOp | ast.Call):
            continue
        text = ast.unparse(node)
        made = isinstance(node, ast.BinOp) and text != "1 / 2" and _all_numbers(node)
        if made or text.startswith(("math.degrees(math.pi", "math.ulp(")):
            yield node.lineno


def _all_numbers(node: ast.AST) -> bool:
    if isinstance(node, ast.BinOp):
        return _all_numbers(node.left) and _all_numbers(node.right)
    return isinstance(node, ast.Constant) and isinstance(node.value, int | float)


def strings(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Each string literal with its line; docstrings too, for the schema shows them."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.lineno, node.value


def changed_copies(tree: ast.AST) -> Iterator[int]:
    """The lines that copy a model with changes, which skips its validation."""
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and node.func.attr == "model_copy"
            and any(word.arg in ("update", None) for word in node.keywords)
        ):
            yield node.lineno


def arrows() -> dict[str, set[str]]:
    """The table in DEVELOPERS.md: name -> names it may import."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    block = re.search(r"^```arrows\n(.*?)^```$", text, re.DOTALL | re.MULTILINE)
    assert block, "DEVELOPERS.md has no block of arrows"
    table: dict[str, set[str]] = {}
    for line in block[1].splitlines():
        name, colon, targets = line.partition(":")
        assert colon, f"no colon in {line!r}"
        assert name not in table, f"{name} stands twice in the table"
        table[name] = set(targets.split())
    return table


@cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


@pytest.fixture(scope="module")
def table() -> dict[str, set[str]]:
    return arrows()


def test_arrows_only_point_upwards(table: dict[str, set[str]]) -> None:
    above: set[str] = set()
    for name, targets in table.items():
        assert targets <= above, f"{name} points at {sorted(targets - above)}"
        above.add(name)
    assert len(above) >= 19


@pytest.mark.parametrize("path", APP_FILES, ids=name_of)
def test_imports_follow_the_arrows(path: Path, table: dict[str, set[str]]) -> None:
    own = path.relative_to(APP).parts[0].removesuffix(".py")
    may = set() if own == "__init__" else {own} | table[own]
    named = [module.split(".") for module in imports(parsed(path))]
    used = {parts[1] for parts in named if parts[0] == "app" and len(parts) > 1}
    assert used - {"__version__"} <= may


def test_no_file_comes_round_to_itself() -> None:
    modules = {name_of(path).removesuffix(".py").replace("/", "."): path for path in APP_FILES}
    # imports for types alone and within functions count too: a circle is one for a reader
    graph = {name: in_files(parsed(path), modules) for name, path in modules.items()}
    assert list(TopologicalSorter(graph).static_order())


@pytest.mark.parametrize("path", APP_FILES, ids=name_of)
def test_libraries_stay_at_home(path: Path) -> None:
    used = {module.split(".")[0] for module in imports(parsed(path))}
    place = path.relative_to(APP).as_posix()
    assert [name for name in used & AT_HOME.keys() if not place.startswith(AT_HOME[name])] == []
    assert "tests" not in used


@pytest.mark.parametrize("path", APP_FILES, ids=name_of)
def test_scipy_is_loaded_late(path: Path) -> None:
    assert "scipy" not in {module.split(".")[0] for module in imports(at_load(parsed(path)))}


@pytest.mark.parametrize("path", APP_FILES + TEST_FILES, ids=name_of)
def test_names_say_something(path: Path) -> None:
    parts = {part.removesuffix(".py") for part in path.relative_to(ROOT).parts}
    assert not parts & VAGUE_NAMES


@pytest.mark.parametrize("path", APP_FILES + SCRIPTS_AND_STYLES, ids=name_of)
def test_files_are_short(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST


@pytest.mark.parametrize(
    "path",
    [p for p in APP_FILES if p.relative_to(APP).parts[0].removesuffix(".py") in WITHOUT_LITERALS],
    ids=name_of,
)
def test_numbers_come_from_the_register(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert list(numbers(text)) == []
    assert list(disguises(ast.parse(text))) == []


@pytest.mark.parametrize("path", APP_FILES, ids=name_of)
def test_code_promises_nothing(path: Path) -> None:
    assert [(line, s) for line, s in strings(parsed(path)) if PROMISE.search(s)] == []


@pytest.mark.parametrize("path", SHOWN_FILES, ids=name_of)
def test_pages_and_data_promise_nothing(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if PROMISE.search(line)] == []


@pytest.mark.parametrize("path", APP_FILES, ids=name_of)
def test_changes_are_validated(path: Path) -> None:
    assert list(changed_copies(parsed(path))) == []


def test_top_level_holds_only_what_it_should() -> None:
    expected = {
        "DEVELOPERS.md",
        "README.md",
        "app",
        "pyproject.toml",
        "sample_rooms",
        "static",
        "templates",
        "tests",
    }
    made = {"build", "dist"}
    names = {p.name for p in ROOT.iterdir() if not p.name.startswith(".")}
    assert {n for n in names if not n.endswith(".egg-info")} - made == expected


# The readers above must see what they look for.


def test_the_reader_sees_every_kind_of_import() -> None:
    text = "import app.store.db as d\nfrom app import checks\ndef f():\n    from app.web import x"
    assert set(imports(ast.parse(text))) == {"app.store.db", "app.checks", "app.web"}


def test_the_reader_sees_circles_of_files() -> None:
    files = {"app.a": "from app import b", "app.b": "def f():\n    from app.a import x"}
    graph = {name: in_files(ast.parse(text), files) for name, text in files.items()}
    with pytest.raises(CycleError):
        TopologicalSorter(graph).prepare()


def test_the_reader_refuses_relative_imports() -> None:
    with pytest.raises(AssertionError, match="relative"):
        list(imports(ast.parse("from .scene import build")))


def test_late_imports_do_not_count_as_early() -> None:
    text = "if True:\n    import scipy\ndef f():\n    import numpy"
    assert list(imports(at_load(ast.parse(text)))) == ["scipy"]


def test_the_reader_sees_numbers() -> None:
    text = '"""Up to 300."""\nx = [0, 1.0, -2, True, 3, -4.5, f"{y:.1f}"]'
    assert [value for _, value in numbers(text)] == [3, 4.5]


def test_the_reader_asks_constants_for_a_reason() -> None:
    text = "# a quarter\nA = 90\n\nB = 91\n"
    text += (
        'C_2 = 92\n"""Why."""\nD = 93  # why\ne = 94  # why\n# why\ndef f(x=95):\n    G = 96  # why'
    )
    assert [value for _, value in numbers(text)] == [91, 94, 95, 96]


def test_the_reader_sees_numbers_in_disguise() -> None:
    text = 'a = 2**2 * 2\nb = n * 2\nc = "x" + "y"\nd = math.degrees(math.pi / 2)\ne = 1 / 2\n'
    text += "f = math.ulp(1) ** (1 / 2)"
    assert set(disguises(ast.parse(text))) == {1, 4, 6}


def test_the_reader_sees_promises() -> None:
    assert PROMISE.search("It is Safe.")
    assert PROMISE.search("{{ name|safe }}")
    assert not PROMISE.search("env(safe-area-inset-top) unsafe safety")
    assert [line for line, _ in strings(ast.parse('x = 1\ny = f"a safe {x}"'))] == [2]


def test_the_reader_sees_changed_copies() -> None:
    text = "a.model_copy()\na.model_copy(deep=True)\na.model_copy(update={})\na.model_copy(**k)"
    assert list(changed_copies(ast.parse(text))) == [3, 4]
