"""Who gets which setup: whole counts for each group and line, made best stage by stage, each held for the next."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from solver.many.greedy import chances, filled, greedy, likeliest, thriftiest
from solver.many.groups import Group, Shares, Stage
from solver.many.line import Build
from solver.many.shelf import Shelf, used
from solver.search.whole import CORE, Prices, Program, bettered, most_of, prices, total

# (own) effort, never seconds of the clock, so that the same list has the same plan on any machine;
# a big list is made better in rounds first, so that less is left to the one solve
WORK, BIG_WORK = 5.0, 1.0  # CP-SAT's effort for a stage, about seconds: where all lines are in it, where only some are
ROUNDS, ROUND_WORK = 12, 0.2  # before that, a few groups at a time, where there are too many lines to prove anything
CHANCE, UM = 10_000, 1000


@dataclass(slots=True)
class _Places:
    """Where the counts of a program stand: of each group and line, of balls bought, of builds and builds too many."""

    lines: list[list[int]]
    balls: dict[str, int]
    builds: dict[Build, int]
    beyond: dict[str, int]


def staged(
    groups: Sequence[Group], shelf: Shelf, stands: frozenset[str], work: float = 1, late: Collection[int] = ()
) -> tuple[Shares, list[Stage]]:
    """The plan and what each stage reached: likely to fit by priority, balls to buy, score with rebuilds.

    `stands` names the looms of which it is known how they stand. `work` scales the effort. `late` are the places of
    groups whose lines nobody had time to look for: as far as is known, every one of them could have been likely to fit.
    """
    program, places = _program(groups, shelf, stands)
    shares = max(
        (greedy(groups, shelf, first) for first in (likeliest, thriftiest)),
        key=lambda each: [chances(groups, each, p) for p in _priorities(groups)],
    )
    stages = []
    for name, goal, least, unit in _goals(groups, shelf, stands, places):
        priced = prices(program, goal)
        start = _counts(groups, shelf, places, program, shares)
        if not least:
            start = max(start, _rounded(groups, shelf, places, program, priced), key=lambda c: _worth(program, goal, c))
        big = len(program.most) > CORE
        if big:
            each = work * ROUND_WORK
            start = list(bettered(program, goal, priced, start, places.lines, rounds=ROUNDS, work=each))
        best = most_of(program, goal, priced, start, work * (BIG_WORK if big else WORK))
        shares = tuple(tuple(best.counts[p] for p in each) for each in places.lines)
        if not least:
            shares = filled(groups, shelf, shares, likeliest)
        value = total(goal, _counts(groups, shelf, places, program, shares))
        program.row(goal, least=value)
        sign = -1 if least else 1
        stages.append(Stage(name, sign * value, sign * max(best.bound, value), unit, least, best.out_of_time))
    for i, priority in enumerate(_priorities(groups)):
        unknown = sum(groups[at].size for at in late if groups[at].priority == priority)
        stages[i] = replace(stages[i], bound=stages[i].bound + CHANCE * unknown)
    if all(stage.value == stage.bound for stage in stages):
        shares = _settled(groups, shelf, places, program, shares, work)
    return shares, stages


def _settled(
    groups: Sequence[Group], shelf: Shelf, places: _Places, program: Program, shares: Shares, work: float
) -> Shares:
    """Of plans that are equal in every stage, the one whose lines come first in their order, whoever asked first."""
    flat = [(x, p) for g, each in zip(groups, places.lines, strict=True) for x, p in zip(g.lines, each, strict=True)]
    goal = [(p, -rank) for rank, (_, p) in enumerate(sorted(flat, key=lambda each: (each[0].order, each[1])))]
    start = _counts(groups, shelf, places, program, shares)
    best = most_of(program, goal, prices(program, goal), start, work * WORK)
    return tuple(tuple(best.counts[p] for p in each) for each in places.lines)


def _rounded(groups: Sequence[Group], shelf: Shelf, places: _Places, program: Program, priced: Prices) -> list[int]:
    """The linear program's counts rounded down, the rest filled with what lacks least by its prices."""
    # GLOP reckons in doubles: what is meant as 3 may come as 2.9999999, and rounded down would be 2
    down = tuple(tuple(int(priced.parts[p] + 1e-6) for p in each) for each in places.lines)
    lacks = {
        id(x): priced.lacks[p]
        for g, each in zip(groups, places.lines, strict=True)
        for p, x in zip(each, g.lines, strict=True)
    }
    shares = filled(groups, shelf, down, lambda line: (lacks[id(line)], *likeliest(line)))
    return _counts(groups, shelf, places, program, shares)


def _worth(program: Program, goal: Sequence[tuple[int, int]], counts: Sequence[int]) -> tuple[bool, int]:
    """Counts that break a row, as a rounding may, are worth less than any that hold."""
    return (program.holds(counts), total(goal, counts))


def _priorities(groups: Sequence[Group]) -> list[int]:
    return sorted({g.priority for g in groups})


def _program(groups: Sequence[Group], shelf: Shelf, stands: frozenset[str]) -> tuple[Program, _Places]:
    program = Program()
    lines = [[program.count(group.size) for _ in group.lines] for group in groups]
    for group, each in zip(groups, lines, strict=True):
        program.row([(p, 1) for p in each], most=group.size)
    flat = [
        (p, line) for group, each in zip(groups, lines, strict=True) for p, line in zip(each, group.lines, strict=True)
    ]
    for loom in shelf.looms:
        turns = shelf.turns_of(loom)
        if turns is not None:
            program.row([(p, 1) for p, line in flat if loom in line.looms], most=turns)
    balls = {}
    for name, skeins in shelf.yarns.items():
        takes = [(p, line.taken_mm) for p, line in flat if line.way.yarn == name]
        if shelf.buy and skeins.ball_mm is not None and takes:
            needed = sum(g.size * max((x.taken_mm for x in g.lines if x.way.yarn == name), default=0) for g in groups)
            balls[name] = program.count(shelf.balls(name, needed))
            program.row([*takes, (balls[name], -skeins.ball_mm)], most=skeins.stock_mm or 0)
        elif (bound := shelf.bounded(name)) is not None:
            program.row(takes, most=bound)
    builds = {b: program.count(1) for b in sorted({b for _, line in flat for b in line.builds}, key=_named)}
    for group, each in zip(groups, lines, strict=True):
        for build, place in builds.items():
            having = [(p, 1) for p, line in zip(each, group.lines, strict=True) if build in line.builds]
            if having:
                program.row([*having, (place, -group.size)], most=0)
    beyond = {}
    for loom in sorted({b.loom for b in builds} - stands):
        here = [(place, 1) for b, place in builds.items() if b.loom == loom]
        beyond[loom] = program.count(len(here))
        program.row([*here, (beyond[loom], -1)], most=shelf.looms[loom])
    return program, _Places(lines, balls, builds, beyond)


def _named(build: Build) -> tuple[str, int, int]:
    return (build.loom, build.spacers, build.pegs)


def _goals(
    groups: Sequence[Group], shelf: Shelf, stands: frozenset[str], places: _Places
) -> list[tuple[str, list[tuple[int, int]], bool, int]]:
    """Name, goal to make most, whether that makes its value small, how many units are one."""
    goals = []
    many = _priorities(groups)
    flat = [
        (p, line, g.priority)
        for g, each in zip(groups, places.lines, strict=True)
        for p, line in zip(each, g.lines, strict=True)
    ]
    for priority in many:
        name = "likely to fit" + (f", priority {priority}" if len(many) > 1 else "")
        goals.append((name, [(p, x.chance) for p, x, of in flat if of == priority], False, CHANCE))
    if shelf.buy:
        goals.append(("balls to buy", [(p, -1) for p in places.balls.values()], True, 1))
    rebuilt = [*(p for b, p in places.builds.items() if b.loom in stands), *places.beyond.values()]
    score = [*((p, -x.score_um) for p, x, _ in flat), *((p, -shelf.rebuild_um) for p in rebuilt)]
    goals.append(("score with rebuilds", score, True, UM))
    return goals


def _counts(groups: Sequence[Group], shelf: Shelf, places: _Places, program: Program, shares: Shares) -> list[int]:
    """All counts of a plan: as few balls and builds as it needs."""
    counts = [0] * len(program.most)
    chosen = []
    for group, each, own in zip(groups, places.lines, shares, strict=True):
        for place, line, count in zip(each, group.lines, own, strict=True):
            counts[place] = count
            chosen += [(line, count)] if count else []
    for name, mm in used(chosen).items():
        if name in places.balls:
            counts[places.balls[name]] = shelf.balls(name, mm)
    for build in {b for line, _ in chosen for b in line.builds}:
        counts[places.builds[build]] = 1
    for loom, place in places.beyond.items():
        here = sum(counts[p] for b, p in places.builds.items() if b.loom == loom)
        counts[place] = max(0, here - shelf.looms[loom])
    return counts
