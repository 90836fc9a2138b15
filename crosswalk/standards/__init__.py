"""Records to documents and back: one module a standard, discovered (`base.py`)."""
