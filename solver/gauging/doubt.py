"""Swatches far from what all the others foretell: which are doubted, by how much, and what to count or weigh again.

Doubted is more than `outlier_sds` standard deviations from what the others and the guess foretell of its setting
without it. The furthest is set aside before the next is judged: all at once would doubt the honest ones. Stitches and
rows stand or fall together, for they were counted on one piece; a weighing is judged by itself and leaves them alone.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import exp
from typing import NamedTuple

from catalog.kit import Kit
from solver.gauging.gaussian import LeftOut, Posterior
from solver.gauging.loop_length import loop_ratio, loop_sds
from solver.gauging.observation import Observation, Sds, ln_ratio, sds, setting_of, spread, swatches
from solver.gauging.prior import Prior, Setting, whole

FAR_VARIANCE = 100.0  # of a yarn without a guess nothing is foretold, so only swatches of one setting judge each other


class Doubt(NamedTuple):
    """One doubted figure of one swatch: `place` in kit.swatch from 0; what: stitches, rows or yarn.

    `off` is ln(found / foretold) of the count, or of the yarn in a stitch; `deviations` the same in sds. `others`:
    other swatches foretold it, not the starting guess or the formula alone.
    """

    place: int
    what: str
    off: float
    deviations: float
    others: bool

    @property
    def percent(self) -> int:
        """How much more, or less, was found than foretold."""
        return whole(abs(exp(self.off) - 1) * 100)


@dataclass(frozen=True, slots=True)
class Doubts:
    """The swatches of a kit, by their place from 0, whose counts are doubted, whose weighing is, and each with why."""

    counts: frozenset[int] = frozenset()
    yarn: frozenset[int] = frozenset()
    told: tuple[Doubt, ...] = ()


def doubts(kit: Kit) -> Doubts:
    """Every doubted swatch, whatever the file's order. `checked` ones, counted twice, judge but are never doubted."""
    if not kit.swatch:
        return Doubts()
    sd = sds(kit)
    seen = swatches(kit, sd)
    guess = Prior(kit)
    told = [d for judged in _by_counts(kit, sd, guess, seen) for d in _furthest(kit, judged)]
    counts = frozenset(d.place for d in told)
    weighed = [(s, ln) for s in seen if s.place not in counts and (ln := loop_ratio(s)) is not None]
    rows = [(s.setting, ln, s.ratio_noise**2) for s, ln in weighed]
    if rows:
        loops = Posterior(kit, loop_sds(kit), rows).left_out()
        told += _furthest(kit, _Judged([s for s, _ in weighed], {"yarn": loops}))
    yarn = frozenset(d.place for d in told if d.what == "yarn")
    return Doubts(counts, yarn, tuple(sorted(told)))


class _Judged(NamedTuple):
    """Swatches that judge each other, and each quantity that they are judged by."""

    seen: Sequence[Observation]
    by: dict[str, LeftOut]


def _by_counts(kit: Kit, sd: Sds, guess: Prior, seen: Sequence[Observation]) -> Iterator[_Judged]:
    """All swatches that have a guess together; of the others those of each setting by themselves."""
    known, alone = [(s, um) for s in seen if (um := guess.stitch_um(s.setting))], dict[Setting, list[Observation]]()
    if known:
        wide: list[tuple[Setting, float, float]]
        wide = [(s.setting, ln_ratio(s.width_um, um[0]), s.width_noise**2) for s, um in known]
        high = [(s.setting, ln_ratio(s.height_um, um[1]), s.height_noise**2) for s, um in known]
        each = {"stitches": Posterior(kit, sd, wide).left_out(), "rows": Posterior(kit, sd, high).left_out()}
        yield _Judged([s for s, _ in known], each)
    for s in seen:
        if guess.stitch_um(s.setting) is None:
            alone.setdefault(s.setting, []).append(s)
    for group in alone.values():
        if len(group) > 1:
            yield _Judged(group, {"stitches": _bare(group, "width"), "rows": _bare(group, "height")})


def _bare(group: Sequence[Observation], size: str) -> LeftOut:
    """Swatches of one setting of which nothing else is foretold."""
    import numpy as np

    um = [getattr(s, f"{size}_um") for s in group]
    noise = np.diag([getattr(s, f"{size}_noise") ** 2 for s in group])
    return LeftOut(FAR_VARIANCE + noise, [ln_ratio(each, float(um[0])) for each in um])


def _furthest(kit: Kit, judged: _Judged) -> Iterator[Doubt]:
    """The doubtful ones, furthest first, each set aside before the next is judged."""
    limit, left = spread(kit, "outlier_sds"), len(judged.seen)
    may = [not kit.swatch[s.place].checked for s in judged.seen]
    while any(may):
        away = {what: each.away() for what, each in judged.by.items()}
        far = [max(abs(out) / sd for out, sd in each) for each in zip(*away.values(), strict=True)]
        worst = max((i for i, asked in enumerate(may) if asked), key=far.__getitem__)
        if far[worst] <= limit:
            return
        left, may[worst] = left - 1, False
        for what, each in away.items():
            out, sd = each[worst]
            if abs(out) > limit * sd:
                off = out if what == "yarn" else -out  # a wider stitch is a smaller count
                yield Doubt(judged.seen[worst].place, what, off, abs(out) / sd, left > 0)
            judged.by[what].set_aside(worst)


def doubt_words(kit: Kit, doubt: Doubt) -> str:
    """What a knitter is told of it, its swatch named by its number from 1."""
    at = f"swatch {doubt.place + 1} ({setting_words(setting_of(kit.swatch[doubt.place]))}) is doubted"
    by = "your other swatches foretell" if doubt.others else "the starting guess foretells"
    far = f"{doubt.percent} % {'more' if doubt.off > 0 else 'less'}, {doubt.deviations:.1f} sd off"
    if doubt.what == "yarn":
        by = "your other swatches and the formula foretell" if doubt.others else "the formula foretells"
        return (
            f"{at}: its yarn in a stitch is {exp(doubt.off):.2f} times what {by} ({far}). Weigh it again, and count "
            "again what was weighed"
        )
    counted = float(getattr(kit.swatch[doubt.place], doubt.what).count)
    return (
        f"{at}: {counted:g} {doubt.what} counted where {by} {counted / exp(doubt.off):.1f} ({far}). Count its "
        f"{doubt.what} again"
    )


def in_kit(kit: Kit, doubt: Doubt) -> str:
    """The same of a swatch that is in the kit: what it may still say, and how to say that it is right."""
    still = "its weight is left aside" if doubt.what == "yarn" else "it speaks for no other setting"
    return f"{doubt_words(kit, doubt)}; until then {still}. If it is right, write checked = true in its entry"


def setting_words(at: Setting) -> str:
    """A setting in words: "attic frame, 2 spacers, moss wool, u-wrap"."""
    spacers = f", {at.spacers} spacer{'' if at.spacers == 1 else 's'}" if at.spacers else ""
    strands = f"{at.strands} strands of " if at.strands > 1 else ""
    return f"{at.loom}{spacers}, {strands}{at.yarn}, {at.stitch}"


def doubt_notes(kit: Kit, most: int = 5, doubted: Doubts | None = None) -> list[str]:
    """A line for each doubted figure, the furthest out first; `doubted` where they are known already."""
    told = sorted((doubts(kit) if doubted is None else doubted).told, key=lambda d: (-d.deviations, d))
    lines = [in_kit(kit, d) for d in told[:most]]
    if len(told) > most:
        lines.append(f"{len(told) - most} more figures of swatches are doubted: `pegwright kit check` names them")
    return lines


def loop_notes(kit: Kit, doubted: Doubts | None = None) -> list[str]:
    """Where the yarn in a stitch comes from, where any swatch was weighed or unravelled; else it is the formula's."""
    if all(s.knitted is None for s in kit.swatch):
        return []
    doubted = doubts(kit) if doubted is None else doubted
    aside = doubted.counts | doubted.yarn
    told = {s.setting: None for s in swatches(kit, sds(kit)) if s.loop_um is not None and s.place not in aside}
    if not told:
        return []
    if len(told) > 1:
        names = ", ".join(dict.fromkeys(s.yarn for s in told))
        return [f"yarn learnt from the weighed swatches of {names}; a setting of theirs takes what was weighed there"]
    (at,) = told
    return [f"yarn learnt from the weighed swatch of {at.yarn} ({setting_words(at)})"]
