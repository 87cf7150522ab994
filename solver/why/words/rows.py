"""Why the rows or the yarn fail: room for plain, band, length, yarn on hand, a sentence for each."""

from catalog.figure import figure
from solver.model.rule import EngineError
from solver.terms import count
from solver.why.words.phrases import Case, Said, plain, verb, worked, yarn


def room(case: Case) -> Said:
    limits, span = case.remaining.limits, case.remaining.span
    need = int(figure("least_plain_rows"))
    cramped = limits.lack("room-for-plain")(0)
    have = need - cramped if cramped else span.last - limits.piece.bands * span.low - limits.gauge.reached
    have = max(0, min(have, need - 1))
    leaves = count(have, "plain row") if have else "no plain rows"
    says = f"{case.um(case.piece.length_um)} of {case.name} leaves {leaves} where {need} are needed"
    return Said(says, need, have, "rows")


def yarn_short(case: Case) -> Said:
    need, have = sum(remaining.yarn_um for remaining in case.nearest.remaining), case.way.on_hand_um or 0
    takes, there = yarn(need, case.wish.unit, True), yarn(have, case.wish.unit, False)
    are = "is" if there.startswith("1 ") else "are"
    says = f"{worked(case.way)} {verb(case.way, 'takes', 'take')} {takes} where {there} {are} on hand"
    return Said(says, need, have, "um")


def band_depth(case: Case) -> Said:
    band, span, h = case.piece.band, case.remaining.span, case.way.height_um
    if band is None:
        raise EngineError("band-depth breaks without a band")
    below = span.low * h < band.least_um
    have, limit = (span.high * h, band.least_um) if below else (span.low * h, band.most_um)
    asked, near = case.near(band.least_um, band.most_um, have)
    wish = f"{'you want the band' if case.wish.band else 'the band is to be'} {asked} deep"
    return Said(f"{wish} where the nearest in reach is {near}", limit, have, "um", wish)


def length_within(case: Case) -> Said:
    piece, have = case.piece, case.rows * case.way.height_um
    low, high = piece.length_um - piece.length_tol_um, piece.length_um + piece.length_tol_um
    limit = low if have < low else high
    asked, near = case.near(low, high, have)
    says = f"you want the {case.name} {asked} long where the nearest in reach is {near}"
    return Said(says, limit, have, "um", f"you want the {case.name} {plain(piece.length_um, case.wish.unit)} long")
