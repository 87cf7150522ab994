"""Reports in lines and phrases, for whoever prints them."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from solver.report.adjust import AdjustReport
    from solver.report.check import CheckReport
    from solver.report.clash import ClashReport
    from solver.report.gauge import NextSwatch


def clash_lines(report: "ClashReport", *, more: bool = False) -> Sequence[str]:
    """Why not, and what would help, unfolded; `more`: all that clashes, and each loom."""
    from solver.why.explain import text_lines

    return text_lines(report, more)


def next_line(best: "NextSwatch", unit: str) -> str:
    """Which swatch to knit next, and how much surer it would make the girth; `unit` is in or cm."""
    from solver.plan.next_swatch import next_line as line

    return line(best, unit)


def is_late(report: "ClashReport") -> bool:
    """Whether the time was up before all repairs were looked for."""
    from solver.why.explain import LATE

    return LATE in report.notes


def check_lines(report: "CheckReport") -> list[str]:
    """The drawn lines: the ruler and a bar for each loom, 80 columns at most."""
    from solver.why.check import check_lines as lines

    return lines(report)


def halfway_lines(report: "AdjustReport", title: str, unit: str) -> list[str]:
    """What now, half-way: a doubted count, the verdict, the figures behind it; `title` is the item's."""
    from solver.page.halfway_words import halfway_lines as lines

    return lines(report, title, unit)


def branch_lines(report: "AdjustReport", unit: str) -> list[str]:
    """What to do if a doubted count was wrong; nothing where none is doubted."""
    from solver.page.halfway_words import branch_lines as lines

    return lines(report, unit)


def per_length(over_um: int, each_um: float) -> str:
    """How many stitches or rows go into a length, to a tenth, halves upwards."""
    from solver.gauging.table import shown

    return shown(over_um, each_um)


def spacers(count: int) -> str:
    """A count of spacers in words."""
    from solver.plan.changes import spacers as said

    return said(count)


def unit_in(sizes: str) -> str:
    """The unit of the first length in a list of sizes; cm where all are names."""
    from solver.why.sizes import unit_in as unit

    return unit(sizes)
