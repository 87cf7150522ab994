"""The reports that publish a JSON schema, by the name of their command."""

from collections.abc import Callable

from pydantic import BaseModel


def _find() -> type[BaseModel]:
    from solver.report.find import FindReport

    return FindReport


def _gauge() -> type[BaseModel]:
    from solver.report.gauge import GaugeReport

    return GaugeReport


def _adjust() -> type[BaseModel]:
    from solver.report.adjust import AdjustReport

    return AdjustReport


def _clash() -> type[BaseModel]:
    from solver.report.clash import ClashReport

    return ClashReport


def _check() -> type[BaseModel]:
    from solver.report.check import CheckReport

    return CheckReport


def _span() -> type[BaseModel]:
    from solver.report.check import SpanReport

    return SpanReport


def _sizes() -> type[BaseModel]:
    from solver.report.check import SizesReport

    return SizesReport


SCHEMAS: dict[str, Callable[[], type[BaseModel]]] = {
    "find": _find,
    "clash": _clash,
    "check": _check,
    "span": _span,
    "sizes": _sizes,
    "gauge": _gauge,
    "adjust": _adjust,
}
