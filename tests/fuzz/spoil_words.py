"""The words of a command with something wrong, or put together from the options that there are.

No word ever names a file outside of the folder that the test runs in: whoever breaks the program breaks nothing else.
"""

from random import Random

import typer

from catalog.item import item_names
from solver.cli.app import app
from tests.fuzz import odd, spoil_csv

GROUP = typer.main.get_command(app)
FILES = {"kit", "save", "page", "plot", "html", "markdown", "from", "sheets"}
NAMES = (
    "kit.toml",
    "plan.json",
    "class.csv",
    "new.html",
    "new.svg",
    "new.png",
    "new.json",
    "new.md",
    "gone.toml",
    ".",
    "é.html",
)
FAIR = {
    **spoil_csv.FAIR,
    "units": ("in", "cm"),
    "top": ("1", "5", "40"),
    "seconds": ("0", "1", "60"),
    "words": ("us", "uk"),
    "option": ("1", "2"),
    "sizes": ("15in,17in", "6 years,adult-man"),
    "same": ("loom", "yarn"),
    "rows-done": ("0", "5", "40"),
    "stitches": ("17 over 4in",),
    "rows": ("21 over 4in",),
    "turns": ("1", "3"),
    "mass": ("9 g",),
    "knitted": ("30x40",),
}


def _commands() -> list[tuple[list[str], list[str]]]:
    """Every command as it is typed, and its options without their dashes; `open` serves until it is stopped."""
    found: list[tuple[list[str], list[str]]] = []
    for name, command in GROUP.commands.items():  # type: ignore[attr-defined]
        inner = {(name,): command} if not hasattr(command, "commands") else {}
        for second, part in getattr(command, "commands", {}).items():
            deeper = getattr(part, "commands", None)
            inner |= (
                {(name, second, third): each for third, each in deeper.items()} if deeper else {(name, second): part}
            )
        for typed, each in inner.items():
            options = [o.removeprefix("--") for p in each.params for o in p.opts if o.startswith("--")]
            found.append(([*typed], options))
    return [each for each in found if each[0] != ["open"]]


COMMANDS = _commands()
OPTIONS = sorted({option for _, options in COMMANDS for option in options} - {"show-completion", "install-completion"})
COUNTS = ["--stitches", "17 over 4in", "--rows", "21 over 4in"]
NEEDED: dict[tuple[str, ...], list[str]] = {
    ("adjust",): ["plan.json", "--rows-done", "5", *COUNTS],
    ("batch",): ["class.csv"],
    ("kit", "new"): ["new.toml"],
    ("kit", "add", "loom"): [
        "--name",
        "x",
        "--build",
        "ring",
        "--pitch",
        "16 mm",
        "--peg-diameter",
        "6 mm",
        "--pegs",
        "40",
    ],
    ("kit", "add", "yarn"): ["--name", "x", "--weight", "4", "--balls", "2"],
    ("kit", "add", "wearer"): ["--name", "x", "--head", "54 cm"],
    ("kit", "remove", "loom"): ["porch ring", "--with-swatches"],
    ("kit", "remove", "yarn"): ["moss wool", "--with-swatches"],
    ("kit", "remove", "wearer"): ["eldest"],
    ("kit", "remove", "swatch"): ["1"],
    ("swatch", "add"): ["--loom", "porch ring", "--yarn", "moss wool", "--spacers", "0", *COUNTS, "--checked"],
}
SIZES = (["--around", "21 in"], ["--around", "9 in"], ["--size", "adult-woman"], ["--age", "7 years"])


def made(draw: Random) -> list[str]:
    """A command with what it needs, and up to three more of the options that it has."""
    typed, options = draw.choice(COMMANDS)
    words = [*typed, *NEEDED.get(tuple(typed), [])]
    if typed[0] in ("find", "check", "sheet", "sizes"):
        words.append(draw.choice(item_names()))
    if typed[0] in ("find", "check", "sheet"):
        words += draw.choice(SIZES)
    for option in draw.sample(options, min(len(options), draw.choice((0, 0, 1, 1, 2, 3)))):
        words += _said(draw, option)
    return words


def _said(draw: Random, option: str) -> list[str]:
    """An option with a value that suits it, or with an odd one."""
    if option in FILES:
        return [f"--{option}", draw.choice(NAMES)]
    if option not in FAIR:
        return [
            f"--{option}",
            *([draw.choice(("x", odd.text(draw), str(odd.number(draw))))] if draw.randrange(3) == 0 else []),
        ]
    value = draw.choice(FAIR[option]) if draw.randrange(6) else draw.choice((odd.text(draw), str(odd.number(draw))))
    return [f"--{option}={value}"] if draw.randrange(4) == 0 else [f"--{option}", value]


def spoilt(draw: Random, words: list[str]) -> list[str]:
    """The words with one change; the command itself stays, so that `open` never comes of it."""
    words = list(words)
    at = draw.randrange(1, len(words)) if len(words) > 1 else 0
    how = draw.randrange(8)
    if how < 2 and at and not _is_file(words, at):
        words[at] = odd.text(draw) if how else str(odd.number(draw))
    elif how == 2 and at:
        del words[at]
    elif how == 3 and at:
        words.insert(at, words[at])
    elif how == 4 and at and not _is_file(words, at):
        words[at] = odd.pestered(draw, words[at])
    elif how == 5:
        words += [words[at]] if at else []
    else:
        words += _said(draw, draw.choice(OPTIONS))
    return [words[0], *(_here(word) for word in words[1:])]


def _is_file(words: list[str], at: int) -> bool:
    return words[at - 1].removeprefix("--") in FILES


def _here(word: str) -> str:
    """No way out of the folder, and no NUL, which no system hands to a program."""
    return word.replace("../", "").replace("\x00", "").lstrip("/")
