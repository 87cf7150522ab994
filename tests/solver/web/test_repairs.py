"""Repairs in Make: each is followed as its page says, and what it promised is what then stands first."""

import re
import tomllib
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from tests.solver.web.client import KIT, entered, house_in, post

CLASHES = (
    {"item": "hat", "around": "100 cm"},
    {"item": "hat", "around": "60 cm", "long": "60 cm", "yarn": "moss wool", "strands": "2"},
    {"item": "hat", "around": "53 cm", "rib": "2x2", "pegs": "82", "loom": "attic frame"},
    {"item": "mittens", "body": "19 cm", "loom": "porch ring"},
)


@pytest.fixture(autouse=True)
def _patient(monkeypatch: pytest.MonkeyPatch) -> None:
    """However busy the machine is, the page is worked out to its end."""
    monkeypatch.setattr("solver.web.make.SECONDS", 600)


def helps(text: str) -> list[str]:
    """The repairs of a page, each the markup of its entry."""
    part = text.partition('<ol class="helps">')[2].partition("</ol>")[0]
    return [each for each in part.split("<li>") if each.strip()]


def follow(client: TestClient, entry: str) -> str:
    """Press what an entry has to press; the page that follows."""
    link = re.search(r'<a class="button" href="([^"]*)"', entry)
    if link:
        return str(client.get(unescape(link[1])).text)
    sent = {unescape(k): unescape(v) for k, v in re.findall(r'name="([^"]*)" value="([^"]*)"', entry)}
    answer = post(client, "/make/do", **sent)
    assert answer.status_code == 303
    return str(client.get(answer.headers["location"]).text)


@pytest.mark.parametrize("ask", CLASHES)
def test_every_repair_leads_to_what_it_said(tmp_path: Path, ask: dict[str, str]) -> None:
    """Its pegs are those of the first way on the page that follows; undo then gives back every byte of the kit."""
    client = entered(house_in(tmp_path))
    entries = helps(client.get("/make", params=ask).text)
    assert entries
    for entry in entries:
        says = unescape(re.search(r"<p>(.*?)</p>", entry)[1])  # type: ignore[index]
        page = follow(client, entry)
        first = re.search(r"<h3>1\. (\d+ pegs) on the ([\w ]+)", page)
        assert first, says
        assert first[1] in says
        assert first[2].strip() in says
        for _ in range(4):
            post(client, "/cupboard/undo")
        assert (tmp_path / "kit.toml").read_text() == KIT


def test_boards_and_spacers_that_are_bought_stand_in_the_kit(tmp_path: Path) -> None:
    """Two numbers of the frame change and nothing else does."""
    client = entered(house_in(tmp_path))
    bought = next(each for each in helps(client.get("/make", params=CLASHES[0]).text) if "Buy" in each)
    follow(client, bought)
    was, now = (tomllib.loads(text)["loom"][0] for text in (KIT, (tmp_path / "kit.toml").read_text()))
    assert was != now
    changed = {key for key in was if was[key] != now[key]}
    assert changed == {"side_boards", "spacers"}
    assert [b["name"] for b in was["side_boards"]] == [b["name"] for b in now["side_boards"]]
    assert now["spacers"] == {**was["spacers"], "on_hand": was["spacers"]["on_hand"] + _more(bought, "spacers")}
    long = [next(b["on_hand"] for b in each["side_boards"] if b["name"] == "long") for each in (was, now)]
    assert long[1] - long[0] == _more(bought, "long boards")


def _more(entry: str, what: str) -> int:
    """How many more of something a repair says to buy."""
    found = re.search(rf"(\d+) more {what}", entry)
    assert found, entry
    return int(found[1])


def test_the_swatch_worth_knitting_is_said_and_its_form_is_filled_in(tmp_path: Path) -> None:
    """From Make, and from the Cupboard for what was asked last; the numbers that it is to bring are left empty."""
    client = entered(house_in(tmp_path))
    page = client.get("/make", params={"item": "hat", "around": "21 in", "spacers": "3"}).text
    link = re.search(r'href="([^"]*next=1[^"]*)"', page)
    assert link
    assert link[1] in client.get("/cupboard").text
    told = client.get(unescape(link[1]).partition("#")[0]).text
    form = re.search(r'href="(/cupboard/swatches/new[^"]*)"', told)
    assert "Knit next: " in told
    assert form
    filled = client.get(unescape(form[1])).text
    for name, value in (part.split("=") for part in unescape(form[1]).partition("?")[2].split("&")):
        said = re.escape(value.replace("+", " "))
        assert re.search(rf'name="{name}" value="{said}"|<option value="{said}" selected>', filled), name
    assert 'name="stitches" value=""' in filled


@pytest.mark.parametrize("says", ["", "Buy everything.", "<script>"])
def test_a_repair_that_nobody_offered_buys_nothing(tmp_path: Path, says: str) -> None:
    """Neither one that was made up, nor one of another ask."""
    client = entered(house_in(tmp_path))
    for ask in (CLASHES[0], {"item": "hat", "around": "21 in"}):
        answer = post(client, "/make/do", **ask, says=says, table="yarn", name="moss wool", key="balls", now="99")
        assert answer.status_code == 303
        assert (tmp_path / "kit.toml").read_text() == KIT


UNKNITTED = {"item": "hat", "around": "53 cm", "gauge": "measured", "loom": "long rake"}


def _begun(client: TestClient) -> str:
    """The address of the form where the first swatch that would help is written down."""
    entries = [each for each in helps(client.get("/make", params=UNKNITTED).text) if "<p>Knit a swatch of " in each]
    link = re.search(r'<a class="button" href="([^"]*)">Knitted and counted', entries[0])
    assert link
    return unescape(link[1])


def test_a_swatch_that_would_help_is_written_down_and_the_ask_comes_back(tmp_path: Path) -> None:
    """Its form has loom, spacers, yarn, strands and stitch; once saved the same ask, measured only, has a way."""
    client = entered(house_in(tmp_path))
    form = client.get(_begun(client)).text
    sent = {unescape(k): unescape(v) for k, v in re.findall(r'name="([^"]*)" (?:[^>]* )?value="([^"]*)"', form)}
    chosen = re.findall(r'<select[^>]*name="([^"]*)".*?<option value="([^"]*)" selected>', form, re.DOTALL)
    typed = {**sent, **{unescape(k): unescape(v) for k, v in chosen}}
    assert (typed["loom"], typed["yarn"], typed["stitch"]) == ("long rake", "moss wool", "u-wrap")
    assert {"spacers", "strands"} <= typed.keys()
    typed.pop("checked", None)
    saved = post(client, "/cupboard/swatches/save", **{**typed, "stitches": "16", "rows": "20"})
    assert saved.status_code == 303
    assert saved.headers["location"].startswith("/make?")
    page = client.get(saved.headers["location"]).text
    assert re.search(r"<h3>1\. \d+ pegs on the long rake", page)
    assert 'value="measured" selected' in page
    assert len(tomllib.loads((tmp_path / "kit.toml").read_text())["swatch"]) == 2


def test_a_form_that_is_left_leads_back_to_the_ask(tmp_path: Path) -> None:
    """Left as it is, or with an error at a field: the ask stays in the form."""
    client = entered(house_in(tmp_path))
    begun = _begun(client)
    left = re.search(r'href="([^"]*)">Leave it', client.get(begun).text)
    assert left
    assert "Not with this cupboard" in client.get(unescape(left[1])).text
    wrong = post(client, "/cupboard/swatches/save", loom="long rake", yarn="moss wool", back="item=hat&around=53+cm")
    assert wrong.status_code == 422
    assert 'name="back" value="item=hat&amp;around=53+cm"' in wrong.text


@pytest.mark.parametrize("back", ["//example.org", "https://example.org/?a=b", "a=b\r\nset-cookie: c=d", "../cupboard"])
def test_a_form_leads_nowhere_but_to_make_or_the_cupboard(tmp_path: Path, back: str) -> None:
    """What is sent as the way back is read as the words of an ask and written anew."""
    client = entered(house_in(tmp_path))
    made = post(client, "/cupboard/people/save", name="wren", head="54 cm", back=back)
    assert made.status_code == 303
    where = made.headers["location"]
    assert re.match(r"/(make|cupboard)\?[^/\s]*$", where), where
    assert "set-cookie" not in made.headers
