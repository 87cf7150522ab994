"""What the solver knows of a kit: which swatches are doubted, what a new one would say, the rules it is held to."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from catalog.kit import Kit
    from solver.gauging.newcomer import Judged
    from solver.model.rule import Rule


def judged(kit: "Kit", entry: Mapping[str, Any]) -> "Judged":
    """A swatch to be, against the others: what is doubted of it, what it newly casts doubt on."""
    from solver.gauging.newcomer import judged as judge

    return judge(kit, entry)


def doubts_of(kit: "Kit") -> Sequence[str]:
    """Every doubted figure of the swatches, in words."""
    from solver.gauging.doubt import doubt_notes

    return doubt_notes(kit, most=len(kit.swatch) * 3)


def setting_words(at: object) -> str:
    """A setting (a swatch, a row of a gauge, the next to knit) in words: loom, spacers, yarn, stitch."""
    from solver.gauging.doubt import setting_words as words
    from solver.gauging.prior import Setting

    return words(Setting(*(getattr(at, name) for name in Setting._fields)))


def rules() -> "Sequence[Rule]":
    """The rules in order: laws of the loom first, wishes last."""
    from solver.rules import RULES

    return RULES
