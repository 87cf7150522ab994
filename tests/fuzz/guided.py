"""Inputs that look for code not yet run: `python -m tests.fuzz.guided kit -max_total_time=600`, the rest for libFuzzer.

Needs atheris (`pip install atheris`; wheels for Linux on Python 3.11 to 3.13), which no test asks for. The inputs are
those of inputs.py, drawn from the fuzzer's bytes, and the judge is the same; the first that fails is printed, and ends
it.
"""

import sys
import tempfile
from pathlib import Path


def main(kind: str) -> None:
    """Fuzz one kind until libFuzzer's own limits end it."""
    import atheris  # type: ignore[import-not-found]

    with atheris.instrument_imports(include=["catalog", "solver"]):
        import solver.cli.app
        import solver.door  # noqa: F401
        from tests.fuzz.inputs import KINDS
        from tests.fuzz.judge import Given, Tally, emptied, judge

    from hypothesis import given

    folder, tally = Path(tempfile.mkdtemp(prefix="guided")), Tally()

    @given(KINDS[kind])
    def each(given: Given) -> None:
        judge(given, emptied(folder), tally)
        if sum(tally.codes.values()) % 1_000 == 0:
            print(kind, tally, flush=True)

    atheris.Setup([sys.argv[0], *sys.argv[2:]], each.hypothesis.fuzz_one_input)
    atheris.Fuzz()


if __name__ == "__main__":
    main(sys.argv[1])
