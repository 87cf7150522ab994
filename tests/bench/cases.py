"""What the benches time, a name for each: `python -m tests.bench.cases` prints one line of JSON, medians in ms.

They are processor time, so that whatever else the machine does counts for little. Clashes and `check` start as a new
process would: nothing kept from an earlier ask.
"""

import json
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.ask import Pins
from solver.search.best_first import cells_of, find
from solver.why.check import check
from solver.why.explain import explain
from tests.bench.kit import bench_kit

HAT = Wish("hat", around_um=533_400, unit="in")
MITTENS = Wish("mittens", size="adult-woman", unit="in")
CLASHES = {
    "clash, far too large": Wish("hat", around_um=1_533_400, long_um=215_900, unit="in"),
    "clash, girth and length to a um": replace(HAT, long_um=215_900, girth_within_um=1, length_within_um=1),
    "clash, band between two rows": replace(HAT, band=(50_000, 50_010)),
    "clash, an odd count named": replace(HAT, pins=Pins(pegs=81)),
}


def forget() -> None:
    """Empty every lru_cache of the solver, as at the start of a process."""
    for name, module in list(sys.modules.items()):
        if name.startswith("solver."):
            for kept in vars(module).values():
                clear = getattr(kept, "cache_clear", None)
                if clear:
                    clear()


def cold(work: Callable[[], object]) -> Callable[[], object]:
    """The same work after forgetting."""

    def run() -> object:
        forget()
        return work()

    return run


def cases() -> Iterator[tuple[str, Callable[[], object], int]]:
    """The name, the work and how often: asks, bounds, finds, clashes with their repairs, check."""
    kit = bench_kit()
    yield "ask", lambda: ask_of(kit, HAT), 9
    ask, mittens = ask_of(kit, HAT), ask_of(kit, MITTENS)
    yield "bounds", lambda: cells_of(replace(ask)), 15
    yield "find, top 20", lambda: find(ask_of(kit, HAT), 20), 9
    yield "bounds, mittens", lambda: cells_of(replace(mittens)), 5
    yield "find, mittens", lambda: find(ask_of(kit, MITTENS), 5), 5
    for name, wish in CLASHES.items():
        yield name, cold(partial(explain, kit, wish, ask_of(kit, wish))), 3
    yield "check", cold(lambda: check(kit, HAT)), 3


def median_ms(work: Callable[[], object], rounds: int) -> float:
    """Median processor time of `work` in ms, after one warm-up."""
    work()
    times = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        times.append(1000 * (time.process_time() - start))
    return statistics.median(times)


def main() -> None:
    """One line: {"case": median in ms, …}."""
    print(json.dumps({name: round(median_ms(work, rounds), 2) for name, work, rounds in cases()}))


if __name__ == "__main__":
    main()
