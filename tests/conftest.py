"""Random tests draw the same asks whatever else is loaded; --shrink makes their failures small."""

import os
import signal

import pytest
from hypothesis.internal.conjecture import providers

# hypothesis mixes in constants of every module of the project that happens to be imported, so that a derandomised test
# would draw other asks alone than in a full run. Where a later hypothesis has no such thing, nothing is lost.
if hasattr(providers, "_get_local_constants"):
    providers._get_local_constants = lambda: providers._local_constants


def pytest_addoption(parser: pytest.Parser) -> None:
    """Said before any test module is read, and handed to the workers of `-n` through the environment."""
    parser.addoption("--shrink", action="store_true", help="spend minutes on a smaller example of a random failure")


def pytest_configure(config: pytest.Config) -> None:
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:  # as in the background of a shell; children would inherit it
        signal.signal(signal.SIGINT, signal.default_int_handler)
    if config.getoption("--shrink"):
        os.environ["PEGWRIGHT_SHRINK"] = "1"


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """The long profile runs only where it is asked for by its name: `-m long`."""
    if "long" not in config.getoption("-m"):
        left_out = [item for item in items if item.get_closest_marker("long")]
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if item not in set(left_out)]
