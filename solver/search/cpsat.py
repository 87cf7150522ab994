"""The only door to CP-SAT: a Setup of variables, the rules as constraints, the least of a goal, proven."""

import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from ortools.sat.python import cp_model

from solver.model.ask import Ask, Way
from solver.model.rule import EngineError, Gap
from solver.model.setup import Num, Picks, Setup, set_up
from solver.model.timing import Undecided, remaining
from solver.rules import RULES

BY_PEGS = {"boards-on-hand", "pegs-on-loom"}  # what the peg counts of a loom hold by themselves


class _Model(cp_model.CpModel):
    """A model without CpModel's second set of method names, which cost more than a small model's constraints."""

    def _add_pre_pep8_methods(self) -> None:
        pass


class ModelPicks:
    """Picks over a CP-SAT model: every choice a variable, by its name; one in `among` takes one of those values."""

    def __init__(self, among: Mapping[str, Sequence[int]]) -> None:
        self.model = _Model()
        self.among = among
        self.choices: dict[str, cp_model.IntVar] = {}

    def pick(self, name: str, least: int, most: int, step: int = 1) -> Num:
        values = self.among.get(name) or (range(least, most + 1, step) if step > 1 else None)
        domain = cp_model.Domain.from_values(values) if values else cp_model.Domain(least, most)
        self.choices[name] = self.model.new_int_var_from_domain(domain, name)
        return self.choices[name]

    def product(self, name: str, a: Any, b: Any, most: int) -> Num:
        result = self.model.new_int_var(0, most, name)
        self.model.add_multiplication_equality(result, [a, b])
        return result

    def distance(self, name: str, a: Any, most: int) -> Num:
        result = self.model.new_int_var(0, most, name)
        self.model.add_abs_equality(result, a)
        return result

    def least_of_one(self, name: str, a: Any, most: int) -> Num:
        result = self.model.new_bool_var(name)
        self.model.add(a <= most * result)
        self.model.add(a >= result)
        return result

    def looked_up(self, name: str, table: Sequence[int], a: Any) -> Num:
        index = a
        if not isinstance(a, cp_model.IntVar):
            index = self.model.new_int_var(0, len(table) - 1, f"{name}_at")
            self.model.add(index == a)
        within = table[: max(index.proto.domain) + 1]
        result = self.model.new_int_var(min(within), max(within), name)
        self.model.add_element(index, within, result)
        return result

    def shape(self, least: int, a: Any, most: int) -> None:
        self.model.add_linear_constraint(a, least, most)

    def hold(self, gap: Gap) -> bool:
        """Post a gap as a constraint; False where it is a constant that fails."""
        if isinstance(gap.need, int) and isinstance(gap.have, int):
            return gap.need <= gap.have
        self.model.add(gap.need <= gap.have)
        return True


Goal = Callable[[Picks, Setup], Any]
Extra = Callable[[Picks, Setup], Iterable[Gap]]


def least(
    ask: Ask,
    ways: Sequence[Way],
    goal: Goal,
    extra: Extra | None = None,
    deadline: float | None = None,
    pegs: Sequence[Sequence[int]] | None = None,
) -> dict[str, int] | None:
    """The choices of a Setup that holds all rules with the least goal; None when proven that there is none.

    `extra` adds gaps of the moment (ties, exclusions); `deadline` is a time.monotonic() value. `pegs` are the counts
    that loom, boards and spacers give each piece: with them boards are no choice, and follow (see boards.py). Raises
    Undecided.
    """
    draft = ModelPicks({f"{i}.pegs": counts for i, counts in enumerate(pegs or ())})
    setup = set_up(draft, ask, ways, boards=pegs is None)
    dropped = ask.dropped if pegs is None else ask.dropped | BY_PEGS
    gaps = [g for r in RULES if r.name not in dropped for g in r.gaps(setup)]
    if not all(draft.hold(g) for g in [*gaps, *(extra(draft, setup) if extra else ())]):
        return None
    draft.model.minimize(goal(draft, setup))
    return _solved(draft, deadline)


def _solved(draft: ModelPicks, deadline: float | None) -> dict[str, int] | None:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    # of models this small, relaxations and more rounds of presolve take up to half of a solve and save nothing,
    solver.parameters.linearization_level = 0
    solver.parameters.max_presolve_iterations = 1
    # probing and the search for symmetries a fifth of a find
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.symmetry_level = 0
    solver.parameters.catch_sigint_signal = False  # Ctrl-C stops the command, never only this one solve
    own = None if deadline is None else deadline - time.monotonic()
    left = min((each for each in (own, remaining()) if each is not None), default=None)
    if left is not None:
        if left <= 0:
            raise Undecided
        solver.parameters.max_time_in_seconds = left
    status = solver.solve(draft.model)
    if status == cp_model.INFEASIBLE:
        return None
    if status == cp_model.MODEL_INVALID:
        raise EngineError(f"CP-SAT finds the model invalid: {draft.model.validate()}")
    if status != cp_model.OPTIMAL or solver.objective_value != solver.best_objective_bound:
        raise Undecided
    return {name: solver.value(variable) for name, variable in draft.choices.items()}
