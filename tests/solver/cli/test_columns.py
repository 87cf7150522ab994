"""Tables fit their terminal: long names fold, wide signs count as the two cells they take, narrow ones get words."""

import os
import re
from pathlib import Path

import pytest
from rich.cells import cell_len

from solver.cli import grid, table
from solver.cli.columns import aligned, wrap
from tests.command import ROOT, pegwright

KIT = (ROOT / "catalog" / "kit.toml").read_text(encoding="utf-8")
HAT = ("hat", "--around", "21 in")
COMMANDS = (("find", *HAT), ("check", "hat"), ("sizes", "hat"), ("gauge",), ("batch", "asks.csv"))
WIDE = "毛糸" * 15  # 30 letters, 60 cells


def house(here: Path, name: str) -> None:
    """A kit whose loom and yarn have that name (a yarn's as long), and a batch for somebody of a longer one."""
    kit = KIT.replace('"attic frame"', f'"{name}"').replace('"moss wool"', f'"{name[::-1]}"')
    (here / "kit.toml").write_text(kit, encoding="utf-8")
    (here / "asks.csv").write_text(f"name,item,body\n{name + name[:30]},hat,54 cm\nAda,hat,50 cm\n", encoding="utf-8")


def lines(monkeypatch: pytest.MonkeyPatch, here: Path, width: int, *words: str) -> list[str]:
    """What a command prints on a terminal of that width."""
    monkeypatch.setattr(table, "get_terminal_size", lambda *_: os.terminal_size((width, 24)))
    ran = pegwright(*words, here=here)
    assert ran.code == 0, ran.err
    return ran.out.splitlines()


@pytest.mark.parametrize("name", ["n" * 60, "the long name of it " * 3, WIDE], ids=["one word", "words", "wide"])
@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_long_names_fold_at_80_columns(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], name: str
) -> None:
    """A batch was 139 wide, `check` 95 and `gauge` 88; every sign of the name is still there, in its order."""
    house(tmp_path, name.strip())
    out = lines(monkeypatch, tmp_path, 80, *words)
    assert max(map(cell_len, out)) <= 80
    if words[0] in ("gauge", "batch"):
        assert re.sub(r"\s", "", name) in re.sub(r"\s", "", "".join(out))


@pytest.mark.parametrize("width", [20, 40, 50])
@pytest.mark.parametrize("words", [COMMANDS[0], *COMMANDS[2:3], COMMANDS[4]], ids=" ".join)
def test_a_narrow_terminal_gets_each_figure_after_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], width: int
) -> None:
    """The table of `find` was 73 wide whatever the terminal."""
    house(tmp_path, "frame")
    assert max(map(cell_len, lines(monkeypatch, tmp_path, width, *words))) <= width


def test_columns_of_wide_signs_stand_straight() -> None:
    """An emoji and a Chinese sign take two cells each; counted as letters they pushed what follows to the right."""
    told = list(aligned([("name", "pegs"), ("毛糸", "84"), ("🧶 a", "9")], frozenset({1})))
    assert told == ["name  pegs", "毛糸    84", "🧶 a     9"]
    assert wrap("毛糸毛糸 ab", 4) == ["毛糸", "毛糸", "ab"]
    assert wrap("plain words-and more", 8) == ["plain", "words-", "and more"]


def test_a_column_of_text_is_folded_before_it_is_said_in_words() -> None:
    """Numbers stay whole; where even the least width is too much, each cell follows its heading."""
    rows = [("whom", "pegs"), ("somebody with a long name", "84")]
    assert list(aligned(rows, frozenset({1}), width=20)) == [
        "whom            pegs",
        "somebody with     84\na long name",
    ]
    assert list(aligned(rows, frozenset({1}), width=15)) == ["", "whom somebody\n  with a long\n  name; pegs 84"]


def test_a_long_table_of_a_kit_is_printed_plainly(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of 20,000 yarns `kit show` took 7.2 s of the processor and takes 1.2; every yarn and figure is there."""
    many = "".join(f'\n[[yarn]]\nname = "yarn {i}"\nweight = {i % 5 + 2}\n' for i in range(2_000))
    (tmp_path / "kit.toml").write_text(KIT + many, encoding="utf-8")
    plain = pegwright("kit", "show", here=tmp_path)
    monkeypatch.setattr(grid, "LONG", 10_000)
    drawn = pegwright("kit", "show", here=tmp_path)
    assert (plain.code, drawn.code) == (0, 0)
    words = [re.sub(r"[─\s]+", " ", ran.out) for ran in (plain, drawn)]
    assert words[0] == words[1]
    assert max(map(cell_len, plain.out.splitlines())) <= 80
    assert plain.out.count("─") < drawn.out.count("─")
