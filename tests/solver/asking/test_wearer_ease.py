"""How a wearer likes things to sit: ease by length or by item, fit for everything, and the ask's own before both."""

from pathlib import Path
from typing import Any

import pytest

from catalog.errors import InputError
from catalog.item import item
from catalog.kit import load_kit
from solver import wish
from solver.asking.girth import Girth, girth_of
from solver.door.asks import asked
from solver.halfway.suiting import chosen
from tests.command import ROOT

LOOMS = (ROOT / "examples" / "one-ring" / "kit.toml").read_text()
IN = 25_400


def girth(tmp_path: Path, likes: str, name: str, **words: Any) -> Girth:
    """The girth of an item for a wearer with a head of 22 in and a hand of 8 in, who likes it so."""
    file = tmp_path / "kit.toml"
    file.write_text(f'{LOOMS}\n[[wearer]]\nname = "wren"\nhead = "22 in"\nhand = "8 in"\n{likes}\n')
    kit, read = asked(load_kit(file), wish(name, wearer="wren", **words))
    return girth_of(kit, item(name), read)


@pytest.mark.parametrize(
    ("likes", "name", "inches"),
    [
        ('ease = "-1 in"', "hat", 21),
        ('ease = "-1 in"', "hat-brim-first", 21),
        ('ease = "-1 in"', "headband", 21),
        ('ease = "-1 in"', "mittens", 8 * 1.06),  # one length is for the head alone: mittens as usual, loose
        ('ease = "-1 in"\nfit = "true"', "mittens", 8),
        ('ease = "-1 in"\nfit = "true"', "cowl", 22),
        ('ease = "-1 in"\nfit = "true"', "hat", 21),  # the length goes before the fit
        ('ease = { hat = "-2 in", mittens = "1 in" }', "hat", 20),
        ('ease = { hat = "-2 in", mittens = "1 in" }', "hat-brim-first", 20),
        ('ease = { hat = "-2 in", hat-brim-first = "0.5 in" }', "hat-brim-first", 22.5),
        ('ease = { hat = "-2 in", mittens = "1 in" }', "mittens", 9),
        ('ease = { hat = "-2 in" }\nfit = "true"', "headband", 22),
        ('ease = { cowl = "0 in" }', "cowl", 22),
    ],
)
def test_the_ease_of_a_wearer(tmp_path: Path, likes: str, name: str, inches: float) -> None:
    """Body girth and ease, added up by hand."""
    found = girth(tmp_path, likes, name)
    assert found.around_um == round(inches * IN)


@pytest.mark.parametrize(("words", "inches"), [({"ease": "1 in"}, 23), ({"fit": "true"}, 22)])
def test_the_asks_own_goes_before_it(tmp_path: Path, words: dict[str, str], inches: int) -> None:
    """What is typed now is meant now."""
    assert girth(tmp_path, 'ease = "-1 in"', "hat", **words).around_um == inches * IN


def test_it_is_said_and_a_second_look_takes_it_as_meant(tmp_path: Path) -> None:
    """A note says whose ease it is; half-way no other fit will do, as where an ease was typed."""
    assert girth(tmp_path, 'ease = "-1 in"', "hat", units="in").notes == ("ease -1.0 in: as wren likes it",)
    kit = load_kit(tmp_path / "kit.toml")
    assert chosen(kit, item("hat"), wish("hat", wearer="wren")).fit is None
    assert chosen(kit, item("mittens"), wish("mittens", wearer="wren")).fit == item("mittens").default_fit


@pytest.mark.parametrize(
    ("likes", "told"),
    [
        ("ease = -1", 'wearer[1].ease: found -1, expected a length with its unit, such as "-1 in"'),
        ('ease = "tight"', 'wearer[1].ease: found "tight", expected a length with its unit'),
        ('ease = { hat = "-1" }', "wearer[1].ease: found a table, expected a length with its unit"),
        ('ease = { hatt = "-1 in" }', 'found item "hatt", which does not exist\n  hint: did you mean "hat"?'),
        ('ease = "-60 cm"', "expected a length of -500 to 5000 mm"),
    ],
)
def test_an_ease_that_cannot_be_read(tmp_path: Path, likes: str, told: str) -> None:
    """File, key, found, expected, nearest."""
    with pytest.raises(InputError) as caught:
        girth(tmp_path, likes, "hat")
    assert told in str(caught.value)
