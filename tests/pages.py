"""Console blocks of a Markdown page: the commands in them, run, and their true output put beside what is printed.

A block "```csv NAME" is a file that the commands find. `python -m tests.pages README.md examples/*/README.md` writes
the true output into the pages.
"""

import re
import shlex
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.command import ROOT, pegwright

FILE = re.compile(r"^```csv (\S+)\n(.*?)^```\n", re.DOTALL | re.MULTILINE)
BLOCK = re.compile(r"^```console\n(.*?)^```\n", re.DOTALL | re.MULTILINE)


def pages() -> list[Path]:
    """Every page whose commands are run."""
    return [ROOT / "README.md", *sorted((ROOT / "examples").glob("*/README.md"))]


def told(page: Path) -> str:
    """The page with the true output in its console blocks; commands run in order, in one copy of the page's folder."""
    text = page.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        here = Path(folder) / "here"
        if page.parent == ROOT:
            here.mkdir()
        else:
            shutil.copytree(page.parent, here)
        for name, content in FILE.findall(text):
            (here / name).write_text(content, encoding="utf-8")
        return BLOCK.sub(lambda found: f"```console\n{''.join(_run(found[1], here))}```\n", text)


def _run(block: str, here: Path) -> Iterator[str]:
    """Each command with what it prints (stderr first, no idle blanks at line ends), and its exit code if not 0."""
    for command in commands(block):
        words = shlex.split(command)
        if words[0] != "pegwright":
            raise ValueError(f"Expected a pegwright command, found {command}")
        ran = pegwright(*words[1:], here=here)
        code = f"(exit code {ran.code})\n" if ran.code else ""
        printed = "".join(f"{line.rstrip()}\n" for line in (ran.err + ran.out).splitlines())
        yield f"$ {command}\n{printed}{code}"


def commands(block: str) -> list[str]:
    """The lines of a console block that start with "$ ", each with the lines it goes on over."""
    joined = re.sub(r"\\\n\s*", " ", block)
    return [line[2:] for line in joined.splitlines() if line.startswith("$ ")]


if __name__ == "__main__":
    for name in sys.argv[1:]:
        path = Path(name).resolve()
        path.write_text(told(path), encoding="utf-8")
