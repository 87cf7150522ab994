"""Names as people type them: exact first, else in any case, so long as only one name is meant."""

from collections.abc import Iterable, Mapping


def names_by(known: Iterable[str]) -> Mapping[str, str]:
    """Each name under itself and, where no other differs from it only in case, under its folded spelling."""
    names = list(dict.fromkeys(known))
    alike: dict[str, list[str]] = {}
    for name in names:
        alike.setdefault(folded(name), []).append(name)
    return {**{small: same[0] for small, same in alike.items() if len(same) == 1}, **{name: name for name in names}}


def known_as(name: str, known: Iterable[str]) -> str | None:
    """The name that is meant, as it stands in `known`; None where there is none, or two that differ only in case."""
    return meant(name, names_by(known))


def meant(name: str, by: Mapping[str, str]) -> str | None:
    """The same for a table of names_by, which many look-ups share."""
    return by.get(name) or by.get(folded(name))


def folded(name: str) -> str:
    """A key that is no name itself, for no name holds a line end."""
    return "\n" + " ".join(name.casefold().split())
