"""stderr is talk: where it takes nothing, a full disk or a reader that left, what was done still ends as it should."""

import io
import os
import sys


class Talk(io.TextIOWrapper):
    """A stderr that at its first failure takes what it is given and forgets it, as one closed before the start does."""

    def write(self, text: str) -> int:
        """The text, or as much of it as is taken."""
        try:
            return super().write(text)
        except OSError:
            return self._forget(text)

    def flush(self) -> None:
        """What is held back, where it can be said."""
        try:
            super().flush()
        except OSError:
            self._forget()

    def _forget(self, text: str = "") -> int:
        """The bytes that wait in the buffer go to nobody, or Python tries them again while it shuts down: code 120."""
        nobody = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nobody, self.fileno())
        os.close(nobody)
        super().flush()
        return len(text)


def talk_to_whoever_listens() -> None:
    """Make stderr such a one; one that a test put in its place stays."""
    here = sys.stderr
    if here is sys.__stderr__ and isinstance(here, io.TextIOWrapper):
        sys.stderr = Talk(here.buffer, encoding=here.encoding, errors="replace", line_buffering=True)
