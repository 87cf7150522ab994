"""The commands `kit` and `swatch`: what is said, what is written, what is asked on a terminal."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import typer
from typer.testing import CliRunner

from catalog.errors import InputError
from catalog.kit import load_kit
from catalog.kitfile import new_kit
from catalog.kitplace import find_kit
from catalog.shapes import HERE
from solver.cli.kit import kit_app
from solver.cli.spelling import as_option
from solver.cli.swatch import swatch_app

ROOT = Path(__file__).parents[3]
APP = typer.Typer()
APP.add_typer(kit_app, name="kit")
APP.add_typer(swatch_app, name="swatch")
FULL = ["swatch", "add", "--loom", "porch ring", "--yarn", "moss wool"]
FULL += ["--stitches", "9 over 4in", "--rows", "13 over 4in"]


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty folder to work in, at 80 columns."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "80")
    return tmp_path


def run(*words: str) -> Any:
    """The result of a command that is expected to end well."""
    result = CliRunner().invoke(APP, words, catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result


def refused(*words: str) -> str:
    """The InputError of a command, as text."""
    with pytest.raises(InputError) as caught:
        CliRunner().invoke(APP, words, catch_exceptions=False)
    return caught.value.worded(as_option, terminal=True)


def test_the_kit_is_the_one_asked_for_else_here_else_built_in(here: Path) -> None:
    """In that order; a kit.toml that is there but wrong is told, not passed over."""
    assert find_kit(None)[1:] == ("the built-in kit", None)
    new_kit(Path("kit.toml"))
    assert find_kit(None)[1:] == ("kit.toml", Path("kit.toml"))
    assert find_kit(HERE / "kit.toml")[2] == HERE / "kit.toml"
    (here / "kit.toml").unlink()
    (here / "kit.toml").symlink_to("gone.toml")
    with pytest.raises(InputError, match=r"kit\.toml: found no such file"):
        find_kit(None)


def test_kit_new_writes_once(here: Path) -> None:
    """To kit.toml or the name given; never over anything."""
    result = run("kit", "new")
    assert (result.stdout, "kit.toml: a kit to start from" in result.stderr) == ("", True)
    assert (here / "kit.toml").read_bytes() == (HERE / "kit.toml").read_bytes()
    assert "found something that stands there already" in refused("kit", "new", "kit.toml")
    run("kit", "new", "attic.toml")
    assert (here / "attic.toml").exists()


def test_kit_check_counts_what_is_there(here: Path) -> None:
    """A good kit in one line; without a kit file the built-in one, said on stderr."""
    result = run("kit", "check")
    assert result.stdout == "the built-in kit: 3 looms, 3 yarns, 1 swatch, 1 wearer: no problems\n"
    assert result.stderr == "no kit.toml here: this is the built-in kit\n"
    run("kit", "new")
    assert run("kit", "check").stdout == "kit.toml: 3 looms, 3 yarns, 1 swatch, 1 wearer: no problems\n"
    assert run("kit", "check").stderr == ""


def test_kit_check_warns_of_slips(here: Path) -> None:
    """A gauge of another class, of none, and a yarn whose thickness nothing tells. Classes: the published table, 4 is
    16-20 stitches over 4 in, 3 is 21-24, 2 is 23-26, and 15.5 is in none."""
    run("kit", "new")
    path = here / "kit.toml"
    swatch = (
        '\n[[swatch]]\nloom = "porch ring"\nyarn = "moss wool"\nchecked = true\nrows = { count = 20, over = "4 in" }\n'
    )
    text = path.read_text(encoding="utf-8")
    for count in ("15.5", "23", "20.5"):
        text += swatch + f'stitches = {{ count = {count}, over = "4 in" }}\n'
    text += swatch + 'strands = 2\nstitches = { count = 9, over = "4 in" }\n'
    text += '\n[[yarn]]\nname = "mist"\nweight = 0\n'
    path.write_text(text, encoding="utf-8")
    assert run("kit", "check").stdout.splitlines() == [
        "kit.toml: 3 looms, 4 yarns, 5 swatches, 1 wearer: no errors, 4 warnings",
        'warning: yarn "mist": class 0 has no typical wraps per inch and "mist" gives none, '
        "so only settings with a swatch can be worked in it",
        "warning: swatch 2: 15.5 stitches over 4 in fall in no yarn class: the published ranges leave gaps",
        "warning: swatch 3: 23 stitches over 4 in are those of classes 2 (fine) and 3 (light), "
        'but "moss wool" is class 4 (medium)',
        "warning: swatch 4: 20.5 stitches over 4 in fall in no yarn class: the published ranges leave gaps",
    ]


def test_kit_check_refuses_a_wrong_kit(here: Path) -> None:
    """The file, the line, the key, what was found and expected."""
    (here / "kit.toml").write_text('[[loom]]\nname = "a"\nbuild = "rnig"\n')
    assert refused("kit", "check").startswith('kit.toml: line 3: loom[1].build: found "rnig", expected')


@pytest.mark.parametrize(("units", "words"), [("cm", ["9.5 mm", "15.75", "54.0 cm"]), ("in", ["0.37 in", "21.3 in"])])
def test_kit_show_fits_80_columns(here: Path, units: str, words: list[str]) -> None:
    """Every loom, yarn, swatch and wearer by its whole name."""
    shown = run("kit", "show", "--units", units).stdout
    names = ["attic frame", "porch ring", "long rake", "moss wool", "harbour cotton", "kettle chunky", "eldest"]
    assert [word for word in [*names, *words, "16 to 96, by twos", "short 18 ×2"] if word not in shown] == []
    assert max(len(line) for line in shown.splitlines()) <= 80
    assert "…" not in shown
    assert '--units: found "ell", expected "in" or "cm"' in refused("kit", "show", "--units", "ell")


def test_names_are_never_markup(here: Path) -> None:
    """A yarn called [red]… is shown as it is written."""
    run("kit", "new")
    text = (here / "kit.toml").read_text(encoding="utf-8")
    (here / "kit.toml").write_text(text.replace("moss wool", "[red]moss[/red]"), encoding="utf-8")
    assert "[red]moss[/red]" in run("kit", "show").stdout


def test_swatch_add_appends_what_was_typed(here: Path) -> None:
    """The file grows by one swatch, told on stderr; of yarn classes, a remark of `kit check`, not a word here."""
    run("kit", "new")
    old = (here / "kit.toml").read_text(encoding="utf-8")
    result = run(*FULL, "--mass", "25 g", "--knitted", "30x40")
    assert result.stdout == ""
    assert result.stderr == "kit.toml: swatch 2 added (porch ring, moss wool, u-wrap)\n"
    assert (here / "kit.toml").read_text(encoding="utf-8") == old + (
        '\n[[swatch]]\nloom = "porch ring"\nspacers = 0\nyarn = "moss wool"\nstrands = 1\nstitch = "u-wrap"\n'
        'stitches = { count = 9, over = "4in" }\nrows = { count = 13, over = "4in" }\n'
        'mass = "25 g"\nknitted = { stitches = 30, rows = 40 }\n'
    )


SLIP = ["swatch", "add", "--loom", "attic frame", "--spacers", "2", "--yarn", "moss wool", "--stitches", "160 over 4in"]
SLIP += ["--rows", "20 over 4in"]


def test_swatch_add_refuses_what_the_others_doubt(here: Path) -> None:
    """160 typed for 16: told what was foretold and how far off, nothing written; with --checked it is kept as such."""
    run("kit", "new")
    said = refused(*SLIP)
    assert said.startswith("swatch add: swatch 2 (attic frame, 2 spacers, moss wool, u-wrap) is doubted: 160 stitches")
    assert "where your other swatches foretell 16.0 (900 % more, 65.8 sd off). Count its stitches again" in said
    assert "hint: count again; if it is right as it is, say so: --checked" in said
    assert (here / "kit.toml").read_bytes() == (HERE / "kit.toml").read_bytes()
    result = run(*SLIP, "--checked")
    assert load_kit(here / "kit.toml").swatch[1].checked
    assert result.stderr.splitlines()[1].startswith("doubt: swatch 1 (attic frame, 2 spacers, moss wool, u-wrap) is")


def test_swatch_add_refuses_a_weighing_that_cannot_be(here: Path) -> None:
    """85 g typed for 8.5 g over 680 stitches: the weight is doubted, the counts are not."""
    run("kit", "new")
    words = ["--stitches", "16 over 4in", "--rows", "20 over 4in", "--knitted", "17x40"]
    assert "its yarn in a stitch is 10.1" in refused(*SLIP[:8], *words, "--mass", "85 g")
    assert "added" in run(*SLIP[:8], *words, "--mass", "8.5 g").stderr


def test_kit_check_names_what_is_doubted(here: Path) -> None:
    """Loaded all the same; each with what to count again, and once what to do where it is right."""
    run("kit", "new")
    run(*SLIP, "--checked")
    text = (here / "kit.toml").read_text(encoding="utf-8").replace("checked = true\n", "")
    (here / "kit.toml").write_text(text, encoding="utf-8")
    first, doubt, *_ = run("kit", "check").stdout.splitlines()
    assert first == "kit.toml: 3 looms, 3 yarns, 2 swatches, 1 wearer: no errors, 1 doubt, 1 warning"
    assert doubt.startswith("doubt: swatch 2 (attic frame, 2 spacers, moss wool, u-wrap) is doubted: 160 stitches")
    assert doubt.endswith("If it is right, write checked = true in its entry")


def test_swatch_add_needs_a_kit_of_ones_own(here: Path) -> None:
    """The built-in kit takes no swatches: the error says how to start one."""
    assert refused(*FULL).startswith(
        "kit.toml: found no such file, and the built-in kit is never changed\n  hint: `peg"
    )
    assert refused(*FULL, "--kit", "attic.toml").startswith("attic.toml: found no such file")


@pytest.mark.parametrize(
    ("words", "missing"),
    [
        ([], ["--loom", "--spacers", "--yarn", "--stitches", "--rows"]),
        (["--loom", "porch ring"], ["--yarn", "--stitches", "--rows"]),
        (["--loom", "attic frame", "--yarn", "moss wool"], ["--spacers", "--stitches", "--rows"]),
        ([*FULL[2:], "--mass", "9 g"], ["--knitted"]),
        ([*FULL[2:], "--yarn-length", "8 m"], ["--knitted"]),
        ([*FULL[2:], "--knitted", "30x40"], ["--mass"]),
    ],
)
def test_swatch_add_names_the_missing_options(here: Path, words: list[str], missing: list[str]) -> None:
    """With nobody to ask, all of them at once; a loom without spacers needs no --spacers."""
    run("kit", "new")
    told = [line for line in refused("swatch", "add", *words).splitlines() if not line.startswith("  hint")]
    assert told == [f"swatch add: {option}: found nothing, expected this option" for option in missing]
    assert (here / "kit.toml").read_bytes() == (HERE / "kit.toml").read_bytes()


def test_swatch_list(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Per 4 in, which is 10.16 cm, and per 10 cm: 18 over 4 in is 17.72 over 10 cm."""
    run("kit", "new")
    words = ["--stitches", "18 over 4in", "--rows", "24 over 10 cm", "--yarn-length", "8.5 m", "--knitted", "30x40"]
    words.append("--checked")
    run("swatch", "add", "--loom", "long rake", "--yarn", "moss wool", "--strands", "2", "--stitch", "e-wrap", *words)
    assert max(len(line) for line in run("swatch", "list").stdout.splitlines()) <= 80
    monkeypatch.setenv("COLUMNS", "100")
    lines = run("swatch", "list").stdout.splitlines()
    rows = [line.split() for line in lines if "frame" in line or "rake" in line]
    assert rows == [
        ["attic", "frame", "2", "moss", "wool", "u-wrap", "16", "20", "15.75", "19.69", "-"],
        ["long", "rake", "0", "2", "×", "moss", "wool", "e-wrap", "18", "24.38", "17.72", "24", "8.5", "m"],
    ]
    listed = json.loads(run("swatch", "list", "--json").stdout)
    assert listed["format"] == "pegwright.swatches.v1"
    assert listed["swatches"][1] == {
        "loom": "long rake", "spacers": 0, "yarn": "moss wool", "strands": 2, "stitch": "e-wrap",
        "stitches_per_4in": 18, "rows_per_4in": 24.38, "stitches_per_10cm": 17.72, "rows_per_10cm": 24,
        "stitches": {"count": 18, "over_mm": 101.6}, "rows": {"count": 24, "over_mm": 100},
        "mass_g": None, "yarn_length_m": 8.5, "knitted": {"stitches": 30, "rows": 40},
    }  # fmt: skip


def test_swatch_list_of_none(here: Path) -> None:
    """No table, a word on stderr; as JSON an empty list."""
    (here / "kit.toml").write_text("kit_version = 1\n")
    result = run("swatch", "list")
    assert (result.stdout, "no swatches yet" in result.stderr) == ("", True)
    assert json.loads(run("swatch", "list", "--json").stdout)["swatches"] == []


def at_terminal(here: Path, answers: str, *words: str) -> "subprocess.CompletedProcess[str]":
    """`swatch add` with a pseudo-terminal for its stdin, on which the answers are typed."""
    keyboard, terminal = os.openpty()
    os.write(keyboard, answers.encode())
    code = (
        "import sys; from catalog.errors import InputError; from solver.cli.swatch import swatch_app\n"
        "try: swatch_app()\nexcept InputError as e: sys.exit(str(e))"
    )
    try:
        return subprocess.run(
            [sys.executable, "-W", "error", "-c", code, "add", *words], cwd=here, stdin=terminal, capture_output=True,
            text=True, timeout=60, check=False, env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"},
        )  # fmt: skip
    finally:
        os.close(keyboard)
        os.close(terminal)


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="needs a pseudo-terminal")
def test_swatch_add_asks_one_question_at_a_time(here: Path) -> None:
    """Enter takes the default; a bad answer is told and asked again; a count has no default."""
    run("kit", "new")
    answers = ["porch rnig", "attic frame", "9", "", "", "two", "2", "", "", "17", "17 st over 4 in", "21 over 4in"]
    result = at_terminal(here, "\n".join([*answers, "9", "32 g", "30x40"]) + "\n")
    assert (result.returncode, result.stdout) == (0, "")
    said = result.stderr
    told = [
        "Loom (attic frame, porch ring, long rake) [attic frame]: ",
        'did you mean "porch ring"?',
        "Spacers (0 to 4) [1]: ",
        '--spacers: found "9", expected a whole number from 0 to 4',
        "Yarn (moss wool, harbour cotton, kettle chunky) [moss wool]: ",
        "Strands held together [1]: ",
        '--strands: found "two", expected a whole number from 1 to 6',
        "Stitch (u-wrap, e-wrap) [u-wrap]: ",
        'Stitches counted, such as "17 over 4in": ',
        '--stitches: found "17", expected a count over a length',
        'Rows counted, such as "21 over 4in": ',
        "(Enter: not weighed): ",
        '--mass: found "9", expected a mass with its unit',
        'such as "30x40": ',
        "kit.toml: swatch 2 added (attic frame, 1 spacer, 2 strands of moss wool, u-wrap)",
    ]
    places = [said.find(words) for words in told]
    assert -1 not in places
    assert places == sorted(places)
    assert [said.count(words) for words in ("Loom (", "Spacers (", "Yarn (", "Stitches counted")] == [2, 2, 1, 3]
    swatch = load_kit(here / "kit.toml").swatch[1]
    assert (swatch.spacers, swatch.strands, swatch.stitches.count, swatch.mass_mg) == (1, 2, 17, 32_000)
    assert '{ count = 17, over = "4 in" }' in (here / "kit.toml").read_text(encoding="utf-8")


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="needs a pseudo-terminal")
def test_swatch_add_asks_only_for_what_is_missing(here: Path) -> None:
    """Where options are given, one missing count is one question."""
    run("kit", "new")
    result = at_terminal(here, "13 over 4in\n", *FULL[2:6], "--stitches", "18 over 4in")
    assert result.returncode == 0, result.stderr
    assert result.stderr == (
        'Rows counted, such as "21 over 4in": kit.toml: swatch 2 added (porch ring, moss wool, u-wrap)\n'
    )


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="needs a pseudo-terminal")
@pytest.mark.parametrize(("answers", "kept"), [("perhaps\nyes\n", True), ("no\n", False), ("\x04", False)])
def test_swatch_add_asks_whether_a_doubted_count_is_right(here: Path, answers: str, kept: bool) -> None:
    """Yes keeps it as checked; no, or the end of the answers, writes nothing."""
    run("kit", "new")
    result = at_terminal(here, answers, *SLIP[2:])
    assert "160 stitches counted where your other swatches foretell 16.0" in result.stderr
    assert result.stderr.count("Counted again, and right as it is? (yes, no): ") == (2 if kept else 1)
    assert [s.checked for s in load_kit(here / "kit.toml").swatch] == ([False, True] if kept else [False])
    assert (result.returncode, "nothing was written" in result.stderr) == (0 if kept else 1, not kept)


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="needs a pseudo-terminal")
def test_swatch_add_stopped_half_way_writes_nothing(here: Path) -> None:
    """Control-D at a question ends in a message."""
    run("kit", "new")
    result = at_terminal(here, "\n\x04", "--yarn", "moss wool")
    assert result.returncode == 1
    assert result.stderr.endswith("swatch add: stopped before the last answer: nothing was written\n")
    assert (here / "kit.toml").read_bytes() == (HERE / "kit.toml").read_bytes()
    assert sorted(p.name for p in here.iterdir()) == [".kit.toml.lock", "kit.toml"]


@pytest.mark.parametrize("command", [["--help"], ["swatch", "add", "--help"], ["kit", "--help"]])
def test_help_loads_nothing_heavy(command: list[str]) -> None:
    """The commands import the kit, pint and the like only when they run."""
    heavy = "catalog.kit pint tomlkit filelock ortools"
    code = (
        "import sys, typer; heavy = set(sys.argv.pop().split())\n"
        "from solver.cli.kit import kit_app; from solver.cli.swatch import swatch_app\n"
        "app = typer.Typer(); app.add_typer(kit_app, name='kit'); app.add_typer(swatch_app, name='swatch')\n"
        "try: app()\nexcept SystemExit: print(sorted(heavy & set(sys.modules)))"
    )
    result = subprocess.run(
        [sys.executable, "-c", code, *command, heavy], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert result.stdout.endswith("[]\n")
