"""Files that are replaced whole or not at all: under a lock, through a temporary file, and through a power cut.

A file that is replaced is another file under the same name: whoever has it open, or has a hard link to it, keeps the
old one. What is meant to follow is a symbolic link; the callers resolve those first.

The lock is `.NAME.lock` beside the file, held by the system and not by that file: left behind, it is harmless. The new
bytes wait in `.NAME.new`; where a run was killed, the next one clears it away.
"""

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from errno import ELOOP
from pathlib import Path
from uuid import uuid4

from catalog.errors import InputError, Problem


@contextmanager
def locked(target: Path, source: str, seconds: float) -> Iterator[None]:
    """Hold the lock of `target`, waiting at most `seconds`; one lock for all links if `target` is the resolved path.

    Raises InputError where another keeps it, and (from within too) where the system refuses to write.
    """
    from filelock import FileLock, Timeout

    in_folder(target, source)
    with telling(source):
        lock = FileLock(target.with_name(f".{target.name}.lock"))
        try:
            lock.acquire(timeout=seconds)
        except Timeout:
            words = f"another pegwright has kept this file locked for {seconds:g} s"
            raise wrong(source, words, "let it end, then try again; nothing was written") from None
        try:
            yield
        finally:
            lock.release()


def replace(
    target: Path,
    data: bytes,
    source: str,
    *,
    mode: int | None = None,
    was: bytes | None = None,
    alone: bool = True,
    last_look: Callable[[], None] = lambda: None,
) -> None:
    """Put `data` in the place of `target`. `mode` keeps a file's mode and owner.

    `alone`: the caller holds its lock. Else the new bytes wait under a name of this run's own, beside those of others.

    `was` is what the caller read: where another program has changed the file since, InputError, and nothing is lost.
    `last_look` raises InputError where the place may not be taken any more: it is asked when all else is done.
    """
    new = target.with_name(f".{target.name}.new" if alone else f".{target.name}.{uuid4().hex}.new")
    new.unlink(missing_ok=True)  # left by a run that was killed; the lock is ours, so nobody else is writing it
    try:
        handle = os.open(new, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666 if mode is None else 0o600)
        with open(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if mode is not None:
            _same_owner(new, target)
            new.chmod(mode)
        if was is not None and target.read_bytes() != was:
            raise wrong(source, "another program changed the file meanwhile, nothing was written", "try again")
        last_look()
        os.replace(new, target)
    except BaseException:
        with suppress(OSError):
            new.unlink(missing_ok=True)
        raise
    _settle(target.parent)


def _same_owner(new: Path, target: Path) -> None:
    ours, theirs = new.stat(), target.stat()
    if os.name == "posix" and (ours.st_uid, ours.st_gid) != (theirs.st_uid, theirs.st_gid):
        with suppress(PermissionError):  # another's group may be out of our reach: the file is still written
            os.chown(new, theirs.st_uid, theirs.st_gid)


def _settle(folder: Path) -> None:
    """Ask the system to keep the new name through a power cut; not every file system can."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def in_folder(target: Path, source: str) -> None:
    """Raises InputError where there is no folder to write in."""
    if not target.parent.is_dir():
        raise wrong(source, ROUND if leads_round(target.parent) else "found no such folder to write in")


ROUND = "found a link that leads back to itself"


def leads_round(path: Path) -> bool:
    """Whether the links of a name lead back to where they began."""
    try:
        path.stat()
    except OSError as error:
        return error.errno == ELOOP
    return False


@contextmanager
def telling(source: str) -> Iterator[None]:
    """The system's refusals as bad input: no such file, no permission, no room left."""
    try:
        yield
    except FileNotFoundError:
        raise wrong(source, "found no such file") from None
    except (OSError, NotImplementedError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise wrong(source, f"cannot be written: {why}", "nothing was changed") from None


def wrong(source: str, problem: str, hint: str = "") -> InputError:
    """The error about a whole file."""
    return InputError(source, Problem("", problem, hint))
