"""The girths that each loom can make of a piece, over all its settings and yarns that suit it."""

from solver.model.ask import Ask, Way
from solver.model.rule import broken
from solver.model.setup import Setup
from solver.rules import RULES
from solver.search.windows import pegs_in_reach

Girths = tuple[tuple[int, ...], tuple[int, ...]]  # of measured gauges, and of reckoned ones; µm, in order


def girths_in_reach(ask: Ask) -> dict[str, Girths]:
    """For every loom, by name, the girths of the main piece: pegs that its build and the repeats allow × width."""
    found: dict[str, tuple[set[int], set[int]]] = {}
    main = ask.pieces[0]
    for way in ask.ways:
        measured, reckoned = found.setdefault(way.loom.name, (set(), set()))
        if _suits(ask, way):
            pegs = pegs_in_reach(way.loom, main, ask.dropped)
            (measured if way.basis == "measured" else reckoned).update(n * way.width_um for n in pegs)
    return {loom: (tuple(sorted(m)), tuple(sorted(r))) for loom, (m, r) in sorted(found.items())}


def _suits(ask: Ask, way: Way) -> bool:
    """Whether the rules that a way alone decides all hold: yarn against pitch, jamming, and choices that are pinned."""
    return not broken((r for r in RULES if r.of_way), Setup.bare(ask, (way,) * len(ask.pieces)))
