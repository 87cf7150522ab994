"""The order of work on each loom: which job on which of the looms alike, in which turn, standing how."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, product

from solver.many.assembling import ALL_KEPT, KEPT, Stand, altered, stands_for, weight
from solver.many.jobs import Job, Served, Standing, jobs_on
from solver.many.paths import CHANGE, Costs, ordered, unavoidable
from solver.many.shelf import Shelf
from solver.model.ask import LoomAsk
from solver.model.timing import remaining

CHAINS, ALL_CHAINS = 64, 400  # ways to stand that are weighed for one kind of job, and for all kinds on a loom


@dataclass(frozen=True, slots=True)
class Step:
    """A job in its place: the number of the loom among those alike and its turn, both from 1.

    For each of its pieces how the loom stood before (None: nobody knows) and how it stands for it; the changes in all.
    """

    job: Job
    loom: str
    loom_no: int
    turn: int
    before: tuple[Stand | None, ...]
    stands: tuple[Stand, ...]
    changes: int


@dataclass(frozen=True, slots=True)
class Work:
    """All steps, by loom, number and turn; the changes in all and a bound of what any order of this plan takes."""

    steps: tuple[Step, ...]
    changes: int
    bound: int


@dataclass(frozen=True, slots=True)
class _Chain:
    """How a loom stands for one job, piece after piece."""

    kind: int
    stands: tuple[Stand, ...]
    inner: int  # packed cost of what changes within the job, and of its boards


def order_of_work(served: Sequence[Served], shelf: Shelf) -> Work:
    """The order with the fewest changes that is found for who is served."""
    steps: list[Step] = []
    changes = bound = 0
    for loom in shelf.looms:
        jobs = jobs_on(loom, served)
        if not jobs:
            continue
        own = jobs[0].served.line.pieces[jobs[0].pieces[0]].way.loom
        mains, lesser = [j for j in jobs if not j.lesser], [j for j in jobs if j.lesser]
        done, least = _on_loom(own, mains, shelf.looms[loom], shelf.turns, Stand.now(own))
        if lesser:  # they wait for pieces on other looms, so they follow all that waits for nothing
            last = next((s for s in reversed(done) if s.loom_no == 1), None)
            more, _ = _on_loom(
                own, lesser, 1, None, last.stands[-1] if last else Stand.now(own), last.turn if last else 0
            )
            done += more
            least = min(least, _bound(own, jobs, shelf.looms[loom], Stand.now(own)))
        steps += sorted(done, key=lambda s: (s.loom_no, s.turn))
        changes += sum(s.changes for s in done)
        bound += least
    return Work(tuple(steps), changes, bound)


def _on_loom(
    loom: LoomAsk, jobs: Sequence[Job], looms: int, turns: int | None, start: Stand | None, done: int = 0
) -> tuple[list[Step], int]:
    """The steps of some jobs on looms alike that all stand as `start`, and a bound of their changes."""
    if not jobs:
        return [], 0
    kinds = _kinds(jobs)
    chains, whole = _chains(loom, [each[0].settings for each in kinds], start)
    after = tuple(tuple(CHANGE * altered(loom, a.stands[-1], b.stands[0]) + b.inner for b in chains) for a in chains)
    first = tuple(CHANGE * altered(loom, start, c.stands[0]) + c.inner for c in chains)
    costs = Costs(tuple(c.kind for c in chains), first, after, start is None)
    found = ordered(costs, [len(each) for each in kinds], looms, turns)
    waiting = [list(each) for each in kinds]
    steps = []
    for number, share in enumerate(found.looms, 1):
        stood, turn = start, done
        for chain, count in share:
            for _ in range(count):
                turn += 1
                step = _step(loom, waiting[chains[chain].kind].pop(0), chains[chain].stands, stood, number, turn)
                steps.append(step)
                stood = step.stands[-1]
    return steps, found.bound if whole else min(found.bound, _bound(loom, jobs, looms, start))


def _step(loom: LoomAsk, job: Job, stands: tuple[Stand, ...], stood: Stand | None, number: int, turn: int) -> Step:
    if len(set(stands)) == 1:  # jobs of one piece and of several are of one kind where nothing changes within them
        stands = stands[:1] * len(job.pieces)
    before = (stood, *stands[:-1])
    changes = sum(altered(loom, was, now) for was, now in zip(before, stands, strict=True))
    return Step(job, loom.name, number, turn, before, stands, changes)


def _kinds(jobs: Sequence[Job]) -> list[list[Job]]:
    """Jobs that a loom stands for alike; what changes within a job stays by itself."""
    kinds: dict[tuple[object, ...], list[Job]] = {}
    for i, job in enumerate(jobs):
        key = (job.settings[0],) if len(set(job.settings)) == 1 else (*job.settings, i)
        kinds.setdefault(key, []).append(job)
    return [kinds[key] for key in sorted(kinds, key=str)]


def _chains(loom: LoomAsk, kinds: Sequence[tuple[Standing, ...]], start: Stand | None) -> tuple[list[_Chain], bool]:
    """How the loom may stand for each kind, less what is never better than another; whether none was left unweighed."""
    settings = sorted({s for kind in kinds for s in kind})
    left = remaining()
    weighed = 3 if left is not None and left <= 0 else min(KEPT, max(6, ALL_KEPT // len(settings)))
    stands = {s: stands_for(loom, *s, weighed) for s in settings}
    whole = all(complete for _, complete in stands.values())
    useful = _undominated(loom, {s: each for s, (each, _) in stands.items()}, start)
    chains = []
    most = min(CHAINS, max(8, ALL_CHAINS // len(kinds)))
    for k, kind in enumerate(kinds):
        alike = len(set(kind)) == 1
        ways = [(s,) * len(kind) for s in useful[kind[0]]] if alike else list(product(*(useful[s] for s in kind)))
        made = sorted((_Chain(k, each, _inner(loom, each)) for each in ways), key=lambda c: c.inner)
        whole = whole and len(made) <= most
        chains += made[:most]
    return chains, whole


def _inner(loom: LoomAsk, stands: Sequence[Stand]) -> int:
    swaps = sum(altered(loom, a, b) for a, b in pairwise(stands))
    boards, idle = weight(loom, stands[0])
    return CHANGE * swaps + 1000 * boards + idle


def _undominated(loom: LoomAsk, each: dict[Standing, list[Stand]], start: Stand | None) -> dict[Standing, list[Stand]]:
    """Without the ways to stand that cost no less, whatever comes before and after, than a handier one does."""
    kept = {s: list(stands) for s, stands in each.items()}
    for setting in kept:
        others = [stand for s, stands in kept.items() if s != setting for stand in stands]
        table = {
            stand: (
                altered(loom, start, stand),
                *(altered(loom, other, stand) for other in others),
                *(altered(loom, stand, other) for other in others),
            )
            for stand in kept[setting]
        }
        good: list[Stand] = []
        for stand in kept[setting]:  # handiest first
            if not any(all(a <= b for a, b in zip(table[g], table[stand], strict=True)) for g in good):
                good.append(stand)
        kept[setting] = good
    return kept


def _bound(loom: LoomAsk, jobs: Sequence[Job], looms: int, start: Stand | None) -> int:
    """Changes that no order avoids, whatever the boards: another peg count is one, another spacer setting one."""
    kinds = [each[0].settings for each in _kinds(jobs)]
    stood = None if start is None else (start.spacers, 2 * (start.along + _ends(loom, start)) if loom.boards else 0)

    def least(was: tuple[int, int] | None, now: Standing) -> int:
        if was is None or loom.build != "boards":
            return 0
        return int(was[0] != now[0]) + int(was[1] != now[1] and not now[2])

    after = tuple(tuple(CHANGE * least(a[-1][:2] if not a[-1][2] else None, b[0]) for b in kinds) for a in kinds)
    first = tuple(CHANGE * least(stood, b[0]) for b in kinds)
    return unavoidable(Costs(tuple(range(len(kinds))), first, after, start is None), looms)


def _ends(loom: LoomAsk, stand: Stand) -> int:
    return loom.ends[stand.end].pegs if stand.end is not None else 0
