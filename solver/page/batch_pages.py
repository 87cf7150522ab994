"""The pages of a batch: one for the whole class in front, and a sheet for each piece with its turn on it."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from catalog.units import half_up
from solver.formats.blocks import Cautions, Facts, Part, Points, Sheet
from solver.page.contents import sheet_of
from solver.plan.changes import spacers
from solver.plan.saved import plan_of
from solver.report.batch import AssignedPlan, BatchReport, UnservedPlan
from solver.report.find import OptionPlan
from solver.terms import Terms, count, listed

if TYPE_CHECKING:
    from catalog.kit import Kit
    from solver.many.batch import BatchAnswer


CLASS = "index.html"


def batch_page(report: BatchReport, terms: Terms) -> Sheet:
    """Who works where and when, what to wind off, what is left, who goes without."""
    copies = Counter((e.name, e.row) for e in (*report.assigned, *report.unserved))
    parts = [*_looms(report, copies, terms), Part("yarn", "Yarn", (Facts(tuple(_yarn(report, terms))),))]
    if report.unserved:
        without = tuple(f"{whom(e, copies)}, {e.item}: {e.says}." for e in report.unserved)
        parts.append(Part("without", "Without", (Points(without),)))
    if report.cautions:
        parts.append(Part("care", "Take care", (Cautions(tuple(report.cautions)),)))
    summary = (
        f"{report.likely_to_fit:.1f} of them likely to fit, {count(report.changes, 'change')} to the looms. Each winds "
        "off its own yarn before it begins: two cannot draw from one ball."
    )
    return Sheet(f"{report.served} of {report.asked} pieces", summary, tuple(parts))


def piece_page(got: "BatchAnswer", at: int, kit: "Kit", terms: Terms) -> Sheet:
    """The sheet of one assigned copy, with whom it is for and its turn in front."""
    each = got.report.assigned[at]
    wish = replace(got.wanted[got.placed[at].served.row].wish, unit=terms.unit)
    sheet = sheet_of(plan_of(got.answer(at, kit), wish), terms.reader)
    copies = Counter((e.name, e.row) for e in (*got.report.assigned, *got.report.unserved))
    facts = (("Loom", _place(each.option.loom, each.loom_no, each.turn)), ("Wind off", _wind(each, terms)))
    before = (Points(tuple(each.changes)),) if each.changes else ()
    turn = Part("turn", "Your turn", (Facts(facts), *before))
    return replace(sheet, title=f"{whom(each, copies)}: {sheet.title}", parts=(turn, *sheet.parts))


def file_names(asked: Sequence[tuple[str, int]]) -> list[list[str]]:
    """The file of every copy of every row, given its name and copies: numbered, with what is plain of the name."""
    return [
        [f"{row:03}-{_plain(name)}{f'-{copy}' if copies > 1 else ''}.html" for copy in range(1, copies + 1)]
        for row, (name, copies) in enumerate(asked, 1)
    ]


def whom(each: AssignedPlan | UnservedPlan, copies: Counter[tuple[str, int]]) -> str:
    """Whom it is for, and which of how many."""
    many = copies[each.name, each.row]
    return each.name + (f" {each.copy_}/{many}" if many > 1 else "")


def _plain(name: str) -> str:
    words = "".join(c if c.isascii() and c.isalnum() else "-" for c in name.lower()).split("-")
    return "-".join(word for word in words if word)[:40] or "page"


def _looms(report: BatchReport, copies: Counter[tuple[str, int]], terms: Terms) -> Iterator[Part]:
    work: dict[tuple[str, int], list[tuple[int, str]]] = {}
    for each in report.assigned:
        o = each.option
        before = f" Before it: {'; '.join(each.changes)}." if each.changes else ""
        said = (
            f"Turn {each.turn}, {whom(each, copies)}: {each.item} on {count(o.pegs, 'peg')}, "
            f"{count(o.rows_total, 'row')}{_built(o)}; {_wind(each, terms)}.{before}"
        )
        work.setdefault((o.loom, each.loom_no), []).append((each.order, said))
        for other in each.elsewhere:
            before = f" Before it: {'; '.join(other.changes)}." if other.changes else ""
            said = f"Turn {other.turn}, {whom(each, copies)}: {listed(other.pieces)} of the {each.item}.{before}"
            work.setdefault((other.loom, other.loom_no), []).append((other.order, said))
    many = {loom for loom, number in work if number > 1}
    for i, ((loom, number), jobs) in enumerate(sorted(work.items(), key=lambda entry: min(entry[1])), 1):
        title = loom + (f", number {number}" if loom in many else "")
        yield Part(f"loom-{i}", title, (Points(tuple(said for _, said in sorted(jobs))),))


def _built(o: OptionPlan) -> str:
    """How a frame is built: one side's boards, pegs in work along it, spacers; nothing of other looms."""
    if not o.side_boards:
        return ""
    return f"; {' + '.join(o.side_boards)} a side, {o.pegs_per_side} in work, {spacers(o.spacers)}"


def _place(loom: str, number: int, turn: int) -> str:
    return f"{loom}, number {number} of those alike, turn {turn}" if number > 1 else f"{loom}, turn {turn}"


def _wind(each: AssignedPlan, terms: Terms) -> str:
    off = terms.yarn(half_up(each.wind_off_m * 1_000_000))
    grams = "" if each.wind_off_g is None else f" ({each.wind_off_g:.0f} g)"
    strands = f", {each.option.strands} strands together" if each.option.strands > 1 else ""
    return f"{off}{grams} of {each.option.yarn}{strands}"


def _yarn(report: BatchReport, terms: Terms) -> Iterator[tuple[str, str]]:
    for line in report.yarn:
        if not line.used_m:
            continue
        used = f"{terms.yarn(half_up(line.used_m * 1_000_000))} wound off"
        left = "" if line.left_m is None else f", {terms.yarn(half_up(line.left_m * 1_000_000))} left"
        yield line.yarn, used + left + (f", {count(line.buy_balls, 'ball')} to buy" if line.buy_balls else "")
