"""A Kit and a Wish in, a report out: the models that --json prints."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Unpack

from catalog.errors import bad_word
from solver.door.asks import a_kit, a_wish, asked
from solver.model.timing import Undecided, within

if TYPE_CHECKING:
    from catalog.kit import Kit
    from solver.asking.wish import Wish
    from solver.asking.words import Words
    from solver.plan.answer import Answer
    from solver.report.check import CheckReport, SizesReport, SpanReport
    from solver.report.clash import ClashReport
    from solver.report.find import FindReport
    from solver.report.gauge import GaugeReport


def find(kit: "Kit", wish: "Wish") -> "FindReport | ClashReport":
    """The ranked, proven setups; where none holds all rules, why not and the least repairs. Lengths in mm, yarn in m.

    A search that `seconds` cut short is a FindReport whose `complete` is False; Undecided is raised where nothing of a
    clash could be said in them.

    >>> kit = load_kit("examples/one-ring")
    >>> find(kit, wish("hat", around="40 in")).format
    'pegwright.clash.v1'
    """
    with within(a_wish(wish).seconds):
        got = answer(kit, wish)
        return got.report if got.report.options or not got.report.complete else explained(kit, wish, got)


def answer(kit: "Kit", wish: "Wish") -> "Answer":
    """What `find` reports, with the ask and the setups behind it: a plan, a page, an explanation are made of it."""
    from solver.plan.answer import answer as answered

    kit, wish = asked(kit, wish)
    with within(wish.seconds):
        return answered(kit, wish, wish.top, all_pegs=wish.all_pegs)


def why_not(kit: "Kit", wish: "Wish") -> "ClashReport | None":
    """Why no setup holds all rules, and the least repairs; None where one does. Raises Undecided where time ran out."""
    with within(a_wish(wish).seconds):
        got = answer(kit, wish)
        if got.report.options:
            return None
        if not got.report.complete:
            raise Undecided("no setup is known yet, and none is ruled out")
        return explained(kit, wish, got)


def explained(kit: "Kit", wish: "Wish", nothing: "Answer") -> "ClashReport":
    """Why not, of an answer that found nothing. Raises Undecided where there was no time left to say it."""
    from solver.why.explain import explain

    try:
        return explain(*asked(kit, wish), nothing.ask)
    except Undecided:
        raise Undecided("proven: no setup holds all rules; not yet: why") from None


def check(kit: "Kit", wish: "Wish") -> "CheckReport | SpanReport":
    """Does each loom allow this size? For a wish without a size, the girths that each loom can make of the item.

    >>> [(each.loom, each.allows) for each in check(load_kit("examples/one-ring"), wish("hat", around="40 in")).looms]
    [('porch ring', False)]
    """
    from solver.why.check import check as checked
    from solver.why.span import has_size, span

    kit, wish = asked(kit, wish)
    with within(wish.seconds):
        return checked(kit, wish) if has_size(wish) else span(kit, wish)


def sizes(
    kit: "Kit", wish: "Wish", sizes: "str | Sequence[str] | None" = None, same: "Sequence[str]" = ()
) -> "SizesReport":
    """One item over a run of sizes: "15in,17in" or names such as "adult-woman"; without, every body of the catalogue.

    `same` holds "loom", "yarn" or "spacers" alike over the whole run, chosen for all of it.

    >>> [row.size for row in sizes(load_kit("examples/one-ring"), wish("hat"), "50 cm, adult-man").rows]
    ['50.0 cm', 'adult-man']
    """
    from solver.why.sizes import sizes as graded

    if sizes is not None and not isinstance(sizes, str):
        if not isinstance(sizes, list | tuple) or not all(isinstance(each, str) for each in sizes):
            raise bad_word("sizes", sizes, "sizes with commas between, such as 15in,17in,21in")
        sizes = ",".join(sizes)
    kit, wish = asked(kit, wish)
    with within(wish.seconds):
        return graded(kit, wish, sizes, _same(same))


def _same(same: object) -> "Sequence[str]":
    """One word or several of what a run holds alike; which there are is known further in."""
    words = (same,) if isinstance(same, str) else same
    if not isinstance(words, list | tuple | set | frozenset) or not all(isinstance(each, str) for each in words):
        raise bad_word("same", same, "loom, yarn or spacers, or some of them")
    return tuple(words)


def gauge(kit: "Kit", wish: "Wish | None" = None, **words: "Unpack[Words]") -> "GaugeReport":
    """Stitches and rows of every setting, each with its basis and spread; with a wish, the swatch to knit next for it.

    `words` narrow the settings: loom, yarn, spacers, strands, stitch, gauge="measured".

    >>> {row.basis for row in gauge(load_kit("examples/one-ring"), gauge="measured").gauges} <= {"measured"}
    True
    """
    from solver.asking.names import pinned
    from solver.gauging.table import gauge_report
    from solver.plan.next_swatch import with_next

    pins, stitch, measured = pinned(a_kit(kit), words)
    report = gauge_report(kit, pins, stitch, measured_only=measured)
    if wish is None:
        return report
    kit, wish = asked(kit, wish)
    with within(wish.seconds):
        return with_next(report, kit, wish)
