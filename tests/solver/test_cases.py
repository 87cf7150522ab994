"""Scenarios told in `cases/*.toml`: a story, a kit, what is typed, and the very text that comes back."""

import json
import shlex
import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.command import Ran, pegwright


def read(path: Path) -> dict[str, Any]:
    """One story."""
    return tomllib.loads(path.read_text(encoding="utf-8"))


CASES = [p for p in sorted((Path(__file__).parents[1] / "cases").glob("*.toml")) if "story" in read(p)]


def run(case: dict[str, Any], here: Path, *more: str) -> Ran:
    """What its words print with its kit."""
    (here / "kit.toml").write_text(case["kit"], encoding="utf-8")
    return pegwright(*shlex.split(case["ask"]), *more, here=here)


def before_notes(out: str) -> str:
    """The text up to the notes and cautions, which have tests of their own."""
    lines = out.splitlines()
    end = next((i for i, line in enumerate(lines) if line.startswith(("note: ", "Care: "))), len(lines))
    return "\n".join(lines[:end]).rstrip() + "\n"


def test_there_are_stories_enough() -> None:
    """At least twenty-five, each with a story of its own."""
    assert len(CASES) >= 25
    assert len({read(path)["story"] for path in CASES}) == len(CASES)


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_the_exact_text(path: Path, tmp_path: Path) -> None:
    """Word for word, with its exit code, and nothing wider than the terminal."""
    case = read(path)
    ran = run(case, tmp_path)
    assert before_notes(ran.out) == case["says"]
    assert ran.code == case["exit"]
    assert ran.err == ""
    assert max(len(line) for line in ran.out.splitlines()) <= 80


@pytest.mark.parametrize("path", [p for p in CASES if read(p)["ask"].startswith("find")], ids=lambda path: path.stem)
def test_json_says_the_same(path: Path, tmp_path: Path) -> None:
    """Every sentence of the JSON stands in the text, or in that of --more, once its folding is undone."""
    case = read(path)
    ran = run(case, tmp_path, "--json")
    report = json.loads(ran.out)
    text, full = (" ".join(words.split()) for words in (case["says"], run(case, tmp_path, "--more").out))
    for each in ({"says": report["says"]}, *report["repairs"]):
        assert each["says"] in text
    some = any(each["stops"] for each in report["told"])
    for each in (*(each for each in report["told"] if each["stops"] != 0 or not some), *report["looms"]):
        assert each["says"] in full
    assert all("option" in each for each in report["repairs"])
    assert ran.code == 1
