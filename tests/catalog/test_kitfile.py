"""Writing a kit: not a byte of what stood there is lost, whatever the file looks like and whenever the writer dies."""

import json
import os
import stat
import subprocess
import sys
import tempfile
import threading
import time
import tomllib
from pathlib import Path
from typing import Any

import pytest
from filelock import FileLock
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog import kitfile, wholefile
from catalog.errors import InputError
from catalog.kit import load_kit
from catalog.kitfile import add_swatch, new_kit, with_entry
from catalog.shapes import HERE

KILLER = Path(__file__).with_name("kit_killer.py")
KIT = """# the lantern hall's cupboard
kit_version = 1   # the first

[[loom]]  # by the window
name = "porch ring"
build = "ring"
peg_diameter = "6 mm"
pitch = "16 mm"  # measured twice
pegs = 40

[[yarn]]
weight = 4
name = "moss wool" # from the market

# nothing counted yet
"""
ENTRY: dict[str, object] = {
    "loom": "porch ring",
    "yarn": "moss wool",
    "stitches": {"count": 9, "over": "4in"},
    "rows": {"count": 16.5, "over": "10 cm"},
}
BLOCK = """[[swatch]]
loom = "porch ring"
yarn = "moss wool"
stitches = { count = 9, over = "4in" }
rows = { count = 16.5, over = "10 cm" }
"""


def kit_at(folder: Path, text: str) -> Path:
    """A kit file of exactly that text."""
    path = folder / "kit.toml"
    path.write_bytes(text.encode("utf-8"))
    return path


def added(folder: Path, text: str) -> str:
    """The text of the kit after one swatch was added."""
    path = kit_at(folder, text)
    add_swatch(path, dict(ENTRY))
    return path.read_bytes().decode("utf-8")


def killer(*words: object) -> dict[str, Any]:
    """The answer of kit_killer.py."""
    run = subprocess.run(
        [sys.executable, "-W", "error", str(KILLER), *map(str, words)], capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    answer: dict[str, Any] = json.loads(run.stdout)
    return answer


def test_a_swatch_is_appended_and_all_else_stays(tmp_path: Path) -> None:
    """Comments, order and odd spaces stay; the entry comes last, in its own keys' order, units as typed."""
    assert added(tmp_path, KIT) == KIT + "\n" + BLOCK


def test_a_second_swatch_follows_the_first(tmp_path: Path) -> None:
    """One blank line between them, and the reader sees both."""
    assert added(tmp_path, KIT + "\n" + BLOCK) == KIT + "\n" + BLOCK + "\n" + BLOCK
    assert len(load_kit(tmp_path / "kit.toml").swatch) == 2


@pytest.mark.parametrize(
    ("before", "after"),
    [
        pytest.param(KIT.rstrip("\n"), "\n\n" + BLOCK.rstrip("\n"), id="no newline at the end, a comment last"),
        pytest.param(KIT + "\n", BLOCK, id="a blank line at the end"),
        pytest.param(KIT + "\n\n\n", BLOCK, id="many blank lines at the end"),
        pytest.param(KIT + "[weights]\ngirth = 2\n", "\n" + BLOCK, id="another table last"),
        pytest.param(KIT + BLOCK + "[[wearer]]\nname = 'eldest'\n", "\n" + BLOCK, id="swatches in the middle"),
        pytest.param(KIT.replace("\n", "\r\n"), ("\n" + BLOCK).replace("\n", "\r\n"), id="lines that end in CR LF"),
        pytest.param(
            KIT.replace("\n", "\r\n").rstrip(), ("\n\n" + BLOCK).replace("\n", "\r\n").rstrip(), id="CR LF, none last"
        ),
        pytest.param("\ufeff" + KIT, "\n" + BLOCK, id="a byte-order mark"),
        pytest.param(KIT + '[[wearer]]\nname = """eldest"""', "\n\n" + BLOCK.rstrip("\n"), id="ends in a long string"),
    ],
)
def test_the_old_text_is_the_head_of_the_new(tmp_path: Path, before: str, after: str) -> None:
    """Whatever the file's habits, the new one is the old one and then the entry, in the same habits."""
    assert added(tmp_path, before) == before + after


@pytest.mark.parametrize("listed", ["swatch = []\n", "'swatch' = [\n # none yet\n]\n"])
def test_a_list_of_swatches_is_refused(tmp_path: Path, listed: str) -> None:
    """`swatch = [ … ]` cannot be followed by [[swatch]]: said, with what to write instead, and nothing is written."""
    path = kit_at(tmp_path, listed + KIT)
    with pytest.raises(InputError, match=r"laid out like this(.|\n)*write every entry as \[\[loom\]\]"):
        add_swatch(path, dict(ENTRY))
    assert path.read_text() == listed + KIT


def test_a_text_that_reads_back_wrong_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Were the writer ever to change a table, or find no place, the check stops it before the file is touched."""
    path = kit_at(tmp_path, KIT)
    for broken in (KIT.replace("40", "400") + BLOCK, KIT, None):
        monkeypatch.setattr(kitfile, "with_entry", lambda *_, text=broken: text)
        with pytest.raises(InputError, match="cannot be changed where it is laid out like this"):
            add_swatch(path, dict(ENTRY))
    assert path.read_text() == KIT


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (
            {"loom": "porch rnig"},
            'the new swatch: loom: found loom "porch rnig", which does not exist\n  hint: did you',
        ),
        ({"spacers": 3}, "the new swatch: spacers: found 3, expected at most 0"),
        ({"mass": "9 g"}, "the new swatch: found a table, expected mass or yarn_length together with knitted"),
        ({"stiches": 9}, "the new swatch: stiches: found a key that has no meaning here"),
        ({"rows": {"count": 9, "over": "4 kg"}}, 'the new swatch: rows.over: found "4 kg"'),
    ],
)
def test_a_wrong_entry_writes_nothing(tmp_path: Path, change: dict[str, object], message: str) -> None:
    """The error is about the swatch, not about a line of the file; the file stays."""
    path = kit_at(tmp_path, KIT)
    with pytest.raises(InputError) as caught:
        add_swatch(path, {**ENTRY, **change})
    assert str(caught.value).startswith(message)
    assert path.read_text() == KIT


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (b"# nothing\n", "found an empty file"),
        (b"[[loom]\n", "found text that is not TOML"),
        (b"name = '\xff'\n", "found a byte that is not UTF-8 at byte 8"),
        (KIT.replace("pegs = 40", "pegs = 0").encode(), "line 9: loom[1].pegs: found 0, expected at least 1"),
        (("[swatch]\nrows = 1\n" + KIT).encode(), "swatch: found a table, expected a list"),
    ],
)
def test_a_wrong_kit_is_told_and_left_alone(tmp_path: Path, text: bytes, message: str) -> None:
    """What was wrong before is told with its own line."""
    path = tmp_path / "kit.toml"
    path.write_bytes(text)
    with pytest.raises(InputError) as caught:
        add_swatch(path, dict(ENTRY))
    assert message in str(caught.value)
    assert path.read_bytes() == text


def test_no_kit_and_no_folder(tmp_path: Path) -> None:
    """Neither a missing file nor a folder becomes a kit, and nothing is left lying about."""
    (tmp_path / "folder").mkdir()
    (tmp_path / "loose").symlink_to(tmp_path / "gone.toml")
    for name, message in [
        ("kit.toml", "found no such file, expected a kit"),
        ("loose", "found no such file"),
        ("folder", "not a plain file"),
        ("away/kit.toml", "found no such file"),
    ]:
        with pytest.raises(InputError) as caught:
            add_swatch(tmp_path / name, dict(ENTRY))
        assert message in str(caught.value)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["folder", "loose"]


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    """The link's target is written, beside itself; the link goes on pointing to it."""
    (tmp_path / "real").mkdir()
    real = kit_at(tmp_path / "real", KIT)
    link = tmp_path / "kit.toml"
    link.symlink_to(Path("real") / "kit.toml")
    add_swatch(link, dict(ENTRY))
    assert link.is_symlink()
    assert real.read_text() == KIT + "\n" + BLOCK
    assert [p.name for p in tmp_path.iterdir() if p.is_file()] == ["kit.toml"]


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664])
def test_the_mode_is_kept(tmp_path: Path, mode: int) -> None:
    """A private kit stays private, a shared one shared."""
    path = kit_at(tmp_path, KIT)
    path.chmod(mode)
    add_swatch(path, dict(ENTRY))
    assert stat.S_IMODE(path.stat().st_mode) == mode


def test_a_read_only_file_is_not_written(tmp_path: Path) -> None:
    """A folder that may be written would allow the replacement; the file's own mode says no."""
    path = kit_at(tmp_path, KIT)
    path.chmod(0o444)
    with pytest.raises(InputError, match="found a file that may only be read"):
        add_swatch(path, dict(ENTRY))
    assert path.read_text() == KIT


def test_a_read_only_folder_and_a_full_disk_are_told() -> None:
    """The system's refusal comes as a message; the kit and its folder are as before."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path, full = kit_at(folder, KIT), folder / "full" / "full.toml"
        path.chmod(0o666)
        folder.chmod(0o555)
        told = killer("refused", path)["wrong"]
        folder.chmod(0o755)
        assert told == [f"{path}: cannot be written: Permission denied\n  hint: nothing was changed"]
        full.parent.mkdir()
        full.write_text(KIT)
        full.parent.chmod(0o777)
        full.chmod(0o666)
        told = killer("refused", full)["wrong"]
        assert told == [f"{full}: cannot be written: File too large\n  hint: nothing was changed"]
        assert (path.read_text(), full.read_text()) == (KIT, KIT)
        assert sorted(p.name for p in full.parent.iterdir()) == [".full.toml.lock", "full.toml"]


def test_a_symbolic_link_leads_to_the_new_kit_and_a_hard_link_keeps_the_old(tmp_path: Path) -> None:
    """The docstring once said that links stay: a file that is replaced whole is another one under the same name."""
    path = kit_at(tmp_path, KIT)
    (tmp_path / "soft.toml").symlink_to(path)
    os.link(path, tmp_path / "hard.toml")
    for name, left in (("soft.toml", KIT), ("hard.toml", KIT + "\n" + BLOCK)):
        add_swatch(tmp_path / name, dict(ENTRY))
        assert (tmp_path / "soft.toml").is_symlink()
        assert path.read_text() == (tmp_path / "soft.toml").read_text() == KIT + "\n" + BLOCK
        assert (tmp_path / "hard.toml").read_text() == left


def test_a_stale_file_of_a_killed_run_is_cleared_away(tmp_path: Path) -> None:
    """Half a kit left beside it, or a link laid in its place, is neither used nor followed."""
    path, precious = kit_at(tmp_path, KIT), tmp_path / "precious.txt"
    precious.write_text("mine")
    stale = tmp_path / ".kit.toml.new"
    stale.write_text("[[loom")
    add_swatch(path, dict(ENTRY))
    stale.symlink_to(precious)
    add_swatch(path, dict(ENTRY))
    assert path.read_text() == KIT + "\n" + BLOCK + "\n" + BLOCK
    assert precious.read_text() == "mine"
    assert not os.path.lexists(stale)


def test_synced_before_it_is_put_in_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The bytes are on the disk before the name points to them, and then the folder is synced."""
    order: list[str] = []
    sync, put = os.fsync, os.replace

    def fsync(handle: int) -> None:
        order.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file")
        sync(handle)

    def replace(new: Path, target: Path) -> None:
        order.append("replace")
        put(new, target)

    monkeypatch.setattr(wholefile.os, "fsync", fsync)
    monkeypatch.setattr(wholefile.os, "replace", replace)
    add_swatch(kit_at(tmp_path, KIT), dict(ENTRY))
    assert order == ["file", "replace", "folder"]


def test_another_programs_change_is_not_lost(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An editor takes no lock: where it saved after the kit was read, its text stands and the swatch is refused."""
    path = kit_at(tmp_path, KIT)
    spell, saved = kitfile.with_entry, iter(("# saved meanwhile\n", "# and again, under the lock\n"))

    def slow(text: str, table: str, entry: dict[str, object]) -> str:
        path.write_text(KIT + next(saved))
        return spell(text, table, entry)

    monkeypatch.setattr(kitfile, "with_entry", slow)
    with pytest.raises(InputError, match="another program changed the file meanwhile"):
        add_swatch(path, dict(ENTRY))
    assert path.read_text() == KIT + "# and again, under the lock\n"
    assert not (tmp_path / ".kit.toml.new").exists()


def test_a_held_lock_ends_in_a_message(tmp_path: Path) -> None:
    """A writer that waits too long says so and leaves the kit; the lock is taken through a link too."""
    path = kit_at(tmp_path, KIT)
    (tmp_path / "link.toml").symlink_to(path)
    with FileLock(tmp_path / ".kit.toml.lock"), pytest.raises(InputError, match=r"kept this file locked for 0\.1 s"):
        add_swatch(tmp_path / "link.toml", dict(ENTRY), wait_seconds=0.1)
    assert path.read_text() == KIT


def test_a_held_lock_makes_the_other_wait_and_read_again(tmp_path: Path) -> None:
    """What the holder wrote meanwhile is in the file that the waiting one writes."""
    path = kit_at(tmp_path, KIT)
    with FileLock(tmp_path / ".kit.toml.lock"):
        writer = threading.Thread(target=add_swatch, args=(path, dict(ENTRY)))
        writer.start()
        time.sleep(0.3)
        assert path.read_text() == KIT
        path.write_text(KIT + "# the holder's line\n")
    writer.join()
    assert path.read_text() == KIT + "# the holder's line\n\n" + BLOCK


def test_two_writers_at_once_lose_nothing(tmp_path: Path) -> None:
    """Two processes of ten swatches each: all twenty stand in the kit, below the text that was there."""
    path = kit_at(tmp_path, (HERE / "kit.toml").read_text(encoding="utf-8"))
    old = path.read_text(encoding="utf-8")
    runs = [subprocess.Popen([sys.executable, str(KILLER), "loop", str(path), who], stdout=-3) for who in "12"]
    assert [run.wait(timeout=60) for run in runs] == [0, 0]
    text = path.read_text(encoding="utf-8")
    rows = [swatch["rows"]["count"] for swatch in tomllib.loads(text)["swatch"][1:]]
    assert sorted(rows) == list(range(10, 30))
    assert text.startswith(old)


@pytest.mark.parametrize(
    ("way", "at_least", "some_written"),
    [
        pytest.param("steps add", 200, True, marks=pytest.mark.slow),
        pytest.param("steps change", 200, True, marks=pytest.mark.slow),
        pytest.param("steps remove", 200, True, marks=pytest.mark.slow),
        pytest.param("steps restore", 150, True, marks=pytest.mark.slow),
        ("torn", 30, False),
        ("clock", 60, True),
    ],
)
def test_killed_at_any_moment(tmp_path: Path, way: str, at_least: int, some_written: bool) -> None:
    """SIGKILL at every step of every writer, within the write itself, and by the clock: the kit is the old one or the
    new one whole, comments and all, and the next swatch goes in as if nothing had happened."""
    steps, *writer = way.split()
    answer = killer(steps, tmp_path / "kit.toml", *writer)
    assert answer["wrong"] == []
    assert answer["killed"] >= at_least
    assert (0 < answer["written"] < answer["killed"]) == some_written


def test_a_new_kit_is_the_built_in_one_and_never_overwrites(tmp_path: Path) -> None:
    """With its comments; where anything stands already, even a loose link, it is left alone."""
    path = tmp_path / "kit.toml"
    new_kit(path)
    assert path.read_bytes() == (HERE / "kit.toml").read_bytes()
    path.write_text("mine")
    (tmp_path / "loose.toml").symlink_to(tmp_path / "gone")
    for taken in (path, tmp_path / "loose.toml", tmp_path):
        with pytest.raises(InputError, match="found something that stands there already"):
            new_kit(taken)
    assert path.read_text() == "mine"
    with pytest.raises(InputError, match="found no such folder"):
        new_kit(tmp_path / "away" / "kit.toml")


SPACE = st.sampled_from(["", " ", "\t", "   "])
REMARK = st.one_of(st.just(""), st.text("ab#[]\"'={}, é", max_size=12).map(lambda words: "#" + words))
BLANKS = st.lists(st.tuples(SPACE, REMARK).map("".join), max_size=3)


@st.composite
def kits(draw: st.DrawFn) -> str:
    """The kit with its lines indented, remarked upon, spread out and ended in any way that TOML allows."""
    lines = KIT.splitlines() + (BLOCK.splitlines() if draw(st.booleans()) else [])
    out: list[str] = []
    for line in lines:
        bare = line if "#" in line else line + draw(SPACE) + draw(REMARK)
        out += [*draw(BLANKS), draw(SPACE) + bare]
    text = "\n".join(out + draw(BLANKS)) + draw(st.sampled_from(["", "\n", "\n\n", "\n \n"]))
    return text.replace("\n", draw(st.sampled_from(["\n", "\r\n"])))


@settings(max_examples=500)
@given(kits())
def test_any_layout_keeps_every_letter(text: str) -> None:
    """Over layouts at random: every old letter is there in its order, the tables are the old ones and the entry."""
    old, new = tomllib.loads(text), with_entry(text, "swatch", ENTRY)
    assert tomllib.loads(new) == {**old, "swatch": [*old.get("swatch", []), ENTRY]}
    assert new.startswith(text)
    assert ("\r\n" in text) == ("\r\n" in new)
    assert new.count("\n") == new.count("\r\n") or "\r\n" not in new
    assert new.endswith("\n") == text.endswith("\n")
