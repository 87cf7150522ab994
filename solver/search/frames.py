"""Which pegs the boards of a frame give, enumerated once: for the search, for the boards to bolt, for explanations."""

from collections.abc import Iterable, Mapping
from functools import lru_cache

from solver.model.ask import FAR_PEGS, FLAT_PEGS, LoomAsk
from solver.model.setup import boards_most

Front = tuple[tuple[int, int], ...]  # (boards missing, boards used), neither of which can be bettered alone


def front_of(points: Iterable[tuple[int, int]]) -> Front:
    """The points that no other is at most equal to in both."""
    best: list[tuple[int, int]] = []
    for missing, used in sorted(set(points)):
        if not best or used < best[-1][1]:
            best.append((missing, used))
    return tuple(best)


@lru_cache(maxsize=128)
def fronts(loom: LoomAsk, flat: bool, bought: bool) -> Mapping[int, Front]:
    """For each peg count that a loom can have: boards missing and boards used, both sides and both ends.

    `bought`: with boards that are not on hand; without, none is missing. A ring or slider has nothing bolted.
    """
    if loom.build == "boards":
        return _frame(loom, flat, bought)
    counts = range(FLAT_PEGS, (loom.pegs_most if loom.build == "ring" else loom.pegs_most // 2) + 1)
    return dict.fromkeys(counts if flat else range(loom.pegs_least, loom.pegs_most + 1, 2), ((0, 0),))


@lru_cache(maxsize=256)
def offered(loom: LoomAsk, flat: bool, bought: bool, boards: int | None) -> tuple[int, ...]:
    """The peg counts in order; `boards` is the most that a side may have, where spacers are short."""
    most = None if boards is None else 2 * boards + (2 if loom.ends else 0)
    each = fronts(loom, flat, bought).items()
    return tuple(sorted(n for n, front in each if most is None or front[-1][1] <= most))


def _frame(loom: LoomAsk, flat: bool, bought: bool) -> dict[int, Front]:
    most = FAR_PEGS if flat else FAR_PEGS // 2
    sides = _sides(loom, most, flat or loom.ends_anywhere, bought)
    if flat or loom.ends_anywhere:
        sides = _longer(sides, most)
    ends = {(e.pegs, max(0, 2 - e.on_hand), 2, loom.along_least(e)) for e in loom.ends if bought or e.on_hand >= 2}
    points: dict[int, set[tuple[int, int]]] = {}
    for k, front in sides.items():
        for pegs, lacks, used, apart in ends if loom.ends else {(0, 0, 0, 1)}:
            n = k if flat else 2 * (k + pegs)
            if n <= FAR_PEGS and k >= (FLAT_PEGS if flat else apart):
                # two of each: what one side lacks was counted for both
                points.setdefault(n, set()).update((m + lacks, 2 * b + used) for m, b in front)
    return {n: front_of(each) for n, each in points.items()}


def _sides(loom: LoomAsk, most_pegs: int, over: bool, bought: bool) -> dict[int, Front]:
    """For each length of a side in pegs, its fronts for one side; `over`: longer sides count as `most_pegs`."""
    far, have = boards_most(loom, True), boards_most(loom, False)
    sums: dict[int, Front] = {0: ((0, 0),)}
    for board in loom.boards:
        grown: dict[int, set[tuple[int, int]]] = {s: set(front) for s, front in sums.items()}
        for s, front in sums.items():
            for c in range(1, (far if bought else min(have, board.on_hand // 2)) + 1):
                size = s + c * board.pegs
                if size > most_pegs and not over:
                    break
                lacks, points = max(0, 2 * c - board.on_hand), grown.setdefault(min(size, most_pegs), set())
                points |= {(m + lacks, b + c) for m, b in front if b + c <= (far if m + lacks else have)}
                if size > most_pegs:
                    break
        sums = {s: front_of(points) for s, points in grown.items() if points}
    del sums[0]
    return sums


def _longer(sides: Mapping[int, Front], most: int) -> dict[int, Front]:
    """For each count of pegs the fronts of all sides at least as long."""
    best: dict[int, Front] = {}
    front: Front = ()
    for k in range(most, 0, -1):
        front = front_of((*front, *sides.get(k, ())))
        if front:
            best[k] = front
    return best
