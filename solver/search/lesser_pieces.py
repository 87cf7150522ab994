"""Where the lesser pieces of an item are worked: as the main piece is, or where they fit.

A thumb may have fewer pegs than the hand's loom can offer. Each lesser piece is worked the main piece's way wherever it
has a setup there by itself (yarn on hand aside). Where it has none it goes to another way of the same yarn and
strands: the one with the least score of all.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from heapq import heappop, heappush

from solver.model.ask import Ask, PieceAsk, Pins, Way
from solver.model.costs import piece_risk_um, weighted_risk
from solver.model.rule import broken
from solver.model.setup import Setup, yarn_of
from solver.model.timing import look
from solver.rules import RULES
from solver.search.lower_bound import piece_bound, ways_alike
from solver.search.option import Cell, Option, PieceOption
from solver.search.windows import boards_a_side, pegs_in_reach, pegs_window, rows_window

WayKey = tuple[str, int, str, int]


class LesserPieces:
    """The cells of an ask of several pieces; what is found for one way is kept for the others."""

    def __init__(self, ask: Ask) -> None:
        self.ask = ask
        self.alike = ways_alike(ask.ways)
        # by loom, the boards that spacers allow a side, and piece: pegs in reach depend on nothing else of a way
        self.reached: dict[tuple[str, int | None, int], tuple[int, ...]] = {}
        self.fitted: dict[int, dict[WayKey, PieceOption]] = {}
        self.strands: dict[int, dict[tuple[str, int], list[PieceOption]]] = {}
        # by piece, yarn and strands, which all pieces of an item share
        self.others: dict[tuple[int, str, int], tuple[PieceOption, ...]] = {}
        # and by the width of the main piece's loops: that is what an opening reads of its way
        self.opened: dict[tuple[int, str, int, int], tuple[PieceOption, ...]] = {}

    def cells(self, all_pegs: bool) -> Iterator[Cell]:
        """One cell for each way of the main piece, or for each way and peg count; in no order."""
        for ways in self.alike:
            for n, main in self._mains(ways, all_pegs):
                for way in ways:
                    lesser = [self._options(i, way) for i in range(1, len(self.ask.pieces))]
                    if all(lesser):
                        yield cell_of(self.ask, ((replaced(main, way),), *lesser), n)

    def fitting_nowhere(self) -> tuple[Way, ...]:
        """The ways of the main piece for which some lesser piece fits nowhere."""
        many = range(1, len(self.ask.pieces))
        return tuple(w for w in self.ask.ways if not all(self._options(i, w) for i in many))

    def _mains(self, ways: Sequence[Way], all_pegs: bool) -> Iterator[tuple[int | None, PieceOption]]:
        """The main piece on the first of some ways alike, by itself or for each of its peg counts."""
        whole = self._option(0, ways[0])
        if whole is None or not all_pegs:
            yield from ((None, whole),) if whole else ()
            return
        for n in pegs_window(self.ask, self.ask.pieces[0], ways[0], whole.pegs):
            main = self._option(0, ways[0], (n,))
            if main is not None:
                yield n, main

    def _reach(self, i: int, way: Way) -> tuple[int, ...]:
        key = (way.loom.name, boards_a_side(self.ask, way), i)
        if key not in self.reached:
            self.reached[key] = pegs_in_reach(self.ask, i, way.loom, key[1])
        return self.reached[key]

    def _option(self, i: int, way: Way, only: tuple[int, ...] | None = None) -> PieceOption | None:
        """A piece on a way where it has a setup by itself, yarn on hand aside; None where it has none."""
        look()
        piece, counts = self.ask.pieces[i], only or self._reach(i, way)
        lowest = piece_bound(self.ask, piece, way, counts)
        return None if lowest is None else PieceOption(lowest, piece_risk_um(piece, way), way, counts)

    def _fitting(self, i: int) -> Mapping[WayKey, PieceOption]:
        """Every way on which a lesser piece has a setup by itself."""
        if i not in self.fitted:
            firsts = ((ways, self._option(i, ways[0])) for ways in self.alike)
            self.fitted[i] = {way.key: replaced(option, way) for ways, option in firsts if option for way in ways}
        return self.fitted[i]

    def _options(self, i: int, main: Way) -> tuple[PieceOption, ...]:
        here = self._fitting(i).get(main.key)
        if here is not None:
            return (here,)
        if self.ask.pieces[i].on_main:
            return ()
        key = (i, main.yarn, main.strands, main.width_um)
        if key not in self.opened:
            self.opened[key] = tuple(p for p in self._elsewhere(*key[:3]) if self._opens(i, main, p))
        return self.opened[key]

    def _elsewhere(self, i: int, yarn: str, strands: int) -> tuple[PieceOption, ...]:
        """Where a piece fits with so many strands of a yarn, lowest bound first."""
        key = (i, yarn, strands)
        if key not in self.others:
            allowed = (p for p in self._by_strands(i).get(key[1:], ()) if self._allowed(i, p.way))
            self.others[key] = tuple(sorted(allowed, key=lambda p: (p.least(self.ask), p.way.key)))
        return self.others[key]

    def _by_strands(self, i: int) -> Mapping[tuple[str, int], list[PieceOption]]:
        if i not in self.strands:
            each = self.strands[i] = dict[tuple[str, int], list[PieceOption]]()
            for p in self._fitting(i).values():
                each.setdefault((p.way.yarn, p.way.strands), []).append(p)
        return self.strands[i]

    def _opens(self, i: int, main: Way, option: PieceOption) -> bool:
        """Whether some of its peg counts hold what the opening asks too, as loops at the main piece's gauge."""
        piece = self.ask.pieces[i]
        return not piece.picked_up or bool(pegs_window(self.ask, piece, option.way, option.pegs, main))

    def _allowed(self, i: int, way: Way) -> bool:
        """Whether the rules of yarn and gauge let a piece be worked that way."""
        alone = replace(self.ask, pieces=(self.ask.pieces[i],), pins=Pins())
        return not broken((r for r in RULES if r.of_way), Setup.bare(alone, (way,)))


def replaced(option: PieceOption, way: Way) -> PieceOption:
    """The same on a way that differs in nothing that its bound reads."""
    return PieceOption(option.bound, option.risk_um, way, option.pegs)


def lesser_pieces(ask: Ask) -> LesserPieces:
    """The lesser pieces of an ask, looked at once."""
    if "lesser pieces" not in ask.read:
        ask.read["lesser pieces"] = LesserPieces(ask)
    found: LesserPieces = ask.read["lesser pieces"]
    return found


def flat_instead(ask: Ask) -> Ask | None:
    """The ask of the ways on which a lesser piece must be worked flat for want of a loom; None where there are none."""
    ways = lesser_pieces(ask).fitting_nowhere() if ask.otherwise else ()
    return replace(ask, pieces=ask.otherwise, ways=ways, otherwise=()) if ways else None


def versions(ask: Ask) -> tuple[Ask, ...]:
    """The ask itself and, where some ways hold a lesser piece only flat, the ask of these."""
    flat = flat_instead(ask)
    return (ask,) if flat is None else (ask, flat)


def cell_of(ask: Ask, options: tuple[tuple[PieceOption, ...], ...], only_pegs: int | None) -> Cell:
    """The cell of a main piece, and of lesser pieces that are worked on one of several ways."""
    first = tuple(each[0] for each in options)
    ways, pegs = tuple(p.way for p in first), tuple(p.pegs for p in first)
    if all(len(each) == 1 for each in options):
        risk = weighted_risk(ask, sum(p.risk_um for p in first))
        return Cell(ways, pegs, sum(p.bound for p in first) + risk, only_pegs)
    return Cell(ways, pegs, sum(p.least(ask) for p in first), only_pegs, piece_options=options)


def best_choice(ask: Ask, cell: Cell, solve: Callable[[Cell], Option | None]) -> Option | None:
    """The least score of a cell whose lesser pieces may be worked on several ways; among equals the first names."""
    best: Option | None = None
    for lowest, chosen in _in_order(ask, cell.piece_options):
        if best is not None and lowest > best.score:
            break
        if _lasts(ask, chosen):
            option = solve(replace(cell_of(ask, tuple((p,) for p in chosen), cell.only_pegs), extra=cell.extra))
            if option and (best is None or _rank(option) < _rank(best)):
                best = option
    return best


def _rank(option: Option) -> tuple[object, ...]:
    return (option.score, [way.key for way in option.cell.ways])


def _in_order(ask: Ask, options: Sequence[Sequence[PieceOption]]) -> Iterator[tuple[int, tuple[PieceOption, ...]]]:
    """Every choice of one for each piece, lowest sum of bounds first."""
    keys = [[p.least(ask) for p in each] for each in options]
    start = (0,) * len(options)
    heap, seen = [(sum(each[0] for each in keys), start)], {start}
    while heap:
        lowest, at = heappop(heap)
        yield lowest, tuple(each[j] for each, j in zip(options, at, strict=True))
        for i, j in enumerate(at):
            further = (*at[:i], j + 1, *at[i + 1 :])
            if j + 1 < len(options[i]) and further not in seen:
                seen.add(further)
                heappush(heap, (lowest - keys[i][j] + keys[i][j + 1], further))


def _lasts(ask: Ask, chosen: Sequence[PieceOption]) -> bool:
    """Whether the yarn on hand may last: at the fewest pegs and rows that each piece can have."""
    stock = chosen[0].way.on_hand_um
    if stock is None or "yarn-on-hand" in ask.dropped:
        return True
    return sum(_least_yarn(ask, piece, p) for piece, p in zip(ask.pieces, chosen, strict=True)) <= stock


def _least_yarn(ask: Ask, piece: PieceAsk, option: PieceOption) -> int:
    rows = rows_window(ask, piece, option.way)
    pegs = pegs_window(ask, piece, option.way, option.pegs)
    return yarn_of(piece, option.way).um(pegs[0], rows[0]) if rows and pegs else 0
