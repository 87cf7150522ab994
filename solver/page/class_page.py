"""A page for a class: one item over a run of sizes, a line for each, to hang beside the looms or hand round."""

from catalog.item import item
from catalog.units import half_up
from solver.asking.wish import Wish
from solver.formats.blocks import Cautions
from solver.formats.html import render
from solver.report.check import SizeRow, SizesReport
from solver.report.find import OptionPlan
from solver.terms import Terms, count

COLUMNS = ("Size", "Body", "Round", "Long", "Pegs", "Rows", "Loom", "Yarn", "How much")


def class_page(report: SizesReport, wish: Wish, reader: str = "us") -> str:
    """One HTML file that needs nothing else: the run as a table, what all sizes share, and what to take care of."""
    recipe, terms = item(wish.item, wish.recipes), Terms(reader, wish.unit)
    made = sum(row.option is not None for row in report.rows)
    fabric = [report.stitch, *([f"{report.rib} rib"] if report.rib else [])]
    columns = [("Wide" if recipe.flat else name) if name == "Round" else name for name in COLUMNS]
    return render(
        "class.html.j2",
        title=f"{recipe.title[:1].upper()}{recipe.title[1:]}, {count(len(report.rows), 'size')}",
        summary=f"{', '.join(fabric)}; {made} of {len(report.rows)} can be made.",
        notes=report.notes,
        columns=columns,
        rows=[_cells(row, terms) for row in report.rows],
        care=[Cautions(tuple(report.cautions))] if report.cautions else [],
    )


def _cells(row: SizeRow, terms: Terms) -> tuple[str, ...]:
    """The figures of one size as a tape shows them; of one that cannot be made, why."""
    body = "" if row.body_mm is None else terms.tape(half_up(row.body_mm * 1000))
    o = row.option
    if o is None:
        sizes = (terms.tape(half_up(mm * 1000)) for mm in (row.girth_mm, row.long_mm))
        return (row.size, body, *sizes, "", "", f"none: {row.says}", "", "")
    parts = o.pieces[0].lengths
    long = ", ".join(
        (terms.tape(half_up(parts[0].mm * 1000)), *(f"{p.name} {terms.tape(half_up(p.mm * 1000))}" for p in parts[1:]))
    )
    rows = f"{o.rows_plain} + {o.rows_band}" if o.rows_plain and o.rows_band else str(o.rows_total)
    much = terms.yarn(half_up(o.yarn_m * 1_000_000)) + (f", {count(o.balls, 'ball')}" if o.balls else "")
    strands = "" if o.strands == 1 else f", {o.strands} strands"
    pegs = ", ".join((str(o.pegs), *(f"{p.name} {p.pegs}" for p in o.pieces[1:])))
    return (
        row.size, body, terms.tape(half_up(o.girth_mm * 1000)), long, pegs, rows, _loom(o), f"{o.yarn}{strands}", much,
    )  # fmt: skip


def _loom(o: OptionPlan) -> str:
    """The loom and how it is put together."""
    if o.build != "boards":
        return o.loom
    ends = f", ends {o.end_board}" if o.end_board else ""
    work = f"{o.pegs} of its pegs" if o.pegs < 2 * (o.pegs_per_side or 0) else str(o.pegs_per_side)
    return f"{o.loom}: {' + '.join(o.side_boards)} a side, {work} in work{ends}, {count(o.spacers, 'spacer')}"
