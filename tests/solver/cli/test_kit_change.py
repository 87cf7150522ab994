"""`kit add` and `kit remove`: by options, by questions on a terminal, and what they refuse with nothing written."""

import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from catalog.entrytext import PARTS
from catalog.errors import InputError
from catalog.kit import Frame, Ring, Slider, Wearer, Yarn, load_kit
from catalog.kitfile import new_kit, restore
from catalog.shapes import HERE
from solver.cli.app import app
from solver.cli.spelling import as_option
from tests.command import pegwright

ROOT = Path(__file__).parents[3]
BUILT_IN = (HERE / "kit.toml").read_text(encoding="utf-8")
RING = ["loom", "--name", "sill ring", "--build", "ring", "--pitch", "12 mm", "--peg-diameter", "4 mm", "--pegs", "36"]
FRAME = ["loom", "--name", "shelf frame", "--build", "boards", "--pitch", "12 mm", "--peg-diameter", "4 mm"]
FRAME += ["--base-gap", "5 mm", "--side-board", "side: 20 pegs, 2", "--side-board", "long: 300 mm, 4"]


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the built-in kit in it."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "80")
    new_kit(tmp_path / "kit.toml")
    return tmp_path


def text(here: Path) -> str:
    return (here / "kit.toml").read_text(encoding="utf-8")


def run(*words: str) -> str:
    """What a command that ends well says on stderr; its stdout is empty."""
    result = CliRunner().invoke(app, ["kit", *words], catch_exceptions=False)
    assert (result.exit_code, result.stdout) == (0, ""), result.output
    return str(result.stderr)


def refused(*words: str) -> str:
    """The InputError of a command, as text."""
    with pytest.raises(InputError) as caught:
        CliRunner().invoke(app, ["kit", *words], catch_exceptions=False)
    return caught.value.worded(as_option, terminal=True)


def at_terminal(here: Path, answers: str, *words: str) -> "subprocess.CompletedProcess[str]":
    """The command with a pseudo-terminal for its stdin, on which the answers are typed."""
    keyboard, terminal = os.openpty()
    os.write(keyboard, answers.encode())
    code = "from solver.cli import main; main()"
    try:
        return subprocess.run(
            [sys.executable, "-W", "error", "-c", code, "kit", *words], cwd=here, stdin=terminal, capture_output=True,
            text=True, timeout=60, check=False, env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"},
        )  # fmt: skip
    finally:
        os.close(keyboard)
        os.close(terminal)


needs_terminal = pytest.mark.skipif(not hasattr(os, "openpty"), reason="needs a pseudo-terminal")


def test_parts_are_keys_of_the_kit() -> None:
    """Every part is a key of its shape, and every key but how a frame stands can be given where it belongs."""
    shapes: dict[str, tuple[Any, ...]] = {"loom": (Frame, Ring, Slider), "yarn": (Yarn,), "wearer": (Wearer,)}
    for table, models in shapes.items():
        for model in models:
            build = {"Frame": "boards", "Ring": "ring", "Slider": "slider"}.get(model.__name__)
            keys = {f.alias or name for name, f in model.model_fields.items()} - {"set_up_as"}
            assert {p.key for p in PARTS[table] if p.belongs(build)} == keys  # type: ignore[index]
            needed = {f.alias or name for name, f in model.model_fields.items() if f.is_required()}
            assert {p.key for p in PARTS[table] if p.must(build)} == needed  # type: ignore[index]


def test_a_ring_a_frame_a_yarn_and_somebody_by_options(here: Path) -> None:
    """Each at the end of the file, which is as it was before it; lengths as typed."""
    assert run("add", *RING) == 'kit.toml: loom "sill ring" added\n'
    assert text(here) == BUILT_IN + (
        '\n[[loom]]\nname = "sill ring"\nbuild = "ring"\npitch = "12 mm"\npeg_diameter = "4 mm"\npegs = 36\n'
    )
    run("add", *FRAME, "--end-board", "end: 4", "--spacers", "1.5 mm, 3, 24", "--joining")
    assert tomllib.loads(text(here))["loom"][-1] == {
        "name": "shelf frame", "build": "boards", "pitch": "12 mm", "peg_diameter": "4 mm", "base_gap": "5 mm",
        "spacers": {"thickness": "1.5 mm", "most": 3, "on_hand": 24}, "joining": True,
        "side_boards": [
            {"name": "side", "pegs": 20, "on_hand": 2}, {"name": "long", "length": "300 mm", "on_hand": 4},
        ],
        "end_boards": [{"name": "end", "pegs": 4, "on_hand": 2}],
    }  # fmt: skip
    run("add", "yarn", "--name", "tweed", "--weight", "4", "--length-per-ball", "150 m", "--balls", "2.5")
    assert tomllib.loads(text(here))["yarn"][-1] == {
        "name": "tweed", "weight": 4, "length_per_ball": "150 m", "balls": 2.5,
    }  # fmt: skip
    assert run("add", "wearer", "--name", "middle", "--head", "52 cm", "--age", "7 years") == (
        'kit.toml: wearer "middle" added\n'
    )
    assert load_kit(here / "kit.toml").wearer[-1].head_um == 520_000


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["loom", "--name", "sill ring"], "kit add loom: --build: found nothing, expected this option"),
        ([*RING[:-2]], "kit add loom: --pegs: found nothing, expected this option"),
        ([*RING, "--base-gap", "3 mm"], "found it for a loom of build ring, expected it for boards and slider only"),
        ([*RING[:5], *RING[7:]], "--pitch: found nothing"),
        ([*RING[:6], "12", *RING[7:]], '--pitch: found "12", expected a length with its unit'),
        ([*RING[:4], "rnig", *RING[5:]], 'did you mean "ring"?'),
        ([*RING[:-1], "many"], '--pegs: found "many", expected a plain number, such as "40"'),
        ([*RING[:-1], "4000"], "--pegs: found 4000, expected at most 400"),
        ([*RING[:2], "porch ring", *RING[3:]], '--name: found "porch ring" twice, expected every name once'),
        ([*RING[:8], "13 mm", *RING[9:]], "expected a peg_diameter smaller than the pitch"),
        ([*FRAME, "--side-board", "twenty"], '--side-board: found "twenty", expected a name, its pegs or length'),
        ([*FRAME, "--side-board", "side: 9"], 'found "side" twice, expected every name once'),
        ([*FRAME, "--spacers", "1.5 mm"], '--spacers: found "1.5 mm", expected thickness, most at a bolt and how many'),
        (["yarn", "--name", "tweed", "--weight", "9"], "--weight: found 9, expected at most 7"),
        (["yarn", "--name", "tweed", "--weight", "4", "--balls", "2"], "expected length_per_ball beside balls"),
        (["wearer", "--name", "eldest"], 'found "eldest" twice, expected every name once'),
        (["wearer", "--name", "middle", "--fit", "tight"], '--fit: found "tight"'),
    ],
)  # fmt: skip
def test_what_cannot_be_added(here: Path, words: list[str], says: str) -> None:
    """The option, what was found and expected; the file as it was."""
    assert says in refused("add", *words)
    assert text(here) == BUILT_IN


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["wearer", "--name", "bo", "--head", "58.5 in"], "148.6 cm (58.5 in): more than any; was cm meant, not in?"),
        (["wearer", "--name", "bo", "--head", "22 cm", "--hand", "7.5 cm"], ""),
        (
            ["wearer", "--name", "bo", "--head", "19 cm"],
            "head of 19.0 cm (7.5 in): less than any; was in meant, not cm?",
        ),
        (
            [*RING[:6], "3/8 cm", *RING[7:-4], "--peg-diameter", "2 mm", *RING[-2:]],
            "pitch of 3.8 mm: less than any; was in",
        ),
        ([*RING[:6], "9.5 cm", *RING[7:]], "pitch of 95.0 mm: more than any; was mm meant, not cm?"),
    ],
)
def test_a_measure_that_nobody_has_is_asked_about(here: Path, words: list[str], says: str) -> None:
    """Refused with the unit that was meant, unless it is meant as typed; then `kit check` still names it."""
    if says:
        said = refused("add", *words)
        assert says in said
        assert "hint: if it is right as it is: --as-typed" in said
        assert text(here) == BUILT_IN
    run("add", *words, *(["--as-typed"] if says else []))
    result = CliRunner().invoke(app, ["kit", "check"], catch_exceptions=False)
    assert (
        says.split(":")[0] in result.stdout,
        "more than any" in result.stdout or "less than any" in result.stdout,
    ) == ((True, bool(says)))


@needs_terminal
@pytest.mark.parametrize(("answers", "kept"), [("no\n58.5 cm\n", "58.5 cm"), ("yes\n", "58.5 in")])
def test_at_a_terminal_it_is_a_question(here: Path, answers: str, kept: str) -> None:
    """No asks for the measure again; yes keeps it."""
    lines = "\n".join(["bo", "9 years", "58.5 in"]) + "\n" + answers + "\n" * 6
    result = at_terminal(here, lines, "add", "wearer")
    assert "more than any; was cm meant, not in? Right as it is? (yes, no): " in result.stderr
    assert tomllib.loads(text(here))["wearer"][-1]["head"] == kept


def test_there_is_no_kit_yet(here: Path) -> None:
    """How to start one is said; the built-in kit is never changed."""
    (here / "kit.toml").unlink()
    for words in (["add", *RING], ["remove", "yarn", "moss wool"], ["remove", "swatch", "1"]):
        assert "hint: `pegwright kit new` writes a kit to start from" in refused(*words)
    assert list(here.glob("kit.toml")) == []


def test_what_swatches_name_goes_only_with_them(here: Path) -> None:
    """Refused with their list; with --with-swatches both go, and everything else stays to the letter."""
    said = refused("remove", "yarn", "Moss Wool")
    assert "found it named by swatch 1, expected no swatch of it" in said
    assert "--with-swatches" in said
    assert text(here) == BUILT_IN
    assert run("remove", "yarn", "Moss Wool", "--with-swatches") == (
        'kit.toml: yarn "Moss Wool" removed, and 1 swatch of it\n'
    )
    kit = load_kit(here / "kit.toml")
    assert ([y.name for y in kit.yarn], kit.swatch) == (["harbour cotton", "kettle chunky"], ())
    assert set(text(here).splitlines()) <= set(BUILT_IN.splitlines())


def test_a_loom_a_wearer_and_a_swatch_less(here: Path) -> None:
    """By name in any case, a swatch by its number; a wearer has no swatches to ask about."""
    assert run("remove", "loom", "porch ring") == 'kit.toml: loom "porch ring" removed\n'
    assert run("remove", "wearer", "ELDEST") == 'kit.toml: wearer "ELDEST" removed\n'
    assert run("remove", "swatch", "1") == "kit.toml: swatch 1 removed\n"
    kit = load_kit(here / "kit.toml")
    assert ([e.name for e in kit.loom], kit.wearer, kit.swatch) == (["attic frame", "long rake"], (), ())
    assert "found no swatch 1: there is none at all" in refused("remove", "swatch", "1")
    assert 'found loom "porch ring", which does not exist' in refused("remove", "loom", "porch ring")
    assert "NAME: found nothing, expected the name of a yarn" in refused("remove", "yarn")


@needs_terminal
def test_a_frame_by_questions(here: Path) -> None:
    """One at a time; what the kit could not hold is told at once and asked again; boards until Enter."""
    answers = [
        "attic frame", "shelf frame", "bords", "boards", "12", "12 mm", "4 mm", "5 mm", "1.5 mm, 3", "1.5 mm, 3, 24",
        "perhaps", "yes", "", "twenty", "side: 20 pegs, 2", "side: 9", "long: 300 mm, 4", "", "end: 4 pegs", "",
    ]  # fmt: skip
    result = at_terminal(here, "\n".join(answers) + "\n", "add", "loom")
    assert (result.returncode, result.stdout) == (0, ""), result.stderr
    told = [
        "Name of the loom, such as attic frame: ", 'found "attic frame", expected a name that no other has',
        "Build: ring, slider",
        'did you mean "boards"?', "From the middle of one peg to the next", 'found "12", expected a length',
        "How thick a peg is", "Gap that the fabric passes through", "Spacers: how thick, most at a bolt, on hand",
        "expected thickness, most at a bolt", "Can boards be joined end to end on a side (yes, no) (Enter: no): ",
        'found "perhaps", expected yes or no', "Can an end be bolted", "A side board: its name, pegs or length",
        'found "twenty", expected a name', "(Enter: no more)", 'found "side" twice', "An end board",
        'kit.toml: loom "shelf frame" added',
    ]  # fmt: skip
    places = [result.stderr.find(words) for words in told]
    assert -1 not in places, result.stderr
    assert places == sorted(places)
    assert tomllib.loads(text(here))["loom"][-1] == {
        "name": "shelf frame", "build": "boards", "pitch": "12 mm", "peg_diameter": "4 mm", "base_gap": "5 mm",
        "spacers": {"thickness": "1.5 mm", "most": 3, "on_hand": 24}, "joining": True,
        "side_boards": [
            {"name": "side", "pegs": 20, "on_hand": 2}, {"name": "long", "length": "300 mm", "on_hand": 4},
        ],
        "end_boards": [{"name": "end", "pegs": 4, "on_hand": 2}],
    }  # fmt: skip


@needs_terminal
@pytest.mark.parametrize(
    ("table", "answers", "kept"),
    [
        ("loom", ["sill ring", "ring", "12 mm", "4 mm", "36"], {"name": "sill ring", "build": "ring", "pegs": 36}),
        ("loom", ["rake", "slider", "12 mm", "4 mm", "20", "80", ""], {"pegs_least": 20, "pegs_most": 80}),
        ("yarn", ["tweed", "4", "150 m", "", "", "wool"], {"name": "tweed", "weight": 4, "length_per_ball": "150 m"}),
        ("wearer", ["middle", "7 years", "52 cm", "", "", "", "", "close"], {"head": "52 cm", "fit": "close"}),
    ],
)
def test_others_by_questions(here: Path, table: str, answers: list[str], kept: dict[str, object]) -> None:
    """Enter leaves out what may be left out."""
    result = at_terminal(here, "\n".join(answers) + "\n", "add", table)
    assert result.returncode == 0, result.stderr
    assert tomllib.loads(text(here))[table][-1].items() >= kept.items()
    load_kit(here / "kit.toml")


@needs_terminal
def test_only_what_is_missing_is_asked_where_options_were_given(here: Path) -> None:
    """One question, for the one thing that a yarn cannot be without."""
    result = at_terminal(here, "4\n", "add", "yarn", "--name", "tweed")
    assert re.findall(r"[^:]+: ", result.stderr)[0].startswith("Class of the Standard Yarn Weight System")
    assert result.stderr.endswith('kit.toml: yarn "tweed" added\n')


@needs_terminal
@pytest.mark.parametrize(("answers", "gone"), [("yes\n", True), ("no\n", False), ("\x04", False)])
def test_removing_with_its_swatches_is_asked(here: Path, answers: str, gone: bool) -> None:
    """Yes takes both; no, or the end of the answers, leaves the file as it is, exit code 2."""
    result = at_terminal(here, answers, "remove", "yarn", "moss wool")
    assert "a swatch names it (1): remove with it? (yes, no): " in result.stderr
    assert (result.returncode, text(here) == BUILT_IN) == (0 if gone else 2, not gone)


@needs_terminal
def test_which_one_is_asked(here: Path) -> None:
    result = at_terminal(here, "moss\nharbour cotton\n", "remove", "yarn")
    assert "Which yarn (moss wool, harbour cotton, kettle chunky): " in result.stderr
    assert 'NAME: found "moss", expected one of' in result.stderr
    assert [y.name for y in load_kit(here / "kit.toml").yarn] == ["moss wool", "kettle chunky"]


@needs_terminal
def test_stopped_half_way_nothing_is_written(here: Path) -> None:
    """Control-D at a question."""
    result = at_terminal(here, "shelf frame\n\x04", "add", "loom")
    assert result.returncode == 2
    assert "kit add loom: stopped before the last answer: nothing was written" in result.stderr
    assert text(here) == BUILT_IN


SWATCH = ("--stitches", "17 over 4in", "--rows", "21 over 4in", "--spacers", "2")
REFUSED = (
    ("kit", "new"),
    ("kit", "add", *RING[:-1], "none"),
    ("kit", "add", "wearer", "--name", "eldest", "--head", "20 in"),
    ("kit", "add", "yarn", "--name", "moss wool", "--weight", "4", "--fibre", "wool"),
    ("kit", "remove", "loom", "nobody's"),
    ("kit", "remove", "loom", "attic frame"),
    ("kit", "remove", "swatch", "9"),
    ("swatch", "add", "--loom", "attik frame", "--yarn", "moss wool", *SWATCH),
    ("swatch", "add", "--loom", "attic frame", "--yarn", "moss wool", *SWATCH[:-1], "20"),
)


@pytest.mark.parametrize("words", REFUSED, ids=" ".join)
def test_a_refused_change_leaves_no_lock_file(tmp_path: Path, words: tuple[str, ...]) -> None:
    """`.kit.toml.lock` stayed where nothing had been written; only who writes needs a lock."""
    (tmp_path / "kit.toml").write_text(BUILT_IN + '\n[[wearer]]\nname = "eldest"\nhead = "54 cm"\n', encoding="utf-8")
    before = text(tmp_path)
    ran = pegwright(*words, here=tmp_path)
    assert ran.code == 2, ran.err
    assert [p.name for p in tmp_path.iterdir()] == ["kit.toml"]
    assert text(tmp_path) == before


def test_an_undo_that_is_refused_leaves_none_either(tmp_path: Path) -> None:
    """The kit was changed since: nothing is undone."""
    (tmp_path / "kit.toml").write_text(BUILT_IN, encoding="utf-8")
    with pytest.raises(InputError, match="the kit was changed since"):
        restore(tmp_path / "kit.toml", "", "not its digest")
    assert [p.name for p in tmp_path.iterdir()] == ["kit.toml"]
