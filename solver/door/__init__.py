"""Words, a kit and saved plans in; reports, plans and pages out. The command line, the browser, a notebook call this.

    >>> from solver import find, load_kit, wish
    >>> kit = load_kit("examples/lantern-hall/kit.toml")
    >>> report = find(kit, wish("hat", around="21 in", top=1))
    >>> report.format, report.complete
    ('pegwright.find.v1', True)

What is heavy is imported when it is used. Whatever is wrong with what goes in is an InputError: `faults` for the words
of an ask, each with its `field`, `problems` for a file, each with its key and line. Undecided: `seconds` were up.
"""

from catalog.errors import InputError
from solver.door.answers import answer, check, explained, find, gauge, sizes, why_not
from solver.door.asks import load_kit, one_word, wish
from solver.door.batches import batch, batch_sheet, page_names, pages, planned, read_asks, text_asks
from solver.door.kits import doubts_of, judged, rules, setting_words
from solver.door.lines import check_lines, clash_lines, is_late, next_line, per_length, spacers, unit_in
from solver.door.plans import adjust, kept_as, kit_places, load_plan, plan_of, save_plan, sheet
from solver.model.timing import Undecided, within

__all__ = [
    "InputError",
    "Undecided",
    "adjust",
    "answer",
    "batch", "batch_sheet",
    "check",
    "check_lines",
    "clash_lines",
    "doubts_of",
    "explained",
    "find",
    "gauge",
    "is_late",
    "judged",
    "kept_as", "kit_places",
    "load_kit",
    "load_plan",
    "next_line",
    "one_word",
    "page_names",
    "pages",
    "per_length",
    "plan_of",
    "planned",
    "read_asks",
    "rules",
    "save_plan",
    "setting_words",
    "sheet",
    "sizes",
    "spacers", "text_asks",
    "unit_in",
    "why_not",
    "wish",
    "within",
]  # fmt: skip
