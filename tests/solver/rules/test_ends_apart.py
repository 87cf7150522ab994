"""Two ends with pegs stand at least 30 mm apart (own): "1 peg of each side and 6 of each end" lets no hook in."""

import pytest

from solver.asking.wish import Wish
from tests.kits.edges import ONE_WAY, SWATCH
from tests.kits.small import found, kit_with


@pytest.mark.parametrize(
    ("pegs", "end", "holds"),
    [
        (18, 6, True),  # 3 pegs of each side, 10 mm from one to the next
        (16, 6, False),  # 2 pegs: 20 mm
        (16, 5, True),
        (4, 0, True),  # ends without pegs are in nobody's way
    ],
)
def test_a_hook_gets_between_the_ends(pegs: int, end: int, holds: bool) -> None:
    """A ball of so many pegs of 6 mm; where that law is dropped the nearer one can be made as well."""
    kit = kit_with(("swatch.0", SWATCH), ("loom.0.ends_anywhere", True), ("loom.0.end_boards.0.pegs", end))
    ball = Wish(
        "ball", around_um=pegs * 6_000, girth_within_um=0, length_within_um=9_000, pins=ONE_WAY, measured_only=True
    )
    assert found(kit, ball) == holds
    assert found(kit, ball, "pegs-on-loom")
