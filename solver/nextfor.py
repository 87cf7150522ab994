"""Which swatch to knit next for an ask: the one that leaves the girths of its best options least unsure."""

from catalog.kit import Kit
from solver.ask import Ask, Way
from solver.asking import ask_of
from solver.gauge import Setting
from solver.gaugetable import GaugeReport, NextSwatch, words
from solver.nextswatch import best_next
from solver.reach import boards_a_side
from solver.rule import broken
from solver.rules import RULES
from solver.search import find
from solver.setup import Setup
from solver.wish import Wish

FABRIC = {"yarn-suits-pitch", "not-jammed", "not-flimsy"}  # laws that forbid to knit a swatch at all


def with_next(report: GaugeReport, kit: Kit, wish: Wish, top: int, seconds: float | None = None) -> GaugeReport:
    """The report with the swatch to knit next for a wish, weighed for its `top` best options."""
    ask = ask_of(kit, wish)
    found = find(ask, top, seconds=seconds)
    targets = [setting_at(o.setup.way, ask) for o in found.options]
    ranked = best_next(kit, [setting_at(w, ask) for w in ask.ways if can_be_knitted(ask, w)], targets)
    notes = list(report.notes)
    if not targets:
        notes.append(f"no setup of this kit makes that {wish.item}: `pegwright find` says why")
    if not found.complete:
        notes.append("time ran out: the options that the next swatch is chosen for may not be the best")
    if not ranked:
        return report.model_copy(update={"notes": notes})
    best = ranked[0]
    following = NextSwatch(
        **words(best.setting),  # type: ignore[arg-type]
        item=wish.item,
        options=len(targets),
        spread_now_pct=round(best.before_ppm / 10_000, 2),
        spread_after_pct=round(best.after_ppm / 10_000, 2),
    )
    return report.model_copy(update={"next_swatch": following, "notes": notes})


def setting_at(way: Way, ask: Ask) -> Setting:
    """The setting that a way knits plain fabric at."""
    return Setting(way.loom.name, way.spacers, way.yarn, way.strands, ask.stitch)


def can_be_knitted(ask: Ask, way: Way) -> bool:
    """Whether a swatch of it can be knitted: the fabric holds, and the spacers reach for one board a side."""
    boards = boards_a_side(ask, way)
    laws = (r for r in RULES if r.name in FABRIC)
    return (boards is None or boards >= 1) and not broken(laws, Setup.bare(ask, [way] * len(ask.pieces)))
