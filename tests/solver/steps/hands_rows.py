"""The sentences of rows, short rows and openings."""

from __future__ import annotations

import re

from tests.solver.steps.hands import Hands, Loop, Sentence, need, says
from tests.solver.steps.printed import peg_list

KNOWN: list[Sentence] = []


@says(
    KNOWN,
    r"Rows? (\d+)(?: to (\d+))?, (\d+) pegs a row: (knit every peg|.*?, and so on)\.(?: The (\d+) pegs "
    r"repeat (\d+) "
    r"times( and the round closes)?\. Knit {P}; purl {P}\. The same in every row: the peg decides, not the row\.)?"
    r"(?: Work to and fro: from peg (\d+) (?:back )?to peg (\d+), then from peg (\d+) (?:back )?to peg (\d+), "
    r"turning "
    r"at either edge\.)?",
)
def _rows(hands: Hands, *told: str | None) -> None:
    first, last, pegs, what, size, times, closes, knits, purls, *way = told
    need(int(first or 0) == hands.row + 1, f"row {first} follows row {hands.row}")
    need(int(pegs or 0) == hands.pegs, f"{pegs} pegs a row where {hands.pegs} are in work")
    word = _word(hands, what or "", int(size or 1), int(times or 0), bool(closes))
    need(not knits or (peg_like(knits, word, "K") and peg_like(purls or "", word, "P")), "the pegs named are others")
    need(hands.flat == bool(way[0]), "to and fro on something flat, and only there")
    hands.rib_runs += "P" in word
    ways = [(int(way[i] or 0), int(way[i + 1] or 0)) for i in (0, 2)] if hands.flat else [(1, hands.pegs)] * 2
    for number in range(int(first or 0), int(last or first or 0) + 1):
        start, end = ways[(number - int(first or 0)) % 2]
        step = 1 if start <= end else -1
        need({start, end} == {1, hands.pegs}, "a row goes from edge to edge")
        for peg in range(start, end + step, step):
            hands.stitch(peg)
        hands.row = number
        hands.ribbed += "P" in word
        hands.events.append(f"row {number}")


def _word(hands: Hands, what: str, size: int, times: int, closes: bool) -> str:
    """K and P along the pegs of a row, as its words say."""
    if what == "knit every peg":
        return "K" * hands.pegs
    edge = re.match(r"knit the first and the last (?:(\d+) pegs|peg); between them ", what)
    beside = int(edge[1] or 1) if edge else 0
    turns = re.findall(r"(knit|purl) (\d+) pegs?", what[edge.end() :] if edge else what)
    repeat = "".join(side[0].upper() * int(many) for side, many in turns)
    need(len(repeat) == size and times * size + 2 * beside == hands.pegs, f"{size} pegs {times} times, {beside} beside")
    need(closes != hands.flat, "a round closes, and only a round")
    return "K" * beside + repeat * times + "K" * beside


def peg_like(words: str, word: str, side: str) -> bool:
    """Whether the pegs named, by their first and their last, are those of one side."""
    mine = [peg for peg, each in enumerate(word, 1) if each == side]
    named = [int(n) for n in re.findall(r"\d+", words)]
    return named == mine if "…" not in words else named[:-1] == mine[: len(named) - 1] and named[-1] == mine[-1]


@says(
    KNOWN,
    r"Work to and fro over {P} only; all other pegs wait\. These (\d+) short rows are counted by "
    r"themselves\. "
    r"Narrow, (\d+) rows: knit {P}, wrap peg (\d+) and turn; knit {P}, wrap peg (\d+) and turn\. Go on so, one peg "
    r"fewer in every row \(([\d, ]+), …\), until a row has (\d+) pegs?; wrap and turn there too\. Widen, "
    r"(\d+) rows: "
    r"in every row knit one peg more than in the last \((\d+), (\d+), … (\d+)\)\. The last peg of each is a "
    r"wrapped "
    r"one: lift its loop and its wrap over together, and turn without a wrap\. The last of these rows ends at peg "
    r"(\d+)\.",
)
def _short(hands: Hands, over: str, many: str, narrow: str, *told: str) -> None:
    one, turn_one, two, turn_two, fewer, least, widen, more, _, most, end = told
    pegs = peg_list(over)
    hands.cups += 1
    need(int(narrow) + int(widen) == int(many), f"{narrow} and {widen} rows are not {many}")
    title = next((e for e in reversed(hands.events) if e.startswith("title")), f"title {many} short rows")
    need(title == f"title {many} short rows", f"{title}, and {many} here")
    lengths = list(range(len(pegs) - 1, int(least) - 1, -1))
    need(len(lengths) == int(narrow), f"{narrow} rows, one peg fewer in each, from {len(pegs)} leave no row of {least}")
    listed = [int(n) for n in fewer.split(", ")]
    need(lengths[: len(listed)] == listed[: len(lengths)], f"rows of {fewer}")
    low, high = min(pegs), max(pegs)
    start, up = peg_list(one)[0], True
    need(
        hands.at in (None, start, start - 1, *([hands.pegs] if start == 1 and not hands.flat else [])),
        f"short rows begin at peg {start} and the yarn is at peg {hands.at}",
    )
    for i, long in enumerate(lengths):
        step = 1 if up else -1
        row = [start + step * k for k in range(long)]
        said = (peg_list(one), peg_list(two))[i] if i < 2 else row
        need(row == said, f"row {i + 1} takes pegs {row[0]} to {row[-1]}, not {said[0]} to {said[-1]}")
        for peg in row:
            hands.stitch(peg)
        turn = row[-1] + step
        need(i > 1 or turn == int((turn_one, turn_two)[i]), f"row {i + 1} turns at peg {turn}")
        need(low <= turn <= high and len(hands.on[turn]) == 1, f"row {i + 1} turns at peg {turn}, behind the yarn")
        hands.go(turn)
        hands.put(turn, Loop("turn"), below=True)
        hands.events.append(f"short {i + 1}")
        start, up = turn - step, not up
    need(int(more) == int(least) + 1 and int(most) == len(pegs), "from there one more to all")
    for i, long in enumerate(range(int(least) + 1, len(pegs) + 1)):
        step = 1 if up else -1
        row = [start + step * k for k in range(long)]
        need(low <= min(row) and max(row) <= high, f"row {int(narrow) + i + 1} takes up a peg behind the yarn")
        for peg in row[:-1]:
            hands.stitch(peg)
        need(any(x.made_by == "turn" for x in hands.on[row[-1]]), f"peg {row[-1]} has no wrap to take up")
        hands.stitch(row[-1], wraps=1)
        hands.events.append(f"short {int(narrow) + i + 1}")
        start, up = row[-1], not up
    need(len(lengths) == int(widen), f"{widen} rows, one peg more in each")
    left = [p for p, loops in hands.on.items() if any(x.made_by == "turn" for x in loops)]
    need(not left, f"wraps not taken up: {left}")
    need(hands.at == int(end), f"the last short row ends at peg {hands.at}, not {end}")
    need(hands.at == min(pegs), f"the round begins at peg 1 and the yarn is at peg {hands.at}")


@says(
    KNOWN,
    r"The opening, (\d+) pegs: leave the yarn hanging, knit {P} once with a piece of (?:scrap|waste) "
    r"yarn in another "
    r"colou?r, and let its ends hang inside\. Then go on with the yarn as if nothing had happened: no row is "
    r"added\.",
)
def _opening(hands: Hands, many: str, pegs: str) -> None:
    hands.scrap = peg_list(pegs)
    need(len(hands.scrap) == int(many) and hands.row > 0, "an opening lies between two rows")
    for peg in hands.scrap:
        for loop in hands.on[peg]:
            loop.held = True  # the next piece picks it up
        hands.on[peg] = []
        hands.put(peg, Loop("scrap"))
    hands.events.append("opening")
