"""`adjust` against the same piece worked out here from its plan and the counts alone, without `solver.gauging`."""

import random
from collections import Counter
from math import ceil, exp, log, sqrt

from catalog.kit import built_in_kit
from solver.asking.wish import Wish
from solver.halfway.adjust import adjust
from solver.plan.answer import answer
from solver.plan.saved import SavedPlan, plan_of

PIECES = 200
FITS = {"loose": 0.04, "true": 0.0, "close": -0.05, "snug": -0.095}  # of a hat: domain words, in order


def pooled(counts: list[tuple[float, float]]) -> tuple[float, float]:
    """mm of one stitch and the sd of its ln: each count may be out by 0.3, at least 1 %."""
    noise = [max(0.01, 0.3 / n) for n, _ in counts]
    weight = [1 / s**2 for s in noise]
    ln = [log(mm / n) for n, mm in counts]
    mean = sum(w * x for w, x in zip(weight, ln, strict=True)) / sum(weight)
    chi2 = sum(w * (x - mean) ** 2 for w, x in zip(weight, ln, strict=True))
    wider = {1: 1.0, 2: sqrt(chi2) if chi2 > 3.8415 else 1.0}[len(counts)]  # 95 % point of one degree, from a table
    return exp(mean), wider / sqrt(sum(weight))


def finished(plan: SavedPlan, done: int, height: float) -> tuple[int, int, int]:
    """Plain rows, rib rows and rows taken back, by trying every pair of whole numbers that the work done leaves."""
    planned_plain, planned_band = plan.option.rows_plain, plan.option.rows_band
    band, wanted, within = plan.ask.band_mm, plan.ask.length_mm, plan.ask.length_within_mm
    assert band is not None
    depth = planned_band * plan.gauge.height_um / 1000

    def best(worked: int) -> tuple[int, int]:
        in_band = worked - planned_plain
        plains = [planned_plain] if in_band > 0 else range(max(worked, 2), 400)
        least = max(1, ceil(band.least / height - 1e-9))
        ribs = range(max(least, in_band), max(least, int(band.most / height + 1e-9), in_band) + 1)
        pairs = [(p, r) for p in plains for r in ribs if r >= in_band]
        return min(
            pairs,
            key=lambda x: (
                round(abs(sum(x) * height - wanted) + 0.5 * abs(x[1] * height - depth), 6), sum(x), x[1],
            ),
        )  # fmt: skip

    for back in range(done + 1):
        p, r = best(done - back)
        if abs((p + r) * height - wanted) <= within + 1e-9:
            return p, r, back
    return *best(done), 0


def suits_between(body: float, fit: str, assumed: bool, wanted: float, within: float) -> tuple[float, float]:
    """Least and most girth that will do: the limit, the fits next to a chosen one, all (loose barely) where assumed."""
    girths = sorted(body * (1 + share) for share in FITS.values())
    at = girths.index(body * (1 + FITS[fit]))
    near = girths[max(at - 1, 0) : at + 2]
    if assumed:
        near = [*girths, girths[0] - within, girths[2] + within]
    return min(wanted - within, *near), max(wanted + within, *near)


def test_two_hundred_pieces_before_in_and_after_the_band() -> None:
    """Hats for random heads and fits, one or two counts each, at any row: girth, its range, rows, length, verdict."""
    draw, kit, seen = random.Random(5), built_in_kit(), Counter[str]()
    plans: list[tuple[SavedPlan, str, bool]] = []
    for _ in range(25):
        fit = draw.choice([None, "loose", "true", "close", "snug"])
        wish = Wish("hat", body_um=draw.randrange(440_000, 620_000, 5_000), fit=fit)
        got = answer(kit, wish, 1)
        plans.append((plan_of(got, wish), fit or "close", fit is None))
    for _ in range(PIECES):
        plan, fit, assumed = draw.choice(plans)
        rows_total, plain = plan.option.rows_total, plan.option.rows_plain
        where = draw.choice(["before", "in", "after"])
        done = {
            "before": draw.randint(0, plain),
            "in": draw.randint(plain + 1, rows_total - 1),
            "after": rows_total,
        }[where]
        counts = []
        for um in (plan.gauge.width_um, plan.gauge.height_um):
            off, over = exp(draw.gauss(0, 0.08)), draw.choice([101_600, 50_800, 100_000])
            many = [
                (round(over / um * off * exp(draw.gauss(0, 0.02)) * 2) / 2, over) for _ in range(draw.choice([1, 2]))
            ]
            counts.append([{"count": n, "over": f"{mm / 1000} mm"} for n, mm in many])
        width, width_sd = pooled([(c["count"], float(c["over"].split()[0])) for c in counts[0]])
        height, _ = pooled([(c["count"], float(c["over"].split()[0])) for c in counts[1]])
        report = adjust(kit, plan, done, counts[0], counts[1])
        girth = plan.option.pegs * width
        assert abs(report.girth.girth_mm - girth) <= plan.option.pegs * 0.0006
        low, high = (girth * exp(s * 1.281552 * width_sd) for s in (-1, 1))
        assert abs(report.girth.likely_mm[0] - low) < 0.1
        assert abs(report.girth.likely_mm[1] - high) < 0.1
        least, most = suits_between(
            report.girth.body_mm or 0, fit, assumed, report.girth.wanted_mm, plan.ask.girth_within_mm
        )
        if min(abs(girth - least), abs(girth - most)) > 0.1:
            assert report.girth.suits is (least <= girth <= most)
        p, r, back = finished(plan, done, round(height * 1000) / 1000)
        assert [s.rows for s in report.length.sections if s.rows] == [p, r]
        assert report.length.take_back == back
        assert abs(report.length.length_mm - (p + r) * height) <= (p + r) * 0.0006
        assert report.start_again is not (report.girth.suits and report.length.suits)
        again = report.again
        if again and (again.loom, again.spacers, again.yarn) == (
            plan.option.loom,
            plan.option.spacers,
            plan.option.yarn,
        ):
            assert abs(again.girth_mm - again.pegs * width) <= again.pegs * 0.0006
            seen["again by the count"] += 1
        seen[where] += 1
        seen["start again" if report.start_again else "go on"] += 1
        seen["count again"] += bool(report.count_again)
    assert min(seen[w] for w in ("before", "in", "after", "start again", "go on", "again by the count")) > 20, seen
    assert seen["count again"] > 10, seen
