"""The walk-through "add a rule", followed to the letter in a process of its own: the rule is searched and explained."""

import json
import subprocess
import sys

from tests.command import ROOT


def test_a_new_rule_is_searched_and_explained_without_being_taught() -> None:
    """120 random asks: the options are brute force's, clashes are real and smallest, and both numbers said are true."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.solver.rules.new_rule", "120"], cwd=ROOT, capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr.decode()[-3_000:]
    seen = json.loads(done.stdout)
    assert min(seen["found"], seen["none"]) > 15, seen
    assert seen["named alone"] > 5, seen
    assert seen["named with others"] > 3, seen
    assert seen["said"] == seen["named alone"] + seen["named with others"], seen
