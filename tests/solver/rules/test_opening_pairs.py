"""opening-pairs: what is picked up from an opening has as many loops from either edge; and the rules round openings."""

from dataclasses import replace
from pathlib import Path

import pytest

from solver.asking.wish import Wish
from tests.kits.edges import ONE_WAY, RING, RING_SWATCH, SWATCH
from tests.kits.small import found, kit_with

SLEEVE = """
title = "sleeve with a patch"

[[piece]]
name = "sleeve"
girth = { around = 1 }
length = { long = 1 }
sections = [
  { kind = "wrapped-cast-on" },
  { kind = "plain", reach = { long = 0.5 } },
  { kind = "opening", opens = "patch" },
  { kind = "plain", rows = "rest" },
  { kind = "bind-off" },
]

[[piece]]
name = "patch"
girth = { around = 1 }
length = { long = 0.5 }
sections = [{ kind = "picked-up" }, { kind = "plain", rows = "rest" }, { kind = "gather" }]
"""


@pytest.mark.parametrize(("pegs", "holds"), [(60, True), (61, False)])
def test_both_edges_give_as_many_loops(tmp_path: Path, pegs: int, holds: bool) -> None:
    """Nothing but the patch asks the sleeve's ring for pairs: 60 pegs are 30 and 30, 61 cannot be halved."""
    (tmp_path / "sleeve.toml").write_text(SLEEVE)
    kit = kit_with(("swatch.0", RING_SWATCH), ("loom.1.pegs", pegs))
    wish = replace(RING, item="sleeve", band=None, recipes=tmp_path, around_um=pegs * 6_000)
    assert found(kit, wish) == holds
    assert found(kit, wish, "opening-pairs")


@pytest.mark.parametrize(("foot_length", "holds"), [("64.796 mm", True), ("64.795 mm", False)])
def test_two_plain_rows_before_an_opening(foot_length: str, holds: bool) -> None:
    """The heel covers 360 mm / 2 pi = 57.296 mm; what is left is 7.5 mm, two rows of 5 mm by half, or just under."""
    wearer = {"name": "cook", "foot": "360 mm", "foot_length": foot_length, "heel": "400 mm"}
    kit = kit_with(("swatch.0", SWATCH), ("wearer.0", wearer), ("yarn.0.wraps_per_inch", 13))
    wish = Wish(
        "slippers", wearer="cook", ease_um=0, long_um=150_000, girth_within_um=0, length_within_um=0,
        band=(25_000, 50_000), pins=ONE_WAY, measured_only=True,
    )  # fmt: skip
    assert found(kit, wish) == holds
    assert found(kit, wish, "room-for-plain")


@pytest.mark.parametrize(("pegs", "holds"), [(22, True), (23, False)])
def test_a_panel_has_whole_repeats_between_its_edge_stitches(pegs: int, holds: bool) -> None:
    """2x2 rib: five repeats of 4 pegs and two edge stitches are 22 pegs; 23 leave one over."""
    wish = Wish(
        "panel", wide_um=pegs * 6_000, long_um=150_000, rib="2x2", girth_within_um=0, length_within_um=0, pins=ONE_WAY,
        measured_only=True,
    )  # fmt: skip
    kit = kit_with(("swatch.0", SWATCH))
    assert found(kit, wish) == holds
    assert found(kit, wish, "whole-repeats")
