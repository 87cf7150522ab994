"""What is wrong with something the user typed or wrote, in one shape."""

import re
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from shlex import quote

MOST_TOLD = 20  # more errors at once help nobody
MOST_NEAR = 2_000  # of more names than this, only those with the same first letter are compared


# A family of emoji and Persian spelling need these; beside a letter of ASCII they would be seen by nobody, and two
# names that look alike would differ.
_JOINED = re.compile("(?<=[^\x00-\xa0\u200c\u200d])[\u200c\u200d](?=[^\x00-\xa0\u200c\u200d])")
_WORD = re.compile("\ue000([^\ue001]*)\ue001")
_TYPED = re.compile("\ue002([^\ue003]*)\ue003")


def word(field: str) -> str:
    """A word of an ask inside a message; each door puts its own spelling there ("--girth-within", a column's name)."""
    return f"\ue000{field}\ue001"  # private signs: no text of a user's holds them, for shown() spells them out


def in_plain(field: str) -> str:
    """A word of an ask as one says it: "girth_within" → "girth within"."""
    return field.replace("_", " ")


def at_terminal(text: str) -> str:
    """Part of a message that tells what to type at a terminal: every other door leaves it out."""
    return f"\ue002{text}\ue003"


Spelling = Callable[[str], str]  # how a door calls a word of an ask


def _worded(text: str, spelling: Spelling, terminal: bool) -> str:
    told = _TYPED.sub(lambda found: found[1] if terminal else "", text)
    return steady(_WORD.sub(lambda found: spelling(found[1]), told))


def _hinted(text: str, hint: str, spelling: Spelling, terminal: bool) -> str:
    """A sentence and, below it, its hint, where the door has one."""
    said, help_ = (_worded(each, spelling, terminal).strip() for each in (text, hint))
    return f"{said}\n  hint: {help_}" if help_ else said


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong in a file: where (`key`, `line`), what, and a hint of what to type instead."""

    key: str
    problem: str
    hint: str = ""
    line: int | None = None

    def __str__(self) -> str:
        return self.worded(in_plain)

    def worded(self, spelling: Spelling, *, terminal: bool = False) -> str:
        """In words, with those of an ask as a door spells them."""
        where = f"line {self.line}: " if self.line else ""
        key = f"{self.key}: " if self.key else ""
        return _worded(where + key, spelling, terminal) + _hinted(self.problem, self.hint, spelling, terminal)


@dataclass(frozen=True, slots=True)
class Fault:
    """One word of an ask that is wrong: its `field` ("around", "girth_within", "item"), what was found and expected.

    `nearest` is the nearest name that exists, "" where none is near; `hint` says what to type instead. `says` is the
    sentence where it is not "found …, expected …". The texts may hold other words of an ask: `worded` spells them.
    """

    field: str
    found: str
    expected: str
    hint: str = ""
    nearest: str = ""
    says: str = ""

    def __str__(self) -> str:
        return self.worded(in_plain)

    @property
    def key(self) -> str:
        """Its field: what a key is in a file."""
        return self.field

    @property
    def line(self) -> None:
        """No line: it was not read from a file."""

    @property
    def problem(self) -> str:
        """What was found and what was expected, in a sentence without its field."""
        return self.says or f"found {self.found}, expected {self.expected}"

    def said(self, spelling: Spelling = in_plain, *, terminal: bool = False) -> str:
        """The sentence and its hint, for a door that stands them beside the field."""
        return _hinted(self.problem, self.hint, spelling, terminal)

    def worded(self, spelling: Spelling, *, terminal: bool = False) -> str:
        """The field, the sentence, the hint, as a door spells the words of an ask."""
        return f"{steady(spelling(self.field))}: {self.said(spelling, terminal=terminal)}"


class InputError(Exception):
    """Bad input; the command line prints it and ends with exit code 2.

    `source` is the file it came from, "" for an ask; `problems` holds at least one Problem or Fault.
    """

    def __init__(self, source: str, *problems: Problem | Fault) -> None:
        self.source = source
        self.problems = problems
        super().__init__(str(self))

    def __str__(self) -> str:
        return self.worded(in_plain)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What is wrong with the words of an ask, each with its field; empty where the error is of a file."""
        return tuple(each for each in self.problems if isinstance(each, Fault))

    def worded(self, spelling: Spelling, *, terminal: bool = False) -> str:
        """Every problem on a line, the words of an ask as a door spells them: `lambda field: f"column {field}"`.

        `terminal`: with what to type there.
        """
        source = f"{printable(self.source)}: " if self.source else ""
        return "\n".join(source + problem.worded(spelling, terminal=terminal) for problem in self.problems)


def and_more(found: int) -> tuple[Problem, ...]:
    """The line after the first MOST_TOLD of so many problems; nothing where all of them are told."""
    return (Problem("", f"and {found - MOST_TOLD:,} more"),) if found > MOST_TOLD else ()


def bad_word(field: str, found: object, expected: str, hint: str = "", near: str = "") -> InputError:
    """The error for one word of an ask: what was found and what was expected. No value is "nothing"."""
    return InputError("", Fault(field, "nothing" if found is None else shown(found), expected, hint, near))


def unknown_word(field: str, what: str, name: str, known: Iterable[str]) -> InputError:
    """The error for a name that does not exist, with the nearest one that does."""
    names = list(known)
    hint = nearest(name, names) or f"there is no {what} yet"
    says = f"found {what} {shown(name)}, which does not exist"
    return InputError(
        "",
        Fault(
            field,
            shown(name),
            f"{'an' if what[0] in 'aeiou' else 'a'} {what} that exists",
            hint,
            near(name, names),
            says,
        ),
    )


def nearest(name: str, known: Iterable[str]) -> str:
    """A hint: the nearest of `known`, or all of them where none is near."""
    names = sorted(known)
    if close := near(name, names):
        return f"did you mean {shown(close)}?"
    if not names:
        return ""
    return "there is " + ", ".join(shown(n) for n in names[:12]) + (", …" if len(names) > 12 else "")


def near(name: str, known: Iterable[str]) -> str:
    """The nearest of `known`, whatever its case; "" where none is near."""
    names = sorted(known)
    first = name[:1].lower()
    few = names if len(names) <= MOST_NEAR else [n for n in names if n[:1].lower() == first][:MOST_NEAR]
    close = get_close_matches(name[:60].lower(), [n.lower() for n in few], n=1, cutoff=0.6)
    return next((n for n in few if n.lower() == close[0]), "") if close else ""


def shown(value: object) -> str:
    """A value as the user wrote it, short enough for one line; signs that would steer a terminal are spelt out."""
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) >= 10**60:
        return "a number of more than 60 digits"
    text = f'"{printable(value[:61])}"' if isinstance(value, str) else _plain(value)
    text = text.lower() if isinstance(value, bool) else text
    return text if len(text) <= 60 else text[:57] + "…" + ('"' if isinstance(value, str) else "")


def _plain(value: object) -> str:
    """What is no text, as Python spells it, or what it is where that cannot be done (a number of too many digits)."""
    try:
        return printable(str(value)[:61])
    except Exception:  # any object may be given at the door, with a str() of its own
        return f"something of the kind {type(value).__name__}"


def is_printable(text: str) -> bool:
    """Whether all of a name can be seen, but for joiners between two signs that they change (see _JOINED)."""
    return _JOINED.sub("", text).isprintable()


def printable(text: str) -> str:
    """The text with whatever is not printable (escape sequences, line ends) as Python spells it: "\\x1b"."""
    joined = {found.start() for found in _JOINED.finditer(text)}
    return "".join(
        c if c.isprintable() or unicodedata.category(c) == "Zs" or i in joined else c.encode("unicode_escape").decode()
        for i, c in enumerate(text)
    )


def as_typed(path: object) -> str:
    """A file's name as a shell takes it for one word, with nothing in it that a shell would run."""
    return quote(printable(str(path)))


def steady(text: str) -> str:
    """Lines of text in which nothing steers a terminal: line ends stay, everything else as `printable` has it."""
    return "\n".join(printable(line) for line in text.split("\n"))
