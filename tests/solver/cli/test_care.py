"""What stands under a table: one line of care, all of it under --more, and no inner name of a rule."""

from __future__ import annotations

from pathlib import Path

from solver.rules import RULES
from tests.command import ROOT, pegwright

ROVING = '\n[[yarn]]\nname = "fell roving"\nweight = 4\nwraps_per_inch = 10\n'


def with_roving(here: Path) -> None:
    """The built-in kit and a yarn without a label."""
    text = (ROOT / "catalog" / "kit.toml").read_text(encoding="utf-8")
    (here / "kit.toml").write_text(text + ROVING, encoding="utf-8")


def test_one_line_of_care_and_all_under_more(tmp_path: Path) -> None:
    """A baby's hat: at most three lines of 80 columns by the table; each sentence with its source under --more."""
    for command in (("find", "hat"), ("check", "hat")):
        out = pegwright(*command, "--age", "3 months", here=tmp_path).out
        care = out[out.index("Care: ") :]
        assert len(care.splitlines()) <= 3
        assert "off for every sleep" in care
        assert "Pediatrics" not in out
        more = " ".join(pegwright(*command, "--age", "3 months", "--more", here=tmp_path).out.split())
        assert "CAUTION: A baby wears it outdoors only" in more
        assert "(American Academy of Pediatrics, safe sleep: Pediatrics 150(1), 2022)" in more
        assert "Care: " not in more


def test_a_yarn_that_is_not_used_is_not_spoken_of(tmp_path: Path) -> None:
    """Nor is a rule by its inner name, whichever yarn is used; what is not judged of a yarn in use is said in words."""
    with_roving(tmp_path)
    plain = pegwright("find", "hat", "--around", "21 in", "--yarn", "moss wool", here=tmp_path).out
    assert "fell roving" not in plain
    used = " ".join(pegwright("find", "hat", "--around", "21 in", "--yarn", "fell roving", here=tmp_path).out.split())
    assert "whether fell roving is too thick for its loops is not judged: its label names no fibre" in used
    for out in (plain, used):
        assert not [rule.name for rule in RULES if "-" in rule.name and rule.name in out]
