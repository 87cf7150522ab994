"""Tables on a terminal: plain rules, every cell as it is (a name is never read as markup), folded to the width."""

from collections.abc import Iterable, Sequence

from rich import box
from rich.console import Console
from rich.table import Table
from rich.text import Text


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
        console.print(table)


def _cell(value: object) -> str:
    if value is None or value == "":
        return "-"
    return f"{value:.2f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)
