"""The second door to CP-SAT: a program of whole counts under linear rows, made best for one goal after another."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from random import Random

from ortools.linear_solver import pywraplp
from ortools.sat.python import cp_model

from solver.model.rule import EngineError
from solver.model.timing import remaining

ENDLESS = 1 << 50  # a row without a bound on that side
CORE = 600
FINE = 1 << 20  # prices are whole numbers of so many parts
FREE = 700  # counts made better at a time

Terms = Sequence[tuple[int, int]]  # (place of a count, what one of it adds)


@dataclass(frozen=True, slots=True)
class Row:
    """`least` ≤ the sum of its terms ≤ `most`."""

    terms: Terms
    least: int
    most: int

    def holds(self, counts: Sequence[int]) -> bool:
        """Whether finished counts hold it."""
        return self.least <= total(self.terms, counts) <= self.most


@dataclass(slots=True)
class Program:
    """Counts from 0 to `most` each, and the rows that they hold."""

    most: list[int] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    def count(self, most: int) -> int:
        """A new count; its place."""
        self.most.append(most)
        return len(self.most) - 1

    def row(self, terms: Terms, *, least: int = -ENDLESS, most: int = ENDLESS) -> None:
        """A new row."""
        self.rows.append(Row(tuple(terms), least, most))

    def holds(self, counts: Sequence[int]) -> bool:
        """Whether finished counts hold every row."""
        return all(0 <= c <= m for c, m in zip(counts, self.most, strict=True)) and all(
            r.holds(counts) for r in self.rows
        )


@dataclass(frozen=True, slots=True)
class Best:
    """The best counts found for a goal, its value there, and a bound that no counts beat.

    `out_of_time`: the clock stopped the search, so that another run may find others; `work` alone never does that.
    """

    counts: tuple[int, ...]
    value: int
    bound: int
    out_of_time: bool = False

    @property
    def proven(self) -> bool:
        """Whether nothing better exists."""
        return self.value == self.bound


def total(terms: Terms, counts: Sequence[int]) -> int:
    """The sum of terms at finished counts."""
    return sum(each * counts[place] for place, each in terms)


@dataclass(frozen=True, slots=True)
class Prices:
    """What rows are worth by the linear program: a bound that no counts beat, and what each count costs it.

    Each one of a count lowers the bound by its `lack`, in 1 / FINE; `rows` are the prices, in the same parts; `parts`
    are the counts of the linear program.
    """

    bound: int
    lacks: tuple[int, ...]
    parts: tuple[float, ...]
    rows: tuple[int, ...]


def prices(program: Program, goal: Terms) -> Prices:
    """Prices by GLOP, rounded; the bound is worked out from them in whole numbers, so that it holds whatever GLOP says.

    For prices w of rows a·x ≤ b, none negative, c·x ≤ w·b + Σ most·max(0, c − w·a): so no gain is left out.
    """
    solver = pywraplp.Solver.CreateSolver("GLOP")
    parts = [solver.NumVar(0, most, "") for most in program.most]
    endless = solver.infinity()
    rows = [
        solver.Constraint(row.least if row.least > -ENDLESS else -endless, row.most if row.most < ENDLESS else endless)
        for row in program.rows
    ]
    for made, row in zip(rows, program.rows, strict=True):
        for place, each in row.terms:
            made.SetCoefficient(parts[place], each)
    aim = solver.Objective()
    aim.SetMaximization()
    for place, each in goal:
        aim.SetCoefficient(parts[place], each)
    solved = solver.Solve() == pywraplp.Solver.OPTIMAL
    gains, bound = [0] * len(parts), 0
    for place, each in goal:
        gains[place] = FINE * each
    priced = [_price(row, made.dual_value()) if solved else 0 for made, row in zip(rows, program.rows, strict=True)]
    for price, row in zip(priced, program.rows, strict=True):
        if price:
            bound += price * (row.most if price > 0 else row.least)
            for place, each in row.terms:
                gains[place] -= price * each
    bound += sum(max(0, gain) * most for gain, most in zip(gains, program.most, strict=True))
    values = (part.solution_value() if solved else 0.0 for part in parts)
    return Prices(bound // FINE, tuple(max(0, -gain) for gain in gains), tuple(values), tuple(priced))


def _price(row: Row, dual: float) -> int:
    """A dual value as a whole price; none where the row has no bound on that side."""
    price = round(FINE * dual)
    return price if abs(row.most if price > 0 else row.least) < ENDLESS else 0


def most_of(
    program: Program,
    goal: Terms,
    priced: Prices,
    start: Sequence[int],
    work: float,
    core: int = CORE,
) -> Best:
    """The counts with the most of a goal, improved from `start`, which holds the program; `priced` are its prices.

    Where there are more counts than `core`, CP-SAT gets those that lack least by the prices, and the bound allows for
    the rest. `work` is CP-SAT's own measure of effort (about seconds): by it alone the same program has the
    same answer on any machine, unless the command's own limit stops it. Raises EngineError where `start` or the answer
    breaks a row.
    """
    _check(program, start, "what it starts from")
    known = Best(tuple(start), total(goal, start), priced.bound)
    if known.value > known.bound:
        raise EngineError(f"the prices' bound {known.bound} lies below the value {known.value}")
    if known.proven:
        return known
    kept, beyond = _core(priced, start, core)
    found = _improved(program, goal, known, kept, work)
    return replace(found, bound=max(found.value, min(priced.bound, max(found.bound, beyond))))


def bettered(
    program: Program,
    goal: Terms,
    priced: Prices,
    start: Sequence[int],
    blocks: Sequence[Sequence[int]],
    *,
    rounds: int,
    work: float,
) -> tuple[int, ...]:
    """The counts made better a few blocks at a time, all else held: where most is lost by the prices, and by turns.

    `blocks` are counts that share a row, the row of each at its own place among the rows. Why not all at once: CP-SAT
    alone stops further under the bound than these small steps reach, in as much time.
    """
    best = Best(tuple(start), total(goal, start), priced.bound)
    inside = {place for block in blocks for place in block}
    always = [place for place in range(len(start)) if place not in inside]
    least = [sorted(block, key=lambda place: (priced.lacks[place], place)) for block in blocks]
    few = min(len(blocks), max(5, min(25, len(blocks) // 4)))
    drawn = Random(1)
    for _ in range(rounds):
        if best.value >= best.bound or _up():
            break
        lost = [_lost(program, priced, best.counts, block, i) for i, block in enumerate(blocks)]
        worst = sorted(range(len(blocks)), key=lambda i: (-lost[i], i))[:few]
        chosen = {*worst, *drawn.sample(range(len(blocks)), few)}
        kept = {*always, *(p for i in chosen for p in least[i][: FREE // len(chosen)])}
        kept |= {p for i in chosen for p in blocks[i] if best.counts[p]}
        best = replace(_improved(program, goal, best, kept, work), bound=best.bound)
    return best.counts


def _lost(program: Program, priced: Prices, counts: Sequence[int], block: Sequence[int], row: int) -> int:
    """How far a block stays under what the bound allows it."""
    used = sum(counts[place] for place in block)
    return sum(priced.lacks[p] * counts[p] for p in block) + priced.rows[row] * (program.rows[row].most - used)


def _core(priced: Prices, start: Sequence[int], core: int) -> tuple[set[int], int]:
    """The counts that CP-SAT gets, and a bound of every answer that has any of the others."""
    order = sorted(range(len(start)), key=lambda i: (start[i] == 0, priced.lacks[i], i))
    left = order[core:]
    beyond = priced.bound - min((priced.lacks[i] for i in left), default=0) // FINE if left else -ENDLESS
    return set(order[:core]), beyond


def _improved(program: Program, goal: Terms, known: Best, kept: set[int], work: float) -> Best:
    """CP-SAT's best with the counts `kept` free and the others as they are; its bound speaks of those alone."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.catch_sigint_signal = False  # Ctrl-C stops the command, never only this one solve
    solver.parameters.max_deterministic_time = work
    if _up():
        return replace(known, out_of_time=True)
    if (left := remaining()) is not None:
        solver.parameters.max_time_in_seconds = left
    model, counts = _model(program, known.counts, kept)
    free = [(place, each) for place, each in goal if place in kept]
    rest = known.value - total(free, known.counts)
    model.maximize(cp_model.LinearExpr.weighted_sum([counts[p] for p, _ in free], [each for _, each in free]))
    status = solver.solve(model)
    stopped = _up() and status != cp_model.OPTIMAL
    if status in (cp_model.MODEL_INVALID, cp_model.INFEASIBLE):
        raise EngineError(f"CP-SAT finds no counts where some are known: {model.validate()}")
    bound = min(known.bound, rest + round(solver.best_objective_bound))
    if status == cp_model.UNKNOWN:
        return replace(known, bound=bound, out_of_time=stopped)
    found = tuple(solver.value(counts[i]) if i in counts else c for i, c in enumerate(known.counts))
    _check(program, found, "its answer")
    value = total(goal, found)
    if value < known.value:  # stopped before it had taken up what it was given
        return replace(known, bound=bound, out_of_time=stopped)
    if value > bound:
        raise EngineError(f"CP-SAT's bound {bound} lies below its own answer {value}")
    return Best(found, value, bound, stopped)


def _model(
    program: Program, start: Sequence[int], kept: set[int]
) -> tuple[cp_model.CpModel, dict[int, cp_model.IntVar]]:
    model = cp_model.CpModel()
    counts = {place: model.new_int_var(0, program.most[place], "") for place in sorted(kept)}
    for row in program.rows:
        terms = [(counts[p], each) for p, each in row.terms if p in counts]
        if terms:
            held = sum(each * start[p] for p, each in row.terms if p not in counts)
            added = cp_model.LinearExpr.weighted_sum([c for c, _ in terms], [each for _, each in terms])
            model.add_linear_constraint(added, row.least - held, row.most - held)
    for place, variable in counts.items():
        model.add_hint(variable, start[place])
    return model, counts


def _up() -> bool:
    """Whether the command's time is up."""
    left = remaining()
    return left is not None and left <= 0


def _check(program: Program, counts: Sequence[int], what: str) -> None:
    if not program.holds(counts):
        raise EngineError(f"{what} breaks a row of the program")
