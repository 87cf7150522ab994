"""Questions on a terminal: one at a time, on stderr for stdout is data, again after an answer that cannot be read."""

import sys
from collections.abc import Callable

from catalog.errors import InputError, Problem, printable
from solver.cli.spelling import as_option

Read = Callable[[str], object]


def there() -> bool:
    """Whether somebody sits at a terminal who can be asked."""
    return sys.stdin.isatty()


def answer(command: str, words: str) -> str:
    """One line. Raises InputError where the answers end: nothing was written."""
    print(printable(words), end=": ", file=sys.stderr, flush=True)
    line = sys.stdin.readline()
    if not line:
        print(file=sys.stderr)
        raise InputError(command, Problem("", "stopped before the last answer: nothing was written"))
    return line.strip()


def ask(command: str, words: str, read: Read, default: str | None = None) -> object:
    """The answer as `read` has it; Enter takes the default, and "" as a default is nothing (None)."""
    while True:
        line = answer(command, words + (f" [{default}]" if default else "")) or default
        try:
            if line is not None:
                return read(line) if line else None
        except InputError as error:
            print(error.worded(as_option, terminal=True), file=sys.stderr)


def sure(command: str, words: str) -> bool:
    """Yes or no."""
    while True:
        line = answer(command, f"{words} (yes, no)").lower()
        if line in ("y", "yes", "n", "no"):
            return line in ("y", "yes")
