"""Words typed at a terminal in; what is printed, and an exit code, out. One thin file per command, no arithmetic.

Exit codes: 0 found (or the reader went away), 1 no setup holds all rules, 2 bad input, 3 undecided in the time given,
70 a fault of ours, 130 stopped by Ctrl-C.
"""

import gc
import io
import os
import signal
import sys
import threading
from collections.abc import Callable
from types import FrameType

from solver.cli.since import begin
from solver.cli.talk import talk_to_whoever_listens

BAD_INPUT, UNDECIDED, OUR_FAULT, STOPPED = 2, 3, 70, 130


def main() -> None:
    """Run the command line; whatever happens ends with a code and a message, never with a traceback."""
    stopped = _Stopped()
    gc.disable()  # a short life of many imports: collecting nothing saves 5 % of a find
    begin()
    _open_streams()
    talk_to_whoever_listens()
    try:
        code = _run(stopped)
        stopped.leave_at_once()  # all is written: while Python shuts down nothing is left to stop but Python
    except KeyboardInterrupt:
        code = STOPPED
    sys.exit(code)


def _open_streams() -> None:
    """A stream that was closed before the start (`2>&-`) takes what it is given and forgets it."""
    for name, number, mode in (("stdin", 0, "r"), ("stdout", 1, "w"), ("stderr", 2, "w")):
        if getattr(sys, name) is None:
            opened = io.open(os.devnull, mode)  # noqa: SIM115, UP020
            if opened.fileno() != number:
                os.dup2(opened.fileno(), number)
            setattr(sys, name, opened)


class _Stopped:
    """Whether Ctrl-C was pressed: a library that is being imported may turn the interrupt into an error of its own.

    Until a command is under way, when it has ended, and when it is pressed again, Ctrl-C leaves at once.
    """

    def __init__(self) -> None:
        self.pressed = False
        main = threading.current_thread() is threading.main_thread()  # no other may say what a signal does
        self.heard = main and signal.getsignal(signal.SIGINT) not in (signal.SIG_IGN, None)
        self.leave_at_once()

    def leave_at_once(self) -> None:
        """Nothing has to be put away: no interrupt can be caught or swallowed on its way."""
        self._answer(lambda *_: os._exit(STOPPED))

    def unwind(self) -> None:
        """From now on half-written files and lines are put away first."""
        self._answer(self._press)
        sys.unraisablehook = self._swallowed

    def _answer(self, how: Callable[[int, FrameType | None], None]) -> None:
        if self.heard:
            signal.signal(signal.SIGINT, how)

    def _press(self, _number: int, _frame: FrameType | None) -> None:
        self.pressed = True
        self.leave_at_once()
        raise KeyboardInterrupt

    def _swallowed(self, odd: "sys.UnraisableHookArgs") -> None:
        """Python drops what is raised while it clears something away: an interrupt that fell there still counts."""
        if odd.exc_type is KeyboardInterrupt:
            os._exit(STOPPED)
        sys.__unraisablehook__(odd)


def _run(stopped: _Stopped) -> int:
    """Imports stand inside, so that nothing of theirs escapes what main catches."""
    import typer

    from catalog.errors import InputError, printable, steady
    from solver.cli.spelling import as_option
    from solver.door import Undecided

    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        code = _command(stopped)
        return STOPPED if stopped.pressed else code
    except InputError as error:
        typer.echo(f"pegwright: {error.worded(as_option, terminal=True)}", err=True)
        return BAD_INPUT
    except Undecided as error:
        typer.echo(f"time ran out: {str(error) or 'nothing is proven'}", err=True)
        return UNDECIDED
    except BrokenPipeError:
        return _reader_gone()
    except OSError as error:
        where = f" {printable(str(error.filename))}" if error.filename else " what was printed"
        typer.echo(f"pegwright: cannot read or write{where}: {error.strerror or error}", err=True)
        _forget_output()
        return BAD_INPUT
    except Exception as error:  # a fault of ours: say so, and keep the user's terminal clean
        if stopped.pressed:
            return STOPPED
        typer.echo(f"pegwright: this is our fault, not yours: {type(error).__name__}: {steady(str(error))}", err=True)
        typer.echo(
            "  hint: please report it with the command and the kit; set PEGWRIGHT_DEBUG=1 for the traceback", err=True
        )
        if os.environ.get("PEGWRIGHT_DEBUG"):
            raise
        return OUR_FAULT


def _command(stopped: _Stopped) -> int:
    """Run the command that was typed; its exit code. typer words what it refuses, and leaves by SystemExit."""
    import typer

    from solver.cli.app import app

    stopped.unwind()
    try:
        app(prog_name="pegwright")
    except SystemExit as stop:
        if isinstance(stop.__context__, BrokenPipeError):  # typer says 1 of a reader that went away
            return _reader_gone()
        if isinstance(stop.__context__, typer.Abort):  # a question that was left unanswered
            return STOPPED
        if sys.stdout is not None:
            sys.stdout.flush()  # here, where a full disk or a reader that left is still ours to answer for
        code = stop.code if isinstance(stop.code, int) else int(stop.code is not None)
        completing = any(word.endswith("-completion") for word in sys.argv[1:2])
        return BAD_INPUT if code == 1 and completing else code  # typer says 1 of a shell that it does not know
    return 0


def _reader_gone() -> int:
    """`| head` has read enough: no failure."""
    _forget_output()
    return 0


def _forget_output() -> None:
    """What is still held back for a stdout that takes nothing is not tried again while Python shuts down."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (OSError, ValueError, AttributeError):
        sys.stdout = io.StringIO()  # `open` is a command of ours in this module
