"""A process of its own for test_kitfile.py: adds swatches in children that are killed, and tells what was left.

Run as `python kit_killer.py steps|torn|clock KIT [add|change|remove|restore]`; prints one JSON document:
{"killed": children, "written": of these, after the new kit stood, "wrong": [what was found]}.
Alone in its process, since a fork beside the threads of a test runner is not safe.
"""

import json
import os
import resource
import signal
import sys
import time
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))
import filelock  # noqa: E402
import tomlkit  # noqa: E402, F401

from catalog import entrylines, kitfile, wholefile  # noqa: E402
from catalog.errors import InputError  # noqa: E402
from catalog.kit import kit_of  # noqa: E402

ENTRY = {"loom": "porch ring", "yarn": "moss wool", "stitches": {"count": 9, "over": "4 in"}}
ENTRY |= {"rows": {"count": 10.5, "over": "4 in"}}
BLOCK = '\n[[swatch]]\nloom = "porch ring"\nyarn = "moss wool"\nstitches = { count = 9, over = "4 in" }\n'
BLOCK += 'rows = { count = 10.5, over = "4 in" }\n'
OLD = (ROOT / "catalog" / "kit.toml").read_text(encoding="utf-8")


CHANGED = OLD.replace('name = "moss wool"', 'name = "fern wool"').replace('yarn = "moss wool"', 'yarn = "fern wool"')
WRITERS: dict[str, tuple[Callable[[Path], object], str]] = {  # what is run, and the text it leaves
    "add": (lambda kit: kitfile.add_swatch(kit, dict(ENTRY)), OLD + BLOCK),
    "change": (lambda kit: kitfile.change_entry(kit, "yarn", "moss wool", {"name": "fern wool"}), CHANGED),
    "remove": (lambda kit: kitfile.remove(kit, "swatch", 1), str(entrylines.without(OLD, "swatch", 0))),
    "restore": (lambda kit: kitfile.restore(kit, CHANGED, kitfile.digest(OLD)), CHANGED),
}


def in_child(work: Callable[[], None], after_seconds: float | None = None) -> int:
    """Run `work` in a fork, killed after a while if asked; 0 where it ended by itself, else the signal."""
    child = os.fork()
    if child == 0:
        work()
        os._exit(0)
    if after_seconds is not None:
        time.sleep(after_seconds)
        os.kill(child, signal.SIGKILL)
    status = os.waitpid(child, 0)[1]
    return os.WTERMSIG(status) if os.WIFSIGNALED(status) else -os.WEXITSTATUS(status)


def die_at(step: int) -> None:
    """From now on, count calls into the system (before and after), and calls in the writing modules; die at `step`."""
    ours = (kitfile.__file__, wholefile.__file__, os.path.dirname(filelock.__file__))
    system = ("posix", "fcntl", "io", "_io")
    seen = 0

    def hook(frame: Any, event: str, arg: Any) -> None:
        nonlocal seen
        module = event.startswith("c_") and (arg.__module__ or type(arg.__self__).__module__)
        if module in system or frame.f_code.co_filename.startswith(ours):
            seen += 1
            if seen == step:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.setprofile(hook)


def after(kit: Path, told: str, whole: tuple[str, ...] = (OLD, OLD + BLOCK)) -> dict[str, Any]:
    """What a killed child left: one of the whole texts, ready for another swatch; or what is wrong."""
    text = kit.read_text(encoding="utf-8")
    if text not in whole:
        return {"written": False, "wrong": [f"{told}: torn: {text[-300:]!r}"]}
    swatch = {**ENTRY, "yarn": "fern wool"} if "fern wool" in text else ENTRY
    added = kitfile.add_swatch(kit, swatch).after == text + BLOCK.replace("moss wool", str(swatch["yarn"]))
    strays = {each.name for each in kit.parent.iterdir()} - {kit.name, f".{kit.name}.lock"}
    return {"written": text != OLD, "wrong": [] if added and not strays else [f"{told}: the next one left {strays}"]}


def summed(found: list[dict[str, Any]]) -> dict[str, Any]:
    """The answers of all killed children as one."""
    wrong = [words for each in found for words in each["wrong"]]
    return {"killed": len(found), "written": sum(each["written"] for each in found), "wrong": wrong}


def steps(kit: Path) -> dict[str, Any]:
    """Die at every step of one writer, the first, the second … until it runs through."""
    write, new = WRITERS[sys.argv[3]]
    found: list[dict[str, Any]] = []
    while True:
        kit.write_text(OLD, encoding="utf-8")

        def work(step: int = len(found) + 1) -> None:
            die_at(step)
            write(kit)
            sys.setprofile(None)

        if in_child(work) != signal.SIGKILL:
            return summed(found)
        found.append(after(kit, f"step {len(found) + 1}", (OLD, new)))


def torn(kit: Path) -> dict[str, Any]:
    """Die in the middle of the write itself, after so many bytes (a limit on the size of files, and its signal)."""
    found = []
    for size in range(0, len((OLD + BLOCK).encode()), 60):
        kit.write_text(OLD, encoding="utf-8")

        def work(size: int = size) -> None:
            signal.signal(signal.SIGXFSZ, signal.SIG_DFL)
            resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
            resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))
            kitfile.add_swatch(kit, dict(ENTRY))

        cut = in_child(work) == signal.SIGXFSZ and kit.with_name(f".{kit.name}.new").stat().st_size == size
        found.append(after(kit, f"{size} bytes") if cut else {"written": False, "wrong": [f"{size}: not cut there"]})
    return summed(found)


def clock(kit: Path) -> dict[str, Any]:
    """Kill a child that adds one swatch after another, at moments spread over its first tenth of a second."""
    found = []
    whole = tuple(OLD + BLOCK * n for n in range(101))

    def work() -> None:
        while True:
            kitfile.add_swatch(kit, dict(ENTRY))

    for moment in range(60):
        kit.write_text(OLD, encoding="utf-8")
        died = in_child(work, after_seconds=moment * 0.0017) == signal.SIGKILL
        found.append(after(kit, f"moment {moment}", whole) if died else {"written": False, "wrong": ["not killed"]})
    return summed(found)


def refused(kit: Path) -> dict[str, Any]:
    """Try as somebody without rights (where we are root, as nobody), and with no room left on the disk."""
    kit_of(tomllib.loads(kitfile.with_entry(OLD, "swatch", ENTRY)), "loads what it needs while that can be read")
    if os.geteuid() == 0:
        os.setgid(65534)
        os.setuid(65534)
    if kit.name == "full.toml":
        resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))
    try:
        kitfile.add_swatch(kit, dict(ENTRY))
    except InputError as error:
        return {"wrong": [str(error)]}
    return {"wrong": []}


def loop(kit: Path) -> dict[str, Any]:
    """Add ten swatches, one after another, as fast as the lock allows; the row count tells the writers apart."""
    for i in range(10):
        kitfile.add_swatch(kit, {**ENTRY, "rows": {"count": 10 * int(sys.argv[3]) + i, "over": "4 in"}})
    return {"wrong": []}


if __name__ == "__main__":
    what, where = sys.argv[1], Path(sys.argv[2])
    ways = {"steps": steps, "torn": torn, "clock": clock, "refused": refused, "loop": loop}
    print(json.dumps(ways[what](where)))
