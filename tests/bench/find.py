"""Bench of the search: `python -m tests.bench.find`. Prints medians side by side; never judged by CI."""

import statistics
import time
from collections.abc import Callable

from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.search.best_first import cells_of, find
from tests.bench.kit import bench_kit

WISH = Wish("hat", around_um=533_400, unit="in")


def median_ms(work: Callable[[], object], rounds: int = 15) -> float:
    """Median wall time of `work` in ms, after one warm-up."""
    work()
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - start))
    return statistics.median(times)


def main() -> None:
    """Print the medians and what each part is of the whole."""
    kit = bench_kit()
    ask = ask_of(kit, WISH)
    found = find(ask, 20)
    whole = median_ms(lambda: find(ask_of(kit, WISH), 20))
    parts = {"ask": median_ms(lambda: ask_of(kit, WISH)), "bounds": median_ms(lambda: cells_of(ask))}
    print(f"{len(ask.ways)} ways, {found.cells} cells open to arithmetic, {found.opened} opened by CP-SAT")
    print(f"find, top 20: {whole:.0f} ms (bar 100)")
    for name, ms in parts.items():
        print(f"  {name}: {ms:.0f} ms, {ms / whole:.2f} of the whole")
    print(f"  find, top 1: {median_ms(lambda: find(ask, 1)) / whole:.2f} of the whole")


if __name__ == "__main__":
    main()
