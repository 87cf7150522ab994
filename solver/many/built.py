"""Who is served, as Options: each piece on its loom as the order of work has it bolted, changes from how it stood."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from solver.many.assembling import Stand
from solver.many.jobs import Served
from solver.many.line import option
from solver.many.order import Step, Work
from solver.model.ask import LoomAsk
from solver.model.setup import FinishedPiece
from solver.plan.changes import changes_in_words
from solver.search.option import Option


@dataclass(frozen=True, slots=True)
class Placed:
    """One who is served: the setup, the step of the main piece, then those of lesser pieces on other looms."""

    served: Served
    option: Option
    steps: tuple[Step, ...]

    def changes(self, step: Step) -> list[str]:
        """What to alter on the loom before and within a step, in words."""
        words = []
        for i, was, now in zip(step.job.pieces, step.before, step.stands, strict=True):
            piece = self.option.setup.pieces[i]
            told = [*changes_in_words(piece), *_slid(piece, was, now)]
            words += [f"then, for the {piece.ask.name}: {each}" if i else each for each in told]
        return words


def placed(work: Work) -> list[Placed]:
    """Everybody who is served, by row and copy."""
    steps: dict[tuple[int, int], list[Step]] = {}
    for step in work.steps:
        steps.setdefault((step.job.served.row, step.job.served.copy), []).append(step)
    found = []
    for key in sorted(steps):
        each = sorted(steps[key], key=lambda step: step.job.lesser)
        found.append(Placed(each[0].job.served, _option(each), tuple(each)))
    return found


def _option(steps: Sequence[Step]) -> Option:
    stands: dict[int, Stand] = {}
    before: dict[int, Stand | None] = {}
    for step in steps:
        stands |= dict(zip(step.job.pieces, step.stands, strict=True))
        before |= dict(zip(step.job.pieces, step.before, strict=True))
    line = steps[0].job.served.line
    pieces = tuple(
        replace(p, way=replace(p.way, loom=_standing(p.way.loom, before[i]))) for i, p in enumerate(line.pieces)
    )
    frames: Mapping[int, tuple[tuple[int, ...], int | None]] = {
        i: (stands[i].sides, stands[i].end) for i, p in enumerate(pieces) if p.way.loom.build == "boards"
    }
    return option(replace(line, pieces=pieces), frames)


def _standing(loom: LoomAsk, stand: Stand | None) -> LoomAsk:
    """The loom as it stands before a piece; only of a frame is that more than where its end is."""
    if loom.build != "boards":
        return loom
    return replace(loom, stands=None if stand is None else stand.as_it_stands)


def _slid(piece: FinishedPiece, was: Stand | None, now: Stand) -> list[str]:
    """Of a slider: where its end moves to."""
    if piece.way.loom.build != "slider" or was is None or was.pegs == now.pegs or not now.pegs:
        return []
    return [f"move the end: {now.pegs} pegs in work, not {was.pegs or piece.way.loom.pegs_most}"]
