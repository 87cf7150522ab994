"""How many random examples a test draws: some while one works, many under `slow`, which CI runs too, and more under
`long`, which it does not: `pytest -m long`.

A failing example is reported as it was drawn. `pytest --shrink` spends minutes on a smaller one.
"""

import os

import pytest
from hypothesis import HealthCheck, Phase, settings

SHRINK = "PEGWRIGHT_SHRINK"
DRAWN = (Phase.explicit, Phase.generate, *((Phase.shrink,) if SHRINK in os.environ else ()))


def drawn(examples: int) -> settings:
    """The same examples each time, no clock, and a failure reported at once."""
    return settings(
        max_examples=examples,
        derandomize=True,
        deadline=None,
        database=None,
        phases=DRAWN,
        suppress_health_check=list(HealthCheck),
    )


def some_or_many(some: int, many: int, *, long: bool = False) -> pytest.MarkDecorator:
    """The test takes `examples`: some always, many where the slow tests are wanted; `long`: only where the long are."""
    marks = [pytest.mark.slow, *([pytest.mark.long] if long else [])]
    return pytest.mark.parametrize("examples", [some, pytest.param(many, marks=marks)])
