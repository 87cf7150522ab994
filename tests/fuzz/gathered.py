"""The failures of many inputs, each kind once, so that one of them does not hide the next; and what was measured."""

import os
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

import pytest

from tests.fuzz.judge import MOST_MIB, Tally
from tests.kits.draws import SHRINK


@dataclass
class Gathered:
    """Failures by where they come from, and the tally."""

    tally: Tally = field(default_factory=Tally)
    failures: dict[str, str] = field(default_factory=dict)

    @contextmanager
    def one(self, given: object) -> Iterator[None]:
        """One input: what it fails by is kept; with --shrink it is raised, for hypothesis to make it smaller."""
        try:
            yield
        except Exception as error:
            if SHRINK in os.environ:
                raise
            place = traceback.extract_tb(error.__traceback__)[-1]
            key = f"{type(error).__name__} {place.filename}:{place.lineno} {str(error)[:60]}"
            self.failures.setdefault(key, f"{given!r}\n{''.join(traceback.format_exception(error))[-3_000:]}")

    def told(self, capsys: pytest.CaptureFixture[str], what: str, part: int) -> None:
        """In the long profile the tally is printed, and memory has its limit; failures fail in any."""
        if part:
            with capsys.disabled():
                print(f"\n{what} {part}: {self.tally}", *self.failures.values(), sep="\n")
        assert not self.failures, "\n\n".join(self.failures.values())
        if part:
            assert self.tally.mib < MOST_MIB
