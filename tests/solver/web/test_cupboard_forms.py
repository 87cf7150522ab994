"""Forms of the cupboard: all that is wrong at once, each at its field; nothing changed that nobody changed."""

import re
import tomllib
from pathlib import Path
from xml.etree import ElementTree

import pytest
from starlette.testclient import TestClient

from tests.solver.web.client import KIT, entered, house_in, post

RING = {"name": "gate ring", "build": "ring", "ten": "160 mm", "pegs": "40"}


def marked(client: TestClient, path: str) -> dict[str, str]:
    """All that a form would send if nobody typed anything."""
    page = client.get(path).text.partition('class="entry"')[2]
    found = dict(re.findall(r'<input[^>]* name="([^"]*)" value="([^"]*)"', page))
    for name, inside in re.findall(r'<select id="([^"]*)".*?>(.*?)</select>', page, re.DOTALL):
        chosen = re.search(r'<option value="([^"]*)" selected', inside)
        found[name] = chosen[1] if chosen else ""
    ticked = re.findall(r'<input type="checkbox" name="([^"]*)" checked', page)
    return {**{k: v.replace("&#34;", '"') for k, v in found.items()}, **dict.fromkeys(ticked, "on")}


def wrong_fields(text: str) -> set[str]:
    """The fields that a page marks as wrong, each of which says why."""
    found = set(re.findall(r'name="([^"]*)"[^>]*aria-invalid="true"', text))
    assert all(f'id="{name}-wrong"' in text for name in found)
    return found


@pytest.mark.parametrize(
    ("ten", "says"),
    [
        ("", "Found nothing, expected a length such as 95 mm"),
        ("95", "write &#34;95 mm&#34;"),
        ("long", "such as &#34;95 mm&#34;"),
        ("21 kg", "&#34;kg&#34; measures something else"),
        ("9 m", "0.001 to 2000 mm"),
        ("0 mm", "more than 0"),
    ],
)
def test_every_fault_of_a_loom_at_once(tmp_path: Path, ten: str, says: str) -> None:
    """What stands over ten pegs is said in the length over ten; name, pegs and peg are told in the same answer."""
    client = entered(house_in(tmp_path))
    sent = {**RING, "ten": ten, "name": "", "pegs": "forty", "peg_diameter": "6 kg"}
    answer = post(client, "/cupboard/looms/save", **sent)
    assert answer.status_code == 422
    assert wrong_fields(answer.text) == {"name", "ten", "pegs", "peg_diameter"}
    assert says in answer.text
    assert answer.text.count("autofocus") == 1
    assert (tmp_path / "kit.toml").read_text() == KIT


ENTRIES = "looms/attic frame, looms/porch ring, looms/long rake, yarn/moss wool, swatches/1, people/eldest".split(", ")


@pytest.mark.parametrize(("table", "which"), [each.split("/") for each in ENTRIES])
def test_a_form_that_is_saved_as_it_is_changes_no_byte(tmp_path: Path, table: str, which: str) -> None:
    """Not even a length that could be written another way."""
    kit = KIT.replace('pitch = "16 mm"', 'pitch = "5/8 in"')
    assert kit != KIT
    client = entered(house_in(tmp_path, kit))
    sent = marked(client, f"/cupboard/{table}/edit?which={which}")
    assert post(client, f"/cupboard/{table}/save", **sent).status_code == 303
    assert (tmp_path / "kit.toml").read_text() == kit


def test_one_field_that_is_changed_changes_one_line(tmp_path: Path) -> None:
    """And what the form does not show, such as how the frame stands, stays; undo gives back every byte."""
    client = entered(house_in(tmp_path))
    sent = marked(client, "/cupboard/looms/edit?which=attic frame")
    assert post(client, "/cupboard/looms/save", **{**sent, "ten": "100 mm"}).status_code == 303
    now = (tmp_path / "kit.toml").read_text()
    pairs = list(zip(KIT.splitlines(), now.splitlines(), strict=True))
    assert [b.split("#")[0].strip() for a, b in pairs if a != b] == ['pitch = "10 mm"']
    assert "set_up_as" in tomllib.loads(now)["loom"][0]
    assert post(client, "/cupboard/undo").status_code == 303
    assert (tmp_path / "kit.toml").read_text() == KIT


def test_a_swatch_that_has_moved_is_not_the_one_that_is_taken_out(tmp_path: Path) -> None:
    """A page that is older than the kit says so, and takes nothing out; a change from it neither."""
    swatch = KIT[KIT.index("[[swatch]]") :].partition("\n\n")[0]
    kit = f"{KIT}\n{swatch.replace('count = 16', 'count = 16.5')}\n"
    client = entered(house_in(tmp_path, kit))
    page = client.get("/cupboard").text
    old = re.findall(r'swatches/out"><input[^>]*name="which" value="(\d+)"><input[^>]*name="mark" value="(\w+)"', page)
    assert len(old) == 2
    change = marked(client, "/cupboard/swatches/edit?which=2")
    assert post(client, "/cupboard/swatches/out", which=old[0][0], mark=old[0][1]).status_code == 303
    left = (tmp_path / "kit.toml").read_text()
    assert len(tomllib.loads(left)["swatch"]) == 1
    for sent, path in (
        ({"which": "1", "mark": old[0][1]}, "out"),
        ({**change, "which": "1", "mark": old[0][1], "rows": "30"}, "save"),
    ):
        answer = post(client, f"/cupboard/swatches/{path}", **sent)
        assert "changed+meanwhile" in answer.headers["location"]
        assert (tmp_path / "kit.toml").read_text() == left


def test_a_loom_is_drawn_as_it_stands(tmp_path: Path) -> None:
    """The attic frame is bolted with its short boards of 18: 18 along each side, 6 at each end, 48 in all."""
    client = entered(house_in(tmp_path))
    for loom in ("attic frame", "porch ring", "long rake", "none of these"):
        root = ElementTree.fromstring(client.get("/cupboard/drawing", params={"loom": loom}).text)
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
        assert root.get("width") == "560"
    drawn = client.get("/cupboard/drawing", params={"loom": "attic frame"}).text
    assert "short, 18 pegs" in drawn
    assert len(re.findall(r"<circle", drawn)) == 48
    typed = {"build": "boards", "side1_pegs": "30", "end1_pegs": "6"}
    assert len(re.findall(r"<circle", client.get("/cupboard/drawing", params=typed).text)) == 72


def test_a_girth_without_its_unit_is_told_in_two_sentences(tmp_path: Path) -> None:
    """What was found and expected, then what to write: at the field, and no word of a hint or a try."""
    text = entered(house_in(tmp_path)).get("/make?item=hat&girth=21&of=around").text
    told = re.search(r'id="around-wrong">(.*?)</p>', text, re.DOTALL)
    assert told
    assert told[1].strip().endswith("A bare number has no unit: write &#34;21 in&#34;.")
    assert "try:" not in told[1]


LONG = "9" * 5_000


def test_a_number_of_far_too_many_digits_is_no_place(tmp_path: Path) -> None:
    """A swatch, a row or an option that no form was made with: nothing is changed, and it is no fault of ours."""
    client = entered(house_in(tmp_path))
    loom = post(client, "/make/begin", item="hat", around="21 in").headers["location"]
    for path, form in (
        ("/cupboard/swatches/out", {"which": LONG}),
        ("/cupboard/swatches/save", {"which": LONG, "loom": "porch ring", "yarn": "moss wool", "rows": "11"}),
        ("/make/begin", {"item": "hat", "around": "21 in", "option": LONG}),
        (f"{loom}/tick", {"at": LONG, "do": "done"}),
        (f"{loom}/jump", {"row": LONG}),
    ):
        assert post(client, path, **form).status_code in (303, 422), path
    assert client.get(f"/cupboard/swatches/edit?which={LONG}").status_code == 303
    assert (tmp_path / "kit.toml").read_text() == KIT


@pytest.mark.parametrize("which", ["", "x", "0", "99"])
def test_a_form_that_names_no_swatch_takes_none_out(tmp_path: Path, which: str) -> None:
    """A form without its number took out the first: a swatch has no name, and "" is none."""
    client = entered(house_in(tmp_path))
    assert post(client, "/cupboard/swatches/out", which=which).status_code == 303
    assert (tmp_path / "kit.toml").read_text() == KIT
