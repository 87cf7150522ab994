"""What a loom must break to put so many pegs in work: boards that are not on hand, spacers short, pegs it has not.

Everything here depends on the loom, its spacer setting and the demands of a piece on the peg count, never on a yarn.
"""

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache, reduce
from operator import or_
from typing import NamedTuple

from catalog.item import kinds
from solver.model.ask import FAR_PEGS, Ask, LoomAsk, Way
from solver.rules.reading import lacks_of
from solver.search.frames import front_of, fronts
from solver.why.violations import bit

BOARDS, PEGS, STOCK, SETTING = (
    bit("boards-on-hand"), bit("pegs-on-loom"), bit("spacers-on-hand", "stock"), bit("spacers-on-hand", "setting"),
)  # fmt: skip
RIB, NO_RIB = bit("whole-repeats", "rib"), bit("whole-repeats", "none")


class Assembly(NamedTuple):
    """One way to stand: what it breaks, boards to buy, spacers short, pegs off what the loom offers."""

    mask: int
    missing: int
    short: int
    off: int


@dataclass(slots=True)
class Assemblies:
    """A loom at one spacer setting: for every peg count the ways to stand, and the counts by what they break."""

    loom: LoomAsk
    spacers: int
    stands: dict[int, tuple[Assembly, ...]]
    classes: list[tuple[int, list[int]]]
    every: int  # all that some peg count breaks
    _allowed: dict[int, tuple[int, ...]] = field(default_factory=dict)

    def counts(self, allowed: int) -> tuple[int, ...]:
        """The peg counts, in order, that break nothing outside `allowed`."""
        key = allowed & self.every
        if key not in self._allowed:
            self._allowed[key] = tuple(sorted({n for m, ns in self.classes if m & key == m for n in ns}))
        return self._allowed[key]

    def at(self, n: int, allowed: int) -> list[Assembly]:
        """The ways to stand with n pegs that break nothing outside `allowed`."""
        return [s for s in self.stands[n] if s.mask & allowed == s.mask]

    def offered(self, bought: bool) -> list[int]:
        """The peg counts in reach, in order; `bought`: with boards that are not on hand."""
        most = BOARDS if bought else 0
        return [n for n, each in self.stands.items() if any(s.mask & most == s.mask for s in each)]


def assemblies_of(ask: Ask, i: int, way: Way) -> Assemblies:
    """The Assemblies of a way's loom at its spacer setting for piece i."""
    if ("demands", i) not in ask.read:
        piece = ask.pieces[i]
        ask.read["demands", i] = _demands(tuple(lacks_of(ask, i).items()), piece.repeat, piece.edge)
    return _assemblies(way.loom, way.spacers, ask.pieces[i].flat, ask.read["demands", i])


@lru_cache(maxsize=1024)
def _assemblies(loom: LoomAsk, spacers: int, flat: bool, demands: tuple[int, ...]) -> Assemblies:
    stands = stands_of(loom, spacers, flat)
    found: dict[int, list[int]] = {}
    for n, each in stands.items():
        for mask in {s.mask for s in each}:
            found.setdefault(mask | demands[n], []).append(n)
    classes = sorted(found.items(), key=lambda item: (item[0].bit_count(), item[0]))
    return Assemblies(loom, spacers, stands, classes, every=reduce(or_, found, 0))


@lru_cache(maxsize=1024)
def stands_of(loom: LoomAsk, spacers: int, flat: bool) -> dict[int, tuple[Assembly, ...]]:
    """For every peg count its ways to stand; where none breaks nothing, also those with pegs that the loom has not."""
    each = fronts(loom, flat, bought=True)
    whole = front_of(point for front in each.values() for point in front)  # what it needs whatever its pegs
    made = {front: tuple(_stand(loom, spacers, m, b) for m, b in front) for front in {*each.values(), whole}}
    least = made[whole]
    stands = {n: made[each[n]] if n in each else () for n in range(1, FAR_PEGS + 1)}
    reach = {
        s.mask: sorted(n for n, each in stands.items() if any(o.mask & s.mask == o.mask for o in each)) for s in least
    }
    return {
        n: each if any(not s.mask for s in each) else _minimal(
            (*each, *(s._replace(mask=s.mask | PEGS, off=_off(reach[s.mask], n)) for s in least))
        )
        for n, each in stands.items()
    }  # fmt: skip


def _stand(loom: LoomAsk, spacers: int, missing: int, used: int) -> Assembly:
    short = max(0, spacers * loom.bolts_per_board * used - loom.spacers_on_hand)
    return Assembly((BOARDS if missing else 0) | (STOCK if short else 0), missing, short, 0)


def _minimal(stands: Iterable[Assembly]) -> tuple[Assembly, ...]:
    """The ways to stand that no other is at most equal to in all."""
    each = sorted(set(stands), key=lambda s: (s.mask.bit_count(), s))
    return tuple(s for s in each if not any(o != s and _within(o, s) for o in each))


def _within(one: Assembly, other: Assembly) -> bool:
    return one.mask & other.mask == one.mask and all(a <= b for a, b in zip(one[1:], other[1:], strict=True))


def _off(offered: list[int], n: int) -> int:
    """How far a count is from the nearest of those offered."""
    i = bisect_left(offered, n)
    return min((abs(m - n) for m in offered[max(i - 1, 0) : i + 1]), default=FAR_PEGS)


@lru_cache(maxsize=256)
def _demands(lacks: tuple[tuple[str, tuple[int, ...]], ...], repeat: int, edge: int) -> tuple[int, ...]:
    """What each peg count breaks by itself: the rules that ask for whole repeats or pairs, read off their gaps."""
    masks = [0] * (FAR_PEGS + 1)
    for rule, each in lacks:
        for n, lack in enumerate(each):
            if lack:
                masks[n] |= _side(rule, n - edge, repeat)
    return tuple(masks)


def _side(rule: str, fabric: int, repeat: int) -> int:
    """The bit of a rule broken at some pegs; of repeats, whether another rib of the catalogue would repeat there."""
    if rule != "whole-repeats":
        return bit(rule)
    return RIB if any(fabric % other == 0 for other in _repeats() - {repeat}) else NO_RIB


@lru_cache(maxsize=1)
def _repeats() -> frozenset[int]:
    """The lengths of the repeats of the catalogue's ribs, in pegs."""
    return frozenset(len(k.pattern) for k in kinds().values() if k.rib)
