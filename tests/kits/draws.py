"""How many random examples a test draws: some while one works, many under `slow`, which CI runs too, and more under
`long`, which it does not: `pytest -m long`.

A failing example is reported as it was drawn. `pytest --shrink` spends minutes on a smaller one.
"""

import os
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, seed, settings

SHRINK = "PEGWRIGHT_SHRINK"
DRAWN = (Phase.explicit, Phase.generate, *((Phase.shrink,) if SHRINK in os.environ else ()))


def drawn(examples: int, part: int | str = 0) -> Callable[[Any], Any]:
    """The same examples each time, others in each part, no clock, and a failure reported at once."""
    how = settings(
        max_examples=examples,
        derandomize=True,
        deadline=None,
        database=None,
        phases=DRAWN,
        suppress_health_check=list(HealthCheck),
    )
    return (lambda test: seed(part)(how(test))) if part else how


def some_or_many(some: int, many: int, *, long: bool = False) -> pytest.MarkDecorator:
    """The test takes `examples`: some always, many where the slow tests are wanted; `long`: only where the long are."""
    marks = [pytest.mark.slow, *([pytest.mark.long] if long else [])]
    return pytest.mark.parametrize("examples", [some, pytest.param(many, marks=marks)])


def some_or_parts(some: int, many: int, parts: int, *, slow: int = 0) -> pytest.MarkDecorator:
    """The test takes `examples` and `part`: some always, `slow` where slow ones run, `many` in all parts for the long.

    Each part draws examples of its own and is a test of its own, so that what ran is known where the rest was stopped.
    """
    marks = [pytest.mark.slow, pytest.mark.long]
    in_ci = [(some, 0), *([pytest.param(slow, 0, marks=pytest.mark.slow)] if slow else [])]
    long = [pytest.param(many // parts, part, marks=marks) for part in range(1, parts + 1)]
    return pytest.mark.parametrize(("examples", "part"), [*in_ci, *long])
