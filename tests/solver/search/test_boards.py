"""The handiest boards by sums against CP-SAT, which used to lay them out: the same boards, to the name."""

from collections import Counter
from dataclasses import replace
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from catalog.kit import kit_of
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.ask import Ask, Pins
from solver.search import ties
from solver.search.best_first import cells_of, solve
from solver.search.boards import bolted
from solver.search.option import Option
from tests.bench.kit import bench_kit
from tests.kits.draws import drawn, some_or_many

SEEN: Counter[str] = Counter()
DROPS = ((), ("spacers-on-hand",))
WOOL = {"name": "wool", "weight": 4, "fibre": "wool", "length_per_ball": "200 m", "mass_per_ball": "100 g"}
HAT = Wish("hat", around_um=450_000, long_um=200_000, girth_within_um=300_000, rib="1x1")
PANEL = Wish("panel", wide_um=300_000, long_um=200_000, girth_within_um=300_000)


@st.composite
def frames(draw: Any) -> dict[str, Any]:
    """A frame of up to four lengths of boards and two of ends, bolted as it may stand."""
    lengths = draw(st.lists(st.integers(4, 9), min_size=1, max_size=4, unique=True))
    sides = [{"name": f"side {n}", "pegs": n, "on_hand": draw(st.integers(1, 8))} for n in lengths]
    ends = [
        {"name": f"end {n}", "pegs": n, "on_hand": draw(st.sampled_from([1, 2, 2, 3]))}
        for n in (3, 4)[: draw(st.sampled_from([0, 1, 2, 2]))]
    ]
    loom = {
        "name": "frame", "build": "boards", "pitch": "10 mm", "peg_diameter": "3 mm", "base_gap": "5 mm",
        "spacers": {"thickness": "1 mm", "most": 2, "on_hand": draw(st.sampled_from([8, 16, 24, 40, 80]))},
        "bolts_per_board": 2, "joining": draw(st.sampled_from([True, True, False])),
        "ends_anywhere": draw(st.booleans()), "side_boards": sides,
    }  # fmt: skip
    if ends:
        loom["end_boards"] = ends
    standing = [s["name"] for s in sides for _ in range(s["on_hand"] // 2)][: 3 if loom["joining"] else 1]
    if standing and draw(st.integers(0, 5)) and (not ends or any(e["on_hand"] > 1 for e in ends)):
        full = sum(int(name.split()[1]) for name in standing)
        along = draw(st.integers(1, full)) if loom["ends_anywhere"] else full
        loom["set_up_as"] = {"sides": standing, "pegs_per_side": along, "spacers": draw(st.integers(0, 2))}
        if ends:
            loom["set_up_as"]["ends"] = draw(st.sampled_from([e["name"] for e in ends if e["on_hand"] > 1]))
    return loom


def _each(loom: dict[str, Any], dropped: tuple[str, ...], flat: bool, spacers: int, at: int) -> None:
    kit = kit_of({"loom": [loom], "yarn": [WOOL]}, "a frame")
    wish = replace(PANEL if flat else HAT, pins=Pins(spacers=spacers, strands=1))
    ask = ask_of(kit, wish, frozenset(dropped) | {"gather-bulk", "yarn-suits-pitch", "not-flimsy", "not-jammed"})
    cells = [c for c in cells_of(ask, all_pegs=True) if c.ways[0].key[1::2] == (spacers, 1)]
    for cell in [cells[at % len(cells)]] if cells else []:
        option = solve(ask, cell)
        if option:
            by_sums, by_model = _by_sums(ask, option), ties._solved(ask, option, None)
            assert by_sums == by_model
            ways = len({key for key, count in by_sums.items() if "side" in key and count})
            SEEN["flat" if flat else "round"] += 1
            SEEN["joined"] += ways > 1
            SEEN["anywhere" if loom["ends_anywhere"] else "at the last peg"] += 1
            SEEN["stands"] += "set_up_as" in loom


def _by_sums(ask: Ask, option: Option) -> dict[str, int]:
    return bolted(ask, option.cell.ways, [p.pegs for p in option.setup.pieces])


@some_or_many(500, 5_000, long=True)
def test_sums_and_solver_lay_out_the_same_boards(examples: int) -> None:
    """Round and flat, ends at the last peg or anywhere, spacers on hand or not, frames that stand or not."""
    SEEN.clear()
    each = {"loom": frames(), "dropped": st.sampled_from(DROPS), "flat": st.booleans(), "spacers": st.integers(0, 2)}
    drawn(examples)(given(**each, at=st.integers(0, 99))(_each))()
    kinds = ("flat", "round", "joined", "anywhere", "at the last peg", "stands")
    assert min(SEEN[kind] for kind in kinds) > examples // 50, SEEN


def test_twelve_kinds_of_boards_joined() -> None:
    """The bench kit: sides of up to eighteen boards of twelve lengths, spacers that bind."""
    ask = ask_of(bench_kit(), Wish("hat", around_um=533_400))
    options = [o for cell in cells_of(ask)[:12] if (o := solve(ask, cell)) and o.setup.pieces[0].sides]
    assert len(options) > 5
    for option in options:
        assert _by_sums(ask, option) == ties._solved(ask, option, None)
