"""Does a girth suit whoever it is for? Which fit it amounts to, and between which girths it still does."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil

from catalog.figure import figure
from catalog.item import Item
from catalog.kit import Kit
from catalog.units import half_up
from solver.asking.wish import Wish
from solver.model.ask import PieceAsk


@dataclass(frozen=True, slots=True)
class Suits:
    """The girths, µm, between which a piece suits, and the girth of each of its item's fits (none without a body)."""

    low_um: int
    high_um: int
    fits: Mapping[str, int]

    def holds(self, girth_um: int) -> bool:
        """Whether that girth suits."""
        return self.low_um <= girth_um <= self.high_um

    def fit(self, girth_um: int) -> str | None:
        """The fit that a girth is nearest to; of two, the looser."""
        return min(self.fits, key=lambda name: (abs(self.fits[name] - girth_um), -self.fits[name]), default=None)


def suits(recipe: Item, piece: PieceAsk, body_um: int | None) -> Suits:
    """What a main piece may measure round: any fit of its item within the ask's limit, what must pass still passing.

    Loose alone has no limit beyond it, unless it was asked for: what is wider still slides over the eyes or off the
    hand. Where the girth was asked for as it is (body_um None), that girth within its limit.
    """
    fits: dict[str, int] = {}
    if body_um is not None:
        fits = {name: body_um + half_up(fit.value * body_um) for name, fit in recipe.fits.items()}
    girths = (piece.girth_um, *(um for name, um in fits.items() if name != "loose"))
    low = min(girths) - piece.girth_tol_um
    high = max(max(girths) + piece.girth_tol_um, fits.get("loose", 0))
    if piece.must_pass_um is not None:
        low = max(low, ceil(piece.must_pass_um / figure("stretch_limit")))
    return Suits(max(low, piece.girth_least_um), high, fits)


def fit_asked(kit: Kit, recipe: Item, wish: Wish) -> str | None:
    """The fit that was asked for or assumed; None where the girth or the ease was given instead."""
    if wish.ease_um is not None or wish.around_um is not None or recipe.flat:
        return None
    wearer = next((w for w in kit.wearer if w.name == wish.wearer), None)
    return wish.fit or (wearer.fit if wearer else None) or recipe.default_fit
