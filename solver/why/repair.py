"""Repairs: the least changes that let a setup exist, each with the setup that the ask so changed leads to.

A repair is a minimal set of breaks of which every rule may give. Arithmetic finds how little each must give, and where;
CP-SAT then finds the best setup that gives no more.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import groupby

from catalog.item import kinds
from catalog.kit import Kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.ask import Ask
from solver.model.costs import risk_cost
from solver.model.rule import Gap
from solver.model.setup import Num, Picks, Setup
from solver.search.best_first import best_of
from solver.search.lower_bound import bound
from solver.search.option import Cell, Option, order
from solver.why.assemblies import NO_RIB, RIB, SETTING
from solver.why.either_way import cells_either_way
from solver.why.limits import CellLimits
from solver.why.relaxing import RULE, all_given
from solver.why.slack import Relaxed
from solver.why.twins import twins
from solver.why.violations import PLACE, bit, bits, rules_of

PINS = ("pin-loom", "pin-yarn", "pin-pegs", "pin-spacers", "pin-strands")
MAY_GIVE = bits(
    "boards-on-hand", "spacers-on-hand", "whole-repeats", "gauge-measured", "yarn-on-hand", "band-depth",
    "girth-within", "length-within", "sure-enough", *PINS,
) & ~(NO_RIB | SETTING)  # fmt: skip
MOST_SHOWN = 8
MOST_MORE = 6  # boards tried beyond what the neediest piece lacks, where pieces of one loom need different ones


@dataclass(frozen=True, slots=True)
class Repair:
    """The breaks that give, how much each of their rules gives (RULES order), the rib to change to, the setup."""

    breaks: int
    gives: tuple[int, ...]
    rib: str | None
    option: Option

    @property
    def rules(self) -> tuple[str, ...]:
        """The rules that give, in order."""
        return rules_of(self.breaks)


def able(sets: Iterable[int]) -> list[list[int]]:
    """The sets of breaks of which every rule may give, those of the fewest rules first, each count of rules a list."""
    some = sorted((s for s in sets if s & ~MAY_GIVE == 0), key=lambda s: (len(rules_of(s)), s))
    return [list(group) for _, group in groupby(some, key=lambda s: len(rules_of(s)))]


def repairs(kit: Kit, wish: Wish, ask: Ask, cells: Sequence[CellLimits], sets: Iterable[int]) -> list[Repair]:
    """The repairs with the fewest rules, least asking first; none where some law would have to give."""
    for some in able(sets):
        found = [r for s in some if (r := least_repair(kit, wish, ask, cells, s))]
        if found:
            return sorted(found, key=rank)[:MOST_SHOWN]
    return []


def rank(repair: Repair) -> tuple[object, ...]:
    """Fewest rules, then the latest rules, then the least give, then the best score."""
    ask = repair.option.setup.ask
    late = tuple(-PLACE[name] for name in repair.rules)
    return (len(repair.rules), late, repair.gives, repair.option.score / ask.costs.scale, repair.breaks)


def least_repair(kit: Kit, wish: Wish, ask: Ask, cells: Sequence[CellLimits], breaks: int) -> Repair | None:
    """The least that the rules of a set of breaks must give, with the setup that this leads to; None where none is."""
    if not breaks & RIB:
        solved = _least([c for c in cells if c.mask & ~breaks == 0], breaks)
        return Repair(breaks, solved[0], None, solved[1]) if solved else None
    found = [r for rib in _ribs(ask) if (r := _with_rib(kit, wish, ask, cells, breaks, rib))]
    return min(found, key=rank, default=None)


def _ribs(ask: Ask) -> list[str]:
    """The other ribs of the catalogue, one for each length of repeat."""
    repeats = {p.repeat for p in ask.pieces}
    names = sorted((k.rib, len(k.pattern)) for k in kinds().values() if k.rib)
    return list({size: rib for rib, size in reversed(names) if size not in repeats}.values())[::-1]


def _with_rib(kit: Kit, wish: Wish, ask: Ask, cells: Sequence[CellLimits], breaks: int, rib: str) -> Repair | None:
    new, rest = ask_of(kit, replace(wish, rib=rib)), breaks & ~RIB
    ways = tuple({c.way.key: c.way for c in cells if c.mask & ~rest == 0}.values())
    other = replace(ask, pieces=new.pieces, otherwise=new.otherwise, rib=rib, ways=ways)
    solved = _least(cells_either_way(other), rest)
    if solved is None:
        return None
    gives = dict(zip(rules_of(rest), solved[0], strict=True)) | {"whole-repeats": 1}
    return Repair(breaks, tuple(gives[name] for name in rules_of(breaks)), rib, solved[1])


def _least(cells: Iterable[CellLimits], breaks: int) -> tuple[tuple[int, ...], Option] | None:
    """The least gives that some cell needs, and the best setup among the cells that need no more."""
    rules = rules_of(breaks)
    each = _given(cells, breaks, rules)
    if not each:
        return None
    gives, several = min(g.gives for g in each), len(each[0].cell.ask.pieces) > 1
    for more in range(1 + (MOST_MORE if "boards-on-hand" in rules and several else 0)):
        raised = tuple(give + more * (rule == "boards-on-hand") for rule, give in zip(rules, gives, strict=True))
        option = _best([g for g in each if g.gives == gives or more], breaks, raised)
        if option:  # another girth is no help where what must pass would not
            passes = all(p.girth_um >= p.ask.stretch_girth_um for p in option.setup.pieces)
            return (raised, option) if passes else None
    return None


def _given(cells: Iterable[CellLimits], breaks: int, rules: Sequence[str]) -> list[Relaxed]:
    """What the cells must give at the least; of twins with less yarn only where the one with the most gives least.

    With less yarn nothing gives less, unless yarn is bought, which comes in balls of different lengths.
    """
    groups = [[c] for c in cells] if "yarn-on-hand" in rules else twins(cells)
    first = [(group, [*all_given(group[0], breaks, rules)]) for group in groups]
    least = min((g.gives for _, some in first for g in some), default=())
    rest = (c for group, some in first if any(g.gives == least for g in some) for c in group[1:])
    return [*(g for _, some in first for g in some), *(g for c in rest for g in all_given(c, breaks, rules))]


def _best(each: Sequence[Relaxed], breaks: int, gives: tuple[int, ...]) -> Option | None:
    """The best setup that gives no more, lesser pieces in the round or flat, as the cells have them."""
    found = []
    for ask in {id(g.cell.ask): g.cell.ask for g in each}.values():
        relaxed = ask.without(*rules_of(breaks))
        cells = (_cell(relaxed, g, breaks, gives) for g in each if g.cell.ask is ask)
        found.append(best_of(relaxed, sorted((c for c in cells if c), key=lambda c: (c.bound, c.ways[0].key))))
    return min((option for option in found if option), key=order, default=None)


def _cell(ask: Ask, given: Relaxed, breaks: int, gives: tuple[int, ...]) -> Cell | None:
    """The cell of the search that gives no more than it must."""
    if given.gives > gives:
        return None
    ways = tuple(remaining.limits.way for remaining in given.remaining)
    pegs = tuple(tuple(remaining.counts) for remaining in given.remaining)
    lowest = bound(ask, ways, pegs)
    if lowest is None:
        return None
    return Cell(ways, pegs, lowest + risk_cost(ask, ways), extra=partial(_held, breaks, gives))


def _held(breaks: int, gives: tuple[int, ...], picks: Picks, setup: Setup) -> list[Gap]:
    """What the dropped rules still hold: their other side, and no more give than is needed."""
    return [
        g
        for rule, give in zip(rules_of(breaks), gives, strict=True)
        for g in _of_rule(rule, breaks, give, picks, setup)
    ]


def _of_rule(rule: str, breaks: int, give: int, picks: Picks, setup: Setup) -> list[Gap]:
    if RULE[rule].of_way:
        return []  # settled by the choice of cell
    if rule == "yarn-on-hand":
        give *= setup.way.ball_um or 0
    gaps = _once(rule, setup, list(RULE[rule].gaps(setup)))
    gives = [bool(breaks & bit(rule, g.about)) for g in gaps]
    held = [g for g, may in zip(gaps, gives, strict=True) if not may]
    loose = [g for g, may in zip(gaps, gives, strict=True) if may]
    if len(loose) == 1 or rule == "spacers-on-hand":
        return [*held, *(Gap(g.need - give, g.have) for g in loose)]
    if rule == "boards-on-hand":
        return [*held, *_bought(picks, setup, loose, give)]
    twice: Num = sum(_excess(picks, f"{rule}{i}", g.need - g.have) for i, g in enumerate(loose))
    return [*held, Gap(twice, 2 * give)]


def _once(rule: str, setup: Setup, gaps: list[Gap]) -> list[Gap]:
    """The gaps of a rule; of a piece picked up at the main piece's gauge its opening is the same girth again."""
    if rule != "girth-within":
        return gaps
    each, kept = iter(gaps), []
    for piece in setup.pieces:
        own = [next(each), next(each)]
        opening = [next(each), next(each)] if piece.ask.picked_up else []
        kept += own if piece.way.width_um == setup.way.width_um else [*own, *opening]
    return kept


def _bought(picks: Picks, setup: Setup, gaps: Sequence[Gap], give: int) -> list[Gap]:
    """So many boards are bought in all; one that is bought serves every piece on its loom."""
    looms = [p.way.loom for p in setup.pieces]
    owners = [(loom.name, board) for loom in looms for board in (*loom.boards, *loom.ends)]
    bought: dict[tuple[str, str], Num] = {}
    held = []
    for (loom, board), gap in zip(owners, gaps, strict=True):
        key = (loom, board.name)
        if key not in bought:
            bought[key] = picks.pick(f"0.side_bought{len(bought)}", 0, give)
        held.append(Gap(gap.need, gap.have + bought[key]))
    return [*held, Gap(sum(bought.values()), give)]


def _excess(picks: Picks, name: str, gap: Num) -> Num:
    """Twice what a gap is above 0."""
    return picks.distance(name, gap, 10**9) + gap
