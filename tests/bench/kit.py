"""The bench kit: 6 looms, 12 board lengths, 6 spacer settings, 30 yarns; 1,560 ways to work with one or two strands."""

from typing import Any

from catalog.kit import Kit, kit_of

FIBRES = ("wool", "acrylic", "cotton", "nylon")


def bench_tables(yarns: int = 30) -> dict[str, Any]:
    """The kit as tables of its file."""
    return {
        "loom": [*(_frame(i) for i in range(4)), _slider(), _ring()],
        "yarn": [_yarn(i) for i in range(yarns)],
        "swatch": [_swatch(i) for i in range(3)],
    }


def bench_kit(yarns: int = 30) -> Kit:
    """The kit read as a user's would be."""
    return kit_of(bench_tables(yarns), "the bench kit")


def _frame(i: int) -> dict[str, Any]:
    return {
        "name": f"frame {i}", "build": "boards", "pitch": f"{8 + i} mm", "peg_diameter": "3 mm", "base_gap": "3 mm",
        "spacers": {"thickness": "1.6 mm", "most": 5, "on_hand": 80}, "bolts_per_board": 2,
        "joining": True, "ends_anywhere": i % 2 == 0,
        "side_boards": [{"name": f"board {n}", "pegs": n, "on_hand": 2 + 2 * (n % 2)} for n in range(6, 42, 3)],
        "end_boards": [{"name": "end 4", "pegs": 4, "on_hand": 2}, {"name": "end 6", "pegs": 6, "on_hand": 2}],
        "set_up_as": {"sides": ["board 12"], "ends": "end 4", "pegs_per_side": 12, "spacers": 1},
    }  # fmt: skip


def _slider() -> dict[str, Any]:
    sizes = {"pitch": "12.7 mm", "peg_diameter": "5 mm", "pegs_least": 16, "pegs_most": 96}
    return {"name": "rake", "build": "slider", **sizes}


def _ring() -> dict[str, Any]:
    return {"name": "ring", "build": "ring", "pitch": "12 mm", "peg_diameter": "5 mm", "pegs": 56}


def _yarn(i: int) -> dict[str, Any]:
    weight = 3 + i % 4
    length = {3: 240, 4: 200, 5: 110, 6: 60}[weight] + i
    stock = {"balls": 1 + i % 5} if i % 3 else {}
    name = {"name": f"yarn {i:02}", "weight": weight, "fibre": FIBRES[i % 4]}
    return {**name, "length_per_ball": f"{length} m", "mass_per_ball": "100 g", **stock}


def _swatch(i: int) -> dict[str, Any]:
    counts = {"stitches": {"count": 16 - i, "over": "4 in"}, "rows": {"count": 20 - i, "over": "4 in"}}
    return {"loom": f"frame {i}", "spacers": 2, "yarn": f"yarn {i + 1:02}", **counts}
