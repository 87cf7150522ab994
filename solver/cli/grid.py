"""Tables on a terminal: plain rules, every cell as it is (a name is never read as markup), folded to the width."""

from collections.abc import Iterable, Iterator, Sequence

import typer
from rich import box
from rich.console import Console
from rich.table import Table
from rich.text import Text

from solver.cli.columns import aligned

LONG = 1_000  # rows from which on a table is printed plainly


def grid(title: str, columns: Sequence[str], rows: Iterable[Sequence[object]]) -> Table:
    """A table; a column whose name starts with "#" is of numbers and stands to the right."""
    table = Table(
        title=title or None, title_justify="left", title_style="bold", box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0)
    )
    for name in columns:
        table.add_column(
            Text(name.removeprefix("#")), justify="right" if name.startswith("#") else "left", overflow="fold"
        )
    for row in rows:
        table.add_row(*(Text(_cell(value)) for value in row))
    return table


def show(*tables: Table) -> None:
    """Print tables to stdout at the width of the terminal, 80 where there is none."""
    console = Console(highlight=False, markup=False)
    for table in tables:
        if table.row_count > LONG:
            typer.echo("\n".join(_plainly(table, console.width)))
        else:
            console.print(table)


def _plainly(table: Table, width: int) -> Iterator[str]:
    """Its title and columns without rules: rich measures every cell several times over."""
    yield from (str(table.title),) if table.title else ()
    cells = [[str(column.header), *(str(cell) for cell in column.cells)] for column in table.columns]
    right = frozenset(i for i, column in enumerate(table.columns) if column.justify == "right")
    yield from aligned(list(zip(*cells, strict=True)), right, width=width)
    yield ""


def _cell(value: object) -> str:
    if value is None or value == "":
        return "-"
    return f"{value:.2f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)
