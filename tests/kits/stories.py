"""Asks without a setup as a person would tell of them: a kit, a wish, and the one sentence, word for word."""

from pathlib import Path
from typing import Any

from catalog.kit import Kit, kit_of, load_kit
from solver.asking.wish import Wish
from solver.model.ask import Pins

ROOT = Path(__file__).parents[2]
IN = 25_400
HALL, COT, ONE, LANTERN = (
    ROOT / path
    for path in ("catalog/kit.toml", *(f"examples/{name}/kit.toml" for name in ("cot-box", "one-ring", "lantern-hall")))
)
RING = {"name": "hoop", "build": "ring", "pitch": "12.7 mm", "peg_diameter": "5 mm", "pegs": 42}
WOOL = {"name": "moss wool", "weight": 4, "length_per_ball": "200 m", "mass_per_ball": "100 g", "fibre": "wool"}
HOOPS = {"loom": [RING, RING | {"name": "thumb hoop", "pegs": 18}], "yarn": [WOOL]}


def story(item: str, inches: int | None, **more: Any) -> Wish:
    """An ask in inches."""
    pins = Pins(**{key: more.pop(key) for key in ("loom", "yarn", "pegs", "spacers", "strands") if key in more})
    return Wish(item, around_um=None if inches is None else inches * IN, unit="in", pins=pins, **more)


STORIES = {
    "a hat for a giant": (
        HALL, story("hat", 34), "34 in round takes 136 pegs; your boards give 108, which makes 27.0 in."),
    "a hat as wide as a lampshade": (
        HALL, story("hat", 40), "40 in round takes 160 pegs; your boards give 108, which makes 27.0 in."),
    "whole fours": (
        HALL, story("hat", 32, rib="2x2"), "32 in round takes 128 pegs; your boards give 108, which makes 27.0 in."),
    "a hat for a thumb": (
        HALL, story("hat", 2), "2 in round takes 8 pegs; the attic frame works no fewer than 20, which makes 5.0 in."),
    "a headband for two": (
        HALL, story("headband", 40), "40 in round takes 160 pegs; your boards give 108, which makes 27.0 in."),
    "a wide cowl": (HALL, story("cowl", 45), "45 in round takes 180 pegs; your boards give 108, which makes 27.0 in."),
    "a cowl to wind twice": (
        HALL, story("cowl", 60), "60 in round takes 240 pegs; your boards give 108, which makes 27.0 in."),
    "a long cushion": (
        HALL, story("bolster", 36, long_um=16 * IN),
        "36 in round takes 144 pegs; your boards give 108, which makes 27.0 in."),
    "a ball to sit on": (
        HALL, story("ball", 40), "40 in round takes 160 pegs; your boards give 108, which makes 27.0 in."),
    "a blanket in one piece": (
        HALL, story("panel", None, wide_um=60 * IN, long_um=20 * IN),
        "60 in wide takes 240 pegs; your boards give 48 along a side, which makes 12.0 in."),
    "six spacers": (
        HALL, story("hat", 21, spacers=6), "You name 6 spacers at every bolt; the attic frame takes 4 at most."),
    "eighty-one pegs": (
        HALL, story("hat", 21, pegs=81, loom="attic frame"),
        "You name 81 pegs; the attic frame works 80 or 82 and none between."),
    "a grown-up's hat from the cot box": (
        COT, story("hat", 21), "21 in round takes 118 pegs; your boards give 84, which makes 15.0 in."),
    "a grown-up's hat on the one ring": (
        ONE, story("hat", 21), "21 in round takes 60 pegs; the porch ring has 40, which makes 13.9 in."),
    "a woman's socks on the one ring": (
        ONE, story("socks", None, size="adult-woman"),
        "8.1 in round takes 26 pegs; the porch ring has 40, which makes 12.9 in."),
    "cotton wrapped round a coarse ring": (
        HALL, story("hat", 21, loom="porch ring", yarn="harbour cotton", stitch="e-wrap"),
        "21 in round takes 54 pegs; the porch ring has 40, which makes 15.6 in."),
    "one strand of cotton on a coarse ring": (
        HALL, story("hat", 17, loom="porch ring", yarn="harbour cotton", strands=1, stitch="e-wrap"),
        "No setup makes the hat 17 in round: harbour cotton on the porch ring makes loops of 1.64 in, flimsy beyond "
        "1.61 in, and you name 1 strand, and you name harbour cotton where kettle chunky would do."),
    "mittens whose rib does not repeat": (
        HOOPS, story("mittens", 10, rib="2x2", loom="hoop"),
        "No setup makes the mittens 10 in round: 42 pegs on the hoop make no whole repeats of a 2x2 rib, 4 pegs each."),
    "a giant's hat from the cot box": (
        COT, story("hat", 32), "32 in round takes 178 pegs; your boards give 84, which makes 15.0 in."),
    "a hat for a statue": (
        HALL, story("hat", 48), "48 in round takes 192 pegs; your boards give 108, which makes 27.0 in."),
    "sixty-one pegs": (
        HALL, story("hat", 21, pegs=61), "You name 61 pegs; the attic frame works 60 or 62 and none between."),
    "sixty pegs": (
        HALL, story("hat", 21, pegs=60),
        "You name 60 pegs and want the hat 20.0 to 22.0 in round where the nearest in reach is 19.4 in, 60 pegs of "
        "kettle chunky on the attic frame with 4 spacers."),
    "a hat to be sure of": (
        HALL, story("hat", 16, sure_ppm=950_000),
        "You want the girth 95 % sure where the surest in reach is 93 %, 64 pegs of moss wool on the attic frame with "
        "2 spacers."),
    "spacers on a ring": (
        ONE, story("hat", 21, spacers=3), "You name 3 spacers at every bolt; the porch ring takes none."),
    "a hair's breadth": (
        LANTERN, story("hat", 21, girth_within_um=254),
        "You want the hat 20.99 to 21.01 in round where the nearest in reach is 21.02 in, 82 pegs of kettle chunky on "
        "the hall frame with 1 spacer."),
}  # fmt: skip


def kit_at(place: Path | dict[str, Any]) -> Kit:
    """The kit of a story."""
    return kit_of(place, "test kit") if isinstance(place, dict) else load_kit(place)
