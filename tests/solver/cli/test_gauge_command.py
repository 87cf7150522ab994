"""`pegwright gauge`: every setting's gauge, what is doubtful, and the swatch to knit next for an ask."""

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from catalog.errors import InputError
from catalog.kit import Kit, Swatch, built_in_kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.cli.app import app
from solver.cli.spelling import as_option
from solver.gauging.posterior import gauges
from solver.gauging.prior import Prior, Setting, whole
from solver.gauging.table import gauge_report
from solver.model.ask import Pins
from solver.plan.answer import answer
from solver.plan.next_swatch import can_be_knitted, setting_at, with_next
from solver.report.gauge import GaugeReport
from tests.kits.gauge_kits import COBWEB, FRAME, KETTLE, MOSS, OURS, RING, kit, swatch
from tests.kits.randomkits import to_toml

HAT = Wish("hat", around_um=533_400, unit="in")
BOTH = {"loom": [RING], "yarn": [MOSS], "swatch": [swatch(13, 17, OURS._replace(loom="porch ring", spacers=0))]}


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder to work in, at 80 columns."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "80")
    return tmp_path


def run(*words: str, code: int = 0) -> Any:
    """The result of `gauge` with these words."""
    result = CliRunner().invoke(app, ["gauge", *words], catch_exceptions=False)
    assert result.exit_code == code, result.output
    return result


def refused(*words: str) -> str:
    """The InputError of a command, as text."""
    with pytest.raises(InputError) as caught:
        CliRunner().invoke(app, ["gauge", *words], catch_exceptions=False)
    return caught.value.worded(as_option, terminal=True)


def write(folder: Path, **tables: Any) -> None:
    """A kit.toml of these tables."""
    (folder / "kit.toml").write_text(to_toml(tables), encoding="utf-8")


# Loop of the guess: 12 + π/2 (6 + 2.54) = 25.415 mm u-wrapped: 15.191 stitches and 19.988 rows in 4 in. Of the 0.1558
# that 13 counted is wider in ln, 0.0217 / (0.0217 + (0.3/13)² + 0.02²) is believed: 13.09; of the rows 17.09. E-wrapped
# the guess is 0.85 of 12 + π 8.54 = 38.829 mm (the crossing takes the rest): 11.698 in 4 in; 0.0144 / 0.02263 of the
# 0.1558 comes along: 10.59; rows 13.87.
# Spreads: √(0.0217 · 0.000933 / 0.02263 + 0.02²) = 3.60 %, √(0.0217 − 0.0144² / 0.02263 + 0.02²) = 11.37 %.
TABLE = """\
                     over 4 in    over 10 cm
spacers  stitch      st   rows     st   rows    ± %  from
porch ring, moss wool
      0  u-wrap    13.1   17.1   12.9   16.8    3.6  your swatch
      0  e-wrap    10.6   13.9   10.4   13.7   11.4  your other swatches

± %: how far the stitches of a new piece may be off; two pieces in three are
nearer (one sd).
note: swatch 1: 13 stitches over 4 in are those of class 5 (bulky), but "moss
  wool" is class 4 (medium)
"""


def test_the_table_word_for_word(here: Path) -> None:
    """One loom, one yarn, one swatch; the figures as worked out by hand above."""
    write(here, **BOTH)
    result = run()
    assert (result.stdout, result.stderr) == (TABLE, "")


def test_one_unit_when_asked(here: Path) -> None:
    """Per 4 in, or per 10 cm."""
    write(here, **BOTH)
    assert "over 10 cm" not in run("--units", "in").stdout
    assert "over 4 in " not in run("--units", "cm", "--stitch", "u-wrap").stdout.split("note:")[0]
    assert "      0  u-wrap    12.9   16.8    3.6  your swatch\n" in run("--units", "cm").stdout


def test_every_setting_once_in_name_order() -> None:
    """Loom × yarn × stitch × spacers, one strand; a swatch with two strands beside them."""
    doubled = OURS._replace(strands=2)
    report = gauge_report(kit(swatch(16, 20), swatch(12, 15, doubled)))
    at = [Setting(r.loom, r.spacers, r.yarn, r.strands, r.stitch) for r in report.gauges]
    assert len(at) == len(set(at)) == (5 + 1 + 1 + 1) * 2 * 2 + 1  # cobweb has no guess
    assert [s[0] for s in at] == sorted(s[0] for s in at)
    assert [s.yarn for s in at[:21]] == ["kettle chunky"] * 10 + ["moss wool"] * 11
    assert at[10:15] == [OURS._replace(spacers=s) for s in range(5)]
    assert at[20] == doubled
    assert [r.basis for r in report.gauges].count("measured") == 2


def test_rows_are_the_model_s_gauges() -> None:
    """Counts and spreads of the model, to the digits shown."""
    a_kit = kit(swatch(16, 20))
    for row in gauge_report(a_kit).gauges:
        at = Setting(row.loom, row.spacers, row.yarn, row.strands, row.stitch)
        told = gauges(a_kit, [at])[at]
        assert (row.stitch_width_um, row.row_height_um, row.yarn_in_stitch_um) == (
            told.width_um, told.height_um, told.loop_um,
        )  # fmt: skip
        assert row.stitches_per_4in == pytest.approx(101_600 / told.width_um, abs=0.00501)
        assert row.rows_per_10cm == pytest.approx(100_000 / told.height_um, abs=0.00501)
        assert row.stitches_spread_pct == pytest.approx(told.width_ppm / 10_000, abs=0.00501)
        assert row.rows_spread_pct == pytest.approx(told.height_ppm / 10_000, abs=0.00501)


@pytest.mark.parametrize(
    ("stitches", "classes", "text"),
    [
        (15, [5], "5 bulky"),  # 15.0007 by its whole µm, and still the 15 that was counted
        (15.5, [], "none"),
        (16, [4], "4 medium"),
        (24, [2, 3], "2 fine and 3 light"),
        (26.4, [], "none"),
        (6, [7], "7 jumbo"),
    ],
)
def test_classes_by_the_published_ranges(stitches: float, classes: list[int], text: str) -> None:
    """Standard Yarn Weight System: 12-15 is 5, 16-20 is 4, 21-24 is 3 and 23-26 is 2; between 15 and 16 is nothing."""
    (row,) = gauge_report(kit(swatch(stitches, 20)), measured_only=True).gauges
    assert (row.stitches_per_4in, row.classes, row.class_text) == (stitches, classes, text)


def test_gaps_between_classes_are_a_remark_of_the_swatch(here: Path) -> None:
    """15.5, once; and not a word of it where a hat is looked for."""
    write(here, loom=[FRAME], yarn=[MOSS], swatch=[swatch(15.5, 20)])
    out = " ".join(run("--gauge", "measured").stdout.split())
    assert "2 u-wrap 15.5 20.0 15.3 19.7 3.4 your swatch" in out
    assert out.count("swatch 1: 15.5 stitches over 4 in fall in no yarn class: the published ranges leave gaps") == 1
    found = CliRunner().invoke(app, ["find", "hat", "--around", "9 in"], catch_exceptions=False)
    assert "class" not in found.stdout


def test_yours_first_and_the_rest_on_all(here: Path) -> None:
    """Swatched settings, then the looms as they stand; how many more there are; few are all shown unasked."""
    stands = {"sides": ["short"], "ends": "end", "pegs_per_side": 18, "spacers": 1}
    frame = {**FRAME, "end_boards": [{"name": "end", "pegs": 6, "on_hand": 2}], "set_up_as": stands}
    write(here, loom=[frame, RING], yarn=[MOSS, KETTLE], swatch=[swatch(12, 15, OURS._replace(yarn="kettle chunky"))])
    short, full = run("--units", "in"), run("--units", "in", "--all")
    assert [row.split()[:2] for row in short.stdout.splitlines() if "wrap" in row] == [
        ["2", "u-wrap"], ["1", "u-wrap"], ["1", "u-wrap"], ["0", "u-wrap"], ["0", "u-wrap"],
    ]  # fmt: skip
    assert "19 more settings of your looms and yarns: --all." in short.stdout
    assert sum("wrap" in row for row in full.stdout.splitlines()) == 24
    assert full.stdout.splitlines()[:4] == short.stdout.splitlines()[:4]
    assert short.stdout.splitlines()[2].split()[0::2] == ["attic", "kettle"]
    assert "--all" not in full.stdout
    assert sum("wrap" in row for row in run("--loom", "porch ring").stdout.splitlines()) == 4
    assert len(json.loads(run("--json").stdout)["gauges"]) == 24


def test_pins_leave_what_they_name() -> None:
    """Each alone, and names that do not exist."""
    a_kit = kit(swatch(16, 20))
    assert {r.loom for r in gauge_report(a_kit, Pins(loom="long rake")).gauges} == {"long rake"}
    assert {r.yarn for r in gauge_report(a_kit, Pins(yarn="moss wool")).gauges} == {"moss wool"}
    assert {(r.loom, r.spacers) for r in gauge_report(a_kit, Pins(spacers=3)).gauges} == {("attic frame", 3)}
    assert {r.strands for r in gauge_report(a_kit, Pins(strands=3)).gauges} == {3}
    assert {r.stitch for r in gauge_report(a_kit, stitch="e-wrap").gauges} == {"e-wrap"}
    with pytest.raises(InputError, match=r'loom: found loom "atic frame", which does not exist\n.*"attic frame"'):
        gauge_report(a_kit, Pins(loom="atic frame"))
    with pytest.raises(InputError, match=r"spacers: found 1, expected at most 0"):
        gauge_report(a_kit, Pins(loom="porch ring", spacers=1))


def test_doubtful_swatches_are_named(here: Path) -> None:
    """The miscount by its place in the kit and its setting, with what to do."""
    write(here, loom=[FRAME], yarn=[MOSS], swatch=[swatch(n, 20) for n in (16, 13, 16, 16)])
    (doubt,) = json.loads(run("--json").stdout)["doubts"]
    assert (doubt["swatch"], doubt["what"], doubt["percent"], doubt["deviations"]) == (2, "stitches", 19, 6.0)
    assert {k: doubt[k] for k in OURS._fields} == OURS._asdict()
    assert doubt["says"].startswith("swatch 2 (attic frame, 2 spacers, moss wool, u-wrap) is doubted: 13 stitches")
    assert "doubt: swatch 2 (attic frame, 2 spacers, moss wool, u-wrap) is doubted: 13\n" in run().stdout


def test_what_teaches_nothing_is_said() -> None:
    """A mass without a label, a yarn whose thickness nobody knows; neither where only swatches are asked for."""
    weighed = swatch(12, 15, OURS._replace(yarn="kettle chunky"), mass="15 g", knitted={"stitches": 30, "rows": 40})
    lace = "no starting guess for cobweb: class 0 has no wraps per inch in the catalogue; give wraps_per_inch, "
    lace += "or knit a swatch"
    mass = 'swatch[1]: its mass is left aside: "kettle chunky" has no length_per_ball and mass_per_ball to weigh it by'
    assert gauge_report(kit(weighed)).notes == [lace, mass]
    assert gauge_report(kit(weighed), measured_only=True).notes == [mass]
    assert gauge_report(kit(), Pins(yarn="moss wool")).notes == []


def test_json_and_csv_say_the_same(here: Path) -> None:
    """The JSON is the report; the CSV has its rows."""
    write(here, loom=[FRAME, RING], yarn=[MOSS, KETTLE, COBWEB], swatch=[swatch(16, 20)])
    report = GaugeReport.model_validate_json(run("--json").stdout)
    lines = list(csv.DictReader(io.StringIO(run("--csv").stdout)))
    assert report.format == "pegwright.gauge.v1"
    assert len(lines) == len(report.gauges) == 24
    for line, row in zip(lines, report.gauges, strict=True):
        assert line == {k: str(v) for k, v in row.model_dump().items() if k not in ("classes", "yours")} | {
            "yours": str(row.yours).lower()
        }


def test_a_kit_without_swatches_has_none_measured(here: Path) -> None:
    """Said in words, not as an empty table."""
    write(here, loom=[FRAME], yarn=[MOSS])
    assert run("--gauge", "measured").stdout.startswith("No setting has a swatch yet: `pegwright swatch add` logs one.")


def spread_with(a_kit: Kit, at: Setting, targets: list[Setting]) -> float:
    """Mean spread of the targets, per cent, with that setting swatched: as many stitches as the guess puts in 4 in."""
    um = Prior(a_kit).stitch_um(at)
    assert um is not None
    new = Swatch.model_validate(swatch(whole(101_600 / um[0]), whole(101_600 / um[1]), at))
    told = gauges(a_kit.model_copy(update={"swatch": (*a_kit.swatch, new)}), targets)
    return sum(told[t].width_ppm for t in targets) / len(targets) / 10_000


@pytest.mark.parametrize(
    "wish", [HAT, Wish("headband", body_um=560_000), Wish("hat", around_um=533_400, measured_only=True)]
)
def test_the_next_swatch_is_the_best_of_all_really_added(wish: Wish) -> None:
    """Every setting of the kit added in turn: none leaves the girth of the best option surer. Its miss is 0.8 sd."""
    a_kit = built_in_kit()
    got = answer(a_kit, wish, 1)
    (option,) = got.found.options
    targets = [setting_at(option.setup.way, got.ask)]
    best = with_next(gauge_report(a_kit), a_kit, wish).next_swatch
    assert best is not None
    every = {setting_at(way, got.ask) for way in got.ask.ways}
    after = {at: spread_with(a_kit, at, targets) for at in every}
    mine = Setting(best.loom, best.spacers, best.yarn, best.strands, best.stitch)
    assert after[mine] == pytest.approx(min(after.values()), abs=1e-4)
    assert best.spread_after_pct == pytest.approx(after[mine], abs=0.00511)
    now = gauges(a_kit, targets, pooled=wish.measured_only)[targets[0]].width_ppm / 1e4
    assert best.spread_now_pct == pytest.approx(now, abs=0.00511)
    girth_mm = option.setup.pieces[0].girth_um / 1000
    assert best.girth_miss_now_mm == pytest.approx(0.008 * now * girth_mm, abs=0.001)
    assert best.girth_miss_after_mm == pytest.approx(0.008 * after[mine] * girth_mm, abs=0.01)


def test_no_swatch_is_asked_for_that_cannot_be_knitted() -> None:
    """4 spacers in the tin reach for one at both bolts of two sides. Two strands of moss wool are 3.6 mm thick and of
    the chunky yarn 5.1 mm, where 9.5 mm from peg to peg takes 4.37 (0.46, own)."""
    a_kit = kit(loom=[FRAME | {"spacers": {"thickness": "1.6 mm", "most": 4, "on_hand": 4}}], yarn=[MOSS, KETTLE])
    ask = ask_of(a_kit, HAT)
    known = {(w.spacers, w.yarn, w.strands) for w in ask.ways if can_be_knitted(ask, w)}
    assert len(ask.ways) == 5 * 2 * 2
    assert known == {
        (s, yarn, n) for s in (0, 1) for yarn, n in (("moss wool", 1), ("moss wool", 2), ("kettle chunky", 1))
    }


def test_the_next_swatch_in_words(here: Path) -> None:
    """Built-in kit, whatever --top: the setting of the hat that would be knitted, and how much less it would miss."""
    for more in ((), ("--top", "5", "--stitch", "u-wrap")):
        out = " ".join(run("--for", "hat", "--around", "21 in", *more).stdout.split())
        assert "Knit next: attic frame, 2 spacers, moss wool, u-wrap." in out
        assert (
            "The girth of the best hat is likely to miss by 0.56 in as things are, by 0.47 in with that swatch: "
            "0.09 in less (its spread 3.4 %, then 2.8 %)."
        ) in out


def test_no_setup_no_next_swatch(here: Path) -> None:
    """The table all the same, a note, and exit code 1."""
    result = run("--for", "hat", "--around", "90 in", "--loom", "porch ring", code=1)
    assert "porch ring, moss wool\n" in result.stdout
    assert "note: no setup of this kit makes that hat: `pegwright find` says why\n" in result.stdout
    assert json.loads(run("--for", "hat", "--around", "90 in", "--json", code=1).stdout)["next_swatch"] is None


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--around", "21 in"), "--for: found nothing, expected the item that this is asked for"),
        (("--pegs", "40"), "--for: found nothing"),
        (("--for", "hatt", "--around", "21 in"), 'found item "hatt", which does not exist'),
        (("--for", "hat"), "--around: found none of them, expected one of"),
        (("--stitch", "v-wrap"), '--stitch: found "v-wrap", expected one of u-wrap, e-wrap'),
        (("--units", "ell"), '--units: found "ell", expected one of in, cm'),
        (("--yarn", "mos wool"), 'did you mean "moss wool"?'),
        (("--spacers", "7"), "--spacers: found 7, expected at most 4, as the looms allow"),
        (("--kit", "gone.toml"), "gone.toml: found no such file"),
    ],
)
def test_bad_input(here: Path, words: tuple[str, ...], says: str) -> None:
    """The option, what was found, what was expected."""
    assert says in refused(*words)
