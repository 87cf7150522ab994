"""Runs the command as a user would, in this process for speed or as a process of its own."""

import contextlib
import io
import os
import signal
import subprocess
import sys
import threading
from dataclasses import dataclass
from pathlib import Path
from unittest import mock

from solver.cli import main

ROOT = Path(__file__).parent.parent
START = "from pegwright_command import main; main()"


@dataclass(frozen=True)
class Ran:
    """Exit code and what was printed."""

    code: int
    out: str
    err: str


def pegwright(*words: str, here: Path | None = None) -> Ran:
    """`pegwright words…` in the folder `here`, in this process, at 80 columns."""
    out, err = io.StringIO(), io.StringIO()
    before, answers, hook = Path.cwd(), signal.getsignal(signal.SIGINT), sys.unraisablehook
    try:
        os.chdir(here or before)
        with (
            mock.patch.object(sys, "argv", ["pegwright", *words]),
            mock.patch.dict(os.environ, {"COLUMNS": "80", "NO_COLOR": "1"}),
            contextlib.redirect_stdout(out),
            contextlib.redirect_stderr(err),
        ):
            try:
                main()
                code = 0
            except SystemExit as stop:
                code = stop.code if isinstance(stop.code, int) else int(stop.code is not None)
    finally:
        os.chdir(before)
        sys.unraisablehook = hook  # a process of its own would be gone by now, and these with it
        if threading.current_thread() is threading.main_thread():
            signal.signal(signal.SIGINT, answers)
    return Ran(code, out.getvalue(), err.getvalue())


def process(*words: str, here: Path, **more: str) -> Ran:
    """The same as a process of its own."""
    env = {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "80", **more}
    done = subprocess.run([sys.executable, "-c", START, *words], cwd=here, env=env, capture_output=True, text=True)
    return Ran(done.returncode, done.stdout, done.stderr)
