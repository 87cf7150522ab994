"""A process of its own for test_kills.py: rooms that are killed while a form is saved, and what they left.

Run as `python house_killer.py FOLDER KILLS`; prints one JSON document: {"killed", "saved", "ticked", "wrong"}. Each
child is a fork of this process that answers the forms of a browser, says through a pipe which of them were answered,
and is killed at a moment of its own. Alone in its process, since a fork beside a test runner's threads is not safe.
"""

import json
import os
import signal
import sys
import time
import tomllib
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[3]
sys.path.insert(0, str(ROOT))

from catalog.kit import load_kit  # noqa: E402
from solver.web.house import House  # noqa: E402
from solver.web.shelf import Shelf  # noqa: E402
from tests.solver.web.client import KIT, entered, house_in, post  # noqa: E402

YARN = {"weight": "4", "length_per_ball": "200 m", "mass_per_ball": "100 g"}


def saving_and_ticking(house: House, piece: str, told: int) -> None:
    """Forms, one after the other, until the end: "k" is said for a kit that was saved, "t" for a tick."""
    client = entered(house)
    for n in range(10_000):
        done = house.shelf.get(piece)
        assert done is not None
        if post(client, f"/loom/{piece}/tick", at=str(done.done), do="done").status_code == 303:
            os.write(told, b"t")
        if post(client, "/cupboard/yarn/save", name=f"yarn {os.getpid()} {n}", **YARN).status_code == 303:
            os.write(told, b"k")


def killed(house: House, piece: str, after: float) -> bytes:
    """What a child said before it was killed, so many seconds after its first form was answered or begun."""
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reads)
        saving_and_ticking(house, piece, writes)
        os._exit(0)
    os.close(writes)
    said = os.read(reads, 1)
    time.sleep(after)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    while more := os.read(reads, 4096):
        said += more
    os.close(reads)
    return said


def left(folder: Path, piece: str, was: tuple[str, int], said: bytes) -> tuple[str, int, list[str]]:
    """The kit and the ticks that a killed child left, and what is wrong with them."""
    text, wrong = (folder / "kit.toml").read_text(encoding="utf-8"), []
    if not text.startswith(was[0]):
        wrong.append("lines of the kit are lost or torn")
    load_kit(folder / "kit.toml")
    news = len(tomllib.loads(text)["yarn"]) - len(tomllib.loads(was[0])["yarn"])
    if news not in (said.count(b"k"), said.count(b"k") + 1):
        wrong.append(f"{news} yarns saved where {said.count(b'k')} were answered")
    found = Shelf(folder / "data").get(piece)
    done = -1 if found is None else found.done
    if done - was[1] not in (said.count(b"t"), said.count(b"t") + 1):
        wrong.append(f"{done - was[1]} ticks kept where {said.count(b't')} were answered")
    return text, done, wrong


def both(house: House, piece: str) -> float:
    """Seconds that a save and a tick take, when everything is loaded: children begin with what this process has."""
    client, took = entered(house), []
    for n in range(4):
        begun = time.perf_counter()
        post(client, f"/loom/{piece}/tick", at=str(n), do="done")
        post(client, "/cupboard/yarn/save", name=f"warm {n}", **YARN)
        took.append(time.perf_counter() - begun)
    return min(took)


def main(folder: Path, kills: int) -> dict[str, Any]:
    """So many kills, at moments spread evenly over a save and a tick."""
    house = house_in(folder, KIT)
    client = entered(house)
    began = post(client, "/make/begin", item="hat", around="21 in", option="1")
    piece = began.headers["location"].rpartition("/")[2]
    latest = 3 * both(house, piece)
    (folder / "kit.toml").write_text(KIT, encoding="utf-8")
    wrong, saved, ticked = [], 0, 0
    for n in range(kills):
        found = house.shelf.get(piece)
        assert found is not None
        if found.done > 40:
            house.shelf.tick(piece, 0)
            found = house.shelf.get(piece)
            assert found is not None
        was = ((folder / "kit.toml").read_text(encoding="utf-8"), found.done)
        said = killed(house, piece, latest * n / kills)
        _, _, bad = left(folder, piece, was, said)
        wrong += [f"kill {n}: {words}" for words in bad]
        saved, ticked = saved + said.count(b"k"), ticked + said.count(b"t")
        if n % 20 == 19:
            (folder / "kit.toml").write_text(KIT, encoding="utf-8")
    post(entered(house), "/cupboard/yarn/save", name="the last", **YARN)
    house.shelf.tick(piece, 0)  # the next writers clear away what the killed ones left
    strays = [p.name for p in folder.rglob("*.new")]
    return {"killed": kills, "saved": saved, "ticked": ticked, "wrong": wrong, "strays": strays}


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]))))
