"""When the command began: `--seconds` counts from there, the reading of the kit and the start of the solver too."""

import time

_begun = [time.monotonic()]


def begin() -> None:
    """A command begins now."""
    _begun[0] = time.monotonic()


def begun() -> float:
    """When it began, by time.monotonic()."""
    return _begun[0]
