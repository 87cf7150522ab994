"""A list of asks with something wrong, or made from the words that a list may have."""

import csv
import io
from random import Random

from catalog.item import item_names
from tests.fuzz import odd

COLUMNS = (
    "name", "item", "copies", "priority", "around", "across", "body", "wearer", "size", "age", "sex", "wide", "long",
    "fit", "ease", "rib", "band",
    "stitch", "bind-off", "loom", "yarn", "pegs", "spacers", "strands", "gauge", "girth-within", "length-within",
    "sure", "yarn-price", "risk-weight",
)  # fmt: skip
FAIR = {
    "copies": ("1", "2"), "priority": ("1", "9"), "around": ("21 in", "54 cm"), "across": ("5 in",), "body": ("22 in",
    "54 cm"),
    "size": ("adult-woman", "6 years"), "age": ("7 years", "18 months"), "sex": ("female", "male"), "wide": ("8 in",),
    "long": ("9 in",),
    "fit": ("snug", "loose"), "ease": ("-1 in",), "rib": ("1x1", "2x2"), "band": ("2 in", "1in..2in"),
    "stitch": ("u-wrap", "e-wrap"),
    "bind-off": ("sewn", "passed-over"), "loom": ("porch ring", "attic frame"), "yarn": ("moss wool",), "pegs": ("40",
    "72"), "spacers": ("0", "2"),
    "strands": ("1", "2"), "gauge": ("all", "measured"), "girth-within": ("1 in",), "length-within": ("1 in",),
    "sure": ("80%",),
    "yarn-price": ("0.1",), "risk-weight": ("1",), "wearer": ("eldest",),
}  # fmt: skip
SIZED = {"panel": ("wide", "long"), "bolster": ("around", "long"), "ball": ("around",), "toy": ("around",)}
Rows = list[list[str]]


def fair(draw: Random, word: str) -> str:
    """A value that the word may have."""
    names = {"name": ("Ada", "Ben"), "item": tuple(item_names())}
    return draw.choice(names.get(word) or FAIR[word])


def made(draw: Random) -> Rows:
    """A list from the grammar: who, what, the size that it needs, and up to two more columns."""
    more = draw.sample(COLUMNS[2:], draw.choice((0, 0, 1, 2)))
    rows = [{"name": fair(draw, "name"), **_ask(draw), **{each: fair(draw, each) for each in more}} for _ in range(3)]
    rows = rows[: draw.randrange(1, 4)]
    columns = [each for each in COLUMNS if any(each in row for row in rows)]
    return [columns, *([row.get(each, "") for each in columns] for row in rows)]


def _ask(draw: Random) -> dict[str, str]:
    item = fair(draw, "item")
    if item in SIZED:
        return {"item": item, **{each: fair(draw, each) for each in SIZED[item]}}
    size = draw.choice(("around", "size", "age"))
    return {"item": item, size: fair(draw, size)}


def spoilt(draw: Random, rows: Rows) -> Rows:
    """The rows with one change: a cell, a row or a column."""
    rows = [list(row) for row in rows]
    if not any(rows):
        return rows
    at = draw.randrange(len(rows))
    row = rows[at]
    how = draw.randrange(9)
    if how < 4 and row:
        cell = draw.randrange(len(row))
        row[cell] = odd.text(draw) if how < 2 else odd.pestered(draw, row[cell]) if how == 2 else str(odd.number(draw))
    elif how == 4:
        del rows[at]
    elif how == 5:
        rows.insert(draw.randrange(len(rows)), row)
    elif how == 6:
        column = draw.choice(COLUMNS)
        rows = [[*each, column if i == 0 else fair(draw, column)] for i, each in enumerate(rows)]
    elif how == 7:
        row[:] = row[:-1] if draw.random() < 0.5 else [*row, odd.text(draw)]
    else:
        rows[1:] = rows[1:] * draw.choice((2, 3))
    return rows


def read(text: str) -> Rows:
    """The rows of a list of ours."""
    return list(csv.reader(io.StringIO(text)))


def written(draw: Random, rows: Rows) -> str:
    """The rows as a spreadsheet would write them; now and then as none would."""
    out = io.StringIO()
    comma = draw.choice((",", ",", ",", ";", "\t"))
    csv.writer(out, delimiter=comma, lineterminator=draw.choice(("\n", "\r\n"))).writerows(rows)
    text = out.getvalue()
    how = draw.randrange(40)  # hypothesis likes the ends of a range better than its middle
    if how == 17:
        return text.replace('"', "", 1) + '"'
    return text.replace("\n", "\n\n") if how == 19 else text
