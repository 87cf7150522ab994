"""The gauge of every setting of a kit as a report, with the swatches in doubt."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from catalog.errors import bad_word, unknown_word
from catalog.kit import STITCHES, Frame, Kit, Loom
from catalog.kitview import FOUR_IN_UM, TEN_CM_UM, class_remarks
from catalog.units import half_up
from catalog.yarn import classes_at, table, wraps_per_inch
from solver.gauging.doubt import doubts, in_kit, loop_notes
from solver.gauging.observation import setting_of, unused_masses
from solver.gauging.posterior import Gauge, gauges
from solver.gauging.prior import Setting
from solver.model.ask import Pins
from solver.report.gauge import Doubt, GaugeReport, GaugeRow


def gauge_report(
    kit: Kit, pins: Pins | None = None, stitch: str | None = None, *, measured_only: bool = False
) -> GaugeReport:
    """The gauge of each setting that `pins` and `stitch` leave, one strand unless more are pinned or swatched.

    In name order: loom, yarn, strands, stitch, spacers. With `measured_only` swatched settings alone, by their own
    counts. Raises InputError for a name that does not exist.
    """
    wanted = settings(kit, pins or Pins(), stitch)
    found = gauges(kit, wanted, pooled=measured_only)
    standing = {(loom.name, now) for loom in kit.loom if (now := _spacers_now(loom)) is not None}
    rows = [
        gauge_row(s, found[s], yours=found[s].swatched or ((s.loom, s.spacers) in standing and s.stitch == STITCHES[0]))
        for s in sorted(found, key=_place)
        if found[s].swatched or not measured_only
    ]
    doubted = [
        Doubt(
            **words(setting_of(kit.swatch[d.place])),  # type: ignore[arg-type]
            swatch=d.place + 1,
            what=d.what,  # type: ignore[arg-type]
            percent=d.percent,
            deviations=round(d.deviations, 1),
            says=in_kit(kit, d),
        )
        for d in doubts(kit).told
    ]
    silent = [] if measured_only else list(_without_guess(kit, {s.yarn for s in wanted}))
    notes = [*silent, *unused_masses(kit), *loop_notes(kit), *class_remarks(kit)]
    return GaugeReport(gauges=rows, doubts=doubted, next_swatch=None, notes=notes)


def _place(at: Setting) -> tuple[object, ...]:
    return at.loom, at.yarn, at.strands, STITCHES.index(at.stitch), at.spacers


def settings(kit: Kit, pins: Pins, stitch: str | None) -> list[Setting]:
    """The settings that the pins leave. Raises InputError where they leave none."""
    for what, name, known in (
        ("loom", pins.loom, [e.name for e in kit.loom]),
        ("yarn", pins.yarn, [e.name for e in kit.yarn]),
    ):
        if name is not None and name not in known:
            raise unknown_word(what, what, name, known)
    looms = [e for e in kit.loom if pins.loom in (None, e.name)]
    most = max((_most(loom) for loom in looms), default=0)
    if pins.spacers is not None and pins.spacers > most:
        raise bad_word("spacers", pins.spacers, f"at most {most}, as the looms allow")
    every = [
        Setting(loom.name, s, yarn.name, pins.strands or 1, each)
        for loom in looms for s in range(_most(loom) + 1) for yarn in kit.yarn for each in STITCHES
    ]  # fmt: skip
    return list(dict.fromkeys(s for s in (*every, *map(setting_of, kit.swatch)) if _left(s, pins, stitch)))


def _left(setting: Setting, pins: Pins, stitch: str | None) -> bool:
    asked = (pins.loom, pins.spacers, pins.yarn, pins.strands, stitch)
    return all(want in (None, have) for want, have in zip(asked, setting, strict=True))


def _most(loom: Loom) -> int:
    return loom.spacers.most if isinstance(loom, Frame) and loom.spacers else 0


def _spacers_now(loom: Loom) -> int | None:
    """The spacers that a loom stands with; None for a frame of which nothing is said."""
    if isinstance(loom, Frame):
        return loom.set_up_as.spacers if loom.set_up_as else None
    return 0


def words(setting: Setting) -> dict[str, object]:
    return setting._asdict()


def gauge_row(setting: Setting, gauge: Gauge, *, yours: bool) -> GaugeRow:
    """One setting's line. The class is that of the stitches over 4 in to a tenth, as they are shown."""
    classes = classes_at(_tenths(FOUR_IN_UM, gauge.width_um))
    return GaugeRow(
        **words(setting),  # type: ignore[arg-type]
        stitches_per_4in=_per(FOUR_IN_UM, gauge.width_um),
        rows_per_4in=_per(FOUR_IN_UM, gauge.height_um),
        stitches_per_10cm=_per(TEN_CM_UM, gauge.width_um),
        rows_per_10cm=_per(TEN_CM_UM, gauge.height_um),
        stitch_width_um=gauge.width_um,
        row_height_um=gauge.height_um,
        yarn_in_stitch_um=gauge.loop_um,
        stitches_spread_pct=round(gauge.width_ppm / 10_000, 2),
        rows_spread_pct=round(gauge.height_ppm / 10_000, 2),
        basis=gauge.basis,  # type: ignore[arg-type]
        classes=classes,
        class_text=" and ".join(f"{k} {table().classes[str(k)].name}" for k in classes) or "none",
        yours=yours,
    )


def shown(over_um: int, each_um: int | float) -> str:
    """How many go into a length, to a tenth, halves upwards."""
    return f"{float(_tenths(over_um, each_um)):.1f}"


def _tenths(over_um: int, each_um: int | float) -> Fraction:
    return Fraction(half_up(10 * over_um / Fraction(each_um)), 10)


def _per(over_um: int, each_um: int) -> float:
    return half_up(Fraction(100 * over_um, each_um)) / 100


def _without_guess(kit: Kit, yarns: Iterable[str]) -> Iterator[str]:
    for yarn in sorted(kit.yarn, key=lambda y: y.name):
        if yarn.name in yarns and wraps_per_inch(yarn) is None:
            yield (
                f"no starting guess for {yarn.name}: class {yarn.weight} has no wraps per inch in the catalogue; "
                "give wraps_per_inch, or knit a swatch"
            )
