"""Bench of the explanations: `python -m tests.bench.bench_whynot`. Prints medians; never judged by CI."""

import sys

from catalog.kit import Kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.ask import Pins
from solver.search import frames
from solver.search.best_first import find
from solver.why import assemblies
from solver.why.check import check
from solver.why.explain import diagnose, explain, rule_plans
from solver.why.nearest import pointed
from solver.why.reask import Asked
from solver.why.sizes import sizes
from solver.why.violations import Minimal
from tests.bench.find import median_ms
from tests.bench.kit import bench_kit

STORIES = {
    "far too large": Wish("hat", around_um=1_533_400, long_um=215_900, unit="in"),
    "girth and length to a µm": Wish(
        "hat", around_um=533_400, long_um=215_900, unit="in", girth_within_um=1, length_within_um=1
    ),
    "band between two rows": Wish("hat", around_um=533_400, unit="in", band=(50_000, 50_010)),
    "an odd count named": Wish("hat", around_um=533_400, unit="in", pins=Pins(pegs=81)),
    "measured, two strands": Wish("hat", around_um=533_400, unit="in", measured_only=True, pins=Pins(strands=2)),
}
HAT = Wish("hat", body_um=533_400, unit="in")
RUN = "12in,13in,14in,15in,16in,17in,18in,19in,20in,21in,22in,23in"


def forget() -> None:
    """As at the start of a process: nothing kept from an earlier ask."""
    for kept in (assemblies._assemblies, assemblies.loom_assemblies, frames.fronts, frames.offered):
        kept.cache_clear()


def parts(kit: Kit, wish: Wish) -> None:
    """Where the time of one story goes."""
    found = diagnose(kit, wish)
    clash = found.clash
    sets = [mask for of_loom in found.sets_by_loom.values() for mask in of_loom]
    asked = Asked.of(kit, wish, found.ask, found.cells)
    each = {
        "limits and correction sets": lambda: diagnose(kit, wish),
        "the clash": lambda: found.clash,
        "nearest setup and ways stopped": lambda: pointed(found.ask, clash),
        "its clauses": lambda: rule_plans(found, clash),
        "repairs asked again": lambda: asked.repairs(Minimal(sets)),
    }
    for what, run in each.items():
        print(f"    {what}: {median_ms(run, 3):.0f} ms")


def main() -> None:
    """Print a clash with its repairs for each story, a run of sizes against one find, and check."""
    kit = bench_kit()
    for name, wish in STORIES.items():
        ask = ask_of(kit, wish)

        def cold(wish: Wish = wish, ask: object = ask) -> None:
            forget()
            explain(kit, wish, ask)  # type: ignore[arg-type]

        print(f"clash and repairs, {name}: {median_ms(cold, 5):.0f} ms (aim 250, worst 600)")
        if "--parts" in sys.argv:
            parts(kit, wish)
    one = median_ms(lambda: find(ask_of(kit, HAT), 5))
    run = median_ms(lambda: sizes(kit, Wish("hat", unit="in"), RUN), 5)
    print(f"sizes, 12 of them: {run:.0f} ms, {run / one:.1f} finds of {one:.0f} ms (bar 6)")
    print(f"check, 6 looms: {median_ms(lambda: check(kit, HAT), 5):.0f} ms")


if __name__ == "__main__":
    main()
