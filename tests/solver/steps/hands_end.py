"""The sentences of how a piece comes off the loom and is made fast."""

from __future__ import annotations

from itertools import pairwise

from tests.solver.steps.hands import Hands, Sentence, need, says
from tests.solver.steps.printed import Wrong, length_mm, peg_list

KNOWN: list[Sentence] = []


@says(
    KNOWN,
    r"(?:Bind|Cast)ing off takes about {L} of yarn: see that so much is left\. Knit every stitch of "
    r"it, loosely\. "
    r"Knit peg (\d+), then peg (\d+)\. Move the loop of peg (\d+) onto peg (\d+), lift the lower loop over "
    r"the upper, "
    r"and move the loop that is left back to peg (\d+)\. Peg (\d+) is empty\. Go on in the same way, always "
    r"knitting "
    r"the next peg first, as far as peg (\d+): one loop is left there\.",
)
def _bind_off(hands: Hands, yarn: str, *told: str) -> None:
    first, second, over, onto, back, empty, last = (int(n) for n in told)
    need((over, onto, back, empty) == (second, first, second, first), "loop over loop, from peg to peg")
    step = second - first
    pegs = list(range(first, last + step, step))
    need(sorted(pegs) == sorted(hands.on) and hands.row > 0, "all pegs are bound off, after the last row")
    before = hands.stitches
    hands.stitch(pegs[0])
    for peg, nxt in pairwise(pegs):
        hands.stitch(nxt)
        (low,), (up,) = hands.on[peg], hands.on[nxt]
        low.held, hands.on[peg], hands.on[nxt] = True, [], [up]
    hands.off, hands.off_mm, hands.stitches = "passed over", length_mm(yarn), before
    hands.events.append("bound off")


@says(
    KNOWN,
    r"(?:(Leave the loops on their pegs)\. )?Cut the yarn {L} beyond the last peg(: that is what the "
    r"needle needs to "
    r"sew them off, and a tail)?\.",
)
def _cut(hands: Hands, _leave: str | None, long: str, _sew: str | None) -> None:
    need(not hands.cut_mm and hands.row > 0, "cut once, after the last row")
    hands.cut_mm = length_mm(long)
    need(hands.cut_mm >= 100, "the cut end is long enough to sew with")


@says(KNOWN, r"Draw the cut end through the loop on peg (\d+)\.")
def _through_one(hands: Hands, peg: str) -> None:
    need(bool(hands.cut_mm) and len(hands.on[int(peg)]) == 1, f"one loop is left on peg {peg}")
    hands.threaded = [int(peg)]


@says(
    KNOWN,
    r"Thread the cut end on a (?:yarn|wool) needle and pass it through the loop on each peg, {P} in "
    r"the order of "
    r"work, then once more through the first\.",
)
def _through(hands: Hands, pegs: str) -> None:
    need(bool(hands.cut_mm), "only cut yarn can be threaded")
    for peg in peg_list(pegs):
        need(len(hands.on[peg]) == 1, f"the needle passes one loop on peg {peg}, it holds {len(hands.on[peg])}")
        hands.go(peg)
        hands.threaded.append(peg)
    in_order = sorted(hands.on)
    need(hands.threaded in (in_order, in_order[::-1] if hands.flat else in_order), "every peg in order")
    hands.off, hands.loops_off = "gathered", hands.pegs
    hands.events.append("threaded")


@says(
    KNOWN,
    r"Lift it off the peg and draw it snug\.",
    r"Check that no loop was missed, then lift (\d+) loops "
    r"off the pegs, a "
    r"few at a time\.",
)
def _lift_off(hands: Hands, many: str = "1") -> None:
    need(len(hands.threaded) == int(many), f"{len(hands.threaded)} loops are threaded, {many} lifted off")
    for peg in hands.threaded:
        hands.on[peg][0].held = True
        hands.on[peg] = []


@says(
    KNOWN,
    r"Thread the cut end on a (?:yarn|wool) needle\. Forward: pass it through the loops on pegs (\d+) "
    r"and (\d+), in the "
    r"order of work\. Back: pass it through the loop on peg (\d+) once more, the other way, and lift that "
    r"loop off its "
    r"peg\. Forward through the loops on pegs (\d+) and (\d+), back through peg (\d+), lift it off; and so on, two "
    r"forward and one back\. Draw the yarn through so far that the loops lie easily, never tight: the edge must "
    r"stretch\. At peg (\d+)(, the last,)? go (?:forward through its loop and through the first stitch of the "
    r"edge, "
    r"which hung on peg (\d+), back through the loop of peg (\d+), and lift it off|through its loop once more "
    r"and lift "
    r"it off)\.",
)
def _sew(hands: Hands, *told: str | None) -> None:
    first, second, back, third, fourth, fifth, last = (int(n or 0) for n in told[:7])
    need((back, third, fifth) == (first, second, second) and fourth - third == second - first, "two forward, one back")
    need(bool(told[7]) == hands.flat, "a round closes on its first stitch, and only a round")
    need(hands.flat or (int(told[8] or 0), int(told[9] or 0)) == (first, last), "the last is sewn to the first")
    need(bool(hands.cut_mm) and hands.row > 0, "sewn with the cut yarn")
    step = second - first
    for peg in range(first, last + step, step):
        hands.go(peg)
        need(len(hands.on[peg]) == 1, f"one loop is sewn on peg {peg}")
        hands.on[peg][0].held = True
        hands.on[peg] = []
    hands.off = "sewn"
    hands.events.append("bound off")


def off_loom(hands: Hands) -> None:
    need(not any(hands.on.values()), "this is done off the loom")


@says(
    KNOWN,
    r"Fill it through the end that is still open, a little at a time and out to the sides first: firm, "
    r"with nothing "
    r"showing between the stitches\. Use new, washable filling\. Once this end is drawn shut the inside is out of "
    r"reach\.",
)
def _fill(hands: Hands) -> None:
    off_loom(hands)
    need(hands.holes == ["start"], "filled while one end is still open, after the other is shut")
    hands.filled = True
    hands.events.append("filled")


@says(
    KNOWN,
    r"The tail of the cast-on runs through the first loops of {P}\. Pull it slowly and evenly, easing "
    r"the loops along, "
    r"until the hole is shut\.",
)
def _draw_start(hands: Hands, pegs: str) -> None:
    off_loom(hands)
    need(len(hands.laid) == 2 and sorted(hands.laid[0]) == peg_list(pegs), "those lie on other pegs")
    need(all(loop.slides for loop in hands.laid[0].values()), "full turns lock: such a round cannot be drawn")
    hands.holes.append("start")
    hands.events.append("start shut")


@says(
    KNOWN,
    r"(Stuff the piece first if it is to be stuffed\. )?Pull the cut end slowly and evenly through all "
    r"(\d+) loops, "
    r"easing them along, until the hole is shut\.",
)
def _draw_end(hands: Hands, _stuff: str | None, many: str) -> None:
    off_loom(hands)
    need(hands.loops_off == int(many) == hands.pegs, f"{many} loops are drawn, {hands.loops_off} are threaded")
    need("start" not in hands.holes or hands.filled, "the piece is filled before its last end closes")
    hands.holes.append("end")
    hands.events.append("end shut")


YARN_OF = {"start": "first tail", "end": "cut end"}


@says(
    KNOWN,
    r"With the (?:yarn|wool) needle stitch across the closed hole three or four times, catching every "
    r"loop round it\. "
    r"Knot the yarn twice on the inside\. Bury the end on the inside for at least {L}, there and back, and "
    r"trim it\. No "
    r"loop and no cord stays outside\.",
)
def _knot_inside(hands: Hands, _: str) -> None:
    need(bool(hands.holes), "no hole is shut")
    need(len(hands.holes) < 2, "the inside is closed all round: no hand comes in to knot there")
    hands.fast.append(YARN_OF[hands.holes[-1]])


@says(
    KNOWN,
    r"With the (?:yarn|wool) needle stitch across the closed hole three or four times, catching every loop round it, "
    r"and do not cut the yarn\.",
)
def _across_the_tip(hands: Hands) -> None:
    need(hands.flat and hands.holes == ["end"], "a seam goes on from a tip that is shut")


@says(
    KNOWN,
    r"Now it becomes a tube: with the same yarn sew its two side edges together, from the closed tip down along all "
    r"(\d+) rows, half a stitch of either edge taken into the seam, as far as the opening\. Bury the end on the inside "
    r"for at least {L}, there and back, and trim it\.",
)
def _seam(hands: Hands, rows: str, _: str) -> None:
    off_loom(hands)
    need(hands.flat and hands.holes == ["end"] and int(rows) == hands.row, "the seam runs along every row from the tip")
    hands.seamed = True
    hands.fast.append("cut end")
    hands.events.append("seamed")


@says(
    KNOWN,
    r"The inside is closed now, so fasten off outside: with the (?:yarn|wool) needle take four or five "
    r"small stitches "
    r"across the closed hole, catching every loop round it and drawing each one tight\.(?: Leave the rest of this tail "
    r"hanging: it sews the (.+?) on\.)?",
)
def _fasten_outside(hands: Hands, piece: str | None) -> None:
    need(len(hands.holes) == 2 and hands.filled, "the inside is closed and filled")
    hands.kept = bool(piece)


@says(
    KNOWN,
    r"Sew it to the (.+?) with that tail, its drawn hole against .+?: in a ring two rows out from the hole take a "
    r"small stitch into the (.+?) and one into the (.+?) in turn, ten of each round the hole and ten more, every one "
    r"drawn tight\. That takes about {L} of the tail\.",
)
def _sew_on(hands: Hands, other: str, into: str, _: str, long: str) -> None:
    off_loom(hands)
    need(hands.kept and other == into, "sewn on with the tail that was left hanging")
    hands.sewn_to, hands.joined_mm, hands.kept = other, length_mm(long), False
    hands.events.append("sewn on")


@says(
    KNOWN,
    r"Then sink the tail: run the needle through the filling and out on the far side, pull the yarn a little, and trim "
    r"it close, so that its end slips back inside\. No loop and no cord stays outside\.",
)
def _sink(hands: Hands) -> None:
    need(not hands.kept and len(hands.holes) == 2 and hands.filled, "a tail that has done its work is sunk")
    hands.fast.append(YARN_OF[hands.holes[-1]])


@says(
    KNOWN,
    r"With the first tail close the gap at the corner beside peg (\d+), catching the half loop there, "
    r"and (?:weave|sew) "
    r"in the rest\.",
)
def _corner(hands: Hands, peg: str) -> None:
    off_loom(hands)
    need(int(peg) == 1 and hands.half_loops == 1, "the tail hangs at peg 1, and the half loop with it")
    need(hands.seamed or not hands.flat, "the seam comes down to that corner: what it leaves open is closed after it")
    hands.half_loops = 0
    hands.fast.append("first tail")


@says(KNOWN, r"With the first tail close the gap at the corner beside peg (\d+), and (?:weave|sew) in the rest\.")
def _corner_without_half(hands: Hands, peg: str) -> None:
    off_loom(hands)
    need(int(peg) == 1 and not hands.half_loops and hands.flat, "both half loops lie on the loom of what is odd")
    need(hands.seamed, "the seam comes down to that corner: what it leaves open is closed after it")
    hands.fast.append("first tail")


@says(KNOWN, r"Close the gap at either corner of the opening with the first tail, and (?:weave|sew) in the rest\.")
def _either_corner(hands: Hands) -> None:
    raise Wrong("the tail hangs at one corner and does not reach the other")


@says(
    KNOWN,
    r"Close the gap beside the lifted edge with the (first tail) and (?:weave|sew) in the rest\.",
    r"Close the small step in the edge with the (first tail|cut end) and (?:weave|sew) in the rest\.",
    r"(?:Weave|Sew) in the (first tail|cut end) along the edge\.",
)
def _weave_in(hands: Hands, tail: str) -> None:
    off_loom(hands)
    hands.fast.append(tail)
