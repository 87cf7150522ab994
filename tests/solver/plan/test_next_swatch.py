"""The single next swatch that sharpens the wanted options most, against really adding it."""

import pytest

from catalog.kit import Kit, Swatch
from solver.gauging.posterior import gauges
from solver.gauging.prior import Prior, Setting, whole
from solver.plan.next_swatch import best_next
from tests.kits.gauge_kits import OURS, kit, swatch

RING, RAKE = (OURS._replace(loom=name, spacers=0) for name in ("porch ring", "long rake"))
CHUNKY = OURS._replace(yarn="kettle chunky", spacers=4)
CANDIDATES = [OURS, OURS._replace(spacers=1), RING, RAKE, CHUNKY, OURS._replace(stitch="e-wrap")]
TARGETS = [OURS._replace(spacers=3), CHUNKY, RAKE]


def added(a_kit: Kit, at: Setting) -> Kit:
    """The kit with that setting swatched: as many stitches as the guess puts into 4 in."""
    um = Prior(a_kit).stitch_um(at)
    assert um is not None
    new = Swatch.model_validate(swatch(whole(101_600 / um[0]), whole(101_600 / um[1]), at))
    return a_kit.model_copy(update={"swatch": (*a_kit.swatch, new)})


@pytest.mark.parametrize("seen", [(), (swatch(16, 20),), (swatch(16, 20), swatch(11, 14, RING), swatch(16, 21))])
def test_spread_after_is_what_adding_the_swatch_gives(seen: tuple[dict[str, object], ...]) -> None:
    """Each candidate really added to the kit: the mean spread of the targets' widths, to a ppm of rounding."""
    a_kit = kit(*seen)
    found = best_next(a_kit, CANDIDATES, TARGETS)
    assert {each.setting for each in found} == set(CANDIDATES)
    for each in found:
        told = gauges(added(a_kit, each.setting), TARGETS)
        assert each.after_ppm == pytest.approx(sum(g.width_ppm for g in told.values()) / len(TARGETS), abs=1)
        assert each.before_ppm > each.after_ppm
    assert [e.after_ppm for e in found] == sorted(e.after_ppm for e in found)


def test_the_wanted_setting_itself_is_the_best_swatch() -> None:
    """One target: to swatch it is better than to swatch anything near it."""
    assert best_next(kit(), CANDIDATES, [CHUNKY])[0].setting == CHUNKY


def test_one_swatch_may_serve_several_options() -> None:
    """Three options on the frame outweigh one on the ring, whose weight can turn that round."""
    targets = [OURS, OURS._replace(spacers=3), OURS._replace(spacers=4), RING]
    assert best_next(kit(), [OURS, RING], targets)[0].setting == OURS
    assert best_next(kit(), [OURS, RING], targets, [1, 1, 1, 100])[0].setting == RING


def test_order_never_shows() -> None:
    one = kit(swatch(16, 20))
    assert best_next(one, CANDIDATES[::-1], TARGETS[::-1]) == best_next(one, CANDIDATES, TARGETS)


def test_ties_go_by_setting() -> None:
    """Counts all equally sure, any spacer setting but the wanted one tells as much: they stand by spacers."""
    alike = kit(spreads={"count": 0})
    found = best_next(alike, [OURS._replace(spacers=s) for s in (4, 0, 2, 1)], [OURS._replace(spacers=3)])
    assert len({each.after_ppm for each in found}) == 1
    assert [each.setting.spacers for each in found] == [0, 1, 2, 4]


def test_nothing_to_sharpen_gives_nothing() -> None:
    """No targets, or a yarn of which no swatch teaches anything else."""
    assert best_next(kit(), CANDIDATES, []) == []
    assert best_next(kit(), [OURS._replace(yarn="cobweb")], TARGETS) == []
