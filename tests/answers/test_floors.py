"""Floors are laid, cut and gone on with as they were when that was last looked at."""

import pytest

from tests.answers.kept import names, otherwise


@pytest.mark.parametrize("name", names("floored"))
def test_a_floor_is_laid_as_before(name: str) -> None:
    assert otherwise("floored", name) == ""
