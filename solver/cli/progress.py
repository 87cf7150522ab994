"""A bar on stderr for what takes over a second: nothing before that, nothing in a pipe, nothing left behind."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Lock, Timer
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from rich.progress import Progress, TaskID

SLOW = 1.0  # seconds before anything shows


@contextmanager
def progress(label: str, total: int | None = None, after: float = SLOW) -> Iterator[Callable[[int], None]]:
    """A bar with `total` steps, or one that only moves; yields what to call with the number of steps just done."""
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    bar = _Bar(label, total, sys.stderr)
    timer = Timer(after, bar.show)
    timer.daemon = True
    timer.start()
    try:
        yield bar.advance
    finally:
        timer.cancel()
        bar.close()


class _Bar:
    """Counts from the start; drawn only once it is shown. rich is imported then, so that quick commands never pay."""

    def __init__(self, label: str, total: int | None, stream: TextIO) -> None:
        self.label, self.total, self.stream = label, total, stream
        self.done, self.closed, self.lock = 0, False, Lock()
        self.drawn: tuple[Progress, TaskID] | None = None

    def show(self) -> None:
        """Draw it, unless all is over."""
        with self.lock:
            if self.closed:
                return
            from rich.console import Console
            from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

            columns = [TextColumn("{task.description}", markup=False), BarColumn()]
            columns += [TextColumn("{task.completed}/{task.total}")] if self.total is not None else []
            drawn = Progress(*columns, TimeElapsedColumn(), console=Console(file=self.stream), transient=True)
            self.drawn = drawn, drawn.add_task(self.label, total=self.total, completed=self.done)
            drawn.start()

    def advance(self, steps: int) -> None:
        """So many more steps are done."""
        with self.lock:
            self.done += steps
            if self.drawn:
                self.drawn[0].update(self.drawn[1], completed=self.done)

    def close(self) -> None:
        """Take the bar away."""
        with self.lock:
            self.closed = True
            if self.drawn:
                self.drawn[0].stop()
