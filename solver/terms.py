"""The words of the trade for readers on either side of the Atlantic, and lengths as a tape measure shows them."""

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache

from catalog.errors import bad_word, unknown_word
from catalog.shapes import HERE, read_toml
from catalog.units import CM_UM, IN_UM, half_up, length_text, yarn_text

READERS = ("us", "uk")
BASIS = {"measured": "your swatch", "blended": "from your other swatches", "estimate": "a guess"}  # of a gauge
KNITTED = {
    "bind off": "bind_off",
    "sewn bind off": "sewn_bind_off",
    "plain": "plain",
}  # titles of kinds that have two names


def known_reader(reader: str) -> str:
    """The reader if it is one of READERS. Raises InputError with the nearest."""
    if not isinstance(reader, str):
        raise bad_word("words", reader, "us or uk")
    if reader not in READERS:
        raise unknown_word("words", "words", reader, READERS)
    return reader


class Terms:
    """Words for one reader ("us" or "uk") and lengths in one unit ("in" or "cm")."""

    def __init__(self, reader: str = "us", unit: str = "cm") -> None:
        self.reader, self.unit = known_reader(reader), unit
        self.word = {key: entry[reader] for key, entry in _words().items()}

    def say(self, text: str, **values: object) -> str:
        """A sentence with its {keys} filled in, from the words and from `values`."""
        return text.format_map({**self.word, **values})

    def title(self, kind: str) -> str:
        """The title of a kind of section as this reader says it."""
        key = KNITTED.get(kind)
        return self.word[key] if key else kind

    def tape(self, um: int | Fraction) -> str:
        """A length to a quarter inch or half a centimetre; finer only where that would be nothing."""
        return (
            f"{tape_number(um, self.unit)} {self.unit}"
            if _steps(um, self.unit)
            else length_text(half_up(um), self.unit)
        )

    def between(self, low: int, high: int) -> str:
        """A span of lengths, or one length where both ends measure the same."""
        first, last = self.tape(low), self.tape(high)
        return first if first == last else f"{first.removesuffix(' ' + self.unit)} to {last}"

    def yarn(self, um: int) -> str:
        """A length of yarn in whole yards or metres."""
        return yarn_text(um, self.unit)

    @property
    def swatch(self) -> tuple[int, str]:
        """The length over which stitches are counted, µm and in words."""
        return (4 * IN_UM, "4 in") if self.unit == "in" else (10 * CM_UM, "10 cm")


def tape_number(um: int | Fraction, unit: str) -> str:
    """The number alone, rounded half up to the tape's marks: "5 1/4", "13.5"."""
    steps = _steps(um, unit)
    if unit != "in":
        return f"{steps // 2}" + (".5" if steps % 2 else "")
    whole, part = divmod(steps, 4)
    fraction = ("", "1/4", "1/2", "3/4")[part]
    return f"{whole} {fraction}".strip() if whole or not fraction else fraction


def _steps(um: int | Fraction, unit: str) -> int:
    """Quarter inches, or half centimetres."""
    return half_up(Fraction(um) * 4 / IN_UM) if unit == "in" else half_up(Fraction(um) * 2 / CM_UM)


def halves(over_um: int, each_um: int) -> str:
    """How many of `each_um` go into `over_um`, to a half, as a person counts them."""
    twice = (4 * over_um + each_um) // (2 * each_um)
    return f"{twice // 2}" + (" 1/2" if twice % 2 else "")


def count(number: int, one: str, many: str = "") -> str:
    """A number with its noun: "1 row", "2 rows"."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def lengths_said(lengths: Iterable[tuple[str, str]], whole: str = "long") -> str:
    """Lengths by their names, in words: "31 cm long, foot 24 cm, cuff 7 cm"; the first is the whole."""
    (_, first), *rest = lengths
    return ", ".join((f"{first} {whole}", *(f"{name} {length}" for name, length in rest)))


def listed(items: Iterable[object]) -> str:
    """Several things in a row: "a, b and c"."""
    words = [str(each) for each in items]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""


def some(pegs: range) -> str:
    """Pegs in words: "peg 7", "pegs 1 to 84", "pegs 1, 3, 5, … 83"."""
    if len(pegs) == 1:
        return f"peg {pegs[0]}"
    if abs(pegs.step) == 1:
        return f"pegs {pegs[0]} to {pegs[-1]}"
    if len(pegs) <= 4:
        return f"pegs {listed(pegs)}"
    return f"pegs {', '.join(map(str, pegs[:3]))}, … {pegs[-1]}"


@lru_cache(maxsize=1)
def _words() -> dict[str, dict[str, str]]:
    return read_toml(HERE / "words.toml")
