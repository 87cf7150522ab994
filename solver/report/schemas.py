"""The reports that publish a JSON schema, by the name of their command."""

from pydantic import BaseModel

from solver.report.adjust import AdjustReport
from solver.report.batch import BatchReport
from solver.report.check import CheckReport, SizesReport, SpanReport
from solver.report.clash import ClashReport
from solver.report.find import FindReport
from solver.report.gauge import GaugeReport
from solver.report.swatches import SwatchesReport


def _batch() -> type[BaseModel]:
    from solver.report.batch import BatchReport

    return BatchReport


SCHEMAS: dict[str, type[BaseModel]] = {
    "find": FindReport,
    "clash": ClashReport,
    "check": CheckReport,
    "span": SpanReport,
    "sizes": SizesReport,
    "gauge": GaugeReport,
    "adjust": AdjustReport,
    "batch": BatchReport,
    "swatches": SwatchesReport,
}
