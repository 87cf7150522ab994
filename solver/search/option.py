"""A cell of the search and the option it holds, with the total order in which options are shown."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from solver.model.ask import Ask, Way
from solver.model.costs import boards, changes, idle, risk_cost, risk_um, score
from solver.model.rule import EngineError, Gap, broken
from solver.model.setup import Finished, Picks, Setup, ValuePicks, finished, whole
from solver.rules import RULES


@dataclass(frozen=True, slots=True)
class PieceOption:
    """A way that one piece may be worked, the pegs it may use there, a bound of its score without and its risk, µm."""

    bound: int
    risk_um: int
    way: Way
    pegs: tuple[int, ...]

    def least(self, ask: Ask) -> int:
        """A score that the piece does not beat here, risk included."""
        weight = ask.costs.risk
        return self.bound + 10_000 * ask.costs.scale * (weight.numerator * self.risk_um // weight.denominator)


@dataclass(frozen=True, slots=True)
class Cell:
    """A way for each piece, the pegs each may use, and a bound of the score, risk included.

    `only_pegs` holds the main piece to one peg count (`--all-pegs`); `extra` holds what a repair does not give.
    `piece_options`, where a lesser piece may be worked on several ways, lists those of each piece; `ways` the first.
    """

    ways: tuple[Way, ...]
    pegs: tuple[Sequence[int], ...]
    bound: int
    only_pegs: int | None = None
    extra: Callable[[Picks, Setup], list[Gap]] | None = None
    piece_options: tuple[tuple[PieceOption, ...], ...] = ()


def boards_follow(ask: Ask, cell: Cell) -> bool:
    """Whether the boards of a cell follow from its pegs: not where some are bought, nor where pegs are free of them."""
    return cell.extra is None and not ask.dropped & {"boards-on-hand", "pegs-on-loom"}


@dataclass(slots=True)
class Option:
    """A cell's setup: its choices, the Setup in plain ints, its score in the units of Costs, risk included."""

    cell: Cell
    values: Mapping[str, int]
    setup: Finished
    score: int
    changes: int
    front: bool = False

    @property
    def likely_miss(self) -> int:
        """Fit error + unweighted risk, in the units of Costs."""
        ask = self.setup.ask
        fit = self.score - risk_cost(ask, self.cell.ways) - ask.costs.yarn * self.setup.yarn_um
        return fit + 10_000 * ask.costs.scale * risk_um(ask, self.cell.ways)


def option_of(ask: Ask, cell: Cell, values: Mapping[str, int]) -> Option:
    """The choices as an Option, re-checked by every rule in plain ints. Raises EngineError where they disagree."""
    picks, setup = ValuePicks(values), finished(values, ask, cell.ways)
    wrong = broken(RULES, setup)
    if any(g.need > g.have for g in cell_gaps(cell, picks, setup)):
        raise EngineError("CP-SAT's setup breaks what its cell adds to the rules")
    if wrong:
        raise EngineError(f"CP-SAT's setup breaks {', '.join(r.name for r in wrong)}")
    total = whole(score(picks, setup)) + risk_cost(ask, cell.ways)
    if total < cell.bound:
        raise EngineError(f"the bound {cell.bound} of {cell.ways[0].key} lies above the score {total}")
    return Option(cell, values, setup, total, whole(changes(picks, setup)))


def cell_gaps(cell: Cell, picks: Picks, setup: Setup) -> list[Gap]:
    """What a cell adds to the rules: its own peg count under `--all-pegs`, and its extra gaps."""
    n, pegs = cell.only_pegs, setup.pieces[0].pegs
    own = [] if n is None else [Gap(pegs, n), Gap(n, pegs)]
    return [*own, *(cell.extra(picks, setup) if cell.extra else ())]


def order(option: Option) -> tuple[Any, ...]:
    """The total order of options: score, changes, pegs, spacers, strands, rows, names by code point, boards."""
    setup, way = option.setup, option.setup.way
    main = setup.pieces[0]
    return (
        option.score, option.changes, main.pegs, way.spacers, way.strands, main.rows_total, main.rows_band,
        way.loom.name, way.yarn, boards(setup), idle(setup), board_names(setup),
    )  # fmt: skip


def board_names(setup: Finished) -> tuple[tuple[str, ...], ...]:
    """For each piece the boards of one side in name order, then its end board."""
    return tuple(
        (*(b.name for b, c in zip(p.way.loom.boards, p.sides, strict=True) for _ in range(c)), *end_name(setup, i))
        for i, p in enumerate(setup.pieces)
    )


def end_name(setup: Finished, piece: int) -> tuple[str, ...]:
    """The end board of a piece's frame, or nothing."""
    part = setup.pieces[piece]
    return tuple(b.name for b, c in zip(part.way.loom.ends, part.ends, strict=True) if c)


def mark_front(options: Sequence[Option], others: Sequence[Option] = ()) -> None:
    """Mark the options that no other, of both lists, is at most equal to on likely miss and yarn and below on one."""
    points = {(o.likely_miss, o.setup.yarn_um) for o in (*options, *others)}
    for option in options:
        mine = (option.likely_miss, option.setup.yarn_um)
        option.front = not any(p != mine and p[0] <= mine[0] and p[1] <= mine[1] for p in points)
