"""Jobs on looms alike, in an order with the fewest changes: exact where they are few, a good order and a bound else.

A job may be done with the loom standing in several ways (a chain: how it stands first and last, and what changes in
between). Costs are changes, with boards and idle pegs as what settles between equals.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np

CHANGE = 10**8  # a change counts more than all boards and idle pegs of a plan
EXACT_JOBS, EXACT_STEPS = 11, 200_000
FAR = 1 << 60


@dataclass(frozen=True, slots=True)
class Costs:
    """What each chain costs first of all (`first`) and after each other (`after[i][j]`: j after i); whose chain it is.

    `free`: how a loom stands is not known, so that its first job changes nothing.
    """

    owner: tuple[int, ...]
    first: tuple[int, ...]
    after: tuple[tuple[int, ...], ...]
    free: bool


@dataclass(frozen=True, slots=True)
class Orders:
    """For each loom the chains in order, each with how many of its jobs; the changes in all, and a bound of them."""

    looms: tuple[tuple[tuple[int, int], ...], ...]
    changes: int
    bound: int


def ordered(costs: Costs, counts: Sequence[int], looms: int, turns: int | None) -> Orders:
    """The jobs (`counts` of each kind) shared out to looms alike, each worked at most `turns` times, and put in order.

    There is room: the counts together are at most looms × turns.
    """
    kinds = len(counts)
    if kinds <= EXACT_JOBS:
        try:
            return _exact(costs, tuple(counts), looms, turns)
        except _TooManyWays:
            pass
    return _fair(costs, counts, looms, turns)


class _TooManyWays(Exception):
    """More ways to share out than are tried."""


def _exact(costs: Costs, counts: tuple[int, ...], looms: int, turns: int | None) -> Orders:
    """Every share for every loom, each in its best order. Raises _TooManyWays."""
    best = _BestPaths(costs, len(counts))
    room = sum(counts) if turns is None else turns
    whole = tuple(min(1, c) for c in counts) if turns is None else counts  # without turns no kind is ever split
    steps = 0

    @cache
    def fewest(left: tuple[int, ...], more: int) -> tuple[int, tuple[tuple[int, ...], ...]]:
        nonlocal steps
        if not any(left):
            return 0, ()
        if more == 0 or (turns is not None and sum(left) > more * room):
            return FAR, ()
        found: tuple[int, tuple[tuple[int, ...], ...]] = (FAR, ())
        for share in _shares(left, room):
            steps += 1
            if steps > EXACT_STEPS:
                raise _TooManyWays
            cost = best.cost[sum(1 << k for k, c in enumerate(share) if c)]
            rest, others = fewest(tuple(a - b for a, b in zip(left, share, strict=True)), more - 1)
            found = min(found, (cost + rest, (share, *others)), key=lambda each: each[0])
        return found

    cost, shares = fewest(whole, looms)
    if turns is None:
        shares = tuple(tuple(counts[k] if c else 0 for k, c in enumerate(share)) for share in shares)
    paths = (best.path(sum(1 << k for k, c in enumerate(share) if c)) for share in shares)
    in_order = tuple(
        tuple((chain, share[costs.owner[chain]]) for chain in path) for path, share in zip(paths, shares, strict=True)
    )
    return Orders(in_order, cost // CHANGE, cost // CHANGE)


def _shares(left: tuple[int, ...], room: int) -> list[tuple[int, ...]]:
    """What one loom may take of what is left: the first kind that is left at least once, since looms are alike."""
    first = next(k for k, c in enumerate(left) if c)
    found: list[tuple[int, ...]] = []

    def further(k: int, taken: tuple[int, ...], more: int) -> None:
        if k == len(left):
            found.append(taken)
            return
        least = 1 if k == first else 0
        for count in range(min(left[k], more), least - 1, -1):
            further(k + 1, (*taken, count), more - count)

    further(0, (), room)
    return found


class _BestPaths:
    """The best order of every set of kinds on one loom, set by set (Held and Karp), chains chosen too."""

    def __init__(self, costs: Costs, kinds: int) -> None:
        own = [np.array([i for i, k in enumerate(costs.owner) if k == kind], dtype=int) for kind in range(kinds)]
        after, first = np.array(costs.after, dtype=np.int64), np.array(costs.first, dtype=np.int64)
        chains = len(costs.owner)
        self.reach = np.full((1 << kinds, chains), FAR, dtype=np.int64)
        self.before = np.full((1 << kinds, chains), -1, dtype=np.int64)
        self.owner = costs.owner
        for kind in range(kinds):
            self.reach[1 << kind, own[kind]] = first[own[kind]]
        for seen in range(1, 1 << kinds):
            here = [i for kind in range(kinds) if seen >> kind & 1 for i in own[kind]]
            for kind in range(kinds):
                if not seen >> kind & 1:
                    each: Any = self.reach[seen, here][:, None] + after[np.ix_(here, own[kind])]
                    self.reach[seen | 1 << kind, own[kind]] = each.min(axis=0)
                    self.before[seen | 1 << kind, own[kind]] = [here[i] for i in each.argmin(axis=0)]
        self.cost = [0, *(int(self.reach[seen].min()) for seen in range(1, 1 << kinds))]

    def path(self, seen: int) -> list[int]:
        """The chains of a set of kinds in their best order."""
        chain, found = int(self.reach[seen].argmin()), []
        while chain >= 0:
            found.append(chain)
            chain, seen = int(self.before[seen, chain]), seen & ~(1 << self.owner[chain])
        return found[::-1]


def _fair(costs: Costs, counts: Sequence[int], looms: int, turns: int | None) -> Orders:
    """Nearest next, then cut where a fresh loom saves most, or where the turns are used up."""
    path: list[int] = []
    left = set(range(len(counts)))
    while left:
        each = costs.after[path[-1]] if path else costs.first
        chain = min((each[i], i) for i, k in enumerate(costs.owner) if k in left)[1]
        path.append(chain)
        left.discard(costs.owner[chain])
    counted = [(chain, counts[costs.owner[chain]]) for chain in path]
    shares = _cut(costs, counted, looms) if turns is None else _dealt(counted, turns)
    cost = sum(_cost(costs, [chain for chain, _ in share]) for share in shares)
    return Orders(
        tuple(tuple(share) for share in shares), cost // CHANGE, min(cost // CHANGE, unavoidable(costs, looms))
    )


def _cut(costs: Costs, path: list[tuple[int, int]], looms: int) -> list[list[tuple[int, int]]]:
    saved = [(costs.after[path[i - 1][0]][path[i][0]] - costs.first[path[i][0]], -i) for i in range(1, len(path))]
    cuts = sorted(-i for gain, i in sorted(saved, reverse=True)[: looms - 1] if gain > 0)
    return [path[a:b] for a, b in zip([0, *cuts], [*cuts, len(path)], strict=True)]


def _dealt(path: list[tuple[int, int]], turns: int) -> list[list[tuple[int, int]]]:
    shares: list[list[tuple[int, int]]] = [[]]
    room = turns
    for chain, count in path:
        while count:
            if room == 0:
                shares.append([])
                room = turns
            taken = min(room, count)
            shares[-1].append((chain, taken))
            room, count = room - taken, count - taken
    return shares


def _cost(costs: Costs, path: Sequence[int]) -> int:
    return costs.first[path[0]] + sum(costs.after[a][b] for a, b in pairwise(path))


def unavoidable(costs: Costs, looms: int) -> int:
    """Changes that no order avoids: each kind comes after the nearest other, or first on a loom as it stands."""
    kinds = sorted(set(costs.owner))
    own = {k: [i for i, o in enumerate(costs.owner) if o == k] for k in kinds}
    nearest = {
        k: min((costs.after[i][j] // CHANGE for i, o in enumerate(costs.owner) if o != k for j in own[k]), default=0)
        for k in kinds
    }
    if costs.free:
        return sum(sorted(nearest.values())[: max(0, len(kinds) - looms)])
    return sum(min(nearest[k], min(costs.first[i] // CHANGE for i in own[k])) for k in kinds)
