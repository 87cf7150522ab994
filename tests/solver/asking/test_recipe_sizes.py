"""What a recipe of one's own makes of the measures is a length that can be: else bad input, by piece and key."""

from pathlib import Path

import pytest

from tests.command import ROOT, pegwright

RECIPE = """title = "a hull"
body = "hand"
default_fit = "true"
fits = { true = { value = 0, flag = "own" } }

[[piece]]
name = "hull"
girth = { around = 1 }
length = { around = 1 }
must_pass = { hand = 1 }
sections = [{ kind = "wrapped-cast-on" }, { kind = "plain", rows = "rest" }, { kind = "bind-off" }]
"""


@pytest.mark.parametrize(
    ("was", "now", "says"),
    [
        ("girth = { around = 1 }", "girth = { around = 1, hand = -1 }", "girth: found 0.0 in at this size"),
        ("girth = { around = 1 }", "girth = { diameter = 1, around = -1 }", "girth: found -6.1 in at this size"),
        ("girth = { around = 1 }", "girth = { around = MANY }", "girth: found a length that nobody has at this size"),
        ("must_pass = { hand = 1 }", "must_pass = { around = 0.5, hand = -1 }", "must_pass: found -4.5 in at"),
        ("length = { around = 1 }", "length = { around = MANY }", "length: found a length that nobody has at this"),
    ],
)
def test_a_girth_that_nothing_has_is_told_by_its_key(tmp_path: Path, was: str, now: str, says: str) -> None:
    """Each of them came out as a fault of ours, in the words of the report's own check."""
    many = '{ value = 1000000000000000000000000000000, flag = "own", source = "for a test" }'
    text = RECIPE.replace(was, now.replace("MANY", many))
    assert text != RECIPE
    (tmp_path / "recipes").mkdir()
    (tmp_path / "recipes" / "own.toml").write_text(text, encoding="utf-8")
    (tmp_path / "kit.toml").write_text((ROOT / "catalog" / "kit.toml").read_text(encoding="utf-8"), encoding="utf-8")
    ran = pegwright("find", "own", "--body", "9 in", here=tmp_path)
    assert (ran.code, ran.out) == (2, "")
    assert "own.toml: piece hull: " in ran.err
    assert says in " ".join(ran.err.split())
