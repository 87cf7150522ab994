"""What is wrong with something the user typed or wrote, in one shape."""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from shlex import quote

MOST_TOLD = 20  # more errors at once help nobody
MOST_NEAR = 2_000  # of more names than this, only those with the same first letter are compared


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong: where (`key`, `line`), what, and a hint of what to type instead."""

    key: str
    problem: str
    hint: str = ""
    line: int | None = None

    def __str__(self) -> str:
        where = f"line {self.line}: " if self.line else ""
        key = f"{self.key}: " if self.key else ""
        hint = f"\n  hint: {self.hint}" if self.hint else ""
        return steady(f"{where}{key}{self.problem}{hint}")


class InputError(Exception):
    """Bad input; the command line prints it and ends with exit code 2.

    `source` is the file or option it came from; `problems` holds at least one Problem.
    """

    def __init__(self, source: str, *problems: Problem) -> None:
        self.source = source
        self.problems = problems
        super().__init__(str(self))

    def __str__(self) -> str:
        source = printable(self.source)
        return "\n".join(f"{source}: {problem}" if source else str(problem) for problem in self.problems)


def and_more(found: int) -> tuple[Problem, ...]:
    """The line after the first MOST_TOLD of so many problems; nothing where all of them are told."""
    return (Problem("", f"and {found - MOST_TOLD:,} more"),) if found > MOST_TOLD else ()


def bad_option(option: str, found: object, expected: str, hint: str = "") -> InputError:
    """The error for one option of a command: what was found and what was expected."""
    return InputError(option, Problem("", f"found {shown(found)}, expected {expected}", hint))


def unknown_name(source: str, what: str, name: str, known: Iterable[str]) -> InputError:
    """The error for a name that does not exist, with the nearest one that does."""
    hint = nearest(name, known) or f"there is no {what} yet"
    return InputError(source, Problem("", f"found {what} {shown(name)}, which does not exist", hint))


def nearest(name: str, known: Iterable[str]) -> str:
    """A hint: the nearest of `known`, or all of them where none is near."""
    names = sorted(known)
    first = name[:1].lower()
    near = names if len(names) <= MOST_NEAR else [n for n in names if n[:1].lower() == first][:MOST_NEAR]
    close = get_close_matches(name[:60].lower(), [n.lower() for n in near], n=1, cutoff=0.6)
    if close:
        return "did you mean " + shown(next(n for n in near if n.lower() == close[0])) + "?"
    if not names:
        return ""
    return "there is " + ", ".join(shown(n) for n in names[:12]) + (", …" if len(names) > 12 else "")


def shown(value: object) -> str:
    """A value as the user wrote it, short enough for one line; signs that would steer a terminal are spelt out."""
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) >= 10**60:
        return "a number of more than 60 digits"
    text = f'"{printable(value[:61])}"' if isinstance(value, str) else str(value)
    text = text.lower() if isinstance(value, bool) else text
    return text if len(text) <= 60 else text[:57] + "…" + ('"' if isinstance(value, str) else "")


def printable(text: str) -> str:
    """The text with whatever is not printable (escape sequences, line ends) as Python spells it: "\\x1b"."""
    return "".join(
        c if c.isprintable() or unicodedata.category(c) == "Zs" else c.encode("unicode_escape").decode() for c in text
    )


def as_typed(path: object) -> str:
    """A file's name as a shell takes it for one word, with nothing in it that a shell would run."""
    return quote(printable(str(path)))


def steady(text: str) -> str:
    """Lines of text in which nothing steers a terminal: line ends stay, everything else as `printable` has it."""
    return "\n".join(printable(line) for line in text.split("\n"))
