"""`pegwright batch` as a user types it: the class of the example, faults by row and column, exit codes."""

import html
import json
import re
import tomllib
from pathlib import Path

import pytest

from solver.report.batch import BatchReport
from tests.command import ROOT, Ran, pegwright, process
from tests.solver.many import checking

CLASS = ROOT / "examples" / "well-house-class"
KIT = tomllib.loads((CLASS / "kit.toml").read_text(encoding="utf-8"))
NAMES = [line.split(",")[0] for line in (CLASS / "class.csv").read_text(encoding="utf-8").splitlines()[1:]]


def batch(text: str, tmp_path: Path, *words: str) -> Ran:
    """The command on a CSV text with the example's kit."""
    file = tmp_path / "asks.csv"
    file.write_text(text, encoding="utf-8", newline="")
    return pegwright("batch", str(file), "--kit", str(CLASS / "kit.toml"), *words, here=tmp_path)


@pytest.mark.parametrize("words", [("--turns", "2"), ("--turns", "1"), (), ("--buy", "--turns", "3")], ids=str)
def test_the_class_is_planned_rightly(words: tuple[str, ...]) -> None:
    """Everybody is served or has a reason, and the independent checker finds nothing wrong."""
    ran = pegwright("batch", "class.csv", "--json", *words, here=CLASS)
    report = BatchReport.model_validate_json(ran.out)
    turns = int(words[words.index("--turns") + 1]) if "--turns" in words else None
    checking.check(report, KIT, [(name, 1) for name in NAMES], turns, "--buy" in words)
    assert ran.code == 0
    assert report.complete


def test_one_turn_serves_the_looms_that_there_are() -> None:
    """Seven looms, each worked once: five go without, each told that the looms are in use."""
    ran = pegwright("batch", "class.csv", "--json", "--turns", "1", here=CLASS)
    told = json.loads(ran.out)
    assert told["served"] == 7
    assert {e["says"] for e in told["unserved"]} == {"every loom that could make it is in use already"}
    assert {"Corwin", "Lunet"} <= {e["name"] for e in told["assigned"]}  # priority 1


def test_the_same_input_gives_the_same_bytes() -> None:
    """Two processes of their own, and the text beside the JSON."""
    for words in (("--json",), ("--csv",), ()):
        first, second = (process("batch", "class.csv", "--turns", "2", *words, here=CLASS) for _ in range(2))
        assert first == second
        assert first.code == 0


def test_the_order_of_the_rows_decides_nothing_but_names(tmp_path: Path) -> None:
    """The class read from the last row up gets the same setups, each ask the same ones."""
    heading, *rows = (CLASS / "class.csv").read_text(encoding="utf-8").splitlines()
    plans = []
    for order in (rows, rows[::-1]):
        told = json.loads(batch("\n".join([heading, *order]), tmp_path, "--turns", "2", "--json").out)
        setups = [
            (e["option"]["loom"], e["option"]["pegs"], e["option"]["yarn"], e["wind_off_m"]) for e in told["assigned"]
        ]
        plans.append((sorted(setups), told["stages"], told["yarn"]))
    assert plans[0] == plans[1]


def test_rows_of_the_same_ask_are_one_group(tmp_path: Path) -> None:
    """Copies and rows that ask for the same count alike, and each copy is told by its number."""
    ran = batch("name,item,body,copies\nIvo,hat,54 cm,2\nJorunn,hat,540 mm,1\n", tmp_path, "--json")
    told = json.loads(ran.out)
    assert [(e["name"], e["copy"], e["row"]) for e in told["assigned"]] == [
        ("Ivo", 1, 2),
        ("Ivo", 2, 2),
        ("Jorunn", 1, 3),
    ]
    setups = [(e["option"]["loom"], e["option"]["pegs"], e["option"]["yarn"]) for e in told["assigned"]]
    assert len(set(setups)) == 1


FAULTS = """name,item,body,age,copies,priority,yarn,fit
Ada,hat,54,,,,,
Ben,hta,54 cm,,,,,
,hat,54 cm,,,,,
Cid,hat,54 cm,,0,12,,
Dov,hat,54 cm,,,,heron wol,
Eno,hat,54 cm,7 yeers,,,,
Fay,hat,,,,,,
Gil,hat,54 cm,,,,,tigth
Hal,hat,54 cm,,,,,,surplus
"""


def test_every_fault_is_told_by_row_and_column(tmp_path: Path) -> None:
    """A bare number, an unknown item, no name, two numbers, an unknown yarn, a misspelt age and fit, no girth."""
    ran = batch(FAULTS, tmp_path)
    assert ran.code == 2
    assert ran.out == ""
    for place in ("row 2, body: ", "row 3, item: ", "row 4, name: ", "row 5, copies: ", "row 5, priority: ",
                  "row 6, yarn: ", "row 7, age: ", "row 8, ", "row 9, fit: ", "row 10: "):  # fmt: skip
        assert place in ran.err, place
    assert 'did you mean "heron wool"?' in ran.err
    assert "--" not in ran.err


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("name,item,colour\nAda,hat,red\n", 'row 1, column 3: found "colour", expected a column of a batch'),
        ("name,body\nAda,54 cm\n", "row 1: found no column item"),
        ("name,item,body,Body\nAda,hat,54 cm,\n", 'row 1, column 4: found "Body" a second time'),
        ("name,item,body\n", "found no row below"),
        ("", "found no row"),
        ('name,item,body\nAda,hat,"54 cm\n', "row 2: found text that is not CSV"),
        ("name,item,body,copies\n" + "Ada,hat,54 cm,900\n" * 6, "copies: found 5,400 pieces in all"),
    ],
)
def test_a_file_that_is_no_batch_is_refused(tmp_path: Path, text: str, says: str) -> None:
    """Exit 2, and where it is wrong."""
    ran = batch(text, tmp_path)
    assert ran.code == 2
    assert says in ran.err


def test_spreadsheets_write_semicolons_marks_and_carriage_returns(tmp_path: Path) -> None:
    """A byte-order mark, semicolons, CRLF, empty rows and columns at the end, headings in any case."""
    ran = batch("\ufeffName;Item;Girth-Within;BODY;;\r\nÅse;hat;2 cm;54 cm;;\r\n;;;;;\r\n", tmp_path, "--json")
    assert ran.code == 0
    assert [e["name"] for e in json.loads(ran.out)["assigned"]] == ["Åse"]


def test_nothing_served_is_exit_one_with_the_reason(tmp_path: Path) -> None:
    """A head that no loom of the kit goes round."""
    ran = batch("name,item,around\nthe giant,hat,2 m\n", tmp_path)
    assert ran.code == 1
    assert "the giant, hat: no setup of this kit makes it: " in " ".join(ran.out.split())


def test_no_time_at_all_is_exit_three(tmp_path: Path) -> None:
    """--seconds 0 prints what is known: nothing yet."""
    ran = batch("name,item,body\nAda,hat,54 cm\n", tmp_path, "--seconds", "0", "--json")
    assert ran.code == 3
    told = json.loads(ran.out)
    assert told["out_of_time"]
    assert [e["says"] for e in told["unserved"]] == ["time ran out before it was looked at"]
    assert (told["stages"][0]["value"], told["stages"][0]["bound"]) == (0, 1)  # for all that is known it could fit


def test_names_steer_no_terminal(tmp_path: Path) -> None:
    """Control characters and names over a hundred letters are faults; a formula reaches no spreadsheet as one."""
    rows = f'name,item,body\n\x1b[31mred,hat,54 cm\n{"x" * 101},hat,54 cm\n"a\nb",hat,54 cm\n\x07,\x9b2J,\x07\n'
    ran = batch(rows, tmp_path)
    assert ran.code == 2
    assert not {c for c in ran.err if not c.isprintable() and c != "\n"}
    assert all(f"row {row}, name: found" in ran.err for row in (2, 3, 4, 5))
    assert "\n'=1+1," in batch("name,item,body\n=1+1,hat,54 cm\n", tmp_path, "--csv").out


def test_a_page_for_each_and_one_for_all(tmp_path: Path) -> None:
    """Twelve pages and the class page: each name with its turn, its loom, its pegs and what to wind off."""
    ran = pegwright("batch", "class.csv", "--turns", "2", "--json", "--sheets", str(tmp_path / "pages"), here=CLASS)
    told = json.loads(ran.out)
    files = {f.name: _words(f) for f in (tmp_path / "pages").glob("*.html")}
    assert sorted(files) == sorted([*(f"{i:03}-{n.lower()}.html" for i, n in enumerate(NAMES, 1)), "index.html"])
    assert "index.html and 12 pages written" in ran.err
    for i, each in enumerate(sorted(told["assigned"], key=lambda e: e["row"]), 1):
        page, front = files[f"{i:03}-{each['name'].lower()}.html"], files["index.html"]
        assert page.startswith(f"{each['name']}: ")
        assert f"{each['option']['loom']}" in page
        assert f"turn {each['turn']}" in page
        off = f"{each['wind_off_m']:.0f} m ({each['wind_off_g']:.0f} g) of {each['option']['yarn']}"
        assert off in page
        assert f"Turn {each['turn']}, {each['name']}: {each['item']} on {each['option']['pegs']} pegs" in front
        assert off in front
        for change in each["changes"]:
            assert change in page
            assert change in front


def _words(file: Path) -> str:
    """The text of a page from its heading on."""
    text = re.sub(r"<[^>]+>", " ", file.read_text(encoding="utf-8").partition("<h1>")[2])
    return " ".join(html.unescape(text).split())


def test_pages_never_take_the_place_of_what_is_not_ours(tmp_path: Path) -> None:
    """A file of the user's in the folder is refused before anything is planned, and nothing is written."""
    (tmp_path / "pages").mkdir()
    theirs = tmp_path / "pages" / "001-ada.html"
    theirs.write_text("my own")
    ran = batch("name,item,body\nAda,hat,54 cm\n", tmp_path, "--sheets", str(tmp_path / "pages"))
    assert ran.code == 2
    assert theirs.read_text() == "my own"
    assert [f.name for f in (tmp_path / "pages").iterdir()] == ["001-ada.html"]
    again = batch("name,item,body\nBea,hat,54 cm\n", tmp_path, "--sheets", str(tmp_path / "pages"))
    once_more = batch("name,item,body\nBea,hat,55 cm\n", tmp_path, "--sheets", str(tmp_path / "pages"))
    assert (again.code, once_more.code) == (0, 0)
    assert batch("name,item,body\nAda,hat,54 cm\n", tmp_path, "--sheets", str(theirs)).code == 2


def test_a_file_of_far_too_many_rows_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """60,000 wrong rows took 67 s, to say twenty of them; so many rows are too many whatever stands in them."""
    import solver.door.batches as door

    read, real = [], door.wish
    monkeypatch.setattr(door, "wish", lambda *words, **more: read.append(1) or real(*words, **more))
    many = batch("name,item,body\n" + "a,hat,9\n" * 60_000, tmp_path)
    assert (many.code, read) == (2, [])
    assert "found more than 5,000 rows" in many.err
    wrong = batch("name,item,body\n" + "a,hat,9\n" * 4_000, tmp_path)
    assert (wrong.code, len(read)) == (2, 501)
    assert "and 481 more down to row 502; the rows below it were not read" in wrong.err
    few = batch("name,item,body\n" + "a,hat,9\n" * 400, tmp_path)
    assert "and 380 more" in few.err
