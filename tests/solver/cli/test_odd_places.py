"""Started where things are not as usual: streams closed, a folder that is gone, names that are no text, no home."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.command import ROOT, START

HAT = ("find", "hat", "--around", "21 in", "--top", "1")
PYTHON = [sys.executable, "-c", START]


def run(*words: str | bytes, here: Path, shell: str = "", **env: str) -> "subprocess.CompletedProcess[str]":
    """The command in a folder; `shell` is what a shell adds to it, such as 2>&-."""
    around = {"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT), **env}
    call: list[str | bytes] = [*PYTHON, *words]
    if shell:
        call = ["sh", "-c", f'exec "$0" "$@" {shell}', *call]
    return subprocess.run(call, cwd=here, env=around, capture_output=True, text=True, errors="replace")


@pytest.mark.parametrize("closed", ["<&-", ">&-", "2>&-", "<&- >&- 2>&-"])
@pytest.mark.parametrize(("girth", "code"), [("21 in", 0), ("60 in", 1), ("21", 2)])
def test_a_closed_stream_changes_no_exit_code(tmp_path: Path, closed: str, girth: str, code: int) -> None:
    """With stderr closed a found hat once ended with 1, with all of them with 70."""
    assert run("find", "hat", "--around", girth, here=tmp_path, shell=closed).returncode == code


def test_a_question_with_no_one_to_answer(tmp_path: Path) -> None:
    """`swatch add` with stdin closed names what is missing."""
    (tmp_path / "kit.toml").write_bytes((ROOT / "catalog" / "kit.toml").read_bytes())
    ran = run("swatch", "add", here=tmp_path, shell="<&-")
    assert ran.returncode == 2
    assert "--loom" in ran.stderr


def test_in_a_folder_that_is_gone(tmp_path: Path) -> None:
    """What needs no folder works; what would be written there is refused by its name."""
    here = tmp_path / "gone"
    here.mkdir()
    leave = f'cd {here} && rmdir {here} && exec "$0" "$@"'
    for words, code, says in (
        (HAT, 0, ""),
        ((*HAT, "--save", "p.json"), 2, "p.json: found no such"),
        (("kit", "new"), 2, "kit.toml"),
    ):
        ran = subprocess.run(
            ["sh", "-c", leave, *PYTHON, *words],
            cwd=tmp_path, capture_output=True, text=True, env={**os.environ, "PYTHONPATH": str(ROOT)},
        )  # fmt: skip
        assert ran.returncode == code, ran.stderr
        assert says in ran.stderr
        here.mkdir()


def test_a_name_that_is_no_text(tmp_path: Path) -> None:
    """A file may be called by any bytes; a plan, which is UTF-8, could not name such a kit."""
    name = b"k\xff.toml"
    (tmp_path / os.fsdecode(name)).write_bytes((ROOT / "catalog" / "kit.toml").read_bytes())
    for words in ((*HAT, "--kit", name), (*HAT, "--kit", name, "--save", "p.json"), ("kit", "check", "--kit", name)):
        ran = run(*words, here=tmp_path)
        assert (ran.returncode, "not UTF-8" in ran.stderr) == (2, True)
    assert run(*HAT, "--save", b"p\xff.json", here=tmp_path).returncode == 0
    assert run("sheet", "--from", b"p\xff.json", "--html", b"s\xff.html", here=tmp_path).returncode == 0


@pytest.mark.parametrize(
    "env", [{"LANG": "C", "LC_ALL": "C", "PYTHONUTF8": "0"}, {"HOME": "/nowhere"}, {"TERM": "dumb"}, {}]
)
def test_it_needs_no_home_and_no_locale(tmp_path: Path, env: dict[str, str]) -> None:
    """The same hat, the sheet too."""
    assert run(*HAT, here=tmp_path, **env).stdout.startswith("no. ")
    assert "84 pegs" in run("sheet", "hat", "--around", "21 in", here=tmp_path, **env).stdout


@pytest.mark.parametrize("name", ["catalog", "solver"])
def test_another_package_of_our_names_is_named(tmp_path: Path, name: str) -> None:
    """`catalog` and `solver` are names that others use too; the command itself starts under one that nobody has."""
    (tmp_path / name).mkdir()
    (tmp_path / name / "__init__.py").write_text("raise RuntimeError('somebody else')\n")
    env = {**os.environ, "PYTHONPATH": os.pathsep.join([str(tmp_path), str(ROOT)])}
    ran = subprocess.run([*PYTHON, *HAT], env=env, capture_output=True, text=True, cwd=ROOT.parent)
    assert ran.returncode == 2
    assert f"another package named {name} in {tmp_path}" in ran.stderr
    assert "Traceback" not in ran.stderr
    env["PYTHONPATH"] = str(ROOT)
    fine = subprocess.run([*PYTHON, *HAT], env=env, capture_output=True, text=True, cwd=ROOT.parent)
    assert fine.returncode == 0
