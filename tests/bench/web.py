"""Bench of `pegwright open`: `python -m tests.bench.web [ROUNDS [ASKS]]`. Warm requests against whole commands in one
run, turn and turn about; twenty at once; memory after a thousand asks. Never judged by CI.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from itertools import count
from pathlib import Path

from catalog.kitfile import new_kit
from tests.solver.web.opened import Opened, opened

START = "from solver.cli import main; main()"
TENTHS = count(5000)


def girth() -> str:
    """A finished girth that nobody asked for before: nothing is answered from what is kept."""
    return f"{next(TENTHS) / 100:.2f} cm"


def timed(work: Callable[[], object]) -> float:
    """Seconds of one piece of work."""
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def command(here: Path, *words: str) -> float:
    """Seconds of a whole command; 0 and 1 are both answers."""

    def run() -> None:
        done = subprocess.run([sys.executable, "-c", START, *words], cwd=here, capture_output=True, check=False)
        assert done.returncode in (0, 1), done.stderr

    return timed(run)


def main() -> None:
    """Print the table."""
    rounds, asks = (int(sys.argv[n]) if len(sys.argv) > n else default for n, default in ((1, 7), (2, 1000)))
    with tempfile.TemporaryDirectory() as folder:
        here = Path(folder)
        new_kit(here / "kit.toml")
        with opened(here, here / "kit.toml") as house, house.visitor() as client:

            def get(path: str, **words: str) -> str:
                answer = client.get(path, params=words)
                answer.raise_for_status()
                return answer.text

            def find() -> None:
                assert "Ways to make it" in get("/make", item="hat", around=girth())

            def clash() -> None:
                wide = f"{2 * next(TENTHS) / 100:.2f} cm"
                assert "Not with this cupboard" in get("/make", item="hat", around=wide)

            began = client.post("/make/begin", data={"item": "hat", "around": "53 cm", "option": "1"})
            piece = began.headers["location"]
            plan = next(here.rglob("plan.json"))
            pairs: dict[str, tuple[Callable[[], object], Callable[[], tuple[str, ...]]]] = {
                "find": (find, lambda: ("find", "hat", "--around", girth())),
                "clash": (clash, lambda: ("find", "hat", "--around", "102 cm")),
                "sheet": (lambda: get(f"{piece}/sheet"), lambda: ("sheet", "--from", str(plan))),
            }
            for name, (warm, words) in pairs.items():
                warm()
                both = [(timed(warm), command(here, *words())) for _ in range(rounds)]
                a, b = (statistics.median(t) for t in zip(*both, strict=True))
                ratio = statistics.median(x / y for x, y in both)
                print(f"{name}: {1000 * a:.0f} ms warm, {1000 * b:.0f} ms the command, ratio {ratio:.2f} (bar 0.20)")
            one = statistics.median(timed(find) for _ in range(rounds))
            together(house, one, find)
            for _ in range(asks):
                find()
            print(f"memory after {asks} asks: {memory_mb(house):.0f} MB (bar 250)")


def together(house: Opened, one: float, find: Callable[[], None]) -> None:
    """Twenty who ask at once, each something else."""
    with ThreadPoolExecutor(20) as pool:
        took = list(pool.map(lambda _: timed(find), range(20)))
    told = f"median {statistics.median(took) / one:.1f}, longest {max(took) / one:.1f} times one of {1000 * one:.0f} ms"
    print(f"20 asks at once, all different: {told}")


def memory_mb(house: Opened) -> float:
    """What the running program holds in memory, in MB."""
    lines = Path(f"/proc/{house.process.pid}/status").read_text(encoding="utf-8").splitlines()
    return next(int(line.split()[1]) / 1000 for line in lines if line.startswith("VmRSS"))


if __name__ == "__main__":
    main()
