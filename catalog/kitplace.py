"""Where the kit is: the file that was asked for, else kit.toml here, else the one that the program carries."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

from catalog.errors import InputError, Problem, at_terminal, printable
from catalog.wholefile import leads_round

if TYPE_CHECKING:
    from catalog.kit import Kit

KIT_FILE = Path("kit.toml")
RECIPES = "recipes"  # the folder beside a kit that holds recipes of one's own


def find_kit(option: Path | None) -> "tuple[Kit, str, Path | None]":
    """The kit, its name in messages, and its file; None for the built-in kit. Raises InputError for a wrong kit."""
    from catalog.kit import built_in_kit, load_kit

    path = in_folder(option) if option else KIT_FILE if os.path.lexists(KIT_FILE) else None
    if path is None:
        return built_in_kit(), "the built-in kit", None
    _writable_name(path)
    return load_kit(path), printable(str(path)), path


def own_kit(option: Path | None) -> Path:
    """The file that a change is written to. Raises InputError where there is none: the built-in kit is nobody's."""
    path = in_folder(option) if option else KIT_FILE
    if not os.path.lexists(path) and not leads_round(path):
        hint = at_terminal("`pegwright kit new` writes a kit to start from; put your own looms and yarns into it")
        raise InputError(str(path), Problem("", "found no such file, and the built-in kit is never changed", hint))
    return path


def recipes_beside(kit: Path | None) -> Path | None:
    """The folder of recipes of one's own beside a kit; None where there is none."""
    own = kit.parent / RECIPES if kit else None
    return own if own and os.path.isdir(own) else None


def in_folder(path: Path) -> Path:
    """The kit that a path means: a folder stands for the kit.toml in it."""
    return path / KIT_FILE if os.path.isdir(path) else path  # is_dir raises where a name is too long


def _writable_name(path: Path) -> None:
    """Raises InputError for a name that no text can hold: a plan, which names its kit, could not be written."""
    try:
        str(path).encode("utf-8")
    except UnicodeEncodeError:
        raise InputError(
            str(path), Problem("", "found a name that is not UTF-8, expected one that is: rename the file")
        ) from None
