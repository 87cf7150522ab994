"""`check`: for each loom yes or no, girths in reach against the oracle, the drawn line, and spans without a size."""

import csv
import io
import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from catalog.item import item_names
from catalog.kit import built_in_kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.report.check import CheckReport, SpanReport
from solver.search.best_first import find
from solver.why.check import check, check_lines
from solver.why.limits import cell_limits
from solver.why.reach import Girths, girths_in_reach
from solver.why.span import span
from solver.why.words.line import Scale, scale_for
from tests import oracle
from tests.command import pegwright
from tests.kits import randomkits
from tests.solver import against

HAT = Wish("hat", around_um=533_400, unit="in")
SEEN: Counter[str] = Counter()


@settings(max_examples=150, derandomize=True, deadline=None, database=None, suppress_health_check=list(HealthCheck))
@given(case=randomkits.cases(gauge_of=against.learned_gauge))
def _girths_agree(case: tuple[dict[str, Any], dict[str, Any]]) -> None:
    plain, words = case
    kit, wish, ask, gauge = against.told(plain, words)
    expected: dict[str, set[int]] = {raw["name"]: set() for raw in plain["loom"]}
    for way in oracle.ways(plain, ask, gauge):
        expected[way.loom.name] |= _girths(ask, way)
    reach = girths_in_reach(cell_limits(ask_of(kit, wish)))
    for loom, girths in expected.items():
        SEEN["some" if girths else "none"] += 1
        assert reach.get(loom, Girths()).every == tuple(sorted(girths))


def _girths(ask: oracle.Ask, way: oracle.Way) -> set[int]:
    """The girths of one way that hold every rule but the girth's, by brute force."""
    piece = ask.pieces[0]
    rows = [r for r in oracle.row_choices(piece, way, frozenset()) if not set(oracle.row_breaks(piece, way, r))]
    if set(oracle.way_breaks(ask, way)) or not rows:
        return set()
    fewest, stock = min(r.total for r in rows), oracle.yarn_on_hand_um(way.yarn)
    return {
        f.pegs * way.gauge.width_um
        for f in oracle.frames(way.loom, False, frozenset())
        if set(oracle.peg_breaks(ask, piece, way, f.pegs)) <= {"girth-within"}
        and not set(oracle.frame_breaks(way, f, False))
        and (stock is None or oracle.piece_yarn_um(piece, way, f.pegs, fewest) <= stock)
    }


def test_girths_in_reach_are_the_oracles() -> None:
    """150 random kits: for every loom the very set of girths that brute force finds."""
    SEEN.clear()
    _girths_agree()
    assert min(SEEN.values()) > 50, SEEN


def test_a_loom_says_yes_with_the_setup_that_find_gives() -> None:
    """The frame and the rake make a 21 in hat as `find --loom` would; the ring of forty does not."""
    kit = built_in_kit()
    report = check(kit, HAT)
    assert [(each.loom, each.allows) for each in report.looms] == [
        ("attic frame", True), ("long rake", True), ("porch ring", False),
    ]  # fmt: skip
    for each in report.looms[:2]:
        best = find(ask_of(kit, Wish("hat", around_um=533_400)), 50).options
        mine = next(o for o in best if o.setup.way.loom.name == each.loom)
        assert each.option
        assert (each.option.pegs, each.option.rows_total) == (
            mine.setup.pieces[0].pegs,
            mine.setup.pieces[0].rows_total,
        )


def test_nearest_girths_lie_on_either_side() -> None:
    """Between 12.9 in and 13.8 in the ring has nothing: 13.4 in ± 0.1 in lies between the two."""
    ring = check(built_in_kit(), Wish("hat", around_um=340_000, girth_within_um=2_000, unit="in")).looms[2]
    assert not ring.allows
    assert ring.nearest_below_mm is not None
    assert ring.nearest_above_mm is not None
    assert ring.nearest_below_mm < 338 < 342 < ring.nearest_above_mm
    assert "in reach are 12.8 in below and 13.8 in above" in ring.says


def test_columns_of_the_drawn_line() -> None:
    """Ten columns of 10 µm: girths at 0, 35 and 99 fill the first, fourth and last; 50 is wanted and not there."""
    scale = Scale(0, 100, 10)
    assert scale.line([0, 35, 99], 50) == "=..=.|...="
    assert scale.line([0, 55], 50) == "=....#...."
    assert scale_for([30, 70], 90, 10) == Scale(30, 91, 10)


@pytest.mark.parametrize("wanted", [100_000, 105_000, 300_000, 590_000, 600_000])
def test_the_pointer_never_leaves_the_scale(wanted: int) -> None:
    """The pointer stands over its column whichever side its words are on, and covers no other words."""
    scale = Scale(100_000, 600_001, 62)
    ruler = scale.ruler(wanted, "cm")
    assert len(ruler) <= 62
    assert ruler[scale.column(wanted)] == "v"
    assert f"{wanted // 10_000}." in ruler


def test_lines_are_of_one_width() -> None:
    """At most 80 columns, the same scale under each other, however long a loom's name is."""
    lines = check_lines(check(built_in_kit(), HAT))
    assert max(map(len, lines)) <= 80
    assert len({len(line) for line in lines[1:]}) == 1


@pytest.mark.parametrize("name", item_names())
def test_every_item_has_a_span(name: str) -> None:
    """Without a size every item of the catalogue shows what each loom can make of it."""
    report = span(built_in_kit(), Wish(name))
    assert {row.loom for row in report.rows} | set(report.none) == {"attic frame", "long rake", "porch ring"}
    assert all(0 < row.girth_least_mm <= row.girth_most_mm for row in report.rows)
    assert all((row.girths == 1) == (row.pegs_least == row.pegs_most) for row in report.rows)


def test_a_span_does_not_depend_on_the_size_it_is_built_at() -> None:
    """A ring of forty pegs makes one girth: forty stitches of the setting."""
    kit = built_in_kit()
    rows = [row for row in span(kit, Wish("headband")).rows if row.loom == "porch ring"]
    widths = {w.key: w.width_um for w in ask_of(kit, Wish("headband", around_um=400_000)).ways}
    for row in rows:
        girth = 40 * widths[row.loom, row.spacers, row.yarn, row.strands] / 1000
        assert (row.girth_least_mm, row.girth_most_mm) == (girth, girth)


def test_json_csv_and_exit_codes(tmp_path: Path) -> None:
    """JSON validates against the published models; 0 where some loom allows the size, 1 where none does."""
    ran = pegwright("check", "hat", "--around", "21 in", "--json", here=tmp_path)
    assert ran.code == 0
    report = CheckReport.model_validate_json(ran.out)
    assert json.loads(ran.out)["format"] == "pegwright.check.v1"
    rows = list(csv.DictReader(io.StringIO(pegwright("check", "hat", "--around", "21 in", "--csv", here=tmp_path).out)))
    assert [row["allows"] for row in rows] == ["true", "true", "false"]
    assert [row["says"] for row in rows] == [each.says for each in report.looms]
    none = pegwright("check", "hat", "--around", "60 in", here=tmp_path)
    assert none.code == 1
    spans = pegwright("check", "hat", "--json", here=tmp_path)
    assert spans.code == 0
    assert SpanReport.model_validate_json(spans.out).rows
    assert pegwright("check", "hat", "--loom", "barn", here=tmp_path).code == 2


def test_a_named_loom_stands_alone() -> None:
    """`--loom` asks of that one."""
    from solver.model.ask import Pins

    report = check(built_in_kit(), Wish("hat", around_um=533_400, pins=Pins(loom="porch ring")))
    assert [each.loom for each in report.looms] == ["porch ring"]
    assert report.looms[0].clash
