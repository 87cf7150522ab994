"""What makes one setup better than another: fit error, risk, yarn, and the order among equals. All whole numbers."""

from collections.abc import Sequence

from solver.model.ask import Ask, PieceAsk, Way
from solver.model.setup import Num, Picks, PieceSetup, Setup


def fit_cost(picks: Picks, setup: Setup) -> Num:
    """The weighted misses of all pieces, in the whole units of Costs."""
    costs = setup.ask.costs
    total: Num = 0
    for i, piece in enumerate(setup.pieces):
        wanted = piece.ask
        total += costs.girth * _miss(picks, f"{i}.girth_miss", piece.girth_um - wanted.girth_um, wanted.girth_um)
        total += costs.length * _miss(picks, f"{i}.length_miss", piece.length_um - wanted.length_um, wanted.length_um)
        if wanted.band:
            miss = _miss(picks, f"{i}.band_miss", piece.band_um - wanted.band.prefer_um, wanted.length_um)
            total += costs.band * miss
    return total


def _miss(picks: Picks, name: str, gap: Num, size: int) -> Num:
    return picks.distance(name, gap, 400 * 200_000 + 4 * size)


def score(picks: Picks, setup: Setup) -> Num:
    """Fit error + yarn price × yarn, in the units of Costs; search adds the risk, a constant of the ways."""
    return fit_cost(picks, setup) + setup.ask.costs.yarn * setup.yarn_um


def risk_um(ask: Ask, ways: Sequence[Way]) -> int:
    """The mean miss that an unsure gauge adds, µm: 0.8 × (width spread × girth + height spread × length), halves up."""
    return sum(piece_risk_um(p, w) for p, w in zip(ask.pieces, ways, strict=True))


def piece_risk_um(piece: PieceAsk, way: Way) -> int:
    """The part of one piece in the risk, µm."""
    return (8 * (way.width_ppm * piece.girth_um + way.height_ppm * piece.length_um) + 5_000_000) // 10_000_000


def risk_cost(ask: Ask, ways: Sequence[Way]) -> int:
    """The weighted risk of some ways in the whole units of Costs."""
    return weighted_risk(ask, risk_um(ask, ways))


def weighted_risk(ask: Ask, um: int) -> int:
    """A risk of so many µm in the whole units of Costs; weighted, it is rounded half up to a µm first."""
    weight, under = ask.costs.risk.as_integer_ratio()
    whole = (2 * weight * um + under) // (2 * under)
    return 10_000 * ask.costs.scale * whole


def changes(picks: Picks, setup: Setup) -> Num:
    """Changes to the looms as they stand: boards added or removed, + 1 if the ends move, + 1 if the spacers change."""
    return sum(_changes(picks, piece, f"{i}.") for i, piece in enumerate(setup.pieces))


def _changes(picks: Picks, piece: PieceSetup, at: str) -> Num:
    stands = piece.way.loom.stands
    if stands is None:
        return 0
    each = zip(piece.sides, stands.sides, strict=True)
    total: Num = sum(2 * picks.distance(f"{at}swap{i}", now - then, 400) for i, (now, then) in enumerate(each))
    if piece.ends:
        total += 4 * (1 - piece.ends[stands.end]) if stands.end is not None else 2
    moved = picks.distance(f"{at}moved", piece.along - stands.along, 400)
    return total + picks.least_of_one(f"{at}moves", moved, 400) + int(piece.way.spacers != stands.spacers)


def boards(setup: Setup) -> Num:
    """Boards used by all pieces."""
    return sum(p.boards for p in setup.pieces)


def idle(setup: Setup) -> Num:
    """Side pegs that stay empty, over all pieces; none of flat work where its pegs need no boards."""
    free = "pegs-on-loom" in setup.ask.dropped
    return sum(p.idle for p in setup.pieces if not (p.ask.flat and free))
