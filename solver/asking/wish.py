"""The Wish: what the knitter asks for, as read from words, before kit or catalogue are looked up."""

from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Annotated

from pydantic import Field

from solver.model.ask import Pins

DEFAULT_TOP = 5
Top = Annotated[int, Field(exclude=True)]  # how far to look is no part of what a plan keeps
AllPegs = Annotated[bool, Field(exclude=True)]
Across = Annotated[int | None, Field(exclude=True)]  # a plan keeps the girth
Seconds = Annotated[float | None, Field(exclude=True)]


@dataclass(frozen=True, slots=True)
class Wish:
    """An ask in the knitter's terms. Lengths in µm; None where the word was not given.

    The girth comes from one of around_um (finished, no ease), body_um, wearer, size, age; across_um is the diameter
    that around_um was typed as. `unit` is "in" or "cm", the unit the ask was typed in. band is (least, most) or (depth,
    None). How far to look: for the `top` options, with `all_pegs` every peg count an option of its own, and for so many
    `seconds`.
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
    bind_off: str | None = None  # "sewn" or "passed-over"; None: sewn where something must pass
    pins: Pins = field(default_factory=Pins)
    measured_only: bool = False
    girth_within_um: int | None = None
    length_within_um: int | None = None
    sure_ppm: int | None = None  # how likely the girth must be within its limit
    yarn_price: Fraction | None = None
    risk_weight: Fraction | None = None
    unit: str = "cm"
    recipes: Path | None = None  # a folder with items of one's own, beside the catalogue's
    top: Top = DEFAULT_TOP
    all_pegs: AllPegs = False
    seconds: Seconds = None
    across_um: Across = None
