"""What a rule is: a name, a sentence, and gaps between what a Setup needs and what it has.

The gap need − have is read four ways: posted to CP-SAT as gap ≤ 0, checked in plain ints on a finished Setup, worded
when it explains a clash, and made as small as can be when it is repaired.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from solver.model.setup import Num, Setup


@dataclass(frozen=True, slots=True)
class Gap:
    """One inequality need ≤ have, in `unit` ("um", "pegs", "boards", "spacers", "rows", "ppm" or "")."""

    need: Num
    have: Num
    unit: str = ""
    about: str = ""


@dataclass(frozen=True, slots=True)
class Rule:
    """A named rule: its sentence ("the boards are on hand") and its gaps over a Setup.

    `of_way`: the gaps read only the ways of the pieces, so the rule can be asked before there is a setup.
    """

    name: str
    sentence: str
    gaps: Callable[[Setup], Iterable[Gap]]
    of_way: bool = False


class EngineError(Exception):
    """Two parts of the program disagree, as CP-SAT and plain arithmetic: a fault of ours, never of the input."""


def broken(rules: Iterable[Rule], setup: Setup) -> list[Rule]:
    """The rules that a finished Setup (plain ints) does not hold, those it drops left out."""
    return [r for r in rules if r.name not in setup.ask.dropped and any(g.need > g.have for g in r.gaps(setup))]
