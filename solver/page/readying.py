"""What lies ready before the first loop: the yarn, the tools, and the loom put together."""

from collections.abc import Iterator, Sequence

from catalog.units import half_up
from solver.formats.blocks import Facts, Points, Words
from solver.plan.changes import from_before, spacers
from solver.plan.saved import LoomPlan, SavedPlan
from solver.report.find import PiecePlan
from solver.steps.step import Fill, Opening, PieceSteps
from solver.terms import BASIS, Terms, count, halves, listed

METRE = 1_000_000


def need_facts(plan: SavedPlan, pieces: Sequence[PieceSteps], terms: Terms) -> Facts:
    """Yarn with its margin, balls, grams, what is on hand, the tools, and what some steps want beside them."""
    option = plan.option
    strands = "one strand" if option.strands == 1 else f"{option.strands} strands held together"
    used, margin = (terms.yarn(half_up(m * METRE)) for m in (option.yarn_m, option.yarn_margin_m))
    parts = [f"{used} in all, of it {margin} to spare"]
    if option.yarn_g is not None:
        parts.append(f"about {half_up(option.yarn_g)} g")
    if option.balls is not None:
        parts.append(count(option.balls, "ball"))
    rows = [("Yarn", f"{option.yarn}, {strands}"), ("How much", ", ".join(parts))]
    if option.yarn_on_hand_m is not None:
        rows.append(("On hand", terms.yarn(half_up(option.yarn_on_hand_m * METRE))))
    over, words = terms.swatch
    gauge = plan.gauge
    rows += [
        (
            terms.word["gauge"].capitalize(),
            f"{halves(over, gauge.width_um)} stitches and {halves(over, gauge.height_um)} rows over {words} "
            f"({BASIS[gauge.basis]})",
        ),
        ("Loom", listed(dict.fromkeys(p.loom for p in option.pieces))),
        ("Tools", terms.say("loom hook, blunt {yarn_needle}, tape measure, scissors")),
    ]
    steps = [step for piece in pieces for step in piece.steps]
    if any(isinstance(step, Opening) for step in steps):
        rows.append(("Beside it", terms.say("a piece of smooth {scrap_yarn} in another {color}, for the opening")))
    if any(isinstance(step, Fill) for step in steps):
        rows.append(("Filling", "new and washable, enough to be firm"))
    return Facts(tuple(rows))


def loom_facts(plan: SavedPlan, piece: PieceSteps) -> tuple[Facts, list[Points | Words]]:
    """How the loom of a piece is put together, and what to change from how it stands."""
    i = plan.place(piece.name)
    made, loom = plan.option.pieces[i], plan.loom(piece.loom)
    rows = [("Loom", loom.name)]
    rows += _frame(made, loom, plan.ways[i].spacers) if loom.build == "boards" else []
    rows.append(("In work", _in_work(made, loom, piece.flat)))
    return Facts(tuple(rows)), list(_to_change(plan, i, loom))


def _to_change(plan: SavedPlan, i: int, loom: LoomPlan) -> Iterator[Points | Words]:
    """What to alter on a frame: from how it stands, or from how an earlier piece left it; nothing where none knows."""
    before = from_before(plan, i)
    if before is None and (i or not loom.stands_known or loom.build != "boards"):
        return
    how, changes = (f"the {before[0]} left it", before[1]) if before else ("it stands now", plan.option.changes)
    if changes:
        yield Words(f"To change from how {how}:")
        yield Points(tuple(f"{words[:1].upper()}{words[1:]}." for words in changes))
    else:
        yield Words(f"It stands as {how}: nothing to change." if before else "It stands so already: nothing to change.")


def _frame(made: PiecePlan, loom: LoomPlan, setting: int) -> list[tuple[str, str]]:
    """Boards, where the ends are bolted, spacers."""
    along = made.pegs_per_side or 0
    boards = [f"{name} ({count(loom.side_boards[name], 'peg')})" for name in made.side_boards]
    full = sum(loom.side_boards[name] for name in made.side_boards)
    joined = ", from the left, joined end to end" if len(boards) > 1 else ""
    rows = [("Each side", f"{listed(boards)}{joined}")]
    if made.end_board:
        rows.append(("Each end", f"{made.end_board} ({count(made.pegs_per_end or 0, 'peg')})"))
    if along == full:
        rows.append(("Bolt the ends", "flush with both ends of the sides"))
    else:
        rows.append(
            ("Bolt the ends", f"the left one flush with the sides, the right one just past peg {along} of each")
        )
    bolts = (2 * len(made.side_boards) + (2 if made.end_board else 0)) * loom.bolts_per_board
    total = f" ({count(bolts, 'bolt')}, {setting * bolts} in all)" if setting else ""
    rows.append(("Spacers", f"{spacers(setting)} at every bolt{total}" if setting else "none"))
    return rows


def _in_work(made: PiecePlan, loom: LoomPlan, flat: bool) -> str:
    """The pegs that carry loops, and those that stay empty."""
    if flat:
        where = "the ring" if loom.build == "ring" else "one side"
        return f"pegs 1 to {made.pegs} of {where}, to and fro; all other pegs stay empty"
    if loom.build == "ring":
        return f"all {made.pegs} pegs"
    if loom.build == "slider":
        idle = loom.pegs_most - made.pegs
        return f"{count(made.pegs, 'peg')}: set the movable end there" + (
            f"; {idle} beyond it stay empty" if idle else ""
        )
    along, across = made.pegs_per_side or 0, made.pegs_per_end or 0
    full = sum(loom.side_boards[name] for name in made.side_boards)
    ends = f" and {across} of each end" if across else ""
    rest = f"; {full - along} of each side, past the right end, stay empty" if along < full else ""
    return f"{count(along, 'peg')} of each side{ends}, {made.pegs} in all{rest}"
