"""Names that people wrote, in a kit, a recipe, a plan, a file's name or a word typed, never steer what reads them."""

import csv
import io
import json
import os
import re
import shlex
import subprocess
import sys
from pathlib import Path
from unittest import mock

import pytest

from solver.formats.markdown import plain
from tests.command import ROOT, START, pegwright

KIT = (ROOT / "catalog" / "kit.toml").read_text(encoding="utf-8")
HIDES = "\u202e\u200b\u2028\ue000"  # turns what follows round, is not seen, ends a line, a sign of our own
STEERS = "\x1b[31mred\x07\x9b2J"  # a colour, the bell, a C1 sequence that clears the screen
HAT = ("find", "hat", "--around", "21 in")
WORDS = (
    *("around", "body", "wearer", "size", "age", "long", "loom", "yarn", "fit", "rib", "band", "stitch", "ease", "sex"),
    *("units", "sure", "pegs", "spacers", "strands", "top", "seconds", "yarn-price", "risk-weight", "kit"),
    *("gauge", "plot", "page", "save"),
)
READERS = (
    ("kit", "check"), ("kit", "show"), ("find", "hat", "--around", "21 in"), ("check", "hat", "--around", "21 in"),
    ("gauge",), ("sheet", "hat", "--around", "21 in"), ("swatch", "list"), ("find", "hat", "--around", "60 in"),
)  # fmt: skip


def steering(text: str) -> set[str]:
    """Bytes that a terminal obeys, line ends apart."""
    return {c for c in text if (ord(c) < 0x20 and c != "\n") or 0x7F <= ord(c) < 0xA0}


@pytest.mark.parametrize("option", WORDS)
def test_a_word_typed_is_spelt_out(tmp_path: Path, option: str) -> None:
    """Each option of find, given what would colour the terminal."""
    ran = pegwright("find", "hat", f"--{option}", STEERS, here=tmp_path)
    assert not steering(ran.out + ran.err)
    assert ran.code in (0, 2)


def test_commands_items_and_files_too(tmp_path: Path) -> None:
    """Where a name is looked for, and where a file is."""
    for words in (
        (STEERS,),
        ("show", STEERS),
        ("find", STEERS),
        ("sheet", "--from", STEERS),
        ("kit", "new", STEERS),
        ("kit", "check", "--kit", STEERS),
        ("adjust", STEERS, "--rows-done", "5", "--stitches", STEERS, "--rows", STEERS),
        ("find", "hat", "--around", "21 in", "--page", f"{STEERS}.html"),
        ("sheet", "hat", "--around", "21 in", "--save", STEERS),
    ):
        ran = pegwright(*words, here=tmp_path)
        assert not steering(ran.out + ran.err), words


@pytest.mark.parametrize(
    "words",
    [("kit", "check", HIDES), ("gauge", f"--{HIDES}"), ("find", "hat", "x", HIDES), ("show", HIDES), (HIDES,)],
)
def test_a_word_that_typer_refuses_is_spelt_out(words: tuple[str, ...]) -> None:
    """It printed back signs that turn a line round or are not seen: only the bytes below 0x20 were taken out."""
    ran = pegwright(*words)
    assert ran.code == 2
    assert not {*HIDES} & {*ran.err}
    assert "\\u202e" in ran.err


FAMILY, PERSIAN = "\U0001f468\u200d\U0001f469\u200d\U0001f467", "\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645"


@pytest.mark.parametrize("name", [FAMILY, PERSIAN, f"wool {FAMILY} {PERSIAN}"], ids=ascii)
def test_a_name_with_joiners_between_signs_is_a_name(tmp_path: Path, name: str) -> None:
    """A family of emoji is joined by signs that nobody sees, and so are Persian words: both are printed as they are."""
    (tmp_path / "kit.toml").write_text(KIT.replace('"moss wool"', f'"{name}"'), encoding="utf-8")
    (tmp_path / "asks.csv").write_text(f"name,item,body\n{name},hat,54 cm\n", encoding="utf-8")
    for words in (HAT, ("gauge",), ("batch", "asks.csv"), (*HAT, "--save", "p.json"), ("sheet", "--from", "p.json")):
        ran = pegwright(*words, here=tmp_path)
        assert (ran.code, name in ran.out) == (0, True), (words, ran.err)
    assert f'found yarn "{name}x"' in pegwright(*HAT, "--yarn", name + "x", here=tmp_path).err


@pytest.mark.parametrize(
    "name", ["moss\u200dwool", "\u200d", f"{FAMILY}\u200d", f"\u200c{PERSIAN}", "毛\u200d\u200d糸"]
)
def test_a_joiner_that_joins_nothing_is_refused(tmp_path: Path, name: str) -> None:
    """Nobody could tell such a name from another."""
    (tmp_path / "kit.toml").write_text(KIT.replace('"moss wool"', f'"{name}"'), encoding="utf-8")
    ran = pegwright("kit", "check", here=tmp_path)
    assert (ran.code, "printable characters" in ran.err) == (2, True)
    assert "\\u200" in ran.err


@pytest.mark.parametrize("words", READERS, ids=" ".join)
@pytest.mark.parametrize("old", ["attic frame", "moss wool", "boards", "pitch", "eldest"])
def test_a_name_in_a_kit_is_spelt_out_or_refused(tmp_path: Path, words: tuple[str, ...], old: str) -> None:
    """TOML can write an escape as \\u001b: what reads the kit prints none."""
    new = json.dumps(f"{old[:3]}{STEERS}")[1:-1]
    text = KIT.replace(f'"{old}"', f'"{new}"') if f'"{old}"' in KIT else KIT.replace(f"{old} =", f'"{new}" =')
    assert text != KIT
    (tmp_path / "kit.toml").write_text(text, encoding="utf-8")
    ran = pegwright(*words, here=tmp_path)
    assert not steering(ran.out + ran.err)
    assert ran.code == 2


def test_a_recipe_and_a_plan_too(tmp_path: Path) -> None:
    """A title, and a caution in a plan: exit 2 with the key."""
    recipe = (ROOT / "catalog" / "items" / "headband.toml").read_text(encoding="utf-8")
    (tmp_path / "kit.toml").write_text(KIT, encoding="utf-8")
    (tmp_path / "recipes").mkdir()
    for title in (STEERS, "two\nlines"):
        (tmp_path / "recipes" / "own.toml").write_text(
            recipe.replace('"headband"', json.dumps(title), 1), encoding="utf-8"
        )
        ran = pegwright("find", "own", "--around", "21 in", here=tmp_path)
        assert (ran.code, steering(ran.out + ran.err)) == (2, set())
        assert "title: found" in " ".join(ran.err.split())
    (tmp_path / "recipes" / "own.toml").unlink()
    assert pegwright("find", "hat", "--around", "21 in", "--save", "p.json", here=tmp_path).code == 0
    plan = json.loads((tmp_path / "p.json").read_text())
    (tmp_path / "p.json").write_text(json.dumps({**plan, "cautions": [f"mind {STEERS}"]}))
    ran = pegwright("sheet", "--from", "p.json", here=tmp_path)
    assert (ran.code, steering(ran.out + ran.err)) == (2, set())
    assert "cautions[1]: found" in " ".join(ran.err.split())


LONG = STEERS + "a" * 300  # no file system has such a name, and says so in ways of its own


@pytest.mark.parametrize(
    "words",
    [
        (*HAT, "--kit", LONG), ("kit", "show", "--kit", LONG), ("kit", "add", "yarn", "--kit", LONG),
        ("sheet", "--from", LONG),
        ("adjust", LONG, "--rows-done", "5", "--stitches", "7 over 1in", "--rows", "9 over 1in"),
        ("batch", LONG), (*HAT, "--save", LONG), (*HAT, "--page", LONG + ".html"), ("kit", "new", LONG),
    ],
    ids=lambda words: " ".join(words[:2])[:20],
)  # fmt: skip
def test_a_file_name_that_is_too_long_is_spelt_out_too(tmp_path: Path, words: tuple[str, ...]) -> None:
    """The system's own refusal was printed as it came, the name in it bare."""
    ran = pegwright(*words, here=tmp_path)
    assert not steering(ran.out + ran.err)
    assert ran.code == 2


def test_a_plan_made_with_a_kit_whose_name_is_too_long(tmp_path: Path) -> None:
    """`adjust` looks for the kit that the plan names."""
    assert pegwright(*HAT, "--save", "p.json", here=tmp_path).code == 0
    plan = json.loads((tmp_path / "p.json").read_text())
    words = ("adjust", "p.json", "--rows-done", "9", "--stitches", "17 over 4 in", "--rows", "24 over 4 in")
    for kit in ("a" * 5_000, f"a/{'b' * 300}", LONG):
        (tmp_path / "p.json").write_text(json.dumps({**plan, "kit": kit}))
        ran = pegwright(*words, here=tmp_path)
        assert (ran.code, steering(ran.out + ran.err)) == (2, set())


def test_a_key_with_a_line_end_stays_on_its_line(tmp_path: Path) -> None:
    """Only what we break ourselves begins a new line; a key may hold anything, and be as long as it likes."""
    for key, said in (("k\x1b[31m\nx", "k\\x1b[31m\\nx"), ("a" * 5_000, "a" * 57 + "…")):
        (tmp_path / "kit.toml").write_text(KIT + f"[{json.dumps(key)}]\n", encoding="utf-8")
        ran = pegwright("kit", "check", here=tmp_path)
        assert (ran.code, steering(ran.out + ran.err)) == (2, set())
        assert f"{said}: found a key that has no meaning here" in ran.err


def test_what_a_plan_says_it_is_and_its_keys_are_spelt_out(tmp_path: Path) -> None:
    """Its format was printed as it stood, however long; a board's name is a key."""
    assert pegwright(*HAT, "--save", "p.json", here=tmp_path).code == 0
    plan = json.loads((tmp_path / "p.json").read_text())
    boards = {**plan["looms"][0], "side_boards": {STEERS: 20}}
    for changed in ({"format": STEERS + "v" * 9_000}, {"format": [STEERS] * 2_000}, {"looms": [boards]}):
        (tmp_path / "p.json").write_text(json.dumps({**plan, **changed}))
        ran = pegwright("sheet", "--from", "p.json", here=tmp_path)
        assert (ran.code, steering(ran.out + ran.err)) == (2, set())
        assert len(ran.err) < 600


def test_a_fault_of_ours_is_spelt_out_too(tmp_path: Path) -> None:
    """Its words may hold a name of the user's."""
    with mock.patch("solver.plan.answer.answer", side_effect=KeyError(STEERS)):
        ran = pegwright(*HAT, here=tmp_path)
    with mock.patch("solver.plan.answer.answer", side_effect=ValueError(f"{STEERS}\n{STEERS}")):
        more = pegwright(*HAT, here=tmp_path)
    for each in (ran, more):
        assert (each.code, steering(each.out + each.err)) == (70, set())


def test_no_cell_of_csv_is_a_formula(tmp_path: Path) -> None:
    """A yarn whose name a spreadsheet would work out."""
    for name in ("=1+1", "+1", "-2", "@now"):
        (tmp_path / "kit.toml").write_text(KIT.replace('"moss wool"', f'"{name}"'), encoding="utf-8")
        for words in (("find", "hat", "--around", "21 in"), ("check", "hat"), ("sizes", "hat"), ("gauge",)):
            out = pegwright(*words, "--csv", here=tmp_path).out
            cells = [cell for row in csv.reader(io.StringIO(out)) for cell in row]
            assert not [c for c in cells if c[:1] in ("=", "+", "-", "@") and not _number(c)], words
            assert f"'{name}" in cells, words


def test_no_cell_of_several_names_is_a_formula(tmp_path: Path) -> None:
    """Boards stand in one cell, joined: the guard looked at each cell before it was joined."""
    text = re.sub(r'"(short|long)"', r'"+\1"', KIT)
    (tmp_path / "kit.toml").write_text(text, encoding="utf-8")
    for words in (HAT, ("sizes", "hat", "--sizes", "21in")):
        out = pegwright(*words, "--loom", "attic frame", "--csv", here=tmp_path).out
        cells = [row["side_boards"] for row in csv.DictReader(io.StringIO(out))]
        assert cells
        assert all(re.match(r"'\+(short|long)", cell) for cell in cells), cells


def _number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


def test_a_plans_name_is_quoted_as_a_shell_does(tmp_path: Path) -> None:
    """What the sheet says to type is one word to a real shell, and runs nothing."""
    name = 'plan $(touch ran) `touch ran` "it\'s".json'
    assert pegwright("find", "hat", "--around", "21 in", "--save", name, here=tmp_path).code == 0
    sheet = pegwright("sheet", "--from", name, here=tmp_path).out
    line = next(each for each in sheet.splitlines() if "pegwright adjust" in each)
    typed = line[line.index("pegwright adjust") :]
    said = subprocess.run(
        ["sh", "-c", typed.replace("pegwright adjust", 'printf "%s\\n"', 1)],
        cwd=tmp_path,
        text=True,
        capture_output=True,
    )
    assert said.stdout.splitlines()[0] == name
    assert shlex.split(typed)[2] == name
    assert not (tmp_path / "ran").exists()


def test_markdown_shows_an_ampersand() -> None:
    """`&lt;` in a name would else be read as a sign."""
    assert plain("salt &lt; pepper") == r"salt \&lt; pepper"


@pytest.mark.parametrize("words", [("find", "hat", "--around", "21 in"), ("check", "hat"), ("swatch", "list")])
@pytest.mark.parametrize("form", ["--json", "--csv"])
def test_data_is_utf8_whatever_the_code_page(tmp_path: Path, words: tuple[str, ...], form: str) -> None:
    """A terminal of another age asks for latin-1; the file that the output goes into does not."""
    if (words[0], form) == ("swatch", "--csv"):
        pytest.skip("no such form")
    (tmp_path / "kit.toml").write_text(KIT.replace("moss wool", "мох wool"), encoding="utf-8")
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "latin-1", "PYTHONUTF8": "0"}
    run = subprocess.run([sys.executable, "-c", START, *words, form], cwd=tmp_path, env=env, capture_output=True)
    assert run.returncode == 0
    assert "мох wool" in run.stdout.decode("utf-8")


def test_check_has_one_set_of_columns(tmp_path: Path) -> None:
    """With a size and without."""
    heads = [
        pegwright("check", "hat", *more, "--csv", here=tmp_path).out.splitlines()[0]
        for more in ((), ("--around", "21 in"))
    ]
    assert heads[0] == heads[1]
