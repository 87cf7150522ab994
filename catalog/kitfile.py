"""Writing a kit without losing a line: the text is changed, checked by reading it back, then put in place whole.

Every writer goes through `_rewritten`: under the lock, from what the file holds now, compared with the tables that are
wanted. The only module that imports tomlkit. How the file is locked and replaced stands in wholefile.py.
"""

import hashlib
import os
import stat
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from catalog import entrylines
from catalog.errors import Fault, InputError, Problem, at_terminal, nearest, shown
from catalog.kit import Kit, kit_of
from catalog.known import known_as
from catalog.reading import decoded, read_bytes, tables_of
from catalog.shapes import HERE
from catalog.wholefile import ROUND, leads_round, locked, replace, telling, wrong

BOM = "\ufeff"
LOCK_SECONDS = 10.0
Table = Literal["loom", "yarn", "wearer", "swatch"]
WITH_SWATCHES = "take those out too" + at_terminal(": --with-swatches")
Tables = dict[str, Any]


@dataclass(frozen=True, slots=True)
class _Proposal:
    """A new text (None where no place was found), the tables it must read as, and the entry in hand."""

    text: str | None
    tables: Tables
    words: str
    place: str


@dataclass(frozen=True, slots=True)
class Written:
    """What a writer did: the kit as it is now, and the file's text before and after, for an undo."""

    kit: Kit
    before: str
    after: str

    @property
    def digest(self) -> str:
        """Of the text after: `restore` undoes only what it still finds."""
        return digest(self.after)


def digest(text: str) -> str:
    """SHA-256 of a text, in hexadecimal."""
    return hashlib.sha256(text.encode()).hexdigest()


def add(path: Path, table: Table, entry: Mapping[str, object], *, wait_seconds: float = LOCK_SECONDS) -> Written:
    """Append one [[table]] with the keys and values of `entry`, units as typed, to the kit in `path`.

    What stood in the file stays as it was, byte for byte, before the new lines. The file is replaced whole or not at
    all; its mode stays, and a symbolic link to it leads to the new one. A hard link is a name of the old file and keeps
    that, as a copy put by with `cp -l` should. Raises InputError, with nothing written, for a kit or an entry that is
    wrong (its problems carry the entry's keys) and for a place that cannot be written.
    """

    def change(text: str, old: Tables) -> _Proposal:
        entries = [*_entries(old, table), dict(entry)]
        place = f"{table}[{len(entries)}]"
        return _Proposal(with_entry(text, table, entry), {**old, table: entries}, f"the new {table}", place)

    return _rewritten(path, change, wait_seconds)


def problems(path: Path, table: Table, entry: Mapping[str, object]) -> tuple[Problem | Fault, ...]:
    """What `add` would find wrong with an entry, by the entry's own keys; nothing is written.

    Raises InputError for a kit that cannot be read.
    """
    text = decoded(read_bytes(path, str(path)), str(path))
    old = tables_of(text, str(path))
    kit_of(old, str(path), text)
    entries = [*_entries(old, table), dict(entry)]
    try:
        _holds(_Proposal(text, {**old, table: entries}, f"the new {table}", f"{table}[{len(entries)}]"))
    except InputError as error:
        return error.problems
    return ()


def add_swatch(path: Path, entry: Mapping[str, object], *, wait_seconds: float = LOCK_SECONDS) -> Written:
    """Append one [[swatch]]; as `add`."""
    return add(path, "swatch", entry, wait_seconds=wait_seconds)


def change_entry(
    path: Path, table: Table, which: str | int, changes: Mapping[str, object], *, wait_seconds: float = LOCK_SECONDS
) -> Written:
    """Set keys of one entry (None takes a key out), each in its line; a new name goes into the swatches that name it.

    `which` is a name, or for a swatch its number from 1. Raises InputError as `add` does.
    """

    def change(text: str, old: Tables) -> _Proposal:
        at = _place(old, table, which, str(path))
        new: str | None = text
        tables: Tables = {**old}
        for part, index, keys in [(table, at, dict(changes)), *_renamed(old, table, at, changes)]:
            entries = list(_entries(tables, part))
            entries[index] = {k: v for k, v in {**entries[index], **keys}.items() if v is not None}
            tables[part] = entries
            new = None if new is None else entrylines.changed(new, part, index, keys, _value)
        return _Proposal(new, tables, f"{table} {shown(which)}", f"{table}[{at + 1}]")

    return _rewritten(path, change, wait_seconds)


def remove(
    path: Path, table: Table, which: str | int, *, with_swatches: bool = False, wait_seconds: float = LOCK_SECONDS
) -> Written:
    """Cut one entry's own lines and the comment directly above it; all else stays, byte for byte.

    `which` is a name, or for a swatch its number from 1. What swatches name is refused with their list, unless they
    are to go too. Raises InputError, with nothing written.
    """

    def change(text: str, old: Tables) -> _Proposal:
        at = _place(old, table, which, str(path))
        named = _naming(old, table, str(_entries(old, table)[at].get("name", "")))
        if named and not with_swatches:
            words = f"found it named by swatch {', '.join(str(i + 1) for i in named)}, expected no swatch of it"
            raise InputError(f"{table} {shown(which)}", Problem("", words, WITH_SWATCHES))
        new: str | None = text
        tables: Tables = {**old}
        for part, index in [(table, at), *(("swatch", i) for i in reversed(named))]:
            left = [e for i, e in enumerate(_entries(tables, part)) if i != index]
            tables = {**tables, part: left} if left else {k: v for k, v in tables.items() if k != part}
            new = None if new is None else entrylines.without(new, part, index)
        return _Proposal(new, tables, str(path), "")

    return _rewritten(path, change, wait_seconds)


def restore(path: Path, before: str, after: str, *, wait_seconds: float = LOCK_SECONDS) -> Written:
    """Undo a change: put the text `before` back where the file still has the digest `after`.

    Raises InputError, with nothing written, where the file has been changed since.
    """

    def undo(text: str, was: str) -> str:
        if digest(was) != after:
            raise wrong(str(path), "the kit was changed since, nothing was undone", "take it back by hand")
        return before

    return _in_place(path, undo, wait_seconds)


def new_kit(path: Path) -> None:
    """Write the built-in kit, comments and all, to `path`. Raises InputError where something stands there already."""
    if path.name in ("", ".."):
        raise wrong(str(path), "found a folder, expected the name of a file to write")
    _nothing_at(path)
    with locked(path, str(path), LOCK_SECONDS):
        _nothing_at(path)
        replace(path, (HERE / "kit.toml").read_bytes(), str(path))


def _nothing_at(path: Path) -> None:
    if os.path.lexists(path):
        hint = "give another name, or move that one away first"
        raise wrong(str(path), "found something that stands there already", hint)


def with_entry(text: str, table: str, entry: Mapping[str, object]) -> str:
    """The text with one more [[table]] at its end, in the file's own habit of line ends."""
    line = "\r\n" if text.count("\r\n") * 2 > text.count("\n") else "\n"
    ends = text.endswith("\n")
    gap = "" if not text.strip() or text.endswith(("\n\n", "\n\r\n")) else line if ends else line * 2
    block = line.join([f"[[{table}]]", *(f"{key} = {_value(value)}" for key, value in entry.items())])
    return text + gap + block + (line if ends else "")


def _value(value: object) -> str:
    """One value as TOML on one line."""
    import tomlkit

    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_value(each)}" for key, each in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_value(each) for each in value) + "]"
    return tomlkit.item(value).as_string()


def _rewritten(path: Path, change: Callable[[str, Tables], _Proposal], seconds: float) -> Written:
    """Change the kit: the new text must read as the tables that are wanted, and they must be a good kit."""
    source = str(path)

    def rewrite(text: str, was: str) -> str:
        old = tables_of(text, source)
        kit_of(old, source, text)
        new = change(text, old)
        _holds(new)
        if new.text is None or not _reads_as(new.text, new.tables):
            hint = "write every entry as [[loom]], [[yarn]], [[swatch]] of its own, not as swatch = [ … ]"
            raise wrong(source, "cannot be changed where it is laid out like this, nothing was written", hint)
        return (BOM if was.startswith(BOM) else "") + new.text

    return _in_place(path, rewrite, seconds)


def _in_place(path: Path, rewrite: Callable[[str, str], str], seconds: float) -> Written:
    """Put what `rewrite` makes of the text (without and with its byte-order mark) in its place, under the lock."""
    target, source = Path(os.path.realpath(path)), str(path)
    if leads_round(path):
        raise wrong(source, f"{ROUND}, expected a kit")
    if not target.exists():
        raise wrong(
            source, "found no such file, expected a kit", at_terminal("`pegwright kit new` writes a kit to start from")
        )
    with telling(source):
        _mode(target, source)
    was = read_bytes(target, source)
    written = _rewrite_of(was, rewrite, source)  # what is refused is so before there is a lock file to leave behind
    with locked(target, source, seconds):
        mode, now = _mode(target, source), read_bytes(target, source)
        if now != was:  # the one who kept the lock has written
            was, written = now, _rewrite_of(now, rewrite, source)
        replace(target, written.after.encode(), source, mode=mode, was=was)
    return written


def _rewrite_of(was: bytes, rewrite: Callable[[str, str], str], source: str) -> Written:
    """What the bytes of a kit are changed into. Raises InputError where the change or the new kit is refused."""
    text = decoded(was, source)
    before = (BOM if was.startswith(BOM.encode()) else "") + text
    after = rewrite(text, before)
    plain = after.removeprefix(BOM)
    return Written(kit_of(tables_of(plain, source), source, plain), before, after)


def _reads_as(text: str, wanted: Tables) -> bool:
    try:
        return tomllib.loads(text) == wanted
    except tomllib.TOMLDecodeError:
        return False


def _entries(tables: Tables, table: str) -> list[Tables]:
    held: list[Tables] = tables.get(table, [])
    return held


def _place(tables: Tables, table: Table, which: str | int, source: str) -> int:
    """The place of an entry, from 0, by its name (in any case) or a swatch by its number from 1."""
    entries = _entries(tables, table)
    if isinstance(which, int):
        if 1 <= which <= len(entries):
            return which - 1
        some = f"found no {table} {which}, expected 1 to {len(entries)}"
        raise wrong(source, some if entries else f"found no {table} {which}: there is none at all")
    names = [str(e.get("name", "")) for e in entries]
    name = known_as(which, names)
    if name is None:
        raise wrong(source, f"found {table} {shown(which)}, which does not exist", nearest(which, names))
    return names.index(name)


def _naming(tables: Tables, table: Table, name: str) -> list[int]:
    """The swatches, from 0, that name a loom or a yarn."""
    if table not in ("loom", "yarn"):
        return []
    known = [str(e.get("name", "")) for e in _entries(tables, table)]
    return [i for i, each in enumerate(_entries(tables, "swatch")) if known_as(str(each[table]), known) == name]


def _renamed(
    tables: Tables, table: Table, at: int, changes: Mapping[str, object]
) -> list[tuple[Table, int, dict[str, object]]]:
    """What a new name changes in the swatches that bear the old one."""
    if "name" not in changes:
        return []
    was = str(_entries(tables, table)[at].get("name", ""))
    return [("swatch", i, {table: changes["name"]}) for i in _naming(tables, table, was)]


def _holds(new: _Proposal) -> None:
    """Check the kit as it would be; what is wrong with the entry in hand is told by that entry's own keys."""
    try:
        kit_of(new.tables, new.words)
    except InputError as error:
        told = [Problem(p.key.removeprefix(new.place).lstrip("."), p.problem, p.hint) for p in error.problems]
        raise InputError(error.source, *told) from None


def _mode(target: Path, source: str) -> int:
    """The mode of the kit's file, which must be a plain one that may be written."""
    here = target.stat()
    if not stat.S_ISREG(here.st_mode):
        raise wrong(source, "found something that is not a plain file, expected a kit")
    if not here.st_mode & 0o222 or not os.access(target, os.W_OK):
        raise wrong(source, "found a file that may only be read", "let it be written, then change the kit again")
    return stat.S_IMODE(here.st_mode)
