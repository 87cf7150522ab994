"""`sheet` and the pictures of `find` as a user meets them: files, streams, exit codes, wrong input."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from solver.formats.markdown import plain
from solver.plan.saved import load_plan
from tests.command import pegwright

HAT = ("hat", "--around", "21 in")


def test_the_sheet_is_printed_at_80_columns(tmp_path: Path) -> None:
    """On stdout, with every count in it; only the command to copy may be longer."""
    ran = pegwright("sheet", *HAT, here=tmp_path)
    assert ran.code == 0
    assert "Rows 33 to 42, 84 pegs a row: knit 1 peg, purl 1 peg" in ran.out
    assert all(len(line) <= 80 for line in ran.out.splitlines() if "pegwright adjust" not in line)


def test_another_option_and_other_words(tmp_path: Path) -> None:
    """--option takes the rank of `find`, --words the reader, --units the tape."""
    ran = pegwright("sheet", *HAT, "--option", "2", "--words", "uk", "--units", "cm", here=tmp_path)
    assert "76 pegs on the attic frame" in ran.out
    assert "Cast off" in ran.out
    assert "53.5 cm round" in ran.out


def test_files_are_written_and_stdout_stays_empty(tmp_path: Path) -> None:
    """HTML and Markdown in one go; stderr says so."""
    ran = pegwright("sheet", *HAT, "--html", "hat.html", "--markdown", "hat.md", here=tmp_path)
    assert (ran.code, ran.out) == (0, "")
    assert "hat.html: written" in ran.err
    assert (tmp_path / "hat.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert (tmp_path / "hat.md").read_text(encoding="utf-8").startswith("# Hat, crown first: 21 in round")


def test_a_kept_plan_gives_the_same_sheet(tmp_path: Path) -> None:
    """--save, then --from: the same words, also after the kit is gone, and its name in the command to copy."""
    first = pegwright("sheet", *HAT, "--save", "my plan.json", here=tmp_path)
    again = pegwright("sheet", "--from", "my plan.json", here=tmp_path)
    assert again.code == 0
    assert again.out == first.out
    assert "pegwright adjust 'my plan.json' --rows-done 10" in again.out
    assert load_plan(tmp_path / "my plan.json").kit is None


def test_a_plan_of_find_gives_a_sheet(tmp_path: Path) -> None:
    """`find --save` and `sheet --save` keep the same file."""
    assert pegwright("find", *HAT, "--save", "a.json", here=tmp_path).code == 0
    assert pegwright("sheet", *HAT, "--save", "b.json", here=tmp_path).code == 0
    assert (tmp_path / "a.json").read_text() == (tmp_path / "b.json").read_text()
    assert "53.5 cm round" in pegwright("sheet", "--from", "a.json", "--units", "cm", here=tmp_path).out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("sheet",), "ITEM: found nothing, expected what to make, or --from PLAN.json"),
        (("sheet", "hat", "--from", "p.json"), "--from: found ITEM beside it, expected one or the other"),
        (("sheet", "--from", "p.json", "--around", "20 in"), "--from: found --around beside it"),
        (("sheet", "--from", "p.json", "--option", "2"), "--from: found --option beside it"),
        (("sheet", "--from", "none.json"), "none.json: found no such file, expected a saved plan"),
        (("sheet", *HAT, "--words", "french"), '--words: found words "french", which does not exist'),
        (("sheet", *HAT, "--option", "900"), "--option: found 900, expected 1 to"),
        (("sheet", "hat"), "--around: found none of them"),
        (("sheet", *HAT, "--html", "gone/hat.html"), "gone/hat.html: found no such folder to write in"),
        (("find", *HAT, "--plot", "hat.gif"), "expected a name that ends in .svg or .png"),
    ],
)
def test_wrong_input_says_what_was_expected(words: tuple[str, ...], says: str, tmp_path: Path) -> None:
    """Exit 2, one message, nothing on stdout."""
    pegwright("sheet", *HAT, "--save", "p.json", here=tmp_path)
    ran = pegwright(*words, here=tmp_path)
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err


NONE = ("hat", "--around", "34 in")


@pytest.mark.parametrize("more", [(), ("--more",), ("--units", "cm")])
def test_where_nothing_fits_it_says_why_as_find_does(more: tuple[str, ...], tmp_path: Path) -> None:
    """Exit 1, and on stdout the very words: the sentence and its repairs."""
    told, found = (pegwright(command, *NONE, *more, here=tmp_path) for command in ("sheet", "find"))
    assert (told.code, found.code) == (1, 1)
    assert told.out == found.out
    assert "27.0 in" in told.out or "68.6 cm" in told.out  # as far round as 108 pegs at the kit's gauge go
    assert "pegwright find" not in told.err


def test_why_not_as_the_page_that_was_wanted(tmp_path: Path) -> None:
    """As HTML the page that `find` writes, as Markdown the same words; the terminal has them too, no plan is kept."""
    files = ("--html", "no.html", "--markdown", "no.md", "--save", "no.json", "--words", "uk")
    told = pegwright("sheet", *NONE, *files, here=tmp_path)
    found = pegwright("find", *NONE, "--page", "found.html", "--words", "uk", "--json", here=tmp_path)
    assert told.code == 1
    assert (tmp_path / "no.html").read_bytes() == (tmp_path / "found.html").read_bytes()
    assert not (tmp_path / "no.json").exists()
    clash = json.loads(found.out)
    assert " ".join(told.out.split()).startswith(clash["says"])
    marked = " ".join((tmp_path / "no.md").read_text(encoding="utf-8").split())
    assert marked.startswith("# Hat, crown first, 34 in round: not with this kit")
    for words in (clash["says"], *(repair["says"] for repair in clash["repairs"])):
        assert plain(words) in marked
    assert sum(not repair["kit"] for repair in clash["repairs"]) == marked.count("> pegwright find hat --") > 0


def test_data_of_a_sheet(tmp_path: Path) -> None:
    """--json is one document: the plan as it is kept, from a file too; the clash of `find` where nothing fits."""
    ran = pegwright("sheet", *HAT, "--json", "--save", "hat.json", here=tmp_path)
    kept = json.loads((tmp_path / "hat.json").read_text(encoding="utf-8"))
    kept.pop("written_by", None)
    assert (ran.code, json.loads(ran.out)) == (0, kept)
    again = pegwright("sheet", "--from", "hat.json", "--json", here=tmp_path)
    assert json.loads(again.out) == kept
    none, found = (pegwright(command, *NONE, "--json", here=tmp_path) for command in ("sheet", "find"))
    assert (none.code, none.out) == (1, found.out)
    assert json.loads(none.out)["format"] == "pegwright.clash.v1"


def test_find_draws_its_page_and_plot(tmp_path: Path) -> None:
    """Beside the table, which stays on stdout."""
    ran = pegwright("find", *HAT, "--page", "out.html", "--plot", "out.svg", here=tmp_path)
    assert ran.code == 0
    assert "attic frame" in ran.out
    page = (tmp_path / "out.html").read_text(encoding="utf-8")
    assert page.count("<article") == 5
    assert (tmp_path / "out.svg").read_text(encoding="utf-8").startswith("<svg")
