"""A number with its flag and its source, so that nothing in the catalogue stands unsigned."""

from fractions import Fraction
from typing import Annotated, Any, Generic, Literal, TypeVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

Flag = Literal["pub", "mem", "practice", "own"]
FLAGS = {
    "pub": "published",
    "mem": "a published value, quoted from memory",
    "practice": "common practice of the trade, no source",
    "own": "this project's own estimate; a measurement of yours replaces it",
}
T = TypeVar("T")


def _exact(value: Any) -> Any:
    return Fraction(str(value)) if isinstance(value, int | float) and not isinstance(value, bool) else value


Exact = Annotated[Fraction, BeforeValidator(_exact)]  # a decimal in a file, kept as the decimal it was written as


class Sourced(BaseModel, Generic[T]):
    """`value`, its `flag` and its `source`; the source may be left out only for practice and own."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)
    value: T
    flag: Flag
    source: str = Field(default="", max_length=300)

    def model_post_init(self, _: Any) -> None:
        if self.flag in ("pub", "mem") and not self.source:
            raise ValueError(f"flag {self.flag} needs a source")
