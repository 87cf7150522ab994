"""Every line of an ask: each way with each of its peg counts, and the best rows there; then those worth keeping.

Never the best few of `find`: where yarn or looms are short, what is nobody's first choice serves the most.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from math import inf

from solver.gauging.chance import chance_within
from solver.many.line import Line, Worked
from solver.many.shelf import Shelf
from solver.many.sweep import Swept, counts_on, swept
from solver.model.ask import Ask, Way
from solver.model.rule import broken
from solver.model.setup import Setup
from solver.rules import RULES
from solver.search.best_first import Twins, cells_of, solve
from solver.search.lesser_pieces import flat_instead

CHANCES = 10_000  # chances are counted in whole 1/10 000, as the report prints them


def lines_of(ask: Ask, ways: Sequence[Way]) -> list[Line]:
    """Every line of an ask. `ways` are those of the ask that no law of the way alone forbids.

    Yarn on hand bounds a line by itself unless the ask drops that rule. Raises Undecided when the time is up.
    """
    return list(_alone(ask, ways) if len(ask.pieces) == 1 else _together(ask))


def useful_lines(ask: Ask, ways: Sequence[Way], shelf: Shelf) -> tuple[list[Line], bool]:
    """The lines of an ask that are worth keeping, and whether it has any at all. Raises Undecided.

    Of a piece alone, yarns that knit alike are looked at once: what is kept of one is kept of the others.
    """
    if len(ask.pieces) > 1:
        lines = lines_of(ask, ways)
        return worth_keeping(lines, shelf), bool(lines)
    any_amount = ask.without("yarn-on-hand")
    kept: list[Line] = []
    for alike in _yarns_alike(ways):
        every = list(_alone(any_amount, alike[0]))
        first, most = worth_keeping(every, shelf), max((line.yarn_um for line in every), default=0)
        for each in alike:
            stock = each[0].on_hand_um
            if stock is None or stock >= most or "yarn-on-hand" in ask.dropped:
                at = {(w.loom.name, w.spacers, w.strands): w for w in each}
                kept += [replace(line, ask=ask, pieces=(replace(line.pieces[0], way=at[_at(line)]),)) for line in first]
            else:
                kept += worth_keeping(_alone(ask, each), shelf)
    return worth_keeping(kept, shelf) if shelf.unlimited else sorted(kept, key=lambda line: line.order), bool(kept)


def _yarns_alike(ways: Sequence[Way]) -> list[list[list[Way]]]:
    """The ways of each yarn, those yarns together whose ways differ in nothing but name and stock."""
    by_yarn: dict[str, list[Way]] = {}
    for way in ways:
        by_yarn.setdefault(way.yarn, []).append(way)
    alike: dict[object, list[list[Way]]] = {}
    for each in by_yarn.values():
        key = tuple((w.loom.name, w.spacers, w.strands, *_nature(w)) for w in each)
        alike.setdefault(key, []).append(each)
    return list(alike.values())


def _at(line: Line) -> tuple[str, int, int]:
    way = line.way
    return (way.loom.name, way.spacers, way.strands)


def sound_ways(ask: Ask) -> list[Way]:
    """The ways that the laws of yarn and gauge, and the pins of the ask, leave open to its main piece."""
    of_way = [r for r in RULES if r.of_way]
    return [w for w in ask.ways if not broken(of_way, Setup.bare(ask, [w] * len(ask.pieces)))]


def _alone(ask: Ask, ways: Sequence[Way]) -> Iterator[Line]:
    """By the sweep; ways that differ in nothing but the yarn's name and stock are swept once."""
    known: dict[tuple[object, ...], list[tuple[Swept, int]]] = {}
    reach: dict[tuple[str, int], tuple[int, ...]] = {}
    for way in ways:
        stock = inf if way.on_hand_um is None or "yarn-on-hand" in ask.dropped else way.on_hand_um
        place = (way.loom.name, way.spacers)
        key = (*place, way.strands, *_nature(way))
        if place not in reach:
            reach[place] = counts_on(ask, way)
        if key not in known:
            known[key] = [(s, _chance(ask, way, s.pegs)) for s in swept(ask, way, reach[place])]
        each = known[key]
        if any(s.yarn_um > stock for s, _ in each):
            each = [(s, _chance(ask, way, s.pegs)) for s in swept(ask, way, reach[place], stock)]
        for s, chance in each:
            yield Line(ask, (Worked(way, s.pegs, s.rows, s.band),), chance, s.yarn_um, s.score)


def _nature(way: Way) -> tuple[object, ...]:
    """All of a way's yarn that its lines read, but the stock."""
    return (way.width_um, way.height_um, way.loop_um, way.lofty_um, way.width_ppm, way.height_ppm)


def _together(ask: Ask) -> Iterator[Line]:
    """By the cells' own solver: pieces share their yarn; a lesser one may be worked elsewhere, or flat instead."""
    flat = flat_instead(ask)
    for each in (ask, flat) if flat else (ask,):
        twins: Twins = {}
        for cell in cells_of(each, all_pegs=True):
            found = solve(each, cell, None, twins)
            if found is not None:
                pieces = tuple(Worked(p.way, p.pegs, p.rows_total, p.rows_band) for p in found.setup.pieces)
                chance = _chance(each, pieces[0].way, pieces[0].pegs)
                yield Line(each, pieces, chance, found.setup.yarn_um, found.score)


def _chance(ask: Ask, way: Way, pegs: int) -> int:
    main = ask.pieces[0]
    return round(CHANCES * round(chance_within(way, pegs, main.girth_um, main.girth_tol_um), 4))


def worth_keeping(lines: Iterable[Line], shelf: Shelf) -> list[Line]:
    """The lines that no other of the same yarn (and, where turns are counted, the same looms) beats, in their order.

    One beats another when it is at least as likely to fit, takes no more yarn and scores no worse, a rebuild that it
    needs and the other does not counted in: whatever a plan has of the other, it is no worse for having this instead.
    A yarn that can be had in any amount beats lines of every yarn.
    """
    by_looms: dict[tuple[str, ...], list[Line]] = {}
    for line in lines:
        if shelf.may_serve(line):
            by_looms.setdefault(() if shelf.turns is None else line.looms, []).append(line)
    kept = [line for each in by_looms.values() for line in _unbeaten(each, shelf)]
    return sorted(kept, key=lambda line: line.order)


def _unbeaten(lines: Iterable[Line], shelf: Shelf) -> Iterator[Line]:
    by_yarn: dict[str, list[Line]] = {}
    for line in sorted(lines, key=lambda line: (-line.chance, line.taken_mm, *line.order)):
        free = [other for name in sorted(shelf.unlimited) for other in by_yarn.get(name, ())]
        same = [other for other in by_yarn.get(line.way.yarn, ()) if other.taken_mm <= line.taken_mm]
        if not any(_no_worse(other, line, shelf.rebuild_um) for other in (*same, *free)):
            by_yarn.setdefault(line.way.yarn, []).append(line)
            yield line


def _no_worse(one: Line, other: Line, rebuild_um: int) -> bool:
    """Whether `one`, which is as likely to fit and as thrifty, scores no worse with what it has to be rebuilt."""
    return one.score_um + rebuild_um * len(one.builds - other.builds) <= other.score_um
