"""Many at once in Make: a list typed into a box; everybody's turn and yarn, or every fault of the list."""

import html
import re
from pathlib import Path

from tests.command import ROOT
from tests.solver.web.browsing import PHONE, browser, watched
from tests.solver.web.client import entered, house_in, post
from tests.solver.web.opened import opened
from tests.solver.web.page_checks import findings

CLASS = ROOT / "examples" / "well-house-class"
KIT = (CLASS / "kit.toml").read_text(encoding="utf-8")
LIST = (CLASS / "class.csv").read_text(encoding="utf-8")


def words(page: str) -> str:
    """The text of a page."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


def test_the_empty_form_shows_how_a_list_looks(tmp_path: Path) -> None:
    """And Make leads to it."""
    client = entered(house_in(tmp_path, KIT))
    assert 'href="/make/many"' in client.get("/make").text
    answer = client.get("/make/many")
    assert answer.status_code == 200
    assert "name,item,body,age" in answer.text


def test_a_list_is_shared_out_and_the_kit_is_left_alone(tmp_path: Path) -> None:
    """Each of the class with a turn, a loom, pegs and yarn to wind off; what was typed stands in the box again."""
    client = entered(house_in(tmp_path, KIT))
    answer = post(client, "/make/many", asks=LIST, turns="2")
    assert answer.status_code == 200
    told = words(answer.text)
    for line in LIST.splitlines()[1:]:
        name, item = line.split(",")[:2]
        assert re.search(rf"Turn [12], {name}: {item} on \d+ pegs, \d+ rows; .*?\d+ m \(\d+ g\) of ", told), name
    assert "12 of 12 pieces" in told
    assert html.escape(LIST.splitlines()[1]) in answer.text
    assert (tmp_path / "kit.toml").read_text(encoding="utf-8") == KIT


def test_every_fault_of_a_list_is_told_at_the_box(tmp_path: Path) -> None:
    """By row and column; nothing in a list is ever markup."""
    client = entered(house_in(tmp_path, KIT))
    answer = post(client, "/make/many", asks="name,item,body\n<b>Ada,hat,54\n<i>,hta,54 cm\n", turns="2")
    assert answer.status_code == 422
    assert "row 2, body: " in words(answer.text)
    assert "row 3, item: " in words(answer.text)
    assert 'aria-invalid="true"' in answer.text
    assert "<b>" not in answer.text
    assert post(client, "/make/many", asks=LIST, turns="none").status_code == 422


def test_a_list_from_another_site_is_refused(tmp_path: Path) -> None:
    """As every form that another site sends."""
    client = entered(house_in(tmp_path, KIT))
    assert client.post("/make/many", data={"asks": LIST}, headers={"origin": "http://evil.example"}).status_code == 403


def test_a_file_is_read_into_the_box_in_a_real_browser(tmp_path: Path) -> None:
    """On a phone: the list out of a file, shared out; nothing asked elsewhere, nothing said in the console."""
    (tmp_path / "kit.toml").write_text(KIT, encoding="utf-8")
    with browser() as running, opened(tmp_path) as house, watched(running, house, PHONE) as seen:
        seen.page.goto(house.origin + "/make/many")
        seen.page.set_input_files("#file", str(CLASS / "class.csv"))
        seen.page.wait_for_function("document.getElementById('asks').value.includes('Thessaly')")
        seen.page.fill("#turns", "2")
        seen.press("Share out")
        assert "12 of 12 pieces" in seen.page.locator("#answer").inner_text()
        assert (findings(seen.page, 44), seen.complaints, seen.went_elsewhere) == ([], [], [])
