"""Each rule by itself: a setup that holds it, its nearest neighbour that does not, and nothing else that is broken."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest

from solver.asking.wish import Wish
from solver.model.ask import Pins
from solver.rules import RULES
from tests.kits.edges import HAT, ONE_WAY, RAKE, RAKE_SWATCH, RING, RING_SWATCH, SWATCH
from tests.kits.small import found, kit_with

Changes = tuple[tuple[str, Any], ...]


@dataclass(frozen=True)
class Edge:
    """A rule's edge: changes (or a wish) that just hold, and the nearest ones that do not."""

    rule: str
    holds: Changes = ()
    breaks: Changes = ()
    wish: Wish = HAT
    broken_wish: Wish | None = None
    swatch: Any = None

    @property
    def always(self) -> Changes:
        return () if self.wish is GUESS else (("swatch.0", self.swatch or SWATCH),)


GUESS = replace(
    HAT, measured_only=False, pins=Pins("ring", "wool", strands=1), girth_within_um=200_000, length_within_um=90_000
)
ONE_BALL: Changes = (("yarn.0.balls", 1), ("yarn.0.mass_per_ball", "25 g"))
EDGES = [
    Edge("boards-on-hand", breaks=(("loom.0.side_boards.0.on_hand", 1),)),
    Edge("boards-on-hand", breaks=(("loom.0.end_boards.0.on_hand", 1),)),
    Edge("pegs-on-loom", breaks=(("loom.0.side_boards.0.pegs", 23),)),
    Edge("pegs-on-loom", breaks=(("loom.0.side_boards.0.pegs", 25),)),
    Edge("pegs-on-loom", holds=(("loom.0.side_boards.0.pegs", 25), ("loom.0.ends_anywhere", True)),
         breaks=(("loom.0.side_boards.0.pegs", 25),)),
    Edge("pegs-on-loom", breaks=(("loom.1.pegs", 59),), wish=RING, swatch=RING_SWATCH),
    Edge("pegs-on-loom", breaks=(("loom.1.pegs", 61),), wish=RING, swatch=RING_SWATCH),
    Edge("pegs-on-loom", breaks=(("loom.2.pegs_most", 59),), wish=RAKE, swatch=RAKE_SWATCH),
    Edge("pegs-on-loom", breaks=(("loom.2.pegs_least", 21),), wish=RAKE, swatch=RAKE_SWATCH),
    Edge("spacers-on-hand", breaks=(("loom.0.spacers.on_hand", 15),)),
    Edge("gauge-measured", wish=HAT, broken_wish=replace(HAT, pins=replace(ONE_WAY, spacers=1), girth_within_um=200_000,
                                                        length_within_um=80_000)),
    Edge("whole-repeats", wish=replace(HAT, rib="2x1"), broken_wish=replace(HAT, rib="2x2", around_um=372_000),
         breaks=(("loom.0.side_boards.0.pegs", 25),)),
    Edge("room-for-plain", wish=replace(HAT, band=(140_000, 140_000)),
         broken_wish=replace(HAT, band=(145_000, 145_000))),
    Edge("band-depth", wish=replace(HAT, band=(26_000, 30_000)), broken_wish=replace(HAT, band=(26_000, 29_999))),
    Edge("girth-within", wish=replace(HAT, around_um=361_000, girth_within_um=1_000),
         broken_wish=replace(HAT, around_um=361_000, girth_within_um=999)),
    Edge("girth-within", wish=replace(HAT, around_um=359_000, girth_within_um=1_000),
         broken_wish=replace(HAT, around_um=359_000, girth_within_um=999)),
    Edge("length-within", wish=replace(HAT, long_um=152_000, length_within_um=2_000),
         broken_wish=replace(HAT, long_um=152_000, length_within_um=1_999)),
    Edge("length-within", wish=replace(HAT, long_um=148_000, length_within_um=2_000),
         broken_wish=replace(HAT, long_um=148_000, length_within_um=1_999)),
    Edge("even-pegs", holds=(("loom.1.pegs", 60),), breaks=(("loom.1.pegs", 63),), swatch=RING_SWATCH,
         wish=replace(RING, rib="2x1"), broken_wish=replace(RING, rib="2x1", around_um=378_000)),
    # 60 pegs x 5333 um = 319.98 mm of loops at the crown, 60 x 5334 = 320.04; the limit is 320
    Edge("gather-bulk", holds=(("yarn.0.wraps_per_inch", 4.7625),), breaks=(("yarn.0.wraps_per_inch", 4.762),)),
    # 26 263 um a loop x 60 x (30 + 1), 11 000 x 60 woven, three times that and 220 mm sewn, two tails of 165 mm
    Edge("yarn-on-hand", holds=(*ONE_BALL, ("yarn.0.length_per_ball", "52039.180 mm")),
         breaks=(*ONE_BALL, ("yarn.0.length_per_ball", "52039.179 mm"))),
    # lofty diameter 1500 or 1499 um, 4600 or 4601 um, between pegs 10 mm apart
    Edge("yarn-suits-pitch", holds=(("yarn.0.wraps_per_inch", 16.93),), breaks=(("yarn.0.wraps_per_inch", 16.95),),
         wish=GUESS),
    Edge("yarn-suits-pitch", holds=(("yarn.0.wraps_per_inch", 5.522),), breaks=(("yarn.0.wraps_per_inch", 5.52),),
         wish=GUESS),
    # loop 10 + pi/2 (3 + 2.54) = 18.70 mm: at most 18.70 / 16.7 = 1.12 mm pressed, that is 833 tex; at least 87.4 tex
    Edge("not-jammed", holds=(("yarn.0.mass_per_ball", "166564 mg"),),
         breaks=(("yarn.0.mass_per_ball", "166565 mg"),), wish=GUESS),
    Edge("not-flimsy", holds=(("yarn.0.mass_per_ball", "17487 mg"),), breaks=(("yarn.0.mass_per_ball", "17486 mg"),),
         wish=GUESS),
    Edge("pin-loom", broken_wish=replace(HAT, pins=replace(ONE_WAY, loom="ring"))),
    Edge("pin-yarn", breaks=(("yarn.1", {"name": "cotton", "weight": 4, "fibre": "cotton"}),),
         broken_wish=replace(HAT, pins=replace(ONE_WAY, yarn="cotton"))),
    Edge("pin-spacers", broken_wish=replace(HAT, pins=replace(ONE_WAY, spacers=1))),
    Edge("pin-strands", broken_wish=replace(HAT, pins=replace(ONE_WAY, strands=2))),
    Edge("pin-pegs", wish=replace(HAT, pins=replace(ONE_WAY, pegs=60)),
         broken_wish=replace(HAT, pins=replace(ONE_WAY, pegs=61))),
]  # fmt: skip


@pytest.mark.parametrize("edge", EDGES, ids=lambda e: e.rule)
def test_holds_breaks_and_breaks_nothing_else(edge: Edge) -> None:
    """The edge itself holds; one step beyond does not; without that rule, and only that one, it does again."""
    assert found(kit_with(*edge.always, *edge.holds), edge.wish)
    kit, wish = kit_with(*edge.always, *edge.breaks), edge.broken_wish or edge.wish
    assert not found(kit, wish)
    assert found(kit, wish, edge.rule)


def test_every_rule_has_an_edge() -> None:
    """A rule without an edge here, or a file of its own beside this one, is a rule that nobody tried."""
    elsewhere = {p.stem.removeprefix("test_").replace("_", "-") for p in Path(__file__).parent.glob("test_*.py")}
    assert {r.name for r in RULES} <= {e.rule for e in EDGES} | elsewhere
