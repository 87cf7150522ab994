"""One cell of the search, a way to work, as an explanation sees it: pegs and rows apart, joined only by the yarn.

Each piece has a peg side (how many pegs break what) and a row side. They are independent; full ranges, no short lists.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product
from typing import NamedTuple

from solver.model.ask import FAR_PEGS, Ask, PieceAsk, Way
from solver.model.setup import Setup, Yarn, rows_most, rows_reached, yarn_of
from solver.model.timing import look
from solver.rules import RULES
from solver.rules.reading import Line, Lines, Over, lacks_of, lines_on
from solver.search.windows import between
from solver.why.assemblies import SETTING, Assemblies, assemblies_of
from solver.why.violations import BIT, bit, bits

YARN = bit("yarn-on-hand")
PINNED = bits("pin-loom", "pin-yarn", "pin-spacers", "pin-strands")  # choices of the main piece
OF_WAY = tuple(r for r in RULES if r.of_way)


class PegRun(NamedTuple):
    """A run of peg counts that break the same rules, repeats, pairs and boards aside."""

    mask: int
    first: int
    last: int


@dataclass(slots=True)
class RowRange:
    """Rows of a piece: total first…last, rows of one band low…high, and the rows it has beside the bands at least."""

    first: int
    last: int
    low: int
    high: int
    beside: int


@dataclass(slots=True)
class PieceLimits:
    """What one piece of a cell may do, by what the rules' own gaps say. Counts of pegs and rows; lengths in µm."""

    piece: PieceAsk
    way: Way
    assemblies: Assemblies
    yarn: Yarn
    lines: Lines
    lacks: Mapping[str, tuple[int, ...]]  # of the rules that ask for repeats or pairs, for every count of pegs
    cap: int  # most rows looked at
    reached: int  # rows that lengths of their own give
    always: int  # what breaks whatever is chosen

    def peg_runs(self) -> Iterator[PegRun]:
        """The peg counts cut where some rule begins or ceases to hold."""
        lines = self.lines[Over.PEGS]
        begins = {line.least or 0 if line.slope < 0 else (line.most or 0) + 1 for line in lines}
        cuts = sorted({1, *(c for c in begins if 1 <= c <= FAR_PEGS)})
        for a, z in zip(cuts, [*(c - 1 for c in cuts[1:]), FAR_PEGS], strict=True):
            yield PegRun(self.always | _broken_at(lines, a), a, z)

    def counts(self, allowed: int) -> Sequence[int]:
        """The peg counts, in order, that break nothing outside `allowed`."""
        if self.always & ~allowed:
            return ()
        least, most = between(_kept(self.lines[Over.PEGS], allowed), 1, FAR_PEGS)
        counts = self.assemblies.counts(allowed)
        return counts[bisect_left(counts, least) : bisect_right(counts, most)]

    def span(self, allowed: int) -> RowRange | None:
        """The rows that break nothing outside `allowed`; None for none."""
        rows, band, rest = (_kept(self.lines[over], allowed) for over in (Over.ROWS, Over.BAND, Over.REST))
        first, last = between(rows, 1, self.cap)
        low, high = between(band, 1, self.cap) if self.piece.band else (0, 0)
        span = RowRange(first, last, low, high, between(rest, 0, self.cap)[0] + self.reached)
        return span if self.tighten(span) and not self.always & ~allowed else None

    def tighten(self, span: RowRange) -> bool:
        """Cut what cannot be: bands within the total. False where nothing is left."""
        bands = self.piece.bands
        span.first = max(span.first, bands * span.low + span.beside)
        if bands:
            span.high = min(span.high, (span.last - span.beside) // bands)
        return span.first <= span.last and span.low <= span.high

    def fewest_rows(self, limited: bool, idle: Callable[[int], bool]) -> list[tuple[int, int]]:
        """What may be broken on the row side, fewest breaks first, with the fewest rows that this takes.

        `limited`: yarn counts, so that fewer rows may pay for a break. Sets that are `idle` have nothing to say.
        """
        found: list[tuple[int, int]] = []
        for mask in _row_sets(self.row_sides):
            if idle(mask) or (not limited and any(m & mask == m for m, _ in found)):
                continue
            span = self.span(mask | self.always)
            if span and not any(m & mask == m and rows <= span.first for m, rows in found):
                found.append((mask, span.first))
        return found

    @property
    def row_sides(self) -> tuple[tuple[int, ...], ...]:
        """For each rule over the rows the bits of its sides."""
        sides: dict[str, dict[int, None]] = {}
        for line in (line for over in (Over.ROWS, Over.BAND, Over.REST) for line in self.lines[over]):
            sides.setdefault(line.rule, {})[_bit(line)] = None
        return tuple(map(tuple, sides.values()))

    def lines_of(self, rule: str, over: Over) -> list[Line]:
        """What one rule asks over pegs, rows, a band, or the rest."""
        return [line for line in self.lines[over] if line.rule == rule]

    def within(self, rule: str) -> tuple[int, int]:
        """The fewest and the most pegs by one rule; the fewest are more where none would do."""
        if self.lines_of(rule, Over.NONE):
            return FAR_PEGS, 0
        return between(self.lines_of(rule, Over.PEGS), 1, FAR_PEGS)

    def lack(self, rule: str, n: int) -> int:
        """How much n pegs lack of a rule, in the unit of its gaps; 0 where it holds."""
        mine = [line.lack(n) for over in (Over.PEGS, Over.NONE) for line in self.lines_of(rule, over)]
        return max([*mine, self.lacks[rule][n] if rule in self.lacks else 0])


def _kept(lines: Iterable[Line], allowed: int) -> list[Line]:
    """The lines that must hold."""
    return [line for line in lines if not _bit(line) & allowed]


def _broken_at(lines: Iterable[Line], count: int) -> int:
    mask = 0
    for line in lines:
        if line.slope * count + line.plus > 0:
            mask |= _bit(line)
    return mask


def _bit(line: Line) -> int:
    return bit(line.rule, line.side)


@lru_cache(maxsize=256)
def _row_sets(sides: tuple[tuple[int, ...], ...]) -> list[int]:
    """Every set of breaks of the row side, fewest first: each rule whole or broken on one side."""
    sets = {sum(each) for each in product(*((0, *each) for each in sides))}
    return sorted(sets, key=lambda mask: (mask.bit_count(), mask))


Elsewhere = list[tuple[int, PieceLimits]]  # other ways of the same yarn: what each breaks by itself, and the room there


@dataclass(slots=True)
class CellLimits:
    """A cell: its way, what that way breaks by itself, the rooms of its pieces there, and elsewhere for lesser pieces.

    A lesser piece, such as a thumb, goes elsewhere only where it has no setup on the main piece's way.
    """

    ask: Ask
    way: Way
    mask: int
    rooms: tuple[PieceLimits, ...]
    others: tuple[Elsewhere, ...] = ()

    def elsewhere(self, i: int) -> Elsewhere:
        """Where else lesser piece i may be worked; an opening also asks for its girth at the main piece's gauge."""
        each = ((mask, other) for mask, other in self.others[i - 1] if other.way is not self.way)
        return [(mask, self._opened(i, other)) for mask, other in each]

    def _opened(self, i: int, other: PieceLimits) -> PieceLimits:
        """A piece picked up at another gauge: what the opening asks of it is read off the rules too."""
        if not other.piece.picked_up or self.way.width_um == other.way.width_um:
            return other
        return replace(other, lines=lines_on(self.ask, i, other.way, self.way))


def piece_limits(ask: Ask, i: int, way: Way, main: Way | None = None) -> PieceLimits:
    """The limits of one piece worked one way; `main` is the main piece's way where it is another."""
    look()
    piece, lines = ask.pieces[i], lines_on(ask, i, way, main)
    return PieceLimits(
        piece=piece,
        way=way,
        assemblies=assemblies_of(ask, i, way),
        yarn=yarn_of(piece, way),
        lines=lines,
        lacks=lacks_of(ask, i),
        cap=rows_most(piece, way),
        reached=sum(rows_reached(piece, way)),
        always=_broken_at(lines[Over.NONE], 0),
    )


def way_mask(ask: Ask, way: Way) -> int:
    """What a way breaks before a peg or a row is chosen."""
    bare, mask = Setup.bare(ask, (way,) * len(ask.pieces)), 0
    for rule in OF_WAY:
        for gap in rule.gaps(bare):
            if gap.need > gap.have:
                mask |= BIT.get((rule.name, gap.about)) or bit(rule.name)
    return mask | (SETTING if way.spacers > way.loom.spacers_most else 0)


def cell_limits(ask: Ask) -> list[CellLimits]:
    """Every cell of an ask, those that break least first, then by name."""
    many = range(len(ask.pieces))
    found = [CellLimits(ask, w, way_mask(ask, w), tuple(piece_limits(ask, i, w) for i in many)) for w in ask.ways]
    if len(ask.pieces) > 1:
        same: dict[tuple[str, int], list[CellLimits]] = {}
        for site in found:
            same.setdefault((site.way.yarn, site.way.strands), []).append(site)
        for some in same.values():
            others = tuple([(s.mask & ~PINNED, s.rooms[i]) for s in some] for i in many[1:])
            for site in some:
                site.others = others
    return sorted(found, key=lambda s: (s.mask.bit_count(), s.way.key))
