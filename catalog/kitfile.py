"""Writing a kit without losing a line: text is appended, checked by reading it back, then put in place whole.

The only module that imports tomlkit. How the file is locked and replaced stands in wholefile.py.
"""

import os
import stat
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from catalog.errors import InputError, Problem
from catalog.kit import kit_of
from catalog.shapes import HERE
from catalog.tomllist import into_list
from catalog.wholefile import locked, replace, telling, wrong

BOM = "\ufeff"
LOCK_SECONDS = 10.0


def add_swatch(path: Path, entry: dict[str, object], *, wait_seconds: float = LOCK_SECONDS) -> None:
    """Append one `[[swatch]]` with the keys and values of `entry`, units as typed, to the kit in `path`.

    What stood in the file stays as it was, byte for byte, before the new lines; only a kit that lists its swatches as
    `swatch = [ … ]` gets the entry inside that list. The file is replaced whole or not at all; mode and links stay.
    Raises InputError, with nothing written, for a kit or an entry that is wrong and for a place that cannot be written.
    """
    target, source = Path(os.path.realpath(path)), str(path)
    if not target.exists():
        raise wrong(source, "found no such file, expected a kit", "`pegwright kit new` writes a kit to start from")
    with telling(source):
        _mode(target, source)
    with locked(target, source, wait_seconds):
        mode, was = _mode(target, source), target.read_bytes()
        replace(target, _with_entry(was, entry, source), source, mode=mode, was=was)


def new_kit(path: Path) -> None:
    """Write the built-in kit, comments and all, to `path`. Raises InputError where something stands there already."""
    if path.name in ("", ".."):
        raise wrong(str(path), "found a folder, expected the name of a file to write")
    with locked(path, str(path), LOCK_SECONDS):
        if os.path.lexists(path):
            hint = "give another name, or move that one away first"
            raise wrong(str(path), "found something that stands there already", hint)
        replace(path, (HERE / "kit.toml").read_bytes(), str(path))


def with_swatch(text: str, entry: Mapping[str, object]) -> str | None:
    """The kit's text with the entry added, every old letter in its place; None where no place for it can be found."""
    line = "\r\n" if text.count("\r\n") * 2 > text.count("\n") else "\n"
    ends = text.endswith("\n")
    gap = "" if not text.strip() or text.endswith(("\n\n", "\n\r\n")) else line if ends else line * 2
    block = line.join(["[[swatch]]", *(f"{key} = {_value(value)}" for key, value in entry.items())])
    appended = text + gap + block + (line if ends else "")
    wanted = _wanted(tomllib.loads(text), entry)
    try:
        return appended if tomllib.loads(appended) == wanted else None
    except tomllib.TOMLDecodeError:  # the swatches stand in a list, which a [[swatch]] may not extend
        return into_list(text, "swatch", _value(entry), line, wanted)


def _wanted(old: dict[str, Any], entry: Mapping[str, object]) -> dict[str, Any]:
    """The old tables and one more swatch."""
    return {**old, "swatch": [*old.get("swatch", []), dict(entry)]}


def _value(value: object) -> str:
    """One value as TOML on one line."""
    import tomlkit

    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_value(each)}" for key, each in value.items()) + " }"
    return tomlkit.item(value).as_string()


def _with_entry(was: bytes, entry: dict[str, object], source: str) -> bytes:
    """The new file, read back: a good kit whose tables are the old ones and the entry, and nothing else."""
    text, old = _parsed(was, source)
    kit_of(old, source, text)
    _entry_holds(_wanted(old, entry))
    new = with_swatch(text, entry)
    if new is None or tomllib.loads(new) != _wanted(old, entry):
        raise wrong(source, "the swatch cannot be added to a file laid out like this", "write it in as [[swatch]]")
    return (BOM if was.startswith(BOM.encode()) else "").encode() + new.encode()


def _parsed(was: bytes, source: str) -> tuple[str, dict[str, Any]]:
    """The kit's text without a byte-order mark, and its tables."""
    try:
        text = was.decode("utf-8").removeprefix(BOM)
        return text, tomllib.loads(text)
    except UnicodeDecodeError as error:
        raise wrong(source, f"found a byte that is not UTF-8 at byte {error.start}, expected UTF-8 text") from None
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise wrong(source, f"found text that is not TOML: {error}") from None


def _entry_holds(wanted: dict[str, Any]) -> None:
    """Check the kit with its new swatch; what is wrong is told as the swatch's, for no line of the file is at fault."""
    place = f"swatch[{len(wanted['swatch'])}]"
    try:
        kit_of(wanted, "the new swatch")
    except InputError as error:
        told = [Problem(p.key.removeprefix(place).lstrip("."), p.problem, p.hint) for p in error.problems]
        raise InputError(error.source, *told) from None


def _mode(target: Path, source: str) -> int:
    """The mode of the kit's file, which must be a plain one that may be written."""
    here = target.stat()
    if not stat.S_ISREG(here.st_mode):
        raise wrong(source, "found something that is not a plain file, expected a kit")
    if not here.st_mode & 0o222 or not os.access(target, os.W_OK):
        raise wrong(source, "found a file that may only be read", "let it be written, then add the swatch again")
    return stat.S_IMODE(here.st_mode)
