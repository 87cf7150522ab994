"""The public door: every name callable after use, every word read, all that is wrong told at once, nothing bare."""

import ast
import doctest
import importlib
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import solver
from catalog.errors import InputError
from solver import Undecided, adjust, batch, check, find, gauge, load_kit, sheet, sizes, why_not, wish
from solver.asking.words import WORDS
from solver.report.find import FindReport
from tests.command import ROOT, pegwright
from tests.kits.draws import drawn, some_or_many

KIT = load_kit()
ODD = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=20),
    st.sampled_from(
        ["21 in", "21in", "-2 in", "5 m", "0", "1e999", "80%", "1/0 in", "½", "hat", "loose", "2 x 2", "\x1b[2J", ""]
    ),
    st.lists(st.integers(), max_size=2),
    st.dictionaries(st.text(max_size=3), st.integers(), max_size=1),
    st.binary(max_size=3),
)


def fields(error: InputError) -> list[str]:
    """The words that an error is about."""
    assert len(error.faults) == len(error.problems)
    return [fault.field for fault in error.faults]


def test_the_names_stay_callable_when_everything_is_loaded() -> None:
    """Importing a package binds its name in `solver`: none may hide a function of the door."""
    for file in Path(solver.__file__).parent.rglob("*.py"):
        if file.parent.name != "cli" or file.stem == "__init__":
            importlib.import_module(".".join(file.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"))
    for name in solver.__all__:
        assert callable(getattr(solver, name)), name
        assert name in dir(solver)


def test_wish_tells_all_that_is_wrong_at_once() -> None:
    """Each fault has its field, what was found, what was expected and the nearest name."""
    with pytest.raises(InputError) as caught:
        wish("hatt", around="21", fit="loos", top=0, pegs="many", arond="21 in", sure="120%")
    error = caught.value
    assert fields(error) == ["arond", "item", "around", "fit", "pegs", "sure", "top"]
    found = {fault.field: fault for fault in error.faults}
    assert (found["fit"].found, found["fit"].expected) == ('"loos"', "one of loose, true, close, snug")
    assert [found[word].nearest for word in ("item", "arond", "fit", "around")] == ["hat", "around", "loose", ""]
    assert found["around"].hint == 'a bare number has no unit: write "21 in"'
    assert error.worded(lambda field: f"column {field}").startswith("column arond: found a word that has no meaning")


def test_words_that_cannot_stand_together_are_told_with_the_rest() -> None:
    """By the words alone, though one of them cannot be read."""
    with pytest.raises(InputError) as caught:
        wish("hat", around="21", wearer="eldest", fit="snug", wide="3 in", top="x")
    assert fields(caught.value) == ["around", "top", "wide", "around"]
    with pytest.raises(InputError) as caught:
        wish("ball", across="16 cm", size="adult-man", ease="1 in")
    assert fields(caught.value) == ["around", "size", "around"]


def test_each_door_spells_the_words_in_its_own_way() -> None:
    """Below the doors no error is named --around, and none tells a reader of a form to type an option."""
    with pytest.raises(InputError) as caught:
        wish("hat", around="21 in", size="adult-woman")
    assert fields(caught.value) == ["around", "size"]
    assert "--" not in str(caught.value)
    assert '--body "22 in"' in caught.value.worded(lambda field: f"--{field}")
    ran = pegwright("find", "hat", "--around", "21 in", "--size", "adult-woman", here=ROOT / "examples" / "one-ring")
    assert ran.code == 2
    assert '--around: found 2 girths, expected one of --around "21 in", --body "22 in"' in ran.err


def test_the_names_of_a_kit_are_looked_up_all_at_once_and_in_any_case() -> None:
    """Loom, yarn and wearer as the kit spells them, or the nearest of the kit."""
    kit = KIT
    loom, yarn = kit.loom[0].name, kit.yarn[0].name
    assert wish("hat", kit=kit, loom=loom.upper(), yarn=yarn.title()).pins.loom == loom
    with pytest.raises(InputError) as caught:
        find(kit, wish("hat", loom=loom[:-1], yarn="nothing like it", wearer="nobody"))
    assert fields(caught.value) == ["loom", "yarn", "wearer"]
    assert caught.value.faults[0].nearest == loom
    with pytest.raises(InputError) as caught:
        wish("hat", kit=kit, around="21", loom=loom[:-1], yarn=yarn.upper(), wearer="nobody")
    assert fields(caught.value) == ["around", "around", "wearer", "loom", "wearer"]


@some_or_many(200, 5_000, long=True)
def test_odd_values_are_read_or_refused_by_their_field(examples: int) -> None:
    """Whatever stands for a word: a Wish, or an InputError whose faults are of words that were given."""

    @drawn(examples)
    @given(st.dictionaries(st.sampled_from([*WORDS, "around_um", "arond"]), ODD, max_size=4), ODD)
    def read(words: dict[str, Any], item: object) -> None:
        for name in ("hat", item):
            wrong = refused(name, words)
            assert {*wrong} <= {*words, "item", "around", "wide"}
            assert "around_um" not in words or "around_um" in wrong

    read()


def refused(item: Any, words: dict[str, Any]) -> list[str]:
    """The words that are refused, none where it can be read."""
    try:
        assert wish(item, **words).top >= 1
    except InputError as error:
        told = fields(error)
        str(error).encode()
        return told
    return []


@pytest.mark.parametrize("word", WORDS)
def test_each_word_by_itself_refuses_what_it_cannot_be(word: str) -> None:
    """A list, a table and bytes are no value of any word; None is the same as not given."""
    for value in ([1], {"a": 1}, b"x", object()):
        with pytest.raises(InputError) as caught:
            wish("hat", **{word: value})  # type: ignore[misc]
        assert {*fields(caught.value)} == {word}
    assert wish("hat", **{word: None}) == wish("hat")  # type: ignore[misc]


ODD_CALLS = {
    "no kit": lambda: find("kit.toml", wish("hat", around="21 in")),  # type: ignore[arg-type]
    "no wish": lambda: find(KIT, "21 in"),  # type: ignore[arg-type]
    "kit and wish the wrong way round": lambda: check(wish("hat"), KIT),  # type: ignore[arg-type]
    "a size in the wrong place": lambda: wish("hat", "21 in"),  # type: ignore[arg-type]
    "no kit at all": lambda: load_kit(3),  # type: ignore[arg-type]
    "no such file": lambda: load_kit("no such kit.toml"),
    "a name no file has": lambda: load_kit("a\0b"),
    "an option of no number": lambda: sheet(KIT, wish("hat", around="19 in"), option="first"),  # type: ignore[arg-type]
    "words nobody reads": lambda: sheet(KIT, wish("hat", around="19 in"), words="fr"),
    "sizes of no kind": lambda: sizes(KIT, wish("hat"), 21),  # type: ignore[arg-type]
    "sizes of numbers": lambda: sizes(KIT, wish("hat"), [21]),  # type: ignore[list-item]
    "a gauge of an unknown word": lambda: gauge(KIT, around="21 in"),
    "a gauge of no stitch": lambda: gauge(KIT, stitch="v-wrap"),
    "no plan": lambda: adjust(KIT, 3, rows_done=3, stitches="17 over 4 in", rows="21 over 4 in"),  # type: ignore[arg-type]
    "no such plan": lambda: adjust(KIT, "no such plan", rows_done=3, stitches="17 over 4 in", rows="21 over 4 in"),
    "counts of numbers": lambda: adjust(KIT, "x", rows_done="a", stitches=17, rows=[]),  # type: ignore[arg-type]
    "no girth": lambda: find(KIT, wish("hat")),
    "fit of a panel": lambda: why_not(KIT, wish("panel", wide="20 in", long="20 in", fit="snug")),
}


@pytest.mark.parametrize("call", ODD_CALLS)
def test_nothing_bare_comes_out_of_the_door(call: str) -> None:
    """What is put in the wrong place is bad input, never a TypeError or a KeyError."""
    with pytest.raises(InputError) as caught:
        ODD_CALLS[call]()
    assert "--" not in str(caught.value)


def test_find_is_the_object_of_json_and_a_clash_where_nothing_fits() -> None:
    """The same documents as the command prints, for a find, a clash, a check, a run of sizes, a gauge."""
    here = ROOT / "examples" / "lantern-hall"
    kit = load_kit(here)
    asked = wish("hat", around="21 in", top=2)
    small = wish("hat", around="90 in")
    for report, *words in (
        (find(kit, asked), "find", "hat", "--around", "21 in", "--top", "2"),
        (find(kit, small), "find", "hat", "--around", "90 in"),
        (why_not(kit, small), "find", "hat", "--around", "90 in"),
        (check(kit, asked), "check", "hat", "--around", "21 in"),
        (check(kit, wish("hat")), "check", "hat"),
        (sizes(kit, wish("hat", units="in"), ["19 in", "21 in"]), "sizes", "hat", "--sizes", "19 in,21 in"),
        (gauge(kit, loom=kit.loom[0].name), "gauge", "--loom", kit.loom[0].name),
    ):
        assert report is not None
        assert report.model_dump_json(indent=2) + "\n" == pegwright(*words, "--json", here=here).out
    assert why_not(kit, asked) is None


def test_no_time_is_undecided_and_says_so() -> None:
    """`seconds` bounds what the door does: a find is incomplete, a why not undecided."""
    hurried = wish("hat", around="21 in", seconds=0)
    found = find(KIT, hurried)
    assert isinstance(found, FindReport)
    assert not found.complete
    with pytest.raises(Undecided):
        why_not(KIT, hurried)


def test_batch_takes_names_with_wishes_or_a_file(tmp_path: Path) -> None:
    """The same plan either way."""
    (tmp_path / "asks.csv").write_text("name,item,around\nwren,hat,19 in\nfinch,hat,21 in\n")
    pairs = [("wren", wish("hat", around="19 in")), ("finch", wish("hat", around="21 in"))]
    by_name, by_file = batch(KIT, pairs).assigned, batch(KIT, tmp_path / "asks.csv").assigned
    assert [(each.name, each.option) for each in by_name] == [(each.name, each.option) for each in by_file]
    for asks in ([], 3, ["wren"], [("wren", "hat")]):
        with pytest.raises(InputError):
            batch(KIT, asks)  # type: ignore[arg-type]


@pytest.mark.parametrize("module", sorted(f.stem for f in (ROOT / "solver" / "door").glob("*.py")))
def test_the_examples_in_the_door_are_true(module: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every line of the docstrings is run, from the top of the project."""
    monkeypatch.chdir(ROOT)
    names = {name: getattr(solver, name) for name in solver.__all__}
    found = doctest.testmod(
        importlib.import_module(f"solver.door.{module}".removesuffix(".__init__")), extraglobs=names
    )
    assert not found.failed
    assert found.attempted or module in ("kits", "lines", "plans")


def test_the_command_line_uses_nothing_but_the_door() -> None:
    """Commands read words and print reports; what is behind the door they name for type checking alone."""
    seen = set()
    for file in (ROOT / "solver" / "cli").glob("*.py"):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        typed = {id(n) for top in tree.body if isinstance(top, ast.If) for n in ast.walk(top)}
        modules = [n.module for n in ast.walk(tree) if isinstance(n, ast.ImportFrom) and id(n) not in typed]
        seen |= {m.split(".")[1] for m in modules if m and m.startswith("solver.")}
    assert seen - {"web"} == {"cli", "door", "formats", "page", "report", "terms"}


def test_reading_words_never_loads_the_solver() -> None:
    """A form that is filled in wrongly is answered without ortools."""
    code = "import sys; from solver import wish, load_kit; load_kit(); wish('hat', around='21 in')"
    code += "; print('ortools' in sys.modules)"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True)
    assert ran.stdout == "False\n"
