"""How long the whole list of quantities takes, beside one verdict of the same room."""

from pathlib import Path

from app.checks.run import run
from app.model.versions import load
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from tests.benchmarks.routes import fastest_ms
from tests.benchmarks.table import Row

SAMPLES = Path(__file__).resolve().parents[2] / "sample_rooms"
MOST = 10


def rows() -> list[Row]:
    """What was measured: name, ms, baseline ms, ratio, and its limit."""
    found: list[Row] = []
    for path in sorted(SAMPLES.glob("*.json")):
        plan = load(path.read_text(encoding="utf-8"))
        verdict = fastest_ms(lambda plan=plan: run(build_scene(plan)), 3)  # type: ignore[misc]
        whole = fastest_ms(lambda plan=plan: take_off(build_scene(plan)), 3)  # type: ignore[misc]
        name = f"take-off of {path.stem}, to one verdict"
        found.append((name, whole, verdict, whole / verdict, str(MOST)))
    return found
