"""The girth is likely enough to come out within its limit, unsure as the gauge is."""

from collections.abc import Iterator
from functools import lru_cache
from math import floor
from typing import NamedTuple

from solver.gauging.chance import best_chance, peg_interval
from solver.model.ask import Ask, Way
from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


class _Spread(NamedTuple):
    width_um: int
    width_ppm: int


def pegs_sure(ask: Ask, way: Way) -> tuple[int, int] | None:
    """Fewest and most pegs of the main piece that are as sure as asked on this way; None where no number of pegs is.

    A constant of the way, for an ask with `sure_ppm`.
    """
    main = ask.pieces[0]
    return _pegs(way.width_um, way.width_ppm, main.girth_um, main.girth_tol_um, ask.sure_ppm or 1)


@lru_cache(maxsize=1 << 14)
def _pegs(width_um: int, width_ppm: int, girth_um: int, tol_um: int, sure_ppm: int) -> tuple[int, int] | None:
    return peg_interval(_Spread(width_um, width_ppm), girth_um, tol_um, sure_ppm / 1e6)


def best_ppm(ask: Ask, way: Way) -> int:
    """The chance, ppm, that the likeliest number of pegs gives on this way, rounded down."""
    main = ask.pieces[0]
    return floor(1e6 * best_chance(way, main.girth_um, main.girth_tol_um))


def gaps(setup: Setup) -> Iterator[Gap]:
    ask, main = setup.ask, setup.pieces[0]
    if ask.sure_ppm is None:
        return
    sure = pegs_sure(ask, main.way)
    if sure is None:  # no number of pegs is sure enough on so unsure a gauge
        yield Gap(ask.sure_ppm, min(best_ppm(ask, main.way), ask.sure_ppm - 1), "ppm", "none")
    else:
        yield Gap(sure[0], main.pegs, "pegs", "least")
        yield Gap(main.pegs, sure[1], "pegs", "most")


RULE = Rule("sure-enough", "the girth is as likely to be within its limit as asked", gaps)
