"""A kit in the hands of somebody who uses terminal and browser by turns: any changes in any order, and an undo.

After each step the file is what the model says, value by value; every comment that was not an entry's own still stands;
what was not changed has the very bytes it had; and an undo brings the very bytes of before, or changes nothing.
"""

import copy
import gc
import shutil
import tempfile
import tomllib
from pathlib import Path
from typing import Any
from unittest import mock

from hypothesis import seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule, run_state_machine_as_test

from solver.web.cupboard import _mark
from tests.command import Ran, pegwright
from tests.fuzz.judge import KEPT, steering
from tests.fuzz.kit_model import START, Model, comments_in
from tests.kits.draws import drawn, some_or_parts
from tests.solver.web.client import entered, house_in, post

ROOMS = {"loom": "looms", "yarn": "yarn", "wearer": "people", "swatch": "swatches"}
NAMED = st.sampled_from(("loom", "yarn", "wearer"))
DOORS = st.sampled_from(("terminal", "browser"))
WHICH = st.integers(0, 3)
SEEN: dict[str, int] = {}


def made(table: str, name: str, number: int) -> dict[str, Any]:
    """The values of a new entry."""
    if table == "loom":
        return {"name": name, "build": "ring", "pitch": "16 mm", "peg_diameter": "6 mm", "pegs": 30 + number}
    if table == "yarn":
        return {"name": name, "weight": 4, "length_per_ball": "200 m", "mass_per_ball": "100 g", "balls": number}
    return {"name": name, "head": f"{50 + number} cm"}


def words(values: dict[str, Any]) -> list[str]:
    """The values as options."""
    return [word for key, value in values.items() for word in (f"--{key.replace('_', '-')}", str(value))]


class Kitchen(RuleBasedStateMachine):
    """The kit in a folder, its house, and the model."""

    windows = False

    def __init__(self) -> None:
        """A kit with comments; a plan of a headband kept beside it."""
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="kit"))
        text = START.replace("\n", "\r\n") if self.windows else START
        (self.folder / "kit.toml").write_bytes(text.encode())
        self.house = house_in(self.folder, None)
        self.client = entered(self.house)
        self.model, self.undos = Model(), list[tuple[bytes, bytes, Model]]()
        kept = self.run("find", "headband", "--around", "17.6 in", "--save", "plan.json")
        assert kept.code == 0, kept.err

    def teardown(self) -> None:
        """Nothing stays behind."""
        gc.enable()
        shutil.rmtree(self.folder)

    @property
    def bytes(self) -> bytes:
        """The file as it is."""
        return (self.folder / "kit.toml").read_bytes()

    def run(self, *typed: str) -> Ran:
        """A command in the folder; it never fails by a fault of ours."""
        with mock.patch("typer.main.get_command", KEPT):
            done = pegwright(*typed, here=self.folder)
        assert done.code in (0, 1, 2), done.err
        assert not steering(done.out + done.err)
        return done

    def send(self, path: str, form: dict[str, Any], before: bytes) -> bool:
        """A form; whether it changed the file. What the browser changed, it can take back."""
        was = copy.deepcopy(self.model)
        answer = post(self.client, path, **{key: str(value) for key, value in form.items()})
        assert answer.status_code in (200, 303, 422), answer.status_code
        if self.bytes != before:
            self.undos.append((before, self.bytes, was))
        return self.bytes != before

    def mark(self, table: str, at: int) -> str:
        """What a form says of the entry that it was made for."""
        return _mark(tomllib.loads(self.bytes.decode())[table][at])

    def noted(self, what: str) -> None:
        """What was done, for the test to see that all of it was."""
        SEEN[what] = SEEN.get(what, 0) + 1

    @rule(door=DOORS, table=NAMED, which=WHICH, number=st.integers(1, 9))
    def add(self, door: str, table: str, which: int, number: int) -> None:
        """A loom, a yarn or a wearer more: all that stood before stands before it."""
        before, free = self.bytes, self.model.free()
        if not free:
            return
        values = made(table, free[which % len(free)], number)
        if door == "terminal":
            done = self.run("kit", "add", table, *words(values))
            assert done.code == 0, done.err
        else:
            form = values | ({"ten": "160 mm"} if table == "loom" else {})
            assert self.send(f"/cupboard/{ROOMS[table]}/save", form, before)
        self.model.add(table, values)
        assert self.bytes.startswith(before.rstrip())
        self.noted(f"add at the {door}")

    @rule(door=DOORS, table=NAMED, which=WHICH)
    def add_twice(self, door: str, table: str, which: int) -> None:
        """A name that is there already is refused, and nothing is written."""
        before, names = self.bytes, self.model.names(table)
        if not names:
            return
        values = made(table, names[which % len(names)], 1)
        if door == "terminal":
            assert self.run("kit", "add", table, *words(values)).code == 2
        else:
            assert not self.send(f"/cupboard/{ROOMS[table]}/save", values | {"ten": "160 mm"}, before)
        assert self.bytes == before

    @rule(door=DOORS, table=NAMED, which=WHICH, together=st.booleans())
    def take_out(self, door: str, table: str, which: int, together: bool) -> None:
        """One less: what is left are lines that stood there, in their order; what swatches name needs their going."""
        before, names = self.bytes, self.model.names(table)
        if not names or (table != "wearer" and len(names) == 1):  # the headband's plan needs a kit to be asked of
            return
        name = names[which % len(names)]
        refused = bool(self.model.swatches_of(table, name)) and not together
        if door == "terminal":
            done = self.run("kit", "remove", table, *(["--with-swatches"] if together else []), "--", name)
            assert done.code == (2 if refused else 0), done.err
        else:
            form = {"which": name, **({"with_swatches": "yes"} if together else {})}
            assert self.send(f"/cupboard/{ROOMS[table]}/out", form, before) == (not refused)
        if refused:
            assert self.bytes == before
            return
        self.model.take_out(table, name)
        left = iter(before.splitlines())
        assert all(line in left for line in self.bytes.splitlines())
        self.noted(f"take out at the {door}")

    @rule(table=NAMED, which=WHICH, number=st.integers(10, 19), rename=st.booleans(), other=WHICH)
    def edit(self, table: str, which: int, number: int, rename: bool, other: int) -> None:
        """A number or a name changed in the browser: the entry's own line, and the lines that name it."""
        before, names, free = self.bytes, self.model.names(table), self.model.free()
        if not names or not free:
            return
        at = which % len(names)
        values = dict(self.model.tables[table][at].values)
        key = "name" if rename else {"loom": "pegs", "yarn": "balls", "wearer": "head"}[table]
        now: Any = free[other % len(free)] if rename else f"{number} in" if table == "wearer" else number
        ten = {"ten": "160 mm"} if table == "loom" else {}
        form = {**values, key: now, **ten, "which": names[at], "mark": self.mark(table, at)}
        named = len(self.model.swatches_of(table, names[at])) if rename and table != "wearer" else 0
        changed = self.send(f"/cupboard/{ROOMS[table]}/save", form, before)
        assert changed == (values[key] != now)
        self.model.change(table, names[at], key, now)
        lines = list(zip(before.splitlines(), self.bytes.splitlines(), strict=True))
        assert sum(was != is_now for was, is_now in lines) == changed + named
        self.noted("edit")

    @rule(door=DOORS, loom=WHICH, yarn=WHICH, wide=st.integers(8, 10), high=st.integers(10, 12))
    def swatch(self, door: str, loom: int, yarn: int, wide: int, high: int) -> None:
        """A swatch more, counted twice so that no other doubts it away."""
        before, looms, yarns = self.bytes, self.model.names("loom"), self.model.names("yarn")
        on, of = looms[loom % len(looms)], yarns[yarn % len(yarns)]
        if door == "terminal":
            counts = ["--stitches", f"{wide} over 4 in", "--rows", f"{high} over 4 in"]
            done = self.run("swatch", "add", f"--loom={on}", f"--yarn={of}", "--spacers", "0", *counts, "--checked")
            assert done.code == 0, done.err
        else:
            form = {"loom": on, "yarn": of, "stitches": wide, "rows": high, "over": "4 in", "checked": "on"}
            assert self.send("/cupboard/swatches/save", form, before)
        values = {"loom": on, "spacers": 0, "yarn": of, "strands": 1, "stitch": "u-wrap", "checked": True}
        counted = {"stitches": {"count": wide, "over": "4 in"}, "rows": {"count": high, "over": "4 in"}}
        self.model.add("swatch", values | counted)
        assert self.bytes.startswith(before.rstrip())
        self.noted(f"swatch at the {door}")

    @precondition(lambda self: self.model.tables["swatch"])
    @rule(door=DOORS, which=WHICH)
    def no_swatch(self, door: str, which: int) -> None:
        """A swatch less, by its number."""
        before, at = self.bytes, which % len(self.model.tables["swatch"])
        if door == "terminal":
            assert self.run("kit", "remove", "swatch", str(at + 1)).code == 0
        else:
            form = {"which": at + 1, "mark": self.mark("swatch", at)}
            assert self.send("/cupboard/swatches/out", form, before)
        del self.model.tables["swatch"][at]
        self.noted("swatch taken out")

    @rule(checked=st.booleans())
    def adjust(self, checked: bool) -> None:
        """The count on a piece, kept: one swatch of its loom and yarn; refused where they are gone or it is doubted."""
        before = self.bytes
        plan = tomllib.loads(START)["swatch"][0]
        there = plan["loom"] in self.model.names("loom") and plan["yarn"] in self.model.names("yarn")
        counts = ["--stitches", "9 over 4in", "--rows", "11 over 4in"]
        more = ["--keep", *(["--checked"] if checked else [])]
        done = self.run("adjust", "plan.json", "--rows-done", "2", *counts, *more)
        if done.code == 2:
            assert self.bytes == before
            assert not (there and checked), done.err
            return
        assert there
        held = tomllib.loads(self.bytes.decode())["swatch"][-1]
        assert (held["loom"], held["yarn"]) == (plan["loom"], plan["yarn"])
        assert [held[key]["count"] for key in ("stitches", "rows")] == [9, 11]
        assert self.bytes.startswith(before.rstrip())
        self.model.add("swatch", held)
        self.noted("adjust kept")

    @rule(item=st.sampled_from(("hat", "headband", "cowl")), door=DOORS)
    def find(self, item: str, door: str) -> None:
        """An answer changes nothing."""
        before = self.bytes
        if door == "terminal":
            assert self.run("find", item, "--around", "21 in").code in (0, 1)
        else:
            assert self.client.get(f"/make?item={item}&around=21+in").status_code == 200
        assert self.bytes == before

    @rule(number=st.integers(100, 999))
    def by_hand(self, number: int) -> None:
        """The knitter writes a line of her own; what the browser did before can no longer be taken back."""
        if number in self.model.loose:
            return
        line = b"\r\n" if self.windows else b"\n"
        (self.folder / "kit.toml").write_bytes(f"# comment {number}".encode() + line * 2 + self.bytes)
        self.model.loose.add(number)

    @rule()
    def undo(self) -> None:
        """The last change of the browser's: the very bytes of before, or nothing where the file has changed since."""
        before = self.bytes
        answer = post(self.client, "/cupboard/undo")
        assert answer.status_code == 303
        if not self.undos:
            assert self.bytes == before
            return
        was, after, model = self.undos.pop()
        if after == before:
            assert self.bytes == was
            self.model = model
            self.noted("undone")
        else:
            assert self.bytes == before
            self.noted("not undone")

    @invariant()
    def the_file_is_what_the_model_says(self) -> None:
        """Value by value, comment by comment, read by a reader that is not ours; and by ours without a word."""
        text = self.bytes.decode()
        found = tomllib.loads(text)
        assert {table: entries for table, entries in found.items() if table != "kit_version"} == self.model.holds()
        assert comments_in(text) == self.model.comments()
        assert text.count("\r\n") in (0, text.count("\n"))
        assert self.run("kit", "check").code == 0
        assert not [path.name for path in self.folder.iterdir() if path.name.endswith(".new")]


class OfWindows(Kitchen):
    """The same with the line ends of Windows."""

    windows = True


@some_or_parts(8, 2_000, parts=40)
def test_a_kit_in_rough_hands(examples: int, part: int) -> None:
    """Runs of up to 25 steps, at a terminal and in a browser by turns, with either line ends."""
    SEEN.clear()
    for machine in (Kitchen, OfWindows):
        how: Any = settings(drawn(examples // 2), stateful_step_count=25)  # type: ignore[call-overload]
        chosen: Any = seed(f"{machine.__name__} {part}")(type(machine.__name__, (machine,), {})) if part else machine
        run_state_machine_as_test(chosen, settings=how)
    doors = [f"{what} at the {door}" for what in ("add", "take out", "swatch") for door in ("terminal", "browser")]
    for what in (*doors, "edit", "swatch taken out", "adjust kept", "undone", "not undone"):
        assert SEEN.get(what, 0) > 0, (what, SEEN)
