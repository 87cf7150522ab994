"""The reports that publish a JSON schema, by the name of their command."""

from collections.abc import Callable

from pydantic import BaseModel


def _find() -> type[BaseModel]:
    from solver.plan import FindReport

    return FindReport


def _gauge() -> type[BaseModel]:
    from solver.gaugetable import GaugeReport

    return GaugeReport


def _adjust() -> type[BaseModel]:
    from solver.adjustplan import AdjustReport

    return AdjustReport


SCHEMAS: dict[str, Callable[[], type[BaseModel]]] = {"find": _find, "gauge": _gauge, "adjust": _adjust}
