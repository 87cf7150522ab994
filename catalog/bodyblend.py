"""Growth curves of a body: published tables, joined without a jump, as knots that one smooth curve passes through."""

import math
import tomllib
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

FOLDER = Path(__file__).parent / "bodies"
TABLES = ("who2006", "uk1990", "kiggs", "snyder1977", "ansur2", "bridges")
UM_PER = {"mm": 1000, "cm": 10000}
MONTHS_PER = {"months": 1, "years": 12}


class Knot(NamedTuple):
    """A girth or length at one age: months, and µm for the mean and for one standard deviation."""

    months: float
    um: float
    sd_um: float


@cache
def table(name: str) -> dict[str, Any]:
    """One file of catalog/bodies as it stands, with its `name`, `flag` and `source` at the head."""
    return tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))


@cache
def published(name: str, measure: str, sex: str) -> tuple[Knot, ...]:
    """The knots of one table, exactly as printed; a table that gives a cv has sd = median × cv."""
    data = table(name)
    um, months = UM_PER[data["unit"]], MONTHS_PER[data["age"]]
    rows = (dict(zip(data["columns"], row, strict=True)) for row in data[sex][measure])
    return tuple(Knot(row["age"] * months, *_spread(row, um)) for row in rows)


@cache
def grown(measure: str, sex: str) -> Knot:
    """Grown women or men of ANSUR II, set at the age from which the project counts a body as grown."""
    data = table("ansur2")
    row = dict(zip(data["columns"], data[sex][measure], strict=True))
    return Knot(table("bridges")["head"]["grown_at"], *_spread(row, UM_PER[data["unit"]]))


def _spread(row: dict[str, float], um: int) -> tuple[float, float]:
    if "cv" in row:
        return row["median"] * um, row["median"] * row["cv"] * um
    return row["mean"] * um, row["sd"] * um


def at(knots: tuple[Knot, ...], months: float) -> tuple[float, float]:
    """Mean and sd in µm at an age: through every knot, never past its neighbours, held flat beyond the ends.

    Piecewise cubic with the slopes of Fritsch & Butland (SIAM J. Sci. Stat. Comput. 5 (1984) 300).
    """
    xs = [knot.months for knot in knots]
    x = min(max(months, xs[0]), xs[-1])
    return _cubic(xs, [knot.um for knot in knots], x), _cubic(xs, [knot.sd_um for knot in knots], x)


def _cubic(xs: list[float], ys: list[float], x: float) -> float:
    i = max(k for k in range(len(xs) - 1) if xs[k] <= x)
    step, slope = xs[i + 1] - xs[i], (ys[i + 1] - ys[i]) / (xs[i + 1] - xs[i])
    t = (x - xs[i]) / step
    left, right = _slope(xs, ys, i) - slope, _slope(xs, ys, i + 1) - slope
    return (1 - t) * ys[i] + t * ys[i + 1] + step * t * (1 - t) * ((1 - t) * left - t * right)


def _slope(xs: list[float], ys: list[float], i: int) -> float:
    """Slope at knot i: the harmonic mean of the slopes on both sides, flat where they disagree in sign."""
    last = len(xs) - 1
    if i in (0, last):
        j, k, sign = (0, 1, 1) if i == 0 else (last, last - 1, -1)
        h0, h1 = abs(xs[k] - xs[j]), abs(xs[k + sign] - xs[k])
        d0, d1 = (ys[k] - ys[j]) / (xs[k] - xs[j]), (ys[k + sign] - ys[k]) / (xs[k + sign] - xs[k])
        end = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1)
        if end * d0 <= 0:
            return 0.0
        return 3 * d0 if d0 * d1 < 0 and abs(end) > 3 * abs(d0) else end
    h0, h1 = xs[i] - xs[i - 1], xs[i + 1] - xs[i]
    d0, d1 = (ys[i] - ys[i - 1]) / h0, (ys[i + 1] - ys[i]) / h1
    return 0.0 if d0 * d1 <= 0 else 3 * (h0 + h1) / ((2 * h1 + h0) / d0 + (h1 + 2 * h0) / d1)


def pooled(parts: Iterable[tuple[float, tuple[float, float]]]) -> tuple[float, float]:
    """Mean and sd (µm) of a mixture of (share, (mean, sd)); where the parts disagree the sd grows by it."""
    shares = [part for part in parts if part[0] > 0]
    mean = sum(share * um for share, (um, _) in shares)
    square = sum(share * (sd * sd + (um - mean) ** 2) for share, (um, sd) in shares)
    return mean, math.sqrt(square)


@cache
def head(sex: str) -> tuple[Knot, ...]:
    """Head girth from birth on: WHO by month, a blend by month, British and German by year, grown people last."""
    join = table("bridges")["head"]
    who = published("who2006", "head", sex)
    alone, gone = join["who_alone_until"], join["who_gone_by"]
    kept = [knot for knot in who if knot.months <= alone]
    for knot in who:
        if alone < knot.months < gone:
            t = (knot.months - alone) / (gone - alone)
            older = t * t * (3 - 2 * t)  # no kink where WHO stops being alone, none where it is gone
            parts = ((1 - older, (knot.um, knot.sd_um)), (older, _older_head(sex, knot.months)))
            kept.append(Knot(knot.months, *pooled(parts)))
    years = range(gone, join["british_gone_by"] + 1, 12)
    return (*kept, *(Knot(months, *_older_head(sex, months)) for months in years), grown("head", sex))


def _older_head(sex: str, months: float) -> tuple[float, float]:
    join = table("bridges")["head"]
    half, gone = join["british_half_until"], join["british_gone_by"]
    british = 0.5 * min(1.0, max(0.0, (gone - months) / (gone - half)))
    tables = ((british, "uk1990"), (1 - british, "kiggs"))
    return pooled((share, at(published(name, "head", sex), months)) for share, name in tables)


@cache
def limb(measure: str, sex: str) -> tuple[Knot, ...]:
    """Hand, foot, heel or neck: from birth (necks: from the start of the children's tables) to grown people."""
    bridge = table("bridges")["bridge"].get(measure)
    if bridge is None:
        return (*_young(measure, sex), *published("snyder1977", measure, sex), grown(measure, sex))
    bridged = (_bridged(knot, bridge["ratio"], bridge["spread"]) for knot in limb(bridge["of"], sex)[:-1])
    return (*bridged, grown(measure, sex))


def _bridged(knot: Knot, ratio: float, spread: float) -> Knot:
    return Knot(knot.months, ratio * knot.um, ratio * math.hypot(knot.sd_um, spread * knot.um))


def _young(measure: str, sex: str) -> list[Knot]:
    """Knots before the first age of the tables: its slope carried down; hand and foot in proportion to their length."""
    young = table("bridges")["young"]
    first, second = published("snyder1977", measure, sex)[:2]
    start = young["tables_start"]
    step = (first.months - start) * (second.um - first.um) / (second.months - first.months)
    knots = [Knot(start, first.um - step, math.hypot(first.sd_um, step))]
    part = measure.split("_")[0]
    if part not in young:
        return knots
    own, whole = young[part], f"{part}_length"
    length = limb(whole, sex)[len(own["lengths"])].um if measure != whole else knots[0].um
    scaled = [(months, mm * UM_PER["mm"] * knots[0].um / length) for months, mm in own["lengths"]]
    return [Knot(months, um, own["spread"] * um) for months, um in scaled] + knots
