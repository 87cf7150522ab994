"""A swatch that is about to be kept, held against the kit: is it doubted, and does it cast doubt on another?"""

from collections.abc import Mapping
from typing import Any, NamedTuple

from pydantic import ValidationError

from catalog.kit import Kit, Swatch
from catalog.kitcheck import as_named, clashes
from solver.gauging.doubt import doubt_words, doubts, in_kit


class Judged(NamedTuple):
    """What is doubted of the new swatch, and what it newly casts doubt on, each in words."""

    itself: list[str]
    others: list[str]


def judged(kit: Kit, entry: Mapping[str, Any]) -> Judged:
    """A kit's `[[swatch]]` to be, against the others. What the kit could not hold is not judged: its writer tells."""
    try:
        swatch = Swatch.model_validate(entry)
    except ValidationError:
        return Judged([], [])
    full = as_named(kit.model_copy(update={"swatch": (*kit.swatch, swatch)}))
    if next(clashes(full), None):
        return Judged([], [])
    before, last = {(d.place, d.what) for d in doubts(kit).told}, len(kit.swatch)
    told = doubts(full).told
    return Judged(
        [doubt_words(full, d) for d in told if d.place == last],
        [in_kit(full, d) for d in told if d.place != last and (d.place, d.what) not in before],
    )
