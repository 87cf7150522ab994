"""`find --save`: one option kept as a plan, as the file says it."""

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from catalog.errors import InputError
from catalog.kitfile import new_kit
from solver.cli.app import app
from solver.cli.spelling import as_option
from solver.plan.saved import load_plan

HAT = ("find", "hat", "--around", "21 in", "--top", "3")


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder to work in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*words: str, code: int = 0) -> Any:
    """The result of a command line."""
    result = CliRunner().invoke(app, words, catch_exceptions=False)
    assert result.exit_code == code, result.output
    return result


@pytest.mark.parametrize("rank", [1, 3])
def test_the_option_kept_is_the_one_that_was_shown(here: Path, rank: int) -> None:
    """The same figures as in the JSON; the table is printed all the same, and stderr says what became of it."""
    shown = json.loads(run(*HAT, "--json").stdout)
    result = run(*HAT, "--json", "--save", "plan.json", *(["--option", "3"] if rank == 3 else []))
    assert json.loads(result.stdout) == shown
    assert (
        f"plan.json: option {rank} kept; half-way, `pegwright adjust plan.json` takes a second look\n" in result.stderr
    )
    plan = load_plan(here / "plan.json")
    assert plan.option.model_dump(mode="json") == shown["options"][rank - 1]
    assert plan.ask.model_dump(mode="json") == shown["ask"]
    assert (plan.item, plan.unit, plan.kit) == ("hat", "in", None)
    assert plan.wish.around_um == 533_400


def test_the_plan_names_the_kit_that_it_was_made_with(here: Path) -> None:
    """As it was given, or kit.toml here."""
    new_kit(here / "kit.toml")
    run(*HAT, "--save", "plan.json")
    assert load_plan(here / "plan.json").kit == "kit.toml"
    new_kit(here / "attic.toml")
    run(*HAT, "--kit", "attic.toml", "--save", "plan.json")
    assert load_plan(here / "plan.json").kit == "attic.toml"


def test_nothing_found_nothing_kept(here: Path) -> None:
    """A clash writes no file, and leaves the one that is there."""
    run(*HAT, "--save", "plan.json")
    was = (here / "plan.json").read_bytes()
    run("find", "hat", "--around", "90 in", "--save", "plan.json", code=1)
    assert (here / "plan.json").read_bytes() == was


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--option", "2"), "--option: found 2, expected --save FILE beside it"),
        (("--option", "9", "--save", "plan.json"), "--option: found 9, expected 1 to 3, the options that were found"),
        (("--save", "gone/plan.json"), "gone/plan.json"),
    ],
)
def test_bad_input(here: Path, words: tuple[str, ...], says: str) -> None:
    """Named, and nothing written."""
    with pytest.raises(InputError) as error:
        run(*HAT, *words)
    assert says in error.value.worded(as_option, terminal=True)
    assert not (here / "plan.json").exists()
