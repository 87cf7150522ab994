"""The words of rows, short rows and openings, and of what to measure on the way."""

from itertools import groupby

from catalog.errors import as_typed
from solver.steps.step import Check, Opening, PieceSteps, Rows, ShortRows
from solver.terms import Terms, count, halves, listed, some


def rows_words(step: Rows) -> list[str]:
    """How a section's rows are worked, peg by peg."""
    rows = f"Row {step.first}" if step.count == 1 else f"Rows {step.first} to {step.last}"
    start = f"{rows}, {count(len(step.pegs), 'peg')} a row"
    to_and_fro = _to_and_fro(step) if step.flat else []
    if "P" not in step.pattern:
        return [f"{start}: knit every peg.", *to_and_fro]
    runs = [(side, len(list(same))) for side, same in groupby(step.pattern)]
    turns = ", ".join(f"{'knit' if side == 'K' else 'purl'} {count(many, 'peg')}" for side, many in runs)
    size, inside = len(step.pattern), len(step.pegs) - 2 * step.edge
    outer = "peg" if step.edge == 1 else f"{step.edge} pegs"
    edges = f"knit the first and the last {outer}; between them " if step.edge else ""
    closes = "" if step.flat else " and the round closes"
    return [
        f"{start}: {edges}{turns}, and so on. The {size} pegs repeat {inside // size} times{closes}.",
        f"Knit pegs {_which(step, 'K')}; purl pegs {_which(step, 'P')}. The same in every row: the peg decides, not "
        "the row.",
        *to_and_fro,
    ]


def _to_and_fro(step: Rows) -> list[str]:
    last = step.pegs[-1]
    way = f"from peg {last} back to peg 1, then from peg 1 to peg {last}"
    return [f"Work to and fro: {way if step.first % 2 else way.replace('back to', 'to')}, turning at either edge."]


def _which(step: Rows, side: str) -> str:
    """The pegs of one side, by number: enough to see how they go on."""
    mine = [peg for peg in step.pegs if step.side(peg) == side]
    return f"{', '.join(map(str, mine[:6]))}, … {mine[-1]}" if len(mine) > 7 else listed(mine)


def short_rows_words(step: ShortRows) -> list[str]:
    """Narrow to the least, widen to all, a wrap at every turn of the first half."""
    n, least, rows = len(step.pegs), step.least, count(step.narrowing, "row")
    first, last = step.pegs[0], step.pegs[-1]
    fewer = ", ".join(str(many) for many in range(n - 1, max(least, n - 4), -1))
    return [
        f"Work to and fro over {some(step.pegs)} only; all other pegs wait. These {2 * step.narrowing} short rows are "
        "counted by themselves.",
        f"Narrow, {rows}: knit pegs {first} to {last - 1}, wrap peg {last} and turn; knit pegs {last - 1} to "
        f"{first + 1}, wrap peg {first} and turn. Go on so, one peg fewer in every row ({fewer}, …), until a row has "
        f"{count(least, 'peg')}; wrap and turn there too.",
        f"Widen, {rows}: in every row knit one peg more than in the last ({least + 1}, {least + 2}, … {n}). The last "
        "peg of each is a wrapped one: lift its loop and its wrap over together, and turn without a wrap.",
        f"The last of these rows ends at peg {first}.",
    ]


def opening_words(step: Opening, terms: Terms) -> list[str]:
    return [
        terms.say(
            "The opening, {many}: leave the yarn hanging, knit {pegs} once with a piece of {scrap_yarn} in another "
            "{color}, and let its ends hang inside. Then go on with the yarn as if nothing had happened: no row is "
            "added.",
            many=count(len(step.pegs), "peg"),
            pegs=some(step.pegs),
        )
    ]


def check_words(check: Check, terms: Terms, stitch_um: int, *, kept: bool) -> list[str]:
    """What to measure after a row, and when to think again: with a command where the plan is `kept` in a file."""
    over, words = terms.swatch
    each = check.length_um // check.rows
    near = "a quarter inch" if terms.unit == "in" else "half a centimetre"
    ease = "pull the rib sideways until it lies as flat as plain knitting" if check.ribbed else "smooth it flat"
    return [
        f"Check after row {check.row}: {ease}, without stretching it lengthwise, and measure the last "
        f"{count(check.rows, 'row')}: they should be {terms.tape(check.length_um)}.",
        f"Over {words} count {halves(over, stitch_um)} stitches and {halves(over, each)} rows.",
        f"If the rows are {near} out or a count differs by more than half, "
        + (
            "type what you counted instead of N:"
            if kept
            else "work out the rest anew from what you counted: pegwright does it under On the loom, or by the command "
            "adjust from a plan that is kept."
        ),
    ]


def adjust_command(check: Check, terms: Terms, file: str) -> str:
    """What to type then; `file` is the saved plan."""
    over = terms.swatch[1].replace(" ", "")
    return (
        f'pegwright adjust {as_typed(file)} --rows-done {check.row} --stitches "N over {over}" --rows "N over {over}"'
    )


def reached_words(check: Check, terms: Terms, piece: PieceSteps) -> str:
    """What the piece measures at the end of a section."""
    start = "the first full round" if piece.cup_start else "the opening" if piece.picked_up else "the start"
    return f"After row {check.row} it measures {terms.tape(check.length_um)} from {start}."
