"""What a command writes never takes the place of a kit, a diary or anything else that is not ours."""

import multiprocessing
import os
import re
import stat
import subprocess
import sys
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from struct import unpack
from time import monotonic
from unittest import mock
from zlib import crc32, decompress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import InputError
from catalog.mark import is_ours, marked
from catalog.outputs import Outputs
from solver.plan.saved import load_plan
from solver.web.shelf import Shelf
from tests.command import ROOT, START, pegwright

HAT = ("find", "hat", "--around", "21 in", "--top", "1")
KIT = (ROOT / "catalog" / "kit.toml").read_bytes()
WRITERS = (
    *((*HAT, option, "{}") for option in ("--save", "--page", "--plot")),
    *(("sheet", *HAT[1:4], option, "{}") for option in ("--save", "--html", "--markdown")),
)
ENDS = {"--save": "json", "--page": "html", "--plot": "svg", "--html": "html", "--markdown": "md"}


def typed(words: tuple[str, ...], file: str) -> list[str]:
    """The words with the name of the file in its place."""
    return [word.format(file) if word == "{}" else word for word in words]


@pytest.fixture
def here(tmp_path: Path) -> Path:
    """A folder with a kit in it."""
    (tmp_path / "own.svg").write_bytes(KIT)  # an ending that each of the options takes
    return tmp_path


def everything(folder: Path) -> dict[str, bytes]:
    """Every file of a folder, also those whose names begin with a dot."""
    return {p.name: p.read_bytes() for p in sorted(folder.iterdir()) if p.is_file()}


@pytest.mark.parametrize("words", WRITERS, ids=lambda w: f"{w[0]} {w[-2]}")
@pytest.mark.parametrize("more", [(), ("--force",)])
def test_the_kit_is_never_overwritten(here: Path, words: tuple[str, ...], more: tuple[str, ...]) -> None:
    """`find --kit own.toml --save own.toml` once left a plan where the kit was, and exit code 0."""
    before = everything(here)
    ran = pegwright(*typed(words, "own.svg"), "--kit", "own.svg", *more, here=here)
    assert ran.code == 2
    assert f"{words[-2]}: found own.svg, which is the kit" in " ".join(ran.err.split())
    assert ran.out == ""
    assert everything(here) == before, "no lock file, no half of a page"


def test_nor_through_another_name(here: Path) -> None:
    """A link, hard or soft, and a way round through the folder above, are the same file."""
    os.link(here / "own.svg", here / "hard.svg")
    (here / "soft.svg").symlink_to("own.svg")
    for name in ("hard.svg", "soft.svg", f"../{here.name}/own.svg"):
        ran = pegwright(*HAT, "--kit", "own.svg", "--plot", name, "--force", here=here)
        assert (ran.code, "which is the kit" in " ".join(ran.err.split())) == (2, True)
    assert (here / "own.svg").read_bytes() == KIT


@pytest.mark.parametrize("words", WRITERS, ids=lambda w: f"{w[0]} {w[-2]}")
def test_ours_is_written_again_and_a_diary_is_not(here: Path, words: tuple[str, ...]) -> None:
    """Ours until a hand changes it; what was always somebody's is refused; --force replaces a regular file."""
    name = f"out.{ENDS[words[-2]]}"
    run = typed(words, name)
    assert [pegwright(*run, here=here).code for _ in range(2)] == [0, 0]
    ours = (here / name).read_bytes()
    for foreign in (b"Dear diary\n", b"\n", ours.replace(b"e", b"o", 1), ours + b"\n"):
        (here / name).write_bytes(foreign)
        before = everything(here)
        ran = pegwright(*run, here=here)
        assert ran.code == 2, foreign[:20]
        assert "which pegwright did not write, or which was changed since" in " ".join(ran.err.split())
        assert "--force" in ran.err
        assert everything(here) == before
    assert pegwright(*run, "--force", here=here).code == 0
    assert is_ours((here / name).read_bytes())


@pytest.mark.parametrize("pair", list(pairwise(("--save", "--page", "--plot"))))
def test_two_outputs_of_a_run_do_not_share_a_file(here: Path, pair: tuple[str, str]) -> None:
    """The second would lie where the first was, before anybody has seen it."""
    ran = pegwright(*HAT, pair[0], "same.svg", pair[1], "same.svg", "--force", here=here)
    assert ran.code == 2
    assert f"which is what {pair[0]} writes" in " ".join(ran.err.split())
    assert not (here / "same.svg").exists()


@pytest.mark.parametrize(("one", "other"), [("P.svg", "p.svg"), ("é.svg", "e\u0301.svg"), ("a/../P.svg", "p.SVG")])
def test_nor_do_names_that_a_disk_may_take_for_one(here: Path, one: str, other: str) -> None:
    """Where case does not count, or é is written in one way, the page would lie where the plan had just been put."""
    (here / "a").mkdir()
    ran = pegwright(*HAT, "--save", one, "--plot", other, here=here)
    assert ran.code == 2
    assert "which is what --save writes" in " ".join(ran.err.split())
    assert sorted(p.name for p in here.iterdir()) == ["a", "own.svg"]


def test_names_that_are_seen_to_be_two_files_are_two(here: Path) -> None:
    """Both are there already, and this disk tells them apart."""
    for name in ("P.svg", "p.svg"):
        (here / name).touch()
    if (here / "P.svg").samefile(here / "p.svg"):
        pytest.skip("a disk that does not tell case")
    assert pegwright(*HAT, "--save", "P.svg", "--plot", "p.svg", here=here).code == 0


def test_the_plan_that_is_read_stays(here: Path) -> None:
    """A page over the plan that it is drawn from would be the last of that plan."""
    assert pegwright(*HAT, "--save", "plan.html", here=here).code == 0
    before = (here / "plan.html").read_bytes()
    ran = pegwright("sheet", "--from", "plan.html", "--html", "plan.html", "--force", here=here)
    assert (ran.code, (here / "plan.html").read_bytes()) == (2, before)
    assert "which is the plan that is read" in " ".join(ran.err.split())


def test_a_plan_with_ticks_stays(here: Path) -> None:
    """A piece begun in the browser lost its ticks to a `find --save` over its plan, and exit code 0."""
    assert pegwright(*HAT, "--save", "plan.json", here=here).code == 0
    shelf = Shelf(here)
    begun = shelf.begin(load_plan(here / "plan.json"), "item=hat", "for the eldest")
    shelf.tick(begun, 7)
    plan = here / "pieces" / begun / "plan.json"
    (here / "soft.json").symlink_to(plan)
    before = plan.read_bytes()
    for name in (str(plan), "soft.json"):
        ran = pegwright("find", "hat", "--around", "20 in", "--save", name, here=here)
        assert ran.code == 2
        assert "which is the plan of a piece that is begun, with its ticks beside it" in " ".join(ran.err.split())
        assert "--force" in ran.err
        assert plan.read_bytes() == before
    piece = shelf.get(begun)
    assert piece is not None
    assert piece.done == 7
    assert pegwright("find", "hat", "--around", "20 in", "--save", str(plan), "--force", here=here).code == 0
    assert plan.read_bytes() != before
    again = pegwright(*HAT, "--save", str(plan), here=here)
    assert again.code == 0, "the ticks speak of the plan of before, and are no reason any more"


@pytest.mark.parametrize("name", ["movie.html", "ticks.json"])
def test_a_huge_file_in_the_way_is_not_read(here: Path, name: str) -> None:
    """A film of 30 GB, or one called as ticks are: it was read whole, MemoryError and exit 70."""
    if name == "ticks.json":
        assert pegwright(*HAT, "--page", "movie.html", here=here).code == 0
    with (here / name).open("wb") as film:
        film.truncate(30_000_000_000)  # no block of it is on the disk
    start = f"import resource; resource.setrlimit(resource.RLIMIT_AS, (8 << 30,) * 2); {START}"
    env = {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "80"}
    words = [sys.executable, "-c", start, *HAT, "--page", "movie.html"]
    ran = subprocess.run(words, cwd=here, env=env, capture_output=True, text=True)
    assert ran.returncode == (0 if name == "ticks.json" else 2), ran.stderr
    assert ("which pegwright did not write" in " ".join(ran.stderr.split())) == (ran.returncode == 2)
    assert (here / name).stat().st_size == 30_000_000_000


@pytest.mark.parametrize("words", WRITERS, ids=lambda w: f"{w[0]} {w[-2]}")
@pytest.mark.parametrize("more", [(), ("--force",)])
def test_no_output_becomes_a_kit_or_a_recipe(tmp_path: Path, words: tuple[str, ...], more: tuple[str, ...]) -> None:
    """A ball kept as kit.toml, where no kit was, made every later command fail; so did one kept among recipes."""
    for folder in ("recipes", "other"):
        (tmp_path / folder).mkdir()
    (tmp_path / "link").symlink_to("recipes")
    for name in ("kit.toml", "KIT.toml", "other/kit.toml", "recipes/hat.svg", "link/hat.svg"):
        before = everything(tmp_path)
        ran = pegwright(*typed(words, name), *more, here=tmp_path)
        assert ran.code == 2, name
        told = " ".join(ran.err.split())
        assert re.search(
            r"which is (the kit of this folder|what the kit of|in a folder of recipes)|ends in .svg or .png", told
        ), told
        assert everything(tmp_path) == before
        assert not [*(tmp_path / "recipes").iterdir(), *(tmp_path / "other").iterdir()]


def test_a_page_of_a_plan_never_takes_the_place_of_its_kit(tmp_path: Path) -> None:
    """`sheet --from p.json --html own.toml --force` turned the kit that the plan was made with into HTML."""
    home = tmp_path / "home"
    (home / "recipes").mkdir(parents=True)
    (home / "own.toml").write_bytes(KIT)
    assert pegwright(*HAT, "--kit", "own.toml", "--save", "p.json", here=home).code == 0
    pages = [("own.toml", home), ("home/own.toml", tmp_path), ("home/recipes/hat.toml", tmp_path)]
    for page, here in pages:
        plan = "p.json" if here == home else "home/p.json"
        for option in ("--html", "--markdown"):
            ran = pegwright("sheet", "--from", plan, option, page, "--force", here=here)
            assert ran.code == 2, page
            assert re.search("which is (the kit that the plan|in a folder of rec)", " ".join(ran.err.split())), ran.err
    assert (home / "own.toml").read_bytes() == KIT
    assert not [*(home / "recipes").iterdir()]


ROUND = "a link that leads back to itself"
COUNTED = ("--stitches", "17 over 4in", "--rows", "21 over 4in")


@pytest.mark.parametrize("name", ["loop.svg", "loop.svg/x.svg"])
@pytest.mark.parametrize(
    ("words", "says"),
    [
        *((words, ROUND) for words in WRITERS),
        (("kit", "new", "{}"), "found something that stands there already"),
        (("kit", "add", "wearer", "--kit", "{}", "--name", "x", "--head", "20 in"), ROUND),
        *(
            (words, "Too many levels of symbolic links")
            for words in (
                (*HAT, "--kit", "{}"),
                ("kit", "check", "--kit", "{}"),
                ("sheet", "--from", "{}", "--html", "x.html"),
                ("adjust", "{}", "--rows-done", "3", *COUNTED),
                ("batch", "{}"),
            )
        ),
    ],
    ids=lambda w: " ".join(w[:2]) if isinstance(w, tuple) else "",
)
def test_a_link_that_leads_to_itself_is_bad_input(here: Path, name: str, words: tuple[str, ...], says: str) -> None:
    """`--save loop` was a fault of ours, RuntimeError, wherever a kit was read too."""
    (here / "kit.toml").write_bytes(KIT)
    (here / "loop.svg").symlink_to("loop.svg")
    ran = pegwright(*typed(words, name), here=here)
    assert ran.code == 2, ran.err
    assert (ROUND if words[1] == "new" and "/" in name else says) in " ".join(ran.err.split())


def test_what_is_read_only_or_no_file_stays(here: Path) -> None:
    """A page put away for good, a pipe, a folder; --force makes no difference to what is no regular file."""
    assert pegwright(*HAT, "--page", "kept.html", here=here).code == 0
    (here / "kept.html").chmod(0o444)
    assert "which is read-only" in " ".join(pegwright(*HAT, "--page", "kept.html", here=here).err.split())
    os.mkfifo(here / "pipe.html")
    (here / "folder.html").mkdir()
    for name in ("pipe.html", "folder.html"):
        for more in ((), ("--force",)):
            ran = pegwright(*HAT, "--page", name, *more, here=here)
            assert (ran.code, "which is no regular file" in " ".join(ran.err.split())) == (2, True)
    assert stat.S_ISFIFO((here / "pipe.html").stat().st_mode)


def test_what_is_replaced_keeps_its_mode(here: Path) -> None:
    """A page shared with a group stays shared; one that is private stays so."""
    for mode in (0o600, 0o664, 0o640):
        assert pegwright(*HAT, "--page", "out.html", here=here).code == 0
        (here / "out.html").chmod(mode)
        assert pegwright(*HAT, "--page", "out.html", here=here).code == 0
        assert stat.S_IMODE((here / "out.html").stat().st_mode) == mode


def test_a_png_still_opens(here: Path) -> None:
    """Its mark is a chunk of its own with a right check sum: another decoder reads the picture."""
    pytest.importorskip("resvg_py")
    assert pegwright(*HAT, "--plot", "plot.png", here=here).code == 0
    data, at, chunks = (here / "plot.png").read_bytes(), 8, dict[bytes, bytes]()
    while at < len(data):
        size, kind = unpack(">I4s", data[at : at + 8])
        body = data[at + 8 : at + 8 + size]
        assert crc32(kind + body) == unpack(">I", data[at + 8 + size : at + 12 + size])[0]
        chunks[kind] = chunks.get(kind, b"") + body
        at += 12 + size
    assert at == len(data)
    assert list(chunks)[-1] == b"IEND"
    assert chunks[b"tEXt"].startswith(b"written by\0pegwright ")
    assert decompress(chunks[b"IDAT"])


TEXTS = st.one_of(st.text().map(str.encode), st.text().map(lambda t: b'{\n "a": 1' + t.encode() + b"\n}\n"))


@given(TEXTS, st.integers(0, 10_000), st.binary(min_size=1, max_size=1))
def test_one_changed_byte_makes_it_foreign(data: bytes, at: int, other: bytes) -> None:
    """Whatever was written, and wherever it was changed, the mark itself too."""
    ours = marked(data)
    assert is_ours(ours)
    assert not is_ours(data)
    at %= len(ours)
    changed = ours[:at] + other + ours[at + 1 :]
    assert is_ours(changed) == (changed == ours)


def _write_again(folder: str, text: str, seconds: float) -> None:
    end, path = monotonic() + seconds, Path(folder) / "page.html"
    while monotonic() < end:
        outputs = Outputs()
        outputs.claim("page", path)
        outputs.write(path, text.encode())


def test_four_writers_on_one_page_disturb_nobody(tmp_path: Path) -> None:
    """Each run finds a whole page and leaves one; false errors of "no such file" came from a lock file cleared away."""
    texts = [f"<p>{name * 200_000}</p>\n" for name in "abcd"]
    runs = [
        multiprocessing.get_context("spawn").Process(target=_write_again, args=(str(tmp_path), t, 2.0)) for t in texts
    ]
    for run in runs:
        run.start()
    for run in runs:
        run.join(60)
    assert [run.exitcode for run in runs] == [0, 0, 0, 0]
    assert everything(tmp_path) == {"page.html": (tmp_path / "page.html").read_bytes()}
    assert (tmp_path / "page.html").read_bytes() in [marked(t.encode()) for t in texts]


ROWS = "name,item,around\nwren,hat,21 in\n"
TOLD_FIRST = [  # what is typed, and what is said of it
    ((*HAT, "--save", "s.json", "--plot", "x.pdf"), '--plot: found "x.pdf", expected a name that ends in .svg or .png'),
    ((*HAT, "--save", "s.json", "--page", "p.html", "--words", "fr"), '--words: found words "fr"'),
    ((*HAT, "--words", "fr"), '--words: found words "fr"'),
    (("sheet", *HAT[1:4], "--save", "s.json", "--words", "fr"), '--words: found words "fr"'),
    (("sheet", *HAT[1:4], "--save", "s.json", "--html", "sub/p.html"), "found no such folder"),
    (("batch", "rows.csv", "--sheets", "new", "--words", "fr"), '--words: found words "fr"'),
    (("batch", "rows.csv", "--words", "fr"), '--words: found words "fr"'),
    (("batch", "rows.csv", "--sheets", "sub/new"), '--sheets: found "sub/new", expected a folder'),
    (("batch", "rows.csv", "--sheets", "recipes"), "which is in a folder of recipes"),
]


@pytest.mark.parametrize(("words", "says"), TOLD_FIRST, ids=lambda w: " ".join(w) if isinstance(w, tuple) else "")
def test_what_the_outputs_ask_for_is_read_before_any_work(tmp_path: Path, words: tuple[str, ...], says: str) -> None:
    """A plan was kept, or a folder made and a class planned, and then exit 2 for a word that had stood there before."""
    (tmp_path / "rows.csv").write_text(ROWS)
    before = everything(tmp_path)
    with (
        mock.patch("solver.plan.answer.answer", side_effect=AssertionError("searched")),
        mock.patch("solver.many.batch.plan_batch", side_effect=AssertionError("planned")),
    ):
        ran = pegwright(*words, here=tmp_path)
    assert (ran.code, ran.out) == (2, "")
    assert says in " ".join(ran.err.split())
    assert everything(tmp_path) == before
    assert [p.name for p in tmp_path.iterdir()] == ["rows.csv"]


def test_a_plot_that_cannot_be_drawn_is_told_before_any_work(here: Path) -> None:
    """PNG wants a library of its own: where it is missing the plan was kept and then exit 2."""
    with mock.patch.dict(sys.modules, {"resvg_py": None}):
        ran = pegwright(*HAT, "--save", "s.json", "--plot", "x.png", here=here)
    assert (ran.code, ran.out) == (2, "")
    assert "found no resvg-py" in ran.err
    assert list(everything(here)) == ["own.svg"]


def test_a_folder_where_nothing_may_be_written_is_told_before_any_work(tmp_path: Path) -> None:
    """It was found out by the search's end."""
    (tmp_path / "kept").mkdir(mode=0o555)
    if os.access(tmp_path / "kept", os.W_OK):
        pytest.skip("nothing keeps this user from writing")
    with mock.patch("solver.plan.answer.answer", side_effect=AssertionError("searched")):
        ran = pegwright(*HAT, "--save", "kept/s.json", here=tmp_path)
    assert ran.code == 2
    assert "in a folder where nothing may be written" in " ".join(ran.err.split())


def test_an_empty_file_is_nobodys(here: Path) -> None:
    """`mktemp` makes a name that nobody else takes: nothing is lost, and it stays as private as it was made."""
    (here / "p.json").touch(mode=0o600)
    assert pegwright(*HAT, "--save", "p.json", here=here).code == 0
    assert load_plan(here / "p.json").item == "hat"
    assert stat.S_IMODE((here / "p.json").stat().st_mode) == 0o600
    for more in ((), ("--force",)):
        (here / "kit.toml").write_bytes(b"")
        ran = pegwright(*HAT, "--kit", "own.svg", "--save", "kit.toml", *more, here=here)
        assert (ran.code, (here / "kit.toml").read_bytes()) == (2, b"")


NO_NAMES = [  # what is typed, and what is said of it
    *(((*HAT, option, name), f'{option}: found "{name}", expected the name of a file')
      for option in ("--save", "--page", "--plot", "--kit") for name in ("-", "--json")),
    *(((*HAT, option, ""), f"{option}: found nothing, expected the name of a file") for option in ("--kit", "--save")),
    (("sheet", "--from", "", "--html", "x.html"), "--from: found nothing, expected the name of a file"),
    (("sheet", *HAT[1:4], "--markdown", "--html"), '--markdown: found "--html", expected the name of a file'),
    (("sizes", "hat", "--html", "-"), '--html: found "-", expected the name of a file'),
    (("batch", "own.svg", "--sheets", ""), "--sheets: found nothing, expected the name of a file"),
    (("kit", "check", "--kit", ""), "--kit: found nothing, expected the name of a file"),
    (("kit", "new", "-"), 'FILE: found "-", expected the name of a file'),
    (("open", "--no-browser", "--kit", ""), "--kit: found nothing, expected the name of a file"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "says"), NO_NAMES, ids=lambda w: " ".join(w) if isinstance(w, tuple) else "")
def test_what_is_no_name_of_a_file_is_refused(here: Path, words: tuple[str, ...], says: str) -> None:
    """`--save --page` kept a plan in a file called --page, `--save -` in one called -; `--kit ""` read kit.toml."""
    (here / "kit.toml").write_bytes(KIT)
    before = everything(here)
    with mock.patch("solver.web.serve.serve", side_effect=AssertionError("opened")):
        ran = pegwright(*words, here=here)
    assert (ran.code, ran.out) == (2, "")
    assert says in " ".join(ran.err.split())
    assert everything(here) == before


def test_a_file_may_still_be_called_so(here: Path) -> None:
    """As the hint says."""
    ran = pegwright(*HAT, "--save", "-", here=here)
    assert "./-" in ran.err
    assert pegwright(*HAT, "--save", "./-", here=here).code == 0
    assert load_plan(here / "-").item == "hat"


@pytest.mark.parametrize(
    ("words", "code", "why", "names"),
    [
        (
            ("find", "hat", "--around", "90 in", "--save", "p.json", "--plot", "x.svg"),
            1,
            "nothing fits",
            "p.json x.svg",
        ),
        (("sheet", "hat", "--around", "90 in", "--save", "p.json"), 1, "nothing fits", "p.json"),
        ((*HAT, "--seconds", "0", "--save", "p.json", "--page", "x.html"), 3, "nothing is found yet", "p.json x.html"),
    ],
)
def test_what_is_not_written_is_said(here: Path, words: tuple[str, ...], code: int, why: str, names: str) -> None:
    """Where nothing fits there is nothing to keep or to draw: who waited for the file was told nothing."""
    ran = pegwright(*words, here=here)
    assert ran.code == code
    for name in names.split():
        assert f"{name}: not written, for {why}" in ran.err
    assert list(everything(here)) == ["own.svg"]


def _written_after(page: Path, comes: Callable[[], object], *, force: bool) -> None:
    """Claim a page, let something come to stand there, write."""
    outputs = Outputs(force=force)
    outputs.claim("page", page)
    comes()
    outputs.write(page, b"<p></p>\n")


@pytest.mark.parametrize("force", [False, True])
def test_what_came_there_while_the_work_was_done_stays(tmp_path: Path, force: bool) -> None:
    """A diary or a pipe made at that name after the claim was replaced unseen; a page of ours is not in the way."""
    page = tmp_path / "page.html"
    if not force:
        with pytest.raises(InputError, match="which pegwright did not write"):
            _written_after(page, lambda: page.write_bytes(b"Dear diary\n"), force=force)
        assert everything(tmp_path) == {"page.html": b"Dear diary\n"}
        page.unlink()
    with pytest.raises(InputError, match="which is no regular file"):
        _written_after(page, lambda: os.mkfifo(page), force=force)
    assert stat.S_ISFIFO(page.stat().st_mode)
    page.unlink()
    _written_after(page, lambda: Outputs().write(page, b"<p>another run</p>\n"), force=force)
    assert page.read_bytes() == marked(b"<p></p>\n")
    assert list(tmp_path.iterdir()) == [page]


@pytest.mark.parametrize("name", ["kit.toml", "own.svg", "p.json"])
def test_a_link_to_a_kit_that_came_meanwhile_is_not_followed(
    here: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """--force is for somebody's page, never for the kit behind a link that was not there at the claim."""
    monkeypatch.chdir(here)
    for each in ("kit.toml", "p.json"):
        Path(each).write_bytes(KIT)
    outputs = Outputs(kit=Path("own.svg"), plan=Path("p.json"), force=True)
    outputs.claim("page", Path("page.html"))
    Path("own.svg").unlink()
    Path("own.svg").write_bytes(KIT)  # the kit was changed meanwhile: another file under its name
    Path("page.html").symlink_to(name)
    with pytest.raises(InputError, match=r"which is the (kit|plan)"):
        outputs.write(Path("page.html"), b"<p></p>\n")
    assert Path(name).read_bytes() == KIT


def test_a_piece_is_begun_though_the_folder_that_this_is_is_gone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`pegwright open` goes on where it was started in a folder that somebody has cleared away since."""
    gone, page = tmp_path / "gone", tmp_path / "page.html"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    outputs = Outputs(kit=tmp_path / "own.toml")
    outputs.claim("page", page)
    outputs.write(page, b"<p></p>\n")
    assert page.read_bytes() == marked(b"<p></p>\n")


def test_a_refusal_is_said_before_any_work(tmp_path: Path) -> None:
    """A folder that is not there is no reason to search first."""
    outputs = Outputs()
    with pytest.raises(InputError, match="found no such folder to write in"):
        outputs.claim("page", tmp_path / "gone" / "page.html")
