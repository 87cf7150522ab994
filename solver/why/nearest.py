"""The setup nearest to the wish among the ways that one law stops: what a person at the table would point at."""

from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass, replace

from catalog.figure import inch_um, ppm
from catalog.units import share
from solver.model.ask import Ask
from solver.model.timing import Undecided
from solver.search.best_first import best_of, cells_of
from solver.search.lesser_pieces import versions
from solver.search.option import Cell, Option, order
from solver.why.conflict import Clash
from solver.why.either_way import settable
from solver.why.limits import CellLimits
from solver.why.relaxing import RULE
from solver.why.stops import Counted, counted
from solver.why.violations import rules_of

SIZES = {"girth-within", "length-within", "band-depth"}


@dataclass(frozen=True, slots=True)
class Pointed:
    """The ways that each law stops; the law that is told, None for none; and the nearest setup, where there is one.

    `cells`: those that the setup is one of.
    """

    counted: Counted
    law: str | None
    cells: Sequence[CellLimits]
    option: Option | None = None

    @property
    def cell(self) -> CellLimits | None:
        """The cell of the nearest setup; without one the first that the law stops, a measured one before a guess."""
        if self.option is None:
            return min(self.cells if self.law else (), key=lambda c: c.way.basis != "measured", default=None)
        key = self.option.setup.way.key
        return next((c for c in self.cells if c.way.key == key), None)


def pointed(ask: Ask, clash: Clash, laws: Container[str | None] | None = None, *, tight: bool = False) -> Pointed:
    """The first law of a clash with the setup nearest to the wish; without a law, the nearest of all that is hers.

    `laws` are those for which alone a setup is looked for; all where none are given. Where the girth alone need give
    and the law is only that yarns and settings do not suit, or the limit on the girth is a `tight` one of her own, no
    law is why: the nearest of all speaks.
    """
    counts = counted(clash.cells, clash.rules)
    law = counts.law
    found = Pointed(counts, law, counts.each[law] if law else clash.cells)
    asked = _open_wishes(clash)
    if asked is None or (laws is not None and law not in laws):
        return found
    open_ = settable(ask.without(*asked))
    try:
        if law and asked == ("girth-within",) and (tight or RULE[law].of_way):
            best = _nearest(open_, clash.cells)
            if best and (RULE[law].of_way or _near_enough(best)):
                return Pointed(counts, None, clash.cells, best)
        return replace(found, option=_nearest(open_, found.cells))
    except Undecided:
        if laws is not None:  # a line of many is left out: whoever asks says that the time was up
            raise
        return found  # the one sentence is told of the first way that the law stops


def _near_enough(option: Option) -> bool:
    """Whether a girth would do if nothing were said of how near it has to be."""
    main = option.setup.pieces[0]
    usual = min(inch_um("girth_within_in"), share(main.ask.girth_um, ppm("girth_within_share")))
    return abs(main.girth_um - main.ask.girth_um) <= usual


def _open_wishes(clash: Clash) -> tuple[str, ...] | None:
    """The fewest wishes of size that, given up, leave a setup; the girth rather than the length."""
    sets = [rules_of(mask) for mask in clash.sets]
    able = [rules for rules in sets if {*rules} <= SIZES]
    return min(able, key=lambda rules: (len(rules), "girth-within" not in rules, rules), default=None)


def _nearest(ask: Ask, cells: Iterable[CellLimits]) -> Option | None:
    """The best setup of some ways; a measured setting of the same loom speaks for it, since a tape can check it."""
    hers = {c.way.key for c in cells}
    if len(ask.pieces) == 1:
        ask = replace(ask, ways=tuple(w for w in ask.ways if w.key in hers))
    open_ = [(each, [c for c in cells_of(each) if c.ways[0].key in hers]) for each in versions(ask)]
    best = _best(open_)
    if best is None or best.setup.way.basis == "measured":
        return best
    loom = best.setup.way.loom.name
    return _best([(each, [c for c in some if _counted_on(loom, c)]) for each, some in open_]) or best


def _best(open_: Iterable[tuple[Ask, Sequence[Cell]]]) -> Option | None:
    """The first, in the total order, of what is best with the lesser pieces in the round and with them flat."""
    return min((o for ask, cells in open_ if (o := best_of(ask, cells))), key=order, default=None)


def _counted_on(loom: str, cell: Cell) -> bool:
    return cell.ways[0].basis == "measured" and cell.ways[0].loom.name == loom
