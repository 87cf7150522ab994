"""Real files and commands to begin from: what the catalogue, the examples and the program itself write."""

import json
import re
import shlex
from functools import cache
from pathlib import Path

from catalog.item import item_names
from solver.plan.saved import plan_of
from tests.command import ROOT
from tests.kits.sheetplans import answer_for, wish_for

EXAMPLES = sorted((ROOT / "examples").iterdir())
NEVER = {"open"}  # it serves until it is stopped


def _texts(*paths: Path) -> list[str]:
    return [path.read_text(encoding="utf-8") for path in paths]


@cache
def kits() -> list[str]:
    """The built-in kit and those of the examples."""
    found = [folder / "kit.toml" for folder in EXAMPLES]
    return _texts(ROOT / "catalog" / "kit.toml", *(path for path in found if path.exists()))


@cache
def recipes() -> list[str]:
    """Every item of the catalogue."""
    return _texts(*sorted((ROOT / "catalog" / "items").glob("*.toml")))


@cache
def plans() -> list[str]:
    """A plan of every item, as it is saved."""
    return [plan_of(answer_for(name), wish_for(name), None).model_dump_json() for name in item_names()]


@cache
def batches() -> list[str]:
    """The lists of the examples, cut to their first rows so that a plan of them is quick."""
    found = _texts(*(path for folder in EXAMPLES for path in sorted(folder.glob("*.csv"))))
    return ["".join(text.splitlines(keepends=True)[:4]) for text in found]


@cache
def commands() -> list[list[str]]:
    """Every command of one line that the pages show, without its own first word, and nothing that serves."""
    pages = _texts(ROOT / "README.md", *(folder / "README.md" for folder in EXAMPLES))
    typed = re.findall(r"^\$ pegwright ([^\n|>&;]*[^\n|>&;\\])$", "\n".join(pages), re.MULTILINE)
    found = [shlex.split(line) for line in dict.fromkeys(typed)]
    return [words for words in found if words[0] not in NEVER]


@cache
def trees() -> list[object]:
    """The plans as trees of values."""
    return [json.loads(text) for text in plans()]
