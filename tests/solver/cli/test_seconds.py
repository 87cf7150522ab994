"""`--seconds` is the whole command's: stopped after any number of looks at the clock, it says what is proven."""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from solver import door
from solver.model import timing
from tests.command import ROOT, pegwright

HAT = ("hat", "--around", "21 in")
NONE = ("hat", "--around", "60 in")


class Counted:
    """A clock that is looked at and not waited for: every look takes one second."""

    def __init__(self) -> None:
        self.looks = 0

    def __call__(self) -> float:
        self.looks += 1
        return float(self.looks)


@contextmanager
def counted(monkeypatch: pytest.MonkeyPatch) -> Iterator[Counted]:
    """The limit that a command sets is counted in looks."""
    clock, real = Counted(), timing.within
    with monkeypatch.context() as patch:
        patch.setattr(door, "within", lambda seconds, since=None: real(seconds, clock=clock))
        yield clock


def looks(monkeypatch: pytest.MonkeyPatch, *words: str, here: Path) -> int:
    """How often a command looks at the clock."""
    with counted(monkeypatch) as clock:
        pegwright(*words, "--seconds", "1000000", here=here)
    return clock.looks


def stops(every: int) -> list[int]:
    """Where to stop: at the first looks, here and there, and just before the last."""
    return sorted({*range(min(every, 6)), *(every * n // 12 for n in range(1, 12)), every - 2, every - 1})


@pytest.mark.parametrize(
    "words",
    [("find", *HAT), ("find", *NONE), ("find", "mittens", "--size", "adult-woman"), ("check", *HAT), ("check", *NONE),
     ("sizes", "hat"), ("sheet", *HAT), ("sheet", *NONE)],
    ids=" ".join,
)  # fmt: skip
def test_wherever_it_is_stopped_it_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    """Exit 3 and a sentence, or the whole answer; never a fault of ours, never a no that was not proven."""
    whole = pegwright(*words, here=tmp_path)
    every = looks(monkeypatch, *words, here=tmp_path)
    assert every > 10
    codes = set()
    for stop in stops(every):
        with counted(monkeypatch):
            ran = pegwright(*words, "--seconds", str(stop), here=tmp_path)
        codes.add(ran.code)
        assert ran.code in (3, whole.code), (stop, ran.err)
        if ran.code == 3:
            assert "time ran out" in " ".join((ran.out + ran.err).split()), stop
        else:
            assert ran.out == whole.out, stop
    assert 3 in codes


def test_what_is_known_is_printed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Looms and sizes that were judged in time stand as they would have stood; a loom without its reason does not."""
    for words, list_, key in ((("check", *HAT), "looms", "loom"), (("sizes", "hat"), "rows", "size")):
        whole = json.loads(pegwright(*words, "--json", here=tmp_path).out)
        every, some = looks(monkeypatch, *words, here=tmp_path), 0
        for stop in stops(every):
            with counted(monkeypatch):
                ran = pegwright(*words, "--json", "--seconds", str(stop), here=tmp_path)
            if not ran.out:
                assert ran.code == 3
                continue
            report = json.loads(ran.out)
            assert report["complete"] == (ran.code != 3)
            known = {each[key]: each for each in whole[list_]}
            for each in report[list_]:
                some += 1
                assert bool(each["option"]) == bool(known[each[key]]["option"])
        assert some > len(whole[list_])


def test_no_time_at_all(tmp_path: Path) -> None:
    """`--seconds 0` prints what is known, which is nothing, and exits 3."""
    for words in (("find", *HAT), ("check", *HAT), ("sizes", "hat"), ("find", *NONE)):
        ran = pegwright(*words, "--seconds", "0", here=tmp_path)
        assert (ran.code, "time ran out" in " ".join((ran.out + ran.err).split())) == (3, True), words


def test_a_limit_within_a_limit_is_the_shorter(monkeypatch: pytest.MonkeyPatch) -> None:
    """And it ends with its block."""
    now = 100.0
    clock = lambda: now  # noqa: E731
    assert timing.remaining() is None
    with timing.within(10, clock=clock):
        with timing.within(50, clock=clock):
            assert timing.remaining() == 10
        with timing.within(3, since=98.0, clock=clock):
            assert timing.remaining() == 1
            now = 101.0
            with pytest.raises(timing.Undecided):
                timing.look()
        timing.look()
    timing.look()


WOOL = "".join(f'\n[[yarn]]\nname = "y{i}"\nweight = {i % 5 + 2}\n' for i in range(300))
SECOND = ("--rows-done", "5", "--stitches", "17 over 4in", "--rows", "24 over 4in")


def test_a_batch_is_read_within_its_seconds_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A look at the clock every 50 rows; once there was none before all of them were read."""
    rows = "".join(f"n{i},hat,{54 + i % 8} cm\n" for i in range(400))
    (tmp_path / "asks.csv").write_text("name,item,body\n" + rows)
    with counted(monkeypatch) as clock:
        ran = pegwright("batch", "asks.csv", "--seconds", "3", here=tmp_path)
    assert (ran.code, "time ran out" in ran.err) == (3, True)
    assert clock.looks < 8


def test_a_second_look_says_its_verdict_before_the_time_is_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Exit code and figures of the piece are those of the whole answer; what would be best again is not known."""
    (tmp_path / "kit.toml").write_text((ROOT / "catalog" / "kit.toml").read_text(encoding="utf-8") + WOOL)
    assert pegwright("find", *HAT, "--yarn", "moss wool", "--save", "p.json", here=tmp_path).code == 0
    words = ("adjust", "p.json", *SECOND)
    whole = pegwright(*words, "--json", here=tmp_path)
    every, said = looks(monkeypatch, *words, here=tmp_path), set()
    for stop in stops(every):
        with counted(monkeypatch):
            ran = pegwright(*words, "--json", "--seconds", str(stop), here=tmp_path)
        now, then = json.loads(ran.out), json.loads(whole.out)
        assert ran.code == whole.code
        assert all(now[key] == then[key] for key in then if key not in ("again", "again_complete"))
        said.add("all" if now["again_complete"] else "the verdict")
    assert said == {"the verdict"}  # of a piece in hand it is always given: few yarns have a say in it
    with counted(monkeypatch):
        ran = pegwright(*words, "--seconds", str(every - 1), here=tmp_path)
    assert "time ran out before the best setup for starting again was known" in " ".join(ran.out.split())


def test_a_second_look_works_out_the_yarns_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """For the piece itself only those that have a say in it: the plan's and those with a swatch."""
    from solver.asking import ask_of

    (tmp_path / "kit.toml").write_text((ROOT / "catalog" / "kit.toml").read_text(encoding="utf-8") + WOOL)
    assert pegwright("find", *HAT, "--yarn", "moss wool", "--save", "p.json", here=tmp_path).code == 0
    asked, real = [], ask_of.gauges
    monkeypatch.setattr(
        ask_of, "gauges", lambda kit, settings, **more: asked.append(len(settings)) or real(kit, settings, **more)
    )
    assert pegwright("adjust", "p.json", *SECOND, here=tmp_path).code in (0, 1)
    assert len(asked) == 2
    assert asked[0] * 10 < asked[1]
