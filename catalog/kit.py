"""The kit: all that one knitter owns. Looms of three builds, yarns, swatches, wearers; whole numbers throughout."""

from fractions import Fraction
from pathlib import Path
from typing import Annotated, Any, Literal, get_args

from pydantic import AfterValidator, BeforeValidator, Field, PlainValidator, model_validator
from pydantic_core import PydanticCustomError

from catalog import units
from catalog.errors import MOST_TOLD, InputError, Problem, and_more, at_terminal
from catalog.kitcheck import as_named, clashes
from catalog.reading import read_text, tables_of
from catalog.shapes import (
    HERE,
    Body,
    Decimal,
    Density,
    Fit,
    Long,
    Mass,
    Name,
    Part,
    Pegs,
    Shape,
    Stock,
    Whole,
    key_text,
    load,
)
from catalog.tomlline import line_in

KIT_VERSION = 1
Stitch = Literal["u-wrap", "e-wrap"]
STITCHES: tuple[str, ...] = get_args(Stitch)


class Spacers(Shape):
    """Spacers that widen the gap: `thickness` each, a setting of at most `most`, `on_hand` in the tin."""

    thickness_um: Part = Field(alias="thickness")
    most: Annotated[Whole, Field(ge=0, le=8)]
    on_hand: Stock


class Board(Shape):
    """A board of a frame, by pegs or by length (pegs = floor(length / pitch)); an end board may have none."""

    name: Name
    pegs_given: Annotated[Whole, Field(ge=0, le=400)] | None = Field(default=None, alias="pegs")
    length_um: Part | None = Field(default=None, alias="length")
    on_hand: Stock

    @model_validator(mode="after")
    def _one_way(self) -> "Board":
        if (self.pegs_given is None) == (self.length_um is None):
            raise PydanticCustomError("board", "expected either pegs or length, one of the two")
        return self

    def pegs(self, pitch_um: int) -> int:
        """Pegs on this board at that pitch."""
        return self.pegs_given if self.length_um is None else self.length_um // pitch_um  # type: ignore[return-value]


class SetUpAs(Shape):
    """How a frame stands now: the boards of one side, the end board, pegs in work along a side (all), the spacers."""

    sides: Annotated[tuple[Name, ...], Field(min_length=1, max_length=6)]
    ends: Name | None = None
    pegs_per_side: Pegs | None = None
    spacers: Annotated[Whole, Field(ge=0, le=8)] = 0


class _Loom(Shape):
    name: Name
    on_hand: Annotated[Stock, Field(ge=1)] = 1  # how many alike: a class has ten
    pitch_um: Part = Field(alias="pitch")
    peg_diameter_um: Part = Field(alias="peg_diameter")

    @model_validator(mode="after")
    def _pegs_apart(self) -> "_Loom":
        if self.peg_diameter_um >= self.pitch_um:
            raise PydanticCustomError("pitch", "expected a peg_diameter smaller than the pitch: pegs do not touch")
        return self


class Ring(_Loom):
    """A ring: every peg in work."""

    build: Literal["ring"]
    pegs: Pegs


class Slider(_Loom):
    """A long frame with one movable end: pegs_least … pegs_most in steps of 2; with `base_gap` it has a facing row."""

    build: Literal["slider"]
    base_gap_um: Part | None = Field(default=None, alias="base_gap")
    pegs_least: Pegs
    pegs_most: Pegs

    @model_validator(mode="after")
    def _in_order(self) -> "Slider":
        if self.pegs_least > self.pegs_most:
            raise PydanticCustomError("span", "expected pegs_least to be at most pegs_most")
        return self


class Frame(_Loom):
    """A frame bolted from boards: two equal sides and two equal ends."""

    build: Literal["boards"]
    base_gap_um: Part = Field(alias="base_gap")
    spacers: Spacers | None = None
    bolts_per_board: Annotated[Whole, Field(ge=0, le=20)] = 2
    joining: bool = False
    ends_anywhere: bool = False
    side_boards: Annotated[tuple[Board, ...], Field(min_length=1, max_length=40)]
    end_boards: Annotated[tuple[Board, ...], Field(max_length=40)] = ()
    set_up_as: SetUpAs | None = None


Loom = Annotated[Ring | Slider | Frame, Field(discriminator="build")]


class Yarn(Shape):
    """A yarn: its class in the Standard Yarn Weight System and its label. No `balls`: any amount can be had."""

    name: Name
    weight: Annotated[Whole, Field(ge=0, le=7)]
    length_per_ball_um: Long | None = Field(default=None, alias="length_per_ball")
    mass_per_ball_mg: Mass | None = Field(default=None, alias="mass_per_ball")
    balls: Annotated[Decimal, Field(ge=0, le=10_000)] | None = None
    fibre: Name | None = None
    wraps_per_inch: Annotated[Decimal, Field(ge=1, le=100)] | None = None
    density_mg_cm3: Density | None = Field(default=None, alias="density")

    @model_validator(mode="after")
    def _balls_have_length(self) -> "Yarn":
        if self.balls is not None and self.length_per_ball_um is None:
            raise PydanticCustomError("balls", "expected length_per_ball beside balls: how much yarn is that?")
        return self

    @property
    def on_hand_um(self) -> int | None:
        """Yarn on hand in µm; None for any amount."""
        return None if self.balls is None else units.half_up(self.balls * (self.length_per_ball_um or 0))

    @property
    def label_mtex(self) -> int | None:
        """Millitex by the ball label; None where the label does not say both length and mass."""
        if self.length_per_ball_um is None or self.mass_per_ball_mg is None:
            return None
        return units.mtex_of_label(self.mass_per_ball_mg, self.length_per_ball_um)


def _counted(count: Fraction) -> Fraction:
    """What the command reads has at most three decimals; less would be stitches of kilometres."""
    if count < Fraction(1, 1_000):
        raise PydanticCustomError("count", "expected at least 0.001")
    return count


class Counted(Shape):
    """So many stitches or rows over a length: `{ count = 16, over = "4 in" }`."""

    count: Annotated[Decimal, Field(gt=0, le=2_000), AfterValidator(_counted)]
    over_um: Body = Field(alias="over")

    @property
    def each_um(self) -> Fraction:
        """The width of one stitch, or the height of one row."""
        return Fraction(self.over_um) / self.count


class Knitted(Shape):
    """How much of a weighed or unravelled swatch was knitted, without cast-on, bind-off and tails."""

    stitches: Annotated[Whole, Field(ge=1, le=2_000)]
    rows: Annotated[Whole, Field(ge=1, le=2_000)]


class Swatch(Shape):
    """A counted sample; weighed (`mass`) or unravelled (`yarn_length`) it teaches the loop length too."""

    loom: Name
    spacers: Annotated[Whole, Field(ge=0, le=8)] = 0
    yarn: Name
    strands: Annotated[Whole, Field(ge=1, le=6)] = 1
    stitch: Stitch = "u-wrap"
    stitches: Counted
    rows: Counted
    mass_mg: Mass | None = Field(default=None, alias="mass")
    yarn_length_um: Long | None = Field(default=None, alias="yarn_length")
    knitted: Knitted | None = None
    checked: Annotated[bool, Field(strict=True)] = False  # doubted once, counted again, and so

    @model_validator(mode="after")
    def _weighed_whole(self) -> "Swatch":
        if (self.mass_mg is None and self.yarn_length_um is None) != (self.knitted is None):
            raise PydanticCustomError(
                "weighed", "expected mass or yarn_length together with knitted = { stitches, rows }"
            )
        return self


def _ease(value: Any) -> tuple[tuple[str, int], ...]:
    """A length, or a table of lengths by the names of items, as pairs; the length alone stands under no name."""
    try:
        if isinstance(value, dict):
            return tuple((name, units.length_um(each, least=LEAST_EASE, most=5_000_000, example="-1 in"))
                         for name, each in value.items())  # fmt: skip
        return (("", units.length_um(value, least=LEAST_EASE, most=5_000_000, example="-1 in")),)
    except units.UnitError as error:
        words = str(error) + ', or a table such as { hat = "-1 in" }' * ("its unit" in str(error))
        raise PydanticCustomError("unit", "{words}", {"words": words, "hint": error.hint}) from None


LEAST_EASE = -500_000  # 50 cm smaller than the body: nothing is knitted tighter


class Wearer(Shape):
    """Somebody's own measurements, any of them; foot is the girth at its ball, heel the girth round heel and ankle.

    ease: pairs of an item's name and µm, "" for what sits on the head; it goes before `fit`.
    """

    name: Name
    head_um: Body | None = Field(default=None, alias="head")
    hand_um: Body | None = Field(default=None, alias="hand")
    hand_length_um: Body | None = Field(default=None, alias="hand_length")
    foot_um: Body | None = Field(default=None, alias="foot")
    foot_length_um: Body | None = Field(default=None, alias="foot_length")
    neck_um: Body | None = Field(default=None, alias="neck")
    heel_um: Body | None = Field(default=None, alias="heel")
    fit: Fit | None = None
    ease: Annotated[tuple[tuple[str, int], ...], PlainValidator(_ease)] = ()
    age: Name | None = None
    sex: Literal["female", "male"] | None = None

    def ease_on(self, item: str, *, plain: bool) -> int | None:
        """The ease liked on an item, µm: by its name, hat for any hat; else the plain one if that is meant."""
        by_name = dict(self.ease)
        return by_name.get(item, by_name.get(item.split("-")[0], by_name.get("") if plain else None))


class Weights(Shape):
    """What a miss costs: the weights of the fit error, the two prices of the score, mm of miss a rebuild is worth."""

    girth: Annotated[Decimal, Field(ge=0, le=100)] = Fraction(1)
    length: Annotated[Decimal, Field(ge=0, le=100)] = Fraction(1)
    band: Annotated[Decimal, Field(ge=0, le=100)] = Fraction(1, 2)
    risk: Annotated[Decimal, Field(ge=0, le=100)] = Fraction(1)
    yarn_price: Annotated[Decimal, Field(ge=0, le=100)] = Fraction(1, 10)
    rebuild: Annotated[Decimal, Field(ge=0, le=100)] = Fraction(3)


class Spreads(Shape):
    """Standard deviations of the gauge model, as shares of the mean; the defaults stand in figures.toml (own).

    `count` is in stitches or rows, `loop_scales_g` in grams. outside: a setting where the starting guess was never
    fitted. loop_*: yarn in a stitch, measured over the formula's. outlier_sds: beyond so many a swatch is doubted.
    """

    knitter: Annotated[Decimal, Field(ge=0, le=1)] | None = None
    loom: Annotated[Decimal, Field(ge=0, le=1)] | None = None
    yarn: Annotated[Decimal, Field(ge=0, le=1)] | None = None
    stitch: Annotated[Decimal, Field(ge=0, le=1)] | None = None
    setting: Annotated[Decimal, Field(ge=0, le=1)] | None = None
    piece: Annotated[Decimal, Field(ge=0, le=1)] | None = None
    count: Annotated[Decimal, Field(ge=0, le=10)] | None = None
    count_least: Annotated[Decimal, Field(ge=0, le=1)] | None = None
    outside: Annotated[Decimal, Field(ge=0, le=1)] | None = None
    loop_all: Annotated[Decimal, Field(ge=0, le=1)] | None = None
    loop_loom: Annotated[Decimal, Field(ge=0, le=1)] | None = None
    loop_yarn: Annotated[Decimal, Field(ge=0, le=1)] | None = None
    loop_stitch: Annotated[Decimal, Field(ge=0, le=1)] | None = None
    loop_setting: Annotated[Decimal, Field(ge=0, le=1)] | None = None
    loop_scales_g: Annotated[Decimal, Field(ge=0, le=100)] | None = None
    loop_noise_least: Annotated[Decimal, Field(ge=0, le=1)] | None = None
    outlier_sds: Annotated[Decimal, Field(gt=0, le=10)] | None = None


def _version(value: Any) -> Any:
    if value != KIT_VERSION:
        newer = isinstance(value, int) and value > KIT_VERSION
        hint = "this kit was written for a newer pegwright: update it" if newer else ""
        raise PydanticCustomError("version", "expected kit_version = {known}", {"known": KIT_VERSION, "hint": hint})
    return value


class Kit(Shape):
    """A whole kit file. Entries keep the file's order here; the solver never lets that order show."""

    kit_version: Annotated[int, BeforeValidator(_version)] = KIT_VERSION
    loom: tuple[Loom, ...] = ()
    yarn: tuple[Yarn, ...] = ()
    swatch: tuple[Swatch, ...] = ()
    wearer: tuple[Wearer, ...] = ()
    weights: Weights = Weights()
    spreads: Spreads = Spreads()


def load_kit(path: Path, source: str = "") -> Kit:
    """The kit in a file. Raises InputError that names the file, key and line, what was found and what was expected."""
    source = source or str(path)
    text = read_text(path, source)
    return kit_of(tables_of(text, source), source, text)


def kit_of(tables: dict[str, Any], source: str, text: str = "") -> Kit:
    """The kit in parsed tables; `text` is the file they came from, for line numbers."""

    def line_of(path: tuple[Any, ...]) -> int | None:
        return line_in(text, path)

    if not tables:
        raise InputError(
            source,
            Problem(
                "",
                "found an empty file, expected at least one [[loom]] and one [[yarn]]",
                at_terminal("`pegwright kit new` writes a kit to start from"),
            ),
        )
    kit = as_named(load(Kit, tables, source, line_of))
    wrong = list(clashes(kit))
    if wrong:
        told = [Problem(key_text(path), words, hint(), line_of(path)) for path, words, hint in wrong[:MOST_TOLD]]
        raise InputError(source, *told, *and_more(len(wrong)))
    return kit


def built_in_kit() -> Kit:
    """The small kit that the program carries, in a scenario of our own."""
    return load_kit(HERE / "kit.toml", "the built-in kit")
