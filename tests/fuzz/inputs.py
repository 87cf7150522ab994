"""Inputs for the command line, by what they try: a kit, a recipe, a plan, a list of asks, the words typed.

Each begins from a real file or command, or from one made by a grammar, and has up to four things wrong with it.
"""

from collections.abc import Callable
from random import Random
from typing import Any

from hypothesis import strategies as st

from tests.fuzz import corpus, odd, recipe_grammar, spoil_csv, spoil_json, spoil_toml, spoil_words
from tests.fuzz.judge import Given
from tests.kits import randomkits

HAT, COUNTS = ("hat", "--around", "21 in"), ("--stitches", "17 over 4in", "--rows", "21 over 4in")
OF_A_KIT: tuple[tuple[str, ...], ...] = (
    ("kit", "check"),
    ("kit", "check"),
    ("kit", "show"),
    ("swatch", "list"),
    ("gauge",),
    ("find", *HAT),
    ("find", *HAT, "--json"),
    ("find", "mittens", "--size", "adult-woman"),
    ("find", "socks", "--wearer", "eldest", "--csv"),
    ("check", *HAT),
    ("sizes", "hat", "--sizes", "6 years,adult-man"),
    ("sheet", *HAT),
    ("find", "hat", "--around", "60 in", "--more"),
    ("kit", "remove", "yarn", "moss wool", "--with-swatches"),
    ("swatch", "add", "--loom", "porch ring", "--yarn", "moss wool", "--spacers", "0", *COUNTS),
)
OF_A_RECIPE: tuple[tuple[str, ...], ...] = (
    ("find", "own", "--around", "9 in"),
    ("find", "own", "--size", "adult-woman"),
    ("find", "own", "--size", "6 years", "--json"),
    ("sheet", "own", "--around", "14 in", "--long", "10 in"),
    ("find", "own", "--wide", "8 in", "--long", "10 in"),
    ("check", "own", "--around", "9 in"),
    ("sizes", "own", "--sizes", "6 years,adult-man"),
    ("find", "own"),
)
OF_A_PLAN: tuple[tuple[str, ...], ...] = (
    ("sheet", "--from", "plan.json"),
    ("sheet", "--from", "plan.json", "--words", "uk", "--units", "cm"),
    ("adjust", "plan.json", "--rows-done", "5", *COUNTS),
    ("adjust", "plan.json", "--rows-done", "30", *COUNTS, "--json"),
)
OF_A_BATCH: tuple[tuple[str, ...], ...] = (
    ("batch", "asks.csv"),
    ("batch", "asks.csv", "--turns", "1", "--buy"),
    ("batch", "asks.csv", "--json"),
    ("batch", "asks.csv", "--csv"),
)
DRAWS = st.randoms(use_true_random=False)
OFTEN = (0, 1, 1, 1, 2, 4)


def _file(draw: Random, text: str) -> bytes:
    """The text as bytes, one in twelve of them spoilt without a look at what they mean."""
    data = text.encode("utf-8", "surrogatepass")
    return odd.spoilt_bytes(draw, data) if draw.randrange(12) == 5 else data


def _times(draw: Random, spoil: Callable[[Random, Any], Any], value: Any) -> Any:
    for _ in range(draw.choice(OFTEN)):
        value = spoil(draw, value)
    return value


@st.composite
def kits(draw: st.DrawFn) -> Given:
    """A kit and a command that reads it."""
    rng = draw(DRAWS)
    text = rng.choice(corpus.kits()) if rng.randrange(4) else randomkits.to_toml(draw(randomkits.kits()))
    return Given(rng.choice(OF_A_KIT), {"kit.toml": _file(rng, _times(rng, spoil_toml.spoilt, text))})


@st.composite
def recipes(draw: st.DrawFn) -> Given:
    """A recipe beside a good kit."""
    rng = draw(DRAWS)
    text = rng.choice(corpus.recipes()) if rng.randrange(4) else recipe_grammar.made(rng)
    files = {
        "kit.toml": corpus.kits()[0].encode(),
        "recipes/own.toml": _file(rng, _times(rng, spoil_toml.spoilt, text)),
    }
    return Given(rng.choice(OF_A_RECIPE), files)


@st.composite
def plans(draw: st.DrawFn) -> Given:
    """A saved plan and a command that goes on with it."""
    rng = draw(DRAWS)
    tree = _times(rng, spoil_json.spoilt, rng.choice(corpus.trees()))
    return Given(rng.choice(OF_A_PLAN), {"plan.json": _file(rng, spoil_json.written(rng, tree))})


@st.composite
def batches(draw: st.DrawFn) -> Given:
    """A list of asks for the built-in kit."""
    rng = draw(DRAWS)
    rows = spoil_csv.read(rng.choice(corpus.batches())) if rng.randrange(4) == 0 else spoil_csv.made(rng)
    text = spoil_csv.written(rng, _times(rng, spoil_csv.spoilt, rows))
    return Given(rng.choice(OF_A_BATCH), {"kit.toml": corpus.kits()[0].encode(), "asks.csv": _file(rng, text)})


@st.composite
def words(draw: st.DrawFn) -> Given:
    """A command with a good kit, a plan and a list of asks in the folder."""
    rng = draw(DRAWS)
    files = {
        "kit.toml": corpus.kits()[0].encode(),
        "plan.json": corpus.plans()[0].encode(),
        "class.csv": corpus.batches()[0].encode(),
    }
    typed = spoil_words.made(rng) if rng.randrange(2) else list(rng.choice(corpus.commands()))
    return Given(tuple(typed if rng.randrange(3) == 1 else _times(rng, spoil_words.spoilt, typed)), files)


KINDS: dict[str, st.SearchStrategy[Given]] = {
    "kit": kits(),
    "recipe": recipes(),
    "plan": plans(),
    "batch": batches(),
    "words": words(),
}
