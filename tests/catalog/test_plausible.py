"""Measures that nobody has are told from those that somebody may have; and the unit that slipped is guessed."""

import pytest

from catalog.body import SIZES, body
from catalog.errors import InputError
from catalog.kit import built_in_kit
from catalog.plausible import odd, odd_in, odd_text


def test_no_body_of_the_tables_is_odd() -> None:
    """From a new-born to the largest grown-up, three standard deviations either side."""
    for measure in ("head", "hand", "foot", "hand_length", "foot_length"):
        for size in SIZES:
            try:
                found = body(measure, size=size)  # type: ignore[arg-type]
            except InputError:
                continue
            for um in (found.um - 3 * found.sd_um, found.um, found.um + 3 * found.sd_um):
                assert odd(measure, um) is None, (measure, size, um)


@pytest.mark.parametrize(
    ("key", "text", "says"),
    [
        ("head", "54 cm", None),
        ("head", "54 in", "head of 137.2 cm (54.0 in): more than any; was cm meant, not in?"),
        ("head", "54 mm", "head of 54.0 mm: less than any; was cm meant, not mm?"),
        ("head", "3 m", "head of 300.0 cm (118.1 in): more than any"),
        ("pitch", "3/8 in", None),
        ("pitch", "3/8 cm", "pitch of 3.8 mm: less than any; was in meant, not cm?"),
        ("pitch", "9.5 cm", "pitch of 95.0 mm: more than any; was mm meant, not cm?"),
        ("base_gap", "3 mm", None),
        ("age", "9 years", None),
        ("name", "54 in", None),
        ("head", "fifty", None),
    ],
)
def test_what_is_odd_and_what_was_meant(key: str, text: str, says: str | None) -> None:
    """By the limits of figures.toml (own); a key without limits, or no length at all, is not judged here."""
    assert odd_text(key, text) == says


def test_the_built_in_kit_has_nothing_odd() -> None:
    assert list(odd_in(built_in_kit())) == []
