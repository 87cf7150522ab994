"""Pieces that are begun, kept on this machine: for each a folder with its plan, its ticks and the ask it came from.

The number of what is done is written after every tick, whole or not at all; a kill loses at most the last one.
"""

import json
import os
import re
import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from catalog.mark import TICKS
from catalog.outputs import Outputs
from catalog.wholefile import locked, replace, telling
from solver.plan.saved import SavedPlan, load_plan, save_plan

SECONDS = 10.0  # the most that another program's tick is waited for
ID = re.compile(r"[0-9a-f]{8}")
SETTINGS = "PEGWRIGHT_DATA"


def data_folder() -> Path:
    """Where pieces are kept: PEGWRIGHT_DATA, else the folder that this system keeps a user's data in."""
    if own := os.environ.get(SETTINGS):
        return Path(own)
    if os.name == "nt":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home()) / "pegwright"
    return Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share") / "pegwright"


@dataclass(frozen=True, slots=True)
class Begun:
    """A piece that is begun: how many entries of its run are done, and the words of the ask."""

    id: str
    plan: SavedPlan
    done: int
    words: str
    named: str


class Shelf:
    """The pieces in one folder. No name of a file ever comes from a browser: an id is looked up among those there."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "pieces"

    def ids(self) -> list[str]:
        """The pieces, the one last touched first."""
        found = [p for p in self.folder.glob("*") if ID.fullmatch(p.name) and (p / "plan.json").is_file()]
        return [p.name for p in sorted(found, key=lambda p: (-_touched(p), p.name))]

    def __iter__(self) -> Iterator[Begun]:
        for each in self.ids():
            found = self.get(each)
            if found is not None:
                yield found

    def get(self, id_: str) -> Begun | None:
        """One piece; None where there is none. Raises InputError where its plan cannot be read."""
        if id_ not in self.ids():
            return None
        folder = self.folder / id_
        plan = load_plan(folder / "plan.json")
        told = _ticks(folder / TICKS)
        done = int(str(told["done"])) if told.get("plan") == _digest(folder / "plan.json") else 0
        return Begun(id_, plan, done, str(told.get("words", "")), str(told.get("named", "")))

    def begin(self, plan: SavedPlan, words: str, named: str) -> str:
        """Keep a plan as a piece begun; its id. A piece that is being knitted is never replaced."""
        while (self.folder / (id_ := secrets.token_hex(4))).exists():
            pass
        folder = self.folder / id_
        with telling(str(folder)):
            folder.mkdir(parents=True)
        outputs = Outputs()
        outputs.claim("save", folder / "plan.json")
        save_plan(plan, folder / "plan.json", outputs)
        self._write(folder, 0, words, named)
        return id_

    def tick(self, id_: str, done: int) -> None:
        """Say how many entries of a piece's run are done."""
        piece = self.get(id_)
        if piece is not None:
            self._write(self.folder / id_, max(0, done), piece.words, piece.named)

    def put_away(self, id_: str) -> None:
        """Take a piece from the list: its folder gets another name and stays."""
        if id_ in self.ids():
            with telling(id_):
                (self.folder / id_).rename(self.folder / f"away-{id_}-{secrets.token_hex(2)}")

    def bring_back(self) -> str | None:
        """The piece that was put away last, on the list again; its id, None where there is none."""
        away = sorted(self.folder.glob("away-*"), key=lambda p: -p.stat().st_ctime_ns)
        for folder in away:
            id_ = folder.name.split("-")[1]
            if ID.fullmatch(id_) and not (self.folder / id_).exists():
                folder.rename(self.folder / id_)
                return id_
        return None

    def _write(self, folder: Path, done: int, words: str, named: str) -> None:
        path = folder / TICKS
        told = {"plan": _digest(folder / "plan.json"), "done": done, "words": words, "named": named}
        with locked(path, str(path), SECONDS), telling(str(path)):  # the lock clears away what a killed run left
            replace(path, (json.dumps(told, indent=1) + "\n").encode(), str(path))


def _ticks(path: Path) -> dict[str, object]:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    good = isinstance(found, dict) and isinstance(found.get("done"), int) and 0 <= found["done"] < 10**7
    return found if good else {}


def _digest(path: Path) -> str:
    return sha256(path.read_bytes()).hexdigest()


def _touched(folder: Path) -> int:
    times = [(folder / name).stat().st_mtime_ns for name in (TICKS, "plan.json") if (folder / name).exists()]
    return max(times, default=0)
