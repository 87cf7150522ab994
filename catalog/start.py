"""Where the command `pegwright` starts: `solver` is a name that others use too, and ours must be the one that is found.

This is the one line in `catalog` that knows of `solver`; it calls it by name and passes nothing on.
"""

import sys
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

HERE = Path(__file__).resolve().parent.parent
BAD_INPUT = 2


def main() -> None:
    """Run the command line; where another package of that name stands before ours, say so and leave with code 2."""
    spec = find_spec("solver")
    found = Path(spec.origin).resolve().parent.parent if spec and spec.origin else None
    if found != HERE:
        where = f"in {found}" if found else "without a file"
        print(f"pegwright: found another package named solver {where}, before its own in {HERE}", file=sys.stderr)
        print("  hint: unset PYTHONPATH, or install pegwright in an environment of its own", file=sys.stderr)
        sys.exit(BAD_INPUT)
    import_module("solver.cli").main()
