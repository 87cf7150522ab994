"""The one swatch that would leave the pieces of a plan least unsure."""

from collections import Counter
from collections.abc import Iterable, Sequence

from catalog.kit import Kit
from solver.gauging.table import words
from solver.many.jobs import Served
from solver.model.ask import Ask
from solver.plan.next_swatch import best_next, can_be_knitted, setting_at
from solver.report.batch import SwatchPlan


def helpful_swatch(kit: Kit, asks: Iterable[Ask], served: Sequence[Served]) -> SwatchPlan | None:
    """The swatch to knit for what is assigned, each piece counting once; None where nothing is, or nothing helps."""
    wanted = Counter(setting_at(s.line.way, s.line.ask) for s in served)
    if not wanted:
        return None
    ways = {setting_at(way, ask): (way, ask) for ask in _unlike(asks) for way in ask.ways}
    may = [setting for setting, (way, ask) in ways.items() if can_be_knitted(ask, way)]
    targets = sorted(wanted)
    ranked = best_next(kit, may, targets, [float(wanted[t]) for t in targets])
    if not ranked or ranked[0].after_ppm >= ranked[0].before_ppm:
        return None
    best = ranked[0]
    return SwatchPlan(
        **words(best.setting),  # type: ignore[arg-type]
        pieces=len(served),
        spread_now_pct=round(best.before_ppm / 10_000, 2),
        spread_after_pct=round(best.after_ppm / 10_000, 2),
    )


def _unlike(asks: Iterable[Ask]) -> list[Ask]:
    """One ask for each list of ways: asks that share theirs have the same settings."""
    return list({(id(ask.ways), len(ask.pieces), ask.stitch): ask for ask in asks}.values())
