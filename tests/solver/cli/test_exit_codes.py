"""Exit codes that scripts rely on, each seen from outside, in a process of its own."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import TextIO
from unittest import mock

import pytest

from tests.command import ROOT, START, pegwright

ENV = {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "80"}
LONG = ("show", "sources")


def started(*words: str, **more: object) -> "subprocess.Popen[str]":
    """A command as a process of its own, whose stdout and stderr are pipes unless they are given."""
    streams = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **more}
    return subprocess.Popen([sys.executable, "-c", START, *words], env=ENV, text=True, **streams)  # type: ignore[call-overload, no-any-return]


@pytest.mark.parametrize("words", [LONG, ("show", "items"), ("find", "hat", "--around", "21 in", "--csv")])
def test_a_reader_that_goes_away_is_no_failure(words: tuple[str, ...]) -> None:
    """`| head` closes the pipe; once 1 was said, which means that no setup fits."""
    run = started(*words)
    assert run.stdout is not None
    run.stdout.close()
    _, talk = run.communicate(timeout=60)
    assert run.returncode == 0
    assert "Traceback" not in talk
    assert "BrokenPipe" not in talk


@pytest.mark.parametrize("after", [0.05, 0.1, 0.2, 0.4, 0.8])
def test_ctrl_c_ends_with_130_and_no_traceback(after: float) -> None:
    """From the first import on; a run that was done or not begun before the signal says so by its code."""
    run = started("find", "mittens", "--size", "adult-woman", "--top", "50", "--all-pegs")
    time.sleep(after)
    run.send_signal(signal.SIGINT)
    _, talk = run.communicate(timeout=60)
    if str(ROOT) not in talk and run.returncode in (-signal.SIGINT, 1):
        pytest.skip("Python itself was not up yet: what it says of that is its own")
    assert run.returncode in (0, 130)
    assert "Traceback" not in talk or str(ROOT) not in talk


PRESSED = """
import os, signal, sys
def press(): os.kill(os.getpid(), signal.SIGINT)
class Late:
    def __del__(self):
        press()
        os.getpid()  # the interrupt falls here, where Python drops it
class Finder:
    @staticmethod
    def find_spec(name, path=None, target=None):
        if name == {module!r}:
            {press}
sys.meta_path.insert(0, Finder)
"""
IMPORTED = (  # in the order in which a find loads them
    "catalog", "solver", "solver.cli", "solver.cli.since", "typer", "catalog.errors",
    "solver.door", "solver.cli.app", "solver.cli.adjust", "catalog.kitplace", "tomllib", "pydantic",
    "solver.asking.words", "numpy", "ortools.sat.python",
)  # fmt: skip


def stopped_at(module: str, press: str, start: str = START) -> "subprocess.CompletedProcess[str]":
    """A find in which Ctrl-C is pressed when a module is looked for, after our first lines have been read."""
    code = "import pegwright_command\n" + PRESSED.format(module=module, press=press) + start
    words = ("find", "hat", "--around", "21 in")
    return subprocess.run([sys.executable, "-c", code, *words], env=ENV, capture_output=True, text=True)


@pytest.mark.parametrize("press", ["press()", "Late()"])
@pytest.mark.parametrize("module", IMPORTED)
def test_ctrl_c_at_any_import_of_ours_ends_with_130(module: str, press: str) -> None:
    """Once `solver/__init__.py` and others answered with a traceback; or, where Python dropped it, not at all.

    What is pressed before our first line runs is Python's own to answer, and cannot be tested here.
    """
    ran = stopped_at(module, press)
    assert (ran.returncode, ran.stdout) == (130, "")
    assert "Traceback" not in ran.stderr
    assert "ignored" not in ran.stderr


def test_ctrl_c_while_python_shuts_down_ends_with_130() -> None:
    """The hat is printed, and Python's own clearing up is not shown being interrupted."""
    end = "import threading; threading._register_atexit(press)\n" + START
    ran = stopped_at("never", "pass", end)
    assert ran.returncode == 130
    assert ran.stdout.startswith("no. ")
    assert ran.stderr.count("\n") == 1  # that the kit is the built-in one


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full here")
def test_a_full_disk_is_said() -> None:
    """What could not be written is no success."""
    with Path("/dev/full").open("w") as full:
        run = started("show", "items", stdout=full)
        _, talk = run.communicate(timeout=60)
    assert run.returncode == 2
    assert "cannot read or write what was printed: No space left on device" in talk
    assert "Traceback" not in talk


FAULT = "import solver.plan.answer as a; a.answer = None; "  # a fault of ours, from within
TALKING = [  # each says something on stderr, as does that there is no kit here
    (("find", "nope"), "", 2),
    (("find",), "", 2),
    (("find", "hat", "--around", "21 in"), "", 0),
    (("find", "hat", "--around", "90 in"), "", 1),
    (("find", "hat", "--around", "21 in", "--seconds", "0"), "", 3),
    (("find", "hat", "--around", "21 in"), FAULT, 70),
]


def left_pipe() -> TextIO:
    """A pipe whose reader has gone."""
    reader, writer = os.pipe()
    os.close(reader)
    return os.fdopen(writer, "w")


@pytest.mark.parametrize(("words", "first", "code"), TALKING, ids=[str(code) for *_, code in TALKING])
@pytest.mark.parametrize("gone", ["full", "left"])
def test_talk_that_nobody_hears_changes_no_exit_code(
    words: tuple[str, ...], first: str, code: int, gone: str, tmp_path: Path
) -> None:
    """Bad input with a full stderr ended with 1, which means that no setup fits; data come whole all the same."""
    if gone == "full" and not Path("/dev/full").exists():
        pytest.skip("no device that is always full here")
    call = [sys.executable, "-c", first + START, *words]
    heard = subprocess.run(call, env=ENV, cwd=tmp_path, capture_output=True, text=True)
    assert (heard.returncode, heard.stderr != "") == (code, True)
    with Path("/dev/full").open("w") if gone == "full" else left_pipe() as deaf:
        run = subprocess.run(call, env=ENV, cwd=tmp_path, stdout=subprocess.PIPE, stderr=deaf, text=True)
    assert (run.returncode, run.stdout) == (code, heard.stdout)


@pytest.mark.parametrize("words", [("find",), ("find", "hat", "--top", "none"), ("fnid",)])
def test_words_that_typer_refuses_end_with_2(words: tuple[str, ...]) -> None:
    """A missing item, a number that is none, a command that does not exist."""
    ran = pegwright(*words)
    assert ran.code == 2
    assert ran.out == ""
    assert "Traceback" not in ran.err


def test_help_and_version_end_with_0() -> None:
    """They are answers."""
    assert pegwright("--help").code == 0
    assert pegwright("--version").code == 0


def test_a_fault_of_ours_is_70() -> None:
    """Not 3, which says that time ran out."""
    with mock.patch("solver.plan.answer.answer", side_effect=ZeroDivisionError("by nought")):
        ran = pegwright("find", "hat", "--around", "21 in")
    assert ran.code == 70
    assert "this is our fault, not yours: ZeroDivisionError: by nought" in ran.err


@pytest.mark.parametrize("words", [("batch",), ("find", "hat", "--kit"), ("sheet", "--from")])
def test_a_file_name_that_no_system_takes_is_told(words: tuple[str, ...]) -> None:
    """As a file that cannot be read, with the name spelt out; a name so long was the system's own complaint."""
    ran = pegwright(*words, "\u202ecsv" * 100)
    assert (ran.code, ran.out) == (2, "")
    assert "\\u202ecsv" in ran.err
    assert ran.err.endswith(": File name too long\n")


def test_a_complaint_of_the_system_steers_no_terminal() -> None:
    """The file's name is spelt out, and a stdout that is no file of the system's is let go."""
    error = OSError(5, "Input/output error", "\u202e\x1b[31m.toml")
    with mock.patch("catalog.kitplace.find_kit", side_effect=error):
        ran = pegwright("find", "hat", "--around", "21 in")
    assert ran.code == 2
    assert ran.err == "pegwright: cannot read or write \\u202e\\x1b[31m.toml: Input/output error\n"
