"""What the finished piece measures, and what it may: the likely range of every length, from the gauge's spread."""

from dataclasses import dataclass

from catalog.units import half_up
from solver.formats.blocks import Facts
from solver.gauging.chance import likely_girth_um
from solver.plan.saved import SavedPlan
from solver.report.find import PiecePlan
from solver.steps.step import PieceSteps, ShortRows
from solver.terms import Terms, lengths_said

CUFF = "cuff"  # the length that a band makes, or makes but for part of a row


@dataclass(frozen=True, slots=True)
class _Spread:
    """One stitch, or one row: its size in µm and its spread in ppm."""

    width_um: int
    width_ppm: int


def finished_facts(plan: SavedPlan, piece: PiecePlan, steps: PieceSteps, terms: Terms) -> Facts:
    """Round, across when laid flat, long, and the band; girth and length with their likely range."""
    option, main = plan.option, piece == plan.option.pieces[0]
    gauge = plan.ways[plan.place(piece.name)].gauge
    girth, open_flat = half_up(piece.girth_mm * 1000), steps.flat and not steps.sewn_up
    rows = [("Wide" if open_flat else "Round", _likely(girth, gauge.width_ppm, terms))]
    if not open_flat:
        rows.append(("Laid flat", f"{terms.tape(girth // 2)} across"))
    whole, *others = piece.lengths
    rows.append(("Long", _likely(half_up(whole.mm * 1000), gauge.height_ppm, terms)))
    cups = [f"the {cup.title.split()[-1]} about {terms.tape(um)}" for cup, um in cup_lengths(plan, piece, steps)]
    rows += [("Of it" if counted_in(piece) else "Beyond that", ", ".join(cups))] if cups else []
    band = terms.tape(half_up(option.band_depth_mm * 1000)) if main and option.band_depth_mm is not None else ""
    rows += [(_upper(n.name), _beside(n.name, half_up(n.mm * 1000), band, terms)) for n in others]
    if band and not any(n.name == CUFF for n in others):
        rows.append(("Band", f"{band} deep"))
    if main and option.band_relaxed_girth_mm is not None:
        rest = terms.tape(half_up(option.band_relaxed_girth_mm * 1000))
        rows.append(("Rib at rest", f"draws in to about {rest}, and stretches"))
    if main:
        asked = lengths_said((n.name, terms.tape(half_up(n.mm * 1000))) for n in plan.ask.lengths)
        size = terms.tape(half_up(plan.ask.girth_mm * 1000))
        rows.append(("Asked for", f"{size} {'wide' if steps.flat else 'round'}, {asked}"))
    return Facts(tuple(rows))


def _beside(name: str, um: int, band: str, terms: Terms) -> str:
    """A length of a part; a cuff is what stands beyond the foot, and its rib may begin before that, or after."""
    length = terms.tape(um)
    if name != CUFF or not band:
        return length
    if length == band:
        return f"{length} deep, all of it rib"
    return f"{length if um else 'none'} beyond the foot; its rib is {band} deep"


def counted_in(piece: PiecePlan) -> bool:
    """Whether the length of a piece is more than the rows of all its pegs: toe and heel are part of it then."""
    return piece.lengths[0].mm > piece.length_mm


def cup_lengths(plan: SavedPlan, piece: PiecePlan, steps: PieceSteps) -> list[tuple[ShortRows, int]]:
    """Toe and heel with what each adds to the length, µm: an equal share of what is counted in, else its own rows."""
    cups = [s for s in steps.steps if isinstance(s, ShortRows)]
    if counted_in(piece):
        return [(cup, half_up((piece.lengths[0].mm - piece.length_mm) * 1000 / len(cups))) for cup in cups]
    return [(cup, cup.narrowing * plan.ways[plan.place(piece.name)].gauge.height_um) for cup in cups]


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _likely(made_um: int, ppm: int, terms: Terms) -> str:
    """A length and the range that four pieces in five keep within."""
    low, high = likely_girth_um(_Spread(made_um, ppm), 1)
    words = terms.tape(made_um)
    return words if low == high else f"{words}; 4 in 5 come out {terms.between(low, high)}"
