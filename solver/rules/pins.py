"""The choices that the ask makes itself: loom, yarn, pegs, spacers, strands."""

from collections.abc import Callable, Iterable

from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def _named(field: str) -> Callable[[Setup], Iterable[Gap]]:
    def gaps(setup: Setup) -> Iterable[Gap]:
        pinned = getattr(setup.ask.pins, field)
        if pinned is not None:
            way = setup.way
            yield Gap(1, int(pinned == (way.loom.name if field == "loom" else way.yarn)), "", pinned)

    return gaps


def _counted(field: str) -> Callable[[Setup], Iterable[Gap]]:
    def gaps(setup: Setup) -> Iterable[Gap]:
        pinned = getattr(setup.ask.pins, field)
        if pinned is not None:
            have = setup.pieces[0].pegs if field == "pegs" else getattr(setup.way, field)
            yield Gap(have, pinned, field, "most")
            yield Gap(pinned, have, field, "least")

    return gaps


RULES = (
    Rule("pin-loom", "the loom is the one you named", _named("loom"), of_way=True),
    Rule("pin-yarn", "the yarn is the one you named", _named("yarn"), of_way=True),
    Rule("pin-pegs", "the pegs are as many as you named", _counted("pegs")),
    Rule("pin-spacers", "the spacer setting is the one you named", _counted("spacers"), of_way=True),
    Rule("pin-strands", "the strands are as many as you named", _counted("strands"), of_way=True),
)
