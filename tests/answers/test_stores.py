"""A store answers to one thing after another as it did when that was last looked at."""

import pytest

from tests.answers.kept import names, otherwise


@pytest.mark.parametrize("name", names("store"))
def test_a_store_answers_as_before(name: str) -> None:
    assert otherwise("store", name) == ""
