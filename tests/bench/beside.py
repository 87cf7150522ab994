"""Side by side with another commit, in one run: `python -m tests.bench.beside COMMIT` (by default the one before).

Both run the cases of this commit, turn and turn about, each in a process of its own; what counts is the ratio.
"""

import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
BENCH = ("cases.py", "kit.py")


def timed(tree: Path) -> dict[str, float]:
    """The cases in one process whose packages are those of `tree`."""
    words = [sys.executable, "-m", "tests.bench.cases"]
    done = subprocess.run(words, cwd=tree, env={**os.environ, "PYTHONPATH": str(tree)}, capture_output=True, check=True)
    found: dict[str, float] = json.loads(done.stdout)
    return found


def main() -> None:
    """Print for each case the medians of both and the median of the ratios."""
    commit = sys.argv[1] if len(sys.argv) > 1 else "HEAD~1"
    rounds = int(sys.argv[2]) if len(sys.argv) > 2 else 5
    with tempfile.TemporaryDirectory() as folder:
        other = Path(folder) / "other"
        subprocess.run(["git", "worktree", "add", "--detach", str(other), commit], cwd=ROOT, check=True)
        try:
            for name in BENCH:
                shutil.copy(ROOT / "tests/bench" / name, other / "tests/bench" / name)
            pairs = [(timed(other), timed(ROOT)) for _ in range(rounds)]
        finally:
            subprocess.run(["git", "worktree", "remove", "--force", str(other)], cwd=ROOT, check=True)
    for case in pairs[0][0]:
        before, after = (statistics.median(pair[i][case] for pair in pairs) for i in (0, 1))
        ratio = statistics.median(pair[1][case] / pair[0][case] for pair in pairs)
        print(f"{case}: {before:.0f} ms before, {after:.0f} ms now, ratio {ratio:.2f}")


if __name__ == "__main__":
    main()
