"""What is typed for a loom, a yarn or a wearer, piece by piece, as the entry that the kit keeps, units as typed.

What may be typed at all is the kit's own business (kit.py): here texts only become numbers, boards and tables.
"""

import re
from collections.abc import Mapping
from typing import Literal, NamedTuple

from catalog.errors import bad_word

Table = Literal["loom", "yarn", "wearer"]
Kind = Literal["text", "number", "yes", "board", "spacers"]


class Part(NamedTuple):
    """One key of an entry: how it is asked for, an example, the builds of loom that have it, whether it must be."""

    key: str
    words: str
    example: str
    kind: Kind = "text"
    builds: tuple[str, ...] = ()
    needed: bool = False
    asked: bool = True
    spare: tuple[str, ...] = ()  # builds that can be without it

    @property
    def field(self) -> str:
        """The word that it is given by: boards come one at a time."""
        return self.key.replace("_boards", "_board")

    def must(self, build: object) -> bool:
        """Whether an entry, a loom of that build, cannot be without it."""
        return self.needed and self.belongs(build) and build not in self.spare

    def belongs(self, build: object) -> bool:
        """Whether a loom of that build has it; every other entry has all its parts."""
        return not self.builds or build in self.builds


FRAME, RING, SLIDER = "boards", "ring", "slider"
PARTS: dict[Table, tuple[Part, ...]] = {
    "loom": (
        Part("name", "Name of the loom", "attic frame", needed=True),
        Part("on_hand", "How many alike", "1", "number", asked=False),
        Part("build", "Build: ring, slider (one movable end) or boards (bolted together)", "ring", needed=True),
        Part("pitch", "From the middle of one peg to the next: over ten pegs, divided by ten", "9.5 mm", needed=True),
        Part("peg_diameter", "How thick a peg is", "3 mm", needed=True),
        Part("pegs", "Pegs of the ring", "40", "number", (RING,), needed=True),
        Part("pegs_least", "Fewest pegs that can work", "16", "number", (SLIDER,), needed=True),
        Part("pegs_most", "Most pegs that can work", "96", "number", (SLIDER,), needed=True),
        Part(
            "base_gap",
            "Gap that the fabric passes through, without spacers",
            "3 mm",
            "text",
            (FRAME, SLIDER),
            True,
            spare=(SLIDER,),
        ),
        Part("spacers", "Spacers: how thick, most at a bolt, on hand", "1.6 mm, 4, 40", "spacers", (FRAME,)),
        Part("bolts_per_board", "Bolts of a board", "2", "number", (FRAME,), asked=False),
        Part("joining", "Can boards be joined end to end on a side", "no", "yes", (FRAME,)),
        Part("ends_anywhere", "Can an end be bolted at any peg of a side", "no", "yes", (FRAME,)),
        Part(
            "side_boards",
            "A side board: its name, pegs or length, on hand",
            "short: 18 pegs, 2",
            "board",
            (FRAME,),
            True,
        ),
        Part("end_boards", "An end board: its name, pegs or length, on hand", "end: 6 pegs, 2", "board", (FRAME,)),
    ),
    "yarn": (
        Part("name", "Name of the yarn", "moss wool", needed=True),
        Part("weight", "Class of the Standard Yarn Weight System, 0 lace to 7 jumbo", "4", "number", needed=True),
        Part("length_per_ball", "Length of a ball, by its label", "200 m"),
        Part("mass_per_ball", "Mass of a ball, by its label", "100 g"),
        Part("balls", "Balls that are left; none said is any amount", "2", "number"),
        Part("fibre", "Fibre", "wool"),
        Part("wraps_per_inch", "Wraps per inch, where you have wrapped it", "10", "number", asked=False),
        Part("density", "Density of the fibre", "1.31 g/cm3", asked=False),
    ),
    "wearer": (
        Part("name", "Name", "eldest", needed=True),
        Part("age", "Age", "9 years"),
        Part("head", "Head, round above the ears", "54 cm"),
        Part("hand", "Hand, round the knuckles without the thumb", "18 cm"),
        Part("hand_length", "Hand, from wrist to fingertip", "17 cm"),
        Part("foot", "Foot, round its ball", "22 cm"),
        Part("foot_length", "Foot, from heel to toe", "23 cm"),
        Part("heel", "Round heel and ankle", "30 cm", asked=False),
        Part("neck", "Neck, round", "32 cm", asked=False),
        Part("fit", "How it should sit: loose, true, close or snug", "close"),
        Part("ease", "Ease on hats and headbands instead, finished minus head", "-1 in", asked=False),
        Part("sex", "female or male, for tables", "female", asked=False),
    ),
}
_BOARD = re.compile(r"\s*(?P<name>[^:]+?)\s*:\s*(?P<size>[^,]+?)\s*(?:,\s*(?P<many>\d{1,6})\s*)?")
_PEGS = re.compile(r"(\d{1,6})\s*(?:pegs?)?", re.IGNORECASE)


def value(part: Part, text: str) -> object:
    """One answer as the kit keeps it. Raises InputError for what is no number, no board and the like."""
    if part.kind == "number":
        return _number(part, text)
    if part.kind == "yes":
        return _yes(part, text)
    if part.kind == "board":
        return board(text, part)
    return spacers(text, part) if part.kind == "spacers" else text.strip()


def board(text: str, part: Part) -> dict[str, object]:
    """ "short: 18 pegs, 2" → {name, pegs, on_hand}; by length too, "long: 290 mm"; a pair where no number is said."""
    found = _BOARD.fullmatch(text)
    if not found:
        raise bad_word(part.field, text, f'a name, its pegs or length and how many there are, such as "{part.example}"')
    pegs = _PEGS.fullmatch(found["size"])
    size: dict[str, object] = {"pegs": int(pegs[1])} if pegs else {"length": found["size"]}
    return {"name": found["name"], **size, "on_hand": int(found["many"] or 2)}


def spacers(text: str, part: Part) -> dict[str, object]:
    """ "1.6 mm, 4, 40" → {thickness, most, on_hand}."""
    parts = [each.strip() for each in text.split(",")]
    if len(parts) != 3 or not all(each.isascii() and each.isdigit() and len(each) < 7 for each in parts[1:]):
        raise bad_word(part.field, text, f'thickness, most at a bolt and how many on hand, such as "{part.example}"')
    return {"thickness": parts[0], "most": int(parts[1]), "on_hand": int(parts[2])}


def entry_of(table: Table, typed: Mapping[str, object]) -> dict[str, object]:
    """The entry of what was read, in the kit's order of keys; what is None, or empty, is left out."""
    return {part.key: typed[part.key] for part in PARTS[table] if typed.get(part.key) not in (None, [])}


def missing(table: Table, typed: Mapping[str, object]) -> list[Part]:
    """The parts that an entry cannot be without and that nobody has given."""
    build = typed.get("build")
    return [p for p in PARTS[table] if p.must(build) and typed.get(p.key) in (None, [])]


def astray(table: Table, typed: Mapping[str, object]) -> list[Part]:
    """The parts that were given and that a loom of that build does not have."""
    build = typed.get("build")
    known = any(build in p.builds for p in PARTS[table])
    return [p for p in PARTS[table] if known and not p.belongs(build) and typed.get(p.key) not in (None, [])]


def _number(part: Part, text: str) -> int | float:
    plain = text.strip()
    try:
        if not re.fullmatch(r"[+-]?\d{1,9}(\.\d{1,6})?", plain, re.ASCII):
            raise ValueError
        return float(plain) if "." in plain else int(plain)
    except ValueError:
        raise bad_word(part.field, text, f'a plain number, such as "{part.example}"') from None


def _yes(part: Part, text: str) -> bool:
    word = text.strip().lower()
    if word not in ("y", "yes", "n", "no"):
        raise bad_word(part.field, text, "yes or no")
    return word in ("y", "yes")
