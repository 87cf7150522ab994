"""How long a command may take: said once, at its start, and looked at wherever many things are gone through one by one.

The limit belongs to the thread that set it (a context variable), so that no argument of every function between the
command and its innermost loop has to carry it.
"""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass

Clock = Callable[[], float]


class Undecided(Exception):
    """The time was up before anything was proven, one way or the other."""


@dataclass(frozen=True, slots=True)
class Limit:
    """When the time is up, by which clock, in seconds."""

    end: float
    clock: Clock


_LIMIT: ContextVar[Limit | None] = ContextVar("limit", default=None)


@contextmanager
def within(seconds: float | None, *, since: float | None = None, clock: Clock = time.monotonic) -> Iterator[None]:
    """Give what is done inside so many seconds, from `since` on (a time of that clock, else now); None: no limit.

    A limit within a limit can only be the shorter one.
    """
    outer = _LIMIT.get()
    if seconds is None:
        yield
        return
    end = (clock() if since is None else since) + seconds
    inner = Limit(min(end, outer.end) if outer and outer.clock is clock else end, clock)
    token = _LIMIT.set(inner)
    try:
        yield
    finally:
        _LIMIT.reset(token)


def remaining() -> float | None:
    """Seconds left, 0 or less when the time is up; None without a limit."""
    limit = _LIMIT.get()
    return None if limit is None else limit.end - limit.clock()


def look() -> None:
    """Raises Undecided when the time is up."""
    left = remaining()
    if left is not None and left <= 0:
        raise Undecided
