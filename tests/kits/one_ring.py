"""A kit of one ring and one swatch, counted in whole stitches to the inch as the trade counts."""

from catalog.kit import Kit, kit_of


def one_ring(stitches: int, rows: int, pegs: int) -> Kit:
    """A ring of so many pegs whose swatch counts stitches and rows to the inch."""
    tables = {
        "loom": [{"name": "ring", "build": "ring", "pitch": "9.5 mm", "peg_diameter": "3 mm", "pegs": pegs}],
        "yarn": [{"name": "wool", "weight": 4, "length_per_ball": "200 m", "mass_per_ball": "100 g", "fibre": "wool"}],
        "swatch": [
            {"loom": "ring", "yarn": "wool", "stitches": {"count": 4 * stitches, "over": "4 in"},
             "rows": {"count": 4 * rows, "over": "4 in"}}
        ],
    }  # fmt: skip
    return kit_of(tables, "a kit of one ring")
