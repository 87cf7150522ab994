"""Many at once, and the same kit from two pages and a command: every answer is the one that is given alone."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from catalog.kit import load_kit
from tests.command import process
from tests.solver.web.client import KIT
from tests.solver.web.opened import opened

ASKS = [f"/make?item={item}&around={girth}+cm" for item in ("hat", "headband") for girth in range(46, 66, 2)]


def test_twenty_at_once_get_what_each_gets_alone(tmp_path: Path) -> None:
    """Two programs, one asked in a row, the other all at once: the same bytes, found and not found alike."""
    kit = tmp_path / "kit.toml"
    kit.write_text(KIT, encoding="utf-8")
    with opened(tmp_path, kit) as alone, alone.visitor() as client:
        one_by_one = [client.get(path).text for path in ASKS]
    with opened(tmp_path, kit) as crowded, crowded.visitor() as client, ThreadPoolExecutor(20) as pool:
        at_once = list(pool.map(lambda path: client.get(path).text, ASKS))
    assert len(ASKS) == 20
    assert at_once == one_by_one
    assert sum("Ways to make it" in text for text in at_once) > 10


def test_two_pages_and_a_command_lose_nothing(tmp_path: Path) -> None:
    """Forms sent at once by two programs while commands add to the same kit: all that was said to be saved is there."""
    kit = tmp_path / "kit.toml"
    kit.write_text(KIT, encoding="utf-8")
    yarn = {"weight": "4", "length_per_ball": "200 m", "mass_per_ball": "100 g"}
    swatch = ("--loom", "porch ring", "--yarn", "moss wool", "--stitches", "9 over 4in", "--rows", "10 over 4in")
    with (
        opened(tmp_path, kit) as first,
        opened(tmp_path, kit) as second,
        first.visitor() as a,
        second.visitor() as b,
        ThreadPoolExecutor(6) as pool,
    ):
        sent = [
            pool.submit(page.post, "/cupboard/yarn/save", data={"name": f"yarn {side} {n}", **yarn})
            for n in range(8)
            for side, page in (("left", a), ("right", b))
        ]
        typed = [pool.submit(process, "swatch", "add", *swatch, here=tmp_path) for _ in range(2)]
        assert [each.result().status_code for each in sent] == [303] * 16
        assert [each.result().code for each in typed] == [0, 0]
    held = load_kit(kit)
    names = {f"yarn {side} {n}" for n in range(8) for side in ("left", "right")}
    assert names < {each.name for each in held.yarn}
    assert len(held.swatch) == 3
    assert kit.read_text(encoding="utf-8").startswith(KIT.rstrip("\n"))
