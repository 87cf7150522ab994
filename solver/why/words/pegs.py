"""Why the pegs fail: boards, pegs, spacers, repeats, pairs, bulk, stretch, girth and sureness, a sentence for each."""

from catalog.units import half_up
from solver.model.ask import Way
from solver.plan.changes import spacers
from solver.terms import count
from solver.why.assemblies import STOCK
from solver.why.surer import chance_of_pegs, round_down
from solver.why.violations import bits
from solver.why.words.phrases import Case, Said, gauge_words, percent, plain, worked


def _needed(case: Case) -> str:
    """Why so many pegs: the girth at its gauge where the girth is held, else the bare count."""
    n, piece = case.pegs, case.piece
    if case.nearest.allowed & bits("girth-within"):
        return f"{count(n, 'peg')} would be needed"
    whose = "" if case.remaining is case.nearest.remaining[0] else f"the {case.name}, "
    return f"{whose}{case.um(piece.girth_um)} {case.round} at {gauge_words(case)} takes {count(n, 'peg')}"


def boards(case: Case) -> Said:
    loom = case.way.loom.name
    stand = min(case.remaining.stands(case.pegs, case.nearest.allowed), key=lambda s: s.missing)
    says = f"{_needed(case)} and the {loom} lacks {count(stand.missing, 'board')} for that"
    return Said(says, stand.missing, 0, "boards")


def pegs(case: Case) -> Said:
    loom, assemblies = case.way.loom, case.remaining.limits.assemblies
    n = case.pegs
    stands = case.remaining.stands(n, case.nearest.allowed)
    bought = all(s.missing for s in stands)
    offered = assemblies.offered(bought)
    if not offered:
        return Said(f"the {loom.name} has no boards for its sides", 2, 0, "boards")
    have = min(offered, key=lambda m: (abs(m - n), m))
    return Said(f"{_needed(case)} where {_offers(case.way, offered, n, have)}", n, have, "pegs")


def _offers(way: Way, offered: list[int], n: int, have: int) -> str:
    """What a loom gives instead of n pegs."""
    loom = way.loom
    if loom.build == "ring":
        return f"the {loom.name} has {have}"
    if n > offered[-1] and loom.build == "boards":  # more spacers at a bolt leave fewer bolts, so fewer boards
        return f"the longest sides on hand for the {loom.name} with {spacers(way.spacers)} give {have}"
    if n > offered[-1]:
        return f"the {loom.name} gives {have}"
    if n < offered[0]:
        return f"the {loom.name} works no fewer than {have}"
    below, above = max(m for m in offered if m < n), min(m for m in offered if m > n)
    return f"the {loom.name} works {below} or {above} and none between"


def spacers_short(case: Case) -> Said:
    way, loom = case.way, case.way.loom
    if way.spacers > loom.spacers_most:
        most = f"at most {loom.spacers_most}" if loom.spacers_most else "none"
        says = f"{spacers(way.spacers)} at every bolt would be needed where the {loom.name} takes {most}"
        return Said(says, way.spacers, loom.spacers_most, "spacers")
    stand = min(case.remaining.stands(case.pegs, case.nearest.allowed | STOCK), key=lambda s: s.short)
    need = loom.spacers_on_hand + stand.short
    take, have = "takes" if way.spacers == 1 else "take", loom.spacers_on_hand
    there = "1 is" if have == 1 else f"{have or 'none'} are"
    says = f"{spacers(way.spacers)} at every bolt of the {loom.name} {take} {need} where {there} on hand"
    return Said(says, need, loom.spacers_on_hand, "spacers")


def repeats(case: Case) -> Said:
    n, piece = case.pegs, case.piece
    repeat, over = piece.repeat, (case.pegs - piece.edge) % piece.repeat
    near = n - over if over * 2 <= repeat and n > over else n - over + repeat
    edge = f" beside {count(piece.edge, 'edge peg')}" if piece.edge else ""
    make = "makes" if n == 1 else "make"
    would = f": {near} would" if near in case.remaining.limits.assemblies.offered(bought=False) else ""
    says = f"{count(n, 'peg')} on the {case.way.loom.name} {make} no whole repeats of {_rib(case)}{edge}{would}"
    return Said(says, near, n, "pegs")


def _rib(case: Case) -> str:
    """The rib with the pegs of its repeat."""
    return f"a {case.ask.rib} rib, {case.piece.repeat} pegs each"


def even(case: Case) -> Said:
    n = case.pegs
    return Said(
        f"pegs in pairs are needed for the {case.name} and {n} on the {case.way.loom.name} is odd", n + 1, n, "pegs"
    )


def pairs(case: Case) -> Said:
    n = case.pegs
    return Said(f"the {case.name} takes as many loops from either edge of its opening and {n} is odd", n + 1, n, "pegs")


def bulk(case: Case) -> Said:
    n, limit = case.remaining.counts[0], case.piece.bulk_limit_um or 0
    bulk = n * (case.way.lofty_um or 0)
    loops, are = f"{count(n, 'loop')} of {worked(case.way, on=False)} side by side", "is" if n == 1 else "are"
    closes = f"a drawn end closes on {case.um(limit, bulk)} at most"
    return Said(f"{loops} {are} {case.um(bulk, limit)} where {closes}", bulk, limit, "um")


def stretch(case: Case) -> Said:
    must = case.piece.must_pass_um or 0
    relaxed = case.piece.round_um(case.remaining.counts[-1], case.way.width_um)
    have = half_up(case.piece.stretch * relaxed)
    edge = " under a passed-over edge" if case.piece.bind_off == "passed-over" else ""
    stretch = "stretches" if case.pegs == 1 else "stretch"
    says = f"{case.um(must, have)} must pass where {case.made} {stretch} to {case.um(have, must)} at most{edge}"
    return Said(says, must, have, "um")


def girth(case: Case) -> Said:
    piece, have = case.piece, case.piece.round_um(case.pegs, case.way.width_um)
    low, high = piece.girth_low_um, piece.girth_um + piece.girth_tol_um
    limit = low if have < low else high
    asked, near = case.near(low, high, have)
    says = f"you want the {case.name} {asked} {case.round} where the nearest in reach is {near}, {case.made}"
    wish = f"you want the {case.name} {plain(piece.girth_um, case.wish.unit)} {case.round}"
    return Said(says, limit, have, "um", wish)


def sure(case: Case) -> Said:
    """What is told is what may be typed instead: the likeliest setup in reach, its chance rounded down."""
    want, best = case.ask.sure_ppm or 0, round_down(chance_of_pegs(case.nearest.cell, case.pegs)) or 0
    wish, have = f"you want the girth {percent(want)} sure", percent(best) if best else "under 0.1 %"
    return Said(f"{wish} where the surest in reach is {have}, {case.made}", want, best, "ppm", wish)
