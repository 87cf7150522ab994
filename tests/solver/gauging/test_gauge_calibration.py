"""Is an 80 % range right four times in five? Asked of 20,000 simulated knitters, by the tool as users have it."""

from fractions import Fraction
from typing import Any, NamedTuple

import pytest

from catalog.kit import Counted, Kit, Swatch
from solver.gauging.chance import chance_within, likely_girth_um
from solver.gauging.posterior import gauges
from solver.gauging.prior import Setting
from tests.kits.gauge_kits import kit, swatch
from tests.solver.gauging import gauge_simulation as sim

SETTINGS = [Setting(w.loom, w.spacers, w.yarn, w.strands, w.stitch) for w in sim.WAYS]
BARE = kit()
BLANK = [Swatch.model_validate(swatch(16, 20, at)) for at in SETTINGS]
COUNTED = {n: Counted.model_construct(count=Fraction(n), over_um=101_600) for n in range(1, 90)}


def kit_of(knitters: sim.Knitters, k: int) -> Kit:
    """The kit of one knitter, with the swatches as counted."""
    each = zip(knitters.swatched[k], knitters.stitches[k], knitters.rows[k], strict=True)
    counted = (
        BLANK[way].model_copy(update={"stitches": COUNTED[int(st)], "rows": COUNTED[int(rows)]})
        for way, st, rows in each
    )
    return BARE.model_copy(update={"swatch": tuple(counted)})


class Held(NamedTuple):
    """Per cent of true girths inside the likely range; that fitted; that were said to fit, on average."""

    covered: float
    fitted: float
    promised: float


def held(knitters: sim.Knitters, share: float = 0.8) -> Held:
    """What the tool says to each knitter of a tube of PEGS stitches, against what then came off the loom.

    The girth asked is the one that the tool expects, and it fits within an inch or 8 %, the lesser.
    """
    inside, fitted, promised = 0, 0, 0.0
    for k, girth_mm in enumerate(knitters.girth_mm):
        wanted = SETTINGS[knitters.wanted[k]]
        gauge = gauges(kit_of(knitters, k), [wanted])[wanted]
        low, high = likely_girth_um(gauge, sim.PEGS, share)
        asked = sim.PEGS * gauge.width_um
        within = min(25_400, asked * 8 // 100)
        inside += int(low <= girth_mm * 1000 <= high)
        fitted += int(abs(girth_mm * 1000 - asked) <= within)
        promised += chance_within(gauge, sim.PEGS, asked, within)
    return Held(*(100 * x / len(knitters.girth_mm) for x in (inside, fitted, promised)))


SWATCHES = (0, 1, 2, 5)


@pytest.mark.slow
def test_ranges_and_chances_are_true_of_20_000_knitters(capsys: pytest.CaptureFixture[str]) -> None:
    """Under the stated model 80 % ranges cover 78 to 82 %, and chances of fit are within 2 points of what happens.

    With swatches twice as uneven as the model has it (the new piece as modelled), never under 70 %.
    """
    worlds: dict[str, dict[str, Any]] = {
        "as the model has it": {},
        "all swatches of the wanted setting": {"alike": True},
        "every swatch twice as uneven": {"swatch_piece": 0.04},
        "the same, all of the wanted setting": {"swatch_piece": 0.04, "alike": True},
        "hands twice as different": {"tension": 0.16},
    }
    found = {
        name: {m: held(sim.knitters(20_000, m, 100 * i + m, **world)) for m in SWATCHES}
        for i, (name, world) in enumerate(worlds.items(), 4)
    }
    with capsys.disabled():
        print("\n20,000 knitters each, per cent        swatches  covered   fitted promised")
        for name, rows in found.items():
            for m, row in rows.items():
                print(f"{name:<38}{m:>8}" + "".join(f"{x:9.1f}" for x in row))
    own, alike, rough, rough_alike, uneven = found.values()
    for each in (own, alike):
        assert all(78 <= row.covered <= 82 for row in each.values()), each
        assert all(abs(row.fitted - row.promised) <= 2 for row in each.values()), each
    for each in (rough, rough_alike):
        assert all(each[m].covered >= 70 for m in (2, 5)), each
    # by hand at 0 swatches: z = 1.2816 × 0.1487 / √(0.1487² + 3 × 0.08²) = 0.9376, 65.2 %; swatches then win it back
    assert 63 <= uneven[0].covered <= 67, uneven
    assert uneven[0].covered < uneven[1].covered < uneven[2].covered < uneven[5].covered, uneven


@pytest.mark.parametrize("share", [0.5, 0.95])
def test_other_shares_are_as_honest(share: float) -> None:
    """1,500 knitters with two swatches: within three standard errors of the share."""
    found = held(sim.knitters(1_500, 2, seed=77), share).covered
    assert abs(found / 100 - share) < 3 * (share * (1 - share) / 1_500) ** 0.5


def test_the_simulation_and_the_tool_start_from_the_same_loop() -> None:
    """The generator's own geometry, to the rounding of its yarn diameters: or its knitters are of another world."""
    for way, setting in zip(sim.WAYS, SETTINGS, strict=True):
        assert gauges(BARE, [setting])[setting].width_um == pytest.approx(way.width_mm * 1000, abs=1)
