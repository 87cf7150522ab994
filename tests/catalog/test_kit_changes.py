"""Changing a kit by its entries: what goes goes alone, comments of others stay, and every change can be undone."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog import entrylines
from catalog.errors import InputError
from catalog.kitfile import Written, add, change_entry, remove, restore

TOP = "# the lantern hall\n\n"
RING = """# by the window
[[loom]]  # the round one
name = "porch ring"
build = "ring"   # bought second-hand
pitch = "16 mm" # "16" by the # label
peg_diameter = "6 mm"
pegs = 40
"""
FRAME = """[[loom]]
name = "attic frame"
build = "boards"
pitch = "9.5 mm"
peg_diameter = "3 mm"
base_gap = "3 mm"
side_boards = [
  { name = "short", pegs = 18, on_hand = 2 },  # pine
]
[loom.spacers]
thickness = "1.6 mm"
most = 4
on_hand = 40
"""
YARN = '[[yarn]]\nname = "moss wool"\nweight = 4\n# two skeins are wet\n'
SWATCH = """# before the rain
[[swatch]]
loom = "Porch Ring"
yarn = "moss wool"
stitches = { count = 9, over = "4in" } # twice
rows = { count = 16.5, over = "10 cm" }
"""
WEARER = "# the eldest's head, in June\n[[wearer]]\nname = 'eldest'\nhead = '54 cm'\n"
KIT = "\n".join((TOP + RING, FRAME, YARN, SWATCH, WEARER))


@pytest.fixture
def kit(tmp_path: Path) -> Path:
    """The kit above, in a file."""
    path = tmp_path / "kit.toml"
    path.write_text(KIT)
    return path


def text_after(kit: Path, done: Written) -> str:
    """The file's text, which is the one that was told; the text before was told too."""
    assert done.before == KIT
    assert kit.read_text() == done.after
    return done.after


def test_a_loom_of_boards_goes_with_its_parts_and_nothing_else(kit: Path) -> None:
    """The sub-table and the list over several lines are its own; the comment below the yarn is not."""
    assert text_after(kit, remove(kit, "loom", "Attic Frame")) == KIT.replace(FRAME + "\n", "")


def test_the_comment_directly_above_goes_too(kit: Path) -> None:
    """The wearer at the end of the file: its own comment and the blank line before it."""
    assert text_after(kit, remove(kit, "wearer", "eldest")) == KIT.replace("\n" + WEARER, "")


def test_what_swatches_name_is_refused_with_the_list(kit: Path) -> None:
    """A loom and a yarn; with the swatches they go together, and the file's first comment stays."""
    for table, name in (("loom", "porch ring"), ("yarn", "moss wool")):
        with pytest.raises(
            InputError, match=rf'{table} "{name}": found it named by swatch 1, .*\n.*take those out too'
        ):
            remove(kit, table, name)  # type: ignore[arg-type]
    assert kit.read_text() == KIT
    done = remove(kit, "loom", "porch ring", with_swatches=True)
    assert text_after(kit, done) == KIT.replace(RING + "\n", "").replace(SWATCH + "\n", "")
    assert [loom.name for loom in done.kit.loom] == ["attic frame"]


def test_a_swatch_goes_by_its_number(kit: Path) -> None:
    """From 1, as `swatch list` counts."""
    assert text_after(kit, remove(kit, "swatch", 1)) == KIT.replace(SWATCH + "\n", "")
    for number in (0, 1, -1):
        with pytest.raises(InputError, match=f"found no swatch {number}"):
            remove(kit, "swatch", number)


def test_a_key_is_changed_in_its_line(kit: Path) -> None:
    """The comment beside it stays, though the text holds the sign of a comment too; a new key follows the last."""
    done = change_entry(kit, "loom", "porch ring", {"pitch": "15 mm", "on_hand": 3})
    wanted = KIT.replace('"16 mm" #', '"15 mm" #').replace("pegs = 40\n", "pegs = 40\non_hand = 3\n")
    assert text_after(kit, done) == wanted


def test_a_key_over_several_lines_and_one_before_a_part(kit: Path) -> None:
    """The list of boards is one key; joining goes before [loom.spacers], not into it."""
    boards = [{"name": "long", "pegs": 30, "on_hand": 2}]
    done = change_entry(kit, "loom", "attic frame", {"side_boards": boards, "joining": True, "base_gap": "4 mm"})
    loom = tomllib.loads(text_after(kit, done))["loom"][1]
    assert (loom["side_boards"], loom["joining"], loom["base_gap"], loom["spacers"]["most"]) == (
        boards,
        True,
        "4 mm",
        4,
    )


def test_a_new_name_goes_into_the_swatches(kit: Path) -> None:
    """Also where the swatch spelt it in another case."""
    done = change_entry(kit, "loom", "porch ring", {"name": "garden ring"})
    wanted = KIT.replace('name = "porch ring"', 'name = "garden ring"').replace('"Porch Ring"', '"garden ring"')
    assert text_after(kit, done) == wanted


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"pegs": 0}, 'loom "porch ring": pegs: found 0, expected at least 1'),
        ({"pitch": None}, 'loom "porch ring": pitch: found nothing'),
        ({"pgs": 4}, 'loom "porch ring": pgs: found a key that has no meaning here'),
        ({"name": "attic frame"}, 'found "attic frame" twice'),
    ],
)
def test_a_wrong_change_is_told_by_its_key(kit: Path, changes: dict[str, object], says: str) -> None:
    """Nothing is written."""
    with pytest.raises(InputError) as caught:
        change_entry(kit, "loom", "porch ring", changes)
    assert says in str(caught.value)
    assert kit.read_text() == KIT


def test_a_part_in_a_table_of_its_own_is_not_guessed_at(kit: Path) -> None:
    """spacers stands as [loom.spacers]: set as a key it would be there twice, so it is refused."""
    with pytest.raises(InputError, match="laid out like this"):
        change_entry(kit, "loom", "attic frame", {"spacers": {"thickness": "2 mm", "most": 2, "on_hand": 8}})
    assert kit.read_text() == KIT


def test_an_entry_added_is_known_by_its_own_keys(kit: Path) -> None:
    """Any table; a name that is there already is refused."""
    done = add(kit, "yarn", {"name": "fern cotton", "weight": 3, "balls": 2, "length_per_ball": "90 m"})
    assert text_after(kit, done).startswith(KIT)
    assert done.kit.yarn[1].name == "fern cotton"
    with pytest.raises(InputError, match='the new yarn: name: found "moss wool" twice'):
        add(kit, "yarn", {"name": "moss wool", "weight": 4})


def test_an_undo_only_undoes_what_it_finds(kit: Path) -> None:
    """The text before comes back to the byte; after another change it is refused, and that change stays."""
    done = remove(kit, "wearer", "eldest")
    assert restore(kit, done.before, done.digest).after == KIT
    assert kit.read_text() == KIT
    done = remove(kit, "wearer", "eldest")
    add(kit, "wearer", {"name": "youngest", "head": "48 cm"})
    now = kit.read_text()
    with pytest.raises(InputError, match="changed since, nothing was undone"):
        restore(kit, done.before, done.digest)
    assert kit.read_text() == now


REMARK = st.text('ab#[]"{}= ', max_size=8).map(lambda words: "# " + words)


@settings(max_examples=150, deadline=None)
@given(st.permutations([RING, FRAME, YARN, SWATCH, WEARER]), st.lists(REMARK, min_size=5, max_size=5), st.booleans())
def test_in_any_order_only_the_entrys_lines_go(parts: list[str], remarks: list[str], windows: bool) -> None:
    """Over orders and remarks at random: the tables left are the others, and every remark set off by a blank stays."""
    text = "\n".join(f"{remark}\n\n{part}" for remark, part in zip(remarks, parts, strict=True))
    text = text.replace("\n", "\r\n") if windows else text
    old = tomllib.loads(text)
    for table, entries in old.items():
        for index in range(len(entries)):
            new = entrylines.without(text, table, index)
            assert new is not None
            left = {**old, table: [e for i, e in enumerate(entries) if i != index]}
            assert tomllib.loads(new) == {k: v for k, v in left.items() if v}
            assert all(new.count(remark) >= remarks.count(remark) for remark in remarks)
