"""A random case told twice: to the solver as a kit file and a Wish, to the oracle as its own words."""

import tomllib
from collections.abc import Callable
from typing import Any

from catalog.kit import Kit, kit_of
from solver.asking.wish import Wish
from solver.gauging.posterior import gauges
from solver.gauging.prior import Setting
from solver.model.ask import Pins
from tests import oracle
from tests.kits import randomkits

RIB = {2: "1x1", 3: "2x1", 4: "2x2"}


def kit_from(plain: dict[str, Any]) -> Kit:
    """The plain dict through its own kit file, as a user's kit would come."""
    text = randomkits.to_toml(plain)
    return kit_of(tomllib.loads(text), "random kit", text)


def learned_gauge(plain: dict[str, Any]) -> Callable[..., Any] | None:
    """The solver's learned gauge for kits with swatches (tested on its own); without, the oracle guesses by itself."""
    return _gauge(kit_from(plain), pooled=False) if plain.get("swatch") else None


def _gauge(kit: Kit, pooled: bool) -> Callable[..., Any]:
    def at(loom: str, spacers: int, yarn: str, strands: int, stitch: str) -> Any:
        setting = Setting(loom, spacers, yarn, strands, stitch)
        g = gauges(kit, [setting], pooled=pooled).get(setting)
        return g and (g.width_um, g.height_um, g.loop_um, g.width_ppm, g.height_ppm, g.swatched)

    known: dict[tuple[Any, ...], Any] = {}

    def kept(*key: Any) -> Any:
        if key not in known:
            known[key] = at(*key)
        return known[key]

    return kept


def told(plain: dict[str, Any], words: dict[str, Any]) -> tuple[Kit, Wish, oracle.Ask, Callable[..., Any] | None]:
    """Kit and Wish for the solver, Ask and gauge for the oracle."""
    kit = kit_from(plain)
    ask = oracle.make_ask(**words)
    piece, band = ask.pieces[0], words.get("band")
    wish = Wish(
        ask.item,
        around_um=piece.girth_um,
        long_um=piece.length_um,
        rib=RIB[piece.repeat],
        band=None if band is None else (band[0], band[2]),
        stitch=ask.stitch,
        pins=Pins(**(words.get("pins") or {})),
        measured_only=ask.measured_only,
        girth_within_um=piece.girth_tol_um,
        length_within_um=piece.length_tol_um,
        yarn_price=ask.price,
        risk_weight=ask.risk_weight,
        sure_ppm=None if ask.sure is None else int(ask.sure * 1_000_000),
    )
    gauge = _gauge(kit, pooled=ask.measured_only) if plain.get("swatch") else None
    return kit, wish, ask, gauge
