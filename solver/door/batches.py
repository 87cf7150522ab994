"""Many asks and one kit in; who gets which setup, and when, out."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from catalog.errors import bad_word
from solver.door.asks import a_kit, asked, wish

if TYPE_CHECKING:
    from catalog.kit import Kit
    from solver.asking.wish import Wish
    from solver.formats.blocks import Sheet
    from solver.many.batch import BatchAnswer
    from solver.many.gather import Asks, Wanted
    from solver.report.batch import BatchReport


class Rows(NamedTuple):
    """The asks of a batch, read and borne out by the kit."""

    asks: "Asks"
    wanted: "list[Wanted]"


def read_asks(kit: "Kit", file: "str | Path", recipes: Path | None = None) -> Rows:
    """The rows of a CSV file. Raises InputError with every fault, each by its row and column."""
    from solver.many.gather import Asks
    from solver.many.rows import read_rows

    asks = Asks(a_kit(kit))
    return Rows(asks, read_rows(Path(file), asks, _reader(kit, recipes)))


def text_asks(kit: "Kit", text: str, recipes: Path | None = None) -> Rows:
    """The rows of a CSV text. Raises InputError with every fault, each by its row and column."""
    from solver.many.gather import Asks
    from solver.many.rows import rows_of

    if not isinstance(text, str):
        raise bad_word("asks", text, "the text of a CSV file")
    asks = Asks(a_kit(kit))
    return Rows(asks, rows_of(text, "", asks, _reader(kit, recipes)))


def _reader(kit: "Kit", recipes: Path | None) -> "Callable[[str, Mapping[str, Any]], Wish]":
    """How a row's words are read: as those of any ask."""

    def read(item: str, words: Mapping[str, Any]) -> "Wish":
        return wish(item, kit=kit, recipes=recipes, **words)

    return read


def batch(
    kit: "Kit", asks: "str | Path | Rows | Iterable[tuple[str, Wish]]", *, turns: int | str | None = None,
    buy: bool = False, seconds: float | None = None,
) -> "BatchReport":  # fmt: skip
    """Who gets which setup so that most are likely to fit. `asks`: a CSV file, or names each with a wish.

    `turns`: each loom is worked at most so often; `buy`: more yarn may be had.

    >>> from solver import load_kit
    >>> pair = [("wren", wish("hat", around="19 in")), ("finch", wish("hat", around="21 in"))]
    >>> batch(load_kit("examples/lantern-hall"), pair).served
    2
    """
    return planned(kit, asks, turns=turns, buy=buy, seconds=seconds).report


def planned(
    kit: "Kit", asks: "str | Path | Rows | Iterable[tuple[str, Wish]]", *, turns: int | str | None = None,
    buy: bool = False, seconds: float | None = None, since: float | None = None,
    tell: Callable[[int], None] = lambda _: None,
) -> "BatchAnswer":  # fmt: skip
    """The same with what stands behind the report: what sheets are made from.

    `seconds` counts from `since`, a time.monotonic() value, else from now; `tell` hears of each part of the work done.
    """
    from solver.asking.read import ask_seconds, ask_whole
    from solver.many.batch import plan_batch
    from solver.model.timing import within

    times = None if turns is None else ask_whole(1, 1000)("turns", turns)
    seconds = None if seconds is None else ask_seconds("seconds", seconds)
    rows = _rows(kit, asks)
    with within(seconds, since=since):
        return plan_batch(rows.asks, rows.wanted, turns=times, buy=buy, tell=tell)


def page_names(rows: Rows) -> list[str]:
    """The name of every file that the pages of a batch may take: the class page, then one for each copy."""
    from solver.page.batch_pages import CLASS, file_names

    return [CLASS, *(name for names in file_names([(w.name, w.copies) for w in rows.wanted]) for name in names)]


def batch_sheet(got: "BatchAnswer", words: str = "us", unit: str | None = None) -> "Sheet":
    """The page of a whole plan, in neutral blocks: who works where and when, the yarn, who goes without."""
    from solver.page.batch_pages import batch_page
    from solver.terms import Terms

    return batch_page(got.report, Terms(words, unit or got.wanted[0].wish.unit))


def pages(kit: "Kit", got: "BatchAnswer", words: str = "us", unit: str | None = None) -> "Iterator[tuple[str, str]]":
    """The pages of a plan, each with the name of its file, as HTML: one for each piece, then the class page."""
    from solver.formats.html import html_of
    from solver.page.batch_pages import CLASS, file_names, piece_page
    from solver.terms import Terms

    names = file_names([(w.name, w.copies) for w in got.wanted])
    for at, each in enumerate(got.placed):
        terms = Terms(words, unit or got.wanted[each.served.row].wish.unit)
        yield names[each.served.row][each.served.copy], html_of(piece_page(got, at, a_kit(kit), terms))
    yield CLASS, html_of(batch_sheet(got, words, unit))


def _rows(kit: "Kit", asks: object) -> Rows:
    from solver.many.gather import Asks, Wanted

    if isinstance(asks, Rows):
        return asks
    if isinstance(asks, str | Path):
        return read_asks(kit, asks)
    pairs: Sequence[object] = list(asks) if isinstance(asks, Iterable) else []
    book, wanted = Asks(a_kit(kit)), []
    for pair in pairs:
        if not (isinstance(pair, tuple | list) and len(pair) == 2 and isinstance(pair[0], str)):
            raise bad_word("asks", pair, "a name and what wish returns")
        wanted.append(Wanted(pair[0], asked(kit, pair[1])[1]))
        book.ask(wanted[-1].wish)
    if not wanted:
        raise bad_word("asks", None if pairs else asks, "a CSV file, or names each with a wish")
    return Rows(book, wanted)
