"""Bench of batches: `python -m tests.bench.batch`. Greedy, staged and HiGHS side by side, in processor seconds."""

import resource
import time
from collections.abc import Iterator, Sequence

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_array

from catalog.kit import Frame, Kit, kit_of
from solver.asking.wish import Wish
from solver.many.gather import Asks, Wanted, gather
from solver.many.greedy import chances, greedy
from solver.many.groups import Group
from solver.many.shelf import Shelf, shelf_of, used
from solver.many.staged import staged
from tests.bench.kit import bench_tables

LEAST_UM, MOST_UM = 400_000, 620_000


def rows(count: int, sizes: int) -> list[Wanted]:
    """Hats of so many different girths, as many of each as make the count."""
    girths = [LEAST_UM + (MOST_UM - LEAST_UM) * i // sizes for i in range(sizes)]
    return [Wanted(f"hat {i}", Wish("hat", around_um=girths[i % sizes], unit="in"), row=i + 2) for i in range(count)]


def kit_with(metres: float) -> Kit:
    """The bench kit with so much of each yarn, a little more of every other one."""
    tables = bench_tables()
    for i, yarn in enumerate(tables["yarn"]):
        length = int(yarn["length_per_ball"].removesuffix(" m"))
        yarn["balls"] = round(metres * (0.8 + 0.4 * (i % 2)) / length, 2)
    return kit_of(tables, "the bench kit")


def need_m(wanted: Sequence[Wanted]) -> float:
    """What each would take at its likeliest, m."""
    kit = kit_with(100_000)
    shelf = shelf_of(kit)
    groups = gather(Asks(kit), wanted, shelf).groups
    plan = zip(groups, greedy(groups, shelf), strict=True)
    return sum(used((x, n) for g, own in plan for x, n in zip(g.lines, own, strict=True)).values()) / 1000


def highs(groups: Sequence[Group], shelf: Shelf, seconds: float) -> tuple[float, float]:
    """Value and bound of the first stage by HiGHS."""
    lines = [(g, x) for g, group in enumerate(groups) for x in group.lines]
    yarns = [name for name in shelf.yarns if shelf.bounded(name) is not None]
    table = lil_array((len(groups) + len(yarns), len(lines)))
    for j, (g, line) in enumerate(lines):
        table[g, j] = 1
        if line.way.yarn in yarns:
            table[len(groups) + yarns.index(line.way.yarn), j] = line.taken_mm / 1000
    most = [g.size for g in groups] + [(shelf.bounded(name) or 0) / 1000 for name in yarns]
    found = milp(
        -np.array([line.chance for _, line in lines]),
        integrality=np.ones(len(lines)),
        bounds=Bounds(0, [groups[g].size for g, _ in lines]),
        constraints=LinearConstraint(table.tocsr(), -np.inf, most),
        options={"time_limit": seconds},
    )
    return (0.0 if found.x is None else -found.fun / 10_000), -found.mip_dual_bound / 10_000


def one(wanted: Sequence[Wanted], stock: float, need: float, against: bool = True) -> Iterator[str]:
    """The lines of one batch."""
    kit = kit_with(stock * need / 30)
    shelf = shelf_of(kit)
    start = time.process_time()
    groups = gather(Asks(kit), wanted, shelf).groups
    looked = time.process_time() - start
    stands = frozenset(loom.name for loom in kit.loom if isinstance(loom, Frame) and loom.set_up_as)
    plain = chances(groups, greedy(groups, shelf)) / 10_000
    start = time.process_time()
    shares, stages = staged(groups, shelf, stands)
    solved = time.process_time() - start
    fit = stages[0]
    yield (
        f"{len(wanted)} asks in {len(groups)} groups, {sum(len(g.lines) for g in groups)} lines, "
        f"stock {stock:g} of need: lines {looked:.1f} s, stages {solved:.1f} s"
    )
    yield (
        f"  likely to fit {fit.value / 10_000:.1f}, bound {fit.bound / 10_000:.1f} "
        f"({100 * (fit.bound - fit.value) / fit.bound:.2f} % under), {sum(map(sum, shares))} served; "
        f"greedy {plain:.1f}, {fit.value / 10_000 / plain:.3f} of it"
    )
    score = stages[-1]
    yield f"  score {score.value / 1000:.0f} mm, bound {score.bound / 1000:.0f}"
    if against:
        start = time.process_time()
        value, bound = highs(groups, shelf, 30)
        longer = (time.process_time() - start) / solved
        yield f"  HiGHS, first stage alone: {value:.1f}, bound {bound:.1f}, in {longer:.1f} of the stages' time"


def main() -> None:
    """Print each batch, and the ratio of 1,000 asks to 200."""
    many = rows(200, 200)
    need = need_m(many)
    for stock in (0.7, 1.0, 1.5):
        for line in one(many, stock, need):
            print(line)
    times = []
    for count in (200, 1000):
        alike = rows(count, 20)
        need = need_m(alike)
        start = time.process_time()
        for line in one(alike, 1.0, need, against=False):
            print(line)
        times.append(time.process_time() - start)
    print(f"1,000 asks of 20 sizes take {times[1] / times[0]:.2f} times as long as 200")
    print(f"most memory: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MiB")


if __name__ == "__main__":
    main()
