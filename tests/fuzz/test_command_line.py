"""The command over files and words with something wrong in them: one of four exit codes, and nothing that steers."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given

from tests.fuzz.gathered import Gathered
from tests.fuzz.inputs import KINDS
from tests.fuzz.judge import Given, emptied, judge
from tests.kits.draws import drawn, some_or_parts

SOME = 120
MANY = {"kit": 40_000, "recipe": 15_000, "plan": 60_000, "batch": 10_000, "words": 45_000}
Test = Callable[..., Any]


def inputs(kind: str) -> Test:
    """The test of one kind, in parts of a thousand."""
    return some_or_parts(SOME, MANY[kind], parts=MANY[kind] // 1_000)


def fuzz(kind: str, folder: Path, capsys: pytest.CaptureFixture[str], examples: int, part: int) -> None:
    """Each input is judged; a fair part is worked, and a fair part refused."""
    gathered = Gathered()

    @drawn(examples, part and f"{kind} {part}")
    @given(KINDS[kind])
    def each(given: Given) -> None:
        with gathered.one(given):
            judge(given, emptied(folder), gathered.tally)

    each()
    gathered.told(capsys, kind, part)
    codes = gathered.tally.codes
    assert codes[0] + codes[1] > examples // 30, codes
    assert codes[2] > examples // 10, codes


@inputs("kit")
def test_kits(tmp_path: Path, capsys: pytest.CaptureFixture[str], examples: int, part: int) -> None:
    """The kits of the examples and random ones."""
    fuzz("kit", tmp_path, capsys, examples, part)


@inputs("recipe")
def test_recipes(tmp_path: Path, capsys: pytest.CaptureFixture[str], examples: int, part: int) -> None:
    """The catalogue's items as one's own, and recipes of any pieces and sections."""
    fuzz("recipe", tmp_path, capsys, examples, part)


@inputs("plan")
def test_plans(tmp_path: Path, capsys: pytest.CaptureFixture[str], examples: int, part: int) -> None:
    """A plan of each item."""
    fuzz("plan", tmp_path, capsys, examples, part)


@inputs("batch")
def test_lists_of_asks(tmp_path: Path, capsys: pytest.CaptureFixture[str], examples: int, part: int) -> None:
    """The lists of the examples and made ones."""
    fuzz("batch", tmp_path, capsys, examples, part)


@inputs("words")
def test_words(tmp_path: Path, capsys: pytest.CaptureFixture[str], examples: int, part: int) -> None:
    """The commands of the pages, and any command with any options."""
    fuzz("words", tmp_path, capsys, examples, part)
