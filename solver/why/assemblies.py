"""What a loom must break to put so many pegs in work: boards that are not on hand, spacers short, pegs it has not.

Everything here depends on the loom, its spacer setting and the demands of a piece on the peg count, never on a yarn.
"""

from bisect import bisect_left
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from catalog.item import kinds
from solver.model.ask import FAR_PEGS, LoomAsk, PieceAsk
from solver.model.setup import boards_most
from solver.why.violations import bit, bits

BOARDS, PEGS, STOCK, SETTING = (
    bit("boards-on-hand"), bit("pegs-on-loom"), bit("spacers-on-hand", "stock"), bit("spacers-on-hand", "setting"),
)  # fmt: skip
RIB, NO_RIB, EVEN = bit("whole-repeats", "rib"), bit("whole-repeats", "none"), bit("even-pegs")
PAIRS = bit("opening-pairs")
PIN_LEAST, PIN_MOST = bit("pin-pegs", "least"), bit("pin-pegs", "most")
STATIC = bits(
    "boards-on-hand", "pegs-on-loom", "spacers-on-hand", "whole-repeats", "even-pegs", "opening-pairs", "pin-pegs"
)

Front = tuple[tuple[int, int], ...]  # (boards missing, boards used), neither of which can be bettered alone


class Assembly(NamedTuple):
    """One way to stand: what it breaks, boards to buy, spacers short, pegs off what the loom offers."""

    mask: int
    missing: int
    short: int
    off: int


def _front(points: Iterable[tuple[int, int]]) -> Front:
    best: list[tuple[int, int]] = []
    for missing, used in sorted(set(points)):
        if not best or used < best[-1][1]:
            best.append((missing, used))
    return tuple(best)


def _sides(loom: LoomAsk, most_pegs: int, over: bool) -> dict[int, Front]:
    """For each length of a side in pegs, its fronts for one side; `over`: longer sides count as `most_pegs`."""
    far, have = boards_most(loom, True), boards_most(loom, False)
    sums: dict[int, Front] = {0: ((0, 0),)}
    for board in loom.boards:
        grown: dict[int, set[tuple[int, int]]] = {s: set(front) for s, front in sums.items()}
        for s, front in sums.items():
            for c in range(1, far + 1):
                size = s + c * board.pegs
                if size > most_pegs and not over:
                    break
                lacks, points = max(0, 2 * c - board.on_hand), grown.setdefault(min(size, most_pegs), set())
                points |= {(m + lacks, b + c) for m, b in front if b + c <= (far if m + lacks else have)}
                if size > most_pegs:
                    break
        sums = {s: _front(points) for s, points in grown.items() if points}
    del sums[0]
    return sums


def _longer(sides: Mapping[int, Front], most: int) -> dict[int, Front]:
    """For each count of pegs the fronts of all sides at least as long."""
    best: dict[int, Front] = {}
    front: Front = ()
    for k in range(most, 0, -1):
        front = _front((*front, *sides.get(k, ())))
        if front:
            best[k] = front
    return best


@lru_cache(maxsize=64)
def frame_fronts(loom: LoomAsk, flat: bool) -> dict[int, Front]:
    """For each peg count that some boards give: boards missing and boards used, both sides and both ends."""
    most = FAR_PEGS if flat else FAR_PEGS // 2
    sides = _sides(loom, most, flat or loom.ends_anywhere)
    if flat or loom.ends_anywhere:
        sides = _longer(sides, most)
    ends = {(e.pegs, max(0, 2 - e.on_hand), 2) for e in loom.ends} or {(0, 0, 0)}
    points: dict[int, set[tuple[int, int]]] = {}
    for k, front in sides.items():
        for pegs, lacks, used in ends:
            n = k if flat else 2 * (k + pegs)
            if n <= FAR_PEGS:
                # two of each: what one side lacks was counted for both
                points.setdefault(n, set()).update((m + lacks, 2 * b + used) for m, b in front)
    return {n: _front(each) for n, each in points.items()}


class Demand(NamedTuple):
    """What a piece demands of the peg count itself."""

    repeat: int
    edge: int
    even: bool
    picked_up: bool
    flat: bool
    pinned: int | None

    @staticmethod
    def of(piece: PieceAsk, pinned: int | None) -> "Demand":
        """The demands of a piece; `pinned` pegs for the main piece only."""
        return Demand(piece.repeat, piece.edge, piece.even, piece.picked_up, piece.flat, pinned)


@dataclass(slots=True)
class Assemblies:
    """A loom at one spacer setting: for every peg count the ways to stand, and the counts by what they break."""

    loom: LoomAsk
    spacers: int
    stands: dict[int, tuple[Assembly, ...]]
    classes: list[tuple[int, list[int]]]
    _allowed: dict[int, tuple[int, ...]] = field(default_factory=dict)

    def counts(self, allowed: int) -> tuple[int, ...]:
        """The peg counts, in order, that break nothing outside `allowed`."""
        key = allowed & STATIC
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


@lru_cache(maxsize=1024)
def standing(loom: LoomAsk, spacers: int, demand: Demand) -> Assemblies:
    """The Assemblies of a loom at a spacer setting for a piece of such demands."""
    stands = _stands(loom, spacers, demand.flat)
    demands = _demands(demand)
    found: dict[int, list[int]] = {}
    for n, each in stands.items():
        for mask in {s.mask for s in each}:
            found.setdefault(mask | demands[n], []).append(n)
    return Assemblies(loom, spacers, stands, sorted(found.items(), key=lambda item: (item[0].bit_count(), item[0])))


@lru_cache(maxsize=1024)
def _stands(loom: LoomAsk, spacers: int, flat: bool) -> dict[int, tuple[Assembly, ...]]:
    """For every peg count its ways to stand; where none breaks nothing, also those with pegs that the loom has not."""
    fronts = frame_fronts(loom, flat) if loom.build == "boards" else _whole(loom, flat)
    made = {
        front: tuple(_stand(loom, spacers, m, b) for m, b in front) for front in {*fronts.values(), _front_of(fronts)}
    }
    least = made[_front_of(fronts)]
    stands = {n: made[fronts[n]] if n in fronts else () for n in range(1, FAR_PEGS + 1)}
    reach = {
        s.mask: sorted(n for n, each in stands.items() if any(o.mask & s.mask == o.mask for o in each)) for s in least
    }
    return {
        n: each if any(not s.mask for s in each) else _minimal(
            (*each, *(s._replace(mask=s.mask | PEGS, off=_off(reach[s.mask], n)) for s in least))
        )
        for n, each in stands.items()
    }  # fmt: skip


def _whole(loom: LoomAsk, flat: bool) -> dict[int, Front]:
    """A ring or slider: nothing bolted."""
    counts = range(1, (loom.pegs_most if loom.build == "ring" else loom.pegs_most // 2) + 1)
    return dict.fromkeys(counts if flat else range(loom.pegs_least, loom.pegs_most + 1, 2), ((0, 0),))


def _front_of(fronts: Mapping[int, Front]) -> Front:
    """The boards that the loom needs at the least, whatever its pegs."""
    return _front(point for front in fronts.values() for point in front)


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


@lru_cache(maxsize=64)
def _demands(demand: Demand) -> dict[int, int]:
    """What each peg count breaks by itself: repeats (whether another rib's would do), pairs, a pinned count."""
    others = {len(k.pattern) for k in kinds().values() if k.rib} - {demand.repeat}
    found = {}
    for n in range(1, FAR_PEGS + 1):
        fabric, mask = n - demand.edge, 0
        if demand.repeat > 1 and fabric % demand.repeat:
            mask = RIB if any(fabric % other == 0 for other in others) else NO_RIB
        if demand.even and n % 2:
            mask |= EVEN
        if demand.picked_up and n % 2:
            mask |= PAIRS
        if demand.pinned is not None and n != demand.pinned:
            mask |= PIN_LEAST if n < demand.pinned else PIN_MOST
        found[n] = mask
    return found
