"""The house rules that a machine can hold: who imports whom, sizes, literals, words."""

import ast
import re
from collections.abc import Callable, Collection, Iterable, Iterator
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


@cache
def import_nodes(tree: ast.AST) -> tuple[ast.Import | ast.ImportFrom, ...]:
    """Each import, within functions too; gathered once for all rules about them."""
    return tuple(n for n in ast.walk(tree) if isinstance(n, ast.Import | ast.ImportFrom))


def imports(tree: ast.AST) -> Iterator[str]:
    """Each module that is imported, dotted; ``from app import x`` gives ``app.x``."""
    for node in import_nodes(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        else:
            assert node.level == 0, f"relative import in line {node.lineno}"
            module = node.module or ""
            if module == "app":
                yield from (f"app.{alias.name}" for alias in node.names)
            else:
                yield module


def in_files(tree: ast.AST, modules: Collection[str]) -> set[str]:
    """The files that are imported, dotted, also as ``from app.scene import build``."""
    named = set(imports(tree))
    for node in import_nodes(tree):
        if isinstance(node, ast.ImportFrom):
            named |= {f"{node.module}.{alias.name}" for alias in node.names}
    return named & set(modules)


def at_load(tree: ast.Module) -> ast.Module:
    """The imports of a module outside of its functions: what is loaded when it is imported."""
    waiting: list[ast.AST] = [tree]
    body: list[ast.stmt] = []
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.Import | ast.ImportFrom):
            body.append(node)
        elif not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.expr):
            waiting.extend(ast.iter_child_nodes(node))
    return ast.Module(body=body, type_ignores=[])


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
        if isinstance(node, ast.BinOp):
            if _all_numbers(node) and ast.unparse(node) != "1 / 2":
                yield node.lineno
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            named = node.func.attr in ("degrees", "ulp")
            if named and ast.unparse(node).startswith(("math.degrees(math.pi", "math.ulp(")):
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


def faults(paths: Iterable[Path], found: Callable[[Path], object]) -> dict[str, object]:
    """Return what a rule finds in each file, by name; files without a fault are left out.

    One test holds one rule over all files: thousands of tests of a millisecond each cost more in
    being gathered by every worker than in being run.
    """
    paths = list(paths)
    assert paths, "no file is held to the rule"
    looked_at = ((name_of(path), found(path)) for path in paths)
    return {name: fault for name, fault in looked_at if fault}


def test_no_file_comes_round_to_itself() -> None:
    modules = {name_of(path).removesuffix(".py").replace("/", "."): path for path in APP_FILES}
    # imports for types alone and within functions count too: a circle is one for a reader
    graph = {name: in_files(parsed(path), modules) for name, path in modules.items()}
    assert list(TopologicalSorter(graph).static_order())


def test_imports_follow_the_arrows(table: dict[str, set[str]]) -> None:
    def beyond(path: Path) -> set[str]:
        own = path.relative_to(APP).parts[0].removesuffix(".py")
        may = set() if own == "__init__" else {own} | table[own]
        named = [module.split(".") for module in imports(parsed(path))]
        used = {parts[1] for parts in named if parts[0] == "app" and len(parts) > 1}
        return used - {"__version__"} - may

    assert faults(APP_FILES, beyond) == {}


def test_libraries_stay_at_home() -> None:
    def abroad(path: Path) -> list[str]:
        used = {module.split(".")[0] for module in imports(parsed(path))}
        place = path.relative_to(APP).as_posix()
        away = [name for name in used & AT_HOME.keys() if not place.startswith(AT_HOME[name])]
        return [*away, *used & {"tests"}]

    assert faults(APP_FILES, abroad) == {}


def test_scipy_is_loaded_late() -> None:
    def early(path: Path) -> set[str]:
        return {module.split(".")[0] for module in imports(at_load(parsed(path)))} & {"scipy"}

    assert faults(APP_FILES, early) == {}


def test_names_say_something() -> None:
    def vague(path: Path) -> set[str]:
        return {part.removesuffix(".py") for part in path.relative_to(ROOT).parts} & VAGUE_NAMES

    assert faults(APP_FILES + TEST_FILES, vague) == {}


def test_files_are_short() -> None:
    def too_many(path: Path) -> int | None:
        lines = len(path.read_text(encoding="utf-8").splitlines())
        return lines if lines > LONGEST else None

    assert faults(APP_FILES + SCRIPTS_AND_STYLES, too_many) == {}


def test_numbers_come_from_the_register() -> None:
    def written(path: Path) -> list[object]:
        text = path.read_text(encoding="utf-8")
        return [*numbers(text), *disguises(ast.parse(text))]

    own = (p.relative_to(APP).parts[0].removesuffix(".py") for p in APP_FILES)
    held = [p for p, name in zip(APP_FILES, own, strict=True) if name in WITHOUT_LITERALS]
    assert faults(held, written) == {}


def test_code_promises_nothing() -> None:
    def promises(path: Path) -> list[tuple[int, str]]:
        return [(line, s) for line, s in strings(parsed(path)) if PROMISE.search(s)]

    assert faults(APP_FILES, promises) == {}


def test_pages_and_data_promise_nothing() -> None:
    def promises(path: Path) -> list[str]:
        return [s for s in path.read_text(encoding="utf-8").splitlines() if PROMISE.search(s)]

    assert faults(SHOWN_FILES, promises) == {}


def test_changes_are_validated() -> None:
    assert faults(APP_FILES, lambda path: list(changed_copies(parsed(path)))) == {}


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
