"""The public door: what the command line, the browser and a notebook call. Everything heavy is imported when used.

    >>> from solver import find, load_kit, wish
    >>> kit = load_kit("examples/lantern-hall/kit.toml")
    >>> report = find(kit, wish("hat", around="21 in", top=1))
    >>> report.format, report.complete
    ('pegwright.find.v1', True)

Whatever is wrong with what goes in is an InputError: `faults` for the words of an ask, each with its `field`,
`problems` for a file, each with its key and line.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Never, Unpack

from catalog.errors import Fault, InputError, bad_word, shown

if TYPE_CHECKING:
    from catalog.kit import Kit
    from solver.asking.wish import Wish
    from solver.asking.words import Words
    from solver.formats.blocks import Sheet
    from solver.plan.answer import Answer
    from solver.plan.saved import SavedPlan
    from solver.report.adjust import AdjustReport
    from solver.report.check import CheckReport, SizesReport, SpanReport
    from solver.report.clash import ClashReport
    from solver.report.find import FindReport
    from solver.report.gauge import GaugeReport


def load_kit(path: "str | Path | None" = None) -> "Kit":
    """The kit in a file, or in a folder with a kit.toml; without a path, the small one that the program carries.

    Raises InputError that names file, key and line.

    >>> [loom.name for loom in load_kit("examples/one-ring").loom]
    ['porch ring']
    """
    from catalog.kit import built_in_kit
    from catalog.kit import load_kit as read
    from catalog.kitplace import in_folder

    if path is None:
        return built_in_kit()
    if not isinstance(path, str | Path):
        raise _not_a("kit", path, "the name of a kit file")
    try:
        return read(in_folder(Path(path)))
    except (OSError, ValueError) as error:
        raise _not_a("kit", str(path), f"the name of a file that can be read ({error})") from None


def wish(item: str, *misplaced: Never, kit: "Kit | None" = None, **words: "Unpack[Words]") -> "Wish":
    """What is wanted, in the words of the command line: `around="21 in"`, `fit="snug"`, `girth_within="1 in"`, `top=3`.

    With a kit, the names of its looms, yarns and wearers are looked up too. Raises one InputError with a fault for
    each word that is wrong.

    >>> wish("hat", around="21 in", fit="snug").around_um
    533400
    >>> wish("hat", around="21", fit="loos")
    Traceback (most recent call last):
        ...
    catalog.errors.InputError: around: found "21", expected a length with its unit, such as "21 in"
      hint: a bare number has no unit: write "21 in"
    fit: found "loos", expected one of loose, true, close, snug
      hint: did you mean "loose"?
    """
    from solver.asking.names import named
    from solver.asking.words import wish_of

    read = wish_of(item, words, misplaced)
    return read if kit is None else named(_kit(kit), read)


def find(kit: "Kit", wish: "Wish") -> "FindReport | ClashReport":
    """The ranked, proven setups; where none holds all rules, why not and the least repairs. Lengths in mm, yarn in m.

    A search that `seconds` cut short is a FindReport whose `complete` is False.

    >>> kit = load_kit("examples/one-ring")
    >>> find(kit, wish("hat", around="40 in")).format
    'pegwright.clash.v1'
    """
    got = answer(kit, wish)
    return got.report if got.report.options or not got.report.complete else explained(kit, wish, got)


def answer(kit: "Kit", wish: "Wish") -> "Answer":
    """What `find` reports, with the ask and the setups behind it: a plan, a page, an explanation are made of it."""
    from solver.plan.answer import answer as answered

    kit, wish = _asked(kit, wish)
    return answered(kit, wish, wish.top, all_pegs=wish.all_pegs, seconds=wish.seconds)


def why_not(kit: "Kit", wish: "Wish") -> "ClashReport | None":
    """Why no setup holds all rules, and the least repairs; None where one does, or where time ran out."""
    got = answer(kit, wish)
    return None if got.report.options or not got.report.complete else explained(kit, wish, got)


def explained(kit: "Kit", wish: "Wish", nothing: "Answer") -> "ClashReport":
    """Why not, of an answer that found nothing."""
    from solver.why.explain import explain

    return explain(*_asked(kit, wish), nothing.ask)


def check(kit: "Kit", wish: "Wish") -> "CheckReport | SpanReport":
    """Does each loom allow this size? For a wish without a size, the girths that each loom can make of the item.

    >>> [(each.loom, each.allows) for each in check(load_kit("examples/one-ring"), wish("hat", around="40 in")).looms]
    [('porch ring', False)]
    """
    from solver.why.check import check as checked
    from solver.why.span import has_size, span

    kit, wish = _asked(kit, wish)
    return checked(kit, wish) if has_size(wish) else span(kit, wish)


def sizes(kit: "Kit", wish: "Wish", sizes: "str | Sequence[str] | None" = None) -> "SizesReport":
    """One item over a run of sizes: "15in,17in" or names such as "adult-woman"; without, every body of the catalogue.

    >>> [row.size for row in sizes(load_kit("examples/one-ring"), wish("hat"), "50 cm, adult-man").rows]
    ['50.0 cm', 'adult-man']
    """
    from solver.why.sizes import sizes as graded

    if sizes is not None and not isinstance(sizes, str):
        if not isinstance(sizes, list | tuple) or not all(isinstance(each, str) for each in sizes):
            raise bad_word("sizes", sizes, "sizes with commas between, such as 15in,17in,21in")
        sizes = ",".join(sizes)
    return graded(*_asked(kit, wish), sizes)


def gauge(kit: "Kit", wish: "Wish | None" = None, **words: "Unpack[Words]") -> "GaugeReport":
    """Stitches and rows of every setting, each with its basis and spread; with a wish, the swatch to knit next for it.

    `words` narrow the settings: loom, yarn, spacers, strands, stitch, gauge="measured".

    >>> {row.basis for row in gauge(load_kit("examples/one-ring"), gauge="measured").gauges} <= {"measured"}
    True
    """
    from solver.asking.names import pinned
    from solver.gauging.table import gauge_report
    from solver.plan.next_swatch import with_next

    pins, stitch, measured = pinned(_kit(kit), words)
    report = gauge_report(kit, pins, stitch, measured_only=measured)
    return report if wish is None else with_next(report, *_asked(kit, wish), wish.seconds)


def adjust(
    kit: "Kit", plan: "SavedPlan | str | Path", *, rows_done: int, stitches: "str | Sequence[str]",
    rows: "str | Sequence[str]",
) -> "AdjustReport":  # fmt: skip
    """A piece half-way on the loom, and what was counted on it ("17 over 4 in", once or more): what now?

    `plan` is a saved plan or its file; `rows_done` are the rows worked, the loops cast on not counted.
    """
    from solver.asking.read import ask_counts, ask_whole
    from solver.asking.words import Reading
    from solver.halfway.adjust import adjust as adjusted

    told = Reading({"rows_done": rows_done, "stitches": stitches, "rows": rows})
    done, wide, high = (
        told.take("rows_done", ask_whole(0, 10_000)),
        *(told.take(w, ask_counts) for w in ("stitches", "rows")),
    )
    told.done()
    return adjusted(_kit(kit), load_plan(plan), done or 0, wide or [], high or [])


def sheet(kit: "Kit", wish: "Wish", option: int = 1, words: str = "us") -> "Sheet | FindReport | ClashReport":
    """The page to follow at the loom, for the best or a chosen option, in neutral blocks; `words` is "us" or "uk".

    `solver.formats` turns it into text, Markdown or HTML. Where there is no setup, what `find` says.
    """
    from dataclasses import replace

    from solver.asking.read import ask_whole
    from solver.page.contents import sheet_of

    rank = ask_whole(1, 1000)("option", option)
    got = answer(kit, replace(_wish(wish), top=rank))
    if not got.report.options:
        return got.report if not got.report.complete else explained(kit, wish, got)
    return sheet_of(plan_of(got, wish, option=rank), words, "PLAN.json")


def plan_of(answer: "Answer", wish: "Wish", kit: str | None = None, option: int = 1) -> "SavedPlan":
    """One option of an answer as a plan that can be kept; `kit` is the kit's file."""
    from solver.plan.saved import plan_of as planned

    return planned(answer, _wish(wish), kit, option)


def load_plan(plan: "SavedPlan | str | Path") -> "SavedPlan":
    """The plan in a file. Raises InputError that says what was found and what was expected."""
    from solver.plan.saved import SavedPlan
    from solver.plan.saved import load_plan as read

    if isinstance(plan, SavedPlan):
        return plan
    if not isinstance(plan, str | Path):
        raise _not_a("plan", plan, "a saved plan, or the name of its file")
    return read(Path(plan))


def _asked(kit: "Kit", wish: "Wish") -> "tuple[Kit, Wish]":
    """Kit and wish as they belong together: names as they stand in the kit, recipes beside it."""
    from solver.asking.names import named

    return _kit(kit), named(kit, _wish(wish))


def _kit(kit: object) -> "Kit":
    from catalog.kit import Kit

    if not isinstance(kit, Kit):
        raise _not_a("kit", kit, "what load_kit returns")
    return kit


def _wish(wish: object) -> "Wish":
    from solver.asking.wish import Wish

    if not isinstance(wish, Wish):
        raise _not_a("wish", wish, "what wish returns")
    return wish


def _not_a(field: str, found: object, expected: str) -> InputError:
    return InputError("", Fault(field, shown(found), expected))
