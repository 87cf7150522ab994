"""What a setup breaks, as bits of a whole number: one bit for each rule, two where a rule can be broken two ways.

A set of breaks whose rules, dropped together, let a setup exist is kept only where no smaller one does. A clash is a
smallest set of rules that meets every such set; a repair is such a set itself.
"""

from collections.abc import Iterable, Iterator
from functools import lru_cache

from solver.model.rule import EngineError
from solver.rules import RULES

LEAST_MOST = ("least", "most")
SIDES = {
    "spacers-on-hand": ("setting", "stock"),  # a setting that the loom does not allow, or too few in the tin
    "yarn-suits-pitch": ("thin", "thick"),
    "whole-repeats": ("rib", "none"),  # another rib of the catalogue would repeat, or none does
    "band-depth": LEAST_MOST,
    "girth-within": LEAST_MOST,
    "length-within": LEAST_MOST,
    "pin-pegs": LEAST_MOST,
    "pin-spacers": LEAST_MOST,
    "pin-strands": LEAST_MOST,
}
NAMES = tuple(r.name for r in RULES)
BREAKS = tuple((name, side) for name in NAMES for side in SIDES.get(name, ("",)))
BIT = {pair: 1 << i for i, pair in enumerate(BREAKS)}
PLACE = {name: i for i, name in enumerate(NAMES)}


def bit(rule: str, side: str = "") -> int:
    """The bit of one way to break a rule; a side that the rule does not tell apart counts as the rule itself."""
    return BIT.get((rule, side)) or BIT[rule, ""]


def bits(*rules: str) -> int:
    """All bits of some rules."""
    return sum(BIT[name, side] for name in rules for side in SIDES.get(name, ("",)))


@lru_cache(maxsize=4096)
def rules_of(mask: int) -> tuple[str, ...]:
    """The rules that a mask breaks, in the order of RULES."""
    return tuple(dict.fromkeys(name for i, (name, _) in enumerate(BREAKS) if mask >> i & 1))


def sides_of(mask: int, rule: str) -> tuple[str, ...]:
    """Which of a rule's sides a mask breaks."""
    return tuple(side for side in SIDES.get(rule, ("",)) if mask & BIT[rule, side])


EVERY = bits(*NAMES)


class Minimal:
    """Sets of breaks of which none holds another."""

    __slots__ = ("sets",)

    def __init__(self, sets: Iterable[int] = ()) -> None:
        self.sets: list[int] = []
        for one in sets:
            self.add(one)

    def covers(self, mask: int) -> bool:
        """Whether a set kept here lies within `mask`, so that `mask` has nothing new to say."""
        return any(one & mask == one for one in self.sets)

    def add(self, mask: int) -> None:
        """Keep `mask` unless it is covered; what it covers goes."""
        if not self.covers(mask):
            self.sets = [one for one in self.sets if one & mask != mask]
            self.sets.append(mask)

    def __iter__(self) -> Iterator[int]:
        return iter(sorted(self.sets))


def smallest_hits(correction_sets: Iterable[int]) -> list[tuple[str, ...]]:
    """The smallest sets of rules that meet every set of breaks, each in RULES order; one or several, equally small."""
    sets = sorted({sum(1 << PLACE[name] for name in rules_of(mask)) for mask in correction_sets}, key=int.bit_count)
    for size in range(len(NAMES) + 1):
        found = set(_hits(sets, 0, size))
        if found:
            return sorted(found)
    raise EngineError("a setup that breaks nothing is no clash")


def _hits(sets: list[int], chosen: int, left: int) -> Iterator[tuple[str, ...]]:
    open_ = next((one for one in sets if not one & chosen), None)
    if open_ is None:
        yield tuple(name for name in NAMES if chosen >> PLACE[name] & 1)
        return
    if left:
        for name in NAMES:
            if open_ >> PLACE[name] & 1:
                yield from _hits(sets, chosen | 1 << PLACE[name], left - 1)
