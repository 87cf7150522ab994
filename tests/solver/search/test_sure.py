"""`--sure P`: how a chance is read, and 400 random asks against the oracle's own normal distribution."""

import json
from collections import Counter
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from catalog.errors import InputError
from solver.asking.ask_of import ask_of
from solver.cli.app import app
from solver.gauging.chance import best_chance, chance_ppm, chance_within
from solver.search.best_first import find
from tests import oracle
from tests.kits import randomkits
from tests.kits.draws import drawn, some_or_many
from tests.kits.spreads import Spread
from tests.solver import against

SEEN: Counter[str] = Counter()
CHANCES = tuple(Fraction(p) for p in ("0.05", "0.12", "0.17", "0.2", "0.25", "0.3", "0.4", "0.6", "0.85"))


@pytest.mark.parametrize(
    ("text", "ppm"),
    [("0.8", 800_000), ("80%", 800_000), (" 80 % ", 800_000), (".5", 500_000), ("4/5", 800_000), ("99.9%", 999_000)],
)
def test_a_chance_is_read(text: str, ppm: int) -> None:
    """As a share or in per cent."""
    assert chance_ppm("sure", text) == ppm


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("80", 'write "80%"'),
        ("0", "more than 0 and less than 1"),
        ("1", "more than 0 and less than 1"),
        ("100%", "more than 0 and less than 1"),
        ("-0.5", "more than 0 and less than 1"),
        ("nan", 'found "nan", expected a chance'),
        ("very", 'found "very", expected a chance'),
        ("", 'found "", expected a chance'),
        ("0.8 in", "expected a chance"),
        ("1e-3", "expected a chance"),
        ("0.0000001", "more than 0"),
    ],
)
def test_what_is_no_chance(text: str, words: str) -> None:
    """The option, what was found, what was expected, what to write."""
    with pytest.raises(InputError) as error:
        chance_ppm("sure", text)
    assert str(error.value).startswith("sure: ")
    assert words in str(error.value)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(
    st.builds(Spread, st.integers(2_000, 30_000), st.integers(1_000, 400_000)),
    st.integers(50_000, 900_000),
    st.integers(0, 80_000),
)
def test_the_best_chance_is_that_of_the_best_number_of_pegs(spread: Spread, girth: int, tol: int) -> None:
    """Against asking each number of pegs in turn."""
    best = max(chance_within(spread, n, girth, tol) for n in range(1, 1000))
    assert best_chance(spread, girth, tol) == pytest.approx(best, abs=1e-12)


CASES = given(
    case=randomkits.cases(gauge_of=against.learned_gauge),
    sure=st.sampled_from(CHANCES),
    rank=st.integers(0, 5),
    edge=st.sampled_from((None, 0, 1, 1)),
)


def _each_case(case: tuple[dict[str, Any], dict[str, Any]], sure: Fraction, rank: int, edge: int | None) -> None:
    """A chance from the list, or one that an option without it has to the ppm, or that ppm more."""
    plain, words = case
    without = find(ask_of(*against.told(plain, words)[:2]), 20).options
    if edge is not None and without:
        near = without[min(rank, len(without) - 1)].setup
        main = near.pieces[0]
        chance = chance_within(near.way, main.pegs, main.ask.girth_um, main.ask.girth_tol_um)
        sure = Fraction(min(max(int(chance * 1_000_000) + edge, 1), 999_999), 1_000_000)
    kit, wish, ask, gauge = against.told(plain, {**words, "sure": sure})
    found = find(ask_of(kit, wish), 20)
    expected = oracle.best(plain, ask, 20, gauge)
    SEEN["found" if expected else "none"] += 1
    SEEN["moved"] += [o.score for o in found.options] != [o.score for o in without]
    SEEN["fewer"] += bool(expected) and len(expected) < len(without)
    assert found.complete
    scale = ask_of(kit, wish).costs.scale
    assert [
        (Fraction(o.score, scale), *o.setup.way.key, o.setup.pieces[0].pegs, o.setup.pieces[0].rows_total)
        for o in found.options
    ] == [(e.score, *e.way, e.pegs, e.rows_total) for e in expected]


@some_or_many(100, 400)
def test_random_asks_with_a_chance_have_the_oracles_options(examples: int) -> None:
    """Random kits and asks: same scores and setups in the same order; the chance often changes what is found."""
    SEEN.clear()
    drawn(examples)(CASES(_each_case))()
    assert SEEN["found"] > examples // 8, SEEN
    assert SEEN["none"] > examples // 8, SEEN
    assert SEEN["moved"] > examples // 8, SEEN
    assert SEEN["fewer"] > examples // 40, SEEN


def test_find_says_how_sure_was_asked(tmp_path: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """In the table and the JSON; every option shown is as sure."""
    monkeypatch.chdir(tmp_path)
    words = ["find", "hat", "--around", "21 in", "--sure", "80%"]
    table = CliRunner().invoke(app, words, catch_exceptions=False)
    assert "At least 80 % likely within 1.0 in of that girth.\n" in table.stdout
    report = json.loads(CliRunner().invoke(app, [*words, "--json"], catch_exceptions=False).stdout)
    assert report["ask"]["sure"] == 0.8
    assert all(o["chance_of_fit"] >= 0.8 for o in report["options"])
    plain = json.loads(CliRunner().invoke(app, [*words[:4], "--json"], catch_exceptions=False).stdout)
    assert plain["ask"]["sure"] is None
    assert any(o["chance_of_fit"] < 0.8 for o in plain["options"])
