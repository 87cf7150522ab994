"""Pictures of the choice: likely miss against yarn with the front, the sizes in reach, and a page with every sheet."""

from collections.abc import Sequence
from pathlib import Path

from catalog.item import item
from catalog.units import CM_UM, IN_UM, half_up, length_text, yarn_text
from solver.asking.wish import Wish
from solver.formats.blocks import Cautions
from solver.formats.html import render
from solver.formats.plots import Dot, PlotPicture, Strip, StripPicture, plot_kind, plot_picture, strip_picture
from solver.page.choice_words import (
    alike,
    alike_words,
    figures,
    fits_words,
    front_words,
    heads,
    proof_words,
    worked_with,
)
from solver.page.contents import sheet_of
from solver.plan.answer import Answer
from solver.plan.saved import plan_of
from solver.report.find import FindReport
from solver.terms import Terms, count, lengths_said
from solver.why.either_way import cells_either_way
from solver.why.reach import ANY_LOOM, girths_in_reach

YARD_M = 0.9144
STYLE = """
.ground { fill: #fdfcf8 } .note { fill: #26302c; font: 15px sans-serif }
.strong { fill: #1f5e53; font: bold 17px sans-serif } .grid { stroke: #8b948c; stroke-width: .6; fill: none }
.front { stroke: #1f5e53; stroke-width: 2; stroke-dasharray: 6 4; fill: none } .best { fill: #1f5e53; stroke: #1f5e53 }
.other { fill: #fdfcf8; stroke: #26302c; stroke-width: 1.8 } .leader { stroke: #8b948c; stroke-width: 1; fill: none }
"""


def plot_svg(report: FindReport, unit: str = "cm") -> str:
    """Likely miss against yarn as one SVG file that needs nothing else; `unit` is in or cm."""
    return render("plot.svg.j2", picture=_plot(report, unit, ()), style=STYLE).strip() + "\n"


def plot_png(report: FindReport, unit: str = "cm") -> bytes:
    """The same picture as PNG, 1120 pixels wide, where the library that draws it is there."""
    from resvg_py import svg_to_bytes

    return bytes(svg_to_bytes(svg_string=plot_svg(report, unit)))


def plot_file(report: FindReport, unit: str, path: Path) -> bytes:
    """The bytes of a plot file, by the ending of its name. Raises InputError as `plot_kind` does."""
    return plot_png(report, unit) if plot_kind(path) == ".png" else plot_svg(report, unit).encode()


def choice_page(answer: Answer, wish: Wish, kit: str | None = None, reader: str = "us", file: str | None = None) -> str:
    """One HTML file: the ranked table, the plot, a strip of sizes for every loom, and every option's sheet, folded."""
    report, terms = answer.report, Terms(reader, wish.unit)
    plans = [plan_of(answer, wish, kit, option.rank) for option in report.options]
    recipe, options, unit = item(wish.item, wish.recipes), report.options, wish.unit
    shared = alike(options)
    meaning = (
        alike_words(options), front_words(options), fits_words(report, unit, flat=recipe.flat), proof_words(report),
    )  # fmt: skip
    long = lengths_said((n.name, terms.tape(half_up(n.mm * 1000))) for n in report.ask.lengths)
    return render(
        "choice.html.j2",
        title=title_of(answer, wish, terms),
        summary=f"{long[:1].upper()}{long[1:]}. {count(len(plans), 'way')} to make it.",
        notes=report.notes,
        columns=(*heads(options, flat=recipe.flat), "worked with"),
        rows=[(o.rank, (*figures(o, unit, flat=recipe.flat), worked_with(o, unit, shared))) for o in options],
        meaning=[words for words in meaning if words],
        plot=_plot(report, unit, [option.rank for option in options]),
        strips=strips_of(answer, unit),
        care=[Cautions(tuple(report.cautions))] if report.cautions else [],
        sheets=[(str(plan.option.rank), sheet_of(plan, reader, file)) for plan in plans],
    )


def title_of(answer: Answer, wish: Wish, terms: Terms) -> str:
    """What is wanted, and how big."""
    recipe = item(wish.item, wish.recipes)
    wanted = f"{terms.tape(half_up(answer.report.ask.girth_mm * 1000))} {'wide' if recipe.flat else 'round'}"
    return f"{recipe.title[:1].upper()}{recipe.title[1:]}, {wanted}"


def _plot(report: FindReport, unit: str, linked: Sequence[int]) -> PlotPicture:
    yarn, each = ("yd", IN_UM / 1000) if unit == "in" else ("m", CM_UM / 1000)
    dots = [
        Dot(
            str(o.rank), o.yarn_m / (YARD_M if unit == "in" else 1), o.likely_miss_mm / each, o.front,
            f"option-{o.rank}" if o.rank in linked else "",
            f"Option {o.rank}: {o.loom}, {o.pegs} pegs, {o.yarn}, likely miss "
            f"{length_text(half_up(o.likely_miss_mm * 1000), unit)}, {yarn_text(half_up(o.yarn_m * 1_000_000), unit)}",
        )
        for o in report.options
    ]  # fmt: skip
    words = (
        "Lower fits likelier, further left takes less yarn. Diamonds on the broken line are the front: no option beats "
        "one of them on both. Circles are beaten. Numbers are ranks."
    )
    return plot_picture(dots, f"yarn, {yarn}", f"likely miss, {unit}", words)


def strips_of(answer: Answer, unit: str) -> StripPicture:
    """Every girth that each loom can make, beside the one asked for; `unit` is in or cm."""
    main, each = answer.ask.pieces[0], IN_UM if unit == "in" else CM_UM
    strips = [
        Strip(loom, tuple(um / each for um in girths.measured), tuple(um / each for um in girths.reckoned))
        for loom, girths in girths_in_reach(cells_either_way(answer.ask), ANY_LOOM).items()
    ]
    least, most = main.girth_low_um, main.girth_um + main.girth_tol_um
    words = (
        "Every stroke is a girth that a loom can make with some yarn of the kit, everything but the girth as asked: "
        "tall from a measured gauge, short from a reckoned one. Gaps are out of reach. The shaded stripe is near "
        "enough to what was asked."
    )
    pinned = answer.ask.pins.loom
    words += f" Looms beside the {pinned} are drawn too, as if they had been asked for." if pinned else ""
    wanted = (main.girth_um / each, least / each, most / each)
    return strip_picture(strips, wanted, length_text(main.girth_um, unit), f"girth, {unit}", words)


def plot_of(report: FindReport, unit: str, linked: Sequence[int]) -> PlotPicture:
    """The plot as a picture for a page of its own making; the options in `linked` lead to "#option-N" there."""
    return _plot(report, unit, linked)
