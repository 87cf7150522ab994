"""[spreads] of a kit: every spread of the gauge model can be set, each moves what it is about and nothing else."""

from math import sqrt
from typing import Any

import pytest

from catalog.errors import InputError
from catalog.figure import figures
from catalog.kit import Spreads
from solver.gauging.doubt import doubts
from solver.gauging.observation import spread
from solver.gauging.posterior import gauges
from tests.kits.gauge_kits import OURS, kit, swatch

WIDE = OURS._replace(loom="cellar ring", spacers=0)  # a pitch of 16 mm, where the guess was never fitted
SAME_LOOM = OURS._replace(spacers=1)
KNITTED = {"stitches": 30, "rows": 40}


def test_every_own_spread_of_the_figures_is_a_key_of_the_kit() -> None:
    """And what a kit does not say is the figure, flagged as our own."""
    names = {n.removeprefix("spread_") for n in figures() if n.startswith(("spread_", "loop_", "outlier_"))}
    assert names == set(Spreads.model_fields)
    for name in names:
        figure = figures().get(f"spread_{name}") or figures()[name]
        assert figure.flag == "own"
        assert spread(kit(), name) == float(figure.value)
        assert spread(kit(spreads={name: 0.5}), name) == 0.5


def test_outside_is_the_setting_s_sd_where_the_guess_was_never_fitted() -> None:
    """√(3 × 0.08² + 0.04² + 0.02² + outside²): 24.7 % with 0.20, 14.6 % with 0 (by hand); inside nothing changes."""
    shared = 3 * 0.08**2 + 0.04**2 + 0.02**2
    for outside in (0.20, 0.0, 0.5):
        told = gauges(kit(spreads={"outside": outside}), [WIDE, OURS])
        assert told[WIDE].width_ppm == pytest.approx(1e6 * sqrt(shared + outside**2), abs=1)
        assert told[OURS] == gauges(kit(), [OURS])[OURS]


def more(**spreads: Any) -> float:
    """How much more yarn than the formula other spacers are thought to take, by a swatch that took 10 % more."""
    weighed = swatch(16, 20, yarn_length=f"{1.1 * 1200 * 24.7569} mm", knitted=KNITTED)
    told, plain = (gauges(kit(s, spreads=spreads), [SAME_LOOM])[SAME_LOOM] for s in (weighed, swatch(16, 20)))
    return told.loop_um / plain.loop_um - 1


def test_loop_spreads_say_how_far_a_weighed_swatch_teaches() -> None:
    """All shared but the setting: 0.0090 of 0.0094 + noise²; without what is shared, nothing (by hand)."""
    noise = 0.01**2 + ((0.3 / 16) ** 2 + (0.3 / 20) ** 2) / 4
    assert more() == pytest.approx(1.1 ** (0.0090 / (0.0094 + noise)) - 1, abs=1e-4)
    none = dict.fromkeys(("loop_all", "loop_loom", "loop_yarn", "loop_stitch"), 0)
    assert more(**none) == 0
    for name, sd in (("loop_all", 0.06), ("loop_loom", 0.03), ("loop_yarn", 0.03), ("loop_stitch", 0.06)):
        left = 0.0090 - sd**2
        assert more(**{name: 0}) == pytest.approx(1.1 ** (left / (left + 0.0004 + noise)) - 1, abs=1e-4)
    assert more(loop_setting=0.1) == pytest.approx(1.1 ** (0.0090 / (0.0190 + noise)) - 1, abs=1e-4)
    assert more(loop_noise_least=0.1) == pytest.approx(1.1 ** (0.0090 / (0.0094 + noise + 0.0099)) - 1, abs=1e-4)


def test_scales_and_doubt() -> None:
    """Coarser scales teach less; with fewer sds the same swatch is doubted, with more it is left in peace."""
    weighed = swatch(16, 20, mass="16 g", knitted=KNITTED)
    fine, coarse = (
        gauges(kit(weighed, spreads={"loop_scales_g": grams}), [SAME_LOOM])[SAME_LOOM] for grams in (0.01, 3)
    )
    assert fine.loop_um > coarse.loop_um
    rows = [swatch(n, 20) for n in (16, 16, 17)]
    assert doubts(kit(*rows)).told == ()
    assert [d.place for d in doubts(kit(*rows, spreads={"outlier_sds": 1})).told] == [2]
    miscount = [swatch(n, 20) for n in (16, 13, 16)]
    assert doubts(kit(*miscount)).told != ()
    assert doubts(kit(*miscount, spreads={"outlier_sds": 9})).told == ()


@pytest.mark.parametrize(
    ("key", "value"),
    [("outside", -0.1), ("loop_all", 1.1), ("outlier_sds", 0), ("outlier_sds", 11), ("loop_scales_g", float("nan"))],
)
def test_a_spread_that_is_none(key: str, value: float) -> None:
    """Named by its key."""
    with pytest.raises(InputError, match=rf"spreads\.{key}"):
        kit(spreads={key: value})
