"""What the rooms share: the kit's file, pieces begun, what can be undone, and answers kept for a kit."""

import threading
import tomllib
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar

from catalog.errors import InputError, Problem
from catalog.kit import Kit, load_kit
from catalog.kitfile import Written, restore
from catalog.wholefile import locked, replace
from solver.web.shelf import Shelf

T = TypeVar("T")
SECONDS = 20.0  # the most that one page may think
KEPT = 64
UNDOS = 50
EMPTY = (
    b"# What pegwright's Cupboard holds. It is yours: write in it, it is read again with every page.\nkit_version = 1\n"
)


@dataclass(frozen=True, slots=True)
class Undo:
    """How one change of the kit is taken back."""

    says: str
    before: str
    after: str


@dataclass(slots=True)
class House:
    """One running program. `kit_path` may be a file that is not there yet: the first change writes it."""

    kit_path: Path
    shelf: Shelf
    undos: list[Undo] = field(default_factory=list)
    asked: tuple[str, str] | None = None  # what was asked last in Make: its words in an address, and for a reader
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _kept: "OrderedDict[tuple[str, str], _Once]" = field(default_factory=OrderedDict)

    def kit(self) -> Kit:
        """The kit as its file stands now; empty before there is one. Raises InputError."""
        return load_kit(self.kit_path) if self.kit_path.exists() else Kit()

    def entries(self) -> dict[str, list[dict[str, Any]]]:
        """The kit's tables as they stand in its file: lengths in their own words."""
        if not self.kit_path.exists():
            return {}
        found: dict[str, Any] = tomllib.loads(self.kit_path.read_text(encoding="utf-8-sig"))
        return {table: entries for table, entries in found.items() if isinstance(entries, list)}

    def change(self, says: str, write: Callable[[Path], Written]) -> None:
        """Change the kit through its one writer, and keep how to take that back. Raises InputError."""
        if not self.kit_path.exists():
            self.kit_path.parent.mkdir(parents=True, exist_ok=True)
            with locked(self.kit_path, str(self.kit_path), 10.0):
                if not self.kit_path.exists():
                    replace(self.kit_path, EMPTY, str(self.kit_path))
        done = write(self.kit_path)
        with self._lock:
            self.undos.append(Undo(says, done.before, done.digest))
            del self.undos[:-UNDOS]

    def undo(self) -> str:
        """Take the last change back; what it was. Raises InputError where the file has been changed since."""
        with self._lock:
            if not self.undos:
                raise InputError("", Problem("", "found nothing to undo"))
            last = self.undos.pop()
        restore(self.kit_path, last.before, last.after)
        return last.says

    def once(self, key: str, work: Callable[[], T]) -> T:
        """What `work` gives, worked out once for a key while kit and recipes are the same, however many ask at once."""
        stamp = sha256(self.kit_path.read_bytes()).hexdigest() if self.kit_path.exists() else ""
        with self._lock:
            held = self._kept.setdefault((stamp, key), _Once())
            self._kept.move_to_end((stamp, key))
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        return held.get(work)


class _Once:
    """A value that the first who asks works out; the others wait for it. What failed is tried again."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._value: list[Any] = []

    def get(self, work: Callable[[], T]) -> T:
        with self._lock:
            if not self._value:
                self._value.append(work())
            value: T = self._value[0]
            return value
