"""Why a way of working fails before a peg is chosen, or a choice is not the one named: a sentence for each rule."""

from collections.abc import Callable
from fractions import Fraction

from catalog.figure import figure
from catalog.units import half_up
from solver.plan.changes import spacers
from solver.terms import count
from solver.why.violations import bits
from solver.why.words.phrases import Case, Said, verb, worked


def pitch(case: Case) -> Said:
    way, pitch = case.way, case.way.loom.pitch_um
    lofty = way.lofty_um or 0
    low, high = (half_up(figure(f"lofty_{end}_of_pitch") * pitch) for end in ("least", "most"))
    limit, word = (low, "at least") if lofty < low else (high, "at most")
    apart = f"pegs {case.um(pitch, places=2)} apart ask for {word} {case.um(limit, lofty, 2)}"
    thick = f"{worked(way, on=False)} {verb(way, 'is', 'are')} {case.um(lofty, limit, 2)} thick"
    says = f"{thick} where on the {way.loom.name} {apart}"
    return Said(says, limit, lofty, "um")


def jammed(case: Case) -> Said:
    way = case.way
    need = half_up(figure("jam_ratio") * (way.pressed_um or 0))
    loop, most = case.um(way.loop_um, need, 2), case.um(need, way.loop_um, 2)
    return Said(
        f"{worked(way)} {verb(way, 'makes', 'make')} loops of {loop}, too short for a yarn that needs {most} to bend",
        need,
        way.loop_um,
        "um",
    )


def flimsy(case: Case) -> Said:
    way = case.way
    most = half_up(Fraction(way.tightness or 0) / figure("flimsy_tightness"))
    loop, limit = case.um(way.loop_um, most, 2), case.um(most, way.loop_um, 2)
    return Said(
        f"{worked(way)} {verb(way, 'makes', 'make')} loops of {loop}, flimsy beyond {limit}", most, way.loop_um, "um"
    )


def measured(case: Case) -> Said:
    if case.nearest.allowed == bits("gauge-measured"):
        lacking = f"{worked(case.way)} {verb(case.way, 'has', 'have')} no swatch"
    else:
        lacking = "the settings that would do have no swatch"
    wish = "you want measured gauges only"
    return Said(f"{wish} and {lacking}", 1, 0, "swatches", wish)


def pinned(field: str) -> Callable[[Case], Said]:
    def says(case: Case) -> Said:
        pin, way = getattr(case.ask.pins, field), case.way
        if field in ("loom", "yarn"):
            other = f"the {way.loom.name}" if field == "loom" else way.yarn
            wish = f"you name {'the ' * (field == 'loom')}{pin}"
            return Said(f"{wish}{_would_do(case, field, other)}", 1, 0, "", wish)
        have = case.pegs if field == "pegs" else getattr(way, field)
        what = {"pegs": "peg", "strands": "strand"}.get(field)
        named, other = (count(pin, what), str(have)) if what else (spacers(pin), str(have) if have else "none")
        return Said(f"you name {named}{_would_do(case, field, other)}", pin, have, field, f"you name {named}")

    return says


def _would_do(case: Case, field: str, other: str) -> str:
    """What would do instead of what is named; nothing where it would only do with more than that let go."""
    return "" if case.nearest.allowed & ~bits(f"pin-{field}") else f" where {other} would do"
