"""Girths that nobody has are asked about, not obeyed."""

from pathlib import Path

import pytest

from catalog.errors import InputError
from solver import find, load_kit, wish
from tests.command import ROOT

KIT = (ROOT / "examples" / "lantern-hall" / "kit.toml").read_text()


@pytest.mark.parametrize(
    ("item", "text", "told"),
    [
        ("hat", "58.5 in", "found a head of 148.6 cm (58.5 in): more than any; was cm meant, not in?"),
        ("headband", "22 mm", "found a head of 22.0 mm: less than any; was in meant, not mm? was cm meant, not mm?"),
        ("mittens", "19 in", "found a hand of 48.3 cm (19.0 in): more than any; was cm meant, not in?"),
    ],
)
def test_a_body_that_nobody_has(item: str, text: str, told: str) -> None:
    """The unit that was probably meant, and what to say if it was not."""
    with pytest.raises(InputError) as caught:
        wish(item, body=text)
    (fault,) = caught.value.faults
    assert fault.field == "body"
    for part in told.split("? "):
        assert part.removesuffix("?") in fault.problem
    assert fault.said().endswith("hint: else give the finished girth: around")
    assert wish(item, around=text).around_um


@pytest.mark.parametrize(("item", "text"), [("hat", "58.5 cm"), ("hat", "14 in"), ("mittens", "8 in"), ("ball", "1 m")])
def test_a_body_that_somebody_has(item: str, text: str) -> None:
    """Not a word."""
    assert wish(item, body=text).body_um


def test_a_wearer_whose_measure_nobody_has_is_said_in_every_answer(tmp_path: Path) -> None:
    """A kit that was written by hand loads; what is worked out from it says to look again."""
    (tmp_path / "kit.toml").write_text(KIT.replace('head = "23 in"', 'head = "58.5 in"'))
    found = find(load_kit(tmp_path), wish("hat", wearer="the ferryman"))
    assert any(note.startswith("look again: head of 148.6 cm (58.5 in): more than any") for note in found.notes)
