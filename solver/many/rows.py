"""The rows of a CSV file of asks: every fault by its row and column, nothing dropped in silence."""

import csv
import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import islice
from pathlib import Path

from catalog.errors import MOST_TOLD, Fault, InputError, Problem, and_more, is_printable, nearest, shown
from catalog.reading import decoded, read_bytes
from solver.asking.wish import Wish
from solver.many.gather import Asks, Wanted
from solver.model.timing import look

WORDS = (
    "around", "across", "body", "wearer", "size", "age", "sex", "wide", "long", "fit", "ease", "rib", "band", "stitch",
    "bind_off", "loom", "yarn", "pegs", "spacers", "strands", "gauge", "girth_within", "length_within", "sure",
    "yarn_price", "risk_weight",
)  # fmt: skip
OWN = ("name", "item", "copies", "priority")
LAST, MOST_COPIES, MOST_ASKS, LONGEST = 9, 1_000, 5_000, 100
LOOK = 50  # rows between two looks at the clock
MOST_READ = 500  # more faults than these are one fault made in every row
Read = Callable[[str, Mapping[str, str]], Wish]  # an item and its words, as typed; raises InputError


def read_rows(path: Path, asks: Asks, read: Read) -> list[Wanted]:
    """The rows of a file. Raises InputError with every fault, each by its row and column."""
    data = read_bytes(path, str(path), "a CSV file of asks", "its first row names the columns: name, item, size, …")
    return rows_of(decoded(data, str(path)), str(path), asks, read)


def rows_of(text: str, source: str, asks: Asks, read: Read) -> list[Wanted]:
    """The rows of a CSV text whose first row names the columns. Raises InputError with every fault."""
    lines = list(islice(_lines(text, source), MOST_ASKS + 2))
    if len(lines) > MOST_ASKS + 1:  # each is a piece at least: none of them is read
        raise InputError(source, Problem("", f"found more than {MOST_ASKS:,} rows, expected at most so many pieces"))
    if not lines:
        raise InputError(source, Problem("", "found no row, expected one that names the columns: name, item, size, …"))
    columns = _columns(lines[0][1], source)
    wanted: list[Wanted] = []
    problems: list[Problem] = []
    for row, cells in lines[1:]:
        if len(wanted) % LOOK == LOOK - 1:
            look()
        found = list(_of_row(row, cells, columns, asks, read))
        wanted += [each for each in found if isinstance(each, Wanted)]
        problems += [each for each in found if isinstance(each, Problem)]
        if len(problems) > MOST_READ and row < lines[-1][0]:
            rest = Problem(
                "", f"and {len(problems) - MOST_TOLD:,} more down to row {row}; the rows below it were not read"
            )
            raise InputError(source, *problems[:MOST_TOLD], rest)
    total = sum(each.copies for each in wanted)
    if total > MOST_ASKS:
        problems.append(Problem("copies", f"found {total:,} pieces in all, expected at most {MOST_ASKS:,}"))
    if not problems and not wanted:
        problems.append(Problem("", "found no row below the one that names the columns"))
    if problems:
        raise InputError(source, *problems[:MOST_TOLD], *and_more(len(problems)))
    return wanted


def _lines(text: str, source: str) -> Iterator[tuple[int, list[str]]]:
    """The rows that hold anything, each with its number as a spreadsheet counts them."""
    heading = text.partition("\n")[0]
    comma = ";" if "," not in heading and ";" in heading else "\t" if "," not in heading and "\t" in heading else ","
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=comma, strict=True)
    row = 0
    try:
        for row, cells in enumerate(reader, 1):
            if any(cell.strip() for cell in cells):
                yield row, [cell.strip() for cell in cells]
    except csv.Error as error:
        raise InputError(source, Problem(f"row {row + 1}", f"found text that is not CSV: {error}")) from None


def _columns(cells: Sequence[str], source: str) -> list[str]:
    """The columns by their settled names. Raises InputError for unknown, missing and double ones."""
    known = [*OWN, *WORDS]
    columns = [cell.lower().lstrip("-").replace("-", "_").replace(" ", "_") for cell in cells]
    while columns and not columns[-1]:  # a spreadsheet's empty columns at the right
        columns.pop()
    problems = []
    for i, name in enumerate(columns):
        if name not in known:
            said = f"found {shown(cells[i])}" if name else "found a column without a name"
            hint = nearest(name, known) if name else ""
            problems.append(Problem(f"row 1, column {i + 1}", f"{said}, expected a column of a batch", hint))
        elif name in columns[:i]:
            problems.append(Problem(f"row 1, column {i + 1}", f"found {shown(cells[i])} a second time"))
    problems += [
        Problem("row 1", f"found no column {name}, expected one") for name in ("name", "item") if name not in columns
    ]
    if problems:
        raise InputError(source, *problems[:MOST_TOLD], *and_more(len(problems)))
    return columns


def _of_row(
    row: int, cells: Sequence[str], columns: Sequence[str], asks: Asks, read: Read
) -> Iterator[Wanted | Problem]:
    """The row as it is wanted, or all that is wrong with it."""
    if any(cells[len(columns) :]):
        yield Problem(f"row {row}", f"found {len(cells)} cells, expected at most {len(columns)}, one for each column")
        return
    given = {name: cell for name, cell in zip(columns, cells, strict=False) if cell}
    problems = [
        Problem(_place(row, name), "found nothing, expected " + what)
        for name, what in (("name", "whom or what it is for"), ("item", "what to make, such as hat"))
        if name not in given
    ]
    if not _named(given.get("name", "x")):
        wrong = f"found {shown(given['name'])}, expected 1 to {LONGEST} characters that can be printed"
        problems.append(Problem(_place(row, "name"), wrong))
    numbers = {}
    for name, default, most in (("copies", 1, MOST_COPIES), ("priority", LAST, LAST)):
        numbers[name] = _whole(given.get(name, str(default)), most)
        if numbers[name] is None:
            expected = f"a whole number from 1 to {most:,}" + (" (1 is first)" if name == "priority" else "")
            problems.append(Problem(_place(row, name), f"found {shown(given[name])}, expected {expected}"))
    words = {name: given[name] for name in WORDS if name in given}
    wish: Wish | None = None
    if "item" in given:
        try:
            wish = read(given["item"], words)
            asks.ask(wish)  # borne out by the kit: what it names is there, and nothing that it needs is missing
        except InputError as error:
            problems += [_by_column(row, each) for each in error.problems]
    if problems or wish is None:
        yield from problems
        return
    yield Wanted(given["name"], wish, numbers["copies"] or 1, numbers["priority"] or LAST, row)


def _by_column(row: int, wrong: Problem | Fault) -> Problem:
    """What is wrong, by its column; the item where it is of no word of the row."""
    if isinstance(wrong, Problem):
        return Problem(_place(row, "item"), wrong.problem, wrong.hint)
    said, _, hint = wrong.said(as_column).partition("\n  hint: ")
    return Problem(_place(row, wrong.field if wrong.field in WORDS else "item"), said, hint)


def as_column(field: str) -> str:
    """A word of an ask as the name of a column."""
    return field.replace("_", "-")


def _place(row: int, column: str) -> str:
    return f"row {row}, {as_column(column)}"


def _named(name: str) -> bool:
    return len(name) <= LONGEST and is_printable(name)


def _whole(text: str, most: int) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 9 and 1 <= int(text) <= most else None
