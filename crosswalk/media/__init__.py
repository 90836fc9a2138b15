"""Drives and the files on them."""
