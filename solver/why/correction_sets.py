"""For each loom the minimal sets of breaks: what must give before one of its ways to work holds a setup."""

from bisect import bisect_left
from collections.abc import Iterable, Sequence

from solver.model.timing import look
from solver.why.limits import YARN, CellLimits, PieceLimits
from solver.why.twins import leaders
from solver.why.violations import Minimal

Sets = list[tuple[int, int]]  # what is broken, and the least yarn (µm) that goes with it


def sets_by_loom(cells: Sequence[CellLimits]) -> dict[str, Minimal]:
    """The minimal sets of breaks of each loom, over all its ways to work."""
    found: dict[str, Minimal] = {}
    for cell in leaders(cells):
        look()
        _add(cell, found.setdefault(cell.way.loom.name, Minimal()))
    return found


def _add(cell: CellLimits, known: Minimal) -> None:
    """Add what a cell must break; whatever holds a known set is left aside as soon as it shows."""
    if known.covers(cell.mask):
        return
    stock = cell.way.on_hand_um
    sets: Sets = [(cell.mask, 0)]
    for i in range(len(cell.pieces)):
        sets = _least(
            (so_far | mask, used + yarn)
            for so_far, used in sets
            for mask, yarn in _anywhere(cell, i, so_far, known, stock is not None)
        )
    for mask, yarn in sets:
        known.add(mask | YARN if stock is not None and yarn > stock else mask)


def _anywhere(cell: CellLimits, i: int, base: int, known: Minimal, limited: bool) -> Sets:
    """What one piece must break where the main piece is worked; where it fits nowhere there, elsewhere too."""
    here = _of_piece(cell.pieces[i], base, known, limited)
    if i == 0 or any(mask & ~base == 0 for mask, _ in here):
        return here
    return _least(
        [*here]
        + [
            (mask | way, yarn)
            for way, other in cell.elsewhere(i)
            if not known.covers(base | way)
            for mask, yarn in _of_piece(other, base | way, known, limited)
        ]
    )


def _of_piece(limits: PieceLimits, base: int, known: Minimal, limited: bool) -> Sets:
    """What one piece must break, with the least yarn; `limited`: yarn counts, so fewer pegs may pay for a break."""
    rows = limits.gauge.fewest_rows(limited, lambda mask: known.covers(base | mask))
    found: Sets = []
    for run in limits.gauge.runs:
        if not rows or known.covers(base | run.mask):
            continue
        for mask, counts in limits.assemblies.classes:
            both = mask | run.mask
            if known.covers(base | both):
                continue
            # these pegs of the run all break the same, and none takes less yarn than the fewest: it speaks for them
            n = _first(counts, run.first)
            if n is None or n > run.last:
                continue
            for row_mask, r in rows:
                whole = both | row_mask
                yarn = limits.yarn.um(n, r) if limited else 0
                if not any(m & whole == m and y <= yarn for m, y in found) and not known.covers(base | whole):
                    found = [(m, y) for m, y in found if not (m & whole == whole and y >= yarn)]
                    found.append((whole, yarn))
    return found


def _first(counts: list[int], least: int) -> int | None:
    i = bisect_left(counts, least)
    return counts[i] if i < len(counts) else None


def _least(sets: Iterable[tuple[int, int]]) -> Sets:
    """The sets that no other is at most equal to, in breaks and in yarn."""
    kept: Sets = []
    for mask, yarn in sorted(set(sets), key=lambda s: (s[0].bit_count(), s)):
        if not any(m & mask == m and y <= yarn for m, y in kept):
            kept.append((mask, yarn))
    return kept
