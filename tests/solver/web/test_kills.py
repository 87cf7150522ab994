"""Killed at any moment while a form is saved: the kit is whole, and the ticks are at most one behind."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.kits.draws import some_or_many

KILLER = Path(__file__).with_name("house_killer.py")


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork here: children are killed in a fork of their own")
@some_or_many(20, 200)
def test_killed_while_a_form_is_saved(tmp_path: Path, examples: int) -> None:
    """Every yarn that was answered for is in the kit, every line before it too; every tick answered for is kept."""
    run = subprocess.run(
        [sys.executable, str(KILLER), str(tmp_path), str(examples)], capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    told = json.loads(run.stdout)
    assert told["wrong"] == []
    assert told["killed"] == examples
    assert told["saved"] > 0
    assert told["ticked"] > 0
    assert told["strays"] == []
