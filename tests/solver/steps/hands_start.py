"""The sentences of checks, of a beginning, and of what is picked up."""

from __future__ import annotations

from tests.solver.steps.hands import Hands, Loop, Sentence, need, says
from tests.solver.steps.printed import length_mm, peg_list

KNOWN: list[Sentence] = []


@says(KNOWN, r"# (\d+) short rows: .*$")
def _short_title(hands: Hands, many: str) -> None:
    hands.events.append(f"title {many} short rows")


@says(
    KNOWN,
    r"# .*$",
    r"At a corner go on to the next peg in order, as if there were no corner, and do not "
    r"pull the yarn "
    r"tight across it\.",
    r"If the rows are .*? (?:instead of N:|from a plan that is kept\.)",
)
def _talk(hands: Hands, *_: str) -> None:
    pass


@says(KNOWN, r"After row (\d+) it measures {L} from the (?:start|opening|first full round)\.")
def _measures(hands: Hands, row: str, long: str) -> None:
    need(int(row) == hands.row, f"after row {row}, and {hands.row} are worked")
    hands.measured.append((int(row), length_mm(long)))


@says(KNOWN, r"Over {L} count (\d+(?: 1/2)? stitches and \d+(?: 1/2)? rows)\.")
def _count(hands: Hands, over: str, told: str) -> None:
    hands.counted.append(f"{told} over {over}")


@says(
    KNOWN,
    r"Check after row (\d+): (?:smooth it flat|pull the rib sideways until it lies as flat as plain "
    r"knitting), "
    r"without stretching it lengthwise, and measure the last (\d+) rows: they should be {L}\.",
)
def _check(hands: Hands, row: str, rows: str, long: str) -> None:
    hands.measured.append((int(rows), length_mm(long)))
    at = f"row {row}"
    need(at in hands.events and int(rows) <= int(row), f"a check of {rows} rows after row {row}")
    hands.events.insert(hands.events.index(at) + 1, "check")


@says(
    KNOWN,
    r"Let {L} of yarn hang down (?:through the middle of the loom: it (draws this end shut|closes the "
    r"edge) later|"
    r"beside peg 1)\.",
    r"Begin with a new end of yarn at peg 1, and leave {L} of it hanging inside\.",
)
def _tail(hands: Hands, long: str, later: str | None = None) -> None:
    need(not hands.tail_mm, "one tail")
    hands.tail_mm, hands.drawable = length_mm(long), later == "draws this end shut"
    need(hands.tail_mm >= 100, "a tail long enough to sew with")


@says(KNOWN, r"Begin with a new end of yarn at peg (\d+), and leave {L} of it hanging\.")
def _new_end(hands: Hands, peg: str, long: str) -> None:
    need(hands.flat and int(peg) == hands.pegs, "to and fro the first row begins at the last peg")
    _tail(hands, long)
    hands.at = int(peg)


@says(
    KNOWN,
    r"First round, woven: lay the yarn outside {P} and inside {P}, round none of them\. That is (\d+) "
    r"strands across "
    r"the outside; it must be able to slide\.",
)
def _weave(hands: Hands, outside: str, inside: str, many: str) -> None:
    out, within = peg_list(outside), peg_list(inside)
    need(sorted([*out, *within]) == sorted(hands.on) and len(out) == int(many), "every peg is passed, once")
    hands.laid.append({peg: Loop("the woven round", slides=True) for peg in out})
    for peg in sorted([*out, *within]):
        hands.go(peg)
        if peg in out:
            hands.put(peg, hands.laid[0][peg])
    hands.woven = True


@says(
    KNOWN,
    r"First round, every other peg: wrap {P}\. That is (\d+) loops, and (\d+) pegs between them stay "
    r"empty\.",
)
def _turns(hands: Hands, pegs: str, many: str, _: str) -> None:
    need(len(peg_list(pegs)) == int(many), f"{pegs} are not {many}")
    hands.laid.append({peg: Loop("the first round") for peg in peg_list(pegs)})
    for peg, loop in hands.laid[0].items():
        hands.put(peg, loop)


@says(KNOWN, r"Second round, every peg: wrap {P} in order\. Now {P} hold two (?:strands|loops), and {P} hold one\.")
def _second(hands: Hands, pegs: str, two: str, one: str) -> None:
    _wrap(hands, peg_list(pegs))
    need([p for p in hands.on if len(hands.on[p]) == 2] == peg_list(two), f"two lie elsewhere than on {two}")
    need([p for p in hands.on if len(hands.on[p]) == 1] == peg_list(one), f"one lies elsewhere than on {one}")


@says(KNOWN, r"Wrap {P}(?: in order|, backwards), once each: (\d+) loops(?:; {P} stay empty for now)?\.")
def _wrap_once(hands: Hands, pegs: str, many: str, empty: str | None) -> None:
    _wrap(hands, peg_list(pegs))
    need(len(peg_list(pegs)) == int(many), f"{pegs} are not {many}")
    need([p for p in hands.on if not hands.on[p]] == (peg_list(empty) if empty else []), "other pegs are empty")


def _wrap(hands: Hands, pegs: list[int]) -> None:
    need(bool(hands.tail_mm) and not hands.row, "a cast-on begins from a hanging tail")
    hands.laid.append({peg: Loop("the cast-on") for peg in pegs})
    for peg in pegs:
        hands.go(peg)
        hands.put(peg, hands.laid[-1][peg])
    hands.set_up += len(pegs)


@says(
    KNOWN,
    r"Knit over only where two (?:strands|loops) lie: on {P} lift the lower (?:loop )?over the upper "
    r"(?:one )?and "
    r"off the peg\.",
)
def _knit_over(hands: Hands, pegs: str) -> None:
    for peg in peg_list(pegs):
        need(len(hands.on[peg]) == 2, f"peg {peg} is knit over with {len(hands.on[peg])} loops, not two")
        hands.on[peg][0].held = True
        hands.on[peg] = hands.on[peg][1:]


@says(KNOWN, r"Leave {P} as they are: their one loop is a stitch already, and row 1 knits it over\.")
def _rest(hands: Hands, pegs: str) -> None:
    need(all(len(hands.on[peg]) == 1 for peg in peg_list(pegs)), f"{pegs} hold one loop each")


@says(
    KNOWN,
    r"Every peg now holds one loop(?:, and the yarn hangs at peg (\d+): from here on the work goes "
    r"round)?\.",
)
def _one_each(hands: Hands, peg: str | None) -> None:
    need(all(len(loops) == 1 for loops in hands.on.values()), "a peg holds more or less than one loop")
    need(peg is None or hands.at == int(peg), f"the yarn hangs at peg {hands.at}")


@says(
    KNOWN,
    r"Draw the (?:scrap|waste) yarn out of the opening of the (.+?), one loop at a time: (\d+) loops "
    r"lie open on its "
    r"lower edge(?:, and on its upper (\d+) and (half a loop at either corner)| and (\d+) on its upper)\.",
)
def _draw_out(hands: Hands, name: str, lower: str, upper: str | None, half: str | None, old: str | None) -> None:
    need(name in hands.openings, f"there is no opening in the {name}")
    pegs = hands.openings[name]
    need(int(lower) == pegs, f"{pegs} loops lie on the lower edge")
    need(
        bool(half) and not old and int(upper or 0) == pegs - 1, f"{pegs - 1} loops and two halves lie on the upper edge"
    )
    hands.half_loops = 2


@says(
    KNOWN,
    r"Lift them onto the loom as they come free: the lower edge onto {P}, then the upper edge, back "
    r"the other way, "
    r"onto {P}: first the half loop at the corner beside peg (\d+), onto peg (\d+), so that no gap is left "
    r"there, then "
    r"the whole ones\. The half loop at the other corner, beside peg 1, stays off the loom\.",
)
def _lift_on(hands: Hands, lower: str, upper: str, corner: str, onto: str) -> None:
    low, high = peg_list(lower), peg_list(upper)
    need(low[-1] == int(corner) and high[0] == int(onto) == low[-1] + 1, "the half loop goes on beside its corner")
    need(len(low) == len(high) and 2 * len(low) == sum(hands.openings.values()) * 2, "one edge and the other")
    need(low + high == sorted(hands.on), "every peg takes a loop")
    for peg in low + high:
        hands.put(peg, Loop("the opening"))
    hands.half_loops -= 1
    hands.events.append("picked up")


@says(
    KNOWN,
    r"Lift them onto (one side of the loom|the ring) as they come free: the lower edge onto {P}, then the upper edge, "
    r"on along (that side|the ring), onto {P}: "
    r"first the half loop at the corner beside peg (\d+), onto peg (\d+), so that no gap is left "
    r"there, then the whole ones(?:, and last the half loop at the other corner, onto peg (\d+)\.|\. The half loop at "
    r"the other corner, beside peg 1, stays off the loom\.) (\d+) pegs now hold one loop each\.",
)
def _lift_on_flat(
    hands: Hands, where: str, lower: str, along: str, upper: str, corner: str, onto: str, last: str | None, many: str
) -> None:
    low, high = peg_list(lower), peg_list(upper)
    need(hands.flat, "what is worked to and fro lies on one side")
    places = ("the ring", "the ring") if hands.ring else ("one side of the loom", "that side")
    need((where, along) == places, f"{where}, {along}: a ring has no side, and a frame is none")
    need(low[-1] == int(corner) and high[0] == int(onto) == low[-1] + 1, "the half loop goes on beside its corner")
    need(len(low) == sum(hands.openings.values()), "all of the lower edge")
    need(len(high) == len(low) + (last is not None), "and of the upper one, with as many halves as are told")
    need(last is None or int(last) == high[-1], "the other half loop lies at the other end")
    need(low + high == sorted(hands.on) and int(many) == len(hands.on), "every peg takes a loop")
    for peg in low + high:
        hands.put(peg, Loop("the opening"))
    hands.half_loops -= 1 + (last is not None)
    hands.events.append("picked up")


@says(
    KNOWN,
    r"Fold the cup up\. Lift the (\d+) loops of its cast-on edge onto the empty pegs: that of peg "
    r"(\d+) onto peg "
    r"(\d+), and so on, that of peg (\d+) onto peg (\d+)\.",
)
def _lift_edge(hands: Hands, many: str, first: str, onto: str, last: str, to: str) -> None:
    edges, pegs = range(int(first), int(last) - 1, -1), range(int(onto), int(to) + 1)
    need(len(edges) == len(pegs) == int(many), f"{many} loops onto {len(pegs)} pegs")
    for edge, peg in zip(edges, pegs, strict=True):
        loop = hands.laid[0][edge]
        need(loop.held and not hands.on[peg], f"the edge of peg {edge} hangs free and peg {peg} is empty")
        loop.held = False  # it must be knitted again from where it now hangs
        hands.on[peg].append(loop)
    hands.events.append("edge lifted")
