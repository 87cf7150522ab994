"""`--seconds` is the whole command's: stopped after any number of looks at the clock, it says what is proven."""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from solver import door
from solver.model import timing
from tests.command import pegwright

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
