"""How much a rule must give at the least, by arithmetic: the gives of several rules are made least one after the other.

A give is in the rule's own unit: µm, pegs, boards to buy, spacers short, balls to buy, rows; 1 for a choice by name.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from operator import add

from solver.model.ask import Ask, Way
from solver.model.setup import Setup, whole
from solver.model.timing import look
from solver.rules import RULES
from solver.rules.reading import Over, lack_of
from solver.search.windows import between
from solver.why.limits import YARN, CellLimits, PieceLimits, RowRange
from solver.why.slack import Relaxed, Remaining, lack, over_of, row_choices, turns
from solver.why.violations import bits

RULE = {r.name: r for r in RULES}
BOUGHT = ("boards-on-hand", "spacers-on-hand")
Points = dict[int, int]  # give → the least yarn (µm) that a piece takes with it


def given(cell: CellLimits, allowed: int, rules: Sequence[str], *, wide: bool = False) -> Relaxed | None:
    """The least gives of `rules`, one after the other, in a cell that breaks nothing outside `allowed`; else None."""
    return min(all_given(cell, allowed, rules, wide=wide), key=lambda g: g.gives, default=None)


def all_given(cell: CellLimits, allowed: int, rules: Sequence[str], *, wide: bool = False) -> Iterator[Relaxed]:
    """The least gives wherever the lesser pieces may be worked: as the main piece, or elsewhere where they must.

    `wide`: elsewhere too where they would fit beside the main piece, but only by what is allowed.
    """
    if cell.mask & ~allowed == 0:
        for pieces in product(*(_places(cell, i, allowed, wide) for i in range(len(cell.pieces)))):
            look()
            found = _given(cell, pieces, allowed, rules)
            if found:
                yield found


def _places(cell: CellLimits, i: int, allowed: int, wide: bool) -> list[PieceLimits]:
    here = cell.pieces[i]
    fits = i == 0 or _fits(here, allowed)
    if fits and not (wide and i and not _fits(here, cell.mask)):
        return [here]
    others = [other for mask, other in cell.elsewhere(i) if mask & ~allowed == 0 and _fits(other, allowed)]
    return [here, *others] if fits else others


def fitting(cell: CellLimits, i: int, allowed: int) -> list[tuple[PieceLimits, Sequence[int], RowRange]]:
    """Where piece i of a cell may be worked, with the pegs and rows that break nothing outside `allowed`."""
    found = ((limits, limits.counts(allowed), limits.span(allowed)) for limits in _places(cell, i, allowed, False))
    return [(limits, counts, span) for limits, counts, span in found if counts and span]


def _fits(limits: PieceLimits, allowed: int) -> bool:
    return bool(limits.counts(allowed)) and limits.span(allowed) is not None


def _given(cell: CellLimits, pieces: Iterable[PieceLimits], allowed: int, rules: Iterable[str]) -> Relaxed | None:
    found = Relaxed(cell, allowed, stock=None if allowed & YARN else cell.way.on_hand_um)
    for limits in pieces:
        counts, span = limits.counts(allowed), limits.span(allowed)
        if not counts or span is None:
            return None
        found.remaining.append(Remaining(limits, counts, span))
    if not _within(found):
        return None
    for rule in rules:
        found.gives = (*found.gives, _least(found, rule))
        _within(found)
    return found


def _within(found: Relaxed) -> bool:
    """Leave out, piece by piece, what takes more yarn than the others can spare. False where nothing is left."""
    if found.stock is None:
        return True
    spare = found.stock - sum(remaining.yarn_um for remaining in found.remaining)
    for remaining in found.remaining if spare >= 0 else ():
        budget, yarn, first = remaining.yarn_um + spare, remaining.limits.yarn, remaining.span.first
        remaining.counts = [n for n in remaining.counts if yarn.um(n, first) <= budget]
        n = remaining.counts[0]
        remaining.span.last = min(remaining.span.last, (budget - yarn.at_pegs(n)) // (yarn.per_stitch * n))
        remaining.limits.gauge.tighten(remaining.span)
    return spare >= 0


def _least(found: Relaxed, rule: str) -> int:
    """Make one rule's give least, and keep only what may attain it."""
    if rule == "yarn-on-hand":
        return _balls(found)
    if RULE[rule].of_way:
        return way_give(found.cell.ask, [remaining.limits.way for remaining in found.remaining], rule)
    over = over_of(rule, found)
    if over is Over.REST:
        return sum(_rest_give(remaining, rule, found.allowed) for remaining in found.remaining)
    shared = found.stock is not None and len(found.remaining) > 1  # yarn that one piece takes is not there for another
    if over is Over.PEGS:
        return _fewest(found, [_pegs(remaining, rule, found, shared) for remaining in found.remaining], rule)
    return _fewest(found, [_rows(remaining, rule, over, shared) for remaining in found.remaining], rule)


def _balls(found: Relaxed) -> int:
    """Balls to buy; what they hold may be used."""
    way = found.cell.way
    if way.on_hand_um is None or not way.ball_um:
        return 0
    balls = max(0, -(-(sum(remaining.yarn_um for remaining in found.remaining) - way.on_hand_um) // way.ball_um))
    found.stock = way.on_hand_um + balls * way.ball_um
    return balls


def way_give(ask: Ask, ways: Sequence[Way], rule: str) -> int:
    """How far some ways are from holding a rule that reads the ways alone, in the unit of its gaps."""
    bare = Setup.bare(ask, ways)
    return sum(max(0, whole(g.need) - whole(g.have)) for g in RULE[rule].gaps(bare))


@dataclass(slots=True)
class Choice:
    """What one rule's give is for every value that a piece may take, the yarn that goes with it, and how to keep it."""

    points: Points
    keep: Callable[[int], None]  # keep what gives at most so much


def _fewest(found: Relaxed, choices: list[Choice], rule: str) -> int:
    """The least give of all pieces together that the yarn allows.

    What is bought for one piece serves the next, so boards and spacers count once; everything else adds up.
    """
    floor = [min(c.points) for c in choices]
    stock = found.stock if len(choices) > 1 else None
    if rule in BOUGHT:
        total = max(floor) if stock is None else _together(choices, stock, max)
    else:
        total = sum(floor) if stock is None else _together(choices, stock, add)
    for choice, least in zip(choices, floor, strict=True):
        choice.keep(total if rule in BOUGHT else least + total - sum(floor))
    return total


def _together(choices: list[Choice], stock: int, join: Callable[[int, int], int]) -> int:
    """The least of one give from each piece, joined, whose yarn together lasts."""
    sums: Points = {0: 0}
    for choice in choices:
        grown: Points = {}
        for give, yarn in sums.items():
            for more, um in choice.points.items():
                whole = join(give, more)
                grown[whole] = min(grown.get(whole, yarn + um), yarn + um)
        sums = grown
    return min(give for give, yarn in sums.items() if yarn <= stock)


def _pegs(remaining: Remaining, rule: str, found: Relaxed, shared: bool) -> Choice:
    """The gives of a rule that reads the pegs, or how the loom stands."""
    give = lack(rule, remaining, found)
    each = [(give(n), n) for n in remaining.counts]
    points: Points = {}
    for g, n in each:
        points.setdefault(g, remaining.limits.yarn.um(n, remaining.span.first) if shared else 0)

    def keep(most: int) -> None:
        remaining.counts = [n for g, n in each if g <= most]
        if rule == "boards-on-hand":
            remaining.missing = most
        elif rule == "spacers-on-hand":
            remaining.short = most

    return Choice(points, keep)


def _rows(remaining: Remaining, rule: str, over: Over, shared: bool) -> Choice:
    """The gives of a rule over the rows, or over those of a band; what it keeps is one run."""
    span, bands, lines = remaining.span, remaining.limits.piece.bands, remaining.limits.lines_of(rule, over)
    if not lines:
        return Choice({0: remaining.yarn_um}, lambda _: None)
    first, last = row_choices(remaining, over)

    def keep(most: int) -> None:
        run = between([line._replace(plus=line.plus - most) for line in lines], first, last)
        if over is Over.BAND:
            span.low, span.high = run
        else:
            span.first, span.last = run
        remaining.limits.gauge.tighten(span)

    points: Points = {}
    give = lack_of(lines)
    for count in range(first, last + 1) if shared else turns(lines, first, last):
        rows = max(span.first, span.beside + bands * count) if over is Over.BAND else count
        points.setdefault(give(count), remaining.limits.yarn.um(remaining.counts[0], rows) if shared else 0)
    return Choice(points, keep)


def _rest_give(remaining: Remaining, rule: str, allowed: int) -> int:
    """What the rows that are left to choose lack; as many as there is room for are kept from here on."""
    if not allowed & bits(rule):
        return 0
    limits, span = remaining.limits, remaining.span
    needs, fits = limits.lines_of(rule, Over.REST), span.last - limits.piece.bands * span.low - limits.gauge.reached
    span.beside = max(span.beside, limits.gauge.reached + min(fits, between(needs, 0, fits)[0]))
    limits.gauge.tighten(span)
    return lack_of(needs)(fits) + lack_of(limits.lines_of(rule, Over.NONE))(0)
