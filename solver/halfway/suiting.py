"""Does a girth suit whoever it is for? Which fit it amounts to, and between which girths it still does."""

from collections.abc import Mapping
from dataclasses import dataclass

from catalog.item import Item
from catalog.kit import Kit
from catalog.units import half_up
from solver.asking.girth import own_ease
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


@dataclass(frozen=True, slots=True)
class Chosen:
    """The fit that was asked for, or assumed; None where the girth or the ease was given instead."""

    fit: str | None
    assumed: bool = False


def suits(recipe: Item, piece: PieceAsk, body_um: int | None, chosen: Chosen) -> Suits:
    """What a main piece may measure round: the girth wanted within the ask's limit, or another fit of its item.

    A fit that was chosen gives way to the next tighter and the next looser one, no further. One that was only assumed
    gives way to any, within the limit; but loose has no limit beyond it: what is wider slides over the eyes or off the
    hand. A girth or an ease asked for as it is gives way to none. What must pass still passes.
    """
    fits: dict[str, int] = {}
    if body_um is not None:
        fits = {name: body_um + half_up(fit.value * body_um) for name, fit in recipe.fits.items()}
    give = piece.girth_tol_um
    girths = [piece.girth_um - give, piece.girth_um + give]
    if chosen.fit is not None and chosen.assumed:
        girths += fits.values()
        girths += (um + way for name, um in fits.items() if name != "loose" for way in (-give, give))
    elif chosen.fit is not None and fits:
        order = sorted(fits.values())
        at = order.index(fits[chosen.fit])
        girths += order[max(at - 1, 0) : at + 2]
    low, high = min(girths), max(girths)
    if piece.must_pass_um is not None:
        low = max(low, piece.stretch_girth_um)
    return Suits(max(low, piece.girth_least_um), high, fits)


def chosen(kit: Kit, recipe: Item, wish: Wish) -> Chosen:
    """The fit of a wish."""
    if wish.ease_um is not None or wish.around_um is not None or recipe.flat:
        return Chosen(None)
    wearer = next((w for w in kit.wearer if w.name == wish.wearer), None)
    if own_ease(recipe, wish, wearer) is not None:
        return Chosen(None)
    asked = wish.fit or (wearer.fit if wearer else None)
    return Chosen(asked or recipe.default_fit, asked is None)
