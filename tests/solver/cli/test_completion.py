"""Shell completion, asked as a shell asks it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.command import ROOT, START


def completed(shell: str, typed: str) -> str:
    """What the command offers for the last word of what was typed."""
    words = {"COMP_WORDS": typed, "COMP_CWORD": str(len(typed.split()) - 1)}
    if shell == "zsh":
        words = {"_TYPER_COMPLETE_ARGS": typed}
    env = {**os.environ, "PYTHONPATH": str(ROOT), "_PEGWRIGHT_COMPLETE": f"complete_{shell}", **words}
    return subprocess.run([sys.executable, "-c", START], env=env, capture_output=True, text=True).stdout


@pytest.mark.parametrize("shell", ["bash", "zsh"])
def test_commands_and_options_are_offered(shell: str) -> None:
    """`pegwright fi<TAB>` and `pegwright find hat --aro<TAB>`."""
    assert "find" in completed(shell, "pegwright fi")
    assert "--around" in completed(shell, "pegwright find hat --aro")
    assert "--around" not in completed(shell, "pegwright find hat --str")


def test_a_shell_without_completion_is_bad_input(tmp_path: Path) -> None:
    """It was 1, which says that no setup fits."""
    env = {**os.environ, "PYTHONPATH": str(ROOT), "HOME": str(tmp_path)}
    for option in ("--install-completion", "--show-completion"):
        call = ["sh", "-c", '"$@"; exit $?', "sh", sys.executable, "-c", START, option]
        run = subprocess.run(call, env=env, capture_output=True, text=True)
        assert (run.returncode, "not supported" in run.stdout + run.stderr) == (2, True)


def test_the_shells_script_can_be_had() -> None:
    """`--show-completion` prints what `--install-completion` writes, for a shell that the environment names."""
    env = {**os.environ, "PYTHONPATH": str(ROOT), "_PEGWRIGHT_COMPLETE": "source_bash"}
    run = subprocess.run([sys.executable, "-c", START], env=env, capture_output=True, text=True)
    assert run.returncode == 0
    assert "_PEGWRIGHT_COMPLETE=complete_bash" in run.stdout
