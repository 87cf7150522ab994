"""Is an 80 % range right four times in five? Asked of 20,000 simulated knitters, by the tool as users have it."""

from fractions import Fraction

import pytest

from catalog.kit import Counted, Kit, Swatch
from solver.gauging.chance import likely_girth_um
from solver.gauging.posterior import gauges
from solver.gauging.prior import Setting
from tests.kits.gauge_kits import kit, swatch
from tests.solver.gauging import gauge_simulation as sim

SETTINGS = [Setting(w.loom, w.spacers, w.yarn, w.strands, w.stitch) for w in sim.WAYS]
BARE = kit()
BLANK = [Swatch.model_validate(swatch(16, 20, at)) for at in SETTINGS]
COUNTED = {n: Counted.model_construct(count=Fraction(n), over_um=101_600) for n in range(1, 60)}


def kit_of(knitters: sim.Knitters, k: int) -> Kit:
    """The kit of one knitter, with the swatches as counted."""
    pairs = zip(knitters.swatched[k], knitters.counts[k], strict=True)
    counted = (BLANK[way].model_copy(update={"stitches": COUNTED[int(count)]}) for way, count in pairs)
    return BARE.model_copy(update={"swatch": tuple(counted)})


def coverage(knitters: sim.Knitters, share: float = 0.8) -> float:
    """Per cent of true girths inside the tool's likely girth."""
    held = 0
    for k, girth in enumerate(knitters.girth_mm):
        wanted = SETTINGS[knitters.wanted[k]]
        low, high = likely_girth_um(gauges(kit_of(knitters, k), [wanted])[wanted], sim.PEGS, share)
        held += int(low <= girth * 1000 <= high)
    return 100 * held / len(knitters.girth_mm)


@pytest.mark.slow
def test_an_80_percent_range_holds_four_girths_in_five(capsys: pytest.CaptureFixture[str]) -> None:
    """79–81 % of 20,000 with the model's own spreads; with a hand twice as uneven, what it really is, said aloud."""
    swatches = (0, 1, 2, 5)
    own = {m: coverage(sim.knitters(20_000, m, seed=400 + m)) for m in swatches}
    uneven = {m: coverage(sim.knitters(8_000, m, seed=500 + m, tension=0.16)) for m in swatches}
    pieces = {m: coverage(sim.knitters(8_000, m, seed=600 + m, swatch_piece=0.02)) for m in swatches}
    with capsys.disabled():
        print("\nTrue girths inside the 80 % range, per cent        swatches:  " + "".join(f"{m:>7}" for m in swatches))
        for name, row in (
            ("as the model has it (20,000 knitters each)", own),
            ("tension sd doubled, model not told (8,000)", uneven),
            ("every swatch off by a piece's 2 % too (8,000)", pieces),
        ):
            print(f"{name:<62}" + "".join(f"{row[m]:7.1f}" for m in swatches))
    assert all(79 <= own[m] <= 81 for m in swatches), own
    # by hand at 0 swatches: z = 1.2816 × 0.1487 / √(0.1487² + 3 × 0.08²) = 0.9376, 65.2 %; swatches then win it back
    assert 63 <= uneven[0] <= 67, uneven
    assert uneven[0] < uneven[1] < uneven[2] < 80, uneven
    assert 76 <= uneven[5] <= 81, uneven
    # the model takes a swatch for free of a piece's 2 %: if it is not, the more swatches the more it is too sure
    assert 79 <= pieces[0] <= 81, pieces
    assert pieces[0] > pieces[1] > pieces[2] > pieces[5] > 72, pieces


@pytest.mark.parametrize("share", [0.5, 0.95])
def test_other_shares_are_as_honest(share: float) -> None:
    """1,500 knitters with two swatches: within three standard errors of the share."""
    found = coverage(sim.knitters(1_500, 2, seed=77), share)
    assert abs(found / 100 - share) < 3 * (share * (1 - share) / 1_500) ** 0.5


def test_the_simulation_and_the_tool_start_from_the_same_loop() -> None:
    """The generator's own geometry, to the rounding of its yarn diameters: or its knitters are of another world."""
    for way, setting in zip(sim.WAYS, SETTINGS, strict=True):
        assert gauges(BARE, [setting])[setting].width_um == pytest.approx(way.width_mm * 1000, abs=1)
