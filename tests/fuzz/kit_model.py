"""What a kit should hold after each change, reckoned with lists of its own and no code of the program's.

Names are the knitter's, so they may hold what TOML is written with; comments are told apart by a number of their own.
"""

import copy
import re
from dataclasses import dataclass, field
from typing import Any

NAMES = (
    "fern wool",
    "Öre twist",
    'tin "lid"',
    "it's",
    "a # b",
    "x]]",
    "[[yarn]]",
    "10-peg",
    "=sum",
    "back\\slash",
    "ß ½",
)
START = """# comment 0: the lantern hall, winter
kit_version = 1 # comment 1

# comment 2: stands by the window

[[loom]] # comment 3
name = "porch ring"   # comment 4: "16" by the # label
build = "ring"
pitch = "16 mm"
peg_diameter = '6 mm'
pegs = 40

[[yarn]]
name = "moss wool" # comment 5
weight = 4
length_per_ball = "200 m"
mass_per_ball = "100 g"
# comment 6: two skeins are wet
balls = 2

# comment 7: the eldest's head, in June

[[wearer]]
name = 'eldest'
head = '54 cm' # comment 8

# comment 9: before the rain

[[swatch]]
loom = "porch ring"
yarn = "moss wool" # comment 10
stitches = { count = 9, over = "4 in" } # comment 11
rows = { count = 11, over = "4 in" }
"""
COUNTED = {"stitches": {"count": 9, "over": "4 in"}, "rows": {"count": 11, "over": "4 in"}}


@dataclass
class Held:
    """An entry: its keys and values, and the comments that stand in its own lines and go with it."""

    values: dict[str, Any]
    comments: set[int] = field(default_factory=set)

    @property
    def name(self) -> str:
        """Its name; "" for a swatch."""
        return str(self.values.get("name", ""))


def first() -> dict[str, list[Held]]:
    """What START holds."""
    ring = {"name": "porch ring", "build": "ring", "pitch": "16 mm", "peg_diameter": "6 mm", "pegs": 40}
    wool = {"name": "moss wool", "weight": 4, "length_per_ball": "200 m", "mass_per_ball": "100 g", "balls": 2}
    swatch = {"loom": "porch ring", "yarn": "moss wool", **copy.deepcopy(COUNTED)}
    return {
        "loom": [Held(ring, {3, 4})],
        "yarn": [Held(wool, {5, 6})],
        "wearer": [Held({"name": "eldest", "head": "54 cm"}, {8})],
        "swatch": [Held(swatch, {10, 11})],
    }


@dataclass
class Model:
    """The tables, and the knitter's comments that are no entry's."""

    tables: dict[str, list[Held]] = field(default_factory=first)
    loose: set[int] = field(default_factory=lambda: {0, 1, 2, 7, 9})

    def names(self, table: str) -> list[str]:
        """The names in a table, in order."""
        return [each.name for each in self.tables[table]]

    def free(self) -> list[str]:
        """Names that nobody has yet, in any table."""
        taken = {name for table in self.tables for name in self.names(table)}
        return [name for name in NAMES if name not in taken]

    def swatches_of(self, table: str, name: str) -> list[Held]:
        """The swatches that name it."""
        return [each for each in self.tables["swatch"] if each.values.get(table) == name]

    def add(self, table: str, values: dict[str, Any]) -> None:
        """One more, at the end."""
        self.tables[table].append(Held(copy.deepcopy(values)))

    def take_out(self, table: str, name: str) -> None:
        """One less, and the swatches that name it."""
        self.tables[table] = [each for each in self.tables[table] if each.name != name]
        gone = self.swatches_of(table, name)
        self.tables["swatch"] = [each for each in self.tables["swatch"] if each not in gone]

    def change(self, table: str, name: str, key: str, value: Any) -> None:
        """A key of an entry; a new name goes into the swatches that name it."""
        held = self.tables[table][self.names(table).index(name)]
        if key == "name":
            for each in self.swatches_of(table, name):
                each.values[table] = value
        held.values[key] = value

    def holds(self) -> dict[str, list[dict[str, Any]]]:
        """The tables as a reader of TOML should find them; one that is empty is not there."""
        return {table: [each.values for each in entries] for table, entries in self.tables.items() if entries}

    def comments(self) -> list[int]:
        """The comments that should stand in the file, each once."""
        return sorted(self.loose.union(*(each.comments for entries in self.tables.values() for each in entries)))


def comments_in(text: str) -> list[int]:
    """The comments that stand in a text, by their numbers."""
    return sorted(int(found) for found in re.findall(r"# comment (\d+)", text))
