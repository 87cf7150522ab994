"""An option in words: the columns of the ranked table, for a terminal and for a page, and what the mark means."""

from collections.abc import Sequence

from catalog.units import length_text, yarn_text
from solver.plan.changes import spacers
from solver.report.find import FindReport, OptionPlan, PiecePlan
from solver.terms import BASIS, listed

FIGURES = frozenset({0, 1, 2, 3, 4, 5, 6, 7, 8})  # columns of numbers
SHARED = ("loom", "yarn", "balls", "gauge", "copies", "sewn up")  # what the options of a table may have in common
SEWN_UP = ", flat and sewn up"  # a thumb that no loom holds in the round


def um(mm: float) -> int:
    """Whole µm of the mm of a report."""
    return round(mm * 1000)


def heads(options: Sequence[OptionPlan], *, flat: bool = False) -> tuple[str, ...]:
    """What the figures of an option are called."""
    bands = any(o.rows_plain and o.rows_band for o in options)
    rows, girth = "plain + rib" if bands else "rows", "width" if flat else "girth"
    return ("no.", "pegs", rows, girth, "off by", "length", "off by", "yarn", "fits")


def figures(o: OptionPlan, unit: str, *, flat: bool = False) -> tuple[str, ...]:
    """The figures of one option; each size with how far it is off what was asked."""
    return (
        f"{o.rank}{'*' if o.front else ' '}",
        str(o.pegs),
        rows_words(o),
        length_text(um(o.girth_mm), unit),
        miss_words(o.girth_miss_mm, unit, "narrow" if flat else "small", "wide" if flat else "big"),
        length_text(um(o.pieces[0].lengths[0].mm), unit),
        miss_words(o.length_miss_mm, unit, "short", "long"),
        yarn_text(um(o.yarn_m * 1000), unit),
        f"{100 * o.chance_of_fit:.0f}%",
    )


def miss_words(mm: float, unit: str, less: str, more: str) -> str:
    """How far a size is off: "exact", "0.2 in small", "1 cm long"."""
    off = length_text(um(abs(mm)), unit)
    return "exact" if float(off.split()[0]) == 0 else f"{off} {less if mm < 0 else more}"


def rows_words(o: OptionPlan) -> str:
    """Rows in words: plain + rib, "10 + 2×7" with a band at either end."""
    bands = sum(s.rows > 0 and s.kind.startswith("rib") for s in o.sections)
    if not (o.rows_plain and o.rows_band):
        return str(o.rows_total)
    return f"{o.rows_plain} + {f'{bands}×' if bands > 1 else ''}{o.rows_band}"


def alike(options: Sequence[OptionPlan]) -> frozenset[str]:
    """What all options of a table share, so that it is said once: of SHARED."""
    if len(options) < 2:
        return frozenset()
    said = {
        "loom": {o.loom for o in options},
        "yarn": {_yarn(o) for o in options},
        "gauge": {basis(o) for o in options},
    }
    if options[0].pieces[1:]:  # each further piece takes room on the line of its option
        said |= {"balls": {balls(o.balls) for o in options}, "copies": {_copies(o) for o in options}}
        said["sewn up"] = {_sewn_up(o) for o in options}
    return frozenset(name for name, values in said.items() if len(values) == 1)


def alike_words(options: Sequence[OptionPlan]) -> str:
    """The sentence of what all share; empty where they share nothing."""
    shared = alike(options)
    if not shared:
        return ""
    o = options[0]
    each = {
        "loom": f"on the {o.loom}",
        "yarn": f"in {_yarn(o)}",
        "balls": balls(o.balls),
        "gauge": f"by {basis(o)}",
        "copies": _copies(o),
        "sewn up": _sewn_up(o),
    }
    words = ", ".join(filter(None, (each[name] for name in SHARED if name in shared)))
    return words and f"All {words}."


def worked_with(o: OptionPlan, unit: str, shared: frozenset[str] = frozenset(), *, more: bool = False) -> str:
    """How an option is worked, but for what all share: loom and boards, yarn and balls, gauge, the other pieces."""
    loom = "" if "loom" in shared else o.loom
    built = _boards(o) if o.build == "boards" else ""
    yarn = [_yarn(o)] * ("yarn" not in shared) + [balls(o.balls)] * ("balls" not in shared and o.balls is not None)
    gauge = [basis(o)] * ("gauge" not in shared) + [f"±{o.gauge_spread_pct:.1f}%"] * more
    pieces = [_in_brief(o, p, sewn_up="sewn up" not in shared) for p in o.pieces[1:]]
    pieces += [_copies(o)] * (bool(pieces) and "copies" not in shared)
    parts = (
        ": ".join(filter(None, (loom, built))),
        ", ".join(yarn),
        ", ".join(gauge),
        "" if _but_the_band(o) and not more else parts_long(o.pieces[0], unit),
        *pieces,
    )
    return "; ".join(filter(None, parts))


def _in_brief(o: OptionPlan, p: PiecePlan, *, sewn_up: bool = True) -> str:
    """A further piece: its pegs and rows, its loom where that is another, a seam unless it is said of all."""
    return f"{p.name}{_on(o, p)} {p.pegs} pegs, {p.rows_total} rows{SEWN_UP * (p.flat and sewn_up)}"


def _copies(o: OptionPlan) -> str:
    return f"{o.pieces[0].copies} of each" if o.pieces[0].copies > 1 else ""


def _sewn_up(o: OptionPlan) -> str:
    """Which pieces are worked flat though the main one is not."""
    sewn = [p.name for p in o.pieces[1:] if p.flat]
    return f"the {listed(sewn)}{SEWN_UP.replace(',', '', 1)}" if sewn else ""


def _but_the_band(o: OptionPlan) -> bool:
    """Whether all that is said of its length beside the whole is how long it is without its band: the ask says it."""
    whole, *others = (n.mm for n in o.pieces[0].lengths)
    return len(others) == 1 and o.band_depth_mm is not None and abs(whole - o.band_depth_mm - others[0]) < 0.01


def parts_long(piece: PiecePlan, unit: str) -> str:
    """What is said of its length beside the whole: "foot 24.6 cm, leg 16.0 cm"."""
    return ", ".join(f"{n.name} {length_text(um(n.mm), unit)}" for n in piece.lengths[1:])


def basis(o: OptionPlan) -> str:
    """What the gauge rests on."""
    return BASIS[o.gauge_basis].removeprefix("from ")


def _yarn(o: OptionPlan) -> str:
    return o.yarn + (f" in {o.strands} strands" if o.strands > 1 else "")


def _boards(o: OptionPlan) -> str:
    """In few words; end boards are told on the sheet."""
    flat = o.pegs < 2 * (o.pegs_per_side or 0)
    return f"{' + '.join(o.side_boards)} ({o.pegs if flat else o.pegs_per_side} in work), {spacers(o.spacers)}"


def where(o: OptionPlan) -> str:
    """Loom, boards, spacers, yarn and strands in words, and the other pieces where there are some."""
    parts = [o.loom + (f": {boards(o)}" if o.build == "boards" else ""), _yarn(o)]
    parts += [f"{p.name}{_on(o, p)}: {p.pegs} pegs, {p.rows_total} rows{SEWN_UP * p.flat}" for p in o.pieces[1:]]
    if o.pieces[0].copies > 1:
        parts.append(f"{o.pieces[0].copies} of each")
    return "; ".join(parts)


def _on(o: OptionPlan, piece: PiecePlan) -> str:
    if (piece.loom, piece.spacers) == (o.loom, o.spacers):
        return ""
    return f" on {piece.loom}" + (f", {spacers(piece.spacers)}" if piece.end_board or piece.spacers else "")


def boards(o: OptionPlan) -> str:
    """One side's boards, the end board, the spacers: "long + short a side (36 in work), ends end, 2 spacers"."""
    ends = f", ends {o.end_board}" if o.end_board else ""
    return f"{' + '.join(o.side_boards)} a side ({_in_work(o)}){ends}, {spacers(o.spacers)}"


def _in_work(o: OptionPlan) -> str:
    """Pegs in work along a side; a flat piece works all its pegs on one side."""
    flat = o.pegs < 2 * (o.pegs_per_side or 0)
    return f"{o.pegs} of its pegs in work" if flat else f"{o.pegs_per_side} in work"


def balls(count: int | None) -> str:
    """A count of balls in words; nothing where the label is silent."""
    return "" if count is None else "1 ball" if count == 1 else f"{count} balls"


def front_words(options: Sequence[OptionPlan]) -> str:
    """What the mark says of these options: which are worth weighing, and what beats the others. Empty for one."""
    beaten = {o.rank: _beats(o, options) for o in options if not o.front}
    if len(options) < 2 or len(beaten) == len(options):
        return ""
    if not beaten:
        return "Every one has its *: whatever is likely to come nearer to the size takes more yarn."
    by: dict[int | None, list[int]] = {}
    for rank, better in beaten.items():
        by.setdefault(better, []).append(rank)
    told = [f"{listed(ranks)} ({f'{better} does' if better else 'others do'} better)" for better, ranks in by.items()]
    return (
        f"*: whatever is likely to come nearer to the size takes more yarn. Not so {listed(told)}: as near or nearer, "
        "on no more yarn."
    )


def _beats(o: OptionPlan, options: Sequence[OptionPlan]) -> int | None:
    """The first option that is at most equal in likely miss and yarn, and less in one; None if it is not shown."""
    mine = (o.likely_miss_mm, o.yarn_m)
    for other in options:
        theirs = (other.likely_miss_mm, other.yarn_m)
        if theirs != mine and theirs[0] <= mine[0] and theirs[1] <= mine[1]:
            return other.rank
    return None


def fits_words(report: FindReport, unit: str, *, flat: bool = False) -> str:
    """What the last column is."""
    within = length_text(um(report.ask.girth_within_mm), unit)
    return f"fits: how likely the {'width' if flat else 'girth'} comes within {within} of the one asked"


def proof_words(report: FindReport) -> str:
    """What the list is worth; notes say it where time ran out."""
    return "Nothing in this kit does better." if report.complete else ""
