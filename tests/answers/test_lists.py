"""What is counted for a room, and where it goes, is what it was when it was last looked at."""

import pytest

from tests.answers.kept import names, otherwise


@pytest.mark.parametrize("name", names("fitted"))
def test_what_is_done_to_a_room_is_counted_as_before(name: str) -> None:
    assert otherwise("fitted", name) == ""
