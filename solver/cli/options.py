"""The options that `find`, `check`, `sizes` and `sheet` share: the same words everywhere, read into a Wish."""

import functools
import inspect
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from solver.cli.filename import file_name

if TYPE_CHECKING:
    from catalog.kit import Kit
    from solver.asking.wish import Wish

WHAT, WHO, HOW, WITHIN, OUT = "The size", "The wearer", "Choices made for the solver", "Limits and prices", "Output"


@dataclass(frozen=True, slots=True)
class Asked:
    """What the shared options said: the kit and where it came from, the words, the wish in them, and how to print."""

    kit: "Kit"
    source: str
    path: Path | None
    words: dict[str, Any]
    made: "Wish | None"
    json: bool
    csv: bool
    more: bool

    @property
    def wish(self) -> "Wish":
        """The wish of a command that is about an item."""
        if self.made is None:
            raise ValueError("a command without an item has no wish")
        return self.made


def _text(panel: str, help_: str, metavar: str = "LEN") -> Any:
    return Annotated[str | None, typer.Option(metavar=metavar, help=help_, rich_help_panel=panel)]


def _count(panel: str, help_: str, least: int, most: int) -> Any:
    return Annotated[int | None, typer.Option(metavar="N", min=least, max=most, help=help_, rich_help_panel=panel)]


ItemName = Annotated[str, typer.Argument(metavar="ITEM", help="What to make: `pegwright show items` lists them.")]
SHARED: dict[str, tuple[Any, Any]] = {
    "item": (ItemName, inspect.Parameter.empty),
    "kit": (
        Annotated[
            Path | None,
            typer.Option(
                metavar="FILE", help="The kit; else kit.toml here, or the built-in.", rich_help_panel=OUT,
                parser=file_name("kit"),
            ),
        ],
        None,
    ),
    "around": (_text(WHAT, "Finished girth, no ease added."), None),
    "across": (_text(WHAT, "Diameter of a ball, bolster or toy, instead of its girth."), None),
    "body": (_text(WHAT, "Girth of the body; ease is added."), None),
    "wide": (_text(WHAT, "Width of a flat panel."), None),
    "long": (_text(WHAT, "Length; else the item's own."), None),
    "fit": (_text(WHAT, "loose, true, close or snug.", "FIT"), None),
    "ease": (_text(WHAT, 'Ease by length instead of --fit, such as "-2 in".'), None),
    "rib": (_text(WHAT, "1x1, 2x1, 2x2 or 3x1.", "RIB"), None),
    "band": (_text(WHAT, 'Depth of the band: "2 in", or "1in..2in".', "LEN|LEN..LEN"), None),
    "stitch": (_text(WHAT, "u-wrap or e-wrap.", "STITCH"), "u-wrap"),
    "bind_off": (_text(WHAT, "sewn or passed-over; else sewn where something must pass.", "EDGE"), None),
    "wearer": (_text(WHO, "Somebody in the kit.", "NAME"), None),
    "size": (_text(WHO, "A body of the catalogue, such as adult-woman.", "NAME"), None),
    "age": (_text(WHO, 'Age, such as "18 months" or "7 years".', "AGE"), None),
    "sex": (_text(WHO, "female or male; else the mean of both.", "SEX"), None),
    "loom": (_text(HOW, "Only this loom.", "NAME"), None),
    "yarn": (_text(HOW, "Only this yarn.", "NAME"), None),
    "pegs": (_count(HOW, "Only so many pegs.", 1, 400), None),
    "spacers": (_count(HOW, "Only this spacer setting.", 0, 8), None),
    "strands": (_count(HOW, "Only so many strands.", 1, 6), None),
    "gauge": (_text(HOW, "all, or measured: only settings with a swatch.", "all|measured"), "all"),
    "girth_within": (_text(WITHIN, "How far the girth may miss."), None),
    "length_within": (_text(WITHIN, "How far the length may miss."), None),
    "sure": (_text(WITHIN, 'How likely the girth must be within its limit: 0.8 or "80%".', "P"), None),
    "yarn_price": (_text(WITHIN, "Mm of miss that a metre of yarn is worth.", "MM_PER_M"), None),
    "risk_weight": (_text(WITHIN, "Weight of the risk of an unsure gauge.", "W"), None),
    "units": (_text(OUT, "Print lengths in in or cm; else as typed.", "in|cm"), None),
    "top": (
        Annotated[int, typer.Option(metavar="N", min=1, max=1000, help="Options shown.", rich_help_panel=OUT)], 5,
    ),
    "seconds": (
        Annotated[
            float | None,
            typer.Option(metavar="S", min=0, help="Stop after so long; exit 3 if not proven.", rich_help_panel=OUT),
        ],
        None,
    ),
    "more": (Annotated[bool, typer.Option("--more", help="Say all that there is to say.", rich_help_panel=OUT)], False),
    "json": (Annotated[bool, typer.Option("--json", help="Print JSON.", rich_help_panel=OUT)], False),
    "csv": (Annotated[bool, typer.Option("--csv", help="Print CSV.", rich_help_panel=OUT)], False),
}  # fmt: skip


def asking(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the shared options; it is called with `asked` (an Asked) and its own options."""
    own = [p for p in inspect.signature(command).parameters.values() if p.name != "asked"]
    shared = [
        inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=annotation)
        for name, (annotation, default) in SHARED.items()
        if name not in {p.name for p in own}
    ]
    own = [p.replace(kind=inspect.Parameter.KEYWORD_ONLY) for p in own]

    @functools.wraps(command)
    def run(**given: Any) -> None:
        mine = {p.name: given.pop(p.name) for p in own}
        asked_with = {p.name: mine[p.name] for p in own if p.name in SHARED}
        from solver.cli.since import begun
        from solver.door import within

        with within(given.get("seconds"), since=begun()):
            command(asked=asked_of({**given, **asked_with}), **mine)

    parameters = [*shared[:1], *own, *shared[1:]]
    told: Any = run  # typer reads both; functools.wraps would lead it to the bare command
    told.__signature__ = inspect.Signature(parameters)
    told.__annotations__ = {p.name: p.annotation for p in parameters}
    del told.__wrapped__
    return run


def asked_of(given: dict[str, Any]) -> Asked:
    """The shared options as an Asked. Raises InputError that names the option."""
    from catalog.kitplace import find_kit, recipes_beside
    from solver.door import wish

    kit, source, path = find_kit(given["kit"])
    words = {name: value for name, value in given.items() if name not in NO_WORDS and value is not None}
    recipes = recipes_beside(path)
    made = None if given["item"] is None else wish(given["item"], kit=kit, recipes=recipes, **words)
    if path is None:
        typer.echo(NOT_YOURS, err=True)
    return Asked(
        kit, source, path, words, made, bool(given.get("json")), bool(given.get("csv")), bool(given.get("more")),
    )  # fmt: skip


NO_WORDS = ("item", "kit", "json", "csv", "more", "seconds")  # the limit of a command is counted from its start


NOT_YOURS = (
    "No kit.toml here: THESE LOOMS AND YARNS ARE NOT YOURS but the built-in kit's (`pegwright kit new` writes one)."
)


def one_of(option: str, text: str | None, known: tuple[str, ...]) -> str | None:
    """The text if it is one of `known`. Raises InputError with the nearest."""
    from solver.door import one_word

    return one_word(option, text, known)
