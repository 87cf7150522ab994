"""Which of equally good setups is shown: fewest changes, fewest pegs and rows, then the handiest boards, then names.

CP-SAT settles ties as it settles the score, goal by goal; where arithmetic shows that no tie exists it is not asked,
and boards follow from sums.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from solver.model.ask import Ask, PieceAsk, Way
from solver.model.costs import boards, changes, idle, risk_cost, score
from solver.model.rule import EngineError, Gap
from solver.model.setup import (
    FinishedPiece,
    Num,
    Picks,
    Setup,
    ValuePicks,
    boards_most,
    finished,
    whole,
    yarn_of,
)
from solver.search.as_left import as_left
from solver.search.boards import bolted
from solver.search.cpsat import least
from solver.search.option import Option, boards_follow, cell_gaps, option_of
from solver.search.windows import band_window, pegs_window, rows_window

Aim = tuple[Callable[[Picks, Setup], Num], int]  # something to make least, and a number it stays below
Layouts = dict[tuple[tuple[str, int, int], ...], dict[str, int]]
BOARDS = re.compile(r"\.(side|end|along)")  # the choices that are boards: see setup._frame
# aims are packed into one goal as long as their spans multiply to less: far under 1 << 53, up to where the doubles in
# which CP-SAT reports a goal and its bound are whole, since cpsat.py compares these two
PACKED = 1 << 45


def settle_ties(ask: Ask, option: Option, known: Layouts, deadline: float | None) -> Option:
    """The same score with the fewest changes, pegs, rows and band rows, on the handiest boards.

    A lesser piece on a loom of an earlier one changes it least from how that one left it.
    """
    settled, follow = alone(ask, option), boards_follow(ask, option.cell)
    if not settled:
        option = _fewest(ask, option, deadline)
    if not (settled and follow):  # else on its handiest boards since it was found
        option = _lay_out(ask, option, known, deadline)
    left = as_left(ask, option.setup) if follow else {}
    return replace(option_of(ask, option.cell, {**option.values, **left}), changes=option.changes) if left else option


def _fewest(ask: Ask, option: Option, deadline: float | None) -> Option:
    # what comes first in a pack is held below nothing: its span only counts how full the pack is. Pegs stay below 512
    # (FAR_PEGS is 400), rows below 65,536, which even at 0.2 mm a row make 13 m
    aims: list[Aim] = [(changes, 4_000)]
    for i in range(len(ask.pieces)):
        aims += [(_part(i, "pegs"), 512), (_part(i, "rows_total"), 1 << 16), (_part(i, "rows_band"), 1 << 16)]
    best = option.score - risk_cost(ask, option.cell.ways)
    return _settled(ask, option, aims, lambda draft, setup: [Gap(score(draft, setup), best)], deadline)


def _lay_out(ask: Ask, option: Option, known: Layouts, deadline: float | None) -> Option:
    """The same pegs and rows on the handiest boards: fewest changes, fewest boards, fewest idle pegs, first names.

    Each piece from how its loom stands today. Boards depend on nothing but looms, spacers and pegs: `known` keeps each
    answer for the ways that share them.
    """
    if not any(p.sides for p in option.setup.pieces):
        return option
    pegs = [p.pegs for p in option.setup.pieces]
    key = tuple((p.way.loom.name, p.way.spacers, p.pegs) for p in option.setup.pieces)
    if key not in known:
        by_sums = boards_follow(ask, option.cell)
        known[key] = bolted(ask, option.cell.ways, pegs) if by_sums else _solved(ask, option, deadline)
    return option_of(ask, option.cell, {**option.values, **known[key]})


def _solved(ask: Ask, option: Option, deadline: float | None) -> dict[str, int]:
    """The boards by CP-SAT."""
    laid = _handiest(ask, option, deadline)
    return {name: value for name, value in laid.values.items() if BOARDS.search(name)}


def _handiest(ask: Ask, option: Option, deadline: float | None) -> Option:
    aims = _board_aims(ask, option)
    kept = [(p.pegs, p.rows_total, p.rows_band) for p in option.setup.pieces]

    def same(_: Picks, setup: Setup) -> list[Gap]:
        pairs = [(p.pegs, p.rows_total, p.rows_band) for p in setup.pieces]
        return [
            g
            for now, then in zip(pairs, kept, strict=True)
            for a, b in zip(now, then, strict=True)
            for g in _equal(a, b)
        ]

    return _settled(ask, option, aims, same, deadline)


def _board_aims(ask: Ask, option: Option) -> list[Aim]:
    """Fewest changes, boards and idle pegs over all pieces, then for each piece the first names; tight spans."""
    far = "boards-on-hand" in ask.dropped
    looms = [p.way.loom for p in option.setup.pieces]
    most = [boards_most(loom, far) if loom.boards else 0 for loom in looms]
    stand = sum(sum(loom.stands.sides) for loom in looms if loom.stands)
    longest = sum(m * max((b.pegs for b in loom.boards), default=0) for m, loom in zip(most, looms, strict=True))
    aims: list[Aim] = [
        (changes, 2 * (sum(most) + stand) + 6 * len(looms) + 1),
        (lambda _, s: boards(s), 2 * sum(most) + 2 * len(looms) + 1),
        (lambda _, s: idle(s), 2 * longest + 1),
    ]
    for i, loom in enumerate(looms):
        here = [most[i] if far else min(most[i], b.on_hand // 2) for b in loom.boards]
        aims += [(partial(_fewer, i, j, h), h + 1) for j, h in enumerate(here)]
        aims.append((partial(_end, i), max(1, len(loom.ends))))
    return aims


def _equal(a: Num, b: int) -> list[Gap]:
    return [Gap(a, b), Gap(b, a)]


def _part(i: int, name: str) -> Callable[[Picks, Setup], Num]:
    return lambda _, setup: getattr(setup.pieces[i], name)


def _fewer(i: int, j: int, most: int, _: Picks, setup: Setup) -> Num:
    """Falls as more boards of type j are used: the first names come first."""
    return most - setup.pieces[i].sides[j]


def _end(i: int, _: Picks, setup: Setup) -> Num:
    return sum(j * c for j, c in enumerate(setup.pieces[i].ends))


def _settled(
    ask: Ask, option: Option, aims: Sequence[Aim], extra: Callable[[Picks, Setup], list[Gap]], deadline: float | None
) -> Option:
    """Make the aims least in turn, as many at once as fit in a packed goal, each pack held before the next."""
    held: list[tuple[Sequence[Aim], int]] = []
    values = option.values
    for pack in _packs(aims):

        def gaps(picks: Picks, setup: Setup) -> list[Gap]:
            before = [Gap(_packed(p, picks, setup), most) for p, most in held]
            return [*extra(picks, setup), *cell_gaps(option.cell, picks, setup), *before]

        solved = least(ask, option.cell.ways, partial(_packed, pack), gaps, deadline)
        if solved is None:
            raise EngineError("CP-SAT loses a setup that it has found")
        values = solved
        made = finished(solved, ask, option.cell.ways)
        held.append((pack, whole(_packed(pack, ValuePicks(solved), made))))
    return option_of(ask, option.cell, values)


def _packs(aims: Sequence[Aim]) -> list[list[Aim]]:
    """The aims in order, cut into runs whose spans multiply to less than PACKED."""
    packs: list[list[Aim]] = [[]]
    span = 1
    for aim in aims:
        span *= aim[1]
        if span > PACKED and packs[-1]:
            packs.append([])
            span = aim[1]
        packs[-1].append(aim)
    return packs


def _packed(pack: Sequence[Aim], picks: Picks, setup: Setup) -> Num:
    """One number whose order is the order of the aims: each counts more than all after it."""
    total: Num = 0
    for aim, span in pack:
        total = total * span + aim(picks, setup)
    return total


def alone(ask: Ask, option: Option) -> bool:
    """Whether arithmetic shows that no other pegs and rows of this cell reach the same score.

    Each piece is looked at by itself: where nothing else costs it as little, nothing else costs them all as little.
    """
    each = zip(option.setup.pieces, option.cell.pegs, strict=True)
    return all(_rivals(ask, piece, counts) < 2 for piece, counts in each)


def _rivals(ask: Ask, chosen: FinishedPiece, counts: Sequence[int]) -> int:
    """How many pegs, rows and bands cost a piece no more than its own do, itself among them: 0, 1 or more (2)."""
    piece, way, costs = chosen.ask, chosen.way, ask.costs
    rows = rows_window(ask, piece, way)
    if rows is None:
        return 2
    band = costs.band * abs(chosen.band_um - piece.band.prefer_um) if piece.band else 0
    girth, length = abs(chosen.girth_um - piece.girth_um), abs(chosen.length_um - piece.length_um)
    mine = costs.girth * girth + costs.length * length + band + costs.yarn * chosen.yarn_um
    yarn = yarn_of(piece, way)
    hits = 0
    for n in pegs_window(ask, piece, way, counts):
        fixed = costs.girth * abs(piece.round_um(n, way.width_um) - piece.girth_um) + costs.yarn * yarn.at_pegs(n)
        per_row = costs.yarn * yarn.per_stitch * n
        for r in range(rows[0], rows[1] + 1):
            left = mine - fixed - per_row * r - costs.length * abs(r * way.height_um - piece.length_um)
            if left >= 0:
                hits += _bands_within(ask, piece, way, r, left)
                if hits > 1:
                    return 2
    return hits


def _bands_within(ask: Ask, piece: PieceAsk, way: Way, rows: int, cost: int) -> int:
    """How many band depths cost no more than that: 0, 1 or more (2)."""
    if piece.band is None:
        return 1
    first, last = band_window(ask, piece, way, rows)
    if ask.costs.band == 0:
        return min(2, last - first + 1)
    give = cost // ask.costs.band
    low = max(first, -((give - piece.band.prefer_um) // way.height_um))
    high = min(last, (piece.band.prefer_um + give) // way.height_um)
    return max(0, min(2, high - low + 1))
