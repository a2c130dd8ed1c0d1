"""What every test shares: the ``--long`` option and how hard hypothesis tries."""

import gc

import pytest
from hypothesis import HealthCheck, settings

LONG_EXAMPLES = 300
"""Fifty times as many as the short run, and others each time: with more, the laws that judge
whole rooms would take the hours in which nobody runs them."""
SHORT_EXAMPLES = 6
"""The same each time, so they find what a change breaks and nothing else; most of it in the first
few."""

# The short run draws the same examples every time, so that a failure is the code's doing.
# No deadline: a busy machine is no fault of the code.
settings.register_profile(
    "short",
    max_examples=SHORT_EXAMPLES,
    derandomize=True,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile(
    "long",
    max_examples=LONG_EXAMPLES,
    deadline=None,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow],
)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--long",
        action="store_true",
        help="run the tests marked long too, and draw many more examples",
    )


def pytest_configure(config: pytest.Config) -> None:
    settings.load_profile("long" if config.getoption("--long") else "short")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if config.getoption("--long"):
        # What takes its time by the clock and little of the processor begins first: others run
        # beside it, instead of all of them waiting for it at the end.
        items.sort(key=lambda item: item.get_closest_marker("by_the_clock") is None)
        return
    long = [item for item in items if item.get_closest_marker("long")]
    if long:
        config.hook.pytest_deselected(items=long)
        items[:] = [item for item in items if not item.get_closest_marker("long")]


def pytest_collection_finish() -> None:
    """Look for rubbish no more among what is loaded and collected: all of it stays to the end."""
    gc.freeze()
