"""A page for a class: one item over a run of sizes, a line for each, to hang beside the looms or hand round."""

from collections.abc import Collection, Sequence

from catalog.item import item
from catalog.units import half_up
from solver.asking.wish import Wish
from solver.formats.blocks import Cautions
from solver.formats.html import render
from solver.report.check import SizeRow, SizesReport
from solver.report.find import OptionPlan
from solver.terms import Terms, count, listed

COLUMNS = ("Size", "Body", "Round", "Long", "Pegs", "Rows", "How much")
ALIKE = "all sizes alike"  # how a note of the run begins that says no more than the line above the table


def class_page(report: SizesReport, wish: Wish, reader: str = "us") -> str:
    """One HTML file that needs nothing else: the run as a table, what all sizes share, and what to take care of."""
    recipe, terms = item(wish.item, wish.recipes), Terms(reader, wish.unit)
    made = sum(row.option is not None for row in report.rows)
    fabric = [report.stitch, *([f"{report.rib} rib"] if report.rib else [])]
    options = [row.option for row in report.rows if row.option]
    shared = _shared(options)
    told = (
        "Yarn" not in shared and "Yarn",
        ("Set up" if "Loom" in shared else "Loom") if _sets_up(options, shared) else "",
    )
    columns = [
        ("Wide" if recipe.flat else name) if name == "Round" else name for name in (*COLUMNS, *filter(None, told))
    ]
    alike = listed(shared.values())
    return render(
        "class.html.j2",
        title=f"{recipe.title[:1].upper()}{recipe.title[1:]}, {count(len(report.rows), 'size')}",
        summary=f"{', '.join(fabric)}; {made} of {len(report.rows)} can be made." + (f" All {alike}." if alike else ""),
        notes=[note for note in report.notes if not (alike and note.startswith(ALIKE))],
        columns=columns,
        rows=[_cells(row, terms, shared, len(columns)) for row in report.rows],
        care=[Cautions(tuple(report.cautions))] if report.cautions else [],
    )


def _shared(options: Sequence[OptionPlan]) -> dict[str, str]:
    """What all sizes are made on and of, where they are alike: said once, above the table."""
    said = {
        "Loom": {f"on the {o.loom}" for o in options},
        "Yarn": {f"in {_yarn(o)}" for o in options},
    }
    return {name: next(iter(words)) for name, words in said.items() if len(words) == 1}


def _cells(row: SizeRow, terms: Terms, shared: Collection[str], columns: int) -> tuple[str, ...]:
    """The figures of one size as a tape shows them; of one that cannot be made, why."""
    body = "" if row.body_mm is None else terms.tape(half_up(row.body_mm * 1000))
    o = row.option
    if o is None:
        sizes = (terms.tape(half_up(mm * 1000)) for mm in (row.girth_mm, row.long_mm))
        return (row.size, body, *sizes, *("" for _ in range(columns - 5)), f"none: {row.says}")
    parts = o.pieces[0].lengths
    long = ", ".join(
        (terms.tape(half_up(parts[0].mm * 1000)), *(f"{p.name} {terms.tape(half_up(p.mm * 1000))}" for p in parts[1:]))
    )
    rows = f"{o.rows_plain} + {o.rows_band}" if o.rows_plain and o.rows_band else str(o.rows_total)
    much = terms.yarn(half_up(o.yarn_m * 1_000_000)) + (f", {count(o.balls, 'ball')}" if o.balls else "")
    pegs = ", ".join((str(o.pegs), *(f"{p.name} {p.pegs}" for p in o.pieces[1:])))
    figures = (row.size, body, terms.tape(half_up(o.girth_mm * 1000)), long, pegs, rows, much)
    yarn = () if "Yarn" in shared else (_yarn(o),)
    return (*figures, *yarn, *([_loom(o, "Loom" in shared)] if len(figures) + len(yarn) < columns else []))


def _yarn(o: OptionPlan) -> str:
    return o.yarn if o.strands == 1 else f"{o.yarn}, {o.strands} strands"


def _sets_up(options: Sequence[OptionPlan], shared: Collection[str]) -> bool:
    """Whether a column has anything to say of looms: which one, or how it is put together."""
    return "Loom" not in shared or any(o.build == "boards" for o in options)


def _loom(o: OptionPlan, known: bool) -> str:
    """The loom and how it is put together; where it is known which one, only how."""
    if o.build != "boards":
        return "" if known else o.loom
    ends = f", ends {o.end_board}" if o.end_board else ""
    work = f"{o.pegs} of its pegs" if o.pegs < 2 * (o.pegs_per_side or 0) else str(o.pegs_per_side)
    how = f"{' + '.join(o.side_boards)} a side, {work} in work{ends}, {count(o.spacers, 'spacer')}"
    return how if known else f"{o.loom}: {how}"
