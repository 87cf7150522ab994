"""One cell of the search, a way to work, as an explanation sees it: pegs and rows apart, joined only by the yarn.

Each piece has a peg side (how many pegs break what) and a row side. They are independent; full ranges, no short lists.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache, reduce
from itertools import product
from operator import or_
from typing import NamedTuple

from solver.model.ask import FAR_PEGS, Ask, PieceAsk, Way
from solver.model.setup import Setup, Yarn, rows_most, rows_reached, yarn_of
from solver.model.timing import look
from solver.rules import RULES
from solver.rules.reading import Line, Lines, Over, kept, lack_of, lacks_of, lines_on
from solver.search.windows import NO_BOUND, between
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


class Limit(NamedTuple):
    """A rule's bound on a count, and the bit of what breaks beyond it."""

    bit: int
    least: int
    most: int


@dataclass(slots=True)
class GaugeLimits:
    """What the rules' own gaps say of a piece at one gauge, shared by all ways of it. Counts of pegs and rows."""

    lines: Mapping[tuple[str, Over], tuple[Line, ...]]  # what each rule asks over pegs, rows, a band, the rest
    pegs: tuple[Limit, ...]
    rows: tuple[Limit, ...]
    band: tuple[Limit, ...] | None  # None without a band
    rest: tuple[Limit, ...]
    bands: int
    cap: int  # most rows looked at
    reached: int  # rows that lengths of their own give
    always: int  # what breaks whatever is chosen
    runs: tuple[PegRun, ...]
    row_sets: tuple[int, ...]  # every set of breaks of the row side, fewest first
    _spans: dict[int, RowRange | None] = field(default_factory=dict)
    _firsts: dict[int, int] = field(default_factory=dict)  # for each set of breaks the fewest rows; 0 for none

    @staticmethod
    def of(piece: PieceAsk, way: Way, lines: Lines) -> "GaugeLimits":
        """The limits of a piece from its lines on a way."""
        pegs, rows, band, rest = (tuple(map(_limit, lines[over])) for over in Over if over is not Over.NONE)
        always = reduce(or_, (_bit(line) for line in lines[Over.NONE]), 0)
        by_rule: dict[tuple[str, Over], list[Line]] = {}
        for over, each in zip(Over, lines, strict=True):
            for line in each:
                by_rule.setdefault((line.rule, over), []).append(line)
        row_lines = (line for over in (Over.ROWS, Over.BAND, Over.REST) for line in lines[over])
        return GaugeLimits(
            lines={key: tuple(each) for key, each in by_rule.items()},
            pegs=pegs,
            rows=rows,
            band=band if piece.band else None,
            rest=rest,
            bands=piece.bands,
            cap=rows_most(piece, way),
            reached=sum(rows_reached(piece, way)),
            always=always,
            runs=tuple(_runs(pegs, always)),
            row_sets=_row_sets(tuple(dict.fromkeys((line.rule, _bit(line)) for line in row_lines))),
        )

    def counts(self, allowed: int, counts: Sequence[int]) -> Sequence[int]:
        """Those of the peg counts that break nothing outside `allowed`."""
        if self.always & ~allowed:
            return ()
        least, most = _between(self.pegs, allowed, 1, FAR_PEGS)
        return counts[bisect_left(counts, least) : bisect_right(counts, most)]

    def span(self, allowed: int) -> RowRange | None:
        """The rows that break nothing outside `allowed`; None for none."""
        if allowed not in self._spans:
            self._spans[allowed] = self._span(allowed)
        found = self._spans[allowed]
        return found and replace(found)

    def _span(self, allowed: int) -> RowRange | None:
        low, high = (0, 0) if self.band is None else _between(self.band, allowed, 1, self.cap)
        beside = _between(self.rest, allowed, 0, self.cap)[0] + self.reached
        span = RowRange(*_between(self.rows, allowed, 1, self.cap), low, high, beside)
        return span if not self.always & ~allowed and self.tighten(span) else None

    def tighten(self, span: RowRange) -> bool:
        """Cut what cannot be: bands within the total. False where nothing is left."""
        span.first = max(span.first, self.bands * span.low + span.beside)
        if self.bands:
            span.high = min(span.high, (span.last - span.beside) // self.bands)
        return span.first <= span.last and span.low <= span.high

    def fewest_rows(self, limited: bool, idle: Callable[[int], bool]) -> list[tuple[int, int]]:
        """What may be broken on the row side, fewest breaks first, with the fewest rows that this takes.

        `limited`: yarn counts, so that fewer rows may pay for a break. Sets that are `idle` have nothing to say.
        """
        found: list[tuple[int, int]] = []
        for mask in self.row_sets:
            if idle(mask) or (not limited and any(m & mask == m for m, _ in found)):
                continue
            if mask not in self._firsts:
                span = self.span(mask | self.always)
                self._firsts[mask] = span.first if span else 0
            first = self._firsts[mask]
            if first and not any(m & mask == m and rows <= first for m, rows in found):
                found.append((mask, first))
        return found


def _limit(line: Line) -> Limit:
    least, most = line.least, line.most
    return Limit(_bit(line), 0 if least is None else least, NO_BOUND if most is None else most)


def _between(limits: Iterable[Limit], allowed: int, least: int, most: int) -> tuple[int, int]:
    """The least and the most count that break nothing outside `allowed`."""
    for limit in limits:
        if not limit.bit & allowed:
            least, most = max(least, limit.least), min(most, limit.most)
    return least, most


def _runs(limits: Sequence[Limit], always: int) -> Iterator[PegRun]:
    """The peg counts cut where some rule begins or ceases to hold."""
    begins = {begin for limit in limits for begin in (limit.least, limit.most + 1)}
    cuts = sorted({1, *(c for c in begins if 1 <= c <= FAR_PEGS)})
    for a, z in zip(cuts, [*(c - 1 for c in cuts[1:]), FAR_PEGS], strict=True):
        yield PegRun(reduce(or_, (one.bit for one in limits if not one.least <= a <= one.most), always), a, z)


def _bit(line: Line) -> int:
    return bit(line.rule, line.side)


@lru_cache(maxsize=256)
def _row_sets(sides: tuple[tuple[str, int], ...]) -> tuple[int, ...]:
    """Every set of breaks of the row side, fewest first: each rule whole or broken on one side."""
    rules: dict[str, list[int]] = {}
    for rule, side in sides:
        rules.setdefault(rule, [0]).append(side)
    return tuple(sorted(map(sum, product(*rules.values())), key=lambda mask: (mask.bit_count(), mask)))


@dataclass(slots=True)
class PieceLimits:
    """What one piece of a cell may do. Counts of pegs and rows; lengths in µm."""

    piece: PieceAsk
    way: Way
    assemblies: Assemblies
    yarn: Yarn
    gauge: GaugeLimits
    lacks: Mapping[str, tuple[int, ...]]  # of the rules that ask for repeats or pairs, for every count of pegs

    def counts(self, allowed: int) -> Sequence[int]:
        """The peg counts, in order, that break nothing outside `allowed`."""
        return self.gauge.counts(allowed, self.assemblies.counts(allowed))

    def span(self, allowed: int) -> RowRange | None:
        """The rows that break nothing outside `allowed`; None for none."""
        return self.gauge.span(allowed)

    def lines_of(self, rule: str, over: Over) -> tuple[Line, ...]:
        """What one rule asks over pegs, rows, a band, or the rest."""
        return self.gauge.lines.get((rule, over), ())

    def within(self, rule: str) -> tuple[int, int]:
        """The fewest and the most pegs by one rule; the fewest are more where none would do."""
        if self.lines_of(rule, Over.NONE):
            return FAR_PEGS, 0
        return between(self.lines_of(rule, Over.PEGS), 1, FAR_PEGS)

    def lack(self, rule: str) -> Callable[[int], int]:
        """How much some pegs lack of a rule, in the unit of its gaps; 0 where it holds."""
        lines = (*self.lines_of(rule, Over.PEGS), *self.lines_of(rule, Over.NONE))
        if rule in self.lacks:
            return self.lacks[rule].__getitem__
        return lack_of(lines)


@dataclass(slots=True)
class CellLimits:
    """A cell: its way, what that way breaks by itself, and the cells of its yarn and strands, itself among them.

    A lesser piece, such as a thumb, goes to another of these only where it has no setup on the main piece's way.
    """

    ask: Ask
    way: Way
    mask: int
    same: list["CellLimits"] = field(default_factory=list)
    _pieces: tuple[PieceLimits, ...] | None = None

    @property
    def sewn_up(self) -> bool:
        """Whether a lesser piece is worked flat for want of a loom, and sewn up."""
        return any(piece.seam for piece in self.ask.pieces)

    @property
    def pieces(self) -> tuple[PieceLimits, ...]:
        """The limits of its pieces; worked out when asked for, since a twin of another cell never is."""
        if self._pieces is None:
            self._pieces = tuple(piece_limits(self.ask, i, self.way) for i in range(len(self.ask.pieces)))
        return self._pieces

    def elsewhere(self, i: int) -> Iterator[tuple[int, PieceLimits]]:
        """Where else lesser piece i may be worked: what each way breaks by itself, and the limits there.

        An opening also asks for its girth at the main piece's gauge.
        """
        for cell in () if self.ask.pieces[i].on_main else self.same:
            if cell.way is not self.way:
                yield cell.mask & ~PINNED, self._opened(i, cell.pieces[i])

    def _opened(self, i: int, other: PieceLimits) -> PieceLimits:
        """A piece picked up at another gauge: what the opening asks of it is read off the rules too."""
        if not other.piece.picked_up or self.way.width_um == other.way.width_um:
            return other
        return replace(other, gauge=gauge_limits(self.ask, i, other.way, self.way))


def piece_limits(ask: Ask, i: int, way: Way) -> PieceLimits:
    """The limits of one piece worked one way."""
    look()
    return PieceLimits(
        piece=ask.pieces[i],
        way=way,
        assemblies=assemblies_of(ask, i, way),
        yarn=yarn_of(ask.pieces[i], way),
        gauge=gauge_limits(ask, i, way, way),
        lacks=lacks_of(ask, i),
    )


def gauge_limits(ask: Ask, i: int, way: Way, main: Way) -> GaugeLimits:
    """What the rules say of piece i at the gauge of a way, the main piece being worked on `main`."""
    piece = ask.pieces[i]
    return kept(ask, i, way, main, "limits", lambda: GaugeLimits.of(piece, way, lines_on(ask, i, way, main)))


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
    found = [CellLimits(ask, way, way_mask(ask, way)) for way in ask.ways]
    same: dict[tuple[str, int], list[CellLimits]] = {}
    for cell in found:
        cell.same = same.setdefault((cell.way.yarn, cell.way.strands), [])
        cell.same.append(cell)
    return sorted(found, key=lambda s: (s.mask.bit_count(), s.way.key))
