"""What `gauge` reports: the gauge of each setting, swatches in doubt, the swatch to knit next."""

from typing import Literal

from solver.report.find import Mm, Model


class SettingPlan(Model):
    """One way of knitting plain fabric."""

    loom: str
    spacers: int
    yarn: str
    strands: int
    stitch: Literal["u-wrap", "e-wrap"]


class GaugeRow(SettingPlan):
    """Its gauge: counts to 0.01, spreads one sd of a new piece; the yarn classes whose range the stitches fall in.

    `class_text` says it: "4 medium", "2 fine and 3 light" where ranges overlap, "none" where they leave a gap.
    `yours`: swatched, or how the loom stands now.
    """

    stitches_per_4in: float
    rows_per_4in: float
    stitches_per_10cm: float
    rows_per_10cm: float
    stitch_width_um: int
    row_height_um: int
    yarn_in_stitch_um: int
    stitches_spread_pct: float
    rows_spread_pct: float
    basis: Literal["measured", "blended", "estimate"]
    classes: list[int]
    class_text: str
    yours: bool


class Doubt(SettingPlan):
    """A swatch far from what the others foretell: its place in the kit, from 1, and what to look at again.

    `percent`: the count, or the yarn in a stitch, over what was foretold; `deviations`: in standard deviations.
    """

    swatch: int
    what: Literal["stitches", "rows", "yarn"]
    percent: int
    deviations: float
    says: str


class NextSwatch(SettingPlan):
    """The swatch that sharpens most the girth of the setup that would be knitted: its spread (one sd) now and after it.

    `girth_miss_*`: the miss of its girth to be expected of an unsure gauge, 0.8 sd.
    """

    item: str
    spread_now_pct: float
    spread_after_pct: float
    girth_miss_now_mm: Mm
    girth_miss_after_mm: Mm


class GaugeReport(Model):
    """What `gauge --json` prints. `next_swatch` is null where no item was asked for, or none can be made."""

    format: Literal["pegwright.gauge.v1"] = "pegwright.gauge.v1"
    gauges: list[GaugeRow]
    doubts: list[Doubt]
    next_swatch: NextSwatch | None
    notes: list[str]
