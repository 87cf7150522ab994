"""Words and a kit file in; a Kit and a Wish out, and what is wrong with either."""

from pathlib import Path
from typing import TYPE_CHECKING, Never, Unpack

from catalog.errors import Fault, InputError, shown

if TYPE_CHECKING:
    from catalog.kit import Kit
    from solver.asking.wish import Wish
    from solver.asking.words import Words


def load_kit(path: "str | Path | None" = None) -> "Kit":
    """The kit in a file, or in a folder with a kit.toml; without a path, the small one that the program carries.

    Raises InputError that names file, key and line.

    >>> [loom.name for loom in load_kit("examples/one-ring").loom]
    ['porch ring']
    """
    from catalog.kit import built_in_kit
    from catalog.kit import load_kit as read
    from catalog.kitplace import in_folder

    if path is None:
        return built_in_kit()
    if not isinstance(path, str | Path):
        raise not_a("kit", path, "the name of a kit file")
    try:
        return read(in_folder(Path(path)))
    except (OSError, ValueError) as error:
        raise not_a("kit", str(path), f"the name of a file that can be read ({error})") from None


def wish(item: str, *misplaced: Never, kit: "Kit | None" = None, **words: "Unpack[Words]") -> "Wish":
    """What is wanted, in the words of the command line: `body="22 in"`, `fit="snug"`, `girth_within="1 in"`, `top=3`.

    With a kit, the names of its looms, yarns and wearers are looked up too. Raises one InputError with a fault for
    each word that is wrong.

    >>> wish("hat", body="22 in", fit="snug").body_um
    558800
    >>> wish("hat", body="22", fit="loos")
    Traceback (most recent call last):
        ...
    catalog.errors.InputError: body: found "22", expected a length with its unit, such as "21 in"
      hint: a bare number has no unit: write "22 in"
    fit: found "loos", expected one of loose, true, close, snug
      hint: did you mean "loose"?
    """
    from solver.asking.names import named, unknown_names
    from solver.asking.words import wish_of

    try:
        read = wish_of(item, words, misplaced)
    except InputError as error:
        if kit is None or not error.faults:
            raise
        raise InputError("", *error.faults, *unknown_names(a_kit(kit), words)) from None
    return read if kit is None else named(a_kit(kit), read)


def asked(kit: "Kit", wish: "Wish") -> "tuple[Kit, Wish]":
    """Kit and wish as they belong together: names as they stand in the kit, recipes beside it."""
    from solver.asking.names import named

    return a_kit(kit), named(kit, a_wish(wish))


def a_kit(kit: object) -> "Kit":
    from catalog.kit import Kit

    if not isinstance(kit, Kit):
        raise not_a("kit", kit, "what load_kit returns")
    return kit


def a_wish(wish: object) -> "Wish":
    from solver.asking.wish import Wish

    if not isinstance(wish, Wish):
        raise not_a("wish", wish, "what wish returns")
    return wish


def not_a(field: str, found: object, expected: str) -> InputError:
    return InputError("", Fault(field, shown(found), expected))


def one_word(field: str, text: str | None, known: tuple[str, ...]) -> str | None:
    """The text of one word if it is one of `known`, None if it is not given. Raises InputError with the nearest."""
    from solver.asking.read import one_of

    return None if text is None else one_of(known)(field, text)
