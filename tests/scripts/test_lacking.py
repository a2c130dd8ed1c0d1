"""Without node the checks of scripts are left out with a word; where CI is set that fails."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent


@pytest.mark.parametrize(("more", "code"), [({}, 0), ({"CI": "true"}, 1)])
def test_without_node_it_is_said(tmp_path: Path, more: dict[str, str], code: int) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tests.scripts"],
        cwd=ROOT,
        env={"PATH": str(tmp_path), **more},
        capture_output=True,
        text=True,
        check=False,
    )
    assert "not checked: node and npm are not on this machine" in done.stdout
    assert done.returncode == code
