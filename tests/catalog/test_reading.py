"""Files in rough hands: what is no kit is said at once, with its line; nothing waits, nothing swallows the machine."""

import os
import time
from pathlib import Path

import pytest

from catalog.errors import InputError
from catalog.item import item
from catalog.kit import kit_of, load_kit
from catalog.kitplace import find_kit
from catalog.reading import MOST_BYTES, read_toml

RING = '[[loom]]\nname = "porch ring"\nbuild = "ring"\npitch = "16 mm"\npeg_diameter = "6 mm"\npegs = 40\n'
YARN = '[[yarn]]\nname = "moss wool"\nweight = 4\n'
SWATCH = '[[swatch]]\nloom = "Porch  RING"\nyarn = "MOSS wool"\n'
SWATCH += 'stitches = { count = 9, over = "4 in" }\nrows = { count = 9, over = "4 in" }\n'


def said(path: Path) -> str:
    """The error of loading a kit, given within two seconds."""
    began = time.monotonic()
    with pytest.raises(InputError) as caught:
        load_kit(path, "kit.toml")
    assert time.monotonic() - began < 2
    return str(caught.value)


def written(folder: Path, text: str | bytes) -> Path:
    """A kit of that text."""
    path = folder / "kit.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name on this system")
def test_a_pipe_a_device_and_a_folder_are_refused_unread(tmp_path: Path) -> None:
    """A pipe that nobody writes and a device without an end once hung the program."""
    os.mkfifo(tmp_path / "pipe")
    assert "not a plain file" in said(tmp_path / "pipe")
    assert "not a plain file" in said(Path("/dev/zero"))
    assert "found a folder" in said(tmp_path)
    assert "cannot be read" in said(tmp_path / "a\0b")


def test_a_huge_file_is_refused(tmp_path: Path) -> None:
    """A byte more than the cap; at the cap it is read, and then it is what it is."""
    path = written(tmp_path, b"#" * (MOST_BYTES + 1))
    assert "found more than 8 MB" in said(path)
    path.write_bytes(b"#" * MOST_BYTES)
    assert "found an empty file" in said(path)


def test_latin_1_is_named_with_its_line(tmp_path: Path) -> None:
    """For a kit, and for a recipe, which crashed."""
    assert "not UTF-8 at byte 20 (line 2)" in said(written(tmp_path, '[[yarn]]\nname = "bla\xdf"\n'.encode("latin-1")))
    (tmp_path / "scarf.toml").write_bytes('title = "Stra\xdfe"'.encode("latin-1"))
    with pytest.raises(InputError, match=r"scarf\.toml: found a byte that is not UTF-8"):
        item("scarf", tmp_path)
    (tmp_path / "scarf.toml").unlink()
    (tmp_path / "scarf.toml").mkdir()
    with pytest.raises(InputError, match="found a folder"):
        item("scarf", tmp_path)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("name = “moss wool”", "line 2: name: found a curly quote “ at line 2"),
        ('name = "moss wool”', "line 2: name: found a curly quote ” at line 2"),
        ('name = "moss wool', "line 2: name: found one quote at line 2, expected a second"),
        ('name = moss wool"', "line 2: name: found one quote at line 2, expected a second"),
        ("name = moss wool", 'line 2: name: found text without quotes at line 2\n  hint: name = "moss wool"'),
        ("weight = " + "9" * 5_000, "line 2: weight: found a number of far too many digits"),
        ("weight = 0x" + "f" * 5_000, "weight: found a number of more than 60 digits, expected at most 7"),
        ("balls = 0x" + "f" * 5_000, "balls: found a number of more than 60 digits, expected at most 10000"),
        ('name = "a “b” c" d', "found text that is not TOML"),
    ],
)
def test_a_slip_in_toml_is_named(tmp_path: Path, line: str, says: str) -> None:
    """The quote, the number, the line: what was typed, not how a parser sees it."""
    assert says in said(written(tmp_path, f"[[yarn]]\n{line}\n"))


def test_one_fault_gives_one_error(tmp_path: Path) -> None:
    """A name given six times is one fault, and what swatches say of it is no further one."""
    text = RING * 6 + YARN + SWATCH.replace("yarn =", "spacers = 2\nyarn =")
    assert said(written(tmp_path, text)).splitlines() == [
        'kit.toml: line 8: loom[2].name: found "porch ring" 6 times, expected every name once'
    ]


def test_names_are_known_in_any_case(tmp_path: Path) -> None:
    """The swatch gets the names as they were defined; where two differ only in case, none is guessed."""
    kit = load_kit(written(tmp_path, RING + YARN + SWATCH))
    assert (kit.swatch[0].loom, kit.swatch[0].yarn) == ("porch ring", "moss wool")
    two = RING + YARN + YARN.replace("moss", "Moss") + SWATCH
    assert 'yarn "MOSS wool", which does not exist' in said(written(tmp_path, two))


def test_many_yarns_and_many_errors_are_read_in_a_straight_line(tmp_path: Path) -> None:
    """20,000 yarns, 60,000 wrong ones and 20,000 swatches of unknown yarns: the first 20, and how many more."""
    good = RING + "".join(f'[[yarn]]\nname = "yarn {i}"\nweight = 4\n' for i in range(20_000))
    began = time.process_time()
    assert len(load_kit(written(tmp_path, good)).yarn) == 20_000
    wrong = {"yarn": [{"name": f"yarn {i}", "weight": 9} for i in range(60_000)]}
    with pytest.raises(InputError) as caught:
        kit_of(wrong, "kit.toml")
    lines = str(caught.value).splitlines()
    assert (len(lines), lines[-1]) == (21, "kit.toml: and 59,980 more")
    counted = {"count": 9, "over": "4 in"}
    tables = read_toml(tmp_path / "kit.toml")
    unknown = ({"loom": "porch ring", "yarn": f"y{i}"} for i in range(20_000))
    tables["swatch"] = [{**each, "stitches": counted, "rows": counted} for each in unknown]
    with pytest.raises(InputError, match="and 19,980 more"):
        kit_of(tables, "kit.toml")
    assert time.process_time() - began < 20  # each took longer than that alone when it was quadratic


def test_a_folder_means_the_kit_in_it(tmp_path: Path) -> None:
    """--kit FOLDER reads FOLDER/kit.toml, and says which file it looked for."""
    with pytest.raises(InputError, match=r"kit\.toml: found no such file"):
        find_kit(tmp_path)
    written(tmp_path, RING + YARN)
    assert find_kit(tmp_path)[2] == tmp_path / "kit.toml"


def test_a_key_steers_no_terminal(tmp_path: Path) -> None:
    """Escape sequences in a key, a build or a file's name are spelt out."""
    kit = written(tmp_path, RING.replace('"ring"', '"\\u001b[31mring"') + '"a\\u001bb" = 1\n')
    with pytest.raises(InputError) as caught:
        load_kit(kit, "a\x1b[2Jb.toml")
    assert "\x1b" not in str(caught.value)
    assert 'found "\\x1b[31mring"' in str(caught.value)


HAT = (Path(__file__).parents[2] / "catalog" / "items" / "hat.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("files", "wrong", "says"),
    [
        (["BALL.toml"], "BALL.toml", "found a recipe named BALL, as one of the catalogue is"),
        (["globe.toml", "Globe.toml"], "globe.toml", "found a recipe named globe, as Globe.toml beside it is"),
        (["my  hat.toml", "My Hat.toml"], "my  hat.toml", "found a recipe named my  hat, as My Hat.toml beside it is"),
        (["STRASSE.toml", "straße.toml"], "straße.toml", "found a recipe named straße, as STRASSE.toml beside it is"),
    ],
)
def test_recipes_whose_names_differ_only_in_case_are_refused(
    tmp_path: Path, files: list[str], wrong: str, says: str
) -> None:
    """A name is found in any case, so which of the two was made hung on how it was typed."""
    for name in files:
        (tmp_path / name).write_text(HAT, encoding="utf-8")
    if len([*tmp_path.iterdir()]) < len(files):
        pytest.skip("here one file cannot be called so beside the other")
    for name in ("ball", "globe", "mittens"):
        with pytest.raises(InputError) as caught:
            item(name, tmp_path)
        assert caught.value.source == str(tmp_path / wrong)
        assert says in str(caught.value)


@pytest.mark.skipif(not hasattr(os, "seteuid"), reason="no rights of that kind here")
def test_a_folder_of_recipes_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    """It was "item globe does not exist": whoever forgot the rights looked for a slip of the pen."""
    folder, me = tmp_path / "recipes", os.geteuid()
    folder.mkdir()
    (folder / "globe.toml").write_text(HAT, encoding="utf-8")
    folder.chmod(0o311)  # what is in it may be read, but not what there is
    try:
        if me == 0:  # who may read whatever the rights say
            os.chown(folder, 65_534, -1)
            for above in (tmp_path, *tmp_path.parents[:2]):
                above.chmod(0o755)
            os.seteuid(65_534)
        with pytest.raises(InputError, match="recipes: the folder of recipes cannot be read: Permission denied"):
            item("globe", folder)
    finally:
        os.seteuid(me)
        folder.chmod(0o755)


def test_a_changed_recipe_is_seen_and_no_recipe_hides_one_of_the_catalogue(tmp_path: Path) -> None:
    """A running program reads what the file says now; a namesake of the catalogue's is refused, not preferred."""
    mine = tmp_path / "crown.toml"
    text = HAT
    mine.write_text(text)
    title = item("hat").title
    assert item("crown", tmp_path).title == title
    mine.write_text(text.replace(title, "Crown of moss"))
    assert item("crown", tmp_path).title == "Crown of moss"
    mine.rename(tmp_path / "hat.toml")
    for name in ("hat", "mittens"):
        with pytest.raises(InputError, match="found a recipe named hat, as one of the catalogue is"):
            item(name, tmp_path)
