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
Stopped = dict[str, frozenset[int]]  # for each law the ways that it stops, as places in a list of cells


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
Versions = list[tuple[CellLimits, Kept]]  # a way: in the round, and flat where it may be; with what was found of each


def stops(way: Versions, law: str) -> bool:
    """Whether a law stops a way, however its lesser pieces are worked."""
    if RULE[law].of_way:
        return bool(way[0][0].mask & bits(law))
    own = bits(*PEG_LAWS) if law in PEG_LAWS else bits(law)
    return _holds(way, _before(law)) and not _holds(way, _before(law) | own)


def _holds(way: Versions, kept: int) -> bool:
    for cell, known in way:
        if kept not in known:
            known[kept] = holds(cell, kept)
        if known[kept]:
            return True
    return False


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
    """The ways that each law stops, by the place of their last cell: that with a flat piece, which asks for less."""
    known, ways = dict[object, Kept](), dict[tuple[str, int, str, int], Versions]()
    last = {cell.way.key: i for i, cell in enumerate(cells)}
    for cell in cells:
        so_far = known.setdefault((nature(cell), stock(cell)), {})
        ways.setdefault(cell.way.key, []).append((cell, so_far))
    return {law: frozenset(last[key] for key, way in ways.items() if stops(way, law)) for law in laws}


def most_telling(cells: Sequence[CellLimits], clashes: Sequence[tuple[str, ...]]) -> tuple[str, ...]:
    """Of equally small clashes the one whose laws stop the most ways; among equals the one whose rules come last."""
    if len(clashes) == 1:
        return clashes[0]
    found = stopped(buildable(cells), {rule for clash in clashes for rule in clash if not is_wish(rule)})

    # why the later: RULES goes from the looms' laws to the wishes, so that what comes later is nearer to what is asked
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
        # among equals the later, as above
        able = [rule for rule, cells in self.each.items() if cells]
        return max(able, key=lambda rule: (len(self.each[rule]), PLACE[rule]), default=None)


def counted(cells: Sequence[CellLimits], clash: Sequence[str]) -> Counted:
    """The ways that are hers, and for each law of a clash those that it stops."""
    own = buildable(cells)
    found = stopped(own, [rule for rule in clash if not is_wish(rule)])
    return Counted(
        len({c.way.key for c in own}), {rule: [own[i] for i in sorted(some)] for rule, some in found.items()}
    )
