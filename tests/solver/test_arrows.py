"""The rooms of the house lie in one order, and nothing imports from a later one."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import catalog
import solver
from tests.command import ROOT

SOLVER = Path(solver.__file__).parent
CATALOG = Path(catalog.__file__).parent
TESTS = ROOT / "tests"

# What each room may import, in the order in which a `find` goes through them. `terms` is words and knows only catalog.
ORDER = (
    "terms", "model", "report", "gauging", "asking", "rules", "search", "plan", "why", "halfway", "many", "steps",
    "formats", "page", "door", "web", "cli",
)  # fmt: skip
MODULES_AT_THE_ROOT = 3


def imported(file: Path) -> Iterator[str]:
    """The rooms of `solver` that a file imports from, wherever in it; imports for type checking alone too."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            top, _, rest = node.module.partition(".")
            if top == "solver":
                yield from [rest.split(".")[0]] if rest else [alias.name for alias in node.names]
        elif isinstance(node, ast.Import):
            yield from (a.name.split(".")[1] for a in node.names if a.name.startswith("solver."))


def taken_from_tests(file: Path) -> list[str]:
    """The test modules that a file imports from, wherever in it."""
    named: list[str] = []
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            named += [f"{node.module}.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Import):
            named += [alias.name for alias in node.names]
    return [name for name in named if name.startswith("tests.") and ".test_" in name]


def room(file: Path) -> str:
    """The room that a file of `solver` lies in; its own name at the root."""
    return file.relative_to(SOLVER).with_suffix("").parts[0]


FILES = sorted(f for f in SOLVER.rglob("*.py") if f.parent != SOLVER or f.stem != "__init__")


def test_every_room_has_its_place_and_says_what_comes_in_and_goes_out() -> None:
    """A new package stands in ORDER, and its first line is a sentence."""
    assert {room(f) for f in FILES} == set(ORDER)
    for name in ORDER:
        file = SOLVER / name / "__init__.py" if (SOLVER / name).is_dir() else SOLVER / f"{name}.py"
        first = ast.get_docstring(ast.parse(file.read_text(encoding="utf-8")))
        assert first, name
        assert first.split("\n\n")[0].endswith("."), name


@pytest.mark.parametrize("file", FILES, ids=lambda f: str(f.relative_to(SOLVER)))
def test_no_arrow_points_forward(file: Path) -> None:
    """A room imports itself and earlier rooms; so there is no circle either."""
    mine = ORDER.index(room(file))
    later = [name for name in imported(file) if name in ORDER and ORDER.index(name) > mine]
    assert not later


@pytest.mark.parametrize("file", sorted(TESTS.rglob("*.py")), ids=lambda f: str(f.relative_to(TESTS)))
def test_nothing_is_taken_from_a_test(file: Path) -> None:
    """What several tests share stands in `tests/kits`, or beside them in a module that is no test."""
    assert not taken_from_tests(file)


@pytest.mark.parametrize("file", sorted(CATALOG.rglob("*.py")), ids=lambda f: f.stem)
def test_the_catalogue_knows_no_solver(file: Path) -> None:
    """What exists does not depend on what is done with it."""
    assert not list(imported(file))


def test_few_modules_lie_outside_a_room() -> None:
    """At most three files at the root of `solver`, its `__init__` aside."""
    assert len([f for f in FILES if f.parent == SOLVER]) <= MODULES_AT_THE_ROOT


def test_the_room_of_a_forward_arrow_would_be_named(tmp_path: Path) -> None:
    """The reader of imports sees each form, also inside a function."""
    file = tmp_path / "x.py"
    file.write_text(
        "from solver.why import check\nimport solver.page.plot\ndef f():\n    from solver.cli import main\n"
    )
    assert sorted(imported(file)) == ["cli", "page", "why"]


def test_what_is_taken_from_a_test_would_be_named(tmp_path: Path) -> None:
    """Each form of an import, also inside a function; a kit is none."""
    file = tmp_path / "x.py"
    file.write_text(
        "from tests.kits.small import found\nimport tests.test_pages\nfrom tests import test_oracle\n"
        "def f():\n    from tests.fuzz.test_forms import here\n"
    )
    assert sorted(taken_from_tests(file)) == ["tests.fuzz.test_forms.here", "tests.test_oracle", "tests.test_pages"]
