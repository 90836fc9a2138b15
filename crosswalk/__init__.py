"""Spreadsheets about tapes, discs, reels and files to PBCore, Dublin Core and RDF, with every cell accounted for.

The names below are the API; they are loaded when first used, so that importing one small module stays cheap.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crosswalk.delivery.compare import Comparison
    from crosswalk.delivery.differences import Equivalences
    from crosswalk.errors import CannotContinue
    from crosswalk.findings import Finding, Severity
    from crosswalk.pipeline.comparing import compare
    from crosswalk.pipeline.converting import convert, read_documents
    from crosswalk.pipeline.delivering import deliver
    from crosswalk.pipeline.reading import read_wordings
    from crosswalk.pipeline.run import Options, Outcome
    from crosswalk.pipeline.validating import ValidateOptions, iter_findings, validate
    from crosswalk.records import Asset, EssenceTrack, Instantiation
    from crosswalk.reports.model import Report
    from crosswalk.standards.base import ReadOptions
    from crosswalk.values.reading import Context

_HOMES = {
    "Asset": "records",
    "CannotContinue": "errors",
    "Comparison": "delivery.compare",
    "Context": "values.reading",
    "Equivalences": "delivery.differences",
    "EssenceTrack": "records",
    "Finding": "findings",
    "Instantiation": "records",
    "Options": "pipeline.run",
    "Outcome": "pipeline.run",
    "ReadOptions": "standards.base",
    "Report": "reports.model",
    "Severity": "findings",
    "ValidateOptions": "pipeline.validating",
    "compare": "pipeline.comparing",
    "convert": "pipeline.converting",
    "deliver": "pipeline.delivering",
    "iter_findings": "pipeline.validating",
    "read_documents": "pipeline.converting",
    "read_wordings": "pipeline.reading",
    "validate": "pipeline.validating",
}

__all__ = [
    "Asset",
    "CannotContinue",
    "Comparison",
    "Context",
    "Equivalences",
    "EssenceTrack",
    "Finding",
    "Instantiation",
    "Options",
    "Outcome",
    "ReadOptions",
    "Report",
    "Severity",
    "ValidateOptions",
    "compare",
    "convert",
    "deliver",
    "iter_findings",
    "read_documents",
    "read_wordings",
    "validate",
]


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"crosswalk.{_HOMES[name]}"), name)
