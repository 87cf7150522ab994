"""What `batch --json` prints: who gets which setup, in which order on each loom, and what yarn is left."""

from typing import Literal

from pydantic import ConfigDict, Field

from solver.report.find import Model, OptionPlan
from solver.report.gauge import SettingPlan


class _Copy(Model):
    """One copy of a row; in JSON its number, from 1, is `copy`, a name that pydantic keeps for itself."""

    model_config = ConfigDict(serialize_by_alias=True)

    name: str
    copy_: int = Field(alias="copy")
    row: int
    item: str
    priority: int


class ElsewherePlan(Model):
    """A lesser piece on another loom than the main one: where and when, and what to change before it."""

    pieces: list[str]
    loom: str
    loom_no: int
    turn: int
    order: int
    changes: list[str]


class AssignedPlan(_Copy):
    """One copy and its setup. `loom_no` counts looms alike, `turn` the pieces worked on that one; both from 1.

    `order` is its place in the order of work over all looms. `wind_off_m` is its yarn, of all pieces and strands,
    rounded up to a mm; `row` is its row of the CSV, the heading being row 1.
    """

    option: OptionPlan
    loom_no: int
    turn: int
    order: int
    changes: list[str] = Field(description="what to alter on the loom before it, as the plan leaves it")
    elsewhere: list[ElsewherePlan]
    wind_off_m: float
    wind_off_g: float | None


class UnservedPlan(_Copy):
    """One copy that goes without, and one reason."""

    says: str


class YarnPlan(Model):
    """The ledger of one yarn, m to the mm: had + what is bought = used + left. Null where no stock is counted.

    `buy_balls`: balls to buy, or to have where no stock is counted; null where no ball's length is known.
    """

    yarn: str
    had_m: float | None
    used_m: float
    bought_m: float
    left_m: float | None
    buy_balls: int | None


class StagePlan(Model):
    """A stage of the plan: its value, the bound that no plan beats, and the gap between them in percent of the bound.

    Of "likely to fit" more is better, of the others less. `unit` is "pieces", "balls", "mm" or "changes".
    """

    stage: str
    unit: str
    value: float
    bound: float
    gap_pct: float


class SwatchPlan(SettingPlan):
    """The swatch that leaves the pieces of the plan least unsure: the mean spread of their girths now and after it."""

    pieces: int
    spread_now_pct: float
    spread_after_pct: float


class BatchReport(Model):
    """The whole batch. `complete`: every stage is proven. `likely_to_fit` sums chance_of_fit over what is assigned."""

    format: Literal["pegwright.batch.v1"] = "pegwright.batch.v1"
    assigned: list[AssignedPlan]
    unserved: list[UnservedPlan]
    yarn: list[YarnPlan]
    served: int
    asked: int
    likely_to_fit: float
    changes: int
    stages: list[StagePlan]
    complete: bool
    out_of_time: bool = Field(description="the clock stopped a stage: another run may find another plan")
    next_swatch: SwatchPlan | None
    cautions: list[str]
    notes: list[str]
