"""One input through the real entry point, and what must hold of it whatever it was.

The command runs in this process with its streams captured; only typer's building of the commands, nine tenths of a
short run, is kept from one to the next. Seconds are this process's own, so that others on the machine do not count.
"""

import gc
import shutil
import signal
import time
import unicodedata
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from unittest import mock

import typer.main

from tests.command import Ran, pegwright

HANG_SECONDS = 120  # of the clock: a hang is a failure and not a wait
MOST_SECONDS, MOST_MIB = 2.0, 1024  # of the processor, counted and told; that the process grows by in a part
OF_A_TERMINAL = {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"}  # what a terminal obeys, hides or turns round
KEPT = cache(typer.main.get_command)


def emptied(folder: Path) -> Path:
    """The folder with nothing in it."""
    for path in folder.iterdir():
        shutil.rmtree(path) if path.is_dir() else path.unlink()
    return folder


@dataclass(frozen=True)
class Given:
    """An input: the files in the folder and the words typed."""

    words: tuple[str, ...]
    files: dict[str, bytes] = field(default_factory=dict)


@dataclass
class Tally:
    """What came of the inputs so far."""

    codes: Counter[object] = field(default_factory=Counter)
    seconds: float = 0.0
    slowest: str = ""
    slow: int = 0
    began_mib: float = field(default_factory=lambda: peak_mib())
    mib: float = 0.0

    def note(self, code: object, seconds: float, what: str) -> None:
        """One more."""
        self.codes[code] += 1
        self.mib = peak_mib() - self.began_mib
        self.slow += seconds > MOST_SECONDS
        if seconds > self.seconds:
            self.seconds, self.slowest = seconds, what[:400]

    def __str__(self) -> str:
        codes = ", ".join(f"{code}: {count}" for code, count in sorted(self.codes.items(), key=str))
        slowest = f"{self.slow} over {MOST_SECONDS:g} s, slowest {self.seconds:.2f} s ({self.slowest})"
        grown = f"{self.mib:.0f} MiB more than the {self.began_mib:.0f} at its start"
        return f"{sum(self.codes.values()):,} inputs; {codes}; {slowest}; {grown}"


def peak_mib() -> float:
    """The most memory that this process had so far; 0 where the system does not say."""
    try:
        import resource
    except ImportError:
        return 0.0
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


@contextmanager
def alarm() -> Iterator[None]:
    """Where the system has an alarm, nothing hangs."""
    if not hasattr(signal, "SIGALRM"):
        yield
        return
    signal.signal(signal.SIGALRM, _hangs)
    signal.alarm(HANG_SECONDS)
    try:
        yield
    finally:
        signal.alarm(0)


def _hangs(*_: object) -> None:
    raise TimeoutError(f"over {HANG_SECONDS} s")


def steering(text: str) -> set[str]:
    """Signs that no name may bring to a terminal; line ends are ours."""
    return {c for c in text if unicodedata.category(c) in OF_A_TERMINAL and c != "\n"}


def ran(given: Given, folder: Path) -> Ran:
    """The command over the files."""
    for name, data in given.files.items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes(data)
    with mock.patch("typer.main.get_command", KEPT), alarm():
        try:
            return pegwright(*given.words, here=folder)
        finally:
            gc.enable()  # a command switches it off for its short life


def judge(given: Given, folder: Path, tally: Tally) -> Ran:
    """Run it, and hold that its end is one of the four, and that nothing of it steers a terminal."""
    began = time.process_time()
    done = ran(given, folder)
    tally.note(done.code, time.process_time() - began, repr(given.words))
    said = done.out.replace("\r\n", "\n") + done.err
    assert done.code in (0, 1, 2, 3), (done.code, done.err[-2_000:])
    assert "Traceback" not in said, said[-2_000:]
    assert not steering(said), (steering(said), said[-2_000:])
    helped = "Usage: pegwright" in done.out  # a group of commands without one of them: its help
    assert done.err or helped or done.code != 2, "bad input, and not a word of it"
    assert helped or not done.out or done.code != 2, done.out[:500]
    return done
