"""A plan's JSON with one thing wrong: a value of its tree, or its text."""

import copy
import json
import re
from collections.abc import Iterator
from random import Random
from typing import Any

from tests.fuzz import odd

WORDS = (
    "drawn-cast-on", "bind-off", "opening", "short-row-toe", "short-row-heel", "rib-2x2", "picked-up", "gather",
    "plain", "hat", "mittens",
    "snug", "e-wrap", "ring", "slider", "boards", "in", "cm", "passed-over", "measured",
)  # fmt: skip
WHOLE = (
    '{"a":' * 3_000,
    "[" * 100_000,
    "null",
    "[]",
    "{}",
    "3",
    '"x"',
    "NaN",
    "1e999",
    "",
    " ",
    "{",
    '{"format": "pegwright.plan.v2"}',
)


def paths(here: Any, above: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every key and every place in a list."""
    steps = here.items() if isinstance(here, dict) else enumerate(here) if isinstance(here, list) else ()
    for step, value in steps:
        yield (*above, step)
        yield from paths(value, (*above, step))


def _at(tree: Any, path: tuple[Any, ...]) -> Any:
    for step in path:
        tree = tree[step]
    return tree


def value(draw: Random, was: Any, tree: Any, every: list[tuple[Any, ...]]) -> Any:
    """Another value in the place of one: of its own kind but off, of another kind, or one from elsewhere."""
    how = draw.randrange(6)
    if how == 0:
        return copy.deepcopy(_at(tree, draw.choice(every)))
    if how == 1 and isinstance(was, int | float) and not isinstance(was, bool):
        return draw.choice((was + 1, was - 1, -was, was * 2, was / 3, was * 10**6, 0))
    if how == 2 and isinstance(was, str):
        return odd.pestered(draw, was)
    if how == 3 and isinstance(was, list):
        return draw.choice((was[:-1], was * 2, was[::-1], was * 40))
    if how == 4:
        return draw.choice((None, True, False, [], {}, [None], {"x": 1}, draw.choice(WORDS)))
    return odd.number(draw) if draw.random() < 0.5 else odd.text(draw)


def spoilt(draw: Random, tree: Any) -> Any:
    """A copy of the tree with one change."""
    tree = copy.deepcopy(tree)
    every = list(paths(tree))
    if not every:
        return tree
    path = draw.choice(every)
    above, last = _at(tree, path[:-1]), path[-1]
    how = draw.randrange(8)
    if how == 0:
        del above[last]
    elif how == 1 and isinstance(above, dict):
        above[draw.choice(("x", odd.text(draw), str(last).upper()))] = above.pop(last)
    else:
        above[last] = value(draw, above[last], tree, every)
    return tree


def written(draw: Random, tree: Any) -> str:
    """The tree as text; now and then a text that no tree would be written as."""
    text = json.dumps(tree, ensure_ascii=draw.random() < 0.5)
    how = draw.randrange(20)
    if how == 11:
        return draw.choice(WHOLE)
    numbers = list(re.finditer(r"(?<=[:,\[])-?\d[\d.]*(?=[,}\]])", text)) if how == 12 else []
    if numbers:
        at = draw.choice(numbers)
        odd_one = draw.choice(("1e999", "-1e999", "NaN", "Infinity", "9" * 5_000, "0.1e-400", "01", "1.", "-"))
        return text[: at.start()] + odd_one + text[at.end() :]
    if how == 13 and text.startswith("{"):
        return '{"item":' + json.dumps(odd.text(draw)) + "," + text[1:]
    return text
