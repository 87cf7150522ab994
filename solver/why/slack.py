"""What is left open of a cell while rules give, and how much each peg count lacks of each rule.

A lack is in the rule's own unit: µm, pegs, boards to buy, spacers short; 0 where the rule holds.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import combinations

from solver.rules.reading import Line, Over, Unread, lack_of
from solver.why.assemblies import Assembly
from solver.why.limits import CellLimits, PieceLimits, RowRange


@dataclass(slots=True)
class Remaining:
    """What is left open to one piece: peg counts, rows, and how many boards or spacers it may lack."""

    limits: PieceLimits
    counts: Sequence[int]
    span: RowRange
    missing: int | None = None
    short: int | None = None

    @property
    def yarn_um(self) -> int:
        """The least yarn of the piece."""
        return self.limits.yarn.um(self.counts[0], self.span.first)

    def stands(self, n: int, allowed: int) -> list[Assembly]:
        """The ways to stand with n pegs."""
        return [
            s for s in self.limits.assemblies.at(n, allowed)
            if (self.missing is None or s.missing <= self.missing) and (self.short is None or s.short <= self.short)
        ]  # fmt: skip


@dataclass(slots=True)
class Relaxed:
    """A cell with its gives, in the order of the rules asked for, and what is left open there."""

    cell: CellLimits
    allowed: int
    gives: tuple[int, ...] = ()
    remaining: list[Remaining] = field(default_factory=list)
    stock: int | None = None  # yarn that may be used, µm; None for any amount


def lack(rule: str, remaining: Remaining, found: Relaxed) -> Callable[[int], int]:
    """How much some pegs lack of a rule that reads the pegs, or how the loom stands, in the unit of its gaps."""
    return (lambda n: BOLTED[rule](remaining, n, found)) if rule in BOLTED else remaining.limits.lack(rule)


def over_of(rule: str, found: Relaxed) -> Over:
    """What a rule is over in this cell; pegs where it asks for nothing. Raises Unread where it is over two things."""
    each = [remaining.limits for remaining in found.remaining]
    over = {o for o in (Over.ROWS, Over.BAND, Over.REST) if any(limits.lines_of(rule, o) for limits in each)}
    if len(over) > 1 or (over and any(limits.lines_of(rule, Over.PEGS) for limits in each)):
        raise Unread(f"{rule}: found gaps over pegs and rows, expected a rule for each")
    return next(iter(over), Over.PEGS)


def row_choices(remaining: Remaining, over: Over) -> tuple[int, int]:
    """The fewest and the most rows, or rows of a band, that are left."""
    return (
        (remaining.span.low, remaining.span.high) if over is Over.BAND else (remaining.span.first, remaining.span.last)
    )


def turns(lines: Sequence[Line], first: int, last: int) -> list[int]:
    """The counts of a run among which the one that lacks least is: beside where lines cross 0 or each other.

    The largest of some lines falls and then rises, and between such crossings it is straight.
    """
    cross = {-a.plus // a.slope for a in lines}
    cross |= {(b.plus - a.plus) // (a.slope - b.slope) for a, b in combinations(lines, 2) if a.slope != b.slope}
    return sorted({min(max(count, first), last) for at in cross for count in (at, at + 1)}) or [first]


def breaks(rule: str, remaining: Remaining, found: Relaxed) -> bool:
    """Whether all that is left to a piece lacks something of a rule that reads its pegs or rows."""
    over = over_of(rule, found)
    if over is Over.PEGS:
        return min(map(lack(rule, remaining, found), remaining.counts)) > 0
    if over is Over.REST:
        return True
    lines = remaining.limits.lines_of(rule, over)
    return bool(lines) and min(map(lack_of(lines), turns(lines, *row_choices(remaining, over)))) > 0


def _missing(remaining: Remaining, n: int, found: Relaxed) -> int:
    return min(s.missing for s in remaining.stands(n, found.allowed))


def _short(remaining: Remaining, n: int, found: Relaxed) -> int:
    """Spacers short in the tin, and what the setting is beyond what the loom allows."""
    way = remaining.limits.way
    return max(0, way.spacers - way.loom.spacers_most) + min(s.short for s in remaining.stands(n, found.allowed))


def _off(remaining: Remaining, n: int, found: Relaxed) -> int:
    return min(s.off for s in remaining.stands(n, found.allowed))


BOLTED: dict[str, Callable[[Remaining, int, Relaxed], int]] = {
    "boards-on-hand": _missing,
    "spacers-on-hand": _short,
    "pegs-on-loom": _off,
}  # what is taught: see TAUGHT in rules/reading.py
