"""Dates as people write them, to EDTF (ISO 8601-2:2019), and from there to what other standards can carry.

Of the context, `day_first`, `earliest_year`, `latest_year`, `century_pivot`, `excel_epoch` and `day_counts` are used,
and two options: `edtf` = `true` (the column holds EDTF, so that 1972/1980 is a span) and `year-month` = `month` or
`span` (what 2003-04 is). `column_context` fills them from a column's evidence.
"""

from crosswalk.values.dates.edtf import bounds, is_edtf
from crosswalk.values.dates.emit import to_pbcore, to_w3cdtf, to_xsd
from crosswalk.values.dates.reader import read_date

__all__ = ["bounds", "is_edtf", "read_date", "to_pbcore", "to_w3cdtf", "to_xsd"]
