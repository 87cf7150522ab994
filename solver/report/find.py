"""What `find` reports, in plain measures: an ask, its options, their pieces and sections.

Lengths are mm to three decimals (µm / 1000), yarn m and g; misses are finished − wanted. The models publish their own
schema (`pegwright show schema`).
"""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from catalog.item import BindOff

Mm = Annotated[float, Field(description="millimetres", ge=-1e9, le=1e9)]
Size = Annotated[float, Field(description="millimetres", gt=0, le=1e9)]
Pegs = Annotated[int, Field(ge=0, le=10_000)]
Um = Annotated[int, Field(ge=1, le=10**10)]  # a thousandth of a stitch over 5 m is 5 km
Rows = Annotated[int, Field(ge=0, le=1_000_000)]


class Model(BaseModel):
    """A frozen report with no unknown keys and no number that is none."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class SectionPlan(Model):
    """A section of one copy of a piece: rows, pegs, stitches, and its yarn with margin, all strands."""

    kind: str
    rows: Rows
    pegs: Pegs
    stitches: int
    yarn_mm: Mm


class LengthPlan(Model):
    """A length by its name: "long" is the whole of the finished piece; a foot, a leg, what lies without the cuff."""

    name: str
    mm: Mm


class PiecePlan(Model):
    """One piece: how many copies, on which loom and pegs, its rows and sections."""

    name: str
    copies: Annotated[int, Field(ge=1, le=100)]
    loom: str
    spacers: Annotated[int, Field(ge=0, le=100)]
    pegs: Pegs
    rows_total: Rows
    rows_plain: Rows
    rows_band: Rows
    girth_mm: Size
    length_mm: Size
    side_boards: list[str]
    end_board: str | None
    pegs_per_side: Pegs | None
    pegs_per_end: Pegs | None
    must_pass_mm: Size | None = Field(description="what has to go through it, where that is known")
    flat: bool = Field(default=False, description="worked to and fro; of a pair's thumb, and sewn up")
    lengths: list[LengthPlan] = Field(
        min_length=1, description="of the finished piece, the whole first; length_mm is its rows"
    )
    sections: list[SectionPlan]


class OptionPlan(Model):
    """One setup; the figures are those of the main piece, yarn that of all pieces and copies with margin."""

    rank: int
    front: bool
    loom: str
    build: Literal["ring", "slider", "boards"]
    side_boards: list[str]
    end_board: str | None
    pegs: Pegs
    pegs_per_side: Pegs | None
    pegs_per_end: Pegs | None
    spacers: Annotated[int, Field(ge=0, le=100)]
    yarn: str
    strands: Annotated[int, Field(ge=1, le=100)]
    rib: str | None
    stitch: str
    bind_off: BindOff | None
    pieces: list[PiecePlan]
    rows_total: Rows
    rows_plain: Rows
    rows_band: Rows
    sections: list[SectionPlan]
    stitch_width_um: Um
    row_height_um: Um
    gauge_basis: Literal["measured", "blended", "estimate"]
    gauge_spread_pct: float
    girth_mm: Size
    girth_likely_mm: tuple[float, float]
    length_mm: Size
    band_depth_mm: Mm | None
    band_relaxed_girth_mm: Mm | None
    girth_miss_mm: Mm
    length_miss_mm: Mm
    band_miss_mm: Mm | None
    fit_error_mm: Mm
    risk_mm: Mm
    likely_miss_mm: Mm
    score_mm: float
    chance_of_fit: float
    yarn_m: float
    yarn_margin_m: float
    yarn_g: float | None
    balls: int | None
    yarn_on_hand_m: float | None
    changes: list[str]


class BandPlan(Model):
    """The depths that the band may have."""

    least: Mm
    prefer: Mm
    most: Mm


class AskPlan(Model):
    """The ask as understood; girth and length are those of the main piece."""

    item: str
    girth_mm: Mm
    length_mm: Mm
    lengths: list[LengthPlan] = Field(
        min_length=1, description="as finished, the whole first; length_mm is what the rows make"
    )
    band_mm: BandPlan | None
    rib: str | None
    stitch: str
    bind_off: BindOff | None
    ease_mm: Mm | None
    body_mm: Mm | None
    girth_within_mm: Mm
    length_within_mm: Mm
    yarn_price_mm_per_m: float
    risk_weight: float
    sure: float | None = Field(default=None, description="how likely, 0-1, the girth must be within its limit")


class FindReport(Model):
    """What `find --json` prints; `complete` only when it is proven that no better option was left out."""

    format: Literal["pegwright.find.v1"] = "pegwright.find.v1"
    ask: AskPlan
    options: list[OptionPlan]
    complete: bool
    cautions: list[str]
    notes: list[str]
