"""Console and Python blocks of a Markdown page: what is in them, run, and their true output put beside what is printed.

What a "```python" block prints, and the value of its last line, stand in the "```text" block below it; the blocks of a
page share their names, as the cells of a notebook do.
`python -m tests.pages README.md examples/*/README.md` writes the true output into the pages.
"""

import ast
import contextlib
import io
import re
import shlex
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.command import ROOT, pegwright

RUN = re.compile(
    r"^```console\n(?P<console>.*?)^```\n|^```python\n(?P<python>.*?)^```\n(?:\n```text\n.*?^```\n)?",
    re.DOTALL | re.MULTILINE,
)
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
        names: dict[str, object] = {}
        return RUN.sub(lambda found: _block(found, here, names), text)


def _block(found: re.Match[str], here: Path, names: dict[str, object]) -> str:
    if found["console"] is not None:
        return f"```console\n{''.join(_run(found['console'], here))}```\n"
    printed = _ran(found["python"], here, names)
    below = f"\n```text\n{printed}```\n" if printed else ""
    return f"```python\n{found['python']}```\n{below}"


def _ran(code: str, here: Path, names: dict[str, object]) -> str:
    """What a cell prints, then the value of its last line if that is an expression and not None."""
    *body, last = ast.parse(code).body
    value = isinstance(last, ast.Expr)
    out = io.StringIO()
    with contextlib.chdir(here), contextlib.redirect_stdout(out):
        exec(compile(ast.Module(body if value else [*body, last], []), "a cell", "exec"), names)
        if isinstance(last, ast.Expr):
            shown = eval(compile(ast.Expression(last.value), "a cell", "eval"), names)
            if shown is not None:
                print(repr(shown))
    return out.getvalue()


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
