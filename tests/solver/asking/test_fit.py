"""How a thing sits: the ease of every fit, the fit that is taken where none was given."""

from fractions import Fraction
from pathlib import Path

import pytest

from catalog.errors import InputError
from catalog.kit import built_in_kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish

# Per cent of the body girth. Hats and mittens: common practice, no source, and loose hats own; the others own.
EASES = {
    "hat": {"loose": 4, "true": 0, "close": -5, "snug": "-9.5"},
    "hat-brim-first": {"loose": 4, "true": 0, "close": -5, "snug": "-9.5"},
    "headband": {"loose": 5, "true": 0, "close": -5, "snug": -10},
    "mittens": {"loose": 6, "true": 0, "close": -3, "snug": -6},
    "slippers": {"loose": 5, "true": 0, "close": -5, "snug": -10},
    "socks": {"loose": 5, "true": 0, "close": -5, "snug": -10},
}
ASSUMED = {"socks": "snug", "mittens": "loose"}


@pytest.mark.parametrize("item", EASES)
def test_every_fit_has_its_ease(item: str) -> None:
    """The girth of a body of 200 mm, fit by fit; where none is given that of the item, which is said."""
    girths = {}
    for fit, percent in EASES[item].items():
        ask = ask_of(built_in_kit(), Wish(item, body_um=200_000, fit=fit))
        girths[fit] = ask.pieces[0].girth_um
        assert girths[fit] == 200_000 + 2000 * Fraction(percent)
    taken = ASSUMED.get(item, "close")
    ask = ask_of(built_in_kit(), Wish(item, body_um=200_000))
    assert ask.pieces[0].girth_um == girths[taken]
    assert f"fit taken as {taken}: none was given" in ask.notes


def test_a_fit_that_a_recipe_of_ones_own_lacks(tmp_path: Path) -> None:
    """It was a KeyError: a recipe need not name every fit."""
    (tmp_path / "cuffs.toml").write_text(
        'title = "cuffs"\nbody = "hand"\nrib = "1x1"\n[fits]\nclose = { value = 0, flag = "own" }\n'
        '[[piece]]\nname = "cuff"\ngirth = { around = 1 }\nlength = { long = 1 }\n'
        'sections = [{ kind = "wrapped-cast-on" }, { kind = "rib", rows = "rest" }, { kind = "bind-off" }]\n'
    )
    wish = Wish("cuffs", body_um=200_000, long_um=80_000, fit="loose", recipes=tmp_path)
    with pytest.raises(InputError, match='fit: found "loose", expected a fit that cuffs has: close'):
        ask_of(built_in_kit(), wish)
