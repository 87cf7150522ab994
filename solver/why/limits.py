"""One cell of the search, a way to work, as an explanation sees it: pegs and rows apart, joined only by the yarn.

Each piece has a peg side (how many pegs break what) and a row side. They are independent; full ranges, no short lists.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import NamedTuple

from catalog.figure import figure
from solver.model.ask import FAR_PEGS, Ask, PieceAsk, SectionAsk, Way
from solver.model.setup import Setup, Yarn, rows_most, rows_reached, yarn_of
from solver.rules import RULES
from solver.rules.sure_enough import pegs_sure
from solver.why.assemblies import SETTING, Assemblies, Demand, standing
from solver.why.violations import BIT, bit, bits

GIRTH_LEAST, GIRTH_MOST = bit("girth-within", "least"), bit("girth-within", "most")
LENGTH_LEAST, LENGTH_MOST = bit("length-within", "least"), bit("length-within", "most")
BAND_LEAST, BAND_MOST = bit("band-depth", "least"), bit("band-depth", "most")
BANDS = BAND_LEAST | BAND_MOST
BULK, STRETCH, PLAIN, YARN = bit("gather-bulk"), bit("stretches-over"), bit("room-for-plain"), bit("yarn-on-hand")
SURE = bit("sure-enough")
PINNED = bits("pin-loom", "pin-yarn", "pin-spacers", "pin-strands")  # choices of the main piece
OF_WAY = tuple(r for r in RULES if r.of_way)


class PegRun(NamedTuple):
    """A run of peg counts that break the same by their girth, bulk and stretch."""

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
    """What one piece of a cell may do. Counts of pegs and rows; lengths in µm."""

    piece: PieceAsk
    way: Way
    standing: Assemblies
    yarn: Yarn
    girth: tuple[int, int]  # least and most pegs by the girth; the second is one less where none fits
    bulk: int  # most pegs that the drawn end gathers
    stretch: int  # fewest pegs that stretch far enough
    sure: tuple[int, int]  # least and most pegs that are sure enough; the second is less where none is
    length: tuple[int, int]  # least and most rows by the length
    cap: int  # most rows looked at
    band: tuple[int, int] | None  # least and most rows of a band
    plain: int  # plain rows that the piece must keep of those left to choose
    reached: int  # rows that lengths of their own give
    cramped: int  # plain rows that such a part lacks, whatever is chosen; under 1 for none

    def peg_runs(self) -> Iterator[PegRun]:
        """The peg counts cut where girth, bulk or stretch begin or cease to hold."""
        low, high = self.girth
        cuts = sorted(
            {
                c
                for c in (1, low, high + 1, self.bulk + 1, self.stretch, self.sure[0], self.sure[1] + 1)
                if 1 <= c <= FAR_PEGS
            }
        )
        for a, z in zip(cuts, [*(c - 1 for c in cuts[1:]), FAR_PEGS], strict=True):
            yield PegRun(self._peg_mask(a), a, z)

    def _peg_mask(self, n: int) -> int:
        low, high = self.girth
        return (
            (GIRTH_LEAST if n < low else GIRTH_MOST if n > high else 0)
            | (BULK if n > self.bulk else 0)
            | (STRETCH if n < self.stretch else 0)
            | (0 if self.sure[0] <= n <= self.sure[1] else SURE)
        )

    def counts(self, allowed: int) -> Sequence[int]:
        """The peg counts, in order, that break nothing outside `allowed`."""
        least = 1 if allowed & GIRTH_LEAST else self.girth[0]
        most = FAR_PEGS if allowed & GIRTH_MOST else self.girth[1]
        most = most if allowed & BULK else min(most, self.bulk)
        least = least if allowed & STRETCH else max(least, self.stretch)
        if not allowed & SURE:
            least, most = max(least, self.sure[0]), min(most, self.sure[1])
        counts = self.standing.counts(allowed)
        return counts[bisect_left(counts, least) : bisect_right(counts, most)]

    def span(self, allowed: int) -> RowRange | None:
        """The rows that break nothing outside `allowed`; None for none."""
        first = 1 if allowed & LENGTH_LEAST else max(1, self.length[0])
        last = self.cap if allowed & LENGTH_MOST else min(self.cap, self.length[1])
        plain = 0 if allowed & PLAIN else self.plain
        low, high = (0, 0) if self.band is None else (max(1, self.band[0]), self.band[1])
        if self.band is not None:
            low, high = (1 if allowed & BAND_LEAST else low), (self.cap if allowed & BAND_MOST else high)
        span = RowRange(first, last, low, high, plain + self.reached)
        return span if self.tighten(span) and (allowed & PLAIN or self.cramped <= 0) else None

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
        for mask in _ROW_SETS:
            if (mask & BANDS and self.band is None) or (mask & PLAIN and not (self.plain or self.cramped > 0)):
                continue
            if idle(mask) or (not limited and any(m & mask == m for m, _ in found)):
                continue
            span = self.span(mask)
            if span and not any(m & mask == m and rows <= span.first for m, rows in found):
                found.append((mask, span.first))
        return found


def _row_sets() -> list[int]:
    """Every set of breaks of the row side, fewest first: each rule whole or broken on one side."""
    sets = [
        p | b | n
        for p in (0, PLAIN)
        for b in (0, BAND_LEAST, BAND_MOST)
        for n in (0, LENGTH_LEAST, LENGTH_MOST)
    ]  # fmt: skip
    return sorted(sets, key=lambda mask: (mask.bit_count(), mask))


_ROW_SETS = _row_sets()


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
        return [(mask, _opened(other, self.way)) for mask, other in self.others[i - 1] if other.way is not self.way]


def room(ask: Ask, i: int, way: Way) -> PieceLimits:
    """The room of one piece worked one way, every rule's limits in whole pegs and rows."""
    piece = ask.pieces[i]
    w, h, tol, reach = way.width_um, way.height_um, piece.girth_tol_um, piece.length_tol_um
    bulk = FAR_PEGS
    if piece.bulk_limit_um is not None and way.lofty_um:
        bulk = piece.bulk_limit_um // way.lofty_um
    stretch = 1
    if piece.must_pass_um is not None:
        stretch = ceil(piece.must_pass_um / (figure("stretch_limit") * w))
    sure: tuple[int, int] | None = (1, FAR_PEGS)
    if ask.sure_ppm is not None and i == 0:
        sure = pegs_sure(ask, way)
    band, reached, plain = piece.band, rows_reached(piece, way), int(figure("least_plain_rows"))
    return PieceLimits(
        piece, way, standing(way.loom, way.spacers, Demand.of(piece, ask.pins.pegs if i == 0 else None)),
        yarn_of(piece, way), (-(-piece.girth_low_um // w), (piece.girth_um + tol) // w), bulk, stretch, sure or (1, 0),
        (-((reach - piece.length_um) // h), (piece.length_um + reach) // h), rows_most(piece, way),
        (-(-band.least_um // h), band.most_um // h) if band else None,
        plain if piece.rest_plain else 0, sum(reached),
        max((plain - r for s, r in zip(piece.sections, reached, strict=True) if _plain_reach(s)), default=0),
    )  # fmt: skip


def _plain_reach(section: SectionAsk) -> bool:
    """Whether a section is plain and its rows are given by a length."""
    return section.rows == "reach" and section.kind == "plain"


def way_mask(ask: Ask, way: Way) -> int:
    """What a way breaks before a peg or a row is chosen."""
    bare, mask = Setup.bare(ask, (way,) * len(ask.pieces)), 0
    for rule in OF_WAY:
        for gap in rule.gaps(bare):
            if gap.need > gap.have:
                mask |= BIT.get((rule.name, gap.about)) or bit(rule.name)
    return mask | (SETTING if way.spacers > way.loom.spacers_most else 0)


def _opened(other: PieceLimits, main: Way) -> PieceLimits:
    """The room of a piece picked up at another gauge: its loops, as wide as in the opening, are near its girth too."""
    piece, w = other.piece, main.width_um
    if not piece.picked_up or w == other.way.width_um:
        return other
    low, high = -(-piece.girth_low_um // w), (piece.girth_um + piece.girth_tol_um) // w
    return replace(other, girth=(max(low, other.girth[0]), min(high, other.girth[1])))


def cell_limits(ask: Ask) -> list[CellLimits]:
    """Every cell of an ask, those that break least first, then by name."""
    many = range(len(ask.pieces))
    found = [CellLimits(ask, w, way_mask(ask, w), tuple(room(ask, i, w) for i in many)) for w in ask.ways]
    if len(ask.pieces) > 1:
        same: dict[tuple[str, int], list[CellLimits]] = {}
        for site in found:
            same.setdefault((site.way.yarn, site.way.strands), []).append(site)
        for some in same.values():
            others = tuple([(s.mask & ~PINNED, s.rooms[i]) for s in some] for i in many[1:])
            for site in some:
                site.others = others
    return sorted(found, key=lambda s: (s.mask.bit_count(), s.way.key))
