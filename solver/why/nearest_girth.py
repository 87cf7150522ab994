"""The girth nearest to the one wanted that can be made, with all that follows from a girth worked out again."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import islice

from catalog.errors import InputError
from catalog.figure import figure
from catalog.kit import Kit
from catalog.units import half_up
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.asking.words import round_of
from solver.model.ask import Ask, PieceAsk, Way
from solver.why.asks import across_of
from solver.why.limits import CellLimits, piece_limits, way_mask
from solver.why.relaxing import fitting
from solver.why.twins import leaders
from solver.why.violations import bits

LEAST_EASE_UM = -500_000  # what may be typed
OF_PEGS = {"stretches-over": "stretch_girth_um", "gather-bulk": "bulk_limit_um", "even-pegs": "even"}
OF_ROWS = ("room-for-plain", "band-depth", "length-within")
MOST_TRIED = 1_000  # girths tried, nearest first, before none is offered


def with_girth(wish: Wish, girth_um: int, body_um: int | None) -> Wish:
    """The wish for another finished girth: the girth itself, the diameter or width, or, for a body, another ease."""
    if wish.wide_um is not None:
        return replace(wish, wide_um=girth_um)
    if body_um is not None:
        return replace(wish, ease_um=girth_um - body_um, fit=None)
    across_um = None if across_of(wish) is None else half_up(girth_um / figure("pi"))
    return replace(wish, around_um=girth_um if across_um is None else round_of(across_um), across_um=across_um)


@dataclass(slots=True)
class Girths:
    """Where a piece of any girth may be worked: a kit, a wish, its ask, and cells whose pegs have the same limits."""

    kit: Kit
    wish: Wish
    ask: Ask
    cells: Sequence[CellLimits]

    def nearest(self, larger: bool) -> int | None:
        """The nearest girth, larger or smaller, for which a setup just so wide exists, µm; None where none is found."""
        tried: set[tuple[int, object]] = set()
        for girth, way, n in islice(self._candidates(1 if larger else -1), MOST_TRIED):
            nature = (girth, replace(way, yarn=""))
            if nature not in tried and self._works(girth, way, n):
                return girth
            tried.add(nature)
        return None

    def _candidates(self, step: int) -> Iterator[tuple[int, Way, int]]:
        """Girth, way and pegs of the main piece, nearest to the girth wanted first; all but girth and rows is held."""
        fixed, rows_work = not self._rows_follow(), dict[int, bool]()
        rows = () if fixed else OF_ROWS  # a foot of next to nothing has no room for rows, whatever its pegs
        wanted, free = self.ask.pieces[0].girth_um, bits("girth-within", "sure-enough", *rows, *self._pegs_follow())
        able = [(c.way, c.pieces[0].counts(free)) for c in leaders(cell for cell in self.cells if not cell.mask)]
        heap: list[tuple[int, int, int]] = []

        def push(i: int, j: int) -> None:
            way, counts = able[i]
            if 0 <= j < len(counts):
                heappush(heap, (abs(counts[j] * way.width_um - wanted), i, j))

        for i, (way, counts) in enumerate(able):
            push(i, bisect_left(counts, -(-wanted // way.width_um)) - (step < 0))
        while heap:
            _, i, j = heappop(heap)
            way, counts = able[i]
            if fixed and i not in rows_work:  # what fails on its rows fails at any girth
                rows_work[i] = piece_limits(self.ask, 0, way).span(0) is not None
            if rows_work.get(i, True):
                yield counts[j] * way.width_um, way, counts[j]
                push(i, j + step)

    def _pegs_follow(self) -> list[str]:
        """The rules on pegs that ask something else of the main piece at another girth: a smaller heel has to pass."""
        main, found = self.ask.pieces[0], set[str]()
        for girth_um in (main.girth_um * share // 8 for share in (1, 2, 4, 7, 9, 16, 32)):
            other = self._at(girth_um)
            if other is not None:
                new = other.pieces[0]
                found |= {rule for rule, part in OF_PEGS.items() if getattr(new, part) != getattr(main, part)}
        return sorted(found)

    def _rows_follow(self) -> bool:
        """Whether the length or the band of the main piece is another at another girth."""
        main = self.ask.pieces[0]
        for girth_um in (main.girth_um * 9 // 10, main.girth_um * 11 // 10):
            other = self._at(girth_um)
            if other is None or _rows_of(other.pieces[0]) != _rows_of(main):
                return True
        return False

    def _at(self, girth_um: int) -> Ask | None:
        """The ask for another girth; None where there is no recipe, no length, or no such ease."""
        if self.ask.body_um is not None and girth_um - self.ask.body_um < LEAST_EASE_UM:
            return None
        try:
            return ask_of(self.kit, with_girth(self.wish, girth_um, self.ask.body_um), like=self.ask)
        except InputError:
            return None

    def _works(self, girth_um: int, way: Way, pegs: int) -> bool:
        """Whether a setup of so many pegs exists where that girth is asked for."""
        ask = self._at(girth_um)
        return ask is not None and works(ask, way, pegs)


def _rows_of(piece: PieceAsk) -> tuple[object, ...]:
    """All that says how many rows a piece may have."""
    return piece.length_um, piece.length_tol_um, piece.band, piece.sections


def works(ask: Ask, way: Way, pegs: int) -> bool:
    """Whether a setup with so many pegs for the main piece exists on a way that breaks no rule by itself.

    A lesser piece that has no place in the round is worked flat, where it may be.
    """
    cell = _cell(ask, way)
    if ask.otherwise and not all(fitting(cell, i, 0) for i in range(1, len(cell.pieces))):
        cell = _cell(replace(ask, pieces=ask.otherwise, otherwise=()), way)
    main = cell.pieces[0]
    span = main.span(0)
    if span is None or pegs not in main.counts(0):
        return False
    yarn = main.yarn.um(pegs, span.first)
    for i in range(1, len(cell.pieces)):
        each = fitting(cell, i, 0)
        if not each:
            return False
        yarn += min(limits.yarn.um(counts[0], rows.first) for limits, counts, rows in each)
    return way.on_hand_um is None or yarn <= way.on_hand_um


def _cell(ask: Ask, way: Way) -> CellLimits:
    """One cell of an ask; the other ways of its yarn only where a lesser piece does not fit beside the main one."""
    cell = CellLimits(ask, way, 0)
    if not all(fitting_here(cell, i) for i in range(1, len(ask.pieces))):
        same = (w for w in ask.ways if (w.yarn, w.strands) == (way.yarn, way.strands))
        cell.same = [CellLimits(ask, w, way_mask(ask, w)) for w in same]
    return cell


def fitting_here(cell: CellLimits, i: int) -> bool:
    """Whether a piece has a setup beside the main one."""
    return bool(cell.pieces[i].counts(0)) and cell.pieces[i].span(0) is not None
