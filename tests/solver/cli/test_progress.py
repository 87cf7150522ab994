"""The bar on stderr: only on a terminal, only for what takes long, and gone at the end."""

from __future__ import annotations

import io
import sys
import time

import pytest

from solver.cli.progress import progress


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def test_nothing_in_a_pipe(monkeypatch: pytest.MonkeyPatch) -> None:
    """However long it takes."""
    stream = io.StringIO()
    monkeypatch.setattr(sys, "stderr", stream)
    with progress("looking", 3, after=0) as done:
        done(3)
        time.sleep(0.05)
    assert stream.getvalue() == ""


def test_nothing_for_what_is_quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Over before the bar would show."""
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    with progress("looking", 3, after=30) as done:
        done(3)
    assert stream.getvalue() == ""


def test_a_bar_for_what_is_slow(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its label and how far it is, also of what was done before it showed; the cursor comes back."""
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setenv("TERM", "xterm")
    with progress("knitting [plain]", 7, after=0.02) as done:
        done(2)
        deadline = time.monotonic() + 20
        while "2/7" not in stream.getvalue() and time.monotonic() < deadline:
            time.sleep(0.02)
        done(3)
        while "5/7" not in stream.getvalue() and time.monotonic() < deadline:
            time.sleep(0.02)
    said = stream.getvalue()
    assert "knitting [plain]" in said
    assert "2/7" in said
    assert "5/7" in said
    assert "\x1b[?25h" in said


def test_an_error_ends_the_bar(monkeypatch: pytest.MonkeyPatch) -> None:
    """The error goes on, and nothing is left running."""
    monkeypatch.setattr(sys, "stderr", Terminal())
    with pytest.raises(ValueError, match="torn"), progress("looking", after=0):
        raise ValueError("torn")
