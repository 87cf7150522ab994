"""A line of text that shows which girths are in reach, with the gaps between them, against the one that is wanted."""

from collections.abc import Iterable
from dataclasses import dataclass

from catalog.units import length_text

REACHED, GAP, WANTED, MET = "=", ".", "|", "#"


@dataclass(frozen=True, slots=True)
class Scale:
    """A run of `columns` columns from `low` to `high` µm; every column covers the same length."""

    low: int
    high: int
    columns: int

    def column(self, um: int) -> int:
        """The column of a length that lies on the scale."""
        width = max(1, self.high - self.low)
        return min(self.columns - 1, (um - self.low) * self.columns // width)

    def line(self, girths: Iterable[int], wanted: int) -> str:
        """One character a column: in reach or a gap, and the girth wanted."""
        reached = {self.column(g) for g in girths}
        marks = [REACHED if c in reached else GAP for c in range(self.columns)]
        at = self.column(wanted)
        marks[at] = MET if at in reached else WANTED
        return "".join(marks)

    def ruler(self, wanted: int, unit: str) -> str:
        """A pointer with the girth wanted, and the ends of the scale where it leaves room for them."""
        words = length_text(wanted, unit)
        at, mark = self.column(wanted), f"v {words}"
        if at + len(mark) > self.columns:
            at, mark = at - len(words) - 1, f"{words} v"
        row = [" "] * self.columns
        row[at : at + len(mark)] = mark
        low, high = length_text(self.low, unit), length_text(self.high, unit)
        for text, start in ((low, 0), (high, self.columns - len(high))):
            if not "".join(row[max(0, start - 1) : start + len(text) + 1]).strip():
                row[start : start + len(text)] = text
        return "".join(row).rstrip()


def scale_for(girths: Iterable[int], wanted: int, columns: int) -> Scale:
    """A scale that holds every girth and the one wanted, and no more."""
    each = [*girths, wanted]
    return Scale(min(each), max(each) + 1, columns)
