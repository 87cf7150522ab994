"""Forms of the cupboard: the fields of an entry of the kit, and the way from them to the entry and back."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from catalog.figure import figure
from catalog.kit import Kit
from catalog.shapes import FITS
from catalog.units import UnitError, length_um, plain_mm

BUILDS = {"boards": "Frame bolted from boards", "ring": "Ring", "slider": "Long frame, one end moves"}
WEIGHTS = (
    "0 lace",
    "1 super fine",
    "2 fine",
    "3 light",
    "4 medium",
    "5 bulky",
    "6 super bulky",
    "7 jumbo",
)
SIDES, ENDS = 3, 2  # kinds of board that the form has room for


@dataclass(frozen=True, slots=True)
class Field:
    """One field: its name in the form, its label, a word of help, what it holds if nobody types, and what to choose."""

    name: str
    label: str
    help: str = ""
    default: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    check: bool = False
    needed: bool = False
    folded: bool = False


def fields_of(table: str, build: str, kit: Kit) -> list[Field]:
    """The fields of a new entry, in order."""
    if table == "loom":
        return _loom(build)
    if table == "yarn":
        return _yarn()
    return _swatch(kit) if table == "swatch" else _wearer()


def _loom(build: str) -> list[Field]:
    name = Field("name", "Your name for it", "such as hall frame", needed=True)
    ten = Field(
        "ten", "Over ten pegs", "from the middle of one peg to the middle of the tenth after it; we divide", needed=True
    )
    peg = Field("peg_diameter", "One peg across", "left empty: a third of the distance between pegs (our estimate)")
    alike = Field("on_hand", "How many alike", "", "1")
    if build == "ring":
        return [name, Field("pegs", "Pegs", needed=True), ten, peg, alike]
    if build == "slider":
        least = Field("pegs_least", "Fewest pegs", "the movable end all the way in, all round", needed=True)
        most = Field("pegs_most", "Most pegs", "the movable end all the way out", needed=True)
        gap = Field("base_gap", "The slot", "that the fabric passes through; left empty: no second row faces the first")
        return [name, least, most, ten, peg, gap, alike]
    sides = [
        Field(f"side{i}_{what}", f"{label}, kind {i}", help_, needed=i == 1)
        for i in range(1, SIDES + 1)
        for what, label, help_ in (
            ("pegs", "Pegs of a side board", "or its length, such as 29 cm"),
            ("count", "How many of these", "a frame takes two of each that it uses"),
        )
    ]
    ends = [
        Field(f"end{i}_{what}", f"{label}, kind {i}", "", "2" if what == "count" and i == 1 else "", needed=False)
        for i in range(1, ENDS + 1)
        for what, label in (("pegs", "Pegs of an end board"), ("count", "How many of these"))
    ]
    gap = Field(
        "base_gap",
        "The slot",
        "that the fabric passes through; left empty: a third of the distance between pegs (our estimate)",
    )
    spacers = [
        Field("spacer_thickness", "A spacer, thick", "left empty: this frame has none"),
        Field("spacer_most", "Most spacers at a bolt", "", "4"),
        Field("spacer_on_hand", "Spacers in the tin", "", "40"),
    ]
    return [
        name,
        ten,
        *sides[:2],
        Field("joining", "Boards may be joined end to end", check=True),
        Field("ends_anywhere", "An end can be bolted at any peg", check=True),
        *ends[:2],
        peg,
        gap,
        *spacers,
        *(replace(f, folded=True) for f in (*sides[2:], *ends[2:], alike)),
    ]


def _yarn() -> list[Field]:
    return [
        Field("name", "Your name for it", "such as gatepost wool", needed=True),
        Field("weight", "Weight on the label", "", "4", tuple((w[0], w) for w in WEIGHTS)),
        Field("length_per_ball", "Length of a ball", "such as 200 m or 218 yd"),
        Field("mass_per_ball", "Weight of a ball", "such as 100 g"),
        Field("balls", "Balls you have", "left empty: you can buy more"),
        Field("fibre", "Fibre", "", "", (("", "not said"), *((f, f) for f in ("wool", "acrylic", "cotton", "nylon")))),
    ]


def _swatch(kit: Kit) -> list[Field]:
    return [
        Field("loom", "Loom", "", "", tuple((e.name, e.name) for e in kit.loom), needed=True),
        Field("spacers", "Spacers at a bolt", "none for a ring", "0"),
        Field("yarn", "Yarn", "", "", tuple((e.name, e.name) for e in kit.yarn), needed=True),
        Field("strands", "Strands held together", "", "1"),
        Field("stitch", "Stitch", "", "u-wrap", (("u-wrap", "u-wrap"), ("e-wrap", "e-wrap"))),
        Field("stitches", "Stitches counted", "let it relax, lay it flat, count over as much as you can", needed=True),
        Field("rows", "Rows counted", needed=True),
        Field("over", "Counted over", "", "4 in"),
        Field("mass", "What it weighs", "without cast-on, bind-off and tails; left empty: not weighed"),
        Field("knit_stitches", "Weighed: stitches wide"),
        Field("knit_rows", "Weighed: rows long"),
        Field("checked", "Counted again, and it is so", check=True),
    ]


def _wearer() -> list[Field]:
    body = (
        ("head", "Round the head", "level, above the ears"),
        ("hand", "Round the palm", ""),
        ("hand_length", "Length of the hand", ""),
        ("foot", "Round the ball of the foot", ""),
        ("foot_length", "Length of the foot", ""),
        ("neck", "Round the neck", ""),
    )
    return [
        Field("name", "Who", "a name of your own", needed=True),
        *(Field(name, label, help_) for name, label, help_ in body),
        Field("age", "Age", "such as 18 months or 7 years"),
        Field("fit", "How it should sit", "", "", (("", "as usual"), *((f, f) for f in FITS))),
    ]


def entry_of(table: str, build: str, form: Mapping[str, str]) -> dict[str, Any]:
    """The entry that a form's words are, as it stands in a kit; the kit's own reader judges it."""
    said = {key: value.strip() for key, value in form.items() if value.strip()}
    if table == "loom":
        return _loom_entry(build, said)
    if table == "swatch":
        return _swatch_entry(said)
    numbers = ("weight", "balls")
    keys = [f.name for f in (_yarn() if table == "yarn" else _wearer())]
    return {key: _number(said[key]) if key in numbers else said[key] for key in keys if key in said}


def _loom_entry(build: str, said: dict[str, str]) -> dict[str, Any]:
    pitch, third = said.get("ten", ""), "1 mm"
    if not ten_faults(said):
        tenth = Fraction(length_um(pitch) + 5, 10).__floor__()
        pitch, third = f"{plain_mm(tenth)} mm", f"{plain_mm(int(tenth * figure('peg_of_pitch')))} mm"
    entry: dict[str, Any] = {"name": said.get("name", ""), "build": build}
    if said.get("on_hand", "1") != "1":
        entry["on_hand"] = _number(said["on_hand"])
    entry |= {"pitch": pitch, "peg_diameter": said.get("peg_diameter", third)}
    if build == "ring":
        return {**entry, "pegs": _number(said.get("pegs", ""))}
    if build == "slider":
        gap = {"base_gap": said["base_gap"]} if "base_gap" in said else {}
        return {**entry, **gap, **{k: _number(said.get(k, "")) for k in ("pegs_least", "pegs_most")}}
    entry["base_gap"] = said.get("base_gap", third)
    if "spacer_thickness" in said:
        most, many = (_number(said.get(k, d)) for k, d in (("spacer_most", "4"), ("spacer_on_hand", "40")))
        entry["spacers"] = {"thickness": said["spacer_thickness"], "most": most, "on_hand": many}
    entry |= {key: True for key in ("joining", "ends_anywhere") if key in said}
    entry["side_boards"] = _boards("side", SIDES, said)
    entry["end_boards"] = _boards("end", ENDS, said)
    return entry


def _boards(what: str, most: int, said: dict[str, str]) -> list[dict[str, Any]]:
    """Boards by their pegs, or by a length with its unit; they are called after it: "side of 18"."""
    found = []
    for i in range(1, most + 1):
        if pegs := said.get(f"{what}{i}_pegs"):
            name = said.get(f"{what}{i}_name", f"{what} of {pegs}")
            size = _number(pegs)
            long = isinstance(size, str) and any(sign.isdigit() for sign in size)
            found.append(
                {
                    "name": name,
                    "length" if long else "pegs": size,
                    "on_hand": _number(said.get(f"{what}{i}_count", "2")),
                }
            )
    return found


def _swatch_entry(said: dict[str, str]) -> dict[str, Any]:
    over = said.get("over", "4 in")
    entry: dict[str, Any] = {
        "loom": said.get("loom", ""),
        "spacers": _number(said.get("spacers", "0")),
        "yarn": said.get("yarn", ""),
        "strands": _number(said.get("strands", "1")),
        "stitch": said.get("stitch", "u-wrap"),
    }
    entry |= {key: {"count": _number(said.get(key, "")), "over": over} for key in ("stitches", "rows")}
    if "mass" in said:
        wide, long = (_number(said.get(f"knit_{key}", "")) for key in ("stitches", "rows"))
        entry |= {"mass": said["mass"], "knitted": {"stitches": wide, "rows": long}}
    return {**entry, "checked": True} if "checked" in said else entry


def form_of(table: str, entry: Mapping[str, Any]) -> dict[str, str]:
    """What a form shows of an entry that is in the kit already."""
    form = {
        key: str(value) for key, value in entry.items() if isinstance(value, str | int | float) and value is not True
    }
    form |= {key: "on" for key, value in entry.items() if value is True}
    if table == "loom":
        form["ten"] = f"{plain_mm(10 * length_um(entry['pitch']))} mm"
        for what, most in (("side", SIDES), ("end", ENDS)):
            for i, board in enumerate(entry.get(f"{what}_boards", [])[:most], 1):
                pegs = board.get("pegs", board.get("length", ""))
                form |= {
                    f"{what}{i}_pegs": str(pegs),
                    f"{what}{i}_count": str(board.get("on_hand", "2")),
                    f"{what}{i}_name": board["name"],
                }
        for key, value in entry.get("spacers", {}).items():
            form[f"spacer_{key}"] = str(value)
    if table == "swatch":
        form |= {key: str(entry[key]["count"]) for key in ("stitches", "rows")}
        form["over"] = str(entry["stitches"]["over"])
        form |= {f"knit_{key}": str(value) for key, value in entry.get("knitted", {}).items()}
    return form


def can_be_shown(table: str, entry: Mapping[str, Any]) -> bool:
    """Whether a form has room for all of an entry; else it is changed in the file."""
    sides, ends = entry.get("side_boards", []), entry.get("end_boards", [])
    few = len(sides) <= SIDES and len(ends) <= ENDS
    counted_alike = table != "swatch" or entry["stitches"]["over"] == entry["rows"]["over"]
    tables = table == "wearer" and isinstance(entry.get("ease"), dict)
    return few and counted_alike and not tables and "yarn_length" not in entry


def field_of(table: str, key: str) -> str:
    """The field of the form that a key of the kit was typed in: "side_boards[2].pegs" → "side2_pegs"."""
    base, _, inner = key.partition(".")
    name, _, number = base.rstrip("]").partition("[")
    if name in ("side_boards", "end_boards"):
        part = name.partition("_")[0]
        return f"{part}{number or 1}_{'count' if inner == 'on_hand' else 'pegs'}"
    if name == "spacers" and table == "loom":
        return f"spacer_{inner}" if inner else "spacer_thickness"
    if name in ("stitches", "rows") and inner == "over":
        return "over"
    if name == "knitted":
        return f"knit_{inner or 'stitches'}"
    return {"pitch": "ten"}.get(name, name)


def ten_faults(form: Mapping[str, str]) -> list[str]:
    """What is wrong with the length over ten pegs. The kit, which only knows a tenth of it, would say other numbers."""
    text = form.get("ten", "").strip()
    try:
        length_um(text, most=2_000_000, example="95 mm")
    except UnitError as error:
        if not text:
            return ["found nothing, expected a length such as 95 mm or 3 3/4 in"]
        return [f'found "{text}", {error}' + (f" ({error.hint})" if error.hint else "")]
    return []


def _number(text: str) -> Any:
    """A whole number or a decimal as a kit has it; anything else stays text, and the kit says what is wrong with it."""
    try:
        return int(text)
    except ValueError:
        pass
    try:
        number = float(text.replace("½", ".5")) if text.replace(".", "", 1).replace("½", "").isdigit() else None
    except ValueError:
        number = None
    return text if number is None else number
