"""Requests that a browser could send to `pegwright open`: its links and forms with something wrong in them."""

from dataclasses import dataclass
from random import Random

from hypothesis import strategies as st

from catalog.item import item_names
from tests.fuzz import corpus, odd, spoil_csv
from tests.fuzz.inputs import DRAWS, OFTEN

Fields = list[tuple[str, str]]
RING = {"name": "gate ring", "build": "ring", "ten": "160 mm", "pegs": "40", "peg_diameter": "6 mm", "on_hand": "1"}
SLIDER = {
    "name": "rake", "build": "slider", "ten": "127 mm", "pegs_least": "16", "pegs_most": "96", "peg_diameter": "",
    "base_gap": "5 mm",
}  # fmt: skip
FRAME = {
    "name": "frame", "build": "boards", "ten": "95 mm", "side1_pegs": "18", "side1_count": "2", "side2_pegs": "29 cm",
    "side2_count": "2",
    "end1_pegs": "6", "end1_count": "2", "spacer_thickness": "1.6 mm", "spacer_most": "4", "spacer_on_hand": "40",
    "joining": "on",
}  # fmt: skip
YARN = {
    "name": "gate wool",
    "weight": "4",
    "length_per_ball": "200 m",
    "mass_per_ball": "100 g",
    "balls": "2",
    "fibre": "wool",
}
SWATCH = {
    "loom": "porch ring", "spacers": "0", "yarn": "moss wool", "strands": "1", "stitch": "u-wrap", "stitches": "9",
    "rows": "11", "over": "4 in",
    "mass": "9 g", "knit_stitches": "30", "knit_rows": "40", "checked": "on",
}  # fmt: skip
PERSON = {
    "name": "Ada",
    "head": "54 cm",
    "hand": "18 cm",
    "foot": "23 cm",
    "age": "9 years",
    "fit": "snug",
    "neck": "",
    "hand_length": "17 cm",
}
ENTRIES = {"looms": (RING, SLIDER, FRAME), "yarn": (YARN,), "swatches": (SWATCH,), "people": (PERSON,)}
OLD = {
    "looms": ("porch ring", "attic frame", "long rake"),
    "yarn": ("moss wool",),
    "swatches": ("1", "2", "99"),
    "people": ("eldest",),
}
KEYS = sorted(
    {key for each in ENTRIES.values() for form in each for key in form}
    | {"which", "mark", "item", "girth", "of", "who", "said", "next"}
)


@dataclass(frozen=True)
class Sent:
    """A request: GET with words in its address, or POST with a form."""

    method: str
    path: str
    fields: tuple[tuple[str, str], ...]


def _entry(draw: Random) -> tuple[str, str, Fields]:
    table = draw.choice(tuple(ENTRIES))
    which = draw.choice(("", "", draw.choice(OLD[table])))
    where = draw.choice(("save", "save", "save", "out", "new", "edit"))
    if where in ("out", "edit"):
        return (
            ("POST" if where == "out" else "GET"),
            f"/cupboard/{table}/{where}",
            [("which", which), ("with_swatches", "yes")],
        )
    form = dict(draw.choice(ENTRIES[table]))
    told = {**form, **({"which": which, "mark": "MARK"} if which else {})}
    return ("GET" if where == "new" else "POST"), f"/cupboard/{table}/{where}", list(told.items())


def _make(draw: Random) -> tuple[str, str, Fields]:
    item = draw.choice(tuple(item_names()))
    size = draw.choice(
        (
            ("girth", "21 in"),
            ("who", "size:adult-woman"),
            ("who", "wearer:eldest"),
            ("who", "age:7 years"),
            ("around", "9 in"),
        )
    )
    words: Fields = [("item", item), size, ("of", "wide" if item == "panel" else "around")]
    words += [
        (name.replace("-", "_"), spoil_csv.fair(draw, name))
        for name in draw.sample(spoil_csv.COLUMNS[4:], draw.choice((0, 0, 1, 2)))
    ]
    where = draw.choice(("/make", "/make", "/make", "/make/begin", "/make/do", "/make/class"))
    more = {"/make/begin": [("option", "1"), ("named", "a present")], "/make/do": [("says", "buy one ball")]}.get(
        where, [("next", "1")]
    )
    return ("POST" if where in ("/make/begin", "/make/do") else "GET"), where, words + more


def _loom(draw: Random) -> tuple[str, str, Fields]:
    where = draw.choice(("", "/sheet", "/tick", "/tick", "/jump", "/count", "/count", "/away", "back"))
    if where == "back":
        return "POST", "/loom/back", []
    forms: dict[str, Fields] = {
        "/tick": [
            ("at", draw.choice(("0", "1", "5"))),
            ("do", draw.choice(("done", "undo"))),
            ("quiet", draw.choice(("yes", ""))),
        ],
        "/jump": [("row", "2")],
        "/count": [("stitches", "17"), ("rows", "21 over 4in"), ("over", "4 in"), ("keep", draw.choice(("yes", "")))],
    }
    return ("GET" if where in ("", "/sheet") else "POST"), f"/loom/ID{where}", forms.get(where, [])


def _other(draw: Random) -> tuple[str, str, Fields]:
    if draw.randrange(2):
        text = spoil_csv.written(draw, spoil_csv.spoilt(draw, spoil_csv.made(draw)))
        return (
            "POST",
            "/make/many",
            [("asks", text), ("turns", draw.choice(("", "1", "x"))), *([("buy", "on")] if draw.randrange(2) else [])],
        )
    drawn = draw.choice((RING, SLIDER, FRAME, {"loom": "attic frame"}))
    path = draw.choice(
        ("/cupboard/drawing", "/cupboard/drawing", "/cupboard", "/loom", "/", "/make/many", "/cupboard/looms/new")
    )
    return "GET", path, list(drawn.items())


def _spoilt(draw: Random, fields: Fields) -> Fields:
    """The fields with one change."""
    fields = list(fields)
    if not fields:
        return [(draw.choice(KEYS), odd.text(draw))]
    at = draw.randrange(len(fields))
    key, value = fields[at]
    how = draw.randrange(8)
    if how < 3:
        fields[at] = (key, draw.choice((odd.text(draw), str(odd.number(draw)))))
    elif how == 3:
        fields[at] = (key, odd.pestered(draw, value))
    elif how == 4:
        del fields[at]
    elif how == 5:
        fields.append((key, odd.text(draw)))
    elif how == 6:
        fields.append((draw.choice(KEYS), odd.text(draw)))
    else:
        fields[at] = (draw.choice((odd.text(draw), draw.choice(KEYS))), value)
    return fields


@st.composite
def sent(draw: st.DrawFn) -> Sent:
    """A request with up to four things wrong with its fields, or now and then with its address."""
    rng = draw(DRAWS)
    method, path, fields = rng.choice((_entry, _entry, _make, _make, _loom, _other))(rng)
    for _ in range(rng.choice(OFTEN)):
        fields = _spoilt(rng, fields)
    if rng.randrange(20) == 13:
        path = path.replace("ID", rng.choice(("00000000", "..%2f..", "%00", "x" * 300, "ID ")))
    return Sent(method, path, tuple((_whole(key), _whole(value)) for key, value in fields))


def _whole(text: str) -> str:
    """What a browser can send: no half of a pair of surrogates."""
    return text.encode("utf-8", "replace").decode("utf-8")


def a_plan(number: int) -> str:
    """The plan of a piece that is begun."""
    return corpus.plans()[number % len(corpus.plans())]
