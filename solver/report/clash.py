"""What `find` prints where no setup holds all rules: the clash, a reason for each loom, and the repairs."""

from typing import Literal

from solver.report.find import AskPlan, Model, OptionPlan


class ClashRule(Model):
    """One rule of the clash: its clause, and the two numbers that it turns on (lengths in mm).

    `stops`: of a law, how many of the ways that could be built it stops; of a wish None.
    """

    rule: str
    says: str
    need: float
    have: float
    unit: str
    stops: int | None = None


class LoomReason(Model):
    """Why not on one loom."""

    loom: str
    rules: list[str]
    says: str


class GivePlan(Model):
    """One rule that gives in a repair: what to do, and by how much the rule gives (lengths in mm)."""

    rule: str
    says: str
    by: float
    unit: str


class KitChange(Model):
    """One number of the kit that changes: the entry of which table, under which key, what it was and would be."""

    table: str
    name: str
    key: str
    was: float
    now: float


class RepairPlan(Model):
    """A changed wish or a changed kit that lets a setup exist, and the option that then comes first.

    `asks`: the whole changed wish, each option of the command without its dashes with the text typed after it. `kit`:
    what changes in the kit, for what has to be bought; empty for nothing. `another_size`: so far from what was wanted
    that it is another size.
    """

    gives: list[GivePlan]
    says: str
    asks: dict[str, str]
    kit: list[KitChange]
    another_size: bool
    option: OptionPlan


class ClashReport(Model):
    """No setup holds all rules: the smallest rules that cannot all hold, and what would have to give.

    `says` is the one sentence, `tells` the rules that it speaks of, the law that stops the most ways first; `ways`
    are all that could be built; `nearest` is the setup that it points at. `told` is the clash among these ways, `clash`
    the one that is proven with every law that is dropped reaching beyond them (400 pegs, 6 boards a side, 8 spacers).
    """

    format: Literal["pegwright.clash.v1"] = "pegwright.clash.v1"
    ask: AskPlan
    says: str
    tells: list[str]
    ways: int
    told: list[ClashRule]
    clash: list[ClashRule]
    nearest: OptionPlan | None
    looms: list[LoomReason]
    repairs: list[RepairPlan]
    cautions: list[str]
    notes: list[str]
