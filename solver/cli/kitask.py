"""The questions of `kit add` on a terminal, each answer held against the kit as it is given, and options off it."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from catalog.entrytext import PARTS, Part, Table, astray, entry_of, missing, value
from catalog.errors import InputError, Problem, bad_word, shown
from solver.cli import terminal
from solver.cli.spelling import as_option

Typed = dict[str, Any]


def read(table: Table, given: Mapping[str, Any]) -> Typed:
    """What stood in options as the kit keeps it, each by its key; None, or an empty list, where it was not given."""
    full: Typed = {}
    for part in PARTS[table]:
        text = given.get(part.key)
        if isinstance(text, list):
            full[part.key] = [value(part, each) for each in text]
        else:
            full[part.key] = value(part, text) if isinstance(text, str) else text or None
    return full


def complete(path: Path, table: Table, full: Typed, *, as_typed: bool = False) -> Typed:
    """What was given and what is answered now. Raises InputError where nobody sits at the terminal and some is missing.

    Where no option was given at all, what an entry may be without is asked for too. A measure that nobody has is asked
    about; where nobody can be asked it is refused, unless it is meant `as_typed`.
    """
    fresh = all(each in (None, []) for each in full.values())
    if wrong := astray(table, full):
        found = f"found it for a loom of build {full['build']}, expected it for {{}} only"
        told = (Problem(as_option(p.field), found.format(" and ".join(p.builds))) for p in wrong)
        raise InputError(f"kit add {table}", *told)
    if not as_typed:
        _meant(table, full)
    if not terminal.there():
        lacking = missing(table, full)
        if lacking:
            nothing = "found nothing, expected this option"
            told = (Problem(as_option(p.field), nothing, f'such as "{p.example}"') for p in lacking)
            raise InputError(f"kit add {table}", *told)
        return full
    for part in PARTS[table]:
        given = full[part.key] not in (None, [])
        if not given and part.belongs(full.get("build")) and (part.must(full.get("build")) or (fresh and part.asked)):
            full[part.key] = _boards(path, table, part, full) if part.kind == "board" else _one(path, table, part, full)
    return full


def _one(path: Path, table: Table, part: Part, full: Typed) -> object:
    """One answer, asked again until the kit could hold it; None where it is left out."""

    def held(text: str) -> object:
        answer = value(part, text)
        _held(path, table, part, {**full, part.key: answer})
        _meant(table, {part.key: answer})
        return answer

    words = f"{part.words} (yes, no)" if part.kind == "yes" else f"{part.words}, such as {part.example}"
    if part.must(full.get("build")):
        return terminal.ask(f"kit add {table}", words, held)
    left_out = "Enter: no" if part.kind == "yes" else "Enter: not said"
    return terminal.ask(f"kit add {table}", f"{words} ({left_out})", held, "") or None


def _boards(path: Path, table: Table, part: Part, full: Typed) -> list[object]:
    """Boards, one after the other, until there are no more."""
    found: list[object] = []

    def held(text: str) -> object:
        new = value(part, text)
        _held(path, table, part, {**full, part.key: [*found, new]})
        return new

    while True:
        more = found or not part.needed
        words = f"{part.words}, such as {part.example}" + (" (Enter: no more)" if more else "")
        board = terminal.ask(f"kit add {table}", words, held, "" if more else None)
        if board is None:
            return found
        found.append(board)


def _meant(table: Table, given: Typed) -> None:
    """Ask about measures that nobody has. Raises InputError where they are not meant so, or nobody can be asked."""
    from catalog.plausible import odd_text

    for part in PARTS[table]:
        text = given.get(part.key)
        words = odd_text(part.key, text) if isinstance(text, str) else None
        if words is None or (terminal.there() and terminal.sure(f"kit add {table}", f"{words} Right as it is?")):
            continue
        option = as_option(part.field)
        raise InputError(option, Problem("", f"found {shown(text)}, a {words}", "if it is right as it is: --as-typed"))


def _held(path: Path, table: Table, part: Part, full: Typed) -> None:
    """Raises InputError where the kit could not hold this part; what is still to be asked is not yet judged."""
    from catalog.kit import load_kit
    from catalog.kitfile import problems

    if part.key == "name" and full["name"] in (each.name for each in getattr(load_kit(path), table)):
        raise bad_word(part.field, full["name"], "a name that no other has")

    wrong = [p for p in problems(path, table, entry_of(table, full)) if _about(p.key) == part.key]
    if wrong:
        raise InputError(as_option(part.field), *(Problem("", p.problem, p.hint) for p in wrong))


def _about(key: str) -> str:
    """The key of an entry that a problem is about: "side_boards[1].pegs" is about side_boards."""
    return key.split(".")[0].split("[")[0]


def by_options(table: Table, error: InputError) -> InputError:
    """An error of the kit's own keys, told by the options of the command."""
    options = {part.key: as_option(part.field) for part in PARTS[table]}
    told = (Problem(options.get(_about(p.key), p.key), p.problem, p.hint, p.line) for p in error.problems)
    return InputError(f"kit add {table}" if error.source == f"the new {table}" else error.source, *told)


def named(table: str, name: str | None, names: list[str]) -> str:
    """The name that was given, or the answer to which one it is. Raises InputError where nobody can be asked."""
    if name is not None:
        return name
    if not terminal.there():
        raise InputError(f"kit remove {table}", Problem("NAME", f"found nothing, expected the name of a {table}"))

    def known(text: str) -> object:
        if text.lower() not in [each.lower() for each in names]:
            raise InputError("NAME", Problem("", f"found {shown(text)}, expected one of {', '.join(names)}"))
        return text

    return str(terminal.ask(f"kit remove {table}", f"Which {table} ({', '.join(names)})", known))
