"""The questions of `swatch add` on a terminal: one at a time, asked again after an answer that cannot be read."""

import sys
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from catalog import swatchtext
from catalog.errors import InputError, Problem, bad_word, unknown_word
from catalog.known import known_as
from solver.cli import terminal
from solver.cli.terminal import Read

if TYPE_CHECKING:
    from catalog.kit import Kit

COMMAND = "swatch add"
REQUIRED = ("loom", "spacers", "yarn", "stitches", "rows")
OPTIONS = {key: "--" + key.replace("_", "-") for key in swatchtext.KEYS}


def missing(typed: Mapping[str, object], kit: "Kit") -> list[str]:
    """The keys that still have to be given. A loom that takes no spacers needs no word about them."""
    loose = {key for key in REQUIRED if typed[key] is None}
    if typed["loom"] is not None and not most_spacers(kit, str(typed["loom"])):
        loose.discard("spacers")
    weighed = typed["mass"] is not None or typed["yarn_length"] is not None
    if weighed != (typed["knitted"] is not None):
        loose.add("knitted" if weighed else "mass")
    return [key for key in swatchtext.KEYS if key in loose]


def not_given(keys: list[str]) -> InputError:
    """The error for options that are missing where nobody can be asked."""
    hints = {"mass": "weigh the sample, or unravel it and give --yarn-length", "knitted": "such as --knitted 30x40"}
    return InputError(
        COMMAND, *(Problem(OPTIONS[k], "found nothing, expected this option", hints.get(k, "")) for k in keys)
    )


def asked(typed: Mapping[str, object], kit: "Kit") -> dict[str, object]:
    """What was typed and what is answered now. Where no option was given at all, the optional ones are asked too."""
    full, fresh = dict(typed), all(value is None for value in typed.values())
    for key in ("loom", "spacers", "yarn", "strands", "stitch", "stitches", "rows", "mass", "knitted"):
        optional = fresh and key in ("strands", "stitch", "mass")
        if full[key] is None and (optional or key in missing(full, kit)):
            full[key] = _ask(key, kit, full, optional)
    return full


def right_as_it_is(doubted: list[str]) -> bool:
    """True where somebody at the terminal says that a doubted swatch is right. Raises InputError where nobody does."""
    hint = "count again; if it is right as it is, say so: --checked"
    refused = InputError(COMMAND, *(Problem("", words, hint) for words in doubted))
    if not terminal.there():
        raise refused
    for words in doubted:
        print(words, file=sys.stderr)
    if terminal.sure(COMMAND, "Counted again, and right as it is?"):
        return True
    raise InputError(COMMAND, Problem("", "nothing was written", "count again, then add it again"))


def _ask(key: str, kit: "Kit", full: Mapping[str, object], optional: bool) -> object:
    words, default, read = _question(key, kit, str(full["loom"]))
    if key == "mass" and optional:
        words, default = f"{words} (Enter: not weighed)", ""
    return terminal.ask(COMMAND, words, read, default)


def _question(key: str, kit: "Kit", loom: str) -> tuple[str, str | None, Read]:
    """The words, the default and the reader of one question. A count has no default: only a measurement answers it."""
    looms, yarns = [each.name for each in kit.loom], [each.name for each in kit.yarn]
    most = most_spacers(kit, loom)
    questions: dict[str, tuple[str, str | None, Read]] = {
        "loom": (f"Loom ({', '.join(looms)})", _first(looms), _one_of("loom", looms)),
        "spacers": (f"Spacers (0 to {most})", _spacers_now(kit, loom), _whole("spacers", 0, most)),
        "yarn": (f"Yarn ({', '.join(yarns)})", _first(yarns), _one_of("yarn", yarns)),
        "strands": ("Strands held together", "1", _whole("strands", 1, 6)),
        "stitch": ("Stitch (u-wrap, e-wrap)", "u-wrap", _one_of("stitch", ["u-wrap", "e-wrap"])),
        "stitches": ('Stitches counted, such as "17 over 4in"', None, _same(swatchtext.counted, "stitches")),
        "rows": ('Rows counted, such as "21 over 4in"', None, _same(swatchtext.counted, "rows")),
        "mass": ("Mass of the sample without cast-on, bind-off and tails", None, _same(swatchtext.mass, "mass")),
        "knitted": ('Stitches by rows of the whole sample, such as "30x40"', None, _knitted),
    }
    return questions[key]


def most_spacers(kit: "Kit", loom: str) -> int:
    """The most spacers that the loom of that name takes; 0 for one that takes none or is not in the kit."""
    here = next((each for each in kit.loom if each.name == loom), None)
    spacers = getattr(here, "spacers", None)
    return spacers.most if spacers else 0


def _spacers_now(kit: "Kit", loom: str) -> str:
    here = next((each for each in kit.loom if each.name == loom), None)
    now = getattr(here, "set_up_as", None)
    return str(now.spacers if now else 0)


def _first(names: list[str]) -> str | None:
    return names[0] if names else None


def _one_of(what: str, names: list[str]) -> Read:
    def read(answer: str) -> object:
        known = known_as(answer, names)
        if known is None:
            raise unknown_word(what, what, answer, names)
        return known

    return read


def _whole(option: str, least: int, most: int) -> Read:
    def read(answer: str) -> object:
        if not (answer.isascii() and answer.isdigit() and len(answer) < 6 and least <= int(answer) <= most):
            raise bad_word(option, answer, f"a whole number from {least} to {most}")
        return int(answer)

    return read


def _same(check: Callable[[str, str], object], option: str) -> Read:
    """The answer as it was typed, once `check` can read it."""

    def read(answer: str) -> object:
        check(answer, option)
        return answer

    return read


_knitted: Read = _same(swatchtext.knitted, "knitted")
