"""`pegwright show …`: the catalogue, with the source of every number."""

from collections.abc import Sequence
from typing import Annotated

import typer

from solver.cli.data import put

show_app = typer.Typer(no_args_is_help=True, help="Show the catalogue: items, yarns, stitches, bodies, rules, sources.")


def _print(title: str, columns: tuple[str, ...], rows: Sequence[Sequence[object]]) -> None:
    from solver.cli.grid import grid, show

    show(grid(title, columns, rows))


def _tell(line: str) -> None:
    from solver.cli.table import folded, say, terminal_width

    say(*folded([line], terminal_width()))


@show_app.command("items")
def items() -> None:
    """What can be made, and from which body girth."""
    from catalog.item import item, item_names

    rows = [(i.name, i.title, i.body or "its own girth", i.rib) for i in map(item, item_names())]
    _print("Items", ("name", "what it is", "girth from", "rib"), rows)


@show_app.command("yarns")
def yarns() -> None:
    """The classes of the Standard Yarn Weight System and what is taken where a label is silent."""
    from catalog.yarn import table

    known = table()
    rows = [
        (k, c.name, f"{c.stitches[0]}-{c.stitches[1]}" if c.stitches[0] else f"up to {c.stitches[1]}",
         c.wraps_per_inch and float(c.wraps_per_inch), c.tex and float(c.tex))
        for k, c in sorted(known.classes.items())
    ]  # fmt: skip
    _print("Yarn classes", ("class", "name", "#stitches / 4 in", "#wraps / in", "#tex"), list(rows))
    for name, origin in (("stitches", known.stitches), ("wraps", known.wraps_per_inch), ("tex", known.tex)):
        _tell(f"{name}: {origin.source} [{origin.flag}]")
    _print("Fibres", ("fibre", "#density g/cm3"), [(k, float(v)) for k, v in sorted(known.fibre.items())])
    _tell(f"density: {known.density.source} [{known.density.flag}]")


@show_app.command("stitches")
def stitches() -> None:
    """The kinds of section: cast-ons, plain, ribs, ends."""
    from catalog.item import kinds

    rows = [(k.name, k.title, k.role, len(k.pattern) if k.rib else None, k.words) for k in kinds().values()]
    _print("Kinds of section", ("name", "title", "role", "#repeat", "how"), list(rows))


@show_app.command("bodies")
def bodies(
    sex: Annotated[str | None, typer.Option(metavar="SEX", help="female or male; else the mean of both.")] = None,
    units: Annotated[str, typer.Option(metavar="in|cm", help="The unit of lengths.")] = "cm",
) -> None:
    """Heads, hands and feet by age and size, with their spread and source."""
    from catalog.body import MEASURES, rows
    from catalog.units import length_text
    from solver.cli.options import one_of

    one_of("units", units, ("in", "cm"))
    one_of("sex", sex, ("female", "male"))
    table = []
    for row in rows(sex):
        cells = [length_text(int(v), units).split()[0] if (v := row.get(f"{m}_um")) else None for m in MEASURES]
        table.append((row["size"], *cells, row["source"]))
    heads = ("size", *(f"#{m.replace('_', ' ')}" for m in MEASURES), "source")
    _print(f"Bodies, {units}", heads, list(table))


@show_app.command("rules")
def rules_() -> None:
    """The rules in order: laws of the loom first, wishes last."""
    from solver.door import rules

    _print("Rules", ("name", "it holds when"), [(r.name, r.sentence) for r in rules()])


@show_app.command("sources")
def sources() -> None:
    """Every number of the catalogue with its flag and source: figures, recipes, kinds of section, tables of bodies."""
    from catalog.body import sources as body_sources
    from catalog.figure import figures
    from catalog.item import sourced
    from catalog.source import FLAGS

    rows = [(name, f"{float(f.value):g}", f.flag, f.source) for name, f in sorted(figures().items())]
    _print("Figures", ("name", "#value", "flag", "source"), rows)
    _print("Recipes and kinds of section (lengths in mm)", ("where", "#value", "flag", "source"), list(sourced()))
    _print("Bodies", ("name", "flag", "source"), [(s["name"], s["flag"], s["source"]) for s in body_sources()])
    for flag, words in FLAGS.items():
        _tell(f"{flag}: {words}")


@show_app.command("schema")
def schema(report: Annotated[str, typer.Argument(metavar="REPORT")] = "find") -> None:
    """The JSON schema of a report."""
    import json

    from catalog.errors import unknown_word
    from solver.report.schemas import SCHEMAS

    if report not in SCHEMAS:
        raise unknown_word("report", "report", report, SCHEMAS)
    put(json.dumps(SCHEMAS[report].model_json_schema(), indent=2) + "\n")
