"""The plan of a batch as text: order of work, yarn ledger, who goes without and why, what it is worth; and as CSV."""

from collections import Counter
from collections.abc import Iterator, Sequence

from catalog.units import yarn_text
from solver.cli.columns import aligned, csv_text, wrap
from solver.cli.table import folded, notes_lines, say, terminal_width
from solver.door import spacers
from solver.page.choice_words import balls, boards, rows_words, um
from solver.report.batch import AssignedPlan, BatchReport, StagePlan, UnservedPlan, YarnPlan
from solver.terms import count, listed

HEADS = ("turn", "for", "what", "pegs", "rows", "wind off", "fits")
RIGHT = frozenset({0, 3, 4, 5, 6})
LEDGER = ("yarn", "had", "bought", "used", "left")
YARD_UM, METRE_UM = 914_400, 1_000_000
FIGURES = ("pegs", "rows_total", "rows_plain", "rows_band", "loom", "spacers", "yarn", "strands", "side_boards",
           "end_board", "pegs_per_side", "girth_mm", "length_mm", "chance_of_fit")  # fmt: skip


def print_batch(report: BatchReport, unit: str, *, more: bool = False) -> None:
    """Print the plan."""
    width = terminal_width()
    copies = Counter((e.name, e.row) for e in (*report.assigned, *report.unserved))
    parts = (_work(report, copies, unit, width), _ledger(report.yarn, unit, width), _without(report, copies, width))
    for part in (*parts, _stages(report.stages, width)):
        lines = list(part)
        if lines:
            say(*lines, "")
    say(*folded(_worth(report), width))
    say(*notes_lines(report.notes, report.cautions, width, more=more))


def named(each: AssignedPlan | UnservedPlan, copies: Counter[tuple[str, int]]) -> str:
    """Whom it is for, and which of how many."""
    many = copies[each.name, each.row]
    return each.name + (f" {each.copy_}/{many}" if many > 1 else "")


def _work(report: BatchReport, copies: Counter[tuple[str, int]], unit: str, width: int) -> Iterator[str]:
    """Loom by loom: the turns, and under each how the loom is built and what to change before it."""
    jobs = sorted(_jobs(report, copies, unit), key=lambda job: job[0])
    if not jobs:
        return
    alike = {loom for _, loom, number, _, _ in jobs if number > 1}
    lines = aligned([HEADS, *(cells for *_, cells, _ in jobs)], RIGHT, width=width)
    yield from filter(None, (next(lines),))
    last: tuple[str, int] | None = None
    for line, (_, loom, number, _, below) in zip(lines, jobs, strict=True):
        if last != (loom, number):
            yield from wrap(loom + (f", number {number}" if loom in alike else ""), width)
            last = (loom, number)
        yield line
        for sentence in below:
            yield from wrap(sentence, width, initial_indent=" " * 6, subsequent_indent=" " * 8)


Row = tuple[int, str, int, tuple[str, ...], list[str]]  # order, loom, its number, cells, lines below


def _jobs(report: BatchReport, copies: Counter[tuple[str, int]], unit: str) -> Iterator[Row]:
    for each in report.assigned:
        o, who = each.option, named(each, copies)
        off = yarn_text(um(each.wind_off_m * 1000), unit)
        off += "" if each.wind_off_g is None else f", {each.wind_off_g:.0f} g"
        cells = (str(each.turn), who, each.item, str(o.pegs), rows_words(o), off, f"{100 * o.chance_of_fit:.0f}%")
        stands = [boards(o)] if o.build == "boards" else [spacers(o.spacers)] if o.spacers else []
        worked = "; ".join([*stands, o.yarn + (f" in {o.strands} strands" if o.strands > 1 else "")])
        yield each.order, o.loom, each.loom_no, cells, [worked, *_before(each.changes)]
        for other in each.elsewhere:
            what = f"{listed(other.pieces)} of it"
            pegs = listed([p.pegs for p in o.pieces if p.name in other.pieces])
            cells = (str(other.turn), who, what, pegs, "", "", "")
            yield other.order, other.loom, other.loom_no, cells, _before(other.changes)


def _before(changes: Sequence[str]) -> list[str]:
    return [f"before it: {'; '.join(changes)}"] if changes else []


def _ledger(yarns: Sequence[YarnPlan], unit: str, width: int) -> Iterator[str]:
    """Whole metres or yards: what there is rounded down, what is used up, so that each line adds up."""
    each_um, name = (YARD_UM, "yd") if unit == "in" else (METRE_UM, "m")
    rows = []
    for y in yarns:
        had, bought = (None if m is None else um(m * 1000) // each_um for m in (y.had_m, y.bought_m))
        used = -(-um(y.used_m * 1000) // each_um)
        left = None if y.left_m is None else (had or 0) + (bought or 0) - used
        rows.append(
            (y.yarn, "any" if had is None else str(had), str(bought), str(used), "" if left is None else str(left))
        )
    if rows:
        yield from aligned([(f"{LEDGER[0]}, {name}", *LEDGER[1:]), *rows], frozenset({1, 2, 3, 4}), width=width)
    buy = [f"{balls(y.buy_balls)} of {y.yarn}" for y in yarns if y.buy_balls]
    if buy:
        yield from wrap(f"Shopping list: {listed(buy)}.", width)


def _without(report: BatchReport, copies: Counter[tuple[str, int]], width: int) -> Iterator[str]:
    if report.unserved:
        yield "Without:"
    alike: dict[tuple[str, int, str], list[UnservedPlan]] = {}
    for each in report.unserved:
        alike.setdefault((each.name, each.row, each.says), []).append(each)
    for every in alike.values():
        first, many = every[0], f" (and {count(len(every) - 1, 'more', 'more')})" if len(every) > 1 else ""
        line = f"{named(first, copies)}{many}, {first.item}: {first.says}."
        yield from wrap(line, width, initial_indent="  ", subsequent_indent="     ")


def _stages(stages: Sequence[StagePlan], width: int) -> Iterator[str]:
    """What each stage reached, and what no plan can beat."""
    rows = [
        (s.stage, *(f"{v:.2f}" if s.unit == "pieces" else f"{v:.0f}" for v in (s.value, s.bound)), s.unit, proof(s))
        for s in stages
    ]
    yield from aligned([("stage", "value", "bound", "", ""), *rows], frozenset({1, 2}), width=width)


def proof(stage: StagePlan) -> str:
    """What a stage's value is worth."""
    return (
        "proven"
        if not stage.gap_pct
        else f"within {stage.gap_pct:.2g} %"
        if stage.gap_pct < 10
        else f"within {stage.gap_pct:.0f} %"
    )


def _worth(report: BatchReport) -> Iterator[str]:
    """The plan in one line, then the swatch that would help most."""
    best = sum(s.bound for s in report.stages if s.unit == "pieces")
    beyond = "the most there can be" if report.complete else f"of at most {best:.1f}"
    yield (
        f"{report.served} of {report.asked} served, {report.likely_to_fit:.1f} likely to fit, {beyond}; "
        f"{count(report.changes, 'change')} to the looms."
    )
    if report.out_of_time:
        yield "Time ran out: another run may find another plan."
    s = report.next_swatch
    if s is not None:
        at = f", {spacers(s.spacers)}" if s.spacers else ""
        yarn = s.yarn + (f" in {s.strands} strands" if s.strands > 1 else "")
        yield (
            f"The swatch that would help most: {s.loom}{at}, {yarn}, {s.stitch}. It would bring the spread of the "
            f"girths of these {count(s.pieces, 'piece')} from {s.spread_now_pct:.1f} % to {s.spread_after_pct:.1f} %."
        )


def batch_csv(report: BatchReport) -> str:
    """One line for each copy, served or not; changes are joined with "; "."""
    names = (
        "name",
        "copy",
        "item",
        "priority",
        "loom_no",
        "turn",
        "order",
        *FIGURES,
        "wind_off_m",
        "wind_off_g",
        "changes",
        "says",
    )
    rows: list[list[object]] = [
        [e.name, e.copy_, e.item, e.priority, e.loom_no, e.turn, e.order, *(getattr(e.option, f) for f in FIGURES),
         e.wind_off_m, e.wind_off_g, "; ".join(e.changes), None]
        for e in sorted(report.assigned, key=lambda e: e.order)
    ]  # fmt: skip
    empty = [None] * (len(names) - 5)
    rows += [[e.name, e.copy_, e.item, e.priority, *empty, e.says] for e in report.unserved]
    return csv_text(names, rows)
