"""Files that a command writes beside its answer: pages, plots, plans. None takes the place of what is not ours.

What is ours stands in mark.py. Nobody adds to such a file, each run writes it anew and whole, so that no lock is
needed: of several writers at once the last one's file stays.
"""

import os
import stat
from collections.abc import Iterable
from pathlib import Path
from unicodedata import normalize

from catalog.errors import Fault, InputError, at_terminal, word
from catalog.kitplace import KIT_FILE, RECIPES
from catalog.mark import has_ticks, held, is_ours, marked
from catalog.wholefile import in_folder, leads_round, replace, telling

OWN = "a file of its own: nothing was written"


class Outputs:
    """The files of one run: each is claimed before any work is done, so that a refusal has cost nothing.

    Work takes time: what has come to stand there meanwhile is looked at again, just before it would be replaced.
    """

    def __init__(
        self, *, kit: Path | None = None, plan: Path | None = None, kits: Iterable[Path] = (), force: bool = False
    ) -> None:
        """`kit` and `plan` are what the run reads, `kits` where the plan's own kit may be.

        `force` lets the run replace a regular file that is not ours; a kit and a folder of recipes never.
        """
        every = ((kit, "the kit"), (KIT_FILE, "the kit of this folder"))
        self._kits = [(path, what) for path, what in every if path is not None]
        self._kits += [(each, "the kit that the plan was made with") for each in kits]
        self._read = [] if plan is None else [(plan, "the plan that is read")]
        self._taken: dict[object, str] = {}
        self._words: dict[Path, str] = {}
        self._force = force

    def claim(self, field: str, path: Path | None, *, in_new: bool = False) -> None:
        """Keep a place for the file of a word ("save", "page"); None for one not given.

        `in_new`: its folder is not there yet, and will be. Raises InputError where it is a kit or among recipes, the
        plan that is read or another output of the run, where no folder is, or where what stands there is not ours.
        """
        if path is None:
            return
        with telling(str(path)):
            self._kept_for_none(field, path)
            if what := self._taken.get(_key(path)):
                raise _refused(field, path, f"which is {what}", OWN)
            self._taken[_key(path)] = f"what {word(field)} writes"
            if not in_new:
                _may_replace(field, path, force=self._force)
        self._words[path] = field

    def _kept_for_none(self, field: str, path: Path) -> None:
        """Raises InputError, forced or not, where a place is kept for what the run reads, for a kit or for recipes."""
        key, real = _key(path), Path(os.path.realpath(path))
        for other, what in (*self._kits, *self._read):
            if _key_where_there(other) == key:
                raise _refused(field, path, f"which is {what}", OWN)
        if KIT_FILE.name in (_folded(path.name), _folded(real.name)):
            raise _refused(field, path, "which is what the kit of a folder is called", OWN)
        recipes = [_key_where_there(kit.parent / RECIPES) for kit, _ in self._kits]
        if any(_key(each) in recipes for each in real.parents):
            raise _refused(field, path, "which is in a folder of recipes", OWN)

    def write(self, path: Path, data: bytes) -> None:
        """Write a file, marked as ours, whole or not at all; what is replaced keeps its mode and owner.

        Raises InputError, as `claim` does, where what stands there now is not ours to replace.
        """

        def look() -> None:
            field = self._words.get(path, "save")
            self._kept_for_none(field, path)
            _may_replace(field, path, force=self._force)

        in_folder(path, str(path))
        with telling(str(path)):
            target = Path(os.path.realpath(path))
            mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else None
            replace(target, marked(data), str(path), mode=mode, alone=False, last_look=look)


def _may_replace(field: str, path: Path, *, force: bool) -> None:
    """Raises InputError unless there is nothing yet, or a file of ours that may be written, or --force was given."""
    in_folder(path, str(path))
    if not os.access(path.parent, os.W_OK | os.X_OK):
        raise _refused(field, path, "in a folder where nothing may be written", "a name in another")
    if leads_round(path):
        raise _refused(field, path, "which is a link that leads back to itself", "a new name, or a file of ours")
    if not path.exists() and not path.is_symlink():
        return
    if not path.is_file():
        raise _refused(field, path, "which is no regular file", "a new name, or a file of ours")
    if force:
        return
    after = "another name" + at_terminal(", or --force to replace it")
    if not path.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH) or not os.access(path, os.W_OK):
        raise _refused(field, path, "which is read-only", after)
    data = held(path)
    if data == b"":
        return  # made for us, as mktemp does: nothing is lost
    if data is None or not is_ours(data):
        why = "which pegwright did not write, or which was changed since"
        raise _refused(field, path, why, after)
    if has_ticks(path, data):
        raise _refused(field, path, "which is the plan of a piece that is begun, with its ticks beside it", after)


def _key(path: Path) -> object:
    """What two names of one file have alike, through links too; of files that are not there yet their names."""
    try:
        here = path.stat()
    except OSError:
        return _folded(os.path.realpath(path))
    return here.st_dev, here.st_ino


def _key_where_there(path: Path) -> object:
    """The same; None where it is named from a folder that is gone."""
    try:
        return _key(path)
    except OSError:
        return None


def _folded(name: str) -> str:
    """A name as a disk has it that does not tell case, or one way to write é from the other."""
    return normalize("NFC", name).casefold()


def _refused(field: str, path: Path, why: str, expected: str) -> InputError:
    found = f"{path}, {why}"
    return InputError("", Fault(field, found, expected, f"expected {expected}", says=f"found {found}"))
