"""Files that a command writes beside its answer: pages, plots, plans. None takes the place of what is not ours.

A file of ours carries a mark with the digest of the rest: a comment, a key of a plan, a text chunk of a PNG. One that a
hand has changed no longer fits its digest, and is somebody's work like any other. Nobody adds to such a file, each run
writes it anew and whole, so that no lock is needed: of several writers at once the last one's file stays.
"""

import os
import re
import stat
import struct
import zlib
from hashlib import sha256
from pathlib import Path

from catalog.errors import Fault, InputError, at_terminal, word
from catalog.wholefile import replace, telling, wrong

PNG, IEND = b"\x89PNG\r\n\x1a\n", 12
TICKS = "ticks.json"  # beside a plan that is being knitted: how far, and the digest of the plan that it speaks of
_MARKS = {
    "png": re.compile(rb"tEXtwritten by\0pegwright ([0-9a-f]{64})"),
    "json": re.compile(rb'^\{\n "written_by": "pegwright ([0-9a-f]{64})",'),
    "text": re.compile(rb"<!-- written by pegwright ([0-9a-f]{64}) -->\n\Z"),
}


def _kind(data: bytes) -> str:
    return "png" if data.startswith(PNG) else "json" if data.startswith(b"{") else "text"


def _with(data: bytes, digest: str) -> bytes:
    """The data with a mark of that digest where its kind has one."""
    kind = _kind(data)
    if kind == "png":
        body = f"tEXtwritten by\0pegwright {digest}".encode()
        chunk = struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))
        return data[:-IEND] + chunk + data[-IEND:]
    if kind == "json":
        return f'{{\n "written_by": "pegwright {digest}",'.encode() + data[1:]
    return data + f"<!-- written by pegwright {digest} -->\n".encode()


def marked(data: bytes) -> bytes:
    """The bytes of a file of ours: a PNG, a JSON object, or text in which <!-- --> is a comment."""
    return _with(data, sha256(data).hexdigest())


def is_ours(data: bytes) -> bool:
    """Whether a file was written by pegwright and not changed since."""
    kind = _kind(data)
    found = _MARKS[kind].search(data)
    if found is None:
        return False
    digest = found[1].decode()
    whole = len(_with(data, digest)) - len(data)
    start = data.rindex(b"tEXtwritten by") - 4 if kind == "png" else 0 if kind == "json" else len(data) - whole
    rest = data[:start] + data[start + whole :]
    rest = b"{" + data[whole + 1 :] if kind == "json" else rest
    return sha256(rest).hexdigest() == digest and _with(rest, digest) == data


class Outputs:
    """The files of one run: each is claimed before any work is done, so that a refusal has cost nothing."""

    def __init__(self, *, kit: Path | None = None, plan: Path | None = None, force: bool = False) -> None:
        """`kit` and `plan` are what the run reads; `force` lets it replace a regular file that is not ours."""
        read = ((kit, "the kit"), (plan, "the plan that is read"))
        self._taken = [(path, what) for path, what in read if path is not None]
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

    def write(self, path: Path, data: bytes) -> None:
        """Write a claimed file, marked as ours, whole or not at all; what is replaced keeps its mode and owner."""
        _folder(path)
        with telling(str(path)):
            target = path.resolve()
            mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else None
            replace(target, marked(data), str(path), mode=mode, alone=False)


def _may_replace(field: str, path: Path, *, force: bool) -> None:
    """Raises InputError unless there is nothing yet, or a file of ours that may be written, or --force was given."""
    _folder(path)
    if not path.exists() and not path.is_symlink():
        return
    if not path.is_file():
        raise _refused(field, path, "which is no regular file", "a new name, or a file of ours")
    if force:
        return
    after = "another name" + at_terminal(", or --force to replace it")
    if not path.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH) or not os.access(path, os.W_OK):
        raise _refused(field, path, "which is read-only", after)
    data = path.read_bytes()
    if not is_ours(data):
        why = "which pegwright did not write, or which was changed since"
        raise _refused(field, path, why, after)
    if _has_ticks(path, data):
        raise _refused(field, path, "which is the plan of a piece that is begun, with its ticks beside it", after)


def _has_ticks(path: Path, data: bytes) -> bool:
    """Whether the ticks beside a plan, through links too, speak of it; those of a plan of before are nobody's."""
    ticks = path.resolve().with_name(TICKS)
    return ticks.is_file() and sha256(data).hexdigest().encode() in ticks.read_bytes()


def _folder(path: Path) -> None:
    if not path.parent.is_dir():
        raise wrong(str(path), "found no such folder to write in")


def _same(one: Path, other: Path) -> bool:
    """Whether two names are one file, through links too; of files that are not there yet, whether the names are one."""
    return one.resolve() == other.resolve() or (one.exists() and other.exists() and one.samefile(other))


def _refused(field: str, path: Path, why: str, expected: str) -> InputError:
    found = f"{path}, {why}"
    return InputError("", Fault(field, found, expected, f"expected {expected}", says=f"found {found}"))
