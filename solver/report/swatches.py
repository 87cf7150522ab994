"""What `swatch list --json` prints: the swatches of a kit, in the file's order."""

from typing import Literal

from solver.report.find import Mm, Model


class CountRow(Model):
    """What was counted over which length."""

    count: float
    over_mm: Mm


class KnittedRow(Model):
    """The size of the sample that was weighed or unravelled."""

    stitches: int
    rows: int


class SwatchRow(Model):
    """One swatch: its setting, its gauge per 4 in (10.16 cm) and per 10 cm, and its yarn where that was measured."""

    loom: str
    spacers: int
    yarn: str
    strands: int
    stitch: str
    stitches_per_4in: float
    rows_per_4in: float
    stitches_per_10cm: float
    rows_per_10cm: float
    stitches: CountRow
    rows: CountRow
    mass_g: float | None
    yarn_length_m: float | None
    knitted: KnittedRow | None


class SwatchesReport(Model):
    """The whole list."""

    format: Literal["pegwright.swatches.v1"] = "pegwright.swatches.v1"
    swatches: list[SwatchRow]
