"""The README and the examples: every command in them is run, and prints what stands there."""

import re
from pathlib import Path

import pytest

from solver.cli.app import app
from tests.command import ROOT
from tests.pages import BLOCK, commands, pages, told


@pytest.mark.parametrize("page", pages(), ids=lambda p: str(p.relative_to(ROOT)))
def test_the_output_in_the_page_is_true(page: Path) -> None:
    """Run `python -m tests.pages PAGE` to write the true output after a change that is meant."""
    assert told(page) == page.read_text(encoding="utf-8")


def test_the_readme_shows_every_command() -> None:
    """A command that the README does not show is one that nobody finds."""
    from typer.main import get_command

    text = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = [c for block in BLOCK.findall(text) for c in commands(block)]
    for name in get_command(app).commands:  # type: ignore[attr-defined]
        assert any(c.split()[1] == name for c in shown), name


def test_the_set_up_commands_are_run_by_ci() -> None:
    """The two shell blocks of the README are what .ci/run takes out of it and runs."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    blocks = re.findall(r"^```sh\n(.*?)^```\n", text, re.DOTALL | re.MULTILINE)
    assert len(blocks) == 2
    assert "pegwright find hat" in blocks[0]
    assert "pytest" in blocks[1]
    assert "README.md" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")
