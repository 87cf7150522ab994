"""Yarn classes and fibres: what the class or the fibre tells where the kit's yarn does not say."""

from fractions import Fraction
from functools import lru_cache
from math import sqrt
from typing import Annotated, Any

from pydantic import Field

from catalog.kit import Yarn
from catalog.reading import read_toml
from catalog.shapes import HERE, Decimal, Shape, Whole
from catalog.source import Flag
from catalog.units import half_up

Span = tuple[Whole, Whole]


class Origin(Shape):
    """The flag and source of one column of the table."""

    flag: Flag
    source: str = Field(min_length=1)


class YarnClass(Shape):
    """One class: plain stitches per 4 in (least, most), typical wraps per inch and tex where known."""

    name: str
    stitches: Span
    wraps_per_inch: Decimal | None = None
    tex: Decimal | None = None


class Table(Shape):
    """yarns.toml whole."""

    stitches: Origin
    wraps_per_inch: Origin
    tex: Origin
    density: Origin
    classes: dict[str, YarnClass] = Field(alias="class")
    fibre: dict[str, Annotated[Decimal, Field(gt=0)]]


@lru_cache(maxsize=1)
def table() -> Table:
    """The yarn table that the program carries."""
    tables: dict[str, Any] = read_toml(HERE / "yarns.toml")
    return Table.model_validate(tables)


def classes_at(stitches_per_4in: Fraction | float) -> list[int]:
    """The classes whose range holds that many plain stitches per 4 in: two where ranges overlap, none at 15.5."""
    span = {int(k): c.stitches for k, c in table().classes.items()}
    return [k for k, (least, most) in sorted(span.items()) if least <= stitches_per_4in <= most]


def wraps_per_inch(yarn: Yarn) -> Fraction | None:
    """The yarn's own wraps per inch, else its class's typical one, else None (classes 0 and 7)."""
    return yarn.wraps_per_inch or table().classes[str(yarn.weight)].wraps_per_inch


def lofty_um(yarn: Yarn, strands: int) -> int | None:
    """Diameter of all strands held together, unpressed: an inch over the wraps × √strands. None without wraps."""
    wraps = wraps_per_inch(yarn)
    return None if wraps is None else half_up(25_400 / float(wraps) * sqrt(strands))


def tex_mtex(yarn: Yarn) -> int | None:
    """Millitex of one strand by the ball's label, else typical of the class, else None (classes 0 and 7)."""
    typical = table().classes[str(yarn.weight)].tex
    return yarn.label_mtex or (None if typical is None else half_up(typical * 1000))


def density_mg_cm3(yarn: Yarn) -> int | None:
    """Density of the fibre: the yarn's own, else by its fibre's name, else None."""
    known = table().fibre.get((yarn.fibre or "").lower())
    return yarn.density_mg_cm3 or (None if known is None else half_up(known * 1000))


def pressed_um(mtex: int, strands: int, density: int) -> int:
    """Diameter of all strands pressed: d(cm) = 4.44e-3 √(tex/ρ), ρ in mg/cm³ (published handbook formula)."""
    return half_up(44.4 * sqrt(mtex / 1000 * strands / (density / 1000)))
