"""A kit as people look at it: what it holds, its swatches side by side, and what in it deserves a second look."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from catalog.kit import Counted, Kit, Swatch
from catalog.plausible import odd_in
from catalog.units import half_up
from catalog.yarn import classes_at, table, wraps_per_inch

FOUR_IN_UM, TEN_CM_UM = 101_600, 100_000


def inventory(kit: Kit) -> str:
    """ "3 looms, 3 yarns, 1 swatch, 1 wearer"."""
    named = [("loom", "looms"), ("yarn", "yarns"), ("swatch", "swatches"), ("wearer", "wearers")]
    counts = [(len(getattr(kit, one)), one, many) for one, many in named]
    return ", ".join(f"{n} {one if n == 1 else many}" for n, one, many in counts)


def listed(kit: Kit) -> list[dict[str, Any]]:
    """Every swatch in the file's order, as `swatch list --json` gives it: gauge per 4 in and per 10 cm, to 0.01."""
    return [_listed(swatch) for swatch in kit.swatch]


def _listed(swatch: Swatch) -> dict[str, Any]:
    known = swatch.knitted
    return {
        "loom": swatch.loom,
        "spacers": swatch.spacers,
        "yarn": swatch.yarn,
        "strands": swatch.strands,
        "stitch": swatch.stitch,
        "stitches_per_4in": per(swatch.stitches, FOUR_IN_UM),
        "rows_per_4in": per(swatch.rows, FOUR_IN_UM),
        "stitches_per_10cm": per(swatch.stitches, TEN_CM_UM),
        "rows_per_10cm": per(swatch.rows, TEN_CM_UM),
        "stitches": {"count": float(swatch.stitches.count), "over_mm": swatch.stitches.over_um / 1000},
        "rows": {"count": float(swatch.rows.count), "over_mm": swatch.rows.over_um / 1000},
        "mass_g": None if swatch.mass_mg is None else swatch.mass_mg / 1000,
        "yarn_length_m": None if swatch.yarn_length_um is None else swatch.yarn_length_um / 1_000_000,
        "knitted": None if known is None else {"stitches": known.stitches, "rows": known.rows},
    }


def per(count: Counted, um: int) -> float:
    """Stitches or rows over `um`, to two decimals, halves upwards."""
    return half_up(um / count.each_um * 100) / 100


def warnings(kit: Kit) -> list[str]:
    """What is allowed but worth a look: odd measures, yarns without wraps, swatches outside their yarn's class."""
    return [*odd_in(kit), *_yarns(kit), *class_remarks(kit)]


def _yarns(kit: Kit) -> Iterator[str]:
    for yarn in kit.yarn:
        if wraps_per_inch(yarn) is None:
            words = f'class {yarn.weight} has no typical wraps per inch and "{yarn.name}" gives none'
            yield f'yarn "{yarn.name}": {words}, so only settings with a swatch can be worked in it'


def class_remarks(kit: Kit) -> Iterator[str]:
    """Swatches whose stitches are not those of their yarn's class: a remark, for a yarn may be knitted so."""
    yarns = {yarn.name: yarn for yarn in kit.yarn}
    for i, swatch in enumerate(kit.swatch, 1):
        gauge = FOUR_IN_UM / swatch.stitches.each_um
        suits, own = classes_at(Fraction(gauge)), yarns[swatch.yarn].weight
        if swatch.strands > 1 or own in suits:  # strands held together are thicker than their class
            continue
        at = f"swatch {i}: {float(gauge):.4g} stitches over 4 in"
        if not suits:
            yield f"{at} fall in no yarn class: the published ranges leave gaps"
        else:
            yield f'{at} are those of {_classes(suits)}, but "{swatch.yarn}" is class {_name(own)}'


def _classes(numbers: list[int]) -> str:
    return ("class " if len(numbers) == 1 else "classes ") + " and ".join(_name(n) for n in numbers)


def _name(number: int) -> str:
    return f"{number} ({table().classes[str(number)].name})"
