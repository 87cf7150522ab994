"""Files that a command writes beside its answer: pages, plots, plans. None takes the place of what is not ours.

What is ours stands in mark.py. Nobody adds to such a file, each run writes it anew and whole, so that no lock is
needed: of several writers at once the last one's file stays.
"""

import os
import stat
from hashlib import sha256
from pathlib import Path

from catalog.errors import Fault, InputError, at_terminal, word
from catalog.mark import is_ours, marked
from catalog.wholefile import in_folder, leads_round, replace, telling

MOST_BYTES = 32_000_000  # nine times a page of 1,000 options, the largest file we are known to write: more is not ours
TICKS = "ticks.json"  # beside a plan that is being knitted: how far, and the digest of the plan that it speaks of


class Outputs:
    """The files of one run: each is claimed before any work is done, so that a refusal has cost nothing.

    Work takes time: what has come to stand there meanwhile is looked at again, just before it would be replaced.
    """

    def __init__(self, *, kit: Path | None = None, plan: Path | None = None, force: bool = False) -> None:
        """`kit` and `plan` are what the run reads; `force` lets it replace a regular file that is not ours."""
        read = ((kit, "the kit"), (plan, "the plan that is read"))
        self._taken = [(path, what) for path, what in read if path is not None]
        self._words: dict[Path, str] = {}
        self._force = force

    def claim(self, field: str, path: Path | None) -> None:
        """Keep a place for the file of a word ("save", "page"); None for one not given.

        Raises InputError where it is the kit, the plan that is read or another output of the run, where no folder is,
        or where what stands there is not ours to replace.
        """
        if path is None:
            return
        with telling(str(path)):
            for other, what in self._taken:
                if _same(path, other):
                    raise _refused(field, path, f"which is {what}", "a file of its own: nothing was written")
            self._taken.append((path, f"what {word(field)} writes"))
            _may_replace(field, path, force=self._force)
        self._words[path] = field

    def write(self, path: Path, data: bytes) -> None:
        """Write a file, marked as ours, whole or not at all; what is replaced keeps its mode and owner.

        Raises InputError, as `claim` does, where what stands there now is not ours to replace.
        """

        def look() -> None:
            _may_replace(self._words.get(path, "save"), path, force=self._force)

        in_folder(path, str(path))
        with telling(str(path)):
            target = _real(path)
            mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else None
            replace(target, marked(data), str(path), mode=mode, alone=False, last_look=look)


def _may_replace(field: str, path: Path, *, force: bool) -> None:
    """Raises InputError unless there is nothing yet, or a file of ours that may be written, or --force was given."""
    in_folder(path, str(path))
    if leads_round(path):
        raise _refused(field, path, "which is a link that leads back to itself", "a new name, or a file of ours")
    if not path.exists() and not path.is_symlink():
        return
    if not path.is_file():
        raise _refused(field, path, "which is no regular file", "a new name, or a file of ours")
    if force:
        return
    after = "another name" + at_terminal(", or --force to replace it")
    if not path.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH) or not os.access(path, os.W_OK):
        raise _refused(field, path, "which is read-only", after)
    data = _held(path)
    if data is None or not is_ours(data):
        why = "which pegwright did not write, or which was changed since"
        raise _refused(field, path, why, after)
    if _has_ticks(path, data):
        raise _refused(field, path, "which is the plan of a piece that is begun, with its ticks beside it", after)


def _has_ticks(path: Path, data: bytes) -> bool:
    """Whether the ticks beside a plan, through links too, speak of it; those of a plan of before are nobody's."""
    ticks = _real(path).with_name(TICKS)
    return ticks.is_file() and sha256(data).hexdigest().encode() in (_held(ticks) or b"")


def _held(path: Path) -> bytes | None:
    """What a file holds; None where it is too large for one of ours, whether or not its length is known before."""
    with path.open("rb") as file:
        small = os.fstat(file.fileno()).st_size <= MOST_BYTES
        data = file.read(MOST_BYTES + 1) if small else b""
    return data if small and len(data) <= MOST_BYTES else None


def _same(one: Path, other: Path) -> bool:
    """Whether two names are one file, through links too; of files that are not there yet, whether the names are one."""
    return _real(one) == _real(other) or (one.exists() and other.exists() and one.samefile(other))


def _real(path: Path) -> Path:
    """The name behind the links; where they lead round (Path.resolve makes a RuntimeError of it) as far as they go."""
    return Path(os.path.realpath(path))


def _refused(field: str, path: Path, why: str, expected: str) -> InputError:
    found = f"{path}, {why}"
    return InputError("", Fault(field, found, expected, f"expected {expected}", says=f"found {found}"))
