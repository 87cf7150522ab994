"""Where the lesser pieces of an item are worked: as the main piece is, or where they fit.

A thumb may have fewer pegs than the hand's loom can offer. Each lesser piece is worked the main piece's way wherever it
has a setup there by itself (yarn on hand aside). Where it has none it goes to another way of the same yarn and
strands: the one with the least score of all.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from heapq import heappop, heappush

from solver.model.ask import Ask, PieceAsk, Pins, Way
from solver.model.costs import piece_risk_um, risk_cost
from solver.model.rule import broken
from solver.model.setup import Setup, yarn_of
from solver.model.timing import look
from solver.rules import RULES
from solver.search.lower_bound import piece_bound
from solver.search.option import Cell, Option, PieceOption
from solver.search.windows import boards_a_side, pegs_in_reach, pegs_window, rows_window


class LesserPieces:
    """The cells of an ask of several pieces; what is found for one way is kept for the others."""

    def __init__(self, ask: Ask) -> None:
        self.ask = ask
        self.reached: dict[tuple[str, int | None, int], tuple[int, ...]] = {}
        self.bounds: dict[tuple[object, ...], int | None] = {}
        self.opened: dict[tuple[int, tuple[str, int, str, int], int], bool] = {}
        self.others: dict[tuple[int, str, int], tuple[PieceOption, ...]] = {}

    def cells(self, all_pegs: bool) -> Iterator[Cell]:
        """One cell for each way of the main piece, or for each way and peg count; in no order."""
        for way in self.ask.ways:
            look()
            counts = self._reach(0, way, boards_a_side(self.ask, way))
            if self._bound(0, way, counts) is None:
                continue
            lesser = [self._places(i, way) for i in range(1, len(self.ask.pieces))]
            if not all(lesser):
                continue
            for n in pegs_window(self.ask, self.ask.pieces[0], way, counts) if all_pegs else (None,):
                main = self._place(0, way, counts if n is None else (n,))
                if main is not None:
                    yield cell_of(self.ask, ((main,), *lesser), n)

    def unplaced(self) -> tuple[Way, ...]:
        """The ways of the main piece for which some lesser piece has no place at all."""
        many = range(1, len(self.ask.pieces))
        return tuple(w for w in self.ask.ways if not all(self._places(i, w) for i in many))

    def _reach(self, i: int, way: Way, boards: int | None) -> tuple[int, ...]:
        key = (way.loom.name, boards, i)
        if key not in self.reached:
            self.reached[key] = pegs_in_reach(self.ask, i, way.loom, boards)
        return self.reached[key]

    def _bound(self, i: int, way: Way, counts: Sequence[int]) -> int | None:
        """The bound of a piece by itself, once for all ways of one gauge on the same pegs."""
        gauge = (way.width_um, way.height_um, way.loop_um, way.lofty_um, way.width_ppm, way.strands)
        key = (i, way.loom.name, counts[0] if counts else 0, len(counts), gauge)
        if key not in self.bounds:
            self.bounds[key] = piece_bound(self.ask, self.ask.pieces[i], way, counts)
        return self.bounds[key]

    def _place(self, i: int, way: Way, counts: Sequence[int]) -> PieceOption | None:
        lowest = self._bound(i, way, counts)
        return (
            None if lowest is None else PieceOption(lowest, piece_risk_um(self.ask.pieces[i], way), way, tuple(counts))
        )

    def _fits(self, i: int, way: Way) -> PieceOption | None:
        """The place of a piece on a way where it has a setup by itself, yarn on hand aside; None where it has none."""
        look()
        counts = self._reach(i, way, boards_a_side(self.ask, way))
        return self._place(i, way, counts)

    def _places(self, i: int, main: Way) -> tuple[PieceOption, ...]:
        here = self._fits(i, main)
        if here is not None:
            return (here,)
        if self.ask.pieces[i].on_main:
            return ()
        key = (i, main.yarn, main.strands)
        if key not in self.others:
            ways = [w for w in self.ask.ways if (w.yarn, w.strands) == key[1:] and self._allowed(i, w)]
            places = [p for w in ways if (p := self._fits(i, w))]
            self.others[key] = tuple(sorted(places, key=lambda p: (p.least(self.ask), p.way.key)))
        return tuple(p for p in self.others[key] if self._opens(i, main, p))

    def _opens(self, i: int, main: Way, place: PieceOption) -> bool:
        """Whether some of its peg counts hold what the opening asks too, as loops at the main piece's gauge."""
        piece, key = self.ask.pieces[i], (i, place.way.key, main.width_um)
        if not piece.picked_up:
            return True
        if key not in self.opened:
            self.opened[key] = bool(pegs_window(self.ask, piece, place.way, place.pegs, main))
        return self.opened[key]

    def _allowed(self, i: int, way: Way) -> bool:
        """Whether the rules of yarn and gauge let a piece be worked that way."""
        alone = replace(self.ask, pieces=(self.ask.pieces[i],), pins=Pins())
        return not broken((r for r in RULES if r.of_way), Setup.bare(alone, (way,)))


def flat_instead(ask: Ask) -> Ask | None:
    """The ask of the ways on which a lesser piece must be worked flat for want of a loom; None where there are none."""
    ways = LesserPieces(ask).unplaced() if ask.otherwise else ()
    return replace(ask, pieces=ask.otherwise, ways=ways, otherwise=()) if ways else None


def versions(ask: Ask) -> tuple[Ask, ...]:
    """The ask itself and, where some ways hold a lesser piece only flat, the ask of these."""
    flat = flat_instead(ask)
    return (ask,) if flat is None else (ask, flat)


def cell_of(ask: Ask, places: tuple[tuple[PieceOption, ...], ...], only_pegs: int | None) -> Cell:
    """The cell of a main piece at its place and of lesser pieces that are worked at one of theirs."""
    first = tuple(each[0] for each in places)
    ways, pegs = tuple(p.way for p in first), tuple(p.pegs for p in first)
    if all(len(each) == 1 for each in places):
        return Cell(ways, pegs, sum(p.bound for p in first) + risk_cost(ask, ways), only_pegs)
    return Cell(ways, pegs, sum(p.least(ask) for p in first), only_pegs, places=places)


def best_place(ask: Ask, cell: Cell, solve: Callable[[Cell], Option | None]) -> Option | None:
    """The least score of a cell whose lesser pieces have several places; among equals the first names."""
    best: Option | None = None
    for lowest, chosen in _in_order(ask, cell.places):
        if best is not None and lowest > best.score:
            break
        if _lasts(ask, chosen):
            option = solve(replace(cell_of(ask, tuple((p,) for p in chosen), cell.only_pegs), extra=cell.extra))
            if option and (best is None or _rank(option) < _rank(best)):
                best = option
    return best


def _rank(option: Option) -> tuple[object, ...]:
    return (option.score, [way.key for way in option.cell.ways])


def _in_order(ask: Ask, places: Sequence[Sequence[PieceOption]]) -> Iterator[tuple[int, tuple[PieceOption, ...]]]:
    """Every choice of places, lowest sum of bounds first."""
    keys = [[p.least(ask) for p in each] for each in places]
    start = (0,) * len(places)
    heap, seen = [(sum(each[0] for each in keys), start)], {start}
    while heap:
        lowest, at = heappop(heap)
        yield lowest, tuple(each[j] for each, j in zip(places, at, strict=True))
        for i, j in enumerate(at):
            further = (*at[:i], j + 1, *at[i + 1 :])
            if j + 1 < len(places[i]) and further not in seen:
                seen.add(further)
                heappush(heap, (lowest - keys[i][j] + keys[i][j + 1], further))


def _lasts(ask: Ask, chosen: Sequence[PieceOption]) -> bool:
    """Whether the yarn on hand may last: at the fewest pegs and rows that each piece can have."""
    stock = chosen[0].way.on_hand_um
    if stock is None or "yarn-on-hand" in ask.dropped:
        return True
    return sum(_least_yarn(ask, piece, p) for piece, p in zip(ask.pieces, chosen, strict=True)) <= stock


def _least_yarn(ask: Ask, piece: PieceAsk, place: PieceOption) -> int:
    rows = rows_window(ask, piece, place.way)
    pegs = pegs_window(ask, piece, place.way, place.pegs)
    return yarn_of(piece, place.way).um(pegs[0], rows[0]) if rows and pegs else 0
