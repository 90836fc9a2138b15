"""Dates as people write them, to EDTF (ISO 8601-2:2019), and from there to what other standards can carry."""

from crosswalk.values.dates.edtf import bounds, is_edtf
from crosswalk.values.dates.emit import to_pbcore, to_w3cdtf, to_xsd
from crosswalk.values.dates.reader import read_date

__all__ = ["bounds", "is_edtf", "read_date", "to_pbcore", "to_w3cdtf", "to_xsd"]
