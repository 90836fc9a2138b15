"""Rows to records by a mapping file, and back."""
