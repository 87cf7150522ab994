"""One entry in the text of a kit: its lines found, cut or changed, and not a letter of the others touched.

What is done here is only a proposal: the caller reads the new text back and compares it with the tables it wants, so a
layout that is not understood is refused and never guessed at.
"""

import re
import tomllib
from collections.abc import Callable, Mapping
from typing import Any

_HEADER = re.compile(r"\s*\[\[?\s*[\"']?([\w-]+)[\"']?\s*((?:\.[^\]]*)?)\]\]?")


def entry_at(lines: list[str], table: str, index: int) -> tuple[int, int] | None:
    """The first line of the `index`-th [[table]] and the one after its last key; None where it has no lines of its own.

    Its sub-tables ([table.part]) belong to it; blank lines and comments after its last key do not.
    """
    heads = [(n, found) for n, line in enumerate(lines) if (found := _HEADER.match(line))]
    own = [n for n, found in heads if found[1] == table and not found[2] and lines[n].lstrip().startswith("[[")]
    if index >= len(own):
        return None
    start = own[index]
    end = next((n for n, found in heads if n > start and not (found[1] == table and found[2])), len(lines))
    while end > start + 1 and (not lines[end - 1].strip() or lines[end - 1].lstrip().startswith("#")):
        end -= 1
    return start, end


def without(text: str, table: str, index: int) -> str | None:
    """The text without one entry, the comment directly above it, and the blank lines that set it off."""
    lines = _lines(text)
    found = entry_at(lines, table, index)
    if found is None:
        return None
    start, end = found
    while start and lines[start - 1].lstrip().startswith("#"):
        start -= 1
    while end < len(lines) and not lines[end].strip():
        end += 1
    if end == len(lines):
        while start and not lines[start - 1].strip():
            start -= 1
    return "".join(lines[:start] + lines[end:])


def changed(
    text: str, table: str, index: int, changes: Mapping[str, object], spelt: Callable[[object], str]
) -> str | None:
    """The text with keys of one entry set (or, for None, taken out), each in its line; comments beside them stay."""
    for key, value in changes.items():
        lines = _lines(text)
        found = entry_at(lines, table, index)
        if found is None:
            return None
        own = _own_lines(lines, *found)
        at = next((n for n in own if re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*=", lines[n])), None)
        if at is not None:
            _set(lines, at, found[1], value, spelt)
        elif value is not None:
            _insert(lines, own, f"{key} = {spelt(value)}")
        text = "".join(lines)
    return text


def _lines(text: str) -> list[str]:
    """The lines with their ends; TOML ends a line with LF alone, which str.splitlines does not."""
    return [line for line in re.split(r"(?<=\n)", text) if line]


def _own_lines(lines: list[str], start: int, end: int) -> range:
    """The lines of the entry before its first sub-table."""
    return range(start, next((n for n in range(start + 1, end) if _HEADER.match(lines[n])), end))


def _set(lines: list[str], at: int, end: int, value: object, spelt: Callable[[object], str]) -> None:
    """Put a value in the place of the one that begins in line `at`."""
    last = next((n for n in range(at, end) if _tables("".join(lines[at : n + 1])) is not None), at)
    statement = "".join(lines[at : last + 1])
    if value is None:
        lines[at : last + 1] = []
        return
    head = statement[: statement.index("=") + 1]
    ending = re.search(r"\r?\n?\Z", statement)
    lines[at : last + 1] = [f"{head} {spelt(value)}{_comment(statement)}{ending[0] if ending else ''}"]


def _comment(statement: str) -> str:
    """The comment after a value, with the blanks before it."""
    body = statement.rstrip("\r\n")
    for n in (i for i, sign in enumerate(body) if sign == "#"):
        if _tables(body[:n]) is not None and "\n" not in body[n:]:
            return body[len(body[:n].rstrip()) :]
    return ""


def _insert(lines: list[str], own: range, words: str) -> None:
    """A new key after the last one of the entry."""
    at = own.stop
    while at > own.start + 1 and (not lines[at - 1].strip() or lines[at - 1].lstrip().startswith("#")):
        at -= 1
    ending = "\r\n" if lines[own.start].endswith("\r\n") else "\n"
    if lines[at - 1].endswith("\n"):
        lines.insert(at, words + ending)
    else:  # the last line of a file without a line end
        lines[at - 1] += ending + words


def _tables(text: str) -> dict[str, Any] | None:
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, ValueError):
        return None
