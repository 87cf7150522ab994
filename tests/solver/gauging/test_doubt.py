"""Swatches far from the others: which are doubted, in whose favour, and what they may still say."""

from math import exp, log, sqrt
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chi2

from catalog.kit import Kit
from solver.gauging.doubt import doubt_notes, doubts, loop_notes
from solver.gauging.posterior import gauges
from solver.gauging.prior import Prior, Setting
from tests.kits.draws import drawn, some_or_many
from tests.kits.gauge_kits import KETTLE, MOSS, OURS, kit, swatch

SAME_LOOM = OURS._replace(spacers=3)
OTHER_LOOM = OURS._replace(loom="long rake", spacers=0)
LACE = OURS._replace(yarn="cobweb")
LACY = [MOSS, KETTLE, {"name": "cobweb", "weight": 0}]
KNITTED = {"stitches": 30, "rows": 40}


def told(a_kit: Kit) -> list[tuple[int, str]]:
    """Which figure of which swatch is doubted."""
    return [(d.place, d.what) for d in doubts(a_kit).told]


def test_swatches_that_agree_are_left_in_peace() -> None:
    assert told(kit()) == []
    assert told(kit(swatch(16, 20))) == []
    assert told(kit(swatch(16, 20), swatch(16, 21), swatch(16.5, 20))) == []
    assert doubt_notes(kit(swatch(16, 20))) == []


def test_a_miscount_is_named_and_not_its_neighbours() -> None:
    """Three counts of 16 and one of 13: only the 13 is asked about, with by how much and what to do."""
    a_kit = kit(swatch(16, 20), swatch(13, 20), swatch(16, 20), swatch(16, 20))
    assert told(a_kit) == [(1, "stitches")]
    assert doubt_notes(a_kit) == [
        "swatch 2 (attic frame, 2 spacers, moss wool, u-wrap) is doubted: 13 stitches counted where your other "
        "swatches foretell 16.0 (19 % less, 6.0 sd off). Count its stitches again; until then it speaks for no other "
        "setting. If it is right, write checked = true in its entry",
    ]


def test_two_miscounts_are_both_named() -> None:
    """The furthest is set aside before the next is looked for."""
    rows = [swatch(16, 20) for _ in range(5)]
    assert told(kit(*rows, swatch(11, 20), swatch(16, 27))) == [(5, "stitches"), (6, "rows")]


def test_where_it_stands_in_the_file_does_not_matter() -> None:
    rows = [swatch(16, 20), swatch(16, 20, SAME_LOOM), swatch(22, 20)]
    forth, back = doubts(kit(*rows)).told, doubts(kit(*rows[::-1])).told
    assert [d._replace(place=2 - d.place) for d in back] == [*forth] != []


def test_a_lone_swatch_is_held_against_the_guess() -> None:
    """16 stitches over 4 cm written for 4 in: less than half as wide as the loom could knit."""
    a_kit = kit(swatch(16, 20, over="4 cm"))
    assert told(a_kit) == [(0, "rows"), (0, "stitches")]
    assert (
        "16 stitches counted where the starting guess foretells 6.2 (156 % more, 6.3 sd off)" in doubt_notes(a_kit)[0]
    )


def test_a_swatch_on_another_loom_may_differ_more() -> None:
    """The same 13 that is doubtful beside three 16s is not on a loom that nobody has swatched."""
    elsewhere = swatch(13, 17, OTHER_LOOM)
    assert told(kit(swatch(16, 20), elsewhere, swatch(16, 20), swatch(16, 20))) == []


def test_a_weighing_is_judged_by_itself() -> None:
    """60 m over 1,200 stitches is 50 mm each where the counts say 24.8: the weight is doubted, the counts are not."""
    a_kit = kit(swatch(16, 20, yarn_length="60 m", knitted=KNITTED))
    assert told(a_kit) == [(0, "yarn")]
    assert "2.02 times what the formula foretells (102 % more" in doubt_notes(a_kit)[0]
    bare = kit(swatch(16, 20))
    for at in (OURS, SAME_LOOM, OTHER_LOOM):
        assert gauges(a_kit, [at]) == gauges(bare, [at])


def test_a_weighing_that_was_checked_is_believed() -> None:
    a_kit = kit(swatch(16, 20, yarn_length="60 m", knitted=KNITTED, checked=True))
    assert told(a_kit) == []
    assert gauges(a_kit, [OURS])[OURS].loop_um == 50_000


def test_a_yarn_without_a_guess_is_judged_by_its_own_setting_alone() -> None:
    """One lace swatch has nothing to be held against; three have each other, and 330 is not 33."""
    assert told(kit(swatch(3, 4, LACE), yarn=LACY)) == []
    assert told(kit(swatch(33, 40, LACE), swatch(330, 40, LACE), swatch(34, 40, LACE), yarn=LACY)) == [(1, "stitches")]


def test_what_was_checked_is_never_set_aside_and_judges_the_rest() -> None:
    """13 counted twice beside one 16: now it is the 16 that stands alone; and nobody doubts two that were checked."""
    assert told(kit(swatch(16, 20), swatch(13, 20, checked=True))) == [(0, "stitches")]
    assert told(kit(swatch(16, 20, checked=True), swatch(13, 20, checked=True))) == []


def test_a_doubted_swatch_speaks_for_no_other_setting() -> None:
    """160 typed for 16: every other setting is to the last figure as if it were not there, its rows and yarn too."""
    slip = swatch(160, 20, yarn_length="30 m", knitted=KNITTED)
    others = [swatch(14, 18, SAME_LOOM), swatch(12, 15, OTHER_LOOM)]
    at = [SAME_LOOM, OTHER_LOOM, OURS._replace(spacers=0), OURS._replace(yarn="kettle chunky")]
    assert gauges(kit(slip, *others), at) == gauges(kit(*others), at)


def test_outnumbered_in_its_own_setting_it_does_not_count() -> None:
    honest = [swatch(16, 20), swatch(16.5, 20)]
    assert gauges(kit(*honest, swatch(13, 20)), [OURS]) == gauges(kit(*honest), [OURS])


def test_alone_in_its_setting_it_counts_with_a_spread_as_wide_as_the_contradiction() -> None:
    """160 for 16 alone: by hand, the prior is 0.0217 about 6401 µm, the noise 0.01² + 0.02²; the guess is 2.26 off."""
    found = gauges(kit(swatch(160, 20)), [OURS])[OURS]
    prior, noise, seen = 0.0217, 0.01**2 + 0.02**2, log(635 / 6401)
    mean = seen * prior / (prior + noise)
    assert found.width_um == pytest.approx(6401 * exp(mean), abs=1)
    assert found.width_ppm == pytest.approx(-1e6 * mean, abs=200)
    assert found.basis == "measured"


def test_one_against_one_both_count_and_neither_is_trusted() -> None:
    """16 and 13 checked by nobody: the middle lies between, and 80 % of pieces reach beyond both."""
    both = kit(swatch(16, 20), swatch(13, 20))
    assert len(doubts(both).counts) == 1
    for pooled in (False, True):
        found = gauges(both, [OURS], pooled=pooled)[OURS]
        assert 101_600 / 16 < found.width_um < 101_600 / 13
        out = exp(found.width_ppm / 1e6)
        assert found.width_um / out <= 101_600 / 16 + 1
        assert found.width_um * out >= 101_600 / 13 - 1
    plain = gauges(kit(swatch(14.5, 20), swatch(14.5, 20)), [OURS])[OURS]
    assert plain.width_ppm < gauges(both, [OURS])[OURS].width_ppm


def test_where_a_yarn_length_comes_from_is_said() -> None:
    """Of one weighed swatch its setting, of several their yarns; of none, or of a doubted one, nothing."""
    weighed = {"yarn_length": "30 m", "knitted": KNITTED}
    assert loop_notes(kit(swatch(16, 20))) == []
    assert loop_notes(kit(swatch(16, 20, yarn_length="60 m", knitted=KNITTED))) == []
    assert loop_notes(kit(swatch(16, 20, **weighed))) == [
        "yarn learnt from the weighed swatch of moss wool (attic frame, 2 spacers, moss wool, u-wrap)"
    ]
    chunky = swatch(12, 15, OURS._replace(yarn="kettle chunky"), yarn_length="40 m", knitted=KNITTED)
    assert loop_notes(kit(swatch(16, 20, **weighed), chunky)) == [
        "yarn learnt from the weighed swatches of kettle chunky, moss wool; a setting of theirs takes what was weighed "
        "there"
    ]


# ---------------------------------------------- against the definition, worked out without `gauging`

PLACES = [("attic frame", s) for s in range(5)] + [("porch ring", 0), ("long rake", 0)]
SETTINGS = st.builds(
    lambda place, yarn, stitch: Setting(place[0], place[1], yarn, 1, stitch),
    st.sampled_from(PLACES),
    st.sampled_from(["moss wool", "kettle chunky"]),
    st.sampled_from(["u-wrap", "e-wrap"]),
)
OFF = st.sampled_from([1.0, 1.0, 1.0, 1.05, 0.95, 1.2, 0.8, 2.54, 0.1])
SEEN = st.tuples(SETTINGS, OFF, OFF, st.sampled_from([False, False, False, True]))


def shared(a: Setting, b: Setting) -> float:
    """Prior covariance of ln sizes of two settings: knitter, loom, yarn, stitch, the setting itself."""
    return (
        0.08**2
        + 0.08**2 * (a.loom == b.loom)
        + 0.04**2 * (a[2:4] == b[2:4])
        + 0.08**2 * (a.stitch == b.stitch)
        + 0.03**2 * (a == b)
    )


def away(i: int, left: list[int], at: list[Setting], ln: list[float], noise: list[float]) -> float:
    """How many sds one stands from the Gaussian that the others make of its setting, solved afresh."""
    others = [j for j in left if j != i]
    mean, variance = 0.0, shared(at[i], at[i])
    if others:
        cov = np.array([[shared(at[j], at[k]) + (noise[j] ** 2) * (j == k) for k in others] for j in others])
        cross = np.array([shared(at[i], at[j]) for j in others])
        gain = np.linalg.solve(cov, cross)
        mean, variance = float(gain @ np.array([ln[j] for j in others])), variance - float(gain @ cross)
    return abs(ln[i] - mean) / sqrt(variance + noise[i] ** 2)


def by_definition(seen: list[tuple[Setting, float, float, bool]], guess: Prior) -> set[int] | None:
    """The doubted swatches, or None where two are all but equally far out or one is all but at the limit."""
    at, left, out = [s[0] for s in seen], list(range(len(seen))), set[int]()
    sizes = [[(guess.stitch_um(s[0]) or (0, 0))[q] for s in seen] for q in (0, 1)]
    counts = [[round(101_600 / um / s[1 + q], 1) for s, um in zip(seen, sizes[q], strict=True)] for q in (0, 1)]
    ln = [[log(101_600 / n / um) for n, um in zip(counts[q], sizes[q], strict=True)] for q in (0, 1)]
    noise = [[sqrt(max(0.01, 0.3 / n) ** 2 + 0.02**2) for n in counts[q]] for q in (0, 1)]
    while open_ := [i for i in left if not seen[i][3]]:
        far = sorted(((max(away(i, left, at, ln[q], noise[q]) for q in (0, 1)), i) for i in open_), reverse=True)
        close = len(far) > 1 and far[0][0] > 3 and far[0][0] - far[1][0] < 1e-6
        if close or abs(far[0][0] - 3) < 1e-6:
            return None
        if far[0][0] < 3:
            return out
        out.add(far[0][1])
        left.remove(far[0][1])
    return out


@some_or_many(100, 2_000, long=True)
def test_against_the_definition(examples: int) -> None:
    """Furthest first, each time solved afresh from the covariances as the design words them."""
    guess = Prior(kit())

    @drawn(examples)
    @given(st.lists(SEEN, min_size=1, max_size=6))
    def holds(seen: list[tuple[Setting, float, float, bool]]) -> None:
        rows: list[dict[str, Any]] = []
        for at, wide, high, checked in seen:
            um = guess.stitch_um(at)
            assert um is not None
            rows.append(swatch(round(101_600 / um[0] / wide, 1), round(101_600 / um[1] / high, 1), at, checked=checked))
        expected = by_definition(seen, guess)
        if expected is not None:
            assert doubts(kit(*rows)).counts == expected

    holds()


def foretold(at: Setting, seen: list[tuple[Setting, float, float]]) -> tuple[float, float]:
    """Mean and variance of a setting's ln size by conditioning on each swatch's (setting, ln, noise), at once."""
    if not seen:
        return 0.0, shared(at, at)
    cov = np.array(
        [[shared(a, b) + (i == j) * n**2 for j, (b, _, _) in enumerate(seen)] for i, (a, _, n) in enumerate(seen)]
    )
    cross = np.array([shared(at, b) for b, _, _ in seen])
    gain = np.linalg.solve(cov, cross)
    return float(gain @ np.array([ln for _, ln, _ in seen])), shared(at, at) - float(gain @ cross)


def spread_by_definition(at: Setting, seen: list[tuple[Setting, float, float]], out: set[int]) -> tuple[float, float]:
    """Middle (ln over the guess) and sd of a new piece: undoubted ones everywhere, doubted ones at home, as worded."""
    good = [s for i, s in enumerate(seen) if i not in out]
    ours = [s for i, s in enumerate(seen) if s[0] == at and i not in out]
    bad = [s for i, s in enumerate(seen) if s[0] == at and i in out]
    heard = bad if len(ours) <= len(bad) else []
    others, _ = foretold(at, good)
    mean, variance = foretold(at, [*good, *heard])
    counting = [*ours, *heard]
    weight = [1 / n**2 for _, _, n in counting]
    middle = sum(w * ln for w, (_, ln, _) in zip(weight, counting, strict=True)) / sum(weight) if counting else 0.0
    apart = sum(w * (ln - middle) ** 2 for w, (_, ln, _) in zip(weight, counting, strict=True))
    wide = len(counting) > 1 and apart > chi2.ppf(0.95, len(counting) - 1)
    sd = sqrt(variance + 0.02**2) * (sqrt(apart / (len(counting) - 1)) if wide else 1)
    return mean, max([sd, *(abs(mean - ln) for _, ln, _ in heard), *([abs(mean - others)] if heard else [])])


@some_or_many(60, 1_000, long=True)
def test_gauges_against_the_definition(examples: int) -> None:
    """Every setting's width and spread, swatched ones, doubted ones and others, to the rounding of µm and ppm."""
    guess = Prior(kit())

    @drawn(examples)
    @given(st.lists(SEEN, min_size=1, max_size=6), SETTINGS)
    def holds(seen: list[tuple[Setting, float, float, bool]], other: Setting) -> None:
        rows, told_as = list[dict[str, Any]](), list[tuple[Setting, float, float]]()
        for at, wide, high, checked in seen:
            um = guess.stitch_um(at)
            assert um is not None
            n, rows_n = round(101_600 / um[0] / wide, 1), round(101_600 / um[1] / high, 1)
            rows.append(swatch(n, rows_n, at, checked=checked))
            told_as.append((at, log(101_600 / n / um[0]), sqrt(max(0.01, 0.3 / n) ** 2 + 0.02**2)))
        out = by_definition(seen, guess)
        if out is None:
            return
        for at in {*(s[0] for s in seen), other}:
            found, um = gauges(kit(*rows), [at])[at], guess.stitch_um(at)
            assert um is not None
            mean, sd = spread_by_definition(at, told_as, out)
            assert found.width_um == pytest.approx(um[0] * exp(mean), abs=0.51)
            assert found.width_ppm == pytest.approx(1e6 * sd, abs=1.5)

    holds()
