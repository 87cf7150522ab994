"""One more entry in a TOML list of inline tables, by insertion alone: not a letter of the old text is touched."""

import tomllib
from collections.abc import Iterator
from typing import Any


def into_list(text: str, key: str, entry: str, line: str, wanted: dict[str, Any]) -> str | None:
    """The text with `entry` (TOML on one line) as the last of `key = [ … ]`, line ends `line`; None if no place fits.

    Brackets also stand in strings and comments, so every closing one is tried, and the parser says which was right:
    the first text that reads as `wanted`.
    """
    filled = len(wanted[key]) > 1
    end = text.find("]", text.find(key))
    while end >= 0:
        for new in _tries(text[:end], text[end:], entry, line, filled):
            if _reads_as(new, wanted):
                return new
        end = text.find("]", end + 1)
    return None


def _tries(head: str, tail: str, entry: str, line: str, filled: bool) -> Iterator[str]:
    """The entry before the bracket that `tail` begins with: after a comma that is there, else with one of its own."""
    above, newline, before = head.rpartition("\n")
    if newline and not before.strip():  # the bracket has a line of its own, so the entry gets one too
        above += newline
        indent, last = _indent(above, before), above.rfind("}") + 1
        yield above + indent + entry + ("," if filled else "") + line + before + tail
        yield above[:last] + "," + above[last:] + indent + entry + line + before + tail
        yield above + indent + ", " + entry + line + before + tail
        return
    body = head.rstrip(" \t")
    gap = head[len(body) :]
    if filled:
        yield body + " " + entry + "," + gap + tail
        yield body + ", " + entry + gap + tail
    else:
        yield body + gap + entry + gap + tail


def _indent(above: str, before: str) -> str:
    """How far the entries above stand in; where there is none, two spaces more than the bracket."""
    last = above[above.rfind("\n", 0, above.rfind("}") + 1) + 1 :]
    bare = last.lstrip(" \t")
    return last[: len(last) - len(bare)] if bare.startswith("{") else before + "  "


def _reads_as(text: str, wanted: dict[str, Any]) -> bool:
    try:
        return tomllib.loads(text) == wanted
    except tomllib.TOMLDecodeError:
        return False
