"""Bad input: every kind has its message, exit code 2, and never a traceback."""

import os
from pathlib import Path

import pytest

from tests.command import pegwright

GOOD = """\
[[loom]]
name = "porch ring"
build = "ring"
pitch = "9.5 mm"
peg_diameter = "3 mm"
pegs = 84

[[loom]]
name = "attic frame"
build = "boards"
pitch = "9.5 mm"
peg_diameter = "3 mm"
base_gap = "3 mm"
spacers = { thickness = "1.6 mm", most = 4, on_hand = 40 }
side_boards = [{ name = "short", pegs = 18, on_hand = 2 }]
end_boards = [{ name = "end", pegs = 6, on_hand = 2 }]
set_up_as = { sides = ["short"], ends = "end", pegs_per_side = 18 }

[[yarn]]
name = "moss wool"
weight = 4
fibre = "wool"

[[swatch]]
loom = "porch ring"
yarn = "moss wool"
stitches = { count = 16, over = "4 in" }
rows = { count = 20, over = "4 in" }

[[wearer]]
name = "eldest"
head = "54 cm"
"""

# the line of GOOD that is replaced, by what, and what the message must say
KIT_SLIPS = {
    "misspelt key": ('pitch = "9.5 mm"', 'pich = "9.5 mm"', ["loom[1].pich", 'did you mean "pitch"?']),
    "missing key": ('pitch = "9.5 mm"\n', "", ["loom[1].pitch", "found nothing, expected this key"]),
    "no unit": ('pitch = "9.5 mm"', 'pitch = "9.5"', ['found "9.5"', "with its unit", 'write "9.5 mm"']),
    "a bare number": ('pitch = "9.5 mm"', "pitch = 9.5", ["found 9.5", 'write "9.5 mm"']),
    "unknown unit": ('pitch = "9.5 mm"', 'pitch = "9.5 mms"', ["mms", 'did you mean "mm"?']),
    "wrong dimension": ('pitch = "9.5 mm"', 'pitch = "9.5 kg"', ['"9.5 kg"', "a length"]),
    "almost no stitch": ("count = 16", "count = 1e-30", ["stitches.count", "1e-30", "at least 0.001"]),
    "negative": ('pitch = "9.5 mm"', 'pitch = "-9.5 mm"', ['"-9.5 mm"', "more than 0"]),
    "zero pegs": ("pegs = 84", "pegs = 0", ["loom[1].pegs", "found 0", "at least 1"]),
    "half a peg": ("pegs = 84", "pegs = 84.5", ["found 84.5", "whole number"]),
    "too many pegs": ("pegs = 84", "pegs = 8400", ["found 8400", "at most 400"]),
    "text for a number": ("pegs = 84", 'pegs = "many"', ['found "many"', "whole number"]),
    "a huge length": ('pitch = "9.5 mm"', 'pitch = "99999999 mm"', ["expected a length"]),
    "a huge number": ("weight = 4", f"weight = {10**40}", ["at most 7"]),
    "nan": ("count = 16", "count = nan", ["plain number"]),
    "infinite": ("count = 16", "count = inf", ["plain number"]),
    "duplicated name": ('name = "attic frame"', 'name = "porch ring"', ['"porch ring" twice']),
    "unknown build": ('build = "ring"', 'build = "rign"', ['"rign"', 'did you mean "ring"?']),
    "unknown loom": ('loom = "porch ring"', 'loom = "porch rign"', ['did you mean "porch ring"?']),
    "unknown yarn": ('yarn = "moss wool"', 'yarn = "mos wool"', ['did you mean "moss wool"?']),
    "unknown board": ('sides = ["short"]', 'sides = ["shrot"]', ['did you mean "short"?']),
    "unknown table": ("[[wearer]]", "[[wearers]]", ["wearers", 'did you mean "wearer"?']),
    "a table for a list": ('side_boards = [{ name = "short", pegs = 18, on_hand = 2 }]', "side_boards = []",
                           ["at least 1"]),
    "pegs and length": ("pegs = 18, on", 'pegs = 18, length = "20 cm", on', ["either pegs or length"]),
    "an empty name": ('name = "eldest"', 'name = ""', ["1 to 60"]),
    "fat pegs": ('peg_diameter = "3 mm"', 'peg_diameter = "10 mm"', ["loom[1]", "smaller than the pitch"]),
    "balls without length": ("weight = 4", "weight = 4\nballs = 2", ["yarn[1]", "length_per_ball beside balls"]),
    "newer kit": ("[[loom]]", "kit_version = 99\n[[loom]]", ["found 99", "newer pegwright"]),
    "unknown spacers": ('yarn = "moss wool"', 'spacers = 3\nyarn = "moss wool"', ["at most 0", "porch ring"]),
}  # fmt: skip
ABOVE = {"missing key", "unknown table", "fat pegs", "balls without length"}  # the fault is of a whole table


@pytest.mark.parametrize("slip", KIT_SLIPS)
def test_a_slip_in_the_kit_is_named_with_its_line(slip: str, tmp_path: Path) -> None:
    """File, key and line, what was found, what was expected, and the nearest name that exists."""
    was, now, says = KIT_SLIPS[slip]
    assert was in GOOD
    (tmp_path / "kit.toml").write_text(GOOD.replace(was, now, 1))
    ran = pegwright("find", "hat", "--around", "21 in", here=tmp_path)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("pegwright: kit.toml: ")
    for words in [f"line {_line(was)}: " if slip not in ABOVE else "", *says]:
        assert words in ran.err
    assert "Traceback" not in ran.err


def _line(part: str) -> int:
    """The line of GOOD that a part stands in."""
    return GOOD[: GOOD.index(part)].count("\n") + 1


def test_the_kit_without_a_slip_is_good(tmp_path: Path) -> None:
    """The kit that the slips are made in answers."""
    (tmp_path / "kit.toml").write_text(GOOD)
    assert pegwright("find", "hat", "--around", "21 in", here=tmp_path).code == 0


FILES = {
    "empty": (b"", "found an empty file"),
    "only a comment": (b"# nothing\n", "found an empty file"),
    "not TOML": (b"this is = = not TOML", "not TOML"),
    "not UTF-8": (b'[[loom]]\nname = "\xff\xfe"\n', "not UTF-8 at byte 17"),
    "a picture": (bytes(range(256)), "not UTF-8"),
    "deeply nested": (b"a = " + b"[" * 3000 + b"]" * 3000, "not TOML"),
}


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_is_no_kit(name: str, tmp_path: Path) -> None:
    """What the file is, exit 2."""
    data, says = FILES[name]
    (tmp_path / "kit.toml").write_bytes(data)
    ran = pegwright("find", "hat", "--around", "21 in", here=tmp_path)
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err


def test_a_folder_a_missing_file_and_an_unreadable_one(tmp_path: Path) -> None:
    """Each is said for what it is."""
    (tmp_path / "folder").mkdir()
    secret = tmp_path / "secret.toml"
    secret.write_text(GOOD)
    secret.chmod(0)
    for name, says in (
        ("folder", "folder/kit.toml: found no such file"),
        ("none.toml", "no such file"),
        ("secret.toml", "cannot be read"),
    ):
        if name == "secret.toml" and os.access(secret, os.R_OK):
            continue  # root reads everything
        ran = pegwright("find", "hat", "--around", "21 in", "--kit", name, here=tmp_path)
        assert (ran.code, ran.out) == (2, "")
        assert says in ran.err


ASKS = {
    "no unit": (["find", "hat", "--around", "21"], ["--around", 'found "21"', 'write "21 in"']),
    "wrong dimension": (["find", "hat", "--around", "21 kg"], ["--around", "a length", "measures something else"]),
    "negative": (["find", "hat", "--around", "-21 in"], ["--around", "more than 0"]),
    "nan": (["find", "hat", "--around", "nan in"], ["--around", "expected a length"]),
    "far too long": (["find", "hat", "--around", "21 miles"], ["--around", "5000 mm"]),
    "no girth": (["find", "hat"], ["found none of them", "--around", "--wearer"]),
    "two girths": (["find", "hat", "--around", "21 in", "--body", "22 in"], ["found 2 girths"]),
    "fit and around": (
        ["find", "hat", "--around", "21 in", "--fit", "snug"],
        ["found --fit or --ease beside it", "--body"],
    ),
    "unknown item": (["find", "hatt", "--around", "21 in"], ['"hatt"', 'did you mean "hat"?']),
    "unknown loom": (["find", "hat", "--around", "21 in", "--loom", "atic frame"], ['did you mean "attic frame"?']),
    "unknown yarn": (["find", "hat", "--around", "21 in", "--yarn", "mos"], ["--yarn", '"moss wool"']),
    "unknown wearer": (["find", "hat", "--wearer", "eldset"], ['did you mean "eldest"?']),
    "unknown size": (["find", "hat", "--size", "adult-wman"], ["--size", "adult-woman"]),
    "unknown fit": (["find", "hat", "--body", "22 in", "--fit", "snugg"], ['did you mean "snug"?']),
    "unknown rib": (["find", "hat", "--around", "21 in", "--rib", "1x2"], ["--rib", '"1x2"', "did you mean"]),
    "unknown stitch": (["find", "hat", "--around", "21 in", "--stitch", "uwrap"], ['did you mean "u-wrap"?']),
    "band backwards": (["find", "hat", "--around", "21 in", "--band", "3in..1in"], ["--band", "first depth"]),
    "price": (["find", "hat", "--around", "21 in", "--yarn-price", "lots"], ["--yarn-price", "plain number"]),
    "odd age": (["find", "hat", "--age", "soon"], ["--age"]),
    "units": (["find", "hat", "--around", "21 in", "--units", "ells"], ["--units", "one of in, cm"]),
    "pegs": (["find", "hat", "--around", "21 in", "--pegs", "0"], ["--pegs"]),
    "seconds": (["find", "hat", "--around", "21 in", "--seconds", "-1"], ["--seconds"]),
    "no such option": (["find", "hat", "--arround", "21 in"], ["--arround", "--around"]),
    "no such command": (["fnd", "hat"], ["fnd"]),
}


@pytest.mark.parametrize("name", ASKS)
def test_an_ask_that_cannot_be_read(name: str, tmp_path: Path) -> None:
    """The option, what was found, what was expected, the nearest name; exit 2 and nothing on stdout."""
    words, says = ASKS[name]
    (tmp_path / "kit.toml").write_text(GOOD)
    ran = pegwright(*words, here=tmp_path)
    assert (ran.code, ran.out) == (2, "")
    for each in says:
        assert each in ran.err
    assert "Traceback" not in ran.err
