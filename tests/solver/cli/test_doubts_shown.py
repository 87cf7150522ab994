"""Whatever prints a gauge or a yarn length names the doubted swatch, by how much, and what to count again."""

from pathlib import Path

import pytest

from catalog.shapes import HERE
from tests.command import pegwright

SLIP = """
[[swatch]]
loom = "attic frame"
spacers = 3
yarn = "moss wool"
stitches = { count = 160, over = "4 in" }
rows = { count = 19, over = "4 in" }
"""
WEIGHED = """
[[swatch]]
loom = "attic frame"
spacers = 1
yarn = "harbour cotton"
stitches = { count = 20, over = "4 in" }
rows = { count = 26, over = "4 in" }
mass = "12 g"
knitted = { stitches = 30, rows = 40 }
"""
# By hand: guess (2 √(7.8² + 4.75²) + π/2 · 5.54)/3.8 mm a stitch; of what 16 says over the guess at 2 spacers,
# 0.0208/(0.0217 + 0.000752) comes along: 14.42; sd √(0.0217 − 0.0208²/(0.0217 + 0.000752) + 0.01² + 0.02²) = 5.42 %.
SAYS = (
    "swatch 2 (attic frame, 3 spacers, moss wool, u-wrap) is doubted: 160 stitches counted where your other swatches "
    "foretell 14.4 (1009 % more, 44.5 sd off). Count its stitches again"
)
COMMANDS = [
    "find hat --around 21in",
    "find hat --around 21in --json",
    "find hat --around 99in",
    "check hat --around 21in",
    "check hat",
    "sizes hat --sizes 15in,18in",
    "sheet hat --around 21in",
    "gauge",
    "gauge --json",
    "kit check",
]


def said(command: str, here: Path, kit: str) -> str:
    """What it prints, its folding undone."""
    (here / "kit.toml").write_text((HERE / "kit.toml").read_text(encoding="utf-8") + kit, encoding="utf-8")
    return " ".join(pegwright(*command.split(), here=here).out.split())


@pytest.mark.parametrize("command", COMMANDS)
def test_the_doubted_swatch_is_named(command: str, tmp_path: Path) -> None:
    """With by how much and what to count again; and nothing of the kind where nothing is doubted."""
    assert SAYS in said(command, tmp_path, SLIP)
    assert "doubted" not in said(command, tmp_path, "")


@pytest.mark.parametrize("command", [c for c in COMMANDS if c not in ("check hat", "kit check")])
def test_where_the_yarn_length_comes_from(command: str, tmp_path: Path) -> None:
    """Learnt from a weighed swatch, by its yarn and setting; by the formula alone nothing is said."""
    assert "yarn learnt from the weighed swatch of harbour cotton (attic frame, 1 spacer" in said(
        command, tmp_path, WEIGHED
    )
    assert "learnt" not in said(command, tmp_path, "")
