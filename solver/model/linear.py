"""Numbers with their unknowns left open: what a gap says, before a peg or a row is chosen, can be read off it."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

NOTHING: Mapping[str, int] = MappingProxyType({})


class Linear:
    """A whole number plus whole multiples of named quantities, as a third kind of number beside ints and CP-SAT's."""

    __slots__ = ("plus", "terms")

    def __init__(self, terms: Mapping[str, int] = NOTHING, plus: int = 0) -> None:
        self.terms, self.plus = terms, plus

    @staticmethod
    def of(number: object) -> "Linear":
        """A Linear as it is, a whole number without terms. Raises TypeError for anything else."""
        if isinstance(number, Linear):
            return number
        if isinstance(number, int):
            return Linear(NOTHING, number)
        raise TypeError(f"found {number!r}, expected a whole number or a sum of quantities")

    def __add__(self, other: Any) -> "Linear":
        if isinstance(other, int):
            return Linear(self.terms, self.plus + other)
        more = Linear.of(other)
        names = {**self.terms, **more.terms}
        terms = {name: self.terms.get(name, 0) + more.terms.get(name, 0) for name in names}
        return Linear({name: times for name, times in terms.items() if times}, self.plus + more.plus)

    def __mul__(self, times: Any) -> "Linear":
        if not isinstance(times, int):
            raise TypeError("a product of two quantities is no rule: define it as a quantity in solver/model/setup.py")
        return Linear({name: by * times for name, by in self.terms.items() if times}, self.plus * times)

    def __sub__(self, other: Any) -> "Linear":
        return self + (-other if isinstance(other, int) else Linear.of(other) * -1)

    def __rsub__(self, other: Any) -> "Linear":
        return Linear.of(other) - self

    __radd__, __rmul__ = __add__, __mul__

    def __bool__(self) -> bool:
        raise TypeError("a rule compares by its gaps alone, never with `if`, `and`, `or`, `not`, max or min")

    def _compared(self, _: object) -> bool:
        raise TypeError("a rule compares by its gaps alone, never with <, >, max or min")

    __lt__ = __le__ = __gt__ = __ge__ = _compared
