"""Sizes and light in which a page is looked at: two each time, all six in a long run."""

import pytest

PHONE = (390, 844)

LOOKED_AT = pytest.mark.parametrize(
    ("size", "dark"),
    [
        pytest.param((1440, 900), False, id="wide-day", marks=pytest.mark.long),
        pytest.param(PHONE, True, id="phone-night"),
        pytest.param((1440, 900), True, id="wide-night", marks=pytest.mark.long),
        pytest.param((1024, 768), False, id="middle-day", marks=pytest.mark.long),
        pytest.param((1024, 768), True, id="middle-night", marks=pytest.mark.long),
        pytest.param(PHONE, False, id="phone-day", marks=pytest.mark.long),
    ],
)
