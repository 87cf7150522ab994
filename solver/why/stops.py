"""Which of the ways that a knitter really owns a law stops, so that the law that stops most of them is the one told.

A way is hers where its spacers can be set and what she names is kept. A law stops it where a setup of the girth (or
length) she wants would do but for that law; what cannot be built anyway, its loops too many for the pegs, is stopped
by the pegs and by nothing else.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

from solver.why.limits import PINNED, YARN, CellLimits
from solver.why.relaxing import RULE, fitting
from solver.why.twins import nature, stock
from solver.why.violations import EVERY, PLACE, bits

GIVEN = ("girth-within", "length-within", "band-depth", "sure-enough", "gauge-measured")
PEG_LAWS = ("boards-on-hand", "pegs-on-loom")  # told as one: the pegs that the boards give
ROUND, LONG = ("girth-within", "pin-pegs"), ("length-within", "band-depth")
BUILT = (*PEG_LAWS, "spacers-on-hand")
ROWS = bits(*LONG, "room-for-plain", "yarn-on-hand")
Stopped = dict[str, frozenset[int]]  # for each law the places, in a list of cells, of those that it stops


def is_wish(rule: str) -> bool:
    """Whether a rule is what is wanted, and no law of looms, yarn or knitting."""
    return rule in GIVEN or rule.startswith("pin-")


def buildable(cells: Iterable[CellLimits]) -> list[CellLimits]:
    """The cells whose spacers a bolt takes and whose choices are those that are named."""
    return [c for c in cells if c.way.spacers <= c.way.loom.spacers_most and not c.mask & PINNED]


@cache
def _before(law: str) -> int:
    """What has to hold before a law may be said to stop a way: the wish, and what can be built."""
    if law in PEG_LAWS:
        return bits(*ROUND)
    if law == "spacers-on-hand":
        return bits(*ROUND, *PEG_LAWS)
    if law == "room-for-plain":
        return bits(*LONG)
    return bits(*ROUND, *BUILT, *(LONG if law == "yarn-on-hand" else ()))


Kept = dict[int, bool]  # for what has to hold, whether some setup of one cell holds it


def stops(cell: CellLimits, law: str, known: Kept) -> bool:
    """Whether a law stops a way; `known` is what was found of the cell before."""
    if RULE[law].of_way:
        return bool(cell.mask & bits(law))
    own = bits(*PEG_LAWS) if law in PEG_LAWS else bits(law)
    return _holds(cell, _before(law), known) and not _holds(cell, _before(law) | own, known)


def _holds(cell: CellLimits, kept: int, known: Kept) -> bool:
    if kept not in known:
        known[kept] = holds(cell, kept)
    return known[kept]


def holds(cell: CellLimits, kept: int) -> bool:
    """Whether some setup of a cell breaks nothing of what is kept."""
    allowed, least, main = EVERY & ~kept, 0, cell.pieces[0]
    if not main.counts(allowed):
        return False
    if len(cell.pieces) == 1 and not kept & ROWS:
        return True
    for i in range(len(cell.pieces)):
        each = fitting(cell, i, allowed)
        if not each:
            return False
        if kept & YARN:
            least += min(limits.yarn.um(counts[0], span.first) for limits, counts, span in each)
    return not kept & YARN or cell.way.on_hand_um is None or least <= cell.way.on_hand_um


def stopped(cells: Sequence[CellLimits], laws: Iterable[str]) -> Stopped:
    """The cells that each law stops."""
    each, known = list(laws), dict[object, Kept]()
    kept = [known.setdefault((nature(cell), stock(cell)), {}) for cell in cells]
    return {
        law: frozenset(i for i, (cell, so_far) in enumerate(zip(cells, kept, strict=True)) if stops(cell, law, so_far))
        for law in each
    }


def most_telling(cells: Sequence[CellLimits], clashes: Sequence[tuple[str, ...]]) -> tuple[str, ...]:
    """Of equally small clashes the one whose laws stop the most ways; among equals the one whose rules come last."""
    if len(clashes) == 1:
        return clashes[0]
    found = stopped(buildable(cells), {rule for clash in clashes for rule in clash if not is_wish(rule)})

    def weight(clash: tuple[str, ...]) -> tuple[int, int, list[int]]:
        each = [found[rule] for rule in clash if rule in found]
        most = max((len(some) for some in each), default=0)
        return most, len(frozenset().union(*each)), [PLACE[rule] for rule in clash]

    return max(clashes, key=weight)


@dataclass(frozen=True, slots=True)
class Counted:
    """How many ways are hers, which of them each law of a clash stops, and the law that stops the most."""

    ways: int
    each: dict[str, list[CellLimits]]

    @property
    def law(self) -> str | None:
        """The law that stops the most ways, the later among equals; None where no law stops any."""
        able = [rule for rule, cells in self.each.items() if cells]
        return max(able, key=lambda rule: (len(self.each[rule]), PLACE[rule]), default=None)


def counted(cells: Sequence[CellLimits], clash: Sequence[str]) -> Counted:
    """The ways that are hers, and for each law of a clash those that it stops."""
    own = buildable(cells)
    found = stopped(own, [rule for rule in clash if not is_wish(rule)])
    return Counted(len(own), {rule: [own[i] for i in sorted(some)] for rule, some in found.items()})
