"""`sizes`: each row is what `find` gives, named bodies and typed lengths, a short reason where a size fails."""

import csv
import io
import json
from pathlib import Path

import pytest

from catalog.body import SIZES
from catalog.errors import InputError
from catalog.kit import built_in_kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.ask import Pins
from solver.plan.in_plain import option_plan
from solver.report.check import SizesReport
from solver.search.best_first import find
from solver.why.sizes import sizes, unit_in
from tests.bench.kit import bench_kit
from tests.command import pegwright

HAT = Wish("hat", unit="in")


def test_each_row_is_the_best_of_find() -> None:
    """Sharing the gauges changes nothing: the same option as an ask of that size alone."""
    kit = bench_kit(8)
    report = sizes(kit, HAT, "15in,17 1/2in,adult-woman")
    assert [row.size for row in report.rows] == ["15.0 in", "17.5 in", "adult-woman"]
    alone = (Wish("hat", body_um=381_000), Wish("hat", body_um=444_500), Wish("hat", size="adult-woman"))
    for row, wish in zip(report.rows, alone, strict=True):
        assert row.option == option_plan(find(ask_of(kit, wish), 1).options[0], 1)


def test_mittens_are_graded_too() -> None:
    """A pair with its thumbs, as `find` has them, also where the loom is named: the thumb goes elsewhere or is flat."""
    kit = built_in_kit()
    report = sizes(kit, Wish("mittens", fit="snug", pins=Pins(loom="long rake")), "23cm,adult-man")
    for row, wish in zip(report.rows, ({"body_um": 230_000}, {"size": "adult-man"}), strict=True):
        best = find(ask_of(kit, Wish("mittens", fit="snug", pins=Pins(loom="long rake"), **wish)), 1).options  # type: ignore[arg-type]
        assert row.option == option_plan(best[0], 1)
        thumb = row.option.pieces[1]
        assert (thumb.loom, thumb.flat) in (("attic frame", False), ("long rake", True))


def test_without_a_list_every_body_of_the_catalogue() -> None:
    """Hats have every size; a cowl is for nobody under two years."""
    kit = built_in_kit()
    assert [row.size for row in sizes(kit, HAT).rows] == list(SIZES)
    assert sizes(kit, Wish("cowl")).rows[0].size == "2-years"


def test_a_size_that_fails_says_why() -> None:
    """Sixty inches are more than the boards on hand; on a named ring the reason is the ring's."""
    kit = built_in_kit()
    good, bad = sizes(kit, HAT, "21in,60in").rows
    assert good.option
    assert not good.clash
    assert bad.option is None
    assert bad.says == "57 in round takes 228 pegs; your boards give 108, which makes 27.0 in"
    assert [each.rule for each in bad.clash][-1] == "girth-within"
    (ring,) = sizes(kit, Wish("hat", unit="in", pins=Pins(loom="porch ring")), "21in").rows
    assert ring.says == "20 in round takes 58 pegs; the porch ring has 40, which makes 13.8 in"


def test_things_without_a_body_are_their_own_size() -> None:
    """A ball of 10 in is 10 in round; a panel of 10 in is so wide; neither has sizes of its own."""
    kit = built_in_kit()
    assert sizes(kit, Wish("ball"), "10in").rows[0].girth_mm == 254.0
    assert sizes(kit, Wish("panel", long_um=500_000), "10in").rows[0].girth_mm == 254.0
    with pytest.raises(InputError, match="expected the sizes of the ball"):
        sizes(kit, Wish("ball"))


@pytest.mark.parametrize(
    ("listed", "message"),
    [
        ("15", "has no unit"),
        ("15in,giant", 'found size "giant", which does not exist'),
        (",", "sizes with commas between"),
        ("21 kg", "measures something else"),
    ],
)
def test_lists_that_cannot_be_read(listed: str, message: str) -> None:
    """A clear error that says what was expected."""
    with pytest.raises(InputError, match=message):
        sizes(built_in_kit(), HAT, listed)


def test_a_girth_beside_the_run_is_refused() -> None:
    """`--around` names one size, `sizes` a run."""
    with pytest.raises(InputError, match="a run has many"):
        sizes(built_in_kit(), Wish("hat", around_um=500_000), "15in")


def test_the_unit_is_that_of_the_list() -> None:
    """The first length that is typed decides; a list of names is told in centimetres."""
    assert unit_in("adult-man, 15in,40cm") == "in"
    assert unit_in("newborn,adult-man") == "cm"


def test_table_json_and_csv(tmp_path: Path) -> None:
    """One row each, the same figures; 1 where no size at all has a setup."""
    words = ("sizes", "hat", "--sizes", "15in,17in,60in")
    report = SizesReport.model_validate_json(pegwright(*words, "--json", here=tmp_path).out)
    assert json.loads(report.model_dump_json())["format"] == "pegwright.sizes.v1"
    rows = list(csv.DictReader(io.StringIO(pegwright(*words, "--csv", here=tmp_path).out)))
    assert [row["pegs"] for row in rows] == [str(r.option.pegs) if r.option else "" for r in report.rows]
    assert rows[2]["says"] == report.rows[2].says
    table = pegwright(*words, here=tmp_path)
    assert table.code == 0
    assert max(len(line) for line in table.out.splitlines()) <= 80
    assert report.rows[2].says in " ".join(table.out.split())
    assert pegwright("sizes", "hat", "--sizes", "60in", here=tmp_path).code == 1
    assert " cm" in pegwright(*words, "--units", "cm", here=tmp_path).out


def test_notes_of_one_size_are_not_said_of_all() -> None:
    """What is assumed for each is told once; the head of one body is not."""
    notes = sizes(built_in_kit(), HAT, "newborn,adult-man").notes
    assert notes == ["fit taken as close: none was given"]
