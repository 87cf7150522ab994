"""What `check` and `sizes` print: yes or no for each loom and for each size, and the span of an item without a size."""

from typing import Literal

from pydantic import Field

from solver.report.clash import ClashRule
from solver.report.find import AskPlan, Mm, Model, OptionPlan


class LoomCheck(Model):
    """Whether one loom allows the size: its best setup, or the rules that clash there and the nearest girths in reach.

    `drawn` shows the girths in reach on the scale of `scale`: "=" in reach, "." a gap, and the one wanted as "|", or as
    "#" where it is in reach.
    """

    loom: str
    allows: bool
    option: OptionPlan | None
    clash: list[ClashRule]
    says: str
    nearest_below_mm: Mm | None
    nearest_above_mm: Mm | None
    girths: int = Field(description="how many different girths the loom can make with everything else as asked")
    least_mm: Mm | None
    most_mm: Mm | None
    drawn: str


class CheckReport(Model):
    """What `check --json` prints for a size."""

    format: Literal["pegwright.check.v1"] = "pegwright.check.v1"
    ask: AskPlan
    looms: list[LoomCheck]
    complete: bool = Field(default=True, description="false where the time ran out before every loom was judged")
    scale: str
    cautions: list[str]
    notes: list[str]


class SpanRow(Model):
    """The girths that one way of working can make of an item, whatever its length."""

    loom: str
    spacers: int
    yarn: str
    strands: int
    pegs_least: int
    pegs_most: int
    girth_least_mm: Mm
    girth_most_mm: Mm
    girths: int
    gauge_basis: str


class SpanReport(Model):
    """What `check --json` prints without a size."""

    format: Literal["pegwright.span.v1"] = "pegwright.span.v1"
    item: str
    rib: str | None
    stitch: str
    rows: list[SpanRow]
    none: list[str] = Field(description="looms on which no yarn can be worked")
    notes: list[str]


class SizeRow(Model):
    """One size: its best setup, or why there is none."""

    size: str
    body_mm: Mm | None
    girth_mm: Mm
    length_mm: Mm
    long_mm: Mm = Field(description="as finished; length_mm is what the rows make")
    option: OptionPlan | None
    clash: list[ClashRule]
    says: str


class SizesReport(Model):
    """What `sizes --json` prints."""

    format: Literal["pegwright.sizes.v1"] = "pegwright.sizes.v1"
    item: str
    rib: str | None
    stitch: str
    rows: list[SizeRow]
    complete: bool = Field(default=True, description="false where the time ran out before every size was judged")
    cautions: list[str]
    notes: list[str]
