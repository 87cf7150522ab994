"""The Wish: what the knitter asks for, as read from options, before kit or catalogue are looked up."""

from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

from solver.model.ask import Pins

DEFAULT_TOP = 5


@dataclass(frozen=True, slots=True)
class Wish:
    """An ask in the knitter's terms. Lengths in µm; None where the option was not given.

    The girth comes from one of around_um (finished, no ease), body_um, wearer, size, age. `unit` is "in" or "cm", the
    unit the ask was typed in. band is (least, most) or (depth, None).
    """

    item: str
    around_um: int | None = None
    body_um: int | None = None
    wearer: str | None = None
    size: str | None = None
    age: str | None = None
    sex: str | None = None
    wide_um: int | None = None
    long_um: int | None = None
    fit: str | None = None
    ease_um: int | None = None
    rib: str | None = None
    band: tuple[int, int | None] | None = None
    stitch: str = "u-wrap"
    pins: Pins = field(default_factory=Pins)
    measured_only: bool = False
    girth_within_um: int | None = None
    length_within_um: int | None = None
    sure_ppm: int | None = None  # how likely the girth must be within its limit
    yarn_price: Fraction | None = None
    risk_weight: Fraction | None = None
    unit: str = "cm"
    recipes: Path | None = None  # a folder with items of one's own, beside the catalogue's
