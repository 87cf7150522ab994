"""What is left open of a cell while rules give, and how much each peg count lacks of each rule.

A lack is in the rule's own unit: µm, pegs, boards to buy, spacers short; 0 where the rule holds.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from catalog.figure import figure
from solver.rules.sure_enough import best_ppm
from solver.why.assemblies import Assembly
from solver.why.limits import CellLimits, PieceLimits, RowRange


@dataclass(slots=True)
class Remaining:
    """What is left open to one piece: peg counts, rows, and how many boards or spacers it may lack."""

    room: PieceLimits
    counts: Sequence[int]
    span: RowRange
    missing: int | None = None
    short: int | None = None

    @property
    def yarn_um(self) -> int:
        """The least yarn of the piece."""
        return self.room.yarn.um(self.counts[0], self.span.first)

    def stands(self, n: int, allowed: int) -> list[Assembly]:
        """The ways to stand with n pegs."""
        return [
            s for s in self.room.standing.at(n, allowed)
            if (self.missing is None or s.missing <= self.missing) and (self.short is None or s.short <= self.short)
        ]  # fmt: skip


@dataclass(slots=True)
class Relaxed:
    """A cell with its gives, in the order of the rules asked for, and what is left open there."""

    site: CellLimits
    allowed: int
    gives: tuple[int, ...] = ()
    left: list[Remaining] = field(default_factory=list)
    stock: int | None = None  # yarn that may be used, µm; None for any amount


def _missing(left: Remaining, n: int, found: Relaxed) -> int:
    return min(s.missing for s in left.stands(n, found.allowed))


def _short(left: Remaining, n: int, found: Relaxed) -> int:
    """Spacers short in the tin, and what the setting is beyond what the loom allows."""
    way = left.room.way
    return max(0, way.spacers - way.loom.spacers_most) + min(s.short for s in left.stands(n, found.allowed))


def _off(left: Remaining, n: int, found: Relaxed) -> int:
    return min(s.off for s in left.stands(n, found.allowed))


def _repeats(left: Remaining, n: int, _: Relaxed) -> int:
    piece = left.room.piece
    over = (n - piece.edge) % piece.repeat
    return min(over, piece.repeat - over)


def _odd(left: Remaining, n: int, _: Relaxed) -> int:
    return n % 2 if left.room.piece.even else 0


def _unpaired(left: Remaining, n: int, _: Relaxed) -> int:
    return n % 2 if left.room.piece.picked_up else 0


def _bulk(left: Remaining, n: int, _: Relaxed) -> int:
    limit, lofty = left.room.piece.bulk_limit_um, left.room.way.lofty_um
    return 0 if limit is None or lofty is None else max(0, n * lofty - limit)


def _stretch(left: Remaining, n: int, _: Relaxed) -> int:
    must = left.room.piece.must_pass_um
    most, per = figure("stretch_limit").as_integer_ratio()
    return 0 if must is None else max(0, per * must - most * n * left.room.way.width_um)


def _girth(left: Remaining, n: int, _: Relaxed) -> int:
    piece, girth = left.room.piece, n * left.room.way.width_um
    return max(0, piece.girth_low_um - girth, girth - piece.girth_um - piece.girth_tol_um)


def _pinned(left: Remaining, n: int, found: Relaxed) -> int:
    pin = found.site.ask.pins.pegs
    return 0 if pin is None or left is not found.left[0] else abs(n - pin)


def _unsure(left: Remaining, n: int, found: Relaxed) -> int:
    """Pegs off the counts that are sure enough; where none is, the chance that lacks, ppm."""
    ask = found.site.ask
    if ask.sure_ppm is None or left is not found.left[0]:
        return 0
    low, high = left.room.sure
    return max(0, low - n, n - high) if low <= high else max(1, ask.sure_ppm - best_ppm(ask, left.room.way))


PEGS: dict[str, Callable[[Remaining, int, Relaxed], int]] = {
    "boards-on-hand": _missing,
    "spacers-on-hand": _short,
    "pegs-on-loom": _off,
    "whole-repeats": _repeats,
    "even-pegs": _odd,
    "opening-pairs": _unpaired,
    "gather-bulk": _bulk,
    "stretches-over": _stretch,
    "girth-within": _girth,
    "sure-enough": _unsure,
    "pin-pegs": _pinned,
}
