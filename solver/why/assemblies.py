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
from solver.why.violations import Minimal, bit

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
class LoomAssemblies:
    """A loom at one spacer setting: what every peg count breaks at the least, and its ways to stand when asked."""

    made: dict[int, tuple[Assembly, ...]]  # with boards bought; no entry where no boards give so many pegs
    least: tuple[Assembly, ...]  # what the loom needs whatever its pegs
    masks: dict[int, frozenset[int]]  # minimal sets of breaks, pegs that it has not among them
    _known: dict[int, tuple[Assembly, ...]] = field(default_factory=dict)
    _reach: dict[int, list[int]] = field(default_factory=dict)

    def at(self, n: int) -> tuple[Assembly, ...]:
        """The ways to stand with n pegs; where none breaks nothing, also those with pegs that the loom has not."""
        if n not in self._known:
            each = self.made.get(n, ())
            if all(s.mask for s in each):
                each = _minimal(
                    (*each, *(s._replace(mask=s.mask | PEGS, off=self._off(s.mask, n)) for s in self.least))
                )
            self._known[n] = each
        return self._known[n]

    def _off(self, mask: int, n: int) -> int:
        """How far n pegs are from the nearest count that breaks nothing outside `mask`."""
        if mask not in self._reach:
            self._reach[mask] = sorted(m for m, each in self.made.items() if any(s.mask & mask == s.mask for s in each))
        offered = self._reach[mask]
        i = bisect_left(offered, n)
        return min((abs(m - n) for m in offered[max(i - 1, 0) : i + 1]), default=FAR_PEGS)


@dataclass(slots=True)
class Assemblies:
    """A loom at one spacer setting, for a piece: its ways to stand, and the peg counts by what they break."""

    loom: LoomAssemblies
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
        return [s for s in self.loom.at(n) if s.mask & allowed == s.mask]

    def offered(self, bought: bool) -> list[int]:
        """The peg counts in reach, in order; `bought`: with boards that are not on hand."""
        most = BOARDS if bought else 0
        return [n for n, masks in self.loom.masks.items() if any(mask & most == mask for mask in masks)]


def assemblies_of(ask: Ask, i: int, way: Way) -> Assemblies:
    """The Assemblies of a way's loom at its spacer setting for piece i, looked up once for all its yarns."""
    key = ("assemblies", i, way.loom.name, way.spacers)
    if key not in ask.read:
        piece = ask.pieces[i]
        demands = _demands(tuple(lacks_of(ask, i).items()), piece.repeat, piece.edge)
        ask.read[key] = _assemblies(way.loom, way.spacers, piece.flat, demands)
    found: Assemblies = ask.read[key]
    return found


@lru_cache(maxsize=1024)
def _assemblies(loom: LoomAsk, spacers: int, flat: bool, demands: tuple[int, ...]) -> Assemblies:
    made = loom_assemblies(loom, spacers, flat)
    found: dict[int, list[int]] = {}
    for n, masks in made.masks.items():
        for mask in masks:
            found.setdefault(mask | demands[n], []).append(n)
    classes = sorted(found.items(), key=lambda item: (item[0].bit_count(), item[0]))
    return Assemblies(made, classes, every=reduce(or_, found, 0))


@lru_cache(maxsize=1024)
def loom_assemblies(loom: LoomAsk, spacers: int, flat: bool) -> LoomAssemblies:
    """How a loom may stand at a spacer setting.

    What some pegs break follows from their front alone, and fronts are few; each way to stand is worked out for the
    pegs that are asked about, since most of four hundred never are.
    """
    each = fronts(loom, flat, bought=True)
    points = (point for front in each.values() for point in front)
    whole = front_of(points) or ((0, 0),)  # of a loom that can stand no way at all, its pegs are what is wrong
    stands = {front: tuple(_stand(loom, spacers, m, b) for m, b in front) for front in {*each.values(), whole, ()}}
    least = stands[whole]
    beyond = [s.mask | PEGS for s in least]
    breaks = {front: frozenset(Minimal([*(s.mask for s in some), *beyond])) for front, some in stands.items()}
    masks = {n: breaks[each.get(n, ())] for n in range(1, FAR_PEGS + 1)}
    return LoomAssemblies({n: stands[front] for n, front in each.items()}, least, masks)


def _stand(loom: LoomAsk, spacers: int, missing: int, used: int) -> Assembly:
    short = max(0, spacers * loom.bolts_per_board * used - loom.spacers_on_hand)
    return Assembly((BOARDS if missing else 0) | (STOCK if short else 0), missing, short, 0)


def _minimal(stands: Iterable[Assembly]) -> tuple[Assembly, ...]:
    """The ways to stand that no other is at most equal to in all."""
    each = sorted(set(stands), key=lambda s: (s.mask.bit_count(), s))
    return tuple(s for s in each if not any(o != s and _within(o, s) for o in each))


def _within(one: Assembly, other: Assembly) -> bool:
    return one.mask & other.mask == one.mask and all(a <= b for a, b in zip(one[1:], other[1:], strict=True))


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
