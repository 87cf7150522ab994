"""What `adjust` reports, in plain measures: lengths in mm, yarn in m."""

from typing import Literal

from pydantic import Field

from catalog.shapes import Fit
from solver.report.find import Mm, Model, OptionPlan


class GaugeNow(Model):
    """The piece's own gauge as counted, and in whole µm; spreads one sd, of the counting alone."""

    counted_stitch_width_um: float
    counted_row_height_um: float
    stitch_width_um: int
    row_height_um: int
    stitches_spread_pct: float
    rows_spread_pct: float
    planned_stitch_width_um: int
    planned_row_height_um: int


class GirthNow(Model):
    """What it will measure round (a panel: across). `low_mm` to `high_mm` suits; `fit` is the nearest of the item's."""

    girth_mm: Mm
    likely_mm: tuple[float, float] = Field(description="holds the girth with chance 0.8")
    planned_mm: Mm
    wanted_mm: Mm
    low_mm: Mm
    high_mm: Mm
    body_mm: Mm | None
    ease_mm: Mm | None
    fit_asked: Fit | None
    fit: Fit | None
    chance: float
    suits: bool


class SectionLeft(Model):
    """Rows of all pegs of one section: as planned, worked so far (what is to be taken back left out), in the end."""

    kind: str
    rows_planned: int
    rows_done: int
    rows: int
    rows_left: int


class LengthNow(Model):
    """The rows that are left, and the length and band that they make. `take_back`: rows to undo first."""

    done_mm: Mm = Field(description="length of the rows worked, before any is taken back")
    take_back: int
    rows_left: int
    rows_left_plain: int
    rows_left_band: int
    rows_total: int
    sections: list[SectionLeft]
    length_mm: Mm
    wanted_mm: Mm
    within_mm: Mm
    band_depth_mm: Mm | None
    suits: bool


class OtherPiece(Model):
    """A lesser piece, not begun: its rows by the new gauge, where it is worked as the main piece is."""

    name: str
    pegs: int
    girth_mm: Mm
    rows_total: int
    rows_planned: int


class YarnNow(Model):
    """Yarn of all pieces and copies with margin, and about how much of it is worked; null on hand: any amount."""

    needed_m: float
    used_m: float
    still_m: float
    planned_m: float
    on_hand_m: float | None
    spare_m: float | None
    balls: int | None
    lasts: bool


class CountAgain(Model):
    """A count further from the plan than honest counts are, and how many sds."""

    what: Literal["stitches", "rows"]
    counted: float
    over_mm: Mm
    foretold: float
    deviations: float


class AsPlanned(Model):
    """What comes of the piece if the doubted count was wrong and the plan right."""

    girth: GirthNow
    length: LengthNow
    start_again: bool


class AdjustReport(Model):
    """What `adjust --json` prints. `again` is the best setup by the new gauge, null where there is none, or
    none is known yet: `again_complete` says whether the time was enough.

    `count_again` is empty, and `as_planned` null, where the counts are as far from the plan as honest ones may be.
    """

    format: Literal["pegwright.adjust.v1"] = "pegwright.adjust.v1"
    item: str
    piece: str
    copies: int
    flat: bool
    pegs: int
    rows_done: int
    rows_planned: int
    gauge: GaugeNow
    girth: GirthNow
    length: LengthNow
    others: list[OtherPiece]
    yarn: YarnNow
    start_again: bool
    again: OptionPlan | None
    again_complete: bool
    count_again: list[CountAgain]
    as_planned: AsPlanned | None
    notes: list[str]
