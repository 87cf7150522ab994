"""Where the command `pegwright` starts, under a name of its own: `catalog` and `solver` are names that others use too.

Its first lines answer Ctrl-C before anything of ours is loaded: nothing is begun yet, so it leaves at once, with 130.
What is pressed earlier, while Python itself starts and looks for this file, is Python's own to answer.
"""

import _signal as signal  # type: ignore[import-not-found]  # built in: nothing is read from disk before it can answer
import os

STOPPED, BAD_INPUT = 130, 2

if signal.getsignal(signal.SIGINT) is signal.default_int_handler:  # not where it is ignored, as under nohup
    signal.signal(signal.SIGINT, lambda *_: os._exit(STOPPED))

import sys  # noqa: E402
from importlib import import_module  # noqa: E402
from importlib.util import find_spec  # noqa: E402

HERE = os.path.dirname(os.path.realpath(__file__))


def main() -> None:
    """Run the command line; where another package of our names stands before ours, say so and leave with code 2."""
    for name in ("catalog", "solver"):
        spec = find_spec(name)
        found = os.path.dirname(os.path.dirname(os.path.realpath(spec.origin))) if spec and spec.origin else None
        if found != HERE:
            where = f"in {found}" if found else "without a file"
            print(f"pegwright: found another package named {name} {where}, before its own in {HERE}", file=sys.stderr)
            print("  hint: unset PYTHONPATH, or install pegwright in an environment of its own", file=sys.stderr)
            sys.exit(BAD_INPUT)
    import_module("solver.cli").main()
