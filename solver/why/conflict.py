"""The clash: the smallest rules that cannot all hold, and for each the setup nearest to holding it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from solver.model.rule import EngineError
from solver.why.limits import CellLimits
from solver.why.relaxing import RULE, given, way_give
from solver.why.slack import Relaxed
from solver.why.stops import most_telling
from solver.why.surer import SURE, surest
from solver.why.twins import telling_more
from solver.why.violations import EVERY, Minimal, bits, rules_of, smallest_hits


@dataclass(frozen=True, slots=True)
class Reason:
    """A rule of a clash, and the setup nearest to holding it while the others hold; its give comes first there."""

    rule: str
    nearest: Relaxed


@dataclass(frozen=True, slots=True)
class Clash:
    """Rules that cannot all hold, in order. Empty only where not one setup exists, whatever is dropped."""

    rules: tuple[str, ...]
    cells: Sequence[CellLimits]
    sets: tuple[int, ...]

    def reason(self, rule: str, among: Sequence[CellLimits] = ()) -> Reason:
        """Why a rule of the clash fails, all other rules kept where such a setup exists, else those of the clash.

        `among`: of these cells where one of them has such a setup.
        """
        others = EVERY & ~bits(*(r for r in self.rules if r != rule))
        kept = bits(rule) if rule in self.alone() else others
        if bits(rule) == SURE:
            near = surest(among) or surest(self.cells)
        else:
            near = nearest(among, kept, rule) or nearest(among, others, rule) if among else None
            near = near or nearest(self.cells, kept, rule)
        near = near or self._as_found(rule)
        if near is None:
            raise EngineError(f"no setup gives {rule}, although arithmetic found one")
        return Reason(rule, near)

    def _as_found(self, rule: str) -> Relaxed | None:
        """The setup nearest to holding a rule just as its correction sets say, one side of a limit at a time.

        With both sides open a limb fits where the body is worked, and may take more yarn than there is.
        """
        own = [mask for mask in self.sets if set(rules_of(mask)) & {*self.rules} == {rule}]
        each = [n for mask in own if (n := nearest(self.cells, mask, rule, wide=True))]
        return min(each, key=lambda n: n.gives, default=None)

    def alone(self) -> tuple[str, ...]:
        """The rules of the clash that need only give by themselves."""
        return tuple(rule for rule in self.rules if any(rules_of(mask) == (rule,) for mask in self.sets))


def clash_of(cells: Sequence[CellLimits], correction_sets: Iterable[Minimal]) -> Clash:
    """The clash of some cells whose minimal sets of breaks are known; the smallest, and of those the most telling.

    Where it could not be had however unsure one is content to be, that is told, and nothing of how sure it is.
    """
    sets = tuple(Minimal(mask for some in correction_sets for mask in some))
    bare = [mask & ~SURE for mask in sets]
    return Clash(most_telling(cells, smallest_hits(bare if all(bare) else sets)) if sets else (), cells, sets)


def nearest(cells: Sequence[CellLimits], allowed: int, rule: str, *, wide: bool = False) -> Relaxed | None:
    """The cell that breaks nothing outside `allowed` and lacks least of one rule; of equals what breaks least.

    None where no cell does. `wide`: lesser pieces may be worked elsewhere although they would fit beside the main one.
    """
    best: Relaxed | None = None
    own = (
        RULE[rule].of_way or rule == "yarn-on-hand"
    )  # twins differ in how tight their yarn is, and in what a ball holds
    each = cells if own else telling_more(cells)
    for cell in each:  # those that break least come first
        if cell.mask & ~allowed or (best and _no_nearer(cell, rule, best)):
            continue
        found = given(cell, allowed, (rule,), wide=wide)
        if found and found.gives[0] > 0 and (best is None or found.gives < best.gives):
            best = found
            if best.gives == (1,):  # gives are whole and this one more than none: no cell gives less
                break
    return best


def _no_nearer(cell: CellLimits, rule: str, best: Relaxed) -> bool:
    """Whether a rule that reads the way alone gives no less here, which is seen before any peg is."""
    single = RULE[rule].of_way and len(cell.pieces) == 1
    return single and way_give(cell.ask, (cell.way,), rule) >= best.gives[0]
