"""What the swatches of a kit say, in an order that does not depend on the file's, and how unsure each one is."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import hypot, log, sqrt
from typing import NamedTuple

from catalog.figure import figure
from catalog.kit import Kit, Swatch, Yarn
from solver.gauging.prior import Setting

SUREST = 1e-4  # no count is taken as surer than one part in 10 000, so that spreads of 0 in a kit stay solvable


@dataclass(frozen=True, slots=True)
class Sds:
    """Standard deviations of ln (shares of the mean) of every effect; `count` is in stitches or rows.

    `scales_mg`: what the scales may be out by; `weighing_least`: the least noise of yarn weighed or unravelled.
    """

    knitter: float
    loom: float
    yarn: float
    stitch: float
    setting: float
    outside: float
    piece: float = 0.0
    count: float = 0.0
    count_least: float = 0.0
    scales_mg: float = 0.0
    weighing_least: float = 0.0


def sds(kit: Kit) -> Sds:
    """The spreads of the gauge model: the kit's own where it gives them, else figures.toml's (own)."""
    names = ("knitter", "loom", "yarn", "stitch", "setting", "outside", "piece", "count", "count_least")
    return Sds(
        **{name: spread(kit, name) for name in names},
        scales_mg=1000 * spread(kit, "loop_scales_g"),
        weighing_least=spread(kit, "loop_noise_least"),
    )


def spread(kit: Kit, name: str) -> float:
    """One key of the kit's [spreads]; where the kit is silent, the figure of that name, or of spread_ and that name."""
    own = getattr(kit.spreads, name)
    return float(figure(name if name.startswith(("loop_", "outlier_")) else f"spread_{name}") if own is None else own)


class Observation(NamedTuple):
    """One swatch: widths in µm, noise as sd of ln, `loop_um` where it was weighed or unravelled; `place` in the kit.

    Noise of width and height is the count's and the piece's, for a swatch is a piece of knitting too; of the loop the
    weighing's; of its ratio to the formula the weighing's and half of each count's (a square root of both): weighed
    and counted was the same piece.
    """

    setting: Setting
    width_um: Fraction
    height_um: Fraction
    width_noise: float
    height_noise: float
    loop_um: Fraction | None
    loop_noise: float
    ratio_noise: float
    place: int


class Foretold(NamedTuple):
    """What the model says of one setting: mean and variance of ln(true / guess), and whether a swatch taught it."""

    mean: float
    variance: float
    taught: bool


def setting_of(swatch: Swatch) -> Setting:
    """The setting that a swatch was knitted at."""
    return Setting(swatch.loom, swatch.spacers, swatch.yarn, swatch.strands, swatch.stitch)


def count_noise(count: float, sd: Sds) -> float:
    """Sd of ln of a count: `sd.count` stitches or rows over the number counted, at least `sd.count_least`."""
    return max(sd.count_least, sd.count / count, SUREST)


def swatches(kit: Kit, sd: Sds) -> list[Observation]:
    """Every swatch of the kit, ordered by setting, counts and loop: never by where it stands in the file."""
    yarns = {yarn.name: yarn for yarn in kit.yarn}
    return sorted((_seen(s, i, yarns[s.yarn], sd) for i, s in enumerate(kit.swatch)), key=_order)


def _order(seen: Observation) -> tuple[object, ...]:
    return (*seen[:5], seen.loop_um or 0, seen.loop_noise)


def _seen(swatch: Swatch, place: int, yarn: Yarn, sd: Sds) -> Observation:
    wide, high = (count_noise(float(counted.count), sd) for counted in (swatch.stitches, swatch.rows))
    loop, unsure = measured_loop(swatch, yarn, sd)
    return Observation(
        setting_of(swatch),
        swatch.stitches.each_um,
        swatch.rows.each_um,
        hypot(wide, sd.piece),
        hypot(high, sd.piece),
        loop,
        unsure,
        sqrt(unsure**2 + (wide**2 + high**2) / 4),
        place,
    )


def measured_loop(swatch: Swatch, yarn: Yarn, sd: Sds) -> tuple[Fraction | None, float]:
    """Yarn in one stitch, µm, and its noise (sd of ln); (None, 0) where the swatch does not tell.

    Strands held together are unravelled as one, so `yarn_length` is the length of the bundle; it beats the mass,
    being the thing itself. Mass goes through the tex on the ball's label only: a class's typical tex is out by a
    quarter, more than the formula that it would replace, so without a label the mass is left aside.
    """
    if swatch.knitted is None:
        return None, 0.0
    loops, least = swatch.knitted.stitches * swatch.knitted.rows, max(sd.weighing_least, SUREST)
    if swatch.yarn_length_um is not None:
        return Fraction(swatch.yarn_length_um, loops), least
    if swatch.mass_mg is None or yarn.label_mtex is None:
        return None, 0.0
    scales = sd.scales_mg / swatch.mass_mg
    return Fraction(swatch.mass_mg * 10**9, yarn.label_mtex * loops * swatch.strands), max(least, scales)


def unused_masses(kit: Kit) -> list[str]:
    """A note for each swatch whose mass teaches nothing because its ball's label does not say length and mass."""
    labels = {yarn.name: yarn.label_mtex for yarn in kit.yarn}
    return [
        f'swatch[{i}]: its mass is left aside: "{s.yarn}" has no length_per_ball and mass_per_ball to weigh it by'
        for i, s in enumerate(kit.swatch, 1)
        if s.mass_mg is not None and s.yarn_length_um is None and labels[s.yarn] is None
    ]


def pool(values: Iterable[tuple[float, float]]) -> tuple[float, float]:
    """(ln, noise) pairs as one: their mean by inverse noise variance, and its variance 1/Σ(1/noise²)."""
    pairs = [(ln, 1 / noise**2) for ln, noise in values]
    weight = sum(p for _, p in pairs)
    return sum(ln * p for ln, p in pairs) / weight, 1 / weight


def ln_ratio(measured: Fraction, guess: float) -> float:
    """ln(measured / guess)."""
    return log(float(measured) / guess)
