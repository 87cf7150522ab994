"""The README and the examples: every command in them is run, and prints what stands there."""

import re
from pathlib import Path

import pytest

from solver.cli.app import app
from tests.command import ROOT
from tests.pages import BLOCK, commands, pages, told

UNSHOWN = {"open"}  # goes on until it is stopped


@pytest.mark.parametrize("page", pages(), ids=lambda p: str(p.relative_to(ROOT)))
def test_the_output_in_the_page_is_true(page: Path) -> None:
    """Run `python -m tests.pages PAGE` to write the true output after a change that is meant."""
    assert told(page) == page.read_text(encoding="utf-8")


def test_every_command_is_named_and_shown() -> None:
    """The README names each command; a page that the tests run shows what it prints."""
    from typer.main import get_command

    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    texts = [page.read_text(encoding="utf-8") for page in pages()]
    shown = [c for text in texts for block in BLOCK.findall(text) for c in commands(block)]
    for name in get_command(app).commands:  # type: ignore[attr-defined]
        assert re.search(rf"`(?:pegwright )?{name}\b|pegwright {name}\b", readme), name
        assert name in UNSHOWN or any(c.split()[1] == name for c in shown), name


def test_the_readme_is_short_and_its_links_lead_somewhere() -> None:
    """What does not help a first hat stands on a page of its own."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert len(readme.splitlines()) <= 220
    links = re.findall(r"\]\(([^)#]+)\)", readme)
    assert links
    assert [link for link in links if not link.startswith("http") and not (ROOT / link).exists()] == []


def test_the_set_up_commands_are_run_by_ci() -> None:
    """The two shell blocks of the README are what .ci/run takes out of it and runs."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    blocks = re.findall(r"^```sh\n(.*?)^```\n", text, re.DOTALL | re.MULTILINE)
    assert len(blocks) == 2
    assert "pegwright find hat" in blocks[0]
    assert "pytest" in blocks[1]
    assert "README.md" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")
