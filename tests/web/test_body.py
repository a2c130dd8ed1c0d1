"""Commands and poses from outside are read strictly."""

import pytest

from app.errors import PlanError
from app.web.api.body import read_command, read_poses


@pytest.mark.parametrize(
    ("data", "field"),
    [
        ({"name": "fly", "changes": []}, "command.name"),
        ({"name": "move", "changes": [{"path": []}]}, "command.changes[0].path"),
        ([], "command"),
        (None, "command"),
    ],
)
def test_a_misshapen_command_names_its_field(data: object, field: str) -> None:
    with pytest.raises(PlanError) as found:
        read_command(data)
    assert found.value.faults[0].field == field


@pytest.mark.parametrize("data", [None, {}, [], "a"])
def test_a_drag_moves_something(data: object) -> None:
    with pytest.raises(PlanError, match="moves"):
        read_poses(data)
