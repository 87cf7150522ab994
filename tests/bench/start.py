"""Bench of start-up: `python -m tests.bench.start`. Whole processes, ratios in one run; never judged by CI."""

import statistics
import subprocess
import sys
import time

BARE_HELLO = """
import sys, typer
app = typer.Typer()
@app.command()
def hello(name: str = typer.Option("you", help="Whom to greet.")) -> None:
    "Say hello."
app()
"""
IMPORTS_AND_TWO_VARIABLES = """
import typer, rich, pydantic, pint
from ortools.sat.python import cp_model
m = cp_model.CpModel()
x, y = m.new_int_var(0, 9, "x"), m.new_int_var(0, 9, "y")
m.add(x + y == 9); m.minimize(x)
s = cp_model.CpSolver(); s.solve(m)
"""
PEGWRIGHT = "from solver.cli import main; main()"


def seconds(code: str, *words: str) -> float:
    """Wall time of one process."""
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", code, *words], check=True, capture_output=True)
    return time.perf_counter() - start


def compare(name: str, mine: tuple[str, ...], theirs: tuple[str, ...], bar: float, rounds: int = 11) -> None:
    """Print the medians of two processes, run turn and turn about, and their ratio."""
    times: list[tuple[float, float]] = [(seconds(*mine), seconds(*theirs)) for _ in range(rounds)]
    a, b = (statistics.median(t) for t in zip(*times, strict=True))
    ratio = statistics.median(x / y for x, y in times)
    print(f"{name}: {1000 * a:.0f} ms against {1000 * b:.0f} ms, ratio {ratio:.2f} (bar {bar})")


def main() -> None:
    """The two comparisons."""
    compare("--help against a bare typer hello", (PEGWRIGHT, "--help"), (BARE_HELLO, "--help"), 1.5)
    find = (PEGWRIGHT, "find", "hat", "--around", "21 in")
    compare("find against its imports and a model of two variables", find, (IMPORTS_AND_TWO_VARIABLES,), 1.3)


if __name__ == "__main__":
    main()
