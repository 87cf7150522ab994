"""Every rule is read off its own gaps or stands on a short, explained list; and what is read is what the gaps say."""

import random
from collections.abc import Iterator
from dataclasses import replace

import pytest

from catalog.item import item, item_names
from catalog.kit import built_in_kit
from solver.asking.ask_of import ask_of
from solver.model.ask import FAR_PEGS, Ask, Pins, Way
from solver.model.rule import Gap, Rule
from solver.model.setup import PieceSetup, Setup, ValuePicks, rows_most, rows_reached, set_up
from solver.rules import RULES, reading
from solver.rules.reading import TAUGHT, Line, Over, Unread, lack_of, lacks_of, lines_on
from tests.kits.sheetplans import wish_for

READ = [r for r in RULES if not r.of_way and r.name not in TAUGHT]


def asks() -> Iterator[Ask]:
    """Every item of the catalogue, as sure and of as many pegs as could be asked."""
    for name in item_names():
        rib = {"rib": "2x1"} if item(name).rib else {}
        wish = replace(wish_for(name, **rib), sure_ppm=300_000, pins=Pins(pegs=30))
        yield ask_of(built_in_kit(), wish)


def test_every_rule_is_read_or_explained() -> None:
    """A rule reads the ways alone, or its gaps are read for some item, or it is one of four taught, with why."""
    found = {
        name
        for ask in asks()
        for i in range(len(ask.pieces))
        for way in ask.ways[:: len(ask.ways) // 3]
        for name in [*lacks_of(ask, i), *(line.rule for over in lines_on(ask, i, way) for line in over)]
    }
    of_way = {r.name for r in RULES if r.of_way}
    assert {r.name for r in RULES} == found | of_way | set(TAUGHT)
    assert not found & (of_way | set(TAUGHT))
    assert len(TAUGHT) == 4
    assert all(len(why.split()) > 5 for why in TAUGHT.values())


@pytest.mark.parametrize("name", item_names())
def test_what_is_read_is_what_the_gaps_say(name: str) -> None:
    """At random pegs, rows and bands: the finished setup's own gaps, in plain ints, lack what the lines say they do."""
    ask = next(ask for ask in asks() if ask.item == name).without("pegs-on-loom")
    chance = random.Random(name)
    for _ in range(60):
        way = chance.choice([w for w in ask.ways if w.loom.build != "boards"])
        values, counts = choices(ask, way, chance)
        setup = set_up(ValuePicks(values), ask, [way] * len(ask.pieces))
        for rule in READ:
            by_gaps = max([0, *(g.need - g.have for g in rule.gaps(setup))])
            assert by_gaps == max(lack(ask, i, way, rule.name, each) for i, each in enumerate(counts)), rule.name


def choices(ask: Ask, way: Way, chance: random.Random) -> tuple[dict[str, int], list[dict[Over, int]]]:
    """Random choices of a Setup, free numbers as near as they can be; for each piece its counts."""
    values, counts = {}, []
    for i, piece in enumerate(ask.pieces):
        n = chance.randint(1, FAR_PEGS) if chance.random() < 0.3 else chance.randint(1, 60)
        most = rows_most(piece, way)
        rest, band = chance.randint(0, min(60, most)), chance.randint(1, min(20, most))
        repeat = min(range(FAR_PEGS // piece.repeat + 1), key=lambda q: abs(q * piece.repeat - n + piece.edge))
        values |= {f"{i}.pegs": n, f"{i}.repeats": repeat, f"{i}.pairs": n // 2}
        values |= {f"{i}.rows_rest": rest, f"{i}.rows_band": band}
        total = rest + piece.bands * band + sum(rows_reached(piece, way))
        counts.append({Over.PEGS: n, Over.ROWS: total, Over.BAND: band, Over.REST: rest, Over.NONE: 0})
    return values, counts


def lack(ask: Ask, i: int, way: Way, rule: str, counts: dict[Over, int]) -> int:
    """What a piece lacks of a rule, as read."""
    lines = lines_on(ask, i, way)
    each = [lack_of([x for x in lines[over] if x.rule == rule])(counts[over]) for over in Over]
    return max([*each, lacks_of(ask, i).get(rule, [0] * (FAR_PEGS + 1))[counts[Over.PEGS]]])


@pytest.mark.parametrize(
    ("line", "least", "most"),
    [
        (Line("r", "", -7, 20), 3, None),  # 20 - 7 x <= 0 from 3 on
        (Line("r", "", -7, 21), 3, None),
        (Line("r", "", 7, -20), None, 2),
        (Line("r", "", 7, -21), None, 3),
        (Line("r", "", 7, 1), None, -1),  # never
    ],
)
def test_a_line_holds_up_to_where_it_crosses_nought(line: Line, least: int | None, most: int | None) -> None:
    """Whole counts on either side of the crossing."""
    assert (line.least, line.most) == (least, most)
    holds = [x for x in range(-5, 10) if line.lack(x) == 0]
    assert holds == [x for x in range(-5, 10) if (least is None or x >= least) and (most is None or x <= most)]


def of(gaps: object) -> tuple[Rule, ...]:
    """A rule of such gaps, alone."""
    return (Rule("odd", "an odd rule", gaps),)  # type: ignore[arg-type]


def rest(piece: PieceSetup) -> object:
    """The rows of the section that takes what is left."""
    return next(rows for section, rows in zip(piece.ask.sections, piece.rows, strict=True) if section.rows == "rest")


@pytest.mark.parametrize(
    ("gap", "message"),
    [
        (lambda s: Gap(s.yarn_um, 5), "expected one over the rows or pegs of one"),
        (lambda s: Gap(s.pieces[0].pegs, s.pieces[0].rows_total), "expected over one"),
        (lambda s: Gap(s.pieces[0].stitches, 5), "found a gap over stitches, expected pegs, girth_um"),
        (lambda s: Gap(s.pieces[0].pegs, s.pieces[1].pegs), "expected one over the rows or pegs of one"),
        (lambda s: Gap(rest(s.pieces[0]), 5), "expected over one"),  # from above, on what is left to choose
    ],
)
def test_what_cannot_be_read_is_said(gap: object, message: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A gap over yarn, over two counts, over two pieces: Unread, with what was found and what can be read."""
    monkeypatch.setattr(reading, "RULES", of(lambda setup: [gap(setup)]))  # type: ignore[operator]
    ask = ask_of(built_in_kit(), wish_for("mittens"))
    with pytest.raises(Unread, match=f"odd: .*{message}"):
        lines_on(ask, 0, ask.ways[0])


@pytest.mark.parametrize(
    "gap",
    [
        lambda s: Gap(max(s.pieces[0].pegs, 5), 7),
        lambda s: Gap(5, 7) if s.pieces[0].pegs else Gap(7, 5),
        lambda s: Gap(s.pieces[0].pegs * s.pieces[0].rows_total, 7),
        lambda s: Gap(s.pieces[0].pegs * 1.5, 7),
    ],
)
def test_a_rule_that_compares_or_multiplies_is_told(gap: object, monkeypatch: pytest.MonkeyPatch) -> None:
    """`max`, `if`, a product of two quantities and a float are TypeErrors, never a wrong window."""
    monkeypatch.setattr(reading, "RULES", of(lambda setup: [gap(setup)]))  # type: ignore[operator]
    ask = ask_of(built_in_kit(), wish_for("hat"))
    with pytest.raises(TypeError):
        lines_on(ask, 0, ask.ways[0])


def test_a_rule_on_the_way_itself_is_read_for_every_way(monkeypatch: pytest.MonkeyPatch) -> None:
    """One that asks for more pegs on a wider loom: read again where the loom is another."""

    def gaps(setup: Setup) -> Iterator[Gap]:
        for piece in setup.pieces:
            yield Gap(piece.way.loom.pitch_um // 1000, piece.pegs, "pegs", "least")

    monkeypatch.setattr(reading, "RULES", of(gaps))
    ask = ask_of(built_in_kit(), wish_for("hat"))
    for way in ask.ways:
        (line,) = lines_on(ask, 0, way)[Over.PEGS]
        assert line.least == way.loom.pitch_um // 1000
