"""`pegwright sheet ITEM`: the page to follow at the loom, on the terminal or as Markdown or HTML."""

import inspect
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer

from catalog.errors import printable
from solver.cli.filename import file_name
from solver.cli.options import OUT, SHARED, Asked, asking

if TYPE_CHECKING:
    from catalog.outputs import Outputs
    from solver.plan.answer import Answer
    from solver.plan.saved import SavedPlan
    from solver.report.clash import ClashReport

STYLES = {
    "title": "bold", "heading": "bold underline", "step": "", "plain": "", "label": "", "check": "italic",
    "command": "bold", "caution": "bold yellow", "tick": "",
}  # fmt: skip
LEFT_OUT = ("top", "csv")  # a table's, not a sheet's
BESIDE_FROM = ("item", "units", "json")  # shared words that a saved plan does not say
Target = Path | None
Force = Annotated[bool, typer.Option("--force", help="Replace a file that is not ours.", rich_help_panel=OUT)]


def _file(option: str, help_: str) -> Any:
    return Annotated[
        Target, typer.Option(option, metavar="FILE", help=help_, rich_help_panel=OUT, parser=file_name(option[2:]))
    ]


@asking
def _sheet(
    asked: Asked,
    item: Annotated[
        str | None, typer.Argument(metavar="ITEM", help="What to make: `pegwright show items` lists them.")
    ] = None,
    option: Annotated[
        int, typer.Option(metavar="N", min=1, max=1000, help="Which of the ranked options.", rich_help_panel=OUT)
    ] = 1,
    saved: _file("--from", "A saved plan, instead of ITEM and its options.") = None,  # type: ignore[valid-type]
    html: _file("--html", "Write one HTML file, with drawings.") = None,  # type: ignore[valid-type]
    markdown: _file("--markdown", "Write Markdown.") = None,  # type: ignore[valid-type]
    save: _file("--save", "Keep the plan, for --from and `adjust`.") = None,  # type: ignore[valid-type]
    force: Force = False,
    words: Annotated[str, typer.Option(metavar="us|uk", help="bind off or cast off.", rich_help_panel=OUT)] = "us",
) -> None:
    """The page to follow at the loom, for the best or a chosen option."""
    from dataclasses import replace

    from solver.cli.progress import progress
    from solver.door import Undecided, answer, plan_of, save_plan
    from solver.terms import known_reader

    known_reader(words)
    outputs = outputs_of(asked.path, {"html": html, "markdown": markdown, "save": save}, force=force)
    with progress("looking for setups"):
        got = answer(asked.kit, replace(asked.wish, top=option))
    if not got.report.options and not got.report.complete:
        raise Undecided("no setup is known yet, and none is ruled out")
    if not got.report.options:
        not_written("nothing fits", save)
        _why_not(asked, got, words, html, markdown, outputs)
    plan = plan_of(got, asked.wish, str(asked.path) if asked.path else None, option)
    if save:
        save_plan(plan, save, outputs)
    put(plan, words, html, markdown, save, outputs, json=asked.json)
    if not got.report.complete:
        typer.echo("time ran out: a better option is not ruled out", err=True)
        raise typer.Exit(3)


def _why_not(asked: Asked, got: "Answer", words: str, html: Target, markdown: Target, outputs: "Outputs") -> NoReturn:
    """What `find` says where nothing fits, and the same as the page that was wanted."""
    from solver.cli.clash import say_why_not
    from solver.cli.pictures import draw_why_not

    def draw(report: "ClashReport") -> None:
        draw_why_not(got, report, asked, html, words, outputs, markdown)

    say_why_not(asked, got, draw)


def sheet_command(**given: Any) -> None:
    """The page to follow at the loom: ITEM with the options of `find`, or --from a saved plan."""
    given |= {name: SHARED[name][1] for name in LEFT_OUT}
    if given["saved"] is None:
        if given["item"] is None:
            raise _wrong("ITEM", "found nothing, expected what to make, or --from PLAN.json")
        _sheet(**given)
        return
    from solver.door import kit_places, load_plan

    told = [name for name, (_, default) in SHARED.items() if name not in BESIDE_FROM and given[name] != default]
    extra = ["ITEM"] * (given["item"] is not None) + [f"--{name.replace('_', '-')}" for name in told]
    extra += ["--option"] * (given["option"] != 1) + ["--save"] * (given["save"] is not None)
    if extra:
        raise _wrong("--from", f"found {extra[0]} beside it, expected one or the other: a saved plan says it all")
    plan = load_plan(given["saved"])
    if given["units"]:
        from solver.cli.options import one_of

        plan = plan.model_copy(update={"unit": one_of("units", given["units"], ("in", "cm"))})
    files = {"html": given["html"], "markdown": given["markdown"]}
    kits = kit_places(plan, given["saved"])
    outputs = outputs_of(None, files, plan=given["saved"], kits=kits, force=given["force"])
    put(plan, given["words"], given["html"], given["markdown"], given["saved"], outputs, json=given["json"])


_mine = [p for p in inspect.signature(_sheet).parameters.values() if p.name not in LEFT_OUT]
sheet_command.__signature__ = inspect.Signature(_mine)  # type: ignore[attr-defined]
sheet_command.__annotations__ = {p.name: p.annotation for p in _mine}


def put(
    plan: "SavedPlan",
    words: str,
    html: Target,
    markdown: Target,
    kept: Target,
    outputs: "Outputs",
    *,
    json: bool = False,
) -> None:
    """Write the files that are wanted; where none is, print the sheet. As `json` the plan is printed, as it is kept."""
    from solver.formats.html import html_of
    from solver.formats.markdown import markdown_of
    from solver.page.contents import sheet_of

    sheet = sheet_of(plan, words, str(kept) if kept else None)
    files = {html: html_of(sheet)} if html else {}
    if markdown:
        files[markdown] = markdown_of(sheet)
    for path, text in files.items():
        write(outputs, path, text.encode())
    if json:
        from solver.cli.data import put_json

        put_json(plan)
    elif html is None and markdown is None:
        from rich.console import Console
        from rich.text import Text

        from solver.cli.table import terminal_width
        from solver.formats.text import text_lines

        console = Console(highlight=False, markup=False, soft_wrap=True)
        for role, line in text_lines(sheet, terminal_width()):
            console.print(Text(line, style=STYLES[role]))


def outputs_of(
    kit: Target, files: Mapping[str, Target], *, plan: Target = None, kits: Iterable[Path] = (), force: bool = False
) -> "Outputs":
    """The files that the options of this run write, claimed. Raises InputError for one that is not ours to replace."""
    from catalog.outputs import Outputs

    outputs = Outputs(kit=kit, plan=plan, kits=kits, force=force)
    for option, path in files.items():
        outputs.claim(option, path)
    return outputs


def write(outputs: "Outputs", path: Path, data: bytes) -> None:
    """Write a file whole or not at all, and say so. Raises InputError where the system refuses."""
    outputs.write(path, data)
    typer.echo(f"{printable(str(path))}: written", err=True)


def not_written(why: str, *paths: Target) -> None:
    """Say of each file that was wanted why there is none."""
    for path in paths:
        if path is not None:
            typer.echo(f"{printable(str(path))}: not written, for {why}", err=True)


def _wrong(source: str, words: str) -> Exception:
    from catalog.errors import InputError, Problem

    return InputError(source, Problem("", words))
