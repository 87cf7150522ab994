"""The words of a second look half-way: what to do, and the figures behind it; the same for terminal and page."""

from collections.abc import Iterator

from catalog.item import kinds
from catalog.units import length_text, yarn_text
from solver.gauging.table import shown as per_length
from solver.report.adjust import AdjustReport, AsPlanned
from solver.terms import count

OVER = {"in": (101_600, "4 in"), "cm": (100_000, "10 cm")}


def halfway_lines(report: AdjustReport, title: str, unit: str) -> list[str]:
    """All that is to be said, what to do first: a doubted count, the verdict, the figures; `title` is the item's."""
    return [*count_again(report, unit), verdict(report), *story(report, title, unit)]


def branch_lines(report: AdjustReport, unit: str) -> list[str]:
    """What to do if a doubted count was wrong; nothing where none is doubted."""
    return [other_branch(report, report.as_planned, unit)] if report.as_planned else []


def count_again(report: AdjustReport, unit: str) -> Iterator[str]:
    """The first thing to do where a count is far from the plan."""
    far = [
        f"{e.counted:.4g} {e.what} over {_len(e.over_mm, unit)} where {e.foretold:.1f} were foretold "
        f"({e.deviations:.1f} sd off)"
        for e in report.count_again
    ]
    if far:
        yield f"Count again, over more rows if you can: {', and '.join(far)}."


def verdict(report: AdjustReport) -> str:
    """What to do, in a sentence; where the count is doubted, what to do if it is right."""
    said = _verdict(report.start_again, report.length.take_back)
    said = f"{said}." if report.start_again or report.yarn.lasts else f"{said}, but the yarn will not last."
    return f"If it is right: {said}" if report.count_again else said


def _verdict(start_again: bool, back: int) -> str:
    if start_again:
        return "START AGAIN: it cannot suit any more"
    return f"TAKE BACK {count(back, 'row')}, then go on: it will suit" if back else "GO ON: it will suit"


def other_branch(report: AdjustReport, other: AsPlanned, unit: str) -> str:
    """What to do if the doubted count was wrong and the piece is as planned."""
    what = " and ".join(each.what for each in report.count_again)
    size = "wide" if report.flat else "round"
    return (
        f"If it was miscounted and the {what} are as planned: {_verdict(other.start_again, other.length.take_back)}; "
        f"{_len(other.girth.girth_mm, unit)} {size}, {other.length.rows_left} rows still to work, "
        f"{_len(other.length.length_mm, unit)} long in the end."
    )


def story(report: AdjustReport, title: str, unit: str) -> Iterator[str]:
    """The figures behind it: gauge, girth, rows, other pieces, yarn."""
    gauge, (over, words) = report.gauge, OVER[unit]
    name = title + (f", the {report.piece}" if report.others else "")
    yield f"{name}: {report.pegs} pegs, {report.rows_done} of {report.rows_planned} rows worked."
    yield (
        f"Counted: {per_length(over, gauge.counted_stitch_width_um)} stitches and "
        f"{per_length(over, gauge.counted_row_height_um)} rows over {words}, where "
        f"{per_length(over, gauge.planned_stitch_width_um)} and "
        f"{per_length(over, gauge.planned_row_height_um)} were planned."
    )
    yield from _girth(report, unit)
    yield from _rows(report, unit)
    for other in report.others:
        yield f"The {other.name}: {other.rows_total} rows, not {other.rows_planned}, on {other.pegs} pegs."
    yield _yarn(report, unit)


def _girth(report: AdjustReport, unit: str) -> Iterator[str]:
    girth, what = report.girth, "Width" if report.flat else "Girth"
    yield (
        f"{what}: {_len(girth.girth_mm, unit)}, 80 % likely {_len(girth.likely_mm[0], unit)} to "
        f"{_len(girth.likely_mm[1], unit)}, where {_len(girth.planned_mm, unit)} was planned."
    )
    span = f"{_len(girth.low_mm, unit)} to {_len(girth.high_mm, unit)} will do"
    suits = f"{span}: it {'suits' if girth.suits else 'does not suit'} ({100 * girth.chance:.0f} % likely to)."
    if girth.body_mm is None:
        yield f"Asked: {_len(girth.wanted_mm, unit)}; {suits}"
        return
    asked = f" ({girth.fit_asked} was asked)" if girth.fit_asked not in (None, girth.fit) else ""
    yield f"On a body of {_len(girth.body_mm, unit)} that is nearest to {girth.fit}{asked}; {suits}"


def _rows(report: AdjustReport, unit: str) -> Iterator[str]:
    length = report.length
    if length.take_back:
        too = length.done_mm > length.wanted_mm
        why = "it is too long already" if too else "from here no rows make the length"
        yield f"Take back {count(length.take_back, 'row')} first: {why} ({_len(length.done_mm, unit)} worked)."
    band = "" if length.band_depth_mm is None else f", with a band of {_len(length.band_depth_mm, unit)}"
    parts = list(_parts(report))
    many = f"{length.rows_left} ({', then '.join(parts)})" if len(parts) > 1 else (*parts, "none")[0]
    yield (
        f"Rows still to work: {many}; {length.rows_total} in all make {_len(length.length_mm, unit)}, where "
        f"{_len(length.wanted_mm, unit)} is wanted{band}."
    )
    if not length.suits:
        yield f"No number of rows comes within {_len(length.within_mm, unit)} of that length."


def _parts(report: AdjustReport) -> Iterator[str]:
    """What is left to work, section by section; openings and short rows where they are still to come."""
    sections = report.length.sections
    for i, section in enumerate(sections):
        kind = kinds()[section.kind]
        to_come = not any(s.rows_done for s in sections[i:])
        if section.rows_left:
            yield f"{section.rows_left} {'of ' if kind.rib else ''}{kind.title}"
        elif to_come and (kind.role == "opening" or kind.short):
            yield f"the {kind.title}"


def _yarn(report: AdjustReport, unit: str) -> str:
    yarn = report.yarn
    used, still, needed = (yarn_text(round(1e6 * m), unit) for m in (yarn.used_m, yarn.still_m, yarn.needed_m))
    so_far = f"Yarn: about {used} used, {still} to come"
    if yarn.spare_m is None or yarn.on_hand_m is None:
        return f"{so_far}, {needed} in all with margin."
    hand, spare = (yarn_text(round(1e6 * abs(m)), unit) for m in (yarn.on_hand_m, yarn.spare_m))
    return f"{so_far} with margin; of {hand} on hand {spare} {'will be left' if yarn.lasts else 'is missing'}."


def _len(mm: float, unit: str) -> str:
    return length_text(round(mm * 1000), unit)
