"""The walk-through "add an item", followed to the letter: one TOML file, and the program makes it."""

from pathlib import Path
from textwrap import dedent

import pytest

from catalog.errors import InputError
from catalog.item import item, item_names
from solver.asking.wish import Wish
from solver.model.ask import Pins
from solver.plan.answer import answer
from tests.command import ROOT, pegwright
from tests.kits.edges import RAKE_SWATCH
from tests.kits.small import kit_with

PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("## Walk-through: add an item")[1]
RECIPE = dedent(PAGE.split("```toml\n")[1].split("```")[0])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the new recipe and nothing else."""
    (tmp_path / "wrist-warmers.toml").write_text(RECIPE, encoding="utf-8")
    return tmp_path


def test_the_file_alone_makes_an_item(folder: Path) -> None:
    """It is listed with the others, and found: 180 mm are 30 pegs, 120 mm are 24 rows with bands of 7.

    Yarn: 2 · (26.263 · 30 · 25 + 33 · 30 + 220 + 330) = 42 474.5 mm: a hand must pass, so the edge is sewn.
    """
    assert "wrist-warmers" in item_names(folder)
    assert "wrist-warmers" not in item_names()
    kit = kit_with(("swatch.0", RAKE_SWATCH))
    wish = Wish(
        "wrist-warmers", body_um=180_000, ease_um=0, pins=Pins("rake", "wool", strands=1), measured_only=True,
        recipes=folder,
    )  # fmt: skip
    report = answer(kit, wish, 1).report
    (option,) = report.options
    (piece,) = option.pieces
    assert (piece.name, piece.copies, piece.pegs) == ("wrist warmer", 2, 30)
    assert [s.rows for s in piece.sections] == [0, 7, 10, 7, 0]
    assert option.yarn_m == 42.475


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('kind = "plain"', 'kind = "plian"', 'found kind "plian", which does not exist\n  hint: did you mean "plain"?'),
        ('rows = "rest"', 'rows = "band"', 'found 0 sections with rows = "rest", expected one'),
        ('{ kind = "bind-off" }', '{ kind = "bind-off", rows = "band" }', "expected 0 for bind off"),
        ("copies = 2", "copys = 2", 'found a key that has no meaning here\n  hint: did you mean "copies"?'),
        ("{ hand = 1 }", "{ hand = 1.1 }", "or a share with its flag and source"),
        (
            "{ hand = 1 }",
            "{ hand_lenght = 1 }",
            'found measure "hand_lenght", which does not exist\n  hint: did you mean "hand_length"?',
        ),
        ('rib = "1x1"', "", "found a rib, expected rib = … or rib_optional = true"),
        (
            '{ kind = "bind-off" }',
            '{ kind = "opening", opens = "thumb" }, { kind = "bind-off" }',
            'found piece "thumb"',
        ),
        ('default_fit = "close"', 'default_fit = "tight"', "default_fit"),
        ("copies = 2", 'copies = 2\nsewn_to = { piece = "cuff", where = "one end" }', "a piece that stands before it"),
    ],
)
def test_a_wrong_recipe_says_where(tmp_path: Path, old: str, new: str, message: str) -> None:
    """The file, the key, what was found and what was expected."""
    (tmp_path / "wrist-warmers.toml").write_text(RECIPE.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(InputError, match=r"wrist-warmers\.toml: ") as caught:
        item("wrist-warmers", tmp_path)
    assert message in str(caught.value)


@pytest.mark.parametrize("second", ["wrist warmer", "Wrist Warmer"])
def test_two_pieces_of_one_name_are_refused(tmp_path: Path, second: str) -> None:
    """Which of them an opening or a seam speaks of could not be seen; what is made several times has copies."""
    piece = RECIPE[RECIPE.index("[[piece]]") :]
    again = piece.replace('"wrist warmer"', f'"{second}"', 1)
    (tmp_path / "wrist-warmers.toml").write_text(f"{RECIPE}\n{again}\n{again}", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        item("wrist-warmers", tmp_path)
    told = str(caught.value).splitlines()
    assert told[0].startswith("wrist-warmers.toml: piece[2].name: ")
    assert f'found "{second}", expected a name that no piece before it bears' in told[0]
    assert told[1] == "  hint: what is made several times alike is one piece with copies = …"
    assert "piece[3].name" in told[2]


def test_an_unknown_item_names_the_nearest(folder: Path) -> None:
    """Items of one's own are among those that a misspelt name is held against."""
    with pytest.raises(InputError, match='did you mean "wrist-warmers"'):
        item("wrist-warmer", folder)


def test_a_folder_beside_the_kit_is_enough(tmp_path: Path) -> None:
    """A knitter's own recipes lie in `recipes`, beside the kit."""
    (tmp_path / "recipes").mkdir()
    (tmp_path / "recipes" / "wrist-warmers.toml").write_text(RECIPE, encoding="utf-8")
    assert pegwright("kit", "new", here=tmp_path).code == 0
    ran = pegwright("find", "wrist-warmers", "--size", "adult-woman", "--top", "1", here=tmp_path)
    assert ran.code == 0
    assert "Asked: wrist warmers, 17.7 cm round and 12.0 cm long" in ran.out
    wrong = pegwright("find", "wrist-warmer", "--size", "adult-woman", here=tmp_path)
    assert wrong.code == 2
    assert 'did you mean "wrist-warmers"?' in wrong.err


def test_a_recipe_of_ones_own_can_be_adjusted(tmp_path: Path) -> None:
    """`adjust` once named the item from the catalogue alone, and so knew no recipe beside the kit."""
    (tmp_path / "recipes").mkdir()
    (tmp_path / "recipes" / "wrist-warmers.toml").write_text(RECIPE, encoding="utf-8")
    assert pegwright("kit", "new", here=tmp_path).code == 0
    words = ("find", "wrist-warmers", "--size", "adult-woman", "--save", "plan.json")
    assert pegwright(*words, here=tmp_path).code == 0
    counts = ("--rows-done", "5", "--stitches", "16 over 4in", "--rows", "20 over 4in")
    ran = pegwright("adjust", "plan.json", *counts, here=tmp_path)
    assert ran.code == 0
    assert "wrist warmers: 28 pegs, 5 of 24 rows worked." in ran.out


def test_a_recipe_of_ones_own_carries_the_cautions_of_its_part_of_the_body(tmp_path: Path) -> None:
    """No caution names it, so those for hands show: no cord on a child's pair; nothing of a child's for a grown-up."""
    (tmp_path / "recipes").mkdir()
    (tmp_path / "recipes" / "wrist-warmers.toml").write_text(RECIPE, encoding="utf-8")
    assert pegwright("kit", "new", here=tmp_path).code == 0
    child = pegwright("find", "wrist-warmers", "--age", "3 years", "--more", here=tmp_path).out
    assert "cord through the sleeves" in " ".join(child.split())
    grown = pegwright("find", "wrist-warmers", "--size", "adult-woman", here=tmp_path).out
    assert "cord" not in grown
    assert "nightwear" not in grown
