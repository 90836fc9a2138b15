"""Rules about records, one module a family. A new rule is one function here, a row in the code table, its cases."""

from crosswalk.checks.rules.every import check_record

__all__ = ["check_record"]
