"""Gauge: swatches in, stitch width, row height and yarn per stitch out, each setting with its basis and spread.

What a swatch teaches other settings is the Gaussian model's (gaussian.py). A doubted swatch teaches none; in its own
setting it counts where the undoubted ones do not outnumber it, with a spread as wide as the contradiction. Swatches of
one setting that scatter beyond their noise widen that setting's spread, no other's.
"""

from collections.abc import Mapping, Sequence, Sized
from dataclasses import dataclass
from itertools import groupby
from math import exp

from catalog.kit import Kit
from solver.gauging.doubt import Doubts, doubts
from solver.gauging.gaussian import Posterior
from solver.gauging.loop_length import loop_ratio, loop_sds, loop_um
from solver.gauging.observation import Foretold, Observation, Sds, ln_ratio, pool, sds, swatches
from solver.gauging.own_size import Counted, Rounded, Size, own_size
from solver.gauging.prior import Prior, Setting, whole
from solver.model.timing import look

LOOK = 2_000  # settings between two looks at the clock: an ask of any usual kit is always made, and can be told


@dataclass(frozen=True, slots=True)
class Gauge:
    """Gauge of one setting: µm of relaxed fabric, yarn in one stitch, spreads (sd of ln for a new piece) in ppm.

    `basis`: "measured" by a swatch of this very setting, "blended" from others, "estimate" where none teaches it.
    """

    width_um: int
    height_um: int
    loop_um: int
    width_ppm: int
    height_ppm: int
    basis: str
    swatched: bool


def gauges(
    kit: Kit, settings: Sequence[Setting], *, pooled: bool = False, doubted: Doubts | None = None
) -> dict[Setting, Gauge]:
    """The gauge of each setting, in the order asked; a setting neither guessable nor swatched is left out.

    A yarn without wraps per inch has no guess: its swatched settings stand alone, by their own counts, and teach no
    other. `pooled`: so does every swatched setting, with no prior. `doubted`: the kit's doubts, where they are known.
    KeyError for a loom or yarn not in the kit.
    """
    guess, sd = Prior(kit), sds(kit)
    doubted = doubts(kit) if doubted is None else doubted
    groups = by_setting(swatches(kit, sd))
    wide, high, ratio = (_at(each, settings) for each in learned(kit, guess, sd, groups, doubted))
    found, spread = dict[Setting, Gauge](), Rounded(sd.piece)
    for setting, told, tall, loop in zip(settings, wide, high, ratio, strict=True):
        if len(found) % LOOK == LOOK - 1:
            look()
        own, um = groups.get(setting, ()), guess.stitch_um(setting)
        if um is None and not own:
            continue
        if own:
            (wide_um, width), (high_um, height) = _swatched(own, um, told, tall, doubted, alone=pooled)
        else:
            (wide_um, high_um), width, height = um or (0.0, 0.0), Size(*told[:2]), Size(*tall[:2])
        w, h = whole(wide_um * exp(width.ln)), whole(high_um * exp(height.ln))
        basis = "measured" if own else "blended" if told.taught else "estimate"
        weighed = [s for s in own if s.place not in doubted.yarn]
        found[setting] = Gauge(
            w, h, loop_um(w, h, setting.stitch, weighed, loop), spread.ppm(width), spread.ppm(height), basis, bool(own)
        )
    return found


def look_of_many(things: Sized) -> None:
    """Raises Undecided when the time is up before something is done for each of so many: of a usual kit it is done."""
    if len(things) > LOOK:
        look()


def _at(learnt: Posterior, settings: Sequence[Setting]) -> list[Foretold]:
    """What one quantity is in each setting."""
    look_of_many(settings)
    return learnt.at(settings)


def _swatched(
    own: Sequence[Observation], um: tuple[float, float] | None, told: Foretold, tall: Foretold, doubted: Doubts, *,
    alone: bool,
) -> tuple[tuple[float, Size], tuple[float, Size]]:  # fmt: skip
    """The reference (the guess, else the first swatch; µm) and size, of width and of height, of a swatched setting."""
    wide, high = um or (float(own[0].width_um), float(own[0].height_um))
    bad = [s.place in doubted.counts for s in own]
    widths = [Counted(ln_ratio(s.width_um, wide), s.width_noise, b) for s, b in zip(own, bad, strict=True)]
    heights = [Counted(ln_ratio(s.height_um, high), s.height_noise, b) for s, b in zip(own, bad, strict=True)]
    return (
        (wide, own_size(widths, told if um else None, alone=alone)),
        (high, own_size(heights, tall if um else None, alone=alone)),
    )


def by_setting(seen: Sequence[Observation]) -> dict[Setting, list[Observation]]:
    """Swatches in their settled order, by setting."""
    return {setting: list(group) for setting, group in groupby(seen, key=lambda s: s.setting)}


def learned(
    kit: Kit, guess: Prior, sd: Sds, groups: Mapping[Setting, Sequence[Observation]], doubted: Doubts | None = None
) -> tuple[Posterior, Posterior, Posterior]:
    """Posteriors of width, of height, and of loop over formula, from every swatched setting that has a guess.

    Doubted swatches teach nothing. Swatches of one setting are pooled first: for a Gaussian that is the same and keeps
    the Cholesky small.
    """
    aside = doubts(kit) if doubted is None else doubted
    wide, high, ratio = [], [], []
    for setting, every in groups.items():
        um, group = guess.stitch_um(setting), [s for s in every if s.place not in aside.counts]
        if um is None or not group:
            continue
        wide.append((setting, *pool((ln_ratio(s.width_um, um[0]), s.width_noise) for s in group)))
        high.append((setting, *pool((ln_ratio(s.height_um, um[1]), s.height_noise) for s in group)))
        loops = ((s, loop_ratio(s)) for s in group if s.place not in aside.yarn)
        weighed = [(ln, s.ratio_noise) for s, ln in loops if ln is not None]
        if weighed:
            ratio.append((setting, *pool(weighed)))
    return Posterior(kit, sd, wide), Posterior(kit, sd, high), Posterior(kit, loop_sds(kit), ratio)
