"""Files that people wrote, read once and never waited for: text from a regular file of a sane size, or an InputError.

A pipe, a device or a folder is refused before a byte of it is read, so nothing hangs and nothing endless is swallowed.
"""

import os
import re
import stat
import tomllib
from pathlib import Path
from typing import Any

from catalog.errors import InputError, Problem, at_terminal

KIT_HINT = at_terminal("`pegwright kit new` writes one")
MOST_BYTES = 8_000_000  # some 60,000 entries of a kit; more is no kit
_CURLY = re.compile("[“”„‟«»‘’‚‛]")
_STRAIGHT = re.compile(r"\"(?:[^\"\\]|\\.)*\"|'[^']*'")


def read_toml(path: Path, source: str = "") -> dict[str, Any]:
    """The tables of a TOML file. Raises InputError for what is no file of UTF-8 text with TOML in it."""
    return tables_of(read_text(path, source), source or str(path))


def read_text(path: Path, source: str = "") -> str:
    """The text of a regular file of at most MOST_BYTES, without a byte-order mark. Raises InputError."""
    return decoded(read_bytes(path, source), source or str(path))


def read_bytes(path: Path, source: str = "", what: str = "a kit", hint: str = KIT_HINT) -> bytes:
    """The bytes of a regular file of at most MOST_BYTES; `what` it should hold. Raises InputError, and never waits."""
    source = source or str(path)
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    except FileNotFoundError:
        raise _whole(source, f"found no such file, expected {what}", hint) from None
    except IsADirectoryError:
        raise _whole(source, "found a folder, expected a file") from None
    except (OSError, ValueError) as error:
        raise _unreadable(source, path, error) from None
    try:
        with os.fdopen(handle, "rb") as file:
            _regular(file.fileno(), source)
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise _unreadable(source, path, error) from None
    if len(data) > MOST_BYTES:
        raise _whole(source, f"found more than {MOST_BYTES // 1_000_000} MB, expected less")
    return data


def _regular(handle: int, source: str) -> None:
    mode = os.fstat(handle).st_mode
    if stat.S_ISDIR(mode):
        raise _whole(source, "found a folder, expected a file")
    if not stat.S_ISREG(mode):
        raise _whole(source, "found something that is not a plain file (a pipe or a device), expected a file")


def _unreadable(source: str, path: Path, error: Exception) -> InputError:
    if not isinstance(error, ValueError) and os.path.isdir(path):  # how some systems say it
        return _whole(source, "found a folder, expected a file")
    return _whole(source, f"cannot be read: {getattr(error, 'strerror', None) or error}")


def decoded(data: bytes, source: str) -> str:
    """UTF-8 bytes as text, without a byte-order mark. Raises InputError with the place of the wrong byte."""
    try:
        return data.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        words = f"found a byte that is not UTF-8 at byte {error.start} (line {line}), expected UTF-8 text"
        raise _whole(source, words, "save the file as UTF-8 in your editor") from None


def tables_of(text: str, source: str) -> dict[str, Any]:
    """The tables in a TOML text. Raises InputError that names a curly or a missing quote and its line."""
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise InputError(source, _slip(text, str(error))) from None
    except ValueError:  # Python itself reads no number of so many digits
        raise InputError(source, _too_long(text)) from None


def _slip(text: str, words: str) -> Problem:
    """What tomllib found wrong, as what was probably typed."""
    plain = f"found text that is not TOML: {words}"
    place = re.search(r"line (\d+), column (\d+)", words)
    if place is None:
        return Problem("", plain)
    number = int(place[1])
    lines = text.split("\n")
    line = lines[number - 1] if number <= len(lines) else ""
    key = _key(line)
    if curly := _CURLY.search(_STRAIGHT.sub("", line.split("#")[0])):
        hint = 'only the straight quote " is read; a word processor bends it, a plain text editor does not'
        return Problem(
            key, f'found a curly quote {curly[0]} at line {number}, expected a straight one: "', hint, number
        )
    if _STRAIGHT.sub("", line.split("#")[0]).count('"') % 2:
        return Problem(key, f"found one quote at line {number}, expected a second that ends the text", "", number)
    value = line.partition("=")[2].strip()
    if "Invalid value" in words and re.match(r"[^\W\d]", value):
        return Problem(key, f"found text without quotes at line {number}", f'{key} = "{value[:40]}"', number)
    return Problem(key, plain, "", number)


def _key(line: str) -> str:
    found = re.match(r"\s*([\w.-]+)\s*=", line)
    return found[1] if found else ""


def _too_long(text: str) -> Problem:
    found = re.search(r"\d{640,}", re.sub("(?<=\\d)_(?=\\d)", "", text))
    before = text[: text.find(found[0][:600])] if found else ""
    line = before.count("\n") + 1 if found else None
    key = _key(before.rpartition("\n")[2])
    return Problem(key, "found a number of far too many digits, expected a plain number", "", line)


def _whole(source: str, problem: str, hint: str = "") -> InputError:
    return InputError(source, Problem("", problem, hint))
