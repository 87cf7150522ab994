"""The yarn ledger: what there was, what is wound off, what is bought, what is left; whole mm, so that it adds up."""

from collections.abc import Iterable

from solver.many.jobs import Served
from solver.many.shelf import Shelf, used
from solver.report.batch import YarnPlan


def ledger(served: Iterable[Served], shelf: Shelf) -> list[YarnPlan]:
    """A line for every yarn of the kit, in name order."""
    taken = used((each.line, 1) for each in served)
    return [_line(shelf, name, taken.get(name, 0)) for name in sorted(shelf.yarns)]


def _line(shelf: Shelf, name: str, taken: int) -> YarnPlan:
    skeins = shelf.yarns[name]
    balls = None if skeins.ball_mm is None else shelf.balls(name, taken)
    bought = (balls or 0) * (skeins.ball_mm or 0)
    left = bought + (skeins.stock_mm or 0) - taken
    counted = skeins.stock_mm is not None or skeins.ball_mm is not None
    return YarnPlan(
        yarn=name,
        had_m=None if skeins.stock_mm is None else skeins.stock_mm / 1000,
        used_m=taken / 1000,
        bought_m=bought / 1000,
        left_m=left / 1000 if counted else None,
        buy_balls=balls,
    )
