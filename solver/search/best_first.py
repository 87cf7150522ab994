"""The best setups of an ask: cells opened best-first, each solved by CP-SAT, until no unopened cell can matter.

A cell is one way for each piece (one way for all of them as a rule). Its arithmetic bound is never above its true
score, so when every unopened cell's bound is above the k-th score found, the list is proven complete.
"""

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from math import inf

from solver.model.ask import Ask, Way
from solver.model.costs import risk_cost, risk_um, score
from solver.model.rule import broken
from solver.model.setup import Setup
from solver.model.timing import Undecided, look
from solver.rules import RULES
from solver.search.boards import bolted
from solver.search.cpsat import least
from solver.search.lesser_pieces import best_choice, flat_instead, lesser_pieces
from solver.search.lower_bound import piece_bound, ways_alike
from solver.search.option import Cell, Option, boards_follow, cell_gaps, mark_front, option_of, order
from solver.search.ties import Layouts, settle_ties
from solver.search.windows import boards_a_side, pegs_in_reach, pegs_window


@dataclass(slots=True)
class Found:
    """The ranked options; `complete` only when it is proven that none better was left out.

    Without completeness `least_score` is a score that no option left out can beat.
    """

    options: list[Option] = field(default_factory=list)
    complete: bool = True
    opened: int = 0
    cells: int = 0
    least_score: int | None = None


@dataclass(frozen=True, slots=True)
class SolvedCell:
    """What a cell of some stock of yarn holds: the best of more yarn is the best of less, where it lasts."""

    stock: float
    option: Option | None

    def serves(self, cell: Cell) -> bool:
        """Whether this is the answer for a cell that differs in nothing but its yarn's name and stock."""
        return self.stock >= _stock(cell) and (self.option is None or self.option.setup.yarn_um <= _stock(cell))


Twins = dict[tuple[object, ...], list[SolvedCell]]


def find(ask: Ask, top: int, *, all_pegs: bool = False, seconds: float | None = None) -> Found:
    """The `top` best options of an ask (one for each way to work, or for each way and peg count), in order.

    Where a lesser piece fits nowhere in the round it is worked flat: those ways are an ask of their own.
    """
    found = _find(ask, top, all_pegs=all_pegs, seconds=seconds)
    flat = flat_instead(ask)
    if flat is None:
        return found
    other = _find(flat, top, all_pegs=all_pegs, seconds=seconds)
    return _together(found, other, top)


def _together(one: Found, other: Found, top: int) -> Found:
    """Both lists as one, in order; on the front stays what was there in its own list and nothing in the other beats."""
    options = sorted([*one.options, *other.options], key=order)
    fronts = {id(o) for o in options if o.front}
    mark_front(options)
    for option in options:
        option.front = option.front and id(option) in fronts
    scores = [f.least_score for f in (one, other) if f.least_score is not None]
    return Found(
        options[:top], one.complete and other.complete, one.opened + other.opened, one.cells + other.cells,
        min(scores, default=None),
    )  # fmt: skip


def _find(ask: Ask, top: int, *, all_pegs: bool, seconds: float | None) -> Found:
    deadline = None if seconds is None else time.monotonic() + seconds
    found = Found()
    try:
        cells = cells_of(ask, all_pegs)
        found.cells = len(cells)
        _open(ask, cells, top, found, deadline)
        known: Layouts = {}
        found.options = [settle_ties(ask, o, known, deadline) for o in found.options]
        others = [settle_ties(ask, o, known, deadline) for o in _contenders(ask, cells, found, deadline)]
        mark_front(found.options, others)
    except Undecided:
        found.complete = False
    found.options.sort(key=order)
    del found.options[top:]
    return found


def cells_of(ask: Ask, all_pegs: bool = False) -> list[Cell]:
    """The cells that arithmetic leaves open, lowest bound first."""
    cells = list(lesser_pieces(ask).cells(all_pegs)) if len(ask.pieces) > 1 else _single(ask, all_pegs)
    return sorted(cells, key=lambda c: (c.bound, c.only_pegs or 0, c.ways[0].key))


def _single(ask: Ask, all_pegs: bool) -> list[Cell]:
    """The cells of an item of one piece."""
    reach: dict[tuple[str, int | None], tuple[int, ...]] = {}
    cells = []
    for ways in ways_alike(ask.ways):
        look()
        first = ways[0]
        key = (first.loom.name, boards_a_side(ask, first))
        if key not in reach:
            reach[key] = pegs_in_reach(ask, 0, first.loom, key[1])
        risk = risk_cost(ask, (first,))
        for n, pegs, lowest in _bounds(ask, first, reach[key], all_pegs):
            cells += [Cell((way,), (pegs,), lowest + risk, n) for way in ways]
    return cells


def _bounds(
    ask: Ask, way: Way, pegs: Sequence[int], all_pegs: bool
) -> Iterator[tuple[int | None, Sequence[int], int]]:  # fmt: skip
    """The bound of the only piece on a way over all of its peg counts, or once for each."""
    piece = ask.pieces[0]
    for n in pegs_window(ask, piece, way, pegs) if all_pegs else (None,):
        counts = pegs if n is None else (n,)
        lowest = piece_bound(ask, piece, way, counts)
        if lowest is not None:
            yield n, counts, lowest


def _open(ask: Ask, cells: Sequence[Cell], top: int, found: Found, deadline: float | None) -> None:
    """Open cells from the lowest bound on, until no unopened one can reach the top, ties included."""
    twins: Twins = {}
    for cell in cells:
        if len(found.options) >= top and cell.bound > sorted(o.score for o in found.options)[top - 1]:
            return
        found.least_score = cell.bound
        look()
        option = solve(ask, cell, deadline, twins)
        found.opened += 1
        if option:
            found.options.append(option)
    found.least_score = None


def solve(ask: Ask, cell: Cell, deadline: float | None = None, twins: Twins | None = None) -> Option | None:
    """The cell's least score by CP-SAT, borne out in plain ints; None when the cell holds no setup.

    `twins` keeps what was solved for ways that differ in nothing but the yarn's name and stock.
    """
    if cell.piece_options:
        return best_choice(ask, cell, lambda chosen: solve(ask, chosen, deadline))
    if broken((r for r in RULES if r.of_way), Setup.bare(ask, cell.ways)):
        return None
    known = twins.setdefault(_nature(cell), []) if twins is not None and not cell.extra else []
    twin = next((t for t in known if t.serves(cell)), None)
    if twin is not None:
        return None if twin.option is None else option_of(ask, cell, twin.option.values)
    option = _solved(ask, cell, deadline)
    known.append(SolvedCell(_stock(cell), option))
    return option


def _solved(ask: Ask, cell: Cell, deadline: float | None) -> Option | None:
    """By CP-SAT: pegs and rows, on the handiest boards where these follow from the pegs, else with some boards."""
    pegs = None
    if boards_follow(ask, cell):
        each = zip(ask.pieces, cell.ways, cell.pegs, strict=True)
        pegs = [pegs_window(ask, piece, way, counts, cell.ways[0]) for piece, way, counts in each]
        if not all(pegs):
            return None
    values = least(ask, cell.ways, score, partial(cell_gaps, cell), deadline, pegs)
    if values is None:
        return None
    if pegs is not None:
        values |= bolted(ask, cell.ways, [values[f"{i}.pegs"] for i in range(len(pegs))])
    return option_of(ask, cell, values)


def _nature(cell: Cell) -> tuple[object, ...]:
    """All of a cell that its model reads, but the stock of yarn."""
    each = ((w.loom.name, w.spacers, w.strands, w.width_um, w.height_um, w.loop_um, w.lofty_um) for w in cell.ways)
    return (*each, *((w.width_ppm, w.height_ppm) for w in cell.ways), cell.only_pegs)


def _stock(cell: Cell) -> float:
    """Yarn on hand for a cell, µm."""
    stock = cell.ways[0].on_hand_um
    return inf if stock is None else stock


def best_of(ask: Ask, cells: Sequence[Cell]) -> Option | None:
    """The first option, in the total order, of some cells sorted by their bounds; None where none holds a setup."""
    found = Found()
    _open(ask, cells, 1, found, None)
    least_score = min((o.score for o in found.options), default=0)
    known: Layouts = {}
    settled = (settle_ties(ask, o, known, None) for o in found.options if o.score == least_score)
    return min(settled, key=order, default=None)


def _contenders(ask: Ask, cells: Sequence[Cell], found: Found, deadline: float | None) -> list[Option]:
    """Options of unopened cells that might keep a shown one off the front: only where risk is not weighed as 1.

    With weight 1 whatever beats an option on likely miss and yarn beats its score too, and so has been opened.
    """
    if ask.costs.risk == 1 or not found.options:
        return []
    most = max(o.likely_miss + ask.costs.yarn * o.setup.yarn_um for o in found.options)
    opened = {(o.cell.ways[0].key, o.cell.only_pegs) for o in found.options}
    unopened = [c for c in cells if (c.ways[0].key, c.only_pegs) not in opened and _plain_bound(ask, c) <= most]
    return [o for o in (solve(ask, c, deadline) for c in unopened) if o]


def _plain_bound(ask: Ask, cell: Cell) -> int:
    """The cell's bound with the risk at weight 1."""
    if cell.piece_options:
        scale = 10_000 * ask.costs.scale
        return sum(min(p.bound + scale * p.risk_um for p in each) for each in cell.piece_options)
    return cell.bound - risk_cost(ask, cell.ways) + 10_000 * ask.costs.scale * risk_um(ask, cell.ways)
