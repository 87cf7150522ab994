"""Which single swatch to knit next: the one that leaves the girth of what would be knitted least unsure. Exact."""

from collections.abc import Mapping, Sequence
from math import sqrt
from typing import NamedTuple

from catalog.figure import figure
from catalog.kit import Kit
from catalog.units import half_up, length_text
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.gauging.doubt import setting_words
from solver.gauging.gaussian import Posterior
from solver.gauging.observation import Sds, count_noise, sds, swatches
from solver.gauging.posterior import by_setting, learned
from solver.gauging.prior import Prior, Setting, whole
from solver.gauging.table import words
from solver.model.ask import Ask, Way
from solver.model.rule import broken
from solver.model.setup import Setup
from solver.plan.in_plain import mm
from solver.report.gauge import GaugeReport, NextSwatch
from solver.rules import RULES
from solver.search.best_first import find
from solver.search.windows import boards_a_side

FOUR_IN_UM = 101_600


class Next(NamedTuple):
    """A swatch worth knitting: mean girth spread of the targets (sd of ln for a new piece, ppm) after and before it."""

    after_ppm: int
    before_ppm: int
    setting: Setting


def best_next(
    kit: Kit, candidates: Sequence[Setting], targets: Sequence[Setting], weights: Sequence[float] = ()
) -> list[Next]:
    """Every candidate, the most telling first; equal to the ppm, by setting. Empty without targets or candidates.

    `targets` are the settings of the options wanted most, `weights` how much each counts (default: all the same).
    How sure one will be does not depend on what the swatch will show, only on the stitches counted: as many as the
    guess puts into 4 in. Settings whose yarn has no wraps per inch teach no other and are left out.
    """
    guess, sd = Prior(kit), sds(kit)
    wide = learned(kit, guess, sd, by_setting(swatches(kit, sd)))[0]
    share = dict[Setting, float]()
    for target, weight in zip(targets, weights or [1.0] * len(targets), strict=True):
        if guess.stitch_um(target) is not None:
            share[target] = share.get(target, 0.0) + weight
    widths = {option: um[0] for option in sorted(set(candidates)) if (um := guess.stitch_um(option)) is not None}
    wanted = sorted(share)
    if not widths or sum(share.values()) <= 0:
        return []
    shares = [share[t] for t in wanted]
    before = _spread([t.variance for t in wide.at(wanted)], shares, sd)
    left = zip(widths, _variances_after(wide, sd, widths, wanted), strict=True)
    return sorted(Next(_spread(variances, shares, sd), before, option) for option, variances in left)


def _variances_after(
    wide: Posterior, sd: Sds, widths: Mapping[Setting, float], wanted: Sequence[Setting]
) -> list[list[float]]:
    """For each setting of `widths` (its guessed stitch width, µm), the variances left at the wanted ones after it."""
    options, now = list(widths), [t.variance for t in wide.at(wanted)]
    after = []
    for option, told, row in zip(options, wide.at(options), wide.covariance(options, wanted), strict=True):
        noise = count_noise(max(1, whole(FOUR_IN_UM / widths[option])), sd)
        after.append(
            [max(v - c * c / (told.variance + noise**2 + sd.piece**2), 0.0) for v, c in zip(now, row, strict=True)]
        )
    return after


def _spread(variances: Sequence[float], share: Sequence[float], sd: Sds) -> int:
    """Weighted mean sd of a new piece, ppm."""
    total = sum(sqrt(v + sd.piece**2) * w for v, w in zip(variances, share, strict=True))
    return whole(1e6 * total / sum(share))


FABRIC = {"yarn-suits-pitch", "not-jammed", "not-flimsy"}  # laws that forbid to knit a swatch at all


def with_next(report: GaugeReport, kit: Kit, wish: Wish, seconds: float | None = None) -> GaugeReport:
    """The report with the swatch to knit next for a wish, weighed for its best option: that one would be knitted.

    Its spread now is the one that it is shown with, wider where its swatches contradict each other; after it is that of
    swatches that agree.
    """
    ask = ask_of(kit, wish)
    found = find(ask, 1, seconds=seconds)
    best = next(iter(found.options), None)
    able = [setting_at(w, ask) for w in ask.ways if can_be_knitted(ask, w)]
    ranked = best_next(kit, able, [setting_at(best.setup.way, ask)]) if best else []
    notes = list(report.notes)
    if best is None:
        notes.append(f"no setup of this kit makes that {wish.item}: `pegwright find` says why")
    if not found.complete:
        notes.append("time ran out: the option that the next swatch is chosen for may not be the best")
    if best is None or not ranked:
        return report.model_copy(update={"notes": notes})
    first, girth, before_ppm = ranked[0], best.setup.pieces[0].girth_um, best.setup.way.width_ppm
    now, after = (half_up(figure("mean_miss") * ppm * girth / 1_000_000) for ppm in (before_ppm, first.after_ppm))
    following = NextSwatch(
        **words(first.setting),  # type: ignore[arg-type]
        item=wish.item,
        spread_now_pct=round(before_ppm / 10_000, 2),
        spread_after_pct=round(first.after_ppm / 10_000, 2),
        girth_miss_now_mm=mm(now),
        girth_miss_after_mm=mm(after),
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


def next_line(best: NextSwatch, unit: str) -> str:
    """The swatch to knit next as a sentence, with the misses that are likely before and after it."""
    at = Setting(best.loom, best.spacers, best.yarn, best.strands, best.stitch)
    step, places = (254, 2) if unit == "in" else (1_000, 1)  # what is told apart, µm
    was, then = (round(1000 * um / step) * step for um in (best.girth_miss_now_mm, best.girth_miss_after_mm))
    now, after, less = (length_text(um, unit, places=places) for um in (was, then, was - then))
    return (
        f"Knit next: {setting_words(at)}. The girth of the best {best.item} is likely to miss by {now} as things "
        f"are, by {after} with that swatch: {less} less (its spread {best.spread_now_pct:.1f} %, then "
        f"{best.spread_after_pct:.1f} %)."
    )
