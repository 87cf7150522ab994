"""`find` as a user meets it: tables at 80 columns, JSON of its published schema, CSV, units, time, exit codes."""

import csv
import io
import json
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from catalog.kit import built_in_kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.timing import Undecided
from solver.report.find import FindReport
from solver.search.best_first import find
from solver.search.cpsat import least
from tests.bench.kit import bench_kit
from tests.command import ROOT, START, pegwright, process

SETTLED = set(
    "rank front loom build side_boards end_board pegs pegs_per_side pegs_per_end spacers yarn strands rib stitch "
    "pieces rows_total rows_plain rows_band sections stitch_width_um row_height_um gauge_basis gauge_spread_pct "
    "girth_mm girth_likely_mm length_mm band_depth_mm band_relaxed_girth_mm girth_miss_mm length_miss_mm "
    "band_miss_mm fit_error_mm risk_mm likely_miss_mm score_mm chance_of_fit yarn_m yarn_g balls yarn_on_hand_m "
    "changes".split()
)
HAT = ("find", "hat", "--around", "21 in")


def test_the_table_folds_to_80_columns(tmp_path: Path) -> None:
    """Every line of table, notes and cautions fits, for a grown hat and for a baby's."""
    for words in (HAT, ("find", "hat", "--age", "3 months"), ("find", "hat-brim-first", "--size", "adult-man")):
        ran = pegwright(*words, here=tmp_path)
        assert ran.code == 0
        assert max(len(line) for line in ran.out.splitlines()) <= 80


def test_json_is_the_object_that_the_table_is_drawn_from(tmp_path: Path) -> None:
    """It validates against the published model, and its names are the settled ones."""
    ran = pegwright(*HAT, "--json", here=tmp_path)
    report = FindReport.model_validate_json(ran.out)
    assert report.format == "pegwright.find.v1"
    assert report.complete
    option = json.loads(ran.out)["options"][0]
    assert SETTLED <= set(option)
    assert {"kind", "rows", "pegs", "stitches", "yarn_mm"} <= set(option["sections"][0])
    schema = json.loads(pegwright("show", "schema", "find").out)
    assert schema["title"] == "FindReport"
    assert set(option) == set(schema["$defs"]["OptionPlan"]["properties"])


def test_sections_add_up_to_the_option(tmp_path: Path) -> None:
    """Rows of the sections are the rows in all; their yarn and two tails are the yarn in all."""
    for option in json.loads(pegwright(*HAT, "--json", "--top", "9", here=tmp_path).out)["options"]:
        assert sum(s["rows"] for s in option["sections"]) == option["rows_total"]
        assert option["rows_plain"] + option["rows_band"] == option["rows_total"]
        tails = 2 * 150 * 1.1 * option["strands"]
        assert sum(s["yarn_mm"] for s in option["sections"]) + tails == pytest.approx(1000 * option["yarn_m"], abs=1)


def test_csv_has_a_line_for_each_option(tmp_path: Path) -> None:
    """Plain values under the names of the JSON."""
    rows = list(csv.DictReader(io.StringIO(pegwright(*HAT, "--csv", here=tmp_path).out)))
    options = json.loads(pegwright(*HAT, "--json", here=tmp_path).out)["options"]
    assert [int(r["pegs"]) for r in rows] == [o["pegs"] for o in options]
    assert rows[0]["side_boards"] == "long + short"
    assert rows[0]["front"] == "true"
    assert rows[0]["changes"] == "; ".join(options[0]["changes"])
    assert rows[0]["girth_likely_mm"] == "..".join(str(mm) for mm in options[0]["girth_likely_mm"])


def test_units_follow_what_was_typed_or_what_was_asked(tmp_path: Path) -> None:
    """Inches in, inches out; --units has the last word."""
    assert " in" in pegwright(*HAT, here=tmp_path).out
    assert " cm" in pegwright("find", "hat", "--around", "53 cm", here=tmp_path).out
    both = pegwright(*HAT, "--units", "cm", here=tmp_path).out
    assert "53.4 cm        exact 21.3 cm        exact" in both
    assert "8.4 in" not in both


def test_columns_say_what_they_hold(tmp_path: Path) -> None:
    """Each size with how far it is off; rows as plain + rib where there is a rib; the gauge in a knitter's words."""
    hat = pegwright(*HAT, "--top", "2", here=tmp_path).out
    assert hat.splitlines()[0].split() == (
        ["no.", "pegs", "plain", "+", "rib", "girth", "off", "by", "length", "off", "by", "yarn", "fits"]
    )
    assert "in work), 2 spacers; 1 ball; your swatch\n" in hat
    assert "spacers; 1 ball; your other swatches\n" in hat
    assert "All on the attic frame, in moss wool.\n" in hat
    assert "Nothing in this kit does better.\n" in hat
    assert "your swatch, ±3.4%" in pegwright(*HAT, "--top", "2", "--more", here=tmp_path).out
    assert "fits: how likely the girth comes within 1.0 in of the one asked" in hat
    (tmp_path / "kit.toml").write_text(bare(), encoding="utf-8")
    panel = pegwright("find", "panel", "--wide", "9 in", "--long", "9 in", "--top", "1", here=tmp_path).out
    assert panel.splitlines()[0].split()[1:4] == ["pegs", "rows", "width"]
    assert "a guess" in " ".join(panel.split())


def test_an_option_takes_two_lines(tmp_path: Path) -> None:
    """Figures, and how it is worked: at 80 columns no third line on the built-in kit, whatever the fit."""
    for fit in ("loose", "true", "close", "snug"):
        out = pegwright("find", "hat", "--body", "55 cm", "--fit", fit, here=tmp_path).out
        assert [line[:3].strip(" *") for line in out.splitlines()[1:11:2]] == ["1", "2", "3", "4", "5"]


def bare() -> str:
    """The built-in kit without its swatch."""
    text = (ROOT / "catalog" / "kit.toml").read_text(encoding="utf-8")
    start = text.index("[[swatch]]")
    return text[:start] + text[text.index("[[", start + 2) :]


def test_stdout_is_data_and_stderr_is_talk(tmp_path: Path) -> None:
    """With the built-in kit the JSON alone is on stdout; with a kit of one's own there is no talk at all."""
    ran = process(*HAT, "--json", here=tmp_path)
    assert json.loads(ran.out)
    assert "NOT YOURS" in ran.err
    assert process("kit", "new", here=tmp_path).code == 0
    assert (tmp_path / "kit.toml").exists()
    assert process(*HAT, "--json", here=tmp_path).err == ""


def test_no_colour_codes_and_no_failure_when_the_reader_leaves(tmp_path: Path) -> None:
    """`pegwright find … | head -1` ends quietly; output to a pipe has no escape codes."""
    find_it = f"{sys.executable} -c '{START}' find hat --around '21 in' --json | head -1"
    done = subprocess.run(
        ["bash", "-c", find_it],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env={"PYTHONPATH": str(ROOT), "PATH": "/usr/bin:/bin"},
    )
    assert (done.returncode, done.stdout) == (0, "{\n")
    assert "Traceback" not in done.stderr
    assert "\x1b" not in process(*HAT, here=tmp_path).out


def test_no_time_is_exit_3_and_says_what_was_proven(tmp_path: Path) -> None:
    """Undecided is never "no": exit 3, `complete` false, and how far the search came."""
    ran = pegwright(*HAT, "--seconds", "0", "--json", here=tmp_path)
    report = json.loads(ran.out)
    assert (ran.code, report["complete"], report["options"]) == (3, False, [])
    assert report["notes"][-1] == "time ran out before every way to work was looked at: nothing is proven"
    assert pegwright(*HAT, "--seconds", "60", here=tmp_path).code == 0


def test_half_the_time_gives_true_options_though_not_all() -> None:
    """What a stopped search shows holds all rules; a full one's best is at least as good."""
    ask = ask_of(bench_kit(8), Wish("hat", around_um=533_400))
    full = find(ask, 20)
    stopped = find(ask, 20, seconds=0.02)
    assert full.complete
    if not stopped.complete and stopped.options:
        assert stopped.options[0].score >= full.options[0].score
        assert stopped.least_score is not None


def test_the_engine_raises_rather_than_guess() -> None:
    """A deadline that has passed is Undecided, never "no setup"."""
    ask = ask_of(built_in_kit(), Wish("hat", around_um=533_400))
    with pytest.raises(Undecided):
        least(ask, (ask.ways[0],), lambda _, setup: setup.yarn_um, deadline=0.0)


def test_a_clash_is_data_in_json_and_talk_beside_csv(tmp_path: Path) -> None:
    """Exit 1 either way; the sentences of the JSON are those of the text, and CSV has its header alone."""
    words = (*HAT, "--loom", "porch ring")
    text = " ".join(pegwright(*words, here=tmp_path).out.split())
    ran = pegwright(*words, "--json", here=tmp_path)
    report = json.loads(ran.out)
    assert (ran.code, report["format"]) == (1, "pegwright.clash.v1")
    assert report["says"] in text
    for repair in report["repairs"]:
        assert repair["says"] in text
        assert repair["option"]["pegs"] > 0
    quiet = pegwright(*words, "--csv", here=tmp_path)
    assert (quiet.code, quiet.out) == (1, pegwright(*HAT, "--csv", here=tmp_path).out.splitlines()[0] + "\n")
    assert report["says"] in " ".join(quiet.err.split())


def test_the_version_is_told(tmp_path: Path) -> None:
    """`--version` names the installed version, from the package's own metadata."""
    ran = pegwright("--version", here=tmp_path)
    with (ROOT / "pyproject.toml").open("rb") as file:
        assert ran.out == f"pegwright {tomllib.load(file)['project']['version']}\n"


def test_a_note_says_what_the_options_rest_on(tmp_path: Path) -> None:
    """In the words of the table: other swatches, or a guess."""
    said = " ".join(pegwright(*HAT, "--top", "2", here=tmp_path).out.split())
    assert "note: option 2 rests on your other swatches: knit a swatch; the girth may be 1.4 in off" in said
    (tmp_path / "kit.toml").write_text(bare(), encoding="utf-8")
    said = " ".join(pegwright(*HAT, "--top", "2", here=tmp_path).out.split())
    assert "note: options 1, 2 rest on a guess: knit a swatch; the girth may be 4.0 in off" in said
