"""Workbooks and delimited files to rows of cells, and back."""
