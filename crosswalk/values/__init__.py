"""Text to reading: pure value parsers behind one interface (`reading.py`)."""
