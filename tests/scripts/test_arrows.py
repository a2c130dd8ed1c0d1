"""Which script may import which, as the table in DEVELOPERS.md says."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
SCRIPTS = ROOT / "static" / "js"
FILES = sorted(path for path in SCRIPTS.rglob("*.js") if path.name != "types.js")

# The one that knows all the others.
MAIN = "main"

# Words that name a script only for whoever wrote it.
VAGUE_NAMES = {
    "below", "common", "hand", "helpers", "late", "misc", "more", "rest", "said", "slip",
    "trying", "utils",
}  # fmt: skip

# What only a page has; the arithmetic of the desk runs without one.
PAGE = re.compile(r"\b(?:document|window|fetch|location|localStorage|sessionStorage|navigator)\b")

IMPORT = re.compile(
    r"^import (?:[^'\"]*? from )?'(\.[^']+)';|\bimport\('(\.[^']+)'\)|'(\./[^']+\.js)'",
    re.MULTILINE,
)


def name_of(path: Path) -> str:
    return path.relative_to(SCRIPTS).as_posix()


def code(path: Path) -> str:
    """The text without comments; types are imported in comments, and anybody may name a type."""
    text = re.sub(r"/\*.*?\*/", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    return re.sub(r"^\s*//.*$", "", text, flags=re.MULTILINE)


def part_of(path: Path) -> str:
    """The folder of a script, or its own name where it lies beside the folders."""
    return path.relative_to(SCRIPTS).parts[0].removesuffix(".js")


def imported(path: Path) -> Iterator[Path]:
    for found in IMPORT.finditer(code(path)):
        yield (path.parent / next(filter(None, found.groups()))).resolve()


def arrows() -> dict[str, set[str]]:
    """The table: part -> parts it may import."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    block = re.search(r"^```script-arrows\n(.*?)^```$", text, re.DOTALL | re.MULTILINE)
    assert block, "DEVELOPERS.md has no block of script-arrows"
    lines = (line.partition(":") for line in block[1].splitlines())
    return {name: set(targets.split()) for name, _, targets in lines}


def test_arrows_only_point_upwards() -> None:
    above: set[str] = set()
    for name, targets in arrows().items():
        assert (name, targets - above) == (name, set())
        above.add(name)
    assert {part_of(path) for path in FILES} == above | {MAIN}


def faults(paths: list[Path], found: Callable[[Path], object]) -> dict[str, object]:
    """Return what a rule finds in each script, by name; scripts without a fault are left out."""
    assert paths, "no script is held to the rule"
    looked_at = ((name_of(path), found(path)) for path in paths)
    return {name: fault for name, fault in looked_at if fault}


def test_names_say_something() -> None:
    assert faults(FILES, lambda path: set(re.split(r"[-_]", path.stem)) & VAGUE_NAMES) == {}


def test_what_is_imported_is_there() -> None:
    def absent(path: Path) -> list[str]:
        return [name_of(one) for one in imported(path) if not one.is_file()]

    assert faults(FILES, absent) == {}


def test_imports_follow_the_arrows() -> None:
    table = arrows()

    def beyond(path: Path) -> set[str]:
        own = part_of(path)
        return {part_of(one) for one in imported(path)} - {own} - table[own]

    assert faults([path for path in FILES if part_of(path) != MAIN], beyond) == {}


def test_a_panel_imports_no_panel() -> None:
    def panels(path: Path) -> list[str]:
        return [name_of(one) for one in imported(path) if part_of(one) == "panels"]

    assert faults(sorted((SCRIPTS / "panels").glob("*.js")), panels) == {}


def test_the_model_knows_no_page() -> None:
    model = sorted((SCRIPTS / "model").glob("*.js"))
    assert faults(model, lambda path: PAGE.findall(code(path))) == {}
